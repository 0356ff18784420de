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

static inline double sx_sixes_at(const SxSixes *six, int m) {
    double value;
    memcpy(&value, (const char *)six + (size_t)m * sizeof value, sizeof value);
    return value;
}

static inline void sx_sixes_put(SxSixes *six, int m, double value) {
    memcpy((char *)six + (size_t)m * sizeof value, &value, sizeof value);
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

/* What rows of scores have in common. */
typedef long long SxPairMask __attribute__((vector_size(sizeof(SxPair))));
typedef struct {
    SxPairMask a, b, c;
} SxSixesMask;
typedef struct {
    SxSixes receive, serve; /* our rally odds by step */
    SxSixesMask told;       /* all ones where what a side-out leads to is told beforehand */
} SxRowRates;

static inline SxRowRates sx_row_rates(const double rate[SX_STEPS]) {
    double receive[SX_HALF_STEPS], serve[SX_HALF_STEPS];
    sx_step_split(rate, receive, serve);
    return (SxRowRates){.receive = sx_sixes_of(receive), .serve = sx_sixes_of(serve)};
}

static inline SxPair sx_pair_pick(SxPairMask mask, SxPair told, SxPair free) {
    return (SxPair)(((SxPairMask)told & mask) | ((SxPairMask)free & ~mask));
}

/* told: NULL, or by their points. */
SX_UNCHECKED static inline void sx_sixes_score(const SxRowRates *rates, const SxSixes *told,
                                               const SxSixes *up, SxSixes *value, SxSixes *served) {
    SxSixes side_out = *up;
    if (told) {
        side_out = (SxSixes){sx_pair_pick(rates->told.a, told->a, up->a),
                             sx_pair_pick(rates->told.b, told->b, up->b),
                             sx_pair_pick(rates->told.c, told->c, up->c)};
    }
    sx_sixes_rally(&rates->receive, &rates->serve, &side_out, up, value, served);
}

/* A row of scores: their points fall from `high` to `low`. up: the values at our serve with a point
 * more of ours; value: at our receive, beyond `high` before, at `low` after; out: at our serve; all
 * but value by their points. */
SX_UNCHECKED static inline void sx_sixes_row(const SxRowRates *rates, int high, int low,
                                             const SxSixes *told, const SxSixes *up, SxSixes *value,
                                             SxSixes *out) {
    SxSixes here = *value;
    for (int theirs = high; theirs >= low; theirs--) {
        const SxSixes above = up[theirs];
        sx_sixes_score(rates, told ? &told[theirs] : NULL, &above, &here, &out[theirs]);
    }
    *value = here;
}

/* Two whole rows, the second a point of theirs behind, so that neither waits for the other's sums.
 * up and the second's out may be the same. */
SX_UNCHECKED static inline void sx_sixes_two_rows(const SxRowRates *rates, int high,
                                                  const SxSixes *const told[2], const SxSixes *up,
                                                  SxSixes *value, SxSixes *const out[2]) {
    SxSixes first = *value, second = *value, above = up[high], served;
    sx_sixes_score(rates, told ? &told[0][high] : NULL, &above, &first, &served);
    for (int theirs = high - 1; theirs >= 0; theirs--) {
        above = up[theirs];
        out[0][theirs + 1] = served;
        sx_sixes_score(rates, told ? &told[1][theirs + 1] : NULL, &served, &second,
                       &out[1][theirs + 1]);
        sx_sixes_score(rates, told ? &told[0][theirs] : NULL, &above, &first, &served);
    }
    out[0][0] = served;
    sx_sixes_score(rates, told ? &told[1][0] : NULL, &served, &second, &out[1][0]);
    *value = second;
}

#endif
