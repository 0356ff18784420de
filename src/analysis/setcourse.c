/* What a set holds from its start on: the chain followed forwards, by score and by the side-outs
 * made, which the tie's closed form completes. */
#include "analysis/setcourse.h"

#include <string.h>

/* Side-outs of ours among the first count side-outs of a set. */
static int our_advances(SxPhase first, int count) {
    return first == SX_RECEIVE ? (count + 1) / 2 : count / 2;
}

SxCourse sx_course_from(const SxSetChain *chain, SxServeState start) {
    return (SxCourse){.chain = chain,
                      .track = sx_track_of(start),
                      .step = sx_step_of(start),
                      .first = start.phase};
}

/* Sets that share a score, [side-outs made]. */
typedef double Crowd[2 * SX_MAX_POINTS + 2];

/* Sets that go on as they began, and those that went one other way. */
typedef enum { GOING, TURNED, STRANDS } Strand;

/* Sets at a tie, and their points each, weighted. */
typedef struct {
    double mass, points;
} Level;

/* One walk through the sets of a course. It notes those of one strand: the first walk what goes on,
 * then one for each way what went that way. */
typedef struct {
    const SxCourse *course;
    SxTrace *trace;
    int way;                                  /* noted; SX_GO_ON: none */
    bool *used;                               /* ways, marked in the first walk */
    Level tie[STRANDS][SX_MAX_SIDE_OUTS + 1]; /* target - 1 all, after so many side-outs */
} Walk;

static Strand noted_strand(const Walk *walk) {
    return walk->way == SX_GO_ON ? GOING : TURNED;
}

static int step_after(const SxCourse *course, int side_outs) {
    return (course->step + side_outs) % SX_STEPS;
}

static const SxSetChain *chain_of(const Walk *walk, Strand strand) {
    return strand == GOING ? walk->course->chain : walk->course->way[walk->way];
}

static double rally_at(const Walk *walk, Strand strand, int side_outs) {
    return chain_of(walk, strand)->win[walk->course->track][step_after(walk->course, side_outs)];
}

static bool is_receive(const Walk *walk, int side_outs) {
    return sx_step_phase(step_after(walk->course, side_outs)) == SX_RECEIVE;
}

/* points: the rallies that are won. */
static void note_step(const Walk *walk, Strand strand, int step, double mass, double points) {
    if (strand == noted_strand(walk)) {
        walk->trace->rallies[step] += mass;
        walk->trace->points[step] += points;
    }
}

static void note_rally(const Walk *walk, Strand strand, int side_outs, double mass) {
    note_step(walk, strand, step_after(walk->course, side_outs), mass,
              mass * rally_at(walk, strand, side_outs));
}

static void note_end(const Walk *walk, Strand strand, int side_outs, double mass, bool won) {
    SxTrace *trace = walk->trace;
    if (strand == noted_strand(walk)) {
        trace->ended[side_outs < SX_MAX_SIDE_OUTS ? side_outs : SX_MAX_SIDE_OUTS] += mass;
        trace->won += won ? mass : 0;
    }
}

/* Where sets go on after a side-out of ours, or STRANDS: a way that is not looked at in this walk.
 * points: their own, weighted by the mass. */
static Strand turn(const Walk *walk, Strand strand, int side_outs, int ours, int theirs,
                   double mass, double our_points, double their_points) {
    const SxCourse *course = walk->course;
    if (strand == TURNED || course->last == 0) {
        return strand;
    }
    const bool first = walk->way == SX_GO_ON;
    const int way = course->halt(course->context, side_outs, ours, theirs, first ? mass : 0);
    if (way == SX_GO_ON) {
        return GOING;
    }
    if (first) {
        walk->used[way] = true;
        walk->trace->stopped += mass;
        walk->trace->our_score += our_points;
        walk->trace->their_score += their_points;
    }
    return way == walk->way ? TURNED : STRANDS;
}

/* Every side-out is a point of the side that makes it, and they take turns. */
static int most_side_outs(int ours, int theirs) {
    return 2 * (ours < theirs ? ours : theirs) + 1;
}

/* Looks at the score of a crowd before it plays on: false if it does not, for its sets are over or
 * the tie is finished apart. */
static bool plays_on(Walk *walk, Strand strand, int ours, int theirs, const Crowd crowd) {
    const SxSetRules *rules = &walk->course->chain->rules;
    SxTrace *trace = walk->trace;
    const bool noted = strand == noted_strand(walk);
    const int over = sx_set_winner(rules, ours, theirs), tie = rules->target - 1;
    const bool level = ours == tie && theirs == tie;
    const bool apart = over == 0 && sx_chain_at_tie(walk->course->chain, ours, theirs);
    if (over == 0 && !level && !apart) {
        return true;
    }
    for (int k = 0; k <= most_side_outs(ours, theirs); k++) {
        const double mass = crowd[k];
        if (mass == 0) {
            continue;
        }
        if (over != 0) {
            note_end(walk, strand, k, mass, over > 0);
            (over > 0 ? trace->won_to : trace->lost_to)[over > 0 ? theirs : ours] +=
                noted ? mass : 0;
        }
        trace->tie += noted && level ? mass : 0;
        if (apart) {
            walk->tie[strand][k].mass += mass;
            walk->tie[strand][k].points += mass * tie;
        }
    }
    return over == 0 && !apart;
}

/* The crowds at one score. */
typedef struct {
    Crowd of[STRANDS];
} Score;

/* Nobody is yet at the scores with so many points of ours, theirs from 0 to last. */
static void clear_row(Score *row, int ours, int last) {
    for (int theirs = 0; theirs <= last; theirs++) {
        const size_t count = (size_t)most_side_outs(ours, theirs) + 1;
        for (int strand = 0; strand < STRANDS; strand++) {
            memset(row[theirs].of[strand], 0, count * sizeof(double));
        }
    }
}

/* Plays one rally of a crowd at a score; lost is the score one point of theirs further. */
static void play_rally(Walk *walk, Strand strand, int ours, int theirs, const Score *here,
                       Score *won, Score *lost) {
    if (!plays_on(walk, strand, ours, theirs, here->of[strand])) {
        return;
    }
    const SxCourse *course = walk->course;
    const SxSetRules *rules = &course->chain->rules;
    const double *win = chain_of(walk, strand)->win[course->track];
    /* nobody rotates after the last point */
    const bool win_ends = sx_set_winner(rules, ours + 1, theirs) != 0;
    const bool loss_ends = sx_set_winner(rules, ours, theirs + 1) != 0;
    for (int k = 0; k <= most_side_outs(ours, theirs); k++) {
        /* Of every row clear_row cleared what is read and added to here, which the analyzer does
         * not follow. NOLINTNEXTLINE(clang-analyzer-core.uninitialized.Assign) */
        const double mass = here->of[strand][k];
        if (mass == 0) {
            continue;
        }
        const int step = step_after(course, k);
        const bool receive = sx_step_phase(step) == SX_RECEIVE;
        const double point = mass * win[step];
        note_step(walk, strand, step, mass, point);
        /* NOLINTNEXTLINE(clang-analyzer-core.uninitialized.Assign): as above */
        lost->of[strand][k + (!receive && !loss_ends)] += mass - point;
        const bool turns = receive && !win_ends;
        const Strand then = turns ? turn(walk, strand, k + 1, ours + 1, theirs, point,
                                         point * (ours + 1), point * theirs)
                                  : strand;
        if (then != STRANDS) {
            won->of[then][k + turns] += point;
        }
    }
}

/* From 0-0 to the end of the set or the tie. */
static void walk_points(Walk *walk) {
    Score rows[2][SX_MAX_POINTS + 2];
    const int limit = walk->course->chain->limit;
    clear_row(rows[0], 0, limit + 1);
    rows[0][0].of[GOING][0] = 1;
    for (int ours = 0; ours <= limit; ours++) {
        Score *here = rows[ours % 2], *next = rows[(ours + 1) % 2];
        clear_row(next, ours + 1, limit + 1);
        for (int theirs = 0; theirs <= limit; theirs++) {
            for (int strand = 0; strand < (walk->way == SX_GO_ON ? TURNED : STRANDS); strand++) {
                play_rally(walk, (Strand)strand, ours, theirs, &here[theirs], &next[theirs],
                           &here[theirs + 1]);
            }
        }
    }
}

static void add_level(Level *to, double mass, double points) {
    to->mass += mass;
    to->points += points;
}

/* Level after k side-outs with nothing to change any more: the closed form tells the rest. */
static void finish_tie(const Walk *walk, Strand strand, int k, double mass) {
    const SxSetChain *chain = chain_of(walk, strand);
    const SxTie *tie = &chain->tie[walk->course->track];
    const int step = step_after(walk->course, k);
    walk->trace->won += mass * tie->win[step];
    for (int s = 0; s < SX_STEPS; s++) {
        const double rallies = mass * tie->visits[step][s];
        walk->trace->rallies[s] += rallies;
        walk->trace->points[s] += rallies * chain->win[walk->course->track][s];
    }
}

/* Ties to come, by side-outs modulo 3: two rallies lead at most two further. */
typedef Level Ties[3];

/* One ahead after k side-outs, we serve: the set is won, or level again. */
static void play_ahead(const Walk *walk, Strand strand, int k, double mass, double points,
                       Ties to[STRANDS]) {
    const double won = mass * rally_at(walk, strand, k);
    note_rally(walk, strand, k, mass);
    note_end(walk, strand, k, won, true);
    const double share = mass > 0 ? (mass - won) / mass : 0;
    add_level(&to[strand][(k + 1) % 3], mass - won, (points + mass) * share);
}

/* The two rallies from a tie with a change of rally odds still ahead. points: each side's. */
static void play_tie(const Walk *walk, int k, Level here, Ties to[STRANDS]) {
    const int level = walk->course->chain->rules.target - 1;
    const double p = rally_at(walk, GOING, k);
    const double won = here.mass * p, lost = here.mass - won, point = here.points * p;
    note_rally(walk, GOING, k, here.mass);
    if (is_receive(walk, k)) {
        const Strand up = turn(walk, GOING, k + 1, level + 1, level, won, point + won, point);
        if (up != STRANDS) {
            play_ahead(walk, up, k + 1, won, point, to);
        }
        note_rally(walk, GOING, k, lost); /* they serve again, one ahead */
        note_end(walk, GOING, k, lost * (1 - p), false);
        const double back = lost * p, points = (here.points + here.mass) * (1 - p) * p;
        const Strand even = turn(walk, GOING, k + 1, level, level, back, points, points);
        if (even != STRANDS) {
            add_level(&to[even][(k + 1) % 3], back, points);
        }
        return;
    }
    note_rally(walk, GOING, k, won); /* we serve again, one ahead */
    note_end(walk, GOING, k, won * p, true);
    const double share = p * (1 - p);
    add_level(&to[GOING][(k + 1) % 3], here.mass * share, (here.points + here.mass) * share);
    const double side_out = rally_at(walk, GOING, k + 1);
    note_rally(walk, GOING, k + 1, lost);
    note_end(walk, GOING, k + 1, lost * (1 - side_out), false);
    const double back = lost * side_out;
    const double points = (here.points + here.mass) * (1 - p) * side_out;
    const Strand even = turn(walk, GOING, k + 2, level, level, back, points, points);
    if (even != STRANDS) {
        add_level(&to[even][(k + 2) % 3], back, points);
    }
}

/* Only counts the side-outs of sets that the closed form has finished. */
static void count_tie(const Walk *walk, Strand strand, int k, double mass, double done[3]) {
    SxTrace *trace = walk->trace;
    const bool receive = is_receive(walk, k);
    const SxTieStep go =
        sx_tie_step_of(receive, rally_at(walk, strand, k), rally_at(walk, strand, k + 1));
    trace->ended[k + 1 - !receive < SX_MAX_SIDE_OUTS ? k + 1 - !receive : SX_MAX_SIDE_OUTS] +=
        mass * go.win;
    trace->ended[k + !receive < SX_MAX_SIDE_OUTS ? k + !receive : SX_MAX_SIDE_OUTS] +=
        mass * go.lose;
    done[(k + 1) % 3] += mass * go.one;
    done[(k + 2) % 3] += mass * go.two;
}

/* From the tie on, side-out by side-out: two rallies lead to the end or one or two side-outs
 * further. Followed as far as the rally odds may change and the counts are told apart. */
static void walk_tie(Walk *walk) {
    const int last = walk->course->last;
    const Strand noted = noted_strand(walk);
    Ties level[STRANDS] = {{{0}}};
    double done[3] = {0}, left = 0; /* finished but for the count of side-outs */
    for (int k = 0; k <= (last > SX_MAX_SIDE_OUTS ? last : SX_MAX_SIDE_OUTS); k++) {
        Level here[STRANDS];
        double counted = done[k % 3];
        done[k % 3] = 0;
        for (int s = 0; s < STRANDS; s++) {
            here[s] = level[s][k % 3];
            level[s][k % 3] = (Level){0};
            if (k <= SX_MAX_SIDE_OUTS) {
                add_level(&here[s], walk->tie[s][k].mass, walk->tie[s][k].points);
            }
        }
        if (here[GOING].mass != 0 && last > k) {
            play_tie(walk, k, here[GOING], level);
            here[GOING] = (Level){0};
        }
        if (here[noted].mass != 0) {
            finish_tie(walk, noted, k, here[noted].mass);
            counted += here[noted].mass;
        }
        if (counted != 0) {
            count_tie(walk, noted, k, counted, done);
        }
    }
    for (int i = 0; i < 3; i++) {
        left += done[i];
    }
    walk->trace->ended[SX_MAX_SIDE_OUTS] += left;
}

static void walk_along(const SxCourse *course, int way, bool *used, SxTrace *trace) {
    Walk walk = {.course = course, .trace = trace, .way = way, .used = used};
    walk_points(&walk);
    if (course->chain->rules.cap == 0) {
        walk_tie(&walk);
    }
}

void sx_course_follow(const SxCourse *course, SxTrace *trace) {
    bool used[SX_MOST_WAYS] = {false};
    *trace = (SxTrace){0};
    walk_along(course, SX_GO_ON, used, trace);
    for (int way = 0; way < SX_MOST_WAYS; way++) {
        if (used[way]) {
            walk_along(course, way, used, trace);
        }
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
