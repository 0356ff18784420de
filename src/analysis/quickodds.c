/* The set chain once more, for speed: two rows of the table at a time, receive and serve steps
 * apart, nothing kept but the odds at the start. */
#include "analysis/quickodds.h"

#include "analysis/stepvalues.h"

#include <string.h>

/* v[k] = now[k] + first[k] v[0] + second[k] v[1], backwards round the twelve steps. */
static void solve_tie(const double win[SX_STEPS], StepValues *tie) {
    double now[SX_STEPS + 2] = {0}, first[SX_STEPS + 2] = {0}, second[SX_STEPS + 2] = {0};
    first[SX_STEPS] = second[SX_STEPS + 1] = 1;
    for (int k = SX_STEPS - 1; k >= 0; k--) {
        const SxTieStep s = sx_tie_step(win, k);
        now[k] = s.win + s.one * now[k + 1] + s.two * now[k + 2];
        first[k] = s.one * first[k + 1] + s.two * first[k + 2];
        second[k] = s.one * second[k + 1] + s.two * second[k + 2];
    }
    sx_step_solve(now, first, second, tie);
}

/* The values at 0-0 of one track. */
static void run_track(const SxSetRules *rules, const double win[SX_STEPS], StepValues *out) {
    double rate[SX_STEPS] = {0}, receive[SX_HALF_STEPS], serve[SX_HALF_STEPS];
    sx_step_rates(win, rate);
    sx_step_split(rate, receive, serve);
    StepValues rows[2][SX_MAX_POINTS + 1], won, lost, tie = {{0}, {0}};
    const int limit = rules->cap > 0 ? rules->cap : rules->target;
    const int tied = rules->cap > 0 ? limit : rules->target - 1;
    if (rules->cap == 0) {
        solve_tie(rate, &tie);
    }
    sx_step_values_fill(&won, 1);
    sx_step_values_fill(&lost, 0);
    for (int ours = limit - 1; ours >= 0; ours--) {
        StepValues *here = rows[ours % 2];
        const StepValues *above = rows[(ours + 1) % 2];
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
            const StepValues *up = sx_set_winner(rules, ours + 1, theirs) ? &won : &above[theirs];
            const StepValues *down =
                sx_set_winner(rules, ours, theirs + 1) ? &lost : &here[theirs + 1];
            sx_step_rally(receive, serve, up->serve, up->serve, down->receive, &here[theirs]);
        }
    }
    *out = rows[0][0];
}

void sx_quick_starts(const QuickOdds *quick, const StepRates *win, StartOdds mean) {
    memset(mean, 0, sizeof(StartOdds));
    for (int t = 0; t < quick->tracks; t++) {
        StepValues start;
        run_track(&quick->rules, win->of[t], &start);
        sx_step_starts(&start, quick->tracks, mean);
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
