/* The exact set chain.
 *
 * Side-outs alternate between the teams, so from a given start the two rotations and the server
 * are told by one number, the side-outs made so far. Modulo twelve that is the 'step': even steps
 * are ours to receive, odd steps ours to serve, and a side-out leads to the next step. The 72 serve
 * states fall into six 'tracks' of twelve steps that never meet; a track is told by the difference
 * of the rotations. */
#include "sixturn/setodds.h"

#include <assert.h>
#include <stdlib.h>
#include <string.h>

enum {
    TRACKS = SX_ROTATIONS,
    STEPS = 2 * SX_ROTATIONS,
    STATES = TRACKS * STEPS,
    /* side-outs followed one by one: both teams' for SX_MAX_ADVANCES of ours, and one over */
    MAX_SIDE_OUTS = 2 * SX_MAX_ADVANCES + 2
};

/* Play from target - 1 all, by the step in which it is reached. */
typedef struct {
    double win[STEPS];
    double visits[STEPS][STEPS]; /* expected rallies in each step */
} Tie;

struct SxSetChain {
    SxSetRules rules;
    int limit;                 /* no side has more points before the end or the tie */
    double win[TRACKS][STEPS]; /* probability that we win the rally */
    Tie tie[TRACKS];           /* unused with a cap */
    double *table;             /* set odds [our points][their points][track][step] */
};

static int step_of(SxServeState state) {
    assert(state.ours >= 0 && state.ours < SX_ROTATIONS);
    assert(state.theirs >= 0 && state.theirs < SX_ROTATIONS);
    if (state.phase == SX_RECEIVE) {
        return 2 * state.ours;
    }
    return 2 * ((state.ours + SX_ROTATIONS - 1) % SX_ROTATIONS) + 1;
}

static int track_of(SxServeState state) {
    return (state.theirs - step_of(state) / 2 + SX_ROTATIONS) % SX_ROTATIONS;
}

static SxPhase phase_of(int step) {
    return step % 2 == 0 ? SX_RECEIVE : SX_SERVE;
}

static int our_rotation(int step) {
    return (step / 2 + step % 2) % SX_ROTATIONS;
}

static int their_rotation(int track, int step) {
    return (step / 2 + track) % SX_ROTATIONS;
}

/* Side-outs of ours among the first count side-outs of a set. */
static int our_advances(SxPhase first, int count) {
    return first == SX_RECEIVE ? (count + 1) / 2 : count / 2;
}

void sx_rates_by_rotation(const double side_out[SX_ROTATIONS],
                          const double break_point[SX_ROTATIONS], SxRates *rates) {
    for (int ours = 0; ours < SX_ROTATIONS; ours++) {
        for (int theirs = 0; theirs < SX_ROTATIONS; theirs++) {
            rates->receive[ours][theirs] = side_out[ours];
            rates->serve[ours][theirs] = break_point[ours];
        }
    }
}

void sx_rates_mirror(const SxRates *rates, SxRates *theirs) {
    SxRates mirrored;
    for (int i = 0; i < SX_ROTATIONS; i++) {
        for (int j = 0; j < SX_ROTATIONS; j++) {
            mirrored.receive[j][i] = 1 - rates->serve[i][j];
            mirrored.serve[j][i] = 1 - rates->receive[i][j];
        }
    }
    *theirs = mirrored;
}

/* --- Play from a tie -----------------------------------------------------------------------
 *
 * From a tie two rallies end the set or lead back to a tie, one or two steps further on. So the
 * value of a tie is  v[k] = now[k] + one[k] v[k+1] + two[k] v[k+2],  steps modulo twelve; going
 * backwards every v[k] becomes a linear function of v[0] and v[1], which leaves two equations. */

typedef struct {
    double win, lose; /* the set ends within the two rallies */
    double one, two;  /* back to a tie, one or two steps further on */
} TieStep;

static TieStep tie_step(const double win[STEPS], int step) {
    const double here = win[step], next = win[(step + 1) % STEPS];
    if (phase_of(step) == SX_RECEIVE) {
        /* won: +1 and we serve in the next step; lost: -1 and we receive in this one */
        return (TieStep){.win = here * next,
                         .two = here * (1 - next),
                         .one = (1 - here) * here,
                         .lose = (1 - here) * (1 - here)};
    }
    /* won: +1 and we serve in this step; lost: -1 and we receive in the next one */
    return (TieStep){.win = here * here,
                     .one = here * (1 - here),
                     .two = (1 - here) * next,
                     .lose = (1 - here) * (1 - next)};
}

/* v[k] = first[k] v[0] + second[k] v[1] + the solution's own constant; ends[k] is the chance that
 * the set ends before the steps come round to 0 or 1 again. The three add up to 1; keeping all
 * three, no small difference of large numbers is ever taken, so rates near 0 and 1 do no harm. */
typedef struct {
    TieStep step[STEPS];
    double first[STEPS + 2], second[STEPS + 2], ends[STEPS + 2];
} TieRound;

static void tie_round(const double win[STEPS], TieRound *round) {
    memset(round, 0, sizeof *round);
    round->first[STEPS] = 1;
    round->second[STEPS + 1] = 1;
    for (int k = STEPS - 1; k >= 0; k--) {
        const TieStep s = round->step[k] = tie_step(win, k);
        round->first[k] = s.one * round->first[k + 1] + s.two * round->first[k + 2];
        round->second[k] = s.one * round->second[k + 1] + s.two * round->second[k + 2];
        round->ends[k] = s.win + s.lose + s.one * round->ends[k + 1] + s.two * round->ends[k + 2];
    }
}

/* 1 minus the chance that step 1 comes round to step 1 without step 0 between. */
static double leaves_second(const TieRound *round) {
    return round->first[1] + round->ends[1];
}

/* 1 minus the chance that step 0 comes round to step 0, by way of step 1 or not. */
static double leaves_first(const TieRound *round) {
    return round->ends[0] + round->second[0] * round->ends[1] / leaves_second(round);
}

static bool tie_may_never_end(const TieRound *round) {
    return !(leaves_second(round) > 0) || !(leaves_first(round) > 0);
}

/* now[k] is what the two rallies from a tie in step k are worth in themselves. */
static void tie_values(const TieRound *round, const double now[STEPS], double value[STEPS]) {
    double constant[STEPS + 2] = {0};
    for (int k = STEPS - 1; k >= 0; k--) {
        const TieStep *s = &round->step[k];
        constant[k] = now[k] + s->one * constant[k + 1] + s->two * constant[k + 2];
    }
    const double stay = leaves_second(round);
    const double v0 = (constant[0] + round->second[0] * constant[1] / stay) / leaves_first(round);
    const double v1 = (constant[1] + round->first[1] * v0) / stay;
    for (int k = 0; k < STEPS; k++) {
        value[k] = constant[k] + round->first[k] * v0 + round->second[k] * v1;
    }
}

static void tie_solve(const double win[STEPS], const TieRound *round, Tie *tie) {
    double now[STEPS], value[STEPS];
    for (int k = 0; k < STEPS; k++) {
        now[k] = round->step[k].win;
    }
    tie_values(round, now, tie->win);
    for (int counted = 0; counted < STEPS; counted++) {
        for (int k = 0; k < STEPS; k++) {
            const int next = (k + 1) % STEPS;
            const double moves_on = phase_of(k) == SX_RECEIVE ? win[k] : 1 - win[k];
            now[k] = (k == counted) * (2 - moves_on) + (next == counted) * moves_on;
        }
        tie_values(round, now, value);
        for (int k = 0; k < STEPS; k++) {
            tie->visits[k][counted] = value[k];
        }
    }
}

/* --- The table of set odds ------------------------------------------------------------------ */

/* 1 we have won, -1 they have, 0 not over yet. */
static int winner(const SxSetRules *rules, int ours, int theirs) {
    const int most = ours > theirs ? ours : theirs;
    const int lead = abs(ours - theirs);
    const bool over =
        (rules->cap > 0 && most >= rules->cap) || (most >= rules->target && lead >= 2);
    return !over ? 0 : ours > theirs ? 1 : -1;
}

static bool is_tie(const SxSetChain *chain, int ours, int theirs) {
    return chain->rules.cap == 0 && ours == chain->rules.target - 1 && theirs == ours;
}

static double *cell(const SxSetChain *chain, int ours, int theirs) {
    return chain->table + ((size_t)ours * (size_t)(chain->limit + 1) + (size_t)theirs) * STATES;
}

static void fill_cell(SxSetChain *chain, int ours, int theirs) {
    double *here = cell(chain, ours, theirs);
    const int over = winner(&chain->rules, ours, theirs);
    if (over != 0) {
        for (int s = 0; s < STATES; s++) {
            here[s] = over > 0;
        }
        return;
    }
    if (is_tie(chain, ours, theirs)) {
        for (int t = 0; t < TRACKS; t++) {
            memcpy(here + t * STEPS, chain->tie[t].win, sizeof chain->tie[t].win);
        }
        return;
    }
    if (ours == chain->limit || theirs == chain->limit) {
        return; /* only reached from a tie, never looked up */
    }
    const double *won = cell(chain, ours + 1, theirs), *lost = cell(chain, ours, theirs + 1);
    for (int t = 0; t < TRACKS; t++) {
        const double *p = chain->win[t];
        for (int k = 0; k < STEPS; k += 2) {
            const int receive = t * STEPS + k, serve = receive + 1;
            const int after = t * STEPS + (k + 2) % STEPS;
            here[receive] = p[k] * won[serve] + (1 - p[k]) * lost[receive];
            here[serve] = p[k + 1] * won[serve] + (1 - p[k + 1]) * lost[after];
        }
    }
}

static SxStatus check_rates(const SxRates *rates, SxError *err) {
    for (int i = 0; i < SX_ROTATIONS; i++) {
        for (int j = 0; j < SX_ROTATIONS; j++) {
            for (int phase = 0; phase < SX_PHASES; phase++) {
                const double rate = phase == SX_RECEIVE ? rates->receive[i][j] : rates->serve[i][j];
                if (!(rate >= 0 && rate <= 1)) {
                    return sx_fail(err, SX_BAD_INPUT,
                                   "our chance to win a rally when we %s in rotation %d and they "
                                   "are in rotation %d is %g; it must be from 0 to 1",
                                   phase == SX_RECEIVE ? "receive" : "serve", i + 1, j + 1, rate);
                }
            }
        }
    }
    return SX_OK;
}

static SxStatus check_rules(const SxSetRules *rules, SxError *err) {
    if (rules->target < 1 || rules->target > SX_MAX_POINTS) {
        return sx_fail(err, SX_BAD_INPUT, "a set goes to 1 to %d points, not to %d", SX_MAX_POINTS,
                       rules->target);
    }
    if (rules->cap != 0 && (rules->cap < rules->target || rules->cap > SX_MAX_POINTS)) {
        return sx_fail(err, SX_BAD_INPUT,
                       "the cap of a set to %d points is 0 (none) or %d to %d, not %d",
                       rules->target, rules->target, SX_MAX_POINTS, rules->cap);
    }
    return SX_OK;
}

static SxStatus check_state(SxServeState state, SxError *err) {
    if (state.ours < 0 || state.ours >= SX_ROTATIONS || state.theirs < 0 ||
        state.theirs >= SX_ROTATIONS || (state.phase != SX_RECEIVE && state.phase != SX_SERVE)) {
        return sx_fail(err, SX_USAGE, "no such start: our rotation %d, their rotation %d",
                       state.ours + 1, state.theirs + 1);
    }
    return SX_OK;
}

static SxStatus solve_ties(SxSetChain *chain, SxError *err) {
    for (int t = 0; t < TRACKS; t++) {
        TieRound round;
        tie_round(chain->win[t], &round);
        if (tie_may_never_end(&round)) {
            return sx_fail(err, SX_BAD_INPUT,
                           "the set would never end: when our rotation 1 receives against their "
                           "rotation %d, every later side-out of both teams is certain",
                           t + 1);
        }
        tie_solve(chain->win[t], &round, &chain->tie[t]);
    }
    return SX_OK;
}

static void order_by_step(const SxRates *rates, double win[TRACKS][STEPS]) {
    for (int t = 0; t < TRACKS; t++) {
        for (int k = 0; k < STEPS; k++) {
            const int ours = our_rotation(k), theirs = their_rotation(t, k);
            win[t][k] = phase_of(k) == SX_RECEIVE ? rates->receive[ours][theirs]
                                                  : rates->serve[ours][theirs];
        }
    }
}

SxStatus sx_set_chain_new(const SxRates *rates, const SxSetRules *rules, SxSetChain **chain,
                          SxError *err) {
    *chain = NULL;
    SxStatus status = check_rules(rules, err);
    if (status == SX_OK) {
        status = check_rates(rates, err);
    }
    if (status != SX_OK) {
        return status;
    }
    SxSetChain *made = calloc(1, sizeof *made);
    const int limit = rules->cap > 0 ? rules->cap : rules->target;
    const size_t side = (size_t)limit + 1;
    double *table = malloc(side * side * STATES * sizeof *table);
    if (!made || !table) {
        free(made);
        free(table);
        return sx_fail(err, SX_INTERNAL, "out of memory for the set chain");
    }
    made->rules = *rules;
    made->limit = limit;
    made->table = table;
    order_by_step(rates, made->win);
    if (rules->cap == 0) {
        status = solve_ties(made, err);
    }
    if (status != SX_OK) {
        sx_set_chain_free(made);
        return status;
    }
    for (int ours = limit; ours >= 0; ours--) {
        for (int theirs = limit; theirs >= 0; theirs--) {
            fill_cell(made, ours, theirs);
        }
    }
    *chain = made;
    return SX_OK;
}

void sx_set_chain_free(SxSetChain *chain) {
    if (chain) {
        free(chain->table);
        free(chain);
    }
}

static double win_from(const SxSetChain *chain, int ours, int theirs, int track, int step) {
    const int over = winner(&chain->rules, ours, theirs);
    if (over != 0) {
        return over > 0;
    }
    const int tie = chain->rules.target - 1;
    if (chain->rules.cap > 0 || ours < tie || theirs < tie) {
        return cell(chain, ours, theirs)[track * STEPS + step];
    }
    /* beyond target - 1 all only the lead counts */
    const double *value = chain->tie[track].win;
    const double rally = chain->win[track][step];
    const int next = (step + 1) % STEPS;
    if (ours == theirs) {
        return value[step];
    }
    return ours > theirs ? rally + (1 - rally) * value[phase_of(step) == SX_SERVE ? next : step]
                         : rally * value[phase_of(step) == SX_RECEIVE ? next : step];
}

double sx_set_chain_win(const SxSetChain *chain, int our_points, int their_points,
                        SxServeState state) {
    assert(our_points >= 0 && their_points >= 0);
    return win_from(chain, our_points, their_points, track_of(state), step_of(state));
}

/* --- From a start onwards -------------------------------------------------------------------- */

/* A start, and how far it is followed. */
typedef struct {
    const SxSetChain *chain;
    int track, step;
    SxPhase first;
    int stop; /* leave the set once this many side-outs are made; 0: never. A side-out
                 of ours. */
    const SxSetChain *after; /* what is played from the stop on */
} Course;

/* What was met on the way. All are probabilities or sums weighted by them. */
typedef struct {
    double rallies[STEPS];            /* expected, up to the tie */
    double tie_at[MAX_SIDE_OUTS + 1]; /* the tie reached after that many side-outs */
    double ended[MAX_SIDE_OUTS + 1];  /* the set ended after that many; the last: or more */
    double won_to[SX_MAX_POINTS], lost_to[SX_MAX_POINTS];
    double won, tie;
    double stopped, our_score, their_score, won_after; /* sets that got to the stop */
} Trace;

static Course course_from(const SxSetChain *chain, SxServeState start) {
    return (Course){chain, track_of(start), step_of(start), start.phase, 0, chain};
}

static int step_after(const Course *course, int side_outs) {
    return (course->step + side_outs) % STEPS;
}

static void note_end(Trace *trace, int side_outs, bool won, double mass) {
    trace->ended[side_outs < MAX_SIDE_OUTS ? side_outs : MAX_SIDE_OUTS] += mass;
    trace->won += won ? mass : 0;
}

static void note_stop(const Course *course, Trace *trace, double mass, double mean_tie, int lead) {
    const int tie = course->chain->rules.target - 1;
    trace->stopped += mass;
    trace->our_score += mass * lead + mean_tie;
    trace->their_score += mean_tie;
    trace->won_after += mass * win_from(course->after, tie + lead, tie, course->track,
                                        step_after(course, course->stop));
}

/* Sets that share a score, [side-outs made]. */
typedef double Crowd[2 * SX_MAX_POINTS + 2];

/* Where the crowd at a score goes once the score itself is looked at: false if it plays on. */
static bool leaves_points(const Course *course, Trace *trace, int ours, int theirs, int side_outs,
                          double mass) {
    const int over = winner(&course->chain->rules, ours, theirs);
    if (over != 0) {
        note_end(trace, side_outs, over > 0, mass);
        (over > 0 ? trace->won_to : trace->lost_to)[over > 0 ? theirs : ours] += mass;
        return true;
    }
    if (course->stop > 0 && side_outs >= course->stop) {
        trace->stopped += mass;
        trace->our_score += mass * ours;
        trace->their_score += mass * theirs;
        trace->won_after += mass * win_from(course->after, ours, theirs, course->track,
                                            step_after(course, side_outs));
        return true;
    }
    const int tie = course->chain->rules.target - 1;
    trace->tie += ours == tie && theirs == tie ? mass : 0;
    if (is_tie(course->chain, ours, theirs)) {
        trace->tie_at[side_outs] += mass;
        return true;
    }
    return false;
}

/* Plays one rally of the crowd at a score; lost is the crowd one point of theirs further. */
static void play_rally(const Course *course, Trace *trace, int ours, int theirs, const Crowd here,
                       Crowd won, Crowd lost) {
    /* every side-out is a point of the side that makes it, and they take turns */
    const int most = 2 * (ours < theirs ? ours : theirs) + 1;
    /* nobody rotates after the last point */
    const bool win_ends = winner(&course->chain->rules, ours + 1, theirs) != 0;
    const bool loss_ends = winner(&course->chain->rules, ours, theirs + 1) != 0;
    for (int k = 0; k <= most; k++) {
        const double mass = here[k];
        if (mass == 0 || leaves_points(course, trace, ours, theirs, k, mass)) {
            continue;
        }
        const int step = step_after(course, k);
        const double rally = course->chain->win[course->track][step];
        const bool receive = phase_of(step) == SX_RECEIVE;
        trace->rallies[step] += mass;
        won[k + (receive && !win_ends)] += mass * rally;
        lost[k + (!receive && !loss_ends)] += mass * (1 - rally);
    }
}

/* From 0-0 to the end of the set, the tie or the stop. */
static void walk_points(const Course *course, Trace *trace) {
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
static void walk_tie(const Course *course, Trace *trace) {
    const double *win = course->chain->win[course->track];
    const int last = course->stop > MAX_SIDE_OUTS ? course->stop : MAX_SIDE_OUTS;
    Level level[3] = {{0}};
    double left = 0;
    for (int k = 0; k <= last; k++) {
        Level here = level[k % 3];
        level[k % 3] = (Level){0};
        if (k <= MAX_SIDE_OUTS) {
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
        const bool receive = phase_of(step) == SX_RECEIVE;
        TieStep go = tie_step(win, step);
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
    trace->ended[MAX_SIDE_OUTS] += left;
}

SxStatus sx_set_odds(const SxSetChain *chain, SxServeState start, SxSetOdds *odds, SxError *err) {
    SxStatus status = check_state(start, err);
    if (status != SX_OK) {
        return status;
    }
    const Course course = course_from(chain, start);
    Trace trace = {0};
    walk_points(&course, &trace);
    memset(odds, 0, sizeof *odds);
    odds->win = cell(chain, 0, 0)[course.track * STEPS + course.step];
    odds->tie = trace.tie;
    for (int k = 0; k <= MAX_SIDE_OUTS; k++) {
        for (int s = 0; trace.tie_at[k] > 0 && s < STEPS; s++) {
            trace.rallies[s] +=
                trace.tie_at[k] * chain->tie[course.track].visits[step_after(&course, k)][s];
        }
    }
    walk_tie(&course, &trace);
    for (int s = 0; s < STEPS; s++) {
        const double won = trace.rallies[s] * chain->win[course.track][s];
        odds->rallies_in[our_rotation(s)][phase_of(s)] += trace.rallies[s];
        odds->rallies += trace.rallies[s];
        odds->points_for += won;
        odds->points_against += trace.rallies[s] - won;
    }
    for (int k = 0; k <= MAX_SIDE_OUTS; k++) {
        const int advances = our_advances(course.first, k);
        odds->advances[advances < SX_MAX_ADVANCES ? advances : SX_MAX_ADVANCES] += trace.ended[k];
    }
    memcpy(odds->won_to, trace.won_to, sizeof odds->won_to);
    memcpy(odds->lost_to, trace.lost_to, sizeof odds->lost_to);
    return SX_OK;
}

/* --- Substitutions ---------------------------------------------------------------------------- */

/* Substitutions the plan asks for in the first count rotations of ours after the start. */
static int planned(const SxSubstitutionPlan *plan, int start, int count) {
    int sum = 0;
    for (int n = 1; n <= count; n++) {
        sum += plan->entering[(start + n) % SX_ROTATIONS];
    }
    return sum;
}

/* The rotation of ours (1 is the first after the start) that the limit spoils; 0: none. */
static int spoilt_rotation(const SxSubstitutionPlan *plan, int start) {
    if (planned(plan, start, SX_ROTATIONS) == 0) {
        return 0;
    }
    int n = 1;
    while (planned(plan, start, n) <= plan->limit) {
        n++;
    }
    return n;
}

static SxStatus check_plan(const SxSetChain *chain, const SxSubstitutionPlan *plan, SxError *err) {
    for (int r = 0; r < SX_ROTATIONS; r++) {
        if (plan->entering[r] < 0 || plan->entering[r] > SX_SLOTS) {
            return sx_fail(err, SX_USAGE,
                           "%d substitutions on entering rotation %d; 0 to %d are possible",
                           plan->entering[r], r + 1, SX_SLOTS);
        }
    }
    if (plan->limit < 0 || plan->limit > SX_MAX_SUBSTITUTIONS) {
        return sx_fail(err, SX_USAGE, "a limit of %d substitutions; 0 to %d are possible",
                       plan->limit, SX_MAX_SUBSTITUTIONS);
    }
    if (plan->after && (plan->after->rules.target != chain->rules.target ||
                        plan->after->rules.cap != chain->rules.cap)) {
        return sx_fail(err, SX_USAGE, "the set goes to %d points before and to %d after the limit",
                       chain->rules.target, plan->after->rules.target);
    }
    return SX_OK;
}

SxStatus sx_substitution_odds(const SxSetChain *chain, SxServeState start,
                              const SxSubstitutionPlan *plan, SxSubstitutionOdds *odds,
                              SxError *err) {
    SxSetOdds set;
    SxStatus status = check_plan(chain, plan, err);
    if (status == SX_OK) {
        status = sx_set_odds(chain, start, &set, err);
    }
    if (status != SX_OK) {
        return status;
    }
    memset(odds, 0, sizeof *odds);
    for (int n = 0; n <= SX_MAX_ADVANCES; n++) {
        const int needed = planned(plan, start.ours, n);
        odds->needed[needed < SX_MAX_ADVANCES ? needed : SX_MAX_ADVANCES] += set.advances[n];
        odds->expected_needed += needed * set.advances[n];
    }
    odds->win = odds->win_unlimited = set.win;
    odds->runs_out_after = spoilt_rotation(plan, start.ours);
    if (odds->runs_out_after == 0) {
        return SX_OK;
    }
    Course course = course_from(chain, start);
    course.stop = 2 * odds->runs_out_after - (start.phase == SX_RECEIVE);
    course.after = plan->after ? plan->after : chain;
    Trace trace = {0};
    walk_points(&course, &trace);
    walk_tie(&course, &trace);
    odds->runs_out = trace.stopped;
    odds->win = trace.won + trace.won_after;
    if (trace.stopped > 0) {
        odds->our_score = trace.our_score / trace.stopped;
        odds->their_score = trace.their_score / trace.stopped;
    }
    return SX_OK;
}
