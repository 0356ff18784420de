/* The values of one score by step, and what one rally makes of them. Internal to the tables of odds
 * that a search fills over and over: quickodds.c, limitodds.c. All inline, for speed. */
#ifndef SIXTURN_ANALYSIS_STEPVALUES_H
#define SIXTURN_ANALYSIS_STEPVALUES_H

#include "analysis/setchain.h"

#include <string.h>

enum { SX_HALF_STEPS = SX_STEPS / 2 };

/* Below 1 by this much every set ends; the odds do not change in the digits that are compared. */
static const double SX_LEAST_MISS = 1e-13;

/* Steps in which we receive, the first once more behind the last, and those in which we serve. */
typedef struct {
    double receive[SX_HALF_STEPS + 1], serve[SX_HALF_STEPS];
} StepValues;

static inline void sx_step_values_fill(StepValues *values, double value) {
    for (int m = 0; m < SX_HALF_STEPS; m++) {
        values->receive[m] = values->serve[m] = value;
    }
    values->receive[SX_HALF_STEPS] = value;
}

/* Rally odds with which every set ends. */
static inline void sx_step_rates(const double win[SX_STEPS], double rate[SX_STEPS]) {
    for (int k = 0; k < SX_STEPS; k++) {
        rate[k] = win[k] < 1 - SX_LEAST_MISS ? win[k] : 1 - SX_LEAST_MISS;
    }
}

static inline void sx_step_split(const double step[SX_STEPS], double receive[SX_HALF_STEPS],
                                 double serve[SX_HALF_STEPS]) {
    for (int m = 0; m < SX_HALF_STEPS; m++) {
        receive[m] = step[2 * m];
        serve[m] = step[2 * m + 1];
    }
}

/* v[k] = now[k] + first[k] v[0] + second[k] v[1]: solved for the first two, then all. */
static inline void sx_step_solve(const double now[SX_STEPS], const double first[SX_STEPS],
                                 const double second[SX_STEPS], StepValues *values) {
    const double a = 1 - first[0], b = second[0], c = first[1], d = 1 - second[1];
    const double one = (a * now[1] + c * now[0]) / (a * d - b * c);
    const double zero = (now[0] + b * one) / a;
    double value[SX_STEPS];
    for (int k = 0; k < SX_STEPS; k++) {
        value[k] = now[k] + first[k] * zero + second[k] * one;
    }
    sx_step_split(value, values->receive, values->serve);
    values->receive[SX_HALF_STEPS] = values->receive[0];
}

/* Adds the values at 0-0 of one of so many tracks to the mean by who serves first and our start. */
static inline void sx_step_starts(const StepValues *start, int tracks,
                                  double mean[SX_PHASES][SX_ROTATIONS]) {
    for (int m = 0; m < SX_HALF_STEPS; m++) {
        mean[SX_RECEIVE][m] += start->receive[m] / tracks;
        mean[SX_SERVE][(m + 1) % SX_ROTATIONS] += start->serve[m] / tracks;
    }
}

/* One rally: a side-out of ours leads to `side_out`, a point on our serve to `up`, a lost rally to
 * `down`, one of their side-outs a step on. Unchecked: here searches spend most of their time, and
 * nothing is indexed but by constants. */
SX_UNCHECKED static inline void
sx_step_rally(const double receive[SX_HALF_STEPS], const double serve[SX_HALF_STEPS],
              const double side_out[SX_HALF_STEPS], const double up[SX_HALF_STEPS],
              const double down[SX_HALF_STEPS + 1], StepValues *restrict now) {
    for (int m = 0; m < SX_HALF_STEPS; m++) {
        now->receive[m] = down[m] + receive[m] * (side_out[m] - down[m]);
    }
    for (int m = 0; m < SX_HALF_STEPS; m++) {
        now->serve[m] = down[m + 1] + serve[m] * (up[m] - down[m + 1]);
    }
    now->receive[SX_HALF_STEPS] = now->receive[0];
}

/* --- by pairs ----------------------------------------------------------------------------------
 * The same rally with the six values of a kind of step as three pairs, which processors take at a
 * time; written out, so that they stay in registers. */

typedef double SxPair __attribute__((vector_size(2 * sizeof(double))));
typedef struct {
    SxPair a, b, c;
} SxSixes;

static inline SxSixes sx_sixes_of(const double value[SX_HALF_STEPS]) {
    return (SxSixes){{value[0], value[1]}, {value[2], value[3]}, {value[4], value[5]}};
}

static inline SxSixes sx_sixes_all(double value) {
    return (SxSixes){{value, value}, {value, value}, {value, value}};
}

static inline void sx_sixes_values(const SxSixes *receive, const SxSixes *serve,
                                   StepValues *values) {
    memcpy(values->receive, receive, sizeof *receive);
    memcpy(values->serve, serve, sizeof *serve);
    values->receive[SX_HALF_STEPS] = values->receive[0];
}

/* value: at our receive, with a point more for them before the rally, of this score after it.
 * served: at our serve. */
SX_UNCHECKED static inline void sx_sixes_rally(const SxSixes *receive, const SxSixes *serve,
                                               const SxSixes *side_out, const SxSixes *up,
                                               SxSixes *value, SxSixes *served) {
    const SxSixes down = *value; /* their side-out leads a step on */
    const SxPair a = {down.a[1], down.b[0]}, b = {down.b[1], down.c[0]}, c = {down.c[1], down.a[0]};
    served->a = a + serve->a * (up->a - a);
    served->b = b + serve->b * (up->b - b);
    served->c = c + serve->c * (up->c - c);
    value->a = down.a + receive->a * (side_out->a - down.a);
    value->b = down.b + receive->b * (side_out->b - down.b);
    value->c = down.c + receive->c * (side_out->c - down.c);
}

#endif
