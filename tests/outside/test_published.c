/* The chain and the rally model against published numbers and counted sets of other leagues. Where
 * a number was read is told beside it: 'abstract' for an abstract or the beginning of a page. */
#include "realsets.h"
#include "sixturn/match.h"
#include "sixturn/rally.h"

#include <criterion/criterion.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

/* --- One side-out for all ------------------------------------------------------------------- */

/* A chain without rotations, written for this check alone, in closed form and apart from sixturn;
 * all digits that it gave. */
Test(published, exact_table_of_equal_teams) {
    static const struct {
        double side_out, to_25, to_15, rallies_25, rallies_15, digits, rally_digits;
    } table[] = {{0.35, 0.481930, 0.476374, 42.9450, 24.7397, 6e-7, 6e-5},
                 {0.47, 0.4965546597, 0.4955036646, 44.401508, 25.8516, 1e-10, 6e-5},
                 {0.50, 0.5, 0.5, 44.7299, 26.1144, 1e-10, 6e-5},
                 {0.58, 0.5092673106, 0.5120716609, 45.590017, 26.8327, 1e-10, 6e-5},
                 {0.67, 0.5206085270, 0.5267838840, 46.626182, 27.7728, 1e-10, 6e-5},
                 {0.70, 0.5248434162, 0.5322536019, 47.021737, 28.1567, 1e-10, 6e-5},
                 {0.75, 0.532765, 0.542437, 47.7986, 28.9507, 6e-7, 6e-5}};
    for (size_t n = 0; n < sizeof table / sizeof table[0]; n++) {
        const SxRates rates = plain(table[n].side_out, 1 - table[n].side_out);
        for (int to = TO_15; to <= TO_25; to++) {
            SxSetChain *chain = chain_of(&rates, (SxSetRules){to == TO_25 ? 25 : 15, 0});
            const SxSetOdds receive = odds_of(chain, (SxServeState){0, 0, SX_RECEIVE});
            cr_assert_float_eq(receive.win, to == TO_25 ? table[n].to_25 : table[n].to_15,
                               table[n].digits, "side-out %g", table[n].side_out);
            cr_assert_float_eq(
                receive.rallies, to == TO_25 ? table[n].rallies_25 : table[n].rallies_15,
                table[n].rally_digits, "side-out %g: %.6f", table[n].side_out, receive.rallies);
            sx_set_chain_free(chain);
        }
    }
}

/* 10,000 simulated sets at side-out 0.67: who receives first wins 52.2 % (marklebedew.com,
 * 2016/10/18, abstract). Two standard errors of the simulation. */
Test(published, a_simulation_of_receiving_first) {
    const SxRates rates = plain(0.67, 0.33);
    SxSetChain *chain = chain_of(&rates, (SxSetRules){25, 0});
    const double win = sx_set_chain_win(chain, 0, 0, (SxServeState){0, 0, SX_RECEIVE});
    sx_set_chain_free(chain);
    cr_assert_float_eq(win, 0.522, 2 * sqrt(0.522 * 0.478 / 10000));
}

/* A textbook's exercise on Markov chains: from a tie the server wins each rally with 0.55; not over
 * after four rallies has chance 0.45^2 (edms.ncdmb.gov.ng/light/32277609; the answer is ours). */
Test(published, a_tie_that_lasts_more_than_four_rallies) {
    const SxRates rates = plain(0.45, 0.55);
    SxSetChain *chain = chain_of(&rates, (SxSetRules){25, SX_MAX_POINTS});
    const SxSetOdds odds = odds_of(chain, (SxServeState){0, 0, SX_RECEIVE});
    sx_set_chain_free(chain);
    const double sooner = odds.won_to[24] + odds.lost_to[24] + odds.won_to[25] + odds.lost_to[25];
    cr_assert_float_eq(1 - sooner / odds.tie, 0.45 * 0.45, 1e-12);
}

/* Side-out 0.51 against 0.49 would win '20 of 30 matches' (opensourcevolleyball.blogspot, 2015/12,
 * abstract). Every rally is 0.51 then; the chain says 18. */
Test(published, a_claim_that_the_chain_refutes) {
    const SxRates rates = plain(0.51, 0.51);
    double sets[SX_MAX_SETS];
    for (int k = 0; k < SX_MAX_SETS; k++) {
        SxSetChain *chain = chain_of(&rates, (SxSetRules){25, 0});
        sets[k] = sx_set_chain_win(chain, 0, 0, (SxServeState){0, 0, SX_SERVE});
        sx_set_chain_free(chain);
    }
    SxMatchOdds match;
    cr_assert_eq(sx_match_odds(sets, SX_MAX_SETS, &match, NULL), SX_OK);
    cr_assert_float_eq(sets[0], 0.557, 0.0005);
    cr_assert_float_eq(match.win, 0.606, 0.0005);
    cr_assert_eq((int)round(30 * match.win), 18);
}

/* Share of the points against share of the sets, NCAA women by conference season (garyhorvath.com,
 * abstract). A season has opponents of all kinds, which pulls the sets towards a half; so the chain
 * is between that and 7 points of 100 from it. */
Test(published, share_of_points_and_share_of_sets) {
    static const struct {
        double points, sets;
    } seen[] = {{0.521, 0.662}, {0.543, 0.784}, {0.564, 0.894}, {0.428, 0.167}, {0.495, 0.531}};
    for (int n = 0; n < 5; n++) {
        double low = -1, high = 1, win = 0;
        for (int k = 0; k < 50; k++) { /* the strength that wins this share of the points */
            const double d = (low + high) / 2, level = log(0.58 / 0.42);
            const SxRates rates = plain(1 / (1 + exp(-level - d)), 1 - 1 / (1 + exp(-level + d)));
            SxSetChain *chain = chain_of(&rates, (SxSetRules){25, 0});
            const SxSetOdds receive = odds_of(chain, (SxServeState){0, 0, SX_RECEIVE});
            const SxSetOdds serve = odds_of(chain, (SxServeState){0, 0, SX_SERVE});
            sx_set_chain_free(chain);
            const double won = receive.points_for + serve.points_for;
            win = (receive.win + serve.win) / 2;
            *(won / (receive.rallies + serve.rallies) < seen[n].points ? &low : &high) = d;
        }
        cr_log_info("%.1f %% of the points: %.1f %% of the sets, seen %.1f %%",
                    100 * seen[n].points, 100 * win, 100 * seen[n].sets);
        cr_assert_float_eq(win, seen[n].sets, 0.07);
    }
}

/* --- The rally model ------------------------------------------------------------------------- */

/* A coach's worked sum: two perfect passes at 0.766, four good ones at 0.702, one medium at 0.660,
 * one overpass at 0.212 are worth 0.651 a reception (marklebedew.com, 2024/08/22, abstract). The
 * last two are one grade here. */
Test(published, a_worked_sum_over_grades_of_reception) {
    SxRallyModel model;
    memset(&model, 0, sizeof model);
    model.level_count = 1;
    const double share[] = {2.0 / 8, 4.0 / 8, 2.0 / 8};
    const double after[] = {(0.660 + 0.212) / 2, 0.702, 0.766};
    memcpy(model.levels[0].share, share, sizeof share);
    memcpy(model.levels[0].side_out_after, after, sizeof after);
    const SxSide average = sx_average_side();
    cr_assert_float_eq(sx_side_out(&model, &average, &average), 0.651, 0.0005);
}

/* --- 6,330 sets of the German first leagues --------------------------------------------------
 *
 * Final scores 2013/14 to 2018/19; see datasets/set-scores-germany.source.txt. The side-out is that
 * of the level of play, which does not come from these sets: women from box scores, men near what
 * was counted. Only the spread of strengths is fitted, to the sets to 25; it foretells the sets to
 * 15 as well. */
static void check_league(const char *league, const char *level, int to_25, int to_15,
                         double expected_spread) {
    const Scores scores = read_scores("datasets/set-scores-germany.csv", league);
    static Pairings pairings;
    SxRallyModel model;
    double deciders;
    cr_assert_eq(count_sets(&scores, TO_25), to_25);
    cr_assert_eq(count_sets(&scores, TO_15), to_15);
    cr_assert_eq(sx_rally_load(NULL, &model, NULL), SX_OK);
    cr_assert_eq(sx_rally_set_level(&model, level, NULL), SX_OK);
    pair_up(sx_rally_level(&model)->side_out, &pairings);
    const double spread = fit_spread(&pairings, &scores);
    cr_log_info("%s: side-out %.3f, spread %.3f", league, sx_rally_level(&model)->side_out, spread);
    cr_assert_float_eq(spread, expected_spread, 0.02);
    const Pairing foretold = expected_sets(&pairings, spread, &deciders);
    check_final_scores(&scores, TO_25, &foretold, league);
    check_foretold(&scores, TO_25, &foretold, league);
    check_final_scores(&scores, TO_15, &foretold, league);
    check_foretold(&scores, TO_15, &foretold, league);
}

Test(published, sets_of_the_german_women) {
    check_league("women", "top-women", 3184, 199, 0.22);
}

Test(published, sets_of_the_german_men) {
    check_league("men", "top-men", 2798, 149, 0.24);
}

/* --- Level by level --------------------------------------------------------------------------- */

/* Side-out of average teams with so many front-row attackers. */
static double side_out_with(const SxRallyModel *model, double attackers) {
    const SxSide average = sx_average_side();
    SxSide receivers = average;
    receivers.more_attackers = attackers - SX_AVERAGE_ATTACKERS;
    return sx_side_out(model, &receivers, &average);
}

/* What is measured of a level, NAN for nothing. Sources: the German leagues' box scores (see
 * datasets/rally-model.json); PlusLiga and VNL box scores; side-out of the German men 2010/11 by
 * where the setter is (marklebedew.com/2012/09/24, second hand); rallies of junior teams that end
 * with the serve (volleyballblog.wordpress.com/2016/11, abstract). */
static const struct {
    const char *level;
    double side_out[2]; /* range */
    double front_less_back[2];
    double fault[2], ace[2], ends_with_serve[2];
} seen_at[] = {
    {"college-women", {0.58, 0.59}, {NAN, NAN}, {NAN, NAN}, {NAN, NAN}, {NAN, NAN}},
    {"top-women", {0.559, 0.570}, {NAN, NAN}, {0.103, 0.117}, {0.056, 0.099}, {0.16, 0.21}},
    {"top-men", {0.635, 0.669}, {-0.002, 0.023}, {0.164, 0.188}, {0.056, 0.081}, {0.19, 0.25}},
    {"juniors", {NAN, NAN}, {NAN, NAN}, {NAN, NAN}, {NAN, NAN}, {0.229, 0.231}},
    {"juniors-u15", {NAN, NAN}, {NAN, NAN}, {NAN, NAN}, {NAN, NAN}, {0.396, 0.405}},
};

static void check_range(const char *level, const char *what, double value, const double range[2]) {
    cr_assert(isnan(range[0]) || (value >= range[0] - 1e-9 && value <= range[1] + 1e-9),
              "%s, %s: %.4f, measured %.3f to %.3f", level, what, value, range[0], range[1]);
}

Test(published, every_level_is_where_it_was_measured) {
    SxRallyModel model;
    cr_assert_eq(sx_rally_load(NULL, &model, NULL), SX_OK);
    for (size_t n = 0; n < sizeof seen_at / sizeof seen_at[0]; n++) {
        const char *id = seen_at[n].level;
        cr_assert_eq(sx_rally_set_level(&model, id, NULL), SX_OK);
        const SxLevel *level = sx_rally_level(&model);
        const double ace = 1 - level->share[0] - level->share[1] - level->share[2];
        check_range(id, "side-out", side_out_with(&model, 2.5), seen_at[n].side_out);
        check_range(id, "setter in front less setter in back",
                    side_out_with(&model, 2) - side_out_with(&model, 3),
                    seen_at[n].front_less_back);
        check_range(id, "faults", level->service_fault, seen_at[n].fault);
        check_range(id, "aces", ace, seen_at[n].ace);
        check_range(id, "ends with the serve",
                    level->service_fault + (1 - level->service_fault) * ace,
                    seen_at[n].ends_with_serve);
    }
}

/* The table in src/analysis/README.md gives, for each level, what the model does; to the digit. */
Test(published, the_table_of_levels_is_the_models) {
    SxRallyModel model;
    char line[400], row[200];
    int rows = 0;
    cr_assert_eq(sx_rally_load(NULL, &model, NULL), SX_OK);
    for (int k = 0; k < model.level_count; k++) {
        cr_assert_eq(sx_rally_set_level(&model, model.levels[k].id, NULL), SX_OK);
        const SxLevel *level = sx_rally_level(&model);
        const double ace = 1 - level->share[0] - level->share[1] - level->share[2];
        snprintf(row, sizeof row, "| %s | %.3f | %.3f, %.3f | %.3f | %.3f | %.2f |", level->name,
                 side_out_with(&model, 2.5), side_out_with(&model, 2), side_out_with(&model, 3),
                 level->service_fault, ace,
                 level->service_fault + (1 - level->service_fault) * ace);
        FILE *file = fopen("src/analysis/README.md", "r");
        cr_assert_not_null(file);
        bool found = false;
        while (fgets(line, sizeof line, file)) {
            found = found || strncmp(line, row, strlen(row)) == 0;
        }
        fclose(file);
        cr_expect(found, "src/analysis/README.md lacks: %s", row);
        rows += found;
    }
    cr_assert_eq(rows, model.level_count);
}
