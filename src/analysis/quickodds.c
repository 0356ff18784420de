/* The set chain once more, for speed: two rows of the table at a time, receive and serve steps
 * apart, nothing kept but the odds at the start. */
#include "analysis/quickodds.h"

#include "analysis/stepvalues.h"

#include <string.h>

/* v[k] = now[k] + first[k] v[0] + second[k] v[1], backwards round the twelve steps. */
static void solve_tie(const double win[SX_STEPS], SxSixes *receive, SxSixes *serve) {
    StepValues tie;
    double now[SX_STEPS + 2] = {0}, first[SX_STEPS + 2] = {0}, second[SX_STEPS + 2] = {0};
    first[SX_STEPS] = second[SX_STEPS + 1] = 1;
    for (int k = SX_STEPS - 1; k >= 0; k--) {
        const SxTieStep s = sx_tie_step(win, k);
        now[k] = s.win + s.one * now[k + 1] + s.two * now[k + 2];
        first[k] = s.one * first[k + 1] + s.two * first[k + 2];
        second[k] = s.one * second[k + 1] + s.two * second[k + 2];
    }
    sx_step_solve(now, first, second, &tie);
    *receive = sx_sixes_of(tie.receive);
    *serve = sx_sixes_of(tie.serve);
}

/* From target - 1 points of ours on a lead of two decides, or the cap. What a row leaves alone
 * stays 1: we have won there. */
static void fill_capped_rows(const SxSetRules *rules, const SxRowRates *rates, SxSixes *down,
                             SxSixes *row) {
    for (int ours = rules->cap - 1; ours >= rules->target - 1; ours--) {
        const int high = ours + 1 < rules->cap ? ours + 1 : ours;
        *down = sx_sixes_all(0);
        sx_sixes_row(rates, high, ours < rules->target ? 0 : ours - 1, NULL, row, down, row);
    }
}

/* The values at 0-0 of one track; row by row, most points of ours first. */
static void run_track(const SxSetRules *rules, const double win[SX_STEPS], StepValues *out) {
    const int last = rules->target - 1;
    SxSixes row[SX_MAX_POINTS + 1]; /* the values at our serve of the row before, by their points */
    SxSixes between[SX_MAX_POINTS + 1], *const into[2] = {between, row};
    SxSixes down;
    double rate[SX_STEPS] = {0};
    sx_step_rates(win, rate);
    const SxRowRates rates = sx_row_rates(rate);
    for (int theirs = 0; theirs <= last || theirs < rules->cap; theirs++) {
        row[theirs] = sx_sixes_all(1);
    }
    if (rules->cap > 0) {
        fill_capped_rows(rules, &rates, &down, row);
    } else {
        solve_tie(rate, &down, &row[last]);
        sx_sixes_row(&rates, last - 1, 0, NULL, row, &down, row);
    }
    for (int left = last; left > 0; left -= left % 2 ? 1 : 2) {
        down = sx_sixes_all(0);
        if (left % 2) {
            sx_sixes_row(&rates, last, 0, NULL, row, &down, row);
        } else {
            sx_sixes_two_rows(&rates, last, NULL, row, &down, into);
        }
    }
    sx_sixes_values(&down, &row[0], out);
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
