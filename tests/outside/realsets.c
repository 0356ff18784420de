/* Real sets, counted, and the chain fitted to them. */
#include "realsets.h"

#include <criterion/criterion.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

SxSetChain *chain_of(const SxRates *rates, SxSetRules rules) {
    SxSetChain *chain = NULL;
    SxError err = {0};
    cr_assert_eq(sx_set_chain_new(rates, &rules, &chain, &err), SX_OK, "%s", err.message);
    return chain;
}

SxRates plain(double side_out, double break_point) {
    double a[SX_ROTATIONS], b[SX_ROTATIONS];
    for (int r = 0; r < SX_ROTATIONS; r++) {
        a[r] = side_out;
        b[r] = break_point;
    }
    SxRates rates;
    sx_rates_by_rotation(a, b, &rates);
    return rates;
}

SxSetOdds odds_of(const SxSetChain *chain, SxServeState start) {
    SxSetOdds odds;
    cr_assert_eq(sx_set_odds(chain, start, &odds, NULL), SX_OK);
    return odds;
}

Scores read_scores(const char *name, const char *league) {
    Scores scores = {0};
    FILE *file = fopen(name, "r");
    cr_assert_not_null(file, "%s", name);
    char line[100], word[20] = "";
    cr_assert_not_null(fgets(line, sizeof line, file));
    while (fgets(line, sizeof line, file)) {
        int target, winner, loser, sets;
        const char *numbers = line;
        if (league) {
            cr_assert_eq(sscanf(line, "%19[^,],", word), 1);
            numbers = strchr(line, ',') + 1;
        }
        cr_assert_eq(sscanf(numbers, "%d,%d,%d,%d", &target, &winner, &loser, &sets), 4, "%s",
                     line);
        cr_assert(target == 15 || target == 25);
        cr_assert_eq(winner, loser + 2 > target ? loser + 2 : target);
        if (!league || strcmp(word, league) == 0) {
            scores.sets[target == 25][loser] += sets;
        }
    }
    fclose(file);
    return scores;
}

int count_sets(const Scores *scores, int to) {
    int total = 0;
    for (int n = 0; n < MOST; n++) {
        total += scores->sets[to][n];
    }
    return total;
}

double chi_square_1_percent(int freedom) {
    static const double table[] = {6.635,  9.210,  11.345, 13.277, 15.086, 16.812, 18.475,
                                   20.090, 21.666, 23.209, 24.725, 26.217, 27.688, 29.141,
                                   30.578, 32.000, 33.409, 34.805, 36.191, 37.566, 38.932,
                                   40.289, 41.638, 42.980, 44.314};
    cr_assert(freedom >= 1 && freedom <= 25);
    return table[freedom - 1];
}

double fit_side_out(const Scores *scores) {
    double ends = 0, chances = 0;
    for (int n = 24; n < MOST; n++) {
        ends += scores->sets[TO_25][n];
        chances += (double)(n - 23) * scores->sets[TO_25][n];
    }
    return 1 - ends / chances;
}

static const double grid_end = 3.0;

static double logistic(double x) {
    return 1 / (1 + exp(-x));
}

static Pairing pairing_of(double s, double d) {
    double level = log(s / (1 - s));
    SxRates rates = plain(logistic(level + d), 1 - logistic(level - d));
    Pairing pairing = {0};
    for (int to = TO_15; to <= TO_25; to++) {
        int target = to == TO_25 ? 25 : 15;
        SxSetChain *chain = chain_of(&rates, (SxSetRules){target, 0});
        for (int phase = 0; phase < SX_PHASES; phase++) {
            SxSetOdds o = odds_of(chain, (SxServeState){0, 0, (SxPhase)phase});
            for (int n = 0; n < target - 1; n++) {
                pairing.loser[to][n] += (o.won_to[n] + o.lost_to[n]) / 2;
            }
            pairing.loser[to][target - 1] += o.tie / 2;
            pairing.rallies[to] += o.rallies / 2;
            *(to == TO_25 ? &pairing.odds_25 : &pairing.odds_15) += o.win / 2;
        }
        sx_set_chain_free(chain);
    }
    return pairing;
}

static double grid_point(int n) {
    return grid_end * (2.0 * n / (GRID - 1) - 1);
}

void pair_up(double side_out, Pairings *pairings) {
    for (int n = 0; n < GRID; n++) {
        pairings->at[n] = pairing_of(side_out, grid_point(n));
    }
}

Pairing expected_sets(const Pairings *pairings, double spread, double *deciders) {
    Pairing mean = {0};
    double weights[2] = {0};
    for (int n = 0; n < GRID; n++) {
        const Pairing *here = &pairings->at[n];
        double z = grid_point(n) / spread, density = exp(-z * z / 2);
        double p = here->odds_25, q = 1 - p;
        double level = 6 * p * p * q * q; /* 2-2 */
        double four = 1 - p * p * p - q * q * q;
        double weight[2] = {density * level, density * (3 + four)};
        for (int to = TO_15; to <= TO_25; to++) {
            weights[to] += weight[to];
            mean.rallies[to] += weight[to] * here->rallies[to];
            for (int k = 0; k <= MOST; k++) {
                mean.loser[to][k] += weight[to] * here->loser[to][k];
            }
        }
    }
    for (int to = TO_15; to <= TO_25; to++) {
        mean.rallies[to] /= weights[to];
        for (int k = 0; k <= MOST; k++) {
            mean.loser[to][k] /= weights[to];
        }
    }
    *deciders = weights[TO_15] / weights[TO_25];
    return mean;
}

static double log_likelihood(const Pairings *pairings, double spread, const Scores *scores) {
    double deciders, sum = 0;
    Pairing mean = expected_sets(pairings, spread, &deciders);
    for (int n = 0; n < MOST; n++) {
        int sets = scores->sets[TO_25][n];
        sum += sets > 0 ? sets * log(mean.loser[TO_25][n < 24 ? n : 24]) : 0;
    }
    return sum;
}

double fit_spread(const Pairings *pairings, const Scores *scores) {
    double low = 0.02, high = 1.5;
    for (int n = 0; n < 40; n++) { /* ternary search; the likelihood has one hill */
        double a = low + (high - low) / 3, b = high - (high - low) / 3;
        if (log_likelihood(pairings, a, scores) < log_likelihood(pairings, b, scores)) {
            low = a;
        } else {
            high = b;
        }
    }
    return (low + high) / 2;
}

/* Share of ties at target - 1 all, mean points of both sides together, and their standard errors.
 */
typedef struct {
    double ties, ties_error, points, points_error;
} Seen;

static Seen seen_in(const Scores *scores, int to) {
    Seen seen = {0};
    const int target = to == TO_25 ? 25 : 15, total = count_sets(scores, to);
    double squares = 0;
    for (int n = 0; n < MOST; n++) {
        const double share = (double)scores->sets[to][n] / total;
        const int points = n + (n + 2 > target ? n + 2 : target);
        seen.ties += n >= target - 1 ? share : 0;
        seen.points += share * points;
        squares += share * points * points;
    }
    seen.ties_error = sqrt(seen.ties * (1 - seen.ties) / total);
    seen.points_error = sqrt((squares - seen.points * seen.points) / total);
    return seen;
}

void check_final_scores(const Scores *scores, int to, const Pairing *foretold, const char *name) {
    const int target = to == TO_25 ? 25 : 15, total = count_sets(scores, to);
    double chi_square = 0, expected = 0, observed = 0;
    int classes = 0;
    for (int n = 0; n < target; n++) {
        expected += total * foretold->loser[to][n];
        for (int m = n; m < (n == target - 1 ? MOST : n + 1); m++) {
            observed += scores->sets[to][m];
        }
        if (expected >= 5) {
            chi_square += (observed - expected) * (observed - expected) / expected;
            expected = observed = 0;
            classes++;
        }
    }
    const double allowed = chi_square_1_percent(classes - 1);
    cr_log_info("%s: final scores in %d classes, chi-square %.1f, allowed %.1f", name, classes,
                chi_square, allowed);
    cr_assert(chi_square < allowed, "%s: chi-square %.1f", name, chi_square);
}

void check_foretold(const Scores *scores, int to, const Pairing *foretold, const char *name) {
    const double allowed = 2.576; /* standard errors, passed with chance 1 % */
    const Seen seen = seen_in(scores, to);
    const double ties = foretold->loser[to][to == TO_25 ? 24 : 14];
    cr_log_info("%s: ties foretold %.4f, seen %.4f (standard error %.4f)", name, ties, seen.ties,
                seen.ties_error);
    cr_log_info("%s: points foretold %.2f, seen %.2f (standard error %.2f)", name,
                foretold->rallies[to], seen.points, seen.points_error);
    cr_assert(fabs(ties - seen.ties) < allowed * seen.ties_error);
    cr_assert(fabs(foretold->rallies[to] - seen.points) < allowed * seen.points_error);
}
