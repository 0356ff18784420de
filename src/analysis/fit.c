/* Rates by rotation from a rally log: a beta-binomial model, integrated on a grid. */
#include "sixturn/fit.h"

#include "analysis/special.h"

#include <math.h>
#include <string.h>

/* The grid over the team's rate m and the strength K. */
enum { MEANS = 199, STRENGTHS = 17 };
static const double LARGEST_SHIFT = 40; /* log-odds, beyond anything a log could ask for */
static const double STRENGTH_RANGE = 4; /* standard deviations of log K to either side */

typedef struct {
    double weight[MEANS][STRENGTHS]; /* posterior probability */
} Grid;

static double grid_mean(int i) {
    return (i + 1.0) / (MEANS + 1.0);
}

static double grid_strength(int j) {
    const double z = STRENGTH_RANGE * (2.0 * j / (STRENGTHS - 1) - 1);
    return SX_FIT_STRENGTH * exp(SX_FIT_STRENGTH_SPREAD * z);
}

static double log_prior(double mean, double strength, double expected) {
    const double a = SX_FIT_PRIOR_RALLIES * expected, b = SX_FIT_PRIOR_RALLIES - a;
    const double z = log(strength / SX_FIT_STRENGTH) / SX_FIT_STRENGTH_SPREAD;
    return (a - 1) * log(mean) + (b - 1) * log1p(-mean) - z * z / 2;
}

/* Of the six tallies, up to a constant: the beta-binomial distribution. */
static double log_likelihood(const SxTally tally[SX_ROTATIONS], double mean, double strength) {
    const double a = mean * strength, b = strength - a;
    const double each = sx_log_gamma(strength) - sx_log_gamma(a) - sx_log_gamma(b);
    double sum = 0;
    for (int r = 0; r < SX_ROTATIONS; r++) {
        const int won = tally[r].won, lost = tally[r].played - won;
        if (tally[r].played > 0) {
            sum += each + sx_log_gamma(a + won) + sx_log_gamma(b + lost) -
                   sx_log_gamma(strength + won + lost);
        }
    }
    return sum;
}

static void posterior(const SxTally tally[SX_ROTATIONS], double expected, Grid *grid) {
    double most = -INFINITY, total = 0;
    for (int i = 0; i < MEANS; i++) {
        for (int j = 0; j < STRENGTHS; j++) {
            const double mean = grid_mean(i), strength = grid_strength(j);
            grid->weight[i][j] =
                log_prior(mean, strength, expected) + log_likelihood(tally, mean, strength);
            most = fmax(most, grid->weight[i][j]);
        }
    }
    for (int i = 0; i < MEANS; i++) {
        for (int j = 0; j < STRENGTHS; j++) {
            grid->weight[i][j] = exp(grid->weight[i][j] - most);
            total += grid->weight[i][j];
        }
    }
    for (int i = 0; i < MEANS; i++) {
        for (int j = 0; j < STRENGTHS; j++) {
            grid->weight[i][j] /= total;
        }
    }
}

/* The beta distribution with this mean and variance gives the interval. */
static SxMeasured measured(SxTally seen, double mean, double variance) {
    const double strength = mean * (1 - mean) / variance - 1;
    const double a = mean * strength, b = strength - a, tail = (1 - SX_FIT_INTERVAL) / 2;
    return (SxMeasured){seen, mean, sx_beta_quantile(a, b, tail), sx_beta_quantile(a, b, 1 - tail)};
}

/* A rotation's rate: for each m and K a beta distribution, mixed by the posterior. */
static SxMeasured measure_rotation(const Grid *grid, SxTally seen) {
    double mean = 0, square = 0;
    for (int i = 0; i < MEANS; i++) {
        for (int j = 0; j < STRENGTHS; j++) {
            const double strength = grid_strength(j);
            const double n = strength + seen.played;
            const double here = (grid_mean(i) * strength + seen.won) / n;
            mean += grid->weight[i][j] * here;
            square += grid->weight[i][j] * (here * here + here * (1 - here) / (n + 1));
        }
    }
    return measured(seen, mean, square - mean * mean);
}

static SxMeasured measure_team(const Grid *grid, SxTally seen) {
    double mean = 0, square = 0;
    for (int i = 0; i < MEANS; i++) {
        for (int j = 0; j < STRENGTHS; j++) {
            mean += grid->weight[i][j] * grid_mean(i);
            square += grid->weight[i][j] * grid_mean(i) * grid_mean(i);
        }
    }
    /* a very long log: the grid's own width is the least that can be told */
    const double width = 1.0 / (MEANS + 1);
    return measured(seen, mean, fmax(square - mean * mean, 0) + width * width / 12);
}

static double measure_strength(const Grid *grid) {
    double sum = 0;
    for (int i = 0; i < MEANS; i++) {
        for (int j = 0; j < STRENGTHS; j++) {
            sum += grid->weight[i][j] * log(grid_strength(j));
        }
    }
    return exp(sum);
}

static SxTally total(const SxTally tally[SX_ROTATIONS]) {
    SxTally sum = {0};
    for (int r = 0; r < SX_ROTATIONS; r++) {
        sum.won += tally[r].won;
        sum.played += tally[r].played;
    }
    return sum;
}

SxStatus sx_fit(const SxRallyLog *log, const double expected[SX_PHASES], SxFit *fit, SxError *err) {
    for (int phase = 0; phase < SX_PHASES; phase++) {
        if (!(expected[phase] > 0 && expected[phase] < 1)) {
            return sx_fail(err, SX_USAGE, "the rate expected beforehand is %g, not between 0 and 1",
                           expected[phase]);
        }
    }
    for (int phase = 0; phase < SX_PHASES; phase++) {
        Grid grid;
        posterior(log->tally[phase], expected[phase], &grid);
        fit->team[phase] = measure_team(&grid, total(log->tally[phase]));
        fit->strength[phase] = measure_strength(&grid);
        for (int r = 0; r < SX_ROTATIONS; r++) {
            fit->rotation[phase][r] = measure_rotation(&grid, log->tally[phase][r]);
        }
    }
    return SX_OK;
}

/* With n rallies at the same share, the model's mean and variance are about those of a beta
 * distribution that has seen K rallies at the team's rate and n at the share. */
static int rallies_to_tell(const SxFit *fit, int phase, int r) {
    static const double normal_quantile = 1.6449; /* of 0.95: 90 % between the two tails */
    const SxTally seen = fit->rotation[phase][r].seen;
    const double team = fit->team[phase].rate, strength = fit->strength[phase];
    const double share = seen.played > 0 ? (double)seen.won / seen.played : team;
    for (int more = 1; more <= SX_FIT_MOST_MORE; more++) {
        const double n = seen.played + more;
        const double mean = (strength * team + n * share) / (strength + n);
        const double deviation = sqrt(mean * (1 - mean) / (strength + n + 1));
        if (mean + normal_quantile * deviation < team) {
            return more;
        }
    }
    return -1;
}

void sx_fit_verdict(const SxFit *fit, SxFitVerdict *verdict) {
    *verdict = (SxFitVerdict){.below = {0}};
    for (int phase = 0; phase < SX_PHASES; phase++) {
        const SxMeasured *rotation = fit->rotation[phase], *team = &fit->team[phase];
        int weakest = 0;
        for (int r = 0; r < SX_ROTATIONS; r++) {
            verdict->below[phase] |= rotation[r].high < team->rate ? 1u << r : 0;
            verdict->above[phase] |= rotation[r].low > team->rate ? 1u << r : 0;
            weakest = rotation[r].rate < rotation[weakest].rate ? r : weakest;
        }
        verdict->weakest[phase] = weakest;
        verdict->more[phase] =
            verdict->below[phase] >> weakest & 1 ? 0 : rallies_to_tell(fit, phase, weakest);
    }
}

/* count * log(share / rate), and nothing for nothing. */
static double log_ratio(int count, int played, double rate) {
    return count == 0 ? 0 : count * log((double)count / played / rate);
}

static double deviance(SxTally seen, double rate) {
    const int lost = seen.played - seen.won;
    return 2 * (log_ratio(seen.won, seen.played, rate) + log_ratio(lost, seen.played, 1 - rate));
}

static double moved(double rate, double shift) {
    return 1 / (1 + (1 - rate) / rate * exp(-shift));
}

/* The shift with which the rates foretell the total; the number foretold rises with it. */
static double shift_to_total(const SxTally seen[SX_ROTATIONS], const double rate[SX_ROTATIONS]) {
    const int won = total(seen).won;
    double low = -LARGEST_SHIFT, high = LARGEST_SHIFT;
    for (int n = 0; n < 64; n++) { /* halving leaves nothing a double could show */
        const double middle = (low + high) / 2;
        double foretold = 0;
        for (int r = 0; r < SX_ROTATIONS; r++) {
            foretold += seen[r].played * moved(rate[r], middle);
        }
        if (foretold < won) {
            low = middle;
        } else {
            high = middle;
        }
    }
    return (low + high) / 2;
}

void sx_fit_check(const SxRallyLog *log, double predicted[SX_PHASES][SX_ROTATIONS],
                  SxFitCheck *check) {
    *check = (SxFitCheck){.p_value = 1};
    for (int phase = 0; phase < SX_PHASES; phase++) {
        const SxTally *seen = log->tally[phase], all = total(seen);
        const double shift = shift_to_total(seen, predicted[phase]);
        for (int r = 0; r < SX_ROTATIONS; r++) {
            if (seen[r].played > 0) {
                check->deviance += deviance(seen[r], moved(predicted[phase][r], shift));
                check->team_deviance += deviance(seen[r], (double)all.won / all.played);
                check->freedom++;
            }
        }
        check->freedom -= all.played > 0;
    }
    if (check->freedom > 0) {
        check->p_value = sx_chi_square_above(check->deviance, check->freedom);
    }
}
