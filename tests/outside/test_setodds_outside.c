/* The set chain against what we did not write: closed forms, a plain simulation, 18,040 sets. */
#include "realsets.h"

#include <criterion/criterion.h>
#include <math.h>
#include <stdint.h>
#include <stdio.h>

static const SxSetRules to_25 = {SX_SET_TARGET, 0};

/* --- Closed forms ---------------------------------------------------------------------------- */

/* The tie at two clear points with constant rates, a six-state absorbing chain. Let a be our
 * side-out, b our break point; R: tied, we receive; S: tied, we serve; U: one up (we have just won,
 * so we serve); D: one down (we have just lost, so we receive).
 *   R = a U + (1 - a) D     U = b + (1 - b) R
 *   S = b U + (1 - b) D     D = a S
 * Put U and D into S:  S = (b^2 + b (1 - b) R) / d  with  d = 1 - a (1 - b).
 * Put U, D and S into R, and multiply by d:
 *   R d^2 = a b d + a (1 - a) b^2 + a (1 - a) b (1 - b) R. */
Test(outside, tie_with_constant_rates_by_hand) {
    for (double a = 0; a <= 1; a += 0.125) {
        for (double b = 0; b <= 1; b += 0.125) {
            if (a == 1 && b == 0) {
                continue;
            }
            double d = 1 - a * (1 - b);
            double receive =
                (a * b * d + a * (1 - a) * b * b) / (d * d - a * (1 - a) * b * (1 - b));
            double serve = (b * b + b * (1 - b) * receive) / d;
            SxRates rates = plain(a, b);
            SxSetChain *chain = chain_of(&rates, to_25);
            for (int i = 0; i < SX_ROTATIONS; i++) {
                SxServeState state = {i, (2 * i + 1) % SX_ROTATIONS, SX_RECEIVE};
                cr_assert_float_eq(sx_set_chain_win(chain, 24, 24, state), receive, 1e-13);
                state.phase = SX_SERVE;
                cr_assert_float_eq(sx_set_chain_win(chain, 24, 24, state), serve, 1e-13);
            }
            sx_set_chain_free(chain);
        }
    }
}

/* Every rally 1/2: P(m, n) = (P(m + 1, n) + P(m, n + 1)) / 2 and P(n, n) = 1/2 (elementary; also in
 * a published worked article, 'The Mathematics of Volleyball'). */
Test(outside, fair_rallies_give_the_known_table) {
    double p[26][26] = {{0}};
    for (int m = 25; m >= 0; m--) {
        for (int n = 25; n >= 0; n--) {
            p[m][n] = m == n ? 0.5 : m == 25 ? 1 : n == 25 ? 0 : (p[m + 1][n] + p[m][n + 1]) / 2;
        }
    }
    SxRates rates = plain(0.5, 0.5);
    SxSetChain *chain = chain_of(&rates, to_25);
    for (int m = 0; m < 24; m++) {
        for (int n = 0; n < 24; n++) {
            SxServeState state = {m % 6, n % 6, (SxPhase)(n % 2)};
            cr_assert_float_eq(sx_set_chain_win(chain, m, n, state), p[m][n], 1e-13);
        }
    }
    cr_assert_float_eq(sx_set_chain_win(chain, 23, 24, (SxServeState){0, 0, SX_SERVE}), 0.25,
                       1e-15);
    sx_set_chain_free(chain);
}

static double choose(int n, int k) {
    return exp(lgamma(n + 1) - lgamma(k + 1) - lgamma(n - k + 1));
}

/* Rallies won with chance p whoever serves: negative binomial up to the tie at t - 1 all, reached
 * with chance C(2t - 2, t - 1) (pq)^(t-1); there p^2 against q^2, and 2 / (p^2 + q^2) rallies. */
Test(outside, rates_blind_to_the_server_give_the_negative_binomial) {
    for (int target = 15; target <= 25; target += 10) {
        for (double p = 0.1; p < 0.95; p += 0.1) {
            double q = 1 - p, win = 0, rallies = 0;
            for (int n = 0; n <= target - 2; n++) {
                double ways = choose(target - 1 + n, n);
                win += ways * pow(p, target) * pow(q, n);
                rallies +=
                    ways * (target + n) * (pow(p, target) * pow(q, n) + pow(q, target) * pow(p, n));
            }
            double tie = choose(2 * target - 2, target - 1) * pow(p * q, target - 1);
            win += tie * p * p / (p * p + q * q);
            rallies += tie * (2 * target - 2 + 2 / (p * p + q * q));
            SxRates rates = plain(p, p);
            SxSetChain *chain = chain_of(&rates, (SxSetRules){target, 0});
            SxSetOdds o = odds_of(chain, (SxServeState){4, 3, SX_SERVE});
            cr_assert_float_eq(o.win, win, 1e-11);
            cr_assert_float_eq(o.tie, tie, 1e-12);
            cr_assert_float_eq(o.rallies, rallies, 1e-9);
            cr_assert_float_eq(o.points_for, p * rallies, 1e-9, "Wald");
            sx_set_chain_free(chain);
        }
    }
}

/* Without rotations there are only the score and the server: the plain two-rate recursion. */
static double two_rate(double a, double b, int target, bool serve) {
    double d = 1 - a * (1 - b);
    double tie[2];
    tie[0] = (a * b * d + a * (1 - a) * b * b) / (d * d - a * (1 - a) * b * (1 - b));
    tie[1] = (b * b + b * (1 - b) * tie[0]) / d;
    static double p[62][62][2];
    for (int m = target; m >= 0; m--) {
        for (int n = target; n >= 0; n--) {
            for (int s = 0; s < 2; s++) {
                double w = s ? b : a;
                p[m][n][s] = m == target   ? 1
                             : n == target ? 0
                             : m == target - 1 && n == target - 1
                                 ? tie[s]
                                 : w * p[m + 1][n][1] + (1 - w) * p[m][n + 1][0];
            }
        }
    }
    return p[0][0][serve];
}

Test(outside, equal_rotations_reduce_to_the_two_rate_model) {
    static const double side_outs[] = {0.3, 0.58, 0.7, 0.95}, breaks[] = {0.05, 0.42, 0.6};
    for (int x = 0; x < 4; x++) {
        for (int y = 0; y < 3; y++) {
            SxRates rates = plain(side_outs[x], breaks[y]);
            for (int target = 15; target <= 25; target += 10) {
                SxSetChain *chain = chain_of(&rates, (SxSetRules){target, 0});
                for (int state = 0; state < 72; state++) {
                    SxServeState s = {state % 6, state / 6 % 6, (SxPhase)(state / 36)};
                    cr_assert_float_eq(
                        sx_set_chain_win(chain, 0, 0, s),
                        two_rate(side_outs[x], breaks[y], target, s.phase == SX_SERVE), 1e-12);
                }
                sx_set_chain_free(chain);
            }
        }
    }
}

/* --- Symmetry and simulation ----------------------------------------------------------------- */

static uint64_t next_random(uint64_t *state) { /* splitmix64, a public-domain generator */
    uint64_t z = (*state += 0x9e3779b97f4a7c15u);
    z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9u;
    z = (z ^ (z >> 27)) * 0x94d049bb133111ebu;
    return z ^ (z >> 31);
}

static double uniform(uint64_t *state) {
    return (double)(next_random(state) >> 11) * 0x1p-53;
}

static SxRates random_rates(uint64_t *seed) {
    SxRates rates;
    double level = 0.2 + 0.5 * uniform(seed), side = 0.3 * uniform(seed);
    for (int i = 0; i < SX_ROTATIONS; i++) {
        for (int j = 0; j < SX_ROTATIONS; j++) {
            rates.receive[i][j] = fmin(1, level + side + 0.2 * (uniform(seed) - 0.5));
            rates.serve[i][j] = fmax(0, level - side / 2 + 0.2 * (uniform(seed) - 0.5));
        }
    }
    return rates;
}

/* What one team wins the other loses, from every start. */
Test(outside, the_two_teams_odds_add_up_to_one) {
    uint64_t seed = 5;
    for (int n = 0; n < 20; n++) {
        SxRates rates = random_rates(&seed), mirrored;
        sx_rates_mirror(&rates, &mirrored);
        SxSetChain *ours = chain_of(&rates, to_25), *theirs = chain_of(&mirrored, to_25);
        for (int state = 0; state < 72; state++) {
            int i = state % 6, j = state / 6 % 6, phase = state / 36;
            SxSetOdds us = odds_of(ours, (SxServeState){i, j, (SxPhase)phase});
            SxSetOdds them = odds_of(theirs, (SxServeState){j, i, (SxPhase)!phase});
            cr_assert_float_eq(us.win + them.win, 1, 1e-12);
            cr_assert_float_eq(us.tie, them.tie, 1e-12);
            cr_assert_float_eq(us.points_for, them.points_against, 1e-10);
            cr_assert_float_eq(us.won_to[17], them.lost_to[17], 1e-12);
        }
        sx_set_chain_free(ours);
        sx_set_chain_free(theirs);
    }
}

/* Equal teams: both have side-out s[r] in their rotation r whoever is opposite. From the same start
 * rotation, serving first and receiving first add up to 1. */
Test(outside, equal_teams_from_mirrored_starts_share_the_set) {
    static const double s[SX_ROTATIONS] = {0.48, 0.55, 0.61, 0.73, 0.58, 0.66};
    SxRates rates;
    for (int i = 0; i < SX_ROTATIONS; i++) {
        for (int j = 0; j < SX_ROTATIONS; j++) {
            rates.receive[i][j] = s[i];
            rates.serve[i][j] = 1 - s[j];
        }
    }
    SxSetChain *chain = chain_of(&rates, to_25);
    for (int i = 0; i < SX_ROTATIONS; i++) {
        for (int j = 0; j < SX_ROTATIONS; j++) {
            double serve = sx_set_chain_win(chain, 0, 0, (SxServeState){i, j, SX_SERVE});
            double receive = sx_set_chain_win(chain, 0, 0, (SxServeState){j, i, SX_RECEIVE});
            cr_assert_float_eq(serve + receive, 1, 1e-13);
        }
    }
    sx_set_chain_free(chain);
}

/* A set played out rally by rally with two queues of six players, as a scorer would follow it. */
typedef struct {
    bool won;
    int points_for, points_against, rotations, receive_in_3;
} Played;

typedef struct {
    int at_1; /* who stands in position 1 */
} Queue;

static Played play(const SxRates *rates, SxSetRules rules, SxServeState start, uint64_t *seed) {
    Played set = {0};
    Queue us = {start.ours}, them = {start.theirs};
    bool we_serve = start.phase == SX_SERVE;
    for (;;) {
        set.receive_in_3 += !we_serve && us.at_1 == 2;
        double chance =
            we_serve ? rates->serve[us.at_1][them.at_1] : rates->receive[us.at_1][them.at_1];
        bool ours = uniform(seed) < chance;
        set.points_for += ours;
        set.points_against += !ours;
        int most = ours ? set.points_for : set.points_against;
        int lead = set.points_for - set.points_against;
        if ((most >= rules.target && (lead >= 2 || lead <= -2)) ||
            (rules.cap > 0 && most >= rules.cap)) {
            set.won = ours;
            return set;
        }
        if (ours != we_serve) { /* a side-out */
            Queue *side = ours ? &us : &them;
            side->at_1 = (side->at_1 + 1) % SX_SLOTS;
            set.rotations += ours;
            we_serve = ours;
        }
    }
}

typedef struct {
    double sum, squares;
} Sample;

static void add(Sample *sample, double value) {
    sample->sum += value;
    sample->squares += value * value;
}

/* Distance of the sample's mean from what was expected, in standard errors. */
static double errors_off(const Sample *sample, int count, double expected) {
    double mean = sample->sum / count, variance = sample->squares / count - mean * mean;
    return (mean - expected) / sqrt(fmax(variance, 1e-3) / count);
}

Test(outside, a_plain_simulation_agrees_over_a_hundred_settings) {
    enum { SETTINGS = 100, SETS = 3000, WATCHED = 6 };
    static const SxSetRules rules[] = {{25, 0}, {15, 0}, {15, 17}, {21, 0}, {25, 27}};
    /* 600 comparisons: 4.5 standard errors are passed by chance once in some 250 runs of other
     * seeds; and the squares must average 1, which shows errors too small to be seen one by one */
    const double far_off = 4.5;
    uint64_t seed = 20190830;
    double squares = 0;
    for (int n = 0; n < SETTINGS; n++) {
        SxRates rates = random_rates(&seed);
        SxSetRules rule = rules[n % 5];
        SxServeState start = {(int)(next_random(&seed) % 6), (int)(next_random(&seed) % 6),
                              (SxPhase)(n % 2)};
        SxSetChain *chain = chain_of(&rates, rule);
        SxSetOdds o = odds_of(chain, start);
        Sample seen[WATCHED] = {{0}};
        for (int k = 0; k < SETS; k++) {
            Played set = play(&rates, rule, start, &seed);
            add(&seen[0], set.won);
            add(&seen[1], set.points_for);
            add(&seen[2], set.points_against);
            add(&seen[3], set.rotations);
            add(&seen[4], set.receive_in_3);
            add(&seen[5], set.rotations <= 5);
        }
        double rotations = 0, few = 0;
        for (int k = 0; k <= SX_MAX_ADVANCES; k++) {
            rotations += k * o.advances[k];
            few += k <= 5 ? o.advances[k] : 0;
        }
        const double expected[WATCHED] = {
            o.win, o.points_for, o.points_against, rotations, o.rallies_in[2][SX_RECEIVE], few};
        for (int w = 0; w < WATCHED; w++) {
            double off = errors_off(&seen[w], SETS, expected[w]);
            squares += off * off;
            cr_assert(fabs(off) < far_off, "setting %d, number %d: %.2f standard errors", n, w,
                      off);
        }
        sx_set_chain_free(chain);
    }
    double mean_square = squares / (SETTINGS * WATCHED);
    cr_assert(mean_square > 0.7 && mean_square < 1.3, "mean square %.3f", mean_square);
}

/* The limit of substitutions: the simulated team goes on with other rates once it has run out. */
Test(outside, a_plain_simulation_agrees_on_the_substitution_limit) {
    enum { SETS = 20000 };
    uint64_t seed = 77;
    SxRates before = random_rates(&seed), after = before;
    for (int i = 0; i < SX_ROTATIONS; i++) {
        for (int j = 0; j < SX_ROTATIONS; j++) {
            after.receive[i][j] *= 0.7;
            after.serve[i][j] *= 0.8;
        }
    }
    SxSetChain *chain = chain_of(&before, to_25), *tired = chain_of(&after, to_25);
    const SxSubstitutionPlan plan = {.entering = {0, 2, 0, 0, 2, 0}, .limit = 6, .after = tired};
    const SxServeState start = {0, 3, SX_SERVE};
    SxSubstitutionOdds o;
    cr_assert_eq(sx_substitution_odds(chain, start, &plan, &o, NULL), SX_OK);
    Sample won = {0}, out = {0}, points = {0}, against = {0}, receive_in_2 = {0};
    double our_score = 0, their_score = 0;
    for (int k = 0; k < SETS; k++) {
        int m = 0, n = 0, i = start.ours, j = start.theirs, asked = 0, receives = 0;
        bool serve = true, ran_out = false;
        while (!((m >= 25 || n >= 25) && abs(m - n) >= 2)) {
            const SxRates *r = ran_out ? &after : &before;
            receives += !serve && i == 1;
            bool ours = uniform(&seed) < (serve ? r->serve[i][j] : r->receive[i][j]);
            m += ours;
            n += !ours;
            bool over = (m >= 25 || n >= 25) && abs(m - n) >= 2;
            if (!over && ours && !serve) {
                i = (i + 1) % 6;
                asked += plan.entering[i];
                if (asked > plan.limit && !ran_out) {
                    ran_out = true;
                    our_score += m;
                    their_score += n;
                }
            } else if (!over && !ours && serve) {
                j = (j + 1) % 6;
            }
            serve = ours;
        }
        add(&won, m > n);
        add(&out, ran_out);
        add(&points, m);
        add(&against, n);
        add(&receive_in_2, receives);
    }
    cr_assert(fabs(errors_off(&points, SETS, o.set.points_for)) < 4);
    cr_assert(fabs(errors_off(&against, SETS, o.set.points_against)) < 4);
    cr_assert(fabs(errors_off(&receive_in_2, SETS, o.set.rallies_in[1][SX_RECEIVE])) < 4);
    cr_assert(fabs(errors_off(&won, SETS, o.win)) < 4);
    cr_assert(fabs(errors_off(&out, SETS, o.runs_out)) < 4);
    cr_assert(o.runs_out > 0.05 && o.win_unlimited - o.win > 0.01, "the check has teeth");
    cr_assert_float_eq(our_score / out.sum, o.our_score, 0.15);
    cr_assert_float_eq(their_score / out.sum, o.their_score, 0.15);
    sx_set_chain_free(chain);
    sx_set_chain_free(tired);
}

/* --- 18,040 real sets ------------------------------------------------------------------------
 *
 * Final scores of the 2019 NCAA Division I women's season, counted from an open course data set
 * (STAT 240, University of Wisconsin-Madison); see datasets/set-scores-ncaa-women-2019.source.txt.
 */

Test(outside, ends_of_real_ties_fit_the_chain) {
    Scores scores = read_scores("datasets/set-scores-ncaa-women-2019.csv", NULL);
    cr_assert_eq(count_sets(&scores, TO_25), 17030);
    cr_assert_eq(count_sets(&scores, TO_15), 1010);
    double s = fit_side_out(&scores);
    cr_log_info("side-out fitted to the ties of the sets to 25: %.4f", s);
    cr_assert(s > 0.57 && s < 0.59);

    /* a far cap lets the chain tell the ends of the tie apart */
    SxRates rates = plain(s, 1 - s);
    SxSetChain *chain = chain_of(&rates, (SxSetRules){25, SX_MAX_POINTS});
    SxSetOdds o = odds_of(chain, (SxServeState){0, 0, SX_SERVE});
    sx_set_chain_free(chain);
    int ties = 0;
    for (int n = 24; n < MOST; n++) {
        ties += scores.sets[TO_25][n];
    }
    double chi_square = 0, left_expected = ties;
    int classes = 0, left_observed = ties;
    for (int n = 24; left_observed > 0; n++) {
        double expected = ties * (o.won_to[n] + o.lost_to[n]) / o.tie;
        int observed = scores.sets[TO_25][n];
        if (left_expected - expected < 5) { /* the usual least expectation: the rest is one class */
            expected = left_expected;
            observed = left_observed;
        }
        chi_square += (observed - expected) * (observed - expected) / expected;
        left_expected -= expected;
        left_observed -= observed;
        classes++;
    }
    cr_log_info("ends of %d ties in %d classes: chi-square %.2f, allowed %.2f", ties, classes,
                chi_square, chi_square_1_percent(classes - 2));
    cr_assert(chi_square < chi_square_1_percent(classes - 2));
}

/* Deals the sets to 25 into two halves, one by one, by the toss of a seeded coin. */
static void deal(const Scores *scores, uint64_t seed, Scores half[2]) {
    for (int n = 0; n < MOST; n++) {
        for (int k = 0; k < scores->sets[TO_25][n]; k++) {
            half[next_random(&seed) >> 63].sets[TO_25][n]++;
        }
    }
}

/* Two numbers, the side-out rate of the ties and the spread of strengths, come from one half of the
 * sets to 25. They foretell the other half, and the sets to 15, which were not looked at. */
Test(outside, spread_of_strengths_fitted_on_half_foretells_the_rest) {
    Scores scores = read_scores("datasets/set-scores-ncaa-women-2019.csv", NULL),
           half[2] = {{{{0}}}};
    deal(&scores, 25, half);
    const double s = fit_side_out(&half[0]);
    static Pairings pairings;
    pair_up(s, &pairings);
    const double spread = fit_spread(&pairings, &half[0]);
    double deciders;
    const Pairing foretold = expected_sets(&pairings, spread, &deciders);
    cr_log_info("fitted to %d sets: side-out %.4f, spread %.4f", count_sets(&half[0], TO_25), s,
                spread);
    cr_assert(spread > 0.2 && spread < 0.4);
    check_foretold(&half[1], TO_25, &foretold, "other half of the sets to 25");
    check_final_scores(&half[1], TO_25, &foretold, "other half of the sets to 25");
    check_foretold(&scores, TO_15, &foretold, "sets to 15");
    check_final_scores(&scores, TO_15, &foretold, "sets to 15");

    const double seen = (double)count_sets(&scores, TO_15) / count_sets(&scores, TO_25);
    const double error = sqrt(seen / count_sets(&scores, TO_25));
    cr_log_info("deciding sets for each set to 25: foretold %.4f, seen %.4f (standard error %.4f)",
                deciders, seen, error);
    cr_assert(fabs(deciders - seen) < 2.576 * error);
}

/* The figures that the README gives: from all sets, and how far they move with the half that one
 * happens to take. */
Test(outside, spread_of_all_sets_and_of_other_halves) {
    enum { DEALS = 8 };
    Scores scores = read_scores("datasets/set-scores-ncaa-women-2019.csv", NULL);
    static Pairings pairings;
    const double s = fit_side_out(&scores);
    pair_up(s, &pairings);
    const double spread = fit_spread(&pairings, &scores);
    cr_log_info("all sets: side-out %.4f, spread %.4f", s, spread);
    cr_assert_float_eq(s, 0.584, 0.0005);
    cr_assert_float_eq(spread, 0.258, 0.0005);
    double least = 1, most = 0;
    for (int n = 0; n < DEALS; n++) {
        Scores half[2] = {{{{0}}}};
        deal(&scores, (uint64_t)n + 1, half);
        pair_up(fit_side_out(&half[0]), &pairings);
        const double here = fit_spread(&pairings, &half[0]);
        least = fmin(least, here);
        most = fmax(most, here);
    }
    cr_log_info("halves: spread %.4f to %.4f", least, most);
    cr_assert(least > 0.23 && most < 0.29 && least < spread && most > spread);
}
