/* Worth, doubt, comparisons of two lineups, and shares of playing time. */
#include "report/sums.h"
#include "sixturn/doubt.h"
#include "sixturn/orderfile.h"
#include "sixturn/session.h"
#include "sixturn/shares.h"
#include "sixturn/versus.h"
#include "sixturn/worth.h"
#include "support.h"

#include <cjson/cJSON.h>
#include <criterion/criterion.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

static const double agree = 1e-7;
static const SxSolveOptions score_only = {.any_tie = true};

static bool plays(const SxLineup *lineup, int player) {
    for (int s = 0; s < 6; s++) {
        if (lineup->order.front[s] == player || lineup->order.back[s] == player) {
            return true;
        }
    }
    for (int k = 0; k < lineup->libero_count; k++) {
        if (lineup->liberos[k] == player) {
            return true;
        }
    }
    return false;
}

/* Is she in the best lineup with these hundredths more? */
static bool enters(const Desk *desk, int player, int which, int hundredths) {
    SxTeam team = desk->team;
    for (int k = 0; k < SX_SKILL_COUNT; k++) {
        if (k == which || which == SX_ALL_SKILLS) {
            double *skill = &team.players[player].skill[k];
            *skill = fmin(10, *skill + hundredths / 100.0);
        }
    }
    SxProblem problem = desk->problem;
    problem.team = &team;
    SxLineup lineup;
    cr_assert_eq(sx_lineup_solve(&problem, &score_only, &lineup, NULL), SX_OK);
    return plays(&lineup, player);
}

static void check_player(const Desk *desk, const char *who) {
    int player = sx_team_find(&desk->team, who);
    SxWorth worth;
    cr_assert_eq(sx_worth(&desk->problem, player, NULL, &worth, NULL), SX_OK);
    cr_assert_not(worth.plays);
    cr_assert(worth.can_play);
    cr_expect(worth.missing > 0);
    int enough = 0;
    for (int k = 0; k < SX_RAISES; k++) {
        const SxRaise *raise = &worth.raise[k];
        cr_assert(raise->done);
        if (raise->enough) {
            enough++;
            cr_expect(enters(desk, player, k, raise->raise), "%s, skill %d: %d is not enough", who,
                      k, raise->raise);
            cr_expect_not(enters(desk, player, k, raise->raise - 1),
                          "%s, skill %d: less than %d is enough", who, k, raise->raise);
            cr_expect(plays(&raise->lineup, player));
        } else {
            cr_expect_not(enters(desk, player, k, 1000), "%s, skill %d: 10 is enough", who, k);
        }
    }
    cr_expect_gt(enough, 0, "something must bring %s in", who);
}

Test(worth, the_raise_brings_her_in_and_a_hundredth_less_does_not) {
    Desk desk;
    if (!SANITIZED) {
        desk_read(&desk, "datasets/club-16.json", "5-1-outside", "fivb-2025");
        check_player(&desk, "12");
        check_player(&desk, "11");
        check_player(&desk, "15");
    }
    desk_read(&desk, "datasets/junior-12.json", "6-2", "fivb-2025");
    check_player(&desk, "12");
}

Test(worth, a_starter_needs_no_raise) {
    Desk desk;
    desk_read(&desk, "datasets/club-16.json", "5-1-outside", "fivb-2025");
    SxWorth worth;
    cr_assert_eq(sx_worth(&desk.problem, sx_team_find(&desk.team, "6"), NULL, &worth, NULL), SX_OK);
    cr_expect(worth.plays);
    cr_expect_eq(worth.raise[SX_SETTING].raise, 0);
}

Test(worth, points_are_what_planning_again_gives) {
    Desk desk;
    desk_read(&desk, "datasets/club-16.json", "5-1-outside", "fivb-2025");
    SxPointValues values;
    cr_assert_eq(sx_point_values(&desk.problem, NULL, &values, NULL), SX_OK);
    cr_assert_eq(values.count, 7 * SX_SKILL_COUNT); /* six and the libero */
    for (int k = 0; k < values.count; k += 5) {
        const SxPointValue *value = &values.item[k];
        SxTeam team = desk.team;
        team.players[value->player].skill[value->skill] += value->step;
        SxProblem problem = desk.problem;
        problem.team = &team;
        SxLineup lineup;
        cr_assert_eq(sx_lineup_solve(&problem, &score_only, &lineup, NULL), SX_OK);
        cr_expect_float_eq(value->gain, lineup.score - values.best.score, agree);
        cr_expect(k == 0 || value->gain <= values.item[k - 1].gain + agree);
    }
    /* The setter sets all six rotations: a point of setting is worth its weight in each, whatever
     * the balance. */
    const SxPointValue *first = &values.item[0];
    cr_expect_eq(first->skill, SX_SETTING);
    cr_expect_float_eq(first->gain, desk.plan.weight[SX_PART_SET], agree);
    sx_point_values_free(&values);
}

/* --- doubt --------------------------------------------------------------------------------------
 */

/* Newcombe, Statistics in Medicine 17 (1998), table I, score method; from memory. */
Test(doubt, wilson_intervals_as_published) {
    static const struct {
        int count, trials;
        double low, high;
    } published[] = {{81, 263, 0.2553, 0.3662},
                     {15, 148, 0.0624, 0.1605},
                     {0, 20, 0, 0.1611},
                     {1, 29, 0.0061, 0.1718}};
    for (size_t k = 0; k < sizeof published / sizeof published[0]; k++) {
        SxShare share = sx_wilson(published[k].count, published[k].trials);
        cr_expect_float_eq(share.low, published[k].low, 5e-5);
        cr_expect_float_eq(share.high, published[k].high, 5e-5);
    }
    /* Closed form without a success: z^2 / (n + z^2). */
    cr_expect_float_eq(sx_wilson(0, 10).high, 3.841458820694124 / 13.841458820694124, 1e-12);
}

/* The reference values of SplitMix64 for seed 1234567, widely used; from memory. */
Test(doubt, the_generator_is_splitmix64) {
    uint64_t state = 1234567;
    cr_expect_eq(sx_random(&state), UINT64_C(6457827717110365317));
    cr_expect_eq(sx_random(&state), UINT64_C(3203168211198807973));
    cr_expect_eq(sx_random(&state), UINT64_C(9817491932198370423));
}

enum { NORMAL_DRAWS = SANITIZED ? 16 : 40 };

static void draw(const Desk *desk, double size, int draws, int threads, SxSpread spread,
                 SxDoubt *doubt) {
    SxRanking ranking;
    cr_assert_eq(sx_rank(&desk->problem, 5, NULL, &ranking, NULL), SX_OK);
    SxDoubtOptions options = {.size = size, .spread = spread, .draws = draws, .seed = 5};
    cr_assert_eq(
        sx_doubt(&desk->problem, &ranking, &options, &(SxWork){.threads = threads}, doubt, NULL),
        SX_OK);
    int sum = doubt->other.count;
    for (int k = 0; k < ranking.count; k++) {
        sum += doubt->best[k].count;
    }
    cr_expect_eq(sum, draws, "every draw has one winner");
    sx_ranking_free(&ranking);
}

Test(doubt, hardly_any_doubt_leaves_the_first_first) {
    Desk desk;
    desk_read(&desk, "datasets/club-16.json", "5-1-outside", "fivb-2025");
    SxDoubt doubt;
    draw(&desk, 0.001, 80, 0, SX_SPREAD_UNIFORM, &doubt);
    cr_expect_eq(doubt.best[0].count, 80);
    cr_expect_eq(doubt.reversed.count, 0);
    cr_expect_not(doubt.within_doubt);
    sx_doubt_free(&doubt);
}

Test(doubt, a_point_of_doubt_makes_the_first_two_hard_to_tell) {
    Desk desk;
    desk_read(&desk, "datasets/club-16.json", "5-1-outside", "fivb-2025");
    SxDoubt serial, parallel;
    draw(&desk, 1, NORMAL_DRAWS, 1, SX_SPREAD_NORMAL, &serial);
    draw(&desk, 1, NORMAL_DRAWS, 4, SX_SPREAD_NORMAL, &parallel);
    cr_expect(serial.within_doubt);
    cr_expect_lt(serial.best[0].count, NORMAL_DRAWS);
    for (int k = 0; k < 5; k++) {
        cr_expect_eq(serial.best[k].count, parallel.best[k].count, "whatever the threads");
    }
    cr_expect_eq(serial.reversed.count, parallel.reversed.count);
    sx_doubt_free(&serial);
    sx_doubt_free(&parallel);
}

/* --- two lineups --------------------------------------------------------------------------------
 */

Test(versus, parts_add_up_to_the_difference) {
    Desk desk;
    desk_read(&desk, "datasets/club-16.json", "5-1-outside", "fivb-2025");
    SxContender best = {.problem = desk.problem}, other = {.problem = desk.problem};
    cr_assert_eq(sx_lineup_solve(&desk.problem, NULL, &best.lineup, NULL), SX_OK);
    SxSolveOptions options = {.cut = &best.lineup.order, .cut_count = 1};
    cr_assert_eq(sx_lineup_solve(&desk.problem, &options, &other.lineup, NULL), SX_OK);
    SxVersus versus;
    cr_assert_eq(sx_versus(&desk.plan, &best, &other, &versus, NULL), SX_OK);
    cr_expect_float_eq(versus.side[0].score, best.lineup.score, agree);
    cr_expect_float_eq(versus.difference.score, other.lineup.score - best.lineup.score, agree);
    for (int r = 0; r < 6; r++) {
        double sum = 0;
        for (int k = 0; k < SX_PARTS; k++) {
            sum += versus.difference.part[r][k];
        }
        cr_expect_float_eq(sum, versus.difference.rotation[r], agree);
    }
    int received[2] = {0, 0};
    for (int p = 0; p < desk.team.player_count; p++) {
        received[0] += versus.receptions[0][p];
        received[1] += versus.receptions[1][p];
    }
    cr_expect_eq(received[0], 36);
    cr_expect_eq(received[1], 36);
    cr_expect_gt(versus.difference.move_count, 0);
}

Test(versus, columns_of_the_tables_add_up_to_the_score) {
    Desk desk;
    desk_read(&desk, "datasets/club-16.json", "6-2-double", "fivb-2025");
    SxLineup lineup;
    cr_assert_eq(sx_lineup_solve(&desk.problem, NULL, &lineup, NULL), SX_OK);
    double column[SX_SUM_COLUMNS];
    double sum = 0;
    cr_assert_eq(sx_makeup(&desk.problem, &lineup, column, NULL), SX_OK);
    for (int k = 0; k < SX_SUM_COLUMNS; k++) {
        sum += column[k];
    }
    cr_expect_float_eq(sum, lineup.score, agree);
}

Test(versus, a_printed_plan_reads_back_as_the_same_order) {
    Desk desk;
    SxSessionInput input;
    SxSession *session;
    SxAnswer *plan;
    SxAsk ask;
    desk_read(&desk, "datasets/club-16.json", "6-2-double", "fivb-2025");
    sx_session_input_default(&input);
    sx_ask_default(SX_ASK_PLAN, &ask);
    input.team.name = "datasets/club-16.json";
    input.system.name = "6-2-double";
    cr_assert_eq(sx_session_new(&input, &session, NULL), SX_OK);
    cr_assert_eq(sx_session_ask(session, &ask, &plan, NULL), SX_OK);
    const SxOrder order = plan->plan.forecast.lineup.order;
    sx_answer_free(plan);
    sx_session_free(session);
    Run run = run_sixturn("plan datasets/club-16.json --system 6-2-double --json");
    bool is_result = false;
    SxOrderFile file;
    SxError err = {.status = SX_OK};
    size_t length = strlen(run.out);
    cr_assert_eq(sx_order_file_is_result(run.out, length, "a.json", &is_result, &err), SX_OK);
    cr_expect(is_result);
    cr_assert_eq(sx_order_file_parse(run.out, length, "a.json", &desk.team, &file, &err), SX_OK,
                 "%s", err.message);
    cr_expect_arr_eq(&file.order, &order, sizeof file.order);
    cr_expect_str_eq(file.system, "6-2-double");
    cr_expect_eq(file.passers, 1u << 3);
    run_free(&run);
}

Test(versus, a_player_in_two_places_is_refused) {
    Desk desk;
    desk_read(&desk, "datasets/club-16.json", "5-1-outside", "fivb-2025");
    Run run = run_sixturn("plan datasets/club-16.json --json");
    cJSON *json = cJSON_Parse(run.out);
    cJSON *order = cJSON_GetObjectItem(json, "order");
    cJSON *first = cJSON_GetArrayItem(order, 0);
    cJSON *second = cJSON_GetArrayItem(order, 1);
    cJSON_SetValuestring(cJSON_GetObjectItem(second, "front"),
                         cJSON_GetObjectItem(first, "front")->valuestring);
    char *text = cJSON_Print(json);
    SxOrderFile file;
    SxError err = {.status = SX_OK};
    cr_expect_eq(sx_order_file_parse(text, strlen(text), "a.json", &desk.team, &file, &err),
                 SX_BAD_INPUT);
    cr_expect(strstr(err.message, "two places"), "%s", err.message);
    free(text);
    cJSON_Delete(json);
    run_free(&run);
}

/* --- shares -------------------------------------------------------------------------------------
 */

static void ask_shares(Desk *desk, int least) {
    for (int p = 0; p < desk->team.player_count; p++) {
        sx_plan_wish(&desk->plan, SX_MIN_ROTATIONS, p, -1, least, "test", NULL);
    }
}

/* Counted anew, set by set. */
static int receptions(const SxShares *shares, int player) {
    int count = 0;
    for (int n = 0; n < shares->sets; n++) {
        for (int r = 0; r < 6; r++) {
            for (int s = 0; s < 6; s++) {
                count += sx_on_court(&shares->set[n], r, SX_RECEIVE, s) == player;
            }
        }
    }
    return count;
}

Test(shares, one_set_is_the_plan_with_its_wishes) {
    Desk desk;
    desk_read(&desk, "datasets/junior-12.json", "5-1-outside", "fivb-2025");
    int ylva = sx_team_find(&desk.team, "12");
    sx_plan_wish(&desk.plan, SX_MIN_ROTATIONS, ylva, -1, 6, "test", NULL);
    SxLineup lineup;
    SxShares shares;
    cr_assert_eq(sx_lineup_solve(&desk.problem, NULL, &lineup, NULL), SX_OK);
    cr_assert_eq(sx_shares(&desk.problem, 1, NULL, &shares, NULL), SX_OK);
    cr_expect_float_eq(shares.total, lineup.score, agree);
    cr_expect_geq(shares.bound, shares.total);
}

/* Where one lineup is the best for every set, it says what a set is worth at once. */
Test(shares, prices_settle_where_nobody_waits) {
    Desk desk;
    SxShares shares;
    desk_read(&desk, "datasets/junior-12.json", "5-1-outside", "fivb-2025");
    cr_assert_eq(sx_shares(&desk.problem, 3, NULL, &shares, NULL), SX_OK);
    cr_expect_lt(shares.solved, 10);
    cr_expect_float_eq(shares.total, 3 * shares.free_score, agree);
}

/* Nine rotations of three sets, which one set has not got. */
Test(shares, more_than_one_set_can_give) {
    static const char text[] = "{\"format\": \"sixturn-plan-1\", \"wishes\": "
                               "{\"must_sit\": [3], \"min_rotations\": {\"12\": 9}}}";
    Desk desk;
    SxShares shares;
    SxLineup lineup;
    SxError err = {.status = SX_OK};
    desk_read(&desk, "datasets/junior-12.json", "5-1-outside", "fivb-2025");
    cr_assert_eq(sx_plan_parse(text, strlen(text), "p", &desk.team, &desk.plan, &err), SX_OK, "%s",
                 err.message);
    cr_assert_eq(sx_shares(&desk.problem, 3, NULL, &shares, &err), SX_OK, "%s", err.message);
    const int enna = sx_team_find(&desk.team, "12");
    cr_expect_geq(receptions(&shares, enna), 9);
    cr_expect_eq(sx_shares(&desk.problem, 1, NULL, &shares, NULL), SX_NO);
    cr_expect_eq(sx_lineup_solve(&desk.problem, NULL, &lineup, NULL), SX_NO);
}

Test(shares, everyone_gets_her_share_over_the_sets) {
    Desk desk;
    desk_read(&desk, "datasets/junior-12.json", "5-1-outside", "fivb-2025");
    ask_shares(&desk, 6);
    SxLineup alone;
    cr_assert_eq(sx_lineup_solve(&desk.problem, NULL, &alone, NULL), SX_NO,
                 "twelve cannot play all six rotations of one set");
    SxShares shares;
    cr_assert_eq(sx_shares(&desk.problem, 3, NULL, &shares, NULL), SX_OK);
    cr_assert_eq(shares.sets, 3);
    double sum = 0;
    for (int p = 0; p < desk.team.player_count; p++) {
        cr_expect_geq(receptions(&shares, p), 6, "#%d", desk.team.players[p].number);
    }
    for (int n = 0; n < 3; n++) {
        SxLineup again = shares.set[n];
        sx_lineup_score(&desk.problem, &again);
        sum += again.score;
    }
    cr_expect_float_eq(sum, shares.total, agree);
    cr_expect_leq(shares.total, shares.bound + agree);
    cr_expect_leq(shares.bound, 3 * shares.free_score + agree);
    cr_expect_leq(shares.bound - shares.total, 0.02 * shares.total, "a gap worth telling");
}

/* Three setters who each want all of one set do not fit into two sets with one setter. */
Test(shares, says_when_it_cannot_be) {
    Desk desk;
    desk_read(&desk, "datasets/club-16.json", "5-1-outside", "fivb-2025");
    static const char *const setters[] = {"1", "6", "11"};
    for (int k = 0; k < 3; k++) {
        int player = sx_team_find(&desk.team, setters[k]);
        desk.team.players[player].fitness[SX_OPPOSITE] = 0;
        sx_plan_wish(&desk.plan, SX_MIN_ROTATIONS, player, -1, 6, "test", NULL);
    }
    SxShares shares;
    SxError err = {.status = SX_OK};
    cr_expect_eq(sx_shares(&desk.problem, 2, NULL, &shares, &err), SX_NO);
    cr_expect(strstr(err.message, "there are no lineups"), "%s", err.message);
    cr_expect_eq(sx_shares(&desk.problem, 3, NULL, &shares, &err), SX_OK, "%s", err.message);
    cr_expect_eq(sx_shares(&desk.problem, 0, NULL, &shares, &err), SX_USAGE);
}
