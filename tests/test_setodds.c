/* The set chain and the match: rules of the game, certain rates, refusals, consistency. */
#include "sixturn/match.h"
#include "sixturn/setodds.h"

#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

static const SxSetRules to_25 = {SX_SET_TARGET, 0};

static SxSetChain *chain_of(const SxRates *rates, SxSetRules rules) {
    SxSetChain *chain = NULL;
    SxError err = {0};
    cr_assert_eq(sx_set_chain_new(rates, &rules, &chain, &err), SX_OK, "%s", err.message);
    return chain;
}

static SxRates plain(double side_out, double break_point) {
    double a[SX_ROTATIONS], b[SX_ROTATIONS];
    for (int r = 0; r < SX_ROTATIONS; r++) {
        a[r] = side_out;
        b[r] = break_point;
    }
    SxRates rates;
    sx_rates_by_rotation(a, b, &rates);
    return rates;
}

/* Rates that differ in all 72 states, so that a mixed-up index shows. */
static SxRates uneven(void) {
    SxRates rates;
    for (int i = 0; i < SX_ROTATIONS; i++) {
        for (int j = 0; j < SX_ROTATIONS; j++) {
            rates.receive[i][j] = 0.45 + 0.05 * i - 0.02 * j + 0.01 * ((i * j) % 5);
            rates.serve[i][j] = 0.30 + 0.04 * j - 0.015 * i + 0.01 * ((i + 2 * j) % 7);
        }
    }
    return rates;
}

static SxSetOdds odds_of(const SxSetChain *chain, int ours, int theirs, SxPhase phase) {
    SxSetOdds odds;
    cr_assert_eq(sx_set_odds(chain, (SxServeState){ours, theirs, phase}, &odds, NULL), SX_OK);
    return odds;
}

Test(setodds, first_step_of_the_chain_is_the_rule_of_rotation) {
    SxRates rates = uneven();
    SxSetChain *chain = chain_of(&rates, to_25);
    for (int i = 0; i < SX_ROTATIONS; i++) {
        for (int j = 0; j < SX_ROTATIONS; j++) {
            /* from 24-23 and from 24-24, 25-24 and so on alike */
            for (int score = 10; score < 31; score += 4) {
                double a = rates.receive[i][j], b = rates.serve[i][j];
                int i1 = (i + 1) % SX_ROTATIONS, j1 = (j + 1) % SX_ROTATIONS;
                double receive =
                    sx_set_chain_win(chain, score, score, (SxServeState){i, j, SX_RECEIVE});
                double serve =
                    sx_set_chain_win(chain, score, score, (SxServeState){i, j, SX_SERVE});
                cr_assert_float_eq(
                    receive,
                    a * sx_set_chain_win(chain, score + 1, score, (SxServeState){i1, j, SX_SERVE}) +
                        (1 - a) * sx_set_chain_win(chain, score, score + 1,
                                                   (SxServeState){i, j, SX_RECEIVE}),
                    1e-13);
                cr_assert_float_eq(
                    serve,
                    b * sx_set_chain_win(chain, score + 1, score, (SxServeState){i, j, SX_SERVE}) +
                        (1 - b) * sx_set_chain_win(chain, score, score + 1,
                                                   (SxServeState){i, j1, SX_RECEIVE}),
                    1e-13);
            }
        }
    }
    sx_set_chain_free(chain);
}

Test(setodds, score_past_the_end_is_decided) {
    SxRates rates = uneven();
    SxSetChain *chain = chain_of(&rates, to_25);
    SxServeState s = {3, 1, SX_SERVE};
    cr_assert_eq(sx_set_chain_win(chain, 25, 23, s), 1);
    cr_assert_eq(sx_set_chain_win(chain, 25, 0, s), 1);
    cr_assert_eq(sx_set_chain_win(chain, 23, 25, s), 0);
    cr_assert_eq(sx_set_chain_win(chain, 40, 38, s), 1);
    double lead = sx_set_chain_win(chain, 25, 24, s);
    cr_assert(lead > 0 && lead < 1);
    cr_assert_eq(lead, sx_set_chain_win(chain, 41, 40, s));
    sx_set_chain_free(chain);
}

Test(setodds, everything_that_can_happen_adds_up) {
    SxRates rates = uneven();
    SxSetRules rules[] = {{25, 0}, {15, 0}, {15, 17}, {25, 27}, {1, 0}, {1, 1}, {99, 0}};
    for (size_t n = 0; n < sizeof rules / sizeof *rules; n++) {
        SxSetChain *chain = chain_of(&rates, rules[n]);
        for (int state = 0; state < 72; state++) {
            SxSetOdds o = odds_of(chain, state % 6, state / 6 % 6, (SxPhase)(state / 36));
            double ends = 0, won = 0, lost = 0, rallies = 0;
            for (int k = 0; k <= SX_MAX_ADVANCES; k++) {
                ends += o.advances[k];
            }
            for (int k = 0; k < SX_MAX_POINTS; k++) {
                won += o.won_to[k];
                lost += o.lost_to[k];
            }
            for (int r = 0; r < SX_ROTATIONS; r++) {
                rallies += o.rallies_in[r][SX_RECEIVE] + o.rallies_in[r][SX_SERVE];
            }
            cr_assert_float_eq(ends, 1, 1e-12);
            cr_assert_float_eq(rallies, o.rallies, 1e-10);
            cr_assert_float_eq(o.points_for + o.points_against, o.rallies, 1e-10);
            if (rules[n].cap > 0) {
                cr_assert_float_eq(won, o.win, 1e-12);
                cr_assert_float_eq(won + lost, 1, 1e-12);
            } else {
                cr_assert_float_eq(won + lost + o.tie, 1, 1e-12);
                cr_assert(won <= o.win + 1e-12 && o.win <= won + o.tie + 1e-12);
            }
        }
        sx_set_chain_free(chain);
    }
}

/* A cap far away hardly matters: the closed form of the tie is the limit of the capped sets. */
Test(setodds, a_far_cap_approaches_no_cap) {
    SxRates rates = uneven();
    SxSetChain *open = chain_of(&rates, (SxSetRules){3, 0});
    SxSetChain *capped = chain_of(&rates, (SxSetRules){3, SX_MAX_POINTS});
    for (int state = 0; state < 72; state++) {
        SxSetOdds o = odds_of(open, state % 6, state / 6 % 6, (SxPhase)(state / 36));
        SxSetOdds c = odds_of(capped, state % 6, state / 6 % 6, (SxPhase)(state / 36));
        cr_assert_float_eq(o.win, c.win, 1e-9);
        cr_assert_float_eq(o.tie, c.tie, 1e-14);
        cr_assert_float_eq(o.rallies, c.rallies, 1e-8);
        for (int r = 0; r < SX_ROTATIONS; r++) {
            for (int p = 0; p < SX_PHASES; p++) {
                cr_assert_float_eq(o.rallies_in[r][p], c.rallies_in[r][p], 1e-8);
            }
        }
        for (int n = 0; n < 20; n++) {
            cr_assert_float_eq(o.advances[n], c.advances[n], 1e-9);
        }
    }
    sx_set_chain_free(open);
    sx_set_chain_free(capped);
}

Test(setodds, certain_rallies) {
    SxRates always = plain(1, 1), never = plain(0, 0), takes_turns = plain(1, 0);
    SxSetChain *chain = chain_of(&always, to_25);
    SxSetOdds o = odds_of(chain, 2, 5, SX_RECEIVE);
    cr_assert_eq(o.win, 1);
    cr_assert_eq(o.won_to[0], 1);
    cr_assert_eq(o.advances[1], 1); /* one side-out, then we serve to the end */
    cr_assert_eq(o.rallies_in[2][SX_RECEIVE], 1);
    cr_assert_eq(o.rallies_in[3][SX_SERVE], 24);
    sx_set_chain_free(chain);

    chain = chain_of(&never, to_25);
    o = odds_of(chain, 2, 5, SX_SERVE);
    cr_assert_eq(o.win, 0);
    cr_assert_eq(o.lost_to[0], 1);
    cr_assert_eq(o.advances[0], 1);
    sx_set_chain_free(chain);

    /* side-outs always, and a cap: the receiver of the first serve is first at 25 */
    chain = chain_of(&takes_turns, (SxSetRules){25, 25});
    o = odds_of(chain, 0, 0, SX_RECEIVE);
    cr_assert_eq(o.win, 1);
    cr_assert_eq(o.won_to[24], 1);
    cr_assert_eq(o.advances[24], 1); /* the 25th side-out is the last point: nobody rotates */
    cr_assert_eq(o.rallies, 49);
    o = odds_of(chain, 0, 0, SX_SERVE);
    cr_assert_eq(o.win, 0);
    sx_set_chain_free(chain);
}

/* We side out always and they do not: they can never be two points up. */
Test(setodds, a_team_that_always_sides_out_cannot_lose_a_tie) {
    SxRates rates = plain(1, 0.01);
    SxSetChain *chain = chain_of(&rates, to_25);
    for (int i = 0; i < SX_ROTATIONS; i++) {
        cr_assert_float_eq(sx_set_chain_win(chain, 24, 24, (SxServeState){i, 2, SX_RECEIVE}), 1,
                           1e-12);
        cr_assert_float_eq(sx_set_chain_win(chain, 24, 24, (SxServeState){i, 2, SX_SERVE}), 1,
                           1e-12);
    }
    sx_set_chain_free(chain);
}

/* A tie with side-out 1 - e and break point e: let R (S) be our odds when we receive (serve). To
 * the first order in e, R = e + (1 - 2e) R + e S and S = e R + (1 - 2e) S, so R = 2/3, and a pair
 * of rallies ends the set with chance e: 2 / e rallies. A solution that subtracts near-equal
 * numbers has no digits left here. */
Test(setodds, side_outs_all_but_certain_lose_no_digits) {
    double e = 1e-9;
    SxRates rates = plain(1 - e, e);
    SxSetChain *chain = chain_of(&rates, (SxSetRules){1, 0});
    SxSetOdds o = odds_of(chain, 0, 0, SX_RECEIVE);
    cr_assert_float_eq(o.win, 2.0 / 3, 1e-8, "%.12f", o.win);
    cr_assert_float_eq(o.rallies * e / 2, 1, 1e-6, "%.9g", o.rallies * e / 2);
    sx_set_chain_free(chain);
}

Test(setodds, a_set_without_end_is_refused) {
    SxError err = {0};
    SxSetChain *chain = (SxSetChain *)&err;
    SxRates rates = plain(1, 0);
    cr_assert_eq(sx_set_chain_new(&rates, &to_25, &chain, &err), SX_BAD_INPUT);
    cr_assert_null(chain);
    cr_assert(strstr(err.message, "never end"));

    /* one rally on the way that is not certain is enough to end it */
    for (int i = 0; i < SX_ROTATIONS; i++) {
        rates.receive[i][(i + 2) % SX_ROTATIONS] = 0.5;
    }
    cr_assert_eq(sx_set_chain_new(&rates, &to_25, &chain, &err), SX_BAD_INPUT, "five tracks left");
    for (int j = 0; j < SX_ROTATIONS; j++) {
        rates.receive[4][j] = 0.5;
    }
    chain = chain_of(&rates, to_25);
    double win = sx_set_chain_win(chain, 24, 24, (SxServeState){1, 1, SX_SERVE});
    cr_assert(win >= 0 && win <= 1);
    sx_set_chain_free(chain);
}

Test(setodds, impossible_input_is_refused) {
    SxError err = {0};
    SxSetChain *chain = NULL;
    SxRates rates = plain(0.6, 0.4);
    static const SxSetRules bad[] = {{0, 0}, {-3, 0}, {100, 0}, {25, 24}, {25, 100}, {25, -1}};
    for (size_t n = 0; n < sizeof bad / sizeof *bad; n++) {
        cr_assert_eq(sx_set_chain_new(&rates, &bad[n], &chain, &err), SX_BAD_INPUT);
    }
    static const double wrong[] = {-0.01, 1.01, NAN, INFINITY};
    for (size_t n = 0; n < 4; n++) {
        rates = plain(0.6, 0.4);
        rates.serve[2][3] = wrong[n];
        cr_assert_eq(sx_set_chain_new(&rates, &to_25, &chain, &err), SX_BAD_INPUT);
        cr_assert(strstr(err.message, "serve in rotation 3 and they are in rotation 4"), "%s",
                  err.message);
    }
    rates = plain(0.6, 0.4);
    chain = chain_of(&rates, to_25);
    SxSetOdds odds;
    cr_assert_eq(sx_set_odds(chain, (SxServeState){6, 0, SX_SERVE}, &odds, &err), SX_USAGE);
    cr_assert_eq(sx_set_odds(chain, (SxServeState){0, -1, SX_SERVE}, &odds, &err), SX_USAGE);
    sx_set_chain_free(chain);
}

/* A plan that pulls two players on every second rotation, rules that allow six substitutions. */
Test(setodds, substitutions_follow_the_rotations_made) {
    SxRates rates = uneven();
    SxSetChain *chain = chain_of(&rates, to_25);
    SxServeState start = {1, 4, SX_RECEIVE};
    SxSetOdds set = odds_of(chain, 1, 4, SX_RECEIVE);
    SxSubstitutionPlan plan = {.entering = {0, 0, 0, 2, 0, 2}, .limit = 6};
    SxSubstitutionOdds odds;
    cr_assert_eq(sx_substitution_odds(chain, start, &plan, &odds, NULL), SX_OK);
    /* rotations entered: 2, 3 (two), 4, 5 (four), 0, 1, 2, 3 (six), 4, 5 (eight: the tenth) */
    cr_assert_eq(odds.runs_out_after, 10);
    double late = 0;
    for (int n = 10; n <= SX_MAX_ADVANCES; n++) {
        late += set.advances[n];
    }
    cr_assert_float_eq(odds.runs_out, late, 1e-12);
    cr_assert_float_eq(odds.needed[0], set.advances[0] + set.advances[1], 1e-12);
    cr_assert_float_eq(odds.needed[2], set.advances[2] + set.advances[3], 1e-12);
    cr_assert_float_eq(odds.win, odds.win_unlimited, 1e-12, "the same team plays on");
    cr_assert(odds.our_score >= 10 && odds.their_score >= 9);

    /* played on with a weaker team it costs something, with a hopeless one at least as much */
    SxRates worse = rates;
    for (int i = 0; i < SX_ROTATIONS; i++) {
        for (int j = 0; j < SX_ROTATIONS; j++) {
            worse.receive[i][j] -= 0.1;
        }
    }
    SxRates lost = plain(0, 0);
    SxSetChain *weaker = chain_of(&worse, to_25), *hopeless = chain_of(&lost, to_25);
    plan.after = weaker;
    cr_assert_eq(sx_substitution_odds(chain, start, &plan, &odds, NULL), SX_OK);
    double with_weaker = odds.win;
    plan.after = hopeless;
    cr_assert_eq(sx_substitution_odds(chain, start, &plan, &odds, NULL), SX_OK);
    cr_assert(odds.win < with_weaker && with_weaker < odds.win_unlimited);
    sx_set_chain_free(weaker);
    sx_set_chain_free(hopeless);

    plan = (SxSubstitutionPlan){.entering = {0}, .limit = 0};
    cr_assert_eq(sx_substitution_odds(chain, start, &plan, &odds, NULL), SX_OK);
    cr_assert_eq(odds.runs_out_after, 0);
    cr_assert_eq(odds.runs_out, 0);
    cr_assert_float_eq(odds.needed[0], 1, 1e-12);

    plan.entering[3] = -1;
    cr_assert_eq(sx_substitution_odds(chain, start, &plan, &odds, NULL), SX_USAGE);
    sx_set_chain_free(chain);
}

/* Far beyond any usual count the stop lies in the play from the tie; nothing may get lost there. */
Test(setodds, a_late_limit_is_followed_into_the_tie) {
    SxRates rates = uneven();
    SxSetChain *chain = chain_of(&rates, (SxSetRules){2, 0});
    for (int limit = 0; limit < 12; limit++) {
        for (int state = 0; state < 72; state++) {
            SxServeState start = {state % 6, state / 6 % 6, (SxPhase)(state / 36)};
            SxSetOdds set = odds_of(chain, start.ours, start.theirs, start.phase);
            SxSubstitutionPlan plan = {.entering = {1, 1, 1, 1, 1, 1}, .limit = limit};
            SxSubstitutionOdds odds;
            cr_assert_eq(sx_substitution_odds(chain, start, &plan, &odds, NULL), SX_OK);
            double late = 0;
            for (int n = limit + 1; n <= SX_MAX_ADVANCES; n++) {
                late += set.advances[n];
            }
            cr_assert_eq(odds.runs_out_after, limit + 1);
            cr_assert_float_eq(odds.runs_out, late, 1e-12);
            cr_assert_float_eq(odds.win, set.win, 1e-12);
            cr_assert_float_eq(odds.needed[limit], set.advances[limit], 1e-12);
        }
    }
    sx_set_chain_free(chain);
}

Test(match, even_sets_give_the_binomial_match) {
    double half[SX_MAX_SETS] = {0.5, 0.5, 0.5, 0.5, 0.5};
    SxMatchOdds m;
    cr_assert_eq(sx_match_odds(half, 5, &m, NULL), SX_OK);
    cr_assert_float_eq(m.win, 0.5, 1e-15);
    cr_assert_float_eq(m.won_to[0], 1 / 8.0, 1e-15);
    cr_assert_float_eq(m.won_to[1], 3 / 16.0, 1e-15);
    cr_assert_float_eq(m.lost_to[2], 3 / 16.0, 1e-15);
    cr_assert_float_eq(m.sets, 3 * 0.25 + 4 * 0.375 + 5 * 0.375, 1e-15);
}

/* Best of three: p1 p2 + p3 (p1 q2 + q1 p2). */
Test(match, the_deciding_set_has_its_own_odds) {
    double sets[] = {0.6, 0.7, 0.2};
    SxMatchOdds m;
    cr_assert_eq(sx_match_odds(sets, 3, &m, NULL), SX_OK);
    cr_assert_float_eq(m.win, 0.6 * 0.7 + 0.2 * (0.6 * 0.3 + 0.4 * 0.7), 1e-15);
    cr_assert_float_eq(m.win + m.lost_to[0] + m.lost_to[1], 1, 1e-15);
}

Test(match, impossible_matches_are_refused) {
    double sets[] = {0.6, 1.2, 0.2, 0.5, 0.5};
    SxMatchOdds m;
    cr_assert_eq(sx_match_odds(sets, 2, &m, NULL), SX_USAGE);
    cr_assert_eq(sx_match_odds(sets, 7, &m, NULL), SX_USAGE);
    cr_assert_eq(sx_match_odds(sets, 3, &m, NULL), SX_BAD_INPUT);
}

/* Stopping to play on just as before changes nothing, from any start and at any moment, ties
 * included. */
Test(setodds, a_stop_without_a_change_changes_nothing) {
    static const SxSetRules rules[] = {{25, 0}, {3, 0}, {15, 17}, {1, 0}};
    SxRates rates = uneven();
    for (int n = 0; n < 48; n++) {
        SxSetChain *chain = chain_of(&rates, rules[n % 4]);
        const SxSubstitutionPlan plan = {.entering = {1, 0, 2, 0, 1, 0}, .limit = n % 5};
        const SxServeState start = {n % 6, n / 6 % 6, (SxPhase)(n / 4 % 2)};
        const SxSetOdds set = odds_of(chain, start.ours, start.theirs, start.phase);
        SxSubstitutionOdds odds;
        cr_assert_eq(sx_substitution_odds(chain, start, &plan, &odds, NULL), SX_OK);
        cr_assert_float_eq(odds.set.win, set.win, 1e-12);
        cr_assert_float_eq(odds.set.points_for, set.points_for, 1e-10);
        cr_assert_float_eq(odds.set.tie, set.tie, 1e-12);
        for (int r = 0; r < SX_ROTATIONS; r++) {
            for (int phase = 0; phase < SX_PHASES; phase++) {
                cr_assert_float_eq(odds.set.rallies_in[r][phase], set.rallies_in[r][phase], 1e-10);
                cr_assert_float_eq(odds.set.points_in[r][phase], set.points_in[r][phase], 1e-10);
            }
        }
        for (int k = 0; k <= SX_MAX_ADVANCES; k++) {
            cr_assert_float_eq(odds.set.advances[k], set.advances[k], 1e-12);
        }
        sx_set_chain_free(chain);
    }
}
