/* The yardstick in one call: the chain's own odds, and slopes against what a small change does. */
#include "sixturn/setvalue.h"

#include "random_team.h"

#include <criterion/criterion.h>
#include <math.h>
#include <string.h>
#include <time.h>

static double uniform(Rng *rng) {
    return (double)(rng_next(rng) >> 11) * 0x1p-53;
}

/* kind 0: one side-out and break point for each rotation of ours; 1: all 72 differ; 2: near and at
 * certainty as well. */
static SxRates random_rates(Rng *rng, int kind) {
    SxRates rates;
    for (int i = 0; i < SX_ROTATIONS; i++) {
        for (int j = 0; j < SX_ROTATIONS; j++) {
            for (int phase = 0; phase < SX_PHASES; phase++) {
                double *row = phase == SX_RECEIVE ? rates.receive[i] : rates.serve[i];
                double rate = 0.1 + 0.8 * uniform(rng);
                if (kind == 2 && rng_below(rng, 4) == 0) {
                    rate = rng_below(rng, 2) ? 1 - pow(10, -14 * uniform(rng)) : 0;
                }
                row[j] = kind == 0 && j > 0 ? row[0] : rate;
            }
        }
    }
    return rates;
}

/* One of the 36 rates of a phase. */
static double *rate_at(SxRates *rates, SxPhase phase, int k) {
    const int i = k / SX_ROTATIONS, j = k % SX_ROTATIONS;
    return phase == SX_RECEIVE ? &rates->receive[i][j] : &rates->serve[i][j];
}

static SxSetRules random_rules(Rng *rng) {
    static const SxSetRules usual[] = {{25, 0}, {15, 0}, {25, 27}, {25, 25}, {1, 0},
                                       {2, 0},  {3, 5},  {11, 0},  {30, 0},  {1, 1}};
    return usual[rng_below(rng, sizeof usual / sizeof usual[0])];
}

static double mean_over_theirs(const SxSetChain *chain, int ours, SxPhase phase) {
    double mean = 0;
    for (int theirs = 0; theirs < SX_ROTATIONS; theirs++) {
        mean += sx_set_chain_win(chain, 0, 0, (SxServeState){ours, theirs, phase}) / SX_ROTATIONS;
    }
    return mean;
}

Test(setvalue, it_is_the_chains_own_odds) {
    Rng rng = {1};
    for (int n = 0; n < 300; n++) {
        const SxRates rates = random_rates(&rng, n % 3);
        const SxSetRules rules = random_rules(&rng);
        const int start = n % 5 == 0 ? n % SX_ROTATIONS : -1;
        SxSetChain *chain = NULL;
        SxSetValue value;
        SxRates slope;
        SxError err = {0};
        const SxStatus status = sx_set_chain_new(&rates, &rules, &chain, &err);
        cr_assert_eq(sx_set_value(&rates, &rules, start, &value, n % 2 ? &slope : NULL, &err),
                     status);
        if (status != SX_OK) {
            continue;
        }
        double win = 0;
        for (int phase = 0; phase < SX_PHASES; phase++) {
            double best = 0;
            for (int ours = 0; ours < SX_ROTATIONS; ours++) {
                const double mean = mean_over_theirs(chain, ours, (SxPhase)phase);
                cr_assert_float_eq(value.by_start[phase][ours], mean, 1e-12);
                best = fmax(best, mean);
            }
            if (start >= 0) {
                cr_assert_eq(value.start[phase], start);
                best = value.by_start[phase][start];
            }
            cr_assert_float_eq(value.by_start[phase][value.start[phase]], best, 2e-12);
            win += best / SX_PHASES;
        }
        cr_assert_float_eq(value.win, win, 2e-12);
        sx_set_chain_free(chain);
    }
}

/* The derivative by every rate, with the starts held, against a central difference. */
Test(setvalue, slopes_are_what_a_small_change_does) {
    static const double step = 1e-5;
    Rng rng = {2};
    double worst = 0;
    for (int n = 0; n < 60; n++) {
        const SxRates rates = random_rates(&rng, n % 2);
        const SxSetRules rules = random_rules(&rng);
        SxSetValue value;
        SxRates slope;
        cr_assert_eq(sx_set_value(&rates, &rules, -1, &value, &slope, NULL), SX_OK);
        for (int k = 0; k < 2 * SX_ROTATIONS * SX_ROTATIONS; k++) {
            const SxPhase phase_moved = k % 2 ? SX_SERVE : SX_RECEIVE;
            double move[2];
            for (int side = 0; side < 2; side++) {
                SxRates moved = rates;
                SxSetValue now;
                *rate_at(&moved, phase_moved, k / 2) += side ? step : -step;
                move[side] = 0;
                for (int phase = 0; phase < SX_PHASES; phase++) {
                    cr_assert_eq(sx_set_value(&moved, &rules, value.start[phase], &now, NULL, NULL),
                                 SX_OK);
                    move[side] += now.by_start[phase][value.start[phase]] / SX_PHASES;
                }
            }
            const double found = *rate_at(&slope, phase_moved, k / 2);
            const double seen = (move[1] - move[0]) / (2 * step);
            worst = fmax(worst, fabs(found - seen));
            cr_assert_float_eq(found, seen, 2e-8, "%d points: %g, seen %g", rules.target, found,
                               seen);
        }
    }
    cr_log_info("largest difference %.1e", worst);
}

/* Odds rise with every rally odds, certain rallies or not. */
Test(setvalue, no_slope_is_negative) {
    Rng rng = {3};
    for (int n = 0; n < 200; n++) {
        const SxRates rates = random_rates(&rng, 2);
        const SxSetRules rules = random_rules(&rng);
        SxSetValue value;
        SxRates slope;
        if (sx_set_value(&rates, &rules, -1, &value, &slope, NULL) != SX_OK) {
            continue;
        }
        for (int i = 0; i < SX_ROTATIONS; i++) {
            for (int j = 0; j < SX_ROTATIONS; j++) {
                cr_assert(slope.receive[i][j] >= -1e-12 && slope.serve[i][j] >= -1e-12);
                cr_assert(isfinite(slope.receive[i][j]) && isfinite(slope.serve[i][j]));
            }
        }
    }
}

/* A set of one point is won with its one rally, so all slopes together are 1. */
Test(setvalue, one_point_sets_have_slopes_that_sum_to_one) {
    SxRates rates, slope;
    SxSetValue value;
    const double half[SX_ROTATIONS] = {0.5, 0.5, 0.5, 0.5, 0.5, 0.5};
    const SxSetRules one = {1, 1};
    sx_rates_by_rotation(half, half, &rates);
    cr_assert_eq(sx_set_value(&rates, &one, -1, &value, &slope, NULL), SX_OK);
    double sum = 0;
    for (int k = 0; k < SX_ROTATIONS * SX_ROTATIONS; k++) {
        sum += *rate_at(&slope, SX_RECEIVE, k) + *rate_at(&slope, SX_SERVE, k);
    }
    cr_assert_float_eq(sum, 1, 1e-14);
    cr_assert_eq(value.start[SX_RECEIVE], 0, "all alike: the lowest is named");
}

Test(setvalue, refusals) {
    SxRates rates;
    SxSetValue value;
    SxError err = {0};
    const SxSetRules to_25 = {SX_SET_TARGET, 0};
    const double certain[SX_ROTATIONS] = {1, 1, 1, 1, 1, 1}, never[SX_ROTATIONS] = {0};
    sx_rates_by_rotation(certain, never, &rates);
    cr_assert_eq(sx_set_value(&rates, &to_25, -1, &value, NULL, &err), SX_BAD_INPUT);
    cr_assert_not_null(strstr(err.message, "never end"));
    sx_rates_by_rotation(certain, certain, &rates);
    cr_assert_eq(sx_set_value(&rates, &to_25, 6, &value, NULL, &err), SX_USAGE);
    rates.receive[2][3] = 1.5;
    cr_assert_eq(sx_set_value(&rates, &to_25, -1, &value, NULL, &err), SX_BAD_INPUT);
}

/* Not a limit, a figure for the log. */
Test(setvalue, how_long_it_takes) {
    enum { TIMES = 2000 };
    Rng rng = {5};
    const SxSetRules to_25 = {SX_SET_TARGET, 0};
    double sum = 0;
    for (int kind = 0; kind < 2; kind++) {
        const SxRates rates = random_rates(&rng, kind);
        for (int with = 0; with < 2; with++) {
            SxSetValue value;
            SxRates slope;
            const clock_t before = clock();
            for (int n = 0; n < TIMES; n++) {
                sx_set_value(&rates, &to_25, -1, &value, with ? &slope : NULL, NULL);
                sum += value.win;
            }
            cr_log_info("%s opponent%s: %.1f microseconds", kind ? "general" : "homogeneous",
                        with ? ", slopes" : "",
                        1e6 * (double)(clock() - before) / CLOCKS_PER_SEC / TIMES);
        }
    }
    cr_assert_gt(sum, 0);
}
