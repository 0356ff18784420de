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

/* Scores row by row, most points of ours first. */
typedef struct {
    SxSixes receive, serve;         /* our rally odds by step */
    SxSixes row[SX_MAX_POINTS + 1]; /* the values at our serve of the row before, by their points */
} Rows;

/* One row alone, their points falling from `high` to `low`; down: the value of a point for them. */
SX_UNCHECKED static void fill_row(Rows *rows, int high, int low, SxSixes *down) {
    for (int theirs = high; theirs >= low; theirs--) {
        const SxSixes up = rows->row[theirs];
        sx_sixes_rally(&rows->receive, &rows->serve, &up, &up, down, &rows->row[theirs]);
    }
}

/* Two rows at once, the second a point of theirs behind: neither waits for the other's sums. */
SX_UNCHECKED static void fill_two_rows(Rows *rows, int high, SxSixes *down) {
    const SxSixes receive = rows->receive, serve = rows->serve;
    SxSixes first = *down, second = *down, up = rows->row[high], served;
    sx_sixes_rally(&receive, &serve, &up, &up, &first, &served);
    for (int theirs = high - 1; theirs >= 0; theirs--) {
        up = rows->row[theirs];
        sx_sixes_rally(&receive, &serve, &served, &served, &second, &rows->row[theirs + 1]);
        sx_sixes_rally(&receive, &serve, &up, &up, &first, &served);
    }
    sx_sixes_rally(&receive, &serve, &served, &served, &second, &rows->row[0]);
    *down = second;
}

/* From target - 1 points of ours on a lead of two decides, or the cap. What a row leaves alone
 * stays 1: we have won there. */
static void fill_capped_rows(const SxSetRules *rules, Rows *rows, SxSixes *down) {
    for (int ours = rules->cap - 1; ours >= rules->target - 1; ours--) {
        const int high = ours + 1 < rules->cap ? ours + 1 : ours;
        *down = sx_sixes_all(0);
        fill_row(rows, high, ours < rules->target ? 0 : ours - 1, down);
    }
}

/* The values at 0-0 of one track. */
static void run_track(const SxSetRules *rules, const double win[SX_STEPS], StepValues *out) {
    double rate[SX_STEPS] = {0}, receive[SX_HALF_STEPS], serve[SX_HALF_STEPS];
    Rows rows;
    SxSixes down;
    const int last = rules->target - 1;
    sx_step_rates(win, rate);
    sx_step_split(rate, receive, serve);
    rows.receive = sx_sixes_of(receive);
    rows.serve = sx_sixes_of(serve);
    for (int theirs = 0; theirs <= last || theirs < rules->cap; theirs++) {
        rows.row[theirs] = sx_sixes_all(1);
    }
    if (rules->cap > 0) {
        fill_capped_rows(rules, &rows, &down);
    } else {
        solve_tie(rate, &down, &rows.row[last]);
        fill_row(&rows, last - 1, 0, &down);
    }
    for (int left = last; left > 0; left -= left % 2 ? 1 : 2) {
        down = sx_sixes_all(0);
        if (left % 2) {
            fill_row(&rows, last, 0, &down);
        } else {
            fill_two_rows(&rows, last, &down);
        }
    }
    sx_sixes_values(&down, &rows.row[0], out);
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
