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

static void note_end(SxTrace *trace, int side_outs, bool won, double mass) {
    trace->ended[side_outs < SX_MAX_SIDE_OUTS ? side_outs : SX_MAX_SIDE_OUTS] += mass;
    trace->won += won ? mass : 0;
}

static void note_stop(const SxCourse *course, SxTrace *trace, double mass, double mean_tie,
                      int lead) {
    const int tie = course->chain->rules.target - 1;
    trace->stopped += mass;
    trace->our_score += mass * lead + mean_tie;
    trace->their_score += mean_tie;
    trace->won_after += mass * sx_chain_win(course->after, tie + lead, tie, course->track,
                                            step_after(course, course->stop));
}

/* Sets that share a score, [side-outs made]. */
typedef double Crowd[2 * SX_MAX_POINTS + 2];

/* Where the crowd at a score goes once the score itself is looked at: false if it plays on. */
static bool leaves_points(const SxCourse *course, SxTrace *trace, int ours, int theirs,
                          int side_outs, double mass) {
    const int over = sx_set_winner(&course->chain->rules, ours, theirs);
    if (over != 0) {
        note_end(trace, side_outs, over > 0, mass);
        (over > 0 ? trace->won_to : trace->lost_to)[over > 0 ? theirs : ours] += mass;
        return true;
    }
    if (course->stop > 0 && side_outs >= course->stop) {
        trace->stopped += mass;
        trace->our_score += mass * ours;
        trace->their_score += mass * theirs;
        trace->won_after += mass * sx_chain_win(course->after, ours, theirs, course->track,
                                                step_after(course, side_outs));
        return true;
    }
    const int tie = course->chain->rules.target - 1;
    trace->tie += ours == tie && theirs == tie ? mass : 0;
    if (sx_chain_at_tie(course->chain, ours, theirs)) {
        trace->tie_at[side_outs] += mass;
        return true;
    }
    return false;
}

/* Plays one rally of the crowd at a score; lost is the crowd one point of theirs further. */
static void play_rally(const SxCourse *course, SxTrace *trace, int ours, int theirs,
                       const Crowd here, Crowd won, Crowd lost) {
    /* every side-out is a point of the side that makes it, and they take turns */
    const int most = 2 * (ours < theirs ? ours : theirs) + 1;
    /* nobody rotates after the last point */
    const bool win_ends = sx_set_winner(&course->chain->rules, ours + 1, theirs) != 0;
    const bool loss_ends = sx_set_winner(&course->chain->rules, ours, theirs + 1) != 0;
    for (int k = 0; k <= most; k++) {
        const double mass = here[k];
        if (mass == 0 || leaves_points(course, trace, ours, theirs, k, mass)) {
            continue;
        }
        const int step = step_after(course, k);
        const double rally = course->chain->win[course->track][step];
        const bool receive = sx_step_phase(step) == SX_RECEIVE;
        trace->rallies[step] += mass;
        won[k + (receive && !win_ends)] += mass * rally;
        lost[k + (!receive && !loss_ends)] += mass * (1 - rally);
    }
}

/* From 0-0 to the end of the set, the tie or the stop. */
static void walk_points(const SxCourse *course, SxTrace *trace) {
    Crowd rows[2][SX_MAX_POINTS + 2];
    const int limit = course->chain->limit;
    memset(rows[0], 0, (size_t)(limit + 2) * sizeof rows[0][0]);
    rows[0][0][0] = 1;
    for (int ours = 0; ours <= limit; ours++) {
        Crowd *here = rows[ours % 2], *next = rows[(ours + 1) % 2];
        memset(next, 0, (size_t)(limit + 2) * sizeof next[0]);
        for (int theirs = 0; theirs <= limit; theirs++) {
            play_rally(course, trace, ours, theirs, here[theirs], next[theirs], here[theirs + 1]);
        }
    }
}

/* Sets level at a tie, and their points each, weighted. */
typedef struct {
    double mass, points;
} Level;

static void pass_on(Level *to, Level from, double share) {
    to->mass += from.mass * share;
    to->points += (from.points + from.mass) * share; /* a point each more */
}

/* From the tie on, side-out by side-out: two rallies lead to the end or one or two side-outs
 * further. What is left after the last count that is told apart never needs following. */
static void walk_tie(const SxCourse *course, SxTrace *trace) {
    const double *win = course->chain->win[course->track];
    const int last = course->stop > SX_MAX_SIDE_OUTS ? course->stop : SX_MAX_SIDE_OUTS;
    Level level[3] = {{0}};
    double left = 0;
    for (int k = 0; k <= last; k++) {
        Level here = level[k % 3];
        level[k % 3] = (Level){0};
        if (k <= SX_MAX_SIDE_OUTS) {
            here.mass += trace->tie_at[k];
            here.points += trace->tie_at[k] * (course->chain->rules.target - 1);
        }
        if (here.mass == 0) {
            continue;
        }
        if (course->stop > 0 && k == course->stop) {
            note_stop(course, trace, here.mass, here.points, 0);
            continue;
        }
        const int step = step_after(course, k);
        const bool receive = sx_step_phase(step) == SX_RECEIVE;
        SxTieStep go = sx_tie_step(win, step);
        if (receive && course->stop == k + 1) { /* the side-out that puts us one up is the last */
            note_stop(course, trace, here.mass * win[step], here.points * win[step], 1);
            go.win = go.two = 0;
        }
        note_end(trace, k + 1 - (!receive), true, here.mass * go.win);
        note_end(trace, k + (!receive), false, here.mass * go.lose);
        pass_on(&level[(k + 1) % 3], here, go.one);
        pass_on(&level[(k + 2) % 3], here, go.two);
    }
    for (int i = 0; i < 3; i++) {
        left += level[i].mass;
    }
    trace->ended[SX_MAX_SIDE_OUTS] += left;
}

void sx_course_follow(const SxCourse *course, SxTrace *trace) {
    *trace = (SxTrace){0};
    walk_points(course, trace);
    walk_tie(course, trace);
}

SxStatus sx_set_odds(const SxSetChain *chain, SxServeState start, SxSetOdds *odds, SxError *err) {
    SxStatus status = sx_serve_state_check(start, err);
    if (status != SX_OK) {
        return status;
    }
    const SxCourse course = sx_course_from(chain, start);
    SxTrace trace;
    sx_course_follow(&course, &trace);
    memset(odds, 0, sizeof *odds);
    odds->win = sx_chain_win(chain, 0, 0, course.track, course.step);
    odds->tie = trace.tie;
    for (int k = 0; k <= SX_MAX_SIDE_OUTS; k++) {
        for (int s = 0; trace.tie_at[k] > 0 && s < SX_STEPS; s++) {
            trace.rallies[s] +=
                trace.tie_at[k] * chain->tie[course.track].visits[step_after(&course, k)][s];
        }
    }
    for (int s = 0; s < SX_STEPS; s++) {
        const double won = trace.rallies[s] * chain->win[course.track][s];
        odds->rallies_in[sx_step_ours(s)][sx_step_phase(s)] += trace.rallies[s];
        odds->points_in[sx_step_ours(s)][sx_step_phase(s)] += won;
        odds->rallies += trace.rallies[s];
        odds->points_for += won;
        odds->points_against += trace.rallies[s] - won;
    }
    for (int k = 0; k <= SX_MAX_SIDE_OUTS; k++) {
        const int advances = our_advances(course.first, k);
        odds->advances[advances < SX_MAX_ADVANCES ? advances : SX_MAX_ADVANCES] += trace.ended[k];
    }
    memcpy(odds->won_to, trace.won_to, sizeof odds->won_to);
    memcpy(odds->lost_to, trace.lost_to, sizeof odds->lost_to);
    return SX_OK;
}
