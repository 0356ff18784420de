/* What a set holds from its start on: the chain followed forwards, by score and by the side-outs
 * made, which the tie's closed form completes. */
#include "analysis/setcourse.h"

#include <string.h>

/* Side-outs of ours among the first count side-outs of a set. */
static int our_advances(SxPhase first, int count) {
    return first == SX_RECEIVE ? (count + 1) / 2 : count / 2;
}

SxCourse sx_course_from(const SxSetChain *chain, SxServeState start) {
    return (SxCourse){chain, sx_track_of(start), sx_step_of(start), start.phase, 0, chain};
}

static int step_after(const SxCourse *course, int side_outs) {
    return (course->step + side_outs) % SX_STEPS;
}

static bool is_past(const SxCourse *course, int side_outs) {
    return course->stop > 0 && side_outs >= course->stop;
}

/* The chain that holds after so many side-outs. */
static const SxSetChain *chain_at(const SxCourse *course, int side_outs) {
    return is_past(course, side_outs) ? course->after : course->chain;
}

static double rally_at(const SxCourse *course, int side_outs) {
    return chain_at(course, side_outs)->win[course->track][step_after(course, side_outs)];
}

static void note_rally(const SxCourse *course, SxTrace *trace, int side_outs, double mass) {
    const int step = step_after(course, side_outs);
    trace->rallies[step] += mass;
    trace->points[step] += mass * rally_at(course, side_outs);
}

static void note_end(SxTrace *trace, int side_outs, double mass) {
    trace->ended[side_outs < SX_MAX_SIDE_OUTS ? side_outs : SX_MAX_SIDE_OUTS] += mass;
}

/* Sets that share a score, [side-outs made]. */
typedef double Crowd[2 * SX_MAX_POINTS + 2];

/* Sets at a tie, and their points each, weighted. */
typedef struct {
    double mass, points;
} Level;

typedef struct {
    SxTrace *trace;
    Level tie[SX_MAX_SIDE_OUTS + 1]; /* target - 1 all, reached after so many side-outs */
} Walk;

/* A side-out of ours that is not the last point has just been made. */
static void note_stop(const SxCourse *course, SxTrace *trace, int side_outs, double mass,
                      double ours, double theirs) {
    if (course->stop > 0 && side_outs == course->stop) {
        trace->stopped += mass;
        trace->our_score += ours;
        trace->their_score += theirs;
    }
}

/* Where the crowd at a score goes once the score itself is looked at: false if it plays on. */
static bool leaves_points(const SxCourse *course, Walk *walk, int ours, int theirs, int side_outs,
                          double mass) {
    SxTrace *trace = walk->trace;
    const int over = sx_set_winner(&course->chain->rules, ours, theirs);
    if (over != 0) {
        note_end(trace, side_outs, mass);
        (over > 0 ? trace->won_to : trace->lost_to)[over > 0 ? theirs : ours] += mass;
        trace->won += over > 0 ? mass : 0;
        return true;
    }
    const int tie = course->chain->rules.target - 1;
    trace->tie += ours == tie && theirs == tie ? mass : 0;
    if (sx_chain_at_tie(course->chain, ours, theirs)) {
        walk->tie[side_outs].mass += mass;
        walk->tie[side_outs].points += mass * tie;
        return true;
    }
    return false;
}

/* Plays one rally of the crowd at a score; lost is the crowd one point of theirs further. */
static void play_rally(const SxCourse *course, Walk *walk, int ours, int theirs, const Crowd here,
                       Crowd won, Crowd lost) {
    /* every side-out is a point of the side that makes it, and they take turns */
    const int most = 2 * (ours < theirs ? ours : theirs) + 1;
    /* nobody rotates after the last point */
    const bool win_ends = sx_set_winner(&course->chain->rules, ours + 1, theirs) != 0;
    const bool loss_ends = sx_set_winner(&course->chain->rules, ours, theirs + 1) != 0;
    for (int k = 0; k <= most; k++) {
        const double mass = here[k];
        if (mass == 0 || leaves_points(course, walk, ours, theirs, k, mass)) {
            continue;
        }
        const double rally = rally_at(course, k);
        const bool receive = sx_step_phase(step_after(course, k)) == SX_RECEIVE;
        const double point = mass * rally;
        note_rally(course, walk->trace, k, mass);
        won[k + (receive && !win_ends)] += point;
        lost[k + (!receive && !loss_ends)] += mass - point;
        if (receive && !win_ends) {
            note_stop(course, walk->trace, k + 1, point, point * (ours + 1), point * theirs);
        }
    }
}

/* From 0-0 to the end of the set or the tie. */
static void walk_points(const SxCourse *course, Walk *walk) {
    Crowd rows[2][SX_MAX_POINTS + 2];
    const int limit = course->chain->limit;
    memset(rows[0], 0, (size_t)(limit + 2) * sizeof rows[0][0]);
    rows[0][0][0] = 1;
    for (int ours = 0; ours <= limit; ours++) {
        Crowd *here = rows[ours % 2], *next = rows[(ours + 1) % 2];
        memset(next, 0, (size_t)(limit + 2) * sizeof next[0]);
        for (int theirs = 0; theirs <= limit; theirs++) {
            play_rally(course, walk, ours, theirs, here[theirs], next[theirs], here[theirs + 1]);
        }
    }
}

static void pass_on(Level *to, Level from, double share) {
    to->mass += from.mass * share;
    to->points += (from.points + from.mass) * share; /* a point each more */
}

/* Level after k side-outs with nothing to change any more: the closed form tells the rest. */
static void finish_tie(const SxCourse *course, SxTrace *trace, int k, double mass) {
    const SxSetChain *chain = chain_at(course, k);
    const SxTie *tie = &chain->tie[course->track];
    const int step = step_after(course, k);
    trace->won += mass * tie->win[step];
    for (int s = 0; s < SX_STEPS; s++) {
        const double rallies = mass * tie->visits[step][s];
        trace->rallies[s] += rallies;
        trace->points[s] += rallies * chain->win[course->track][s];
    }
}

/* The two rallies from a tie with a change of rally odds still ahead. */
static void play_tie(const SxCourse *course, SxTrace *trace, int k, Level here, SxTieStep go) {
    const bool receive = sx_step_phase(step_after(course, k)) == SX_RECEIVE;
    const double won = here.mass * rally_at(course, k), lost = here.mass - won;
    trace->won += here.mass * go.win;
    note_rally(course, trace, k, here.mass);
    note_rally(course, trace, receive ? k + 1 : k, won);
    note_rally(course, trace, receive ? k : k + 1, lost);
    if (receive) { /* the side-out that puts us one up, and the one that levels again */
        const double point = here.points * rally_at(course, k);
        note_stop(course, trace, k + 1, won, point + won, point);
        note_stop(course, trace, k + 1, here.mass * go.one, (here.points + here.mass) * go.one,
                  (here.points + here.mass) * go.one);
    } else {
        note_stop(course, trace, k + 2, here.mass * go.two, (here.points + here.mass) * go.two,
                  (here.points + here.mass) * go.two);
    }
}

/* From the tie on, side-out by side-out: two rallies lead to the end or one or two side-outs
 * further. Followed as far as the rally odds may change and the counts are told apart. */
static void walk_tie(const SxCourse *course, Walk *walk) {
    SxTrace *trace = walk->trace;
    const int last = course->stop > SX_MAX_SIDE_OUTS ? course->stop : SX_MAX_SIDE_OUTS;
    Level level[3] = {{0}}; /* that come from ties followed here */
    Level done[3] = {{0}};  /* finished but for the count of side-outs */
    double left = 0;
    for (int k = 0; k <= last; k++) {
        Level here = level[k % 3], counted = done[k % 3];
        level[k % 3] = done[k % 3] = (Level){0};
        if (k <= SX_MAX_SIDE_OUTS) {
            here.mass += walk->tie[k].mass;
            here.points += walk->tie[k].points;
        }
        const bool ahead = course->stop > k;
        const bool receive = sx_step_phase(step_after(course, k)) == SX_RECEIVE;
        const SxTieStep go = sx_tie_step_of(receive, rally_at(course, k), rally_at(course, k + 1));
        if (here.mass != 0 && ahead) {
            play_tie(course, trace, k, here, go);
            pass_on(&level[(k + 1) % 3], here, go.one);
            pass_on(&level[(k + 2) % 3], here, go.two);
        } else if (here.mass != 0) {
            finish_tie(course, trace, k, here.mass);
            counted.mass += here.mass;
        }
        const double mass = counted.mass + (ahead ? here.mass : 0);
        note_end(trace, k + 1 - (!receive), mass * go.win);
        note_end(trace, k + (!receive), mass * go.lose);
        pass_on(&done[(k + 1) % 3], counted, go.one);
        pass_on(&done[(k + 2) % 3], counted, go.two);
    }
    for (int i = 0; i < 3; i++) {
        left += done[i].mass;
    }
    trace->ended[SX_MAX_SIDE_OUTS] += left;
}

void sx_course_follow(const SxCourse *course, SxTrace *trace) {
    Walk walk = {.trace = trace};
    *trace = (SxTrace){0};
    walk_points(course, &walk);
    if (course->chain->rules.cap == 0) {
        walk_tie(course, &walk);
    }
}

void sx_course_odds(const SxCourse *course, const SxTrace *trace, SxSetOdds *odds) {
    memset(odds, 0, sizeof *odds);
    odds->win = trace->won;
    odds->tie = trace->tie;
    for (int s = 0; s < SX_STEPS; s++) {
        odds->rallies_in[sx_step_ours(s)][sx_step_phase(s)] += trace->rallies[s];
        odds->points_in[sx_step_ours(s)][sx_step_phase(s)] += trace->points[s];
        odds->rallies += trace->rallies[s];
        odds->points_for += trace->points[s];
        odds->points_against += trace->rallies[s] - trace->points[s];
    }
    for (int k = 0; k <= SX_MAX_SIDE_OUTS; k++) {
        const int advances = our_advances(course->first, k);
        odds->advances[advances < SX_MAX_ADVANCES ? advances : SX_MAX_ADVANCES] += trace->ended[k];
    }
    memcpy(odds->won_to, trace->won_to, sizeof odds->won_to);
    memcpy(odds->lost_to, trace->lost_to, sizeof odds->lost_to);
}

SxStatus sx_set_odds(const SxSetChain *chain, SxServeState start, SxSetOdds *odds, SxError *err) {
    SxStatus status = sx_serve_state_check(start, err);
    if (status != SX_OK) {
        return status;
    }
    const SxCourse course = sx_course_from(chain, start);
    SxTrace trace;
    sx_course_follow(&course, &trace);
    sx_course_odds(&course, &trace, odds);
    odds->win = sx_chain_win(chain, 0, 0, course.track, course.step);
    return SX_OK;
}
