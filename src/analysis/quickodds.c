/* The set chain once more, for speed: two rows of the table at a time, receive and serve steps
 * apart, nothing kept but the odds at the start. */
#include "analysis/quickodds.h"

#include <string.h>

enum { HALF = SX_STEPS / 2 };

/* Below 1 by this much every set ends; the odds do not change in the digits that are compared. */
static const double LEAST_MISS = 1e-13;

/* Values by step: those in which we receive, the first once more behind the last, and those in
 * which we serve. */
typedef struct {
    double receive[HALF + 1], serve[HALF];
} Values;

static void fill(Values *at, double value) {
    for (int m = 0; m < HALF; m++) {
        at->receive[m] = at->serve[m] = value;
    }
    at->receive[HALF] = value;
}

/* v[k] = now[k] + first[k] v[0] + second[k] v[1], backwards round the twelve steps. */
static void solve_tie(const double win[SX_STEPS], Values *tie) {
    double now[SX_STEPS + 2] = {0}, first[SX_STEPS + 2] = {0}, second[SX_STEPS + 2] = {0};
    first[SX_STEPS] = second[SX_STEPS + 1] = 1;
    for (int k = SX_STEPS - 1; k >= 0; k--) {
        const SxTieStep s = sx_tie_step(win, k);
        now[k] = s.win + s.one * now[k + 1] + s.two * now[k + 2];
        first[k] = s.one * first[k + 1] + s.two * first[k + 2];
        second[k] = s.one * second[k + 1] + s.two * second[k + 2];
    }
    const double a = 1 - first[0], b = second[0], c = first[1], d = 1 - second[1];
    const double one = (a * now[1] + c * now[0]) / (a * d - b * c);
    const double zero = (now[0] + b * one) / a;
    for (int k = 0; k < SX_STEPS; k++) {
        const double value = now[k] + first[k] * zero + second[k] * one;
        *(k % 2 == 0 ? &tie->receive[k / 2] : &tie->serve[k / 2]) = value;
    }
    tie->receive[HALF] = tie->receive[0];
}

/* One rally: a side-out of ours leads to `up`, one of theirs, a step on, to `down`. Unchecked: here
 * a plan spends most of its time, and nothing is indexed but by constants. */
SX_UNCHECKED static inline void play_rally(const double receive[HALF], const double serve[HALF],
                                           const double up[HALF], const double down[HALF + 1],
                                           Values *restrict now) {
    for (int m = 0; m < HALF; m++) {
        now->receive[m] = down[m] + receive[m] * (up[m] - down[m]);
    }
    for (int m = 0; m < HALF; m++) {
        now->serve[m] = down[m + 1] + serve[m] * (up[m] - down[m + 1]);
    }
    now->receive[HALF] = now->receive[0];
}

/* The values at 0-0 of one track. */
static void run_track(const SxSetRules *rules, const double win[SX_STEPS], Values *out) {
    double rate[SX_STEPS], receive[HALF], serve[HALF];
    for (int k = 0; k < SX_STEPS; k++) {
        rate[k] = win[k] < 1 - LEAST_MISS ? win[k] : 1 - LEAST_MISS;
        *(k % 2 == 0 ? &receive[k / 2] : &serve[k / 2]) = rate[k];
    }
    Values rows[2][SX_MAX_POINTS + 1], won, lost, tie = {{0}, {0}};
    const int limit = rules->cap > 0 ? rules->cap : rules->target;
    const int tied = rules->cap > 0 ? limit : rules->target - 1;
    if (rules->cap == 0) {
        solve_tie(rate, &tie);
    }
    fill(&won, 1);
    fill(&lost, 0);
    for (int ours = limit - 1; ours >= 0; ours--) {
        Values *here = rows[ours % 2];
        const Values *above = rows[(ours + 1) % 2];
        for (int theirs = limit - 1; theirs >= 0; theirs--) {
            if (ours == tied && theirs == tied) {
                here[theirs] = tie;
                continue;
            }
            const int over = sx_set_winner(rules, ours, theirs);
            if (over != 0) {
                here[theirs] = over > 0 ? won : lost;
                continue;
            }
            const Values *up = sx_set_winner(rules, ours + 1, theirs) ? &won : &above[theirs];
            const Values *down = sx_set_winner(rules, ours, theirs + 1) ? &lost : &here[theirs + 1];
            play_rally(receive, serve, up->serve, down->receive, &here[theirs]);
        }
    }
    *out = rows[0][0];
}

void sx_quick_starts(const QuickOdds *quick, const StepRates *win, StartOdds mean) {
    memset(mean, 0, sizeof(StartOdds));
    for (int t = 0; t < quick->tracks; t++) {
        Values start;
        run_track(&quick->rules, win->of[t], &start);
        for (int m = 0; m < HALF; m++) {
            mean[SX_RECEIVE][m] += start.receive[m] / quick->tracks;
            mean[SX_SERVE][(m + 1) % SX_ROTATIONS] += start.serve[m] / quick->tracks;
        }
    }
}

double sx_quick_best(const QuickOdds *quick, StartOdds mean) {
    double sum = 0;
    for (int phase = 0; phase < SX_PHASES; phase++) {
        double best = quick->start >= 0 ? mean[phase][quick->start] : 0;
        for (int r = 0; quick->start < 0 && r < SX_ROTATIONS; r++) {
            best = mean[phase][r] > best ? mean[phase][r] : best;
        }
        sum += best / SX_PHASES;
    }
    return sum;
}

double sx_quick_odds(const QuickOdds *quick, const StepRates *win) {
    StartOdds mean;
    sx_quick_starts(quick, win, mean);
    return sx_quick_best(quick, mean);
}
