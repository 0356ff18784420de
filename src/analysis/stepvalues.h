/* The values of one score by step, and what one rally makes of them. Internal to the tables of odds
 * that a search fills over and over: quickodds.c, limitodds.c. */
#ifndef SIXTURN_ANALYSIS_STEPVALUES_H
#define SIXTURN_ANALYSIS_STEPVALUES_H

#include "analysis/setchain.h"

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

#endif
