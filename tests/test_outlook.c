/* What a coach reads off the set odds: starts, match, shares, substitutions; and measured rates. */
#include "sixturn/forecast.h"
#include "support.h"

#include <criterion/criterion.h>
#include <glpk.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

static const int no_substitutions[SX_ROTATIONS] = {0};

static SxRules rules_of(const char *id) {
    SxRules rules;
    cr_assert_eq(sx_rules_load(id, &rules, NULL), SX_OK);
    return rules;
}

/* Our rotation 3 never sides out well and serves badly; theirs are all alike. */
static SxRates one_weak_rotation(void) {
    double side_out[SX_ROTATIONS], break_point[SX_ROTATIONS];
    for (int r = 0; r < SX_ROTATIONS; r++) {
        side_out[r] = r == 2 ? 0.40 : 0.62;
        break_point[r] = r == 2 ? 0.25 : 0.42;
    }
    SxRates rates;
    sx_rates_by_rotation(side_out, break_point, &rates);
    return rates;
}

static SxOutlook outlook_of(const SxRates *rates, const SxRules *rules, int start,
                            const int entering[SX_ROTATIONS]) {
    SxOutlook outlook;
    SxError err = {0};
    SxNeeds needs = {.stop_count = 0};
    memcpy(needs.entering, entering, sizeof needs.entering);
    cr_assert_eq(sx_outlook(rates, rules, start, &needs, &outlook, &err), SX_OK, "%s", err.message);
    return outlook;
}

/* The rotation just after the weak one is the start that meets it last. */
Test(outlook, one_starts_behind_the_weak_rotation) {
    SxRates rates = one_weak_rotation();
    SxRules rules = rules_of("fivb-2025");
    SxOutlook outlook = outlook_of(&rates, &rules, -1, no_substitutions);
    cr_assert_eq(outlook.start[SX_RECEIVE], 3);
    cr_assert_eq(outlook.start[SX_SERVE], 3);
    for (int phase = 0; phase < SX_PHASES; phase++) {
        double most = 0;
        for (int r = 0; r < SX_ROTATIONS; r++) {
            most = fmax(most, outlook.set.mean[phase][r]);
            cr_assert_float_eq(outlook.set.worst[phase][r], outlook.set.mean[phase][r], 1e-12,
                               "their rotations are all alike");
        }
        cr_assert_eq(most, outlook.set.mean[phase][3]);
        cr_assert_eq(outlook.set.safe[phase], 3);
    }
}

Test(outlook, a_fixed_start_is_kept) {
    SxRates rates = one_weak_rotation();
    SxRules rules = rules_of("fivb-2025");
    SxOutlook outlook = outlook_of(&rates, &rules, 1, no_substitutions);
    cr_assert_eq(outlook.start[SX_SERVE], 1);
    cr_assert_float_eq(
        outlook.win, (outlook.set.mean[SX_SERVE][1] + outlook.set.mean[SX_RECEIVE][1]) / 2, 1e-12);
}

/* Best reply and safe choice, by their definitions, against rotations that all differ. */
Test(outlook, replies_and_the_safe_choice) {
    SxRates rates = one_weak_rotation();
    for (int i = 0; i < SX_ROTATIONS; i++) {
        for (int j = 0; j < SX_ROTATIONS; j++) {
            rates.receive[i][j] -= 0.03 * ((i + 2 * j) % 5);
            rates.serve[i][j] += 0.02 * ((2 * i + j) % 7);
        }
    }
    SxRules rules = rules_of("fivb-2025");
    SxOutlook outlook = outlook_of(&rates, &rules, -1, no_substitutions);
    for (int phase = 0; phase < SX_PHASES; phase++) {
        const SxStartOdds *set = &outlook.set;
        for (int j = 0; j < SX_ROTATIONS; j++) {
            for (int i = 0; i < SX_ROTATIONS; i++) {
                cr_assert_geq(set->win[phase][set->reply[phase][j]][j], set->win[phase][i][j]);
                cr_assert_leq(set->worst[phase][i], set->win[phase][i][j]);
                cr_assert_geq(set->worst[phase][set->safe[phase]], set->worst[phase][i]);
            }
        }
    }
    double share = 0;
    for (int r = 0; r < SX_ROTATIONS; r++) {
        share += outlook.share[r];
    }
    cr_assert_float_eq(share, 1, 1e-12);
}

/* Equal teams: one set, the match and its scores are as good for us as for them. */
Test(outlook, equal_teams_have_an_even_match) {
    SxRates rates;
    double side_out[SX_ROTATIONS], break_point[SX_ROTATIONS];
    for (int r = 0; r < SX_ROTATIONS; r++) {
        side_out[r] = 0.58;
        break_point[r] = 0.42;
    }
    sx_rates_by_rotation(side_out, break_point, &rates);
    SxRules rules = rules_of("fivb-2025");
    SxOutlook outlook = outlook_of(&rates, &rules, -1, no_substitutions);
    cr_assert_eq(outlook.start[SX_SERVE], 0, "all alike: the lowest is named");
    cr_assert_float_eq(outlook.win, 0.5, 1e-12);
    cr_assert_float_eq(outlook.match.win, 0.5, 1e-12);
    cr_assert_float_eq(outlook.match.won_to[1], outlook.match.lost_to[1], 1e-12);
    cr_assert_gt(outlook.set.mean[SX_RECEIVE][0], 0.5, "with 0.58 it is better to receive");
    cr_assert(!outlook.substitutes);
}

Test(outlook, leads_the_chain_does_not_know_are_refused) {
    SxRules rules = rules_of("fivb-2025");
    SxSetRules set;
    SxError err = {0};
    rules.lead = 1;
    cr_assert_eq(sx_set_rules_of(&rules, false, &set, &err), SX_OK);
    cr_assert_eq(set.target, 25);
    cr_assert_eq(set.cap, 25);
    rules.lead = 3;
    cr_assert_eq(sx_set_rules_of(&rules, true, &set, &err), SX_BAD_INPUT);
    rules.lead = 2;
    rules.cap = 27;
    cr_assert_eq(sx_set_rules_of(&rules, false, &set, &err), SX_OK);
    cr_assert_eq(set.cap, 27);
}

/* A 6-2 with double substitutions: slots 0 and 3 change players, two on entering a rotation in
 * which one comes to the front and the other goes back (common practice, no source). */
Test(outlook, a_double_substitution_makes_four_a_cycle) {
    SxLineup lineup = {0};
    for (int s = 0; s < SX_SLOTS; s++) {
        lineup.order.front[s] = s;
        lineup.order.back[s] = s % 3 == 0 ? s + 6 : s;
    }
    int entering[SX_ROTATIONS], sum = 0;
    sx_lineup_entering(&lineup, entering);
    for (int r = 0; r < SX_ROTATIONS; r++) {
        cr_assert_eq(entering[r], r % 3 == 0 ? 2 : 0);
        sum += entering[r];
    }
    cr_assert_eq(sum, 4);
    cr_assert_eq(sum, sx_substitutions_per_cycle(&lineup));
    SxRates rates = one_weak_rotation();
    SxRules rules = rules_of("fivb-2025");
    SxOutlook outlook = outlook_of(&rates, &rules, 0, entering);
    cr_assert(outlook.substitutes);
    /* serving first in rotation 1: two each on entering rotation 4 after three, 1 after six, 4
     * after nine. FIVB 15.6 lets nobody leave twice, so the third double change, after nine, is one
     * too many, though 15.1 allows six. */
    cr_assert_eq(outlook.substitution_limit, 4);
    cr_assert_eq(outlook.substitutions[SX_SERVE].runs_out_after, 9);
    /* return to the same place as often as one likes, and six in all: the fourth is too many */
    rules.reentry = SX_REENTRY_SAME_SLOT;
    outlook = outlook_of(&rates, &rules, 0, entering);
    cr_assert_eq(outlook.substitution_limit, 6);
    cr_assert_eq(outlook.substitutions[SX_SERVE].runs_out_after, 12);
    rules.substitutions = SX_UNLIMITED;
    outlook = outlook_of(&rates, &rules, 0, entering);
    cr_assert_lt(outlook.substitutions[SX_SERVE].runs_out, 1e-6);
}

/* --- Forecast: lineup and weights ------------------------------------------------------------ */

Test(forecast, lineup_and_weights_agree) {
    static Desk desk;
    static SxForecast forecast;
    SxRallyModel model;
    SxError err = {0};
    glp_term_out(GLP_OFF);
    cr_assert_eq(sx_rally_load(NULL, &model, &err), SX_OK);
    SxOpponent opponent;
    const SxFixture even = {&model, &opponent, NULL};
    for (int k = 0; k < 5; k++) {
        desk_read(&desk, "datasets/club-16.json", all_systems[k], "fivb-2025");
        sx_even_opponent(&desk.team, &model, &opponent);
        desk.plan.rotation_weight_given = false;
        cr_assert_eq(sx_forecast(&desk.problem, NULL, &even, &forecast, &err), SX_OK, "%s",
                     err.message);
        cr_assert(forecast.settled, "%s", all_systems[k]);
        /* solved with these weights, the program gives this lineup */
        SxPlan plan = desk.plan;
        SxProblem again = desk.problem;
        SxLineup lineup;
        again.plan = &plan;
        memcpy(plan.rotation_weight, forecast.weight, sizeof plan.rotation_weight);
        cr_assert_eq(sx_lineup_solve(&again, NULL, &lineup, &err), SX_OK);
        cr_assert_float_eq(lineup.score, forecast.lineup.score, 1e-6);
        /* an even opponent leaves the odds near a half */
        cr_assert(forecast.outlook.win > 0.4 && forecast.outlook.win < 0.6, "%.3f",
                  forecast.outlook.win);
    }
}

Test(forecast, weights_of_the_plan_stay) {
    static Desk desk;
    static SxForecast forecast;
    SxRallyModel model;
    SxError err = {0};
    glp_term_out(GLP_OFF);
    cr_assert_eq(sx_rally_load(NULL, &model, &err), SX_OK);
    SxOpponent opponent;
    const SxFixture even = {&model, &opponent, NULL};
    desk_read(&desk, "datasets/club-16.json", "5-1-outside", "fivb-2025");
    sx_even_opponent(&desk.team, &model, &opponent);
    desk.plan.rotation_weight_given = true;
    cr_assert_eq(sx_forecast(&desk.problem, NULL, &even, &forecast, &err), SX_OK);
    cr_assert_eq(forecast.rounds, 1);
    cr_assert(forecast.settled);
}

/* Two lineups that each ask for the other (or a longer round) do not pass for agreed. Whatever is
 * called settled, is: solved with its weights the program gives it, and its shares are those
 * weights. */
Test(forecast, settled_means_settled) {
    static Desk desk;
    static SxForecast forecast;
    SxRallyModel model;
    SxOpponent opponent;
    SxError err = {0};
    glp_term_out(GLP_OFF);
    cr_assert_eq(sx_rally_load(NULL, &model, &err), SX_OK);
    const SxFixture even = {&model, &opponent, NULL};
    static const char *const systems[] = {"6-2", "4-2", "5-1-outside"};
    for (int n = 0; n < 3 * SX_ROTATIONS; n += SANITIZED ? 5 : 1) {
        desk_read(&desk, "datasets/junior-12.json", systems[n / SX_ROTATIONS], "fivb-2025");
        sx_even_opponent(&desk.team, &model, &opponent);
        desk.plan.rotation_weight_given = false;
        desk.plan.start = n % SX_ROTATIONS;
        cr_assert_eq(sx_forecast(&desk.problem, NULL, &even, &forecast, &err), SX_OK, "%s",
                     err.message);
        cr_log_info("%s, start %d: %s after %d rounds", systems[n / SX_ROTATIONS],
                    n % SX_ROTATIONS + 1, forecast.settled ? "settled" : "not settled",
                    forecast.rounds);
        cr_assert_eq(forecast.outlook.unsettled, !forecast.settled, "what plan reads");
        if (!forecast.settled) {
            continue;
        }
        SxPlan plan = desk.plan;
        SxProblem again = desk.problem;
        SxLineup lineup;
        again.plan = &plan;
        memcpy(plan.rotation_weight, forecast.outlook.share, sizeof plan.rotation_weight);
        cr_assert_eq(sx_lineup_solve(&again, NULL, &lineup, &err), SX_OK);
        cr_assert_eq(memcmp(&lineup.order, &forecast.lineup.order, sizeof lineup.order), 0,
                     "%s, start %d", systems[n / SX_ROTATIONS], n % SX_ROTATIONS + 1);
        for (int r = 0; r < SX_ROTATIONS; r++) {
            cr_assert_float_eq(forecast.outlook.share[r], forecast.weight[r], 1e-9);
        }
    }
}

/* A lineup once found is told, though there was no time to see whether its weights settle. Time and
 * again with another part of the time that all takes. */
Test(forecast, time_that_is_up_leaves_the_lineup_found) {
    enum { PARTS = 20 };
    static Desk desk;
    static SxForecast whole, stopped;
    SxRallyModel model;
    SxOpponent opponent;
    SxError err = {0};
    int found = 0;
    desk_read(&desk, "datasets/club-16.json", "6-2-double", "fivb-2025");
    cr_assert_eq(sx_rally_load(NULL, &model, &err), SX_OK);
    sx_even_opponent(&desk.team, &model, &opponent);
    desk.plan.rotation_weight_given = false;
    const SxFixture even = {&model, &opponent, NULL};
    const double begin = sx_clock();
    cr_assert_eq(sx_forecast(&desk.problem, NULL, &even, &whole, &err), SX_OK);
    const double all = sx_clock() - begin;
    cr_assert(whole.settled && whole.rounds > 1);
    for (int n = 1; n < PARTS && !(SANITIZED && found); n++) {
        const SxWork work = {.deadline = sx_clock() + all * n / PARTS};
        const SxSolveOptions options = {.work = &work};
        const SxStatus status = sx_forecast(&desk.problem, &options, &even, &stopped, &err);
        cr_assert(status == SX_OK || status == SX_OUT_OF_TIME, "part %d: %s", n, err.message);
        if (status == SX_OK && stopped.rounds == 1) {
            found++;
            cr_expect_not(stopped.settled);
            cr_expect(stopped.outlook.unsettled);
            cr_expect(stopped.outlook.win > 0);
        }
    }
    cr_assert_gt(found, 0);
}

/* --- Measured rates ----------------------------------------------------------------------------
 */

Test(rates, what_fit_writes_is_read_back) {
    SxRallyLog log;
    SxFit fit;
    SxError err = {0};
    const double expected[SX_PHASES] = {[SX_RECEIVE] = 0.58, [SX_SERVE] = 0.42};
    cr_assert_eq(sx_rally_log_read("datasets/club-16-log.csv", &log, &err), SX_OK, "%s",
                 err.message);
    cr_assert_eq(sx_fit(&log, expected, &fit, &err), SX_OK);
    char *text = sx_rates_json("VC Lindenfurt First", &log, &fit);
    SxOwnRates rates;
    cr_assert_eq(sx_rates_parse(text, strlen(text), "rates.json", &rates, &err), SX_OK, "%s: %s",
                 err.path, err.message);
    free(text);
    cr_assert_eq(rates.rallies, log.rallies);
    for (int phase = 0; phase < SX_PHASES; phase++) {
        for (int r = 0; r < SX_ROTATIONS; r++) {
            cr_assert_float_eq(rates.rate[phase][r], fit.rotation[phase][r].rate, 1e-15);
        }
    }
}

Test(rates, mistakes_are_told) {
    static const char text[] = "{\"format\": \"sixturn-rates-1\", \"team\": \"A\", \"rallies\": 3, "
                               "\"receive\": [{\"rate\": 0.5}, {\"rate\": 1}], \"serve\": []}";
    SxOwnRates rates;
    SxError err = {0};
    cr_assert_eq(sx_rates_parse(text, strlen(text), "rates.json", &rates, &err), SX_BAD_INPUT);
    cr_assert_str_eq(err.path, "receive");
    cr_assert_eq(sx_rates_read("datasets/none.json", &rates, &err), SX_BAD_INPUT);
}

/* Against the average opponent measured rates stand; a stronger one moves them by as much, on the
 * log-odds scale, as she moves the model's. */
Test(rates, measured_rates_replace_the_models) {
    SxOwnRates measured = {.rallies = 1};
    SxRates average, model;
    for (int i = 0; i < SX_ROTATIONS; i++) {
        measured.rate[SX_RECEIVE][i] = 0.5 + 0.02 * i;
        measured.rate[SX_SERVE][i] = 0.4;
        for (int j = 0; j < SX_ROTATIONS; j++) {
            average.receive[i][j] = average.serve[i][j] = 0.6;
            model.receive[i][j] = j == 0 ? 0.6 : 0.5;
            model.serve[i][j] = 0.6;
        }
    }
    sx_rates_override(&measured, &average, &model);
    for (int i = 0; i < SX_ROTATIONS; i++) {
        double m = measured.rate[SX_RECEIVE][i];
        cr_assert_float_eq(model.receive[i][0], m, 1e-14);
        cr_assert_float_eq(log(model.receive[i][3] / (1 - model.receive[i][3])),
                           log(m / (1 - m)) - log(1.5), 1e-12);
        cr_assert_float_eq(model.serve[i][5], 0.4, 1e-14);
    }
}
