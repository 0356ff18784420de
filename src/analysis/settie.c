/* Play from target - 1 all, solved in closed form.
 *
 * From a tie two rallies end the set or lead back to a tie, one or two steps further on. So the
 * value of a tie is  v[k] = now[k] + one[k] v[k+1] + two[k] v[k+2],  steps modulo twelve; going
 * backwards every v[k] becomes a linear function of v[0] and v[1], which leaves two equations. */
#include "analysis/setchain.h"

#include <string.h>

SxTieStep sx_tie_step_of(bool receive, double here, double next) {
    if (receive) {
        /* won: +1 and we serve in the next step; lost: -1 and we receive in this one */
        return (SxTieStep){.win = here * next,
                           .two = here * (1 - next),
                           .one = (1 - here) * here,
                           .lose = (1 - here) * (1 - here)};
    }
    /* won: +1 and we serve in this step; lost: -1 and we receive in the next one */
    return (SxTieStep){.win = here * here,
                       .one = here * (1 - here),
                       .two = (1 - here) * next,
                       .lose = (1 - here) * (1 - next)};
}

SxTieStep sx_tie_step(const double win[SX_STEPS], int step) {
    return sx_tie_step_of(sx_step_phase(step) == SX_RECEIVE, win[step], win[(step + 1) % SX_STEPS]);
}

/* v[k] = first[k] v[0] + second[k] v[1] + the solution's own constant; ends[k] is the chance that
 * the set ends before the steps come round to 0 or 1 again. The three add up to 1; keeping all
 * three, no small difference of large numbers is ever taken, so rates near 0 and 1 do no harm. */
typedef struct {
    SxTieStep step[SX_STEPS];
    double first[SX_STEPS + 2], second[SX_STEPS + 2], ends[SX_STEPS + 2];
} TieRound;

static void tie_round(const double win[SX_STEPS], TieRound *round) {
    memset(round, 0, sizeof *round);
    round->first[SX_STEPS] = 1;
    round->second[SX_STEPS + 1] = 1;
    for (int k = SX_STEPS - 1; k >= 0; k--) {
        const SxTieStep s = round->step[k] = sx_tie_step(win, k);
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

static bool may_never_end(const TieRound *round) {
    return !(leaves_second(round) > 0) || !(leaves_first(round) > 0);
}

/* now[k] is what the two rallies from a tie in step k are worth in themselves. */
static void tie_values(const TieRound *round, const double now[SX_STEPS], double value[SX_STEPS]) {
    double constant[SX_STEPS + 2] = {0};
    for (int k = SX_STEPS - 1; k >= 0; k--) {
        const SxTieStep *s = &round->step[k];
        constant[k] = now[k] + s->one * constant[k + 1] + s->two * constant[k + 2];
    }
    const double stay = leaves_second(round);
    const double v0 = (constant[0] + round->second[0] * constant[1] / stay) / leaves_first(round);
    const double v1 = (constant[1] + round->first[1] * v0) / stay;
    for (int k = 0; k < SX_STEPS; k++) {
        value[k] = constant[k] + round->first[k] * v0 + round->second[k] * v1;
    }
}

static void tie_win(const TieRound *round, double value[SX_STEPS]) {
    double now[SX_STEPS];
    for (int k = 0; k < SX_STEPS; k++) {
        now[k] = round->step[k].win;
    }
    tie_values(round, now, value);
}

bool sx_tie_win(const double win[SX_STEPS], double value[SX_STEPS]) {
    TieRound round;
    tie_round(win, &round);
    if (may_never_end(&round)) {
        return false;
    }
    tie_win(&round, value);
    return true;
}

/* How often the score is level in step k, for all the ways into a tie. */
static double times_level(const TieRound *round, const double entered[SX_STEPS], int k) {
    double now[SX_STEPS] = {0}, value[SX_STEPS], sum = 0;
    now[k] = 1;
    tie_values(round, now, value);
    for (int from = 0; from < SX_STEPS; from++) {
        sum += entered[from] * value[from];
    }
    return sum;
}

void sx_tie_slope(const double win[SX_STEPS], const double value[SX_STEPS],
                  const double entered[SX_STEPS], double slope[SX_STEPS]) {
    TieRound round;
    tie_round(win, &round);
    for (int k = 0; k < SX_STEPS; k++) {
        const int then = (k + 1) % SX_STEPS;
        const double here = win[k], next = win[then];
        const double one = value[then], two = value[(k + 2) % SX_STEPS];
        const double level = times_level(&round, entered, k);
        /* of sx_tie_step's win + one * v[k+1] + two * v[k+2], by the two rallies */
        if (sx_step_phase(k) == SX_RECEIVE) {
            slope[k] += level * (next + (1 - next) * two + (1 - 2 * here) * one);
            slope[then] += level * here * (1 - two);
        } else {
            slope[k] += level * (2 * here + (1 - 2 * here) * one - next * two);
            slope[then] += level * (1 - here) * two;
        }
    }
}

bool sx_tie_solve(const double win[SX_STEPS], SxTie *tie) {
    TieRound round;
    tie_round(win, &round);
    if (may_never_end(&round)) {
        return false;
    }
    double now[SX_STEPS], value[SX_STEPS];
    tie_win(&round, tie->win);
    for (int counted = 0; counted < SX_STEPS; counted++) {
        for (int k = 0; k < SX_STEPS; k++) {
            const int next = (k + 1) % SX_STEPS;
            const double moves_on = sx_step_phase(k) == SX_RECEIVE ? win[k] : 1 - win[k];
            now[k] = (k == counted) * (2 - moves_on) + (next == counted) * moves_on;
        }
        tie_values(&round, now, value);
        for (int k = 0; k < SX_STEPS; k++) {
            tie->visits[k][counted] = value[k];
        }
    }
    return true;
}
