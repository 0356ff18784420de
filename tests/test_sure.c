/* How sure the best lineup is: the estimate of every plan against planning every draw anew. */
#include "sixturn/bestset.h"
#include "sixturn/doubt.h"
#include "sixturn/eligible.h"
#include "sixturn/sure.h"
#include "support.h"

#include <criterion/criterion.h>
#include <glpk.h>
#include <math.h>

/* Measured with 400 draws: the first 24.8 % by estimate, 24.3 % planned anew (juniors); 25.3 % and
 * 23.3 % (first team); any of the best ten orders up to 3.5 % apart. With 100 draws of the same
 * ratings a draw is 1 %. */
static const double APART = 0.05;

enum { DRAWS = 100 };

static void sit_down(Evening *table, const char *team, const char *system) {
    glp_term_out(GLP_OFF);
    evening_read(table, team, system, "fivb-2025");
    table->desk.problem.against = &table->fixture;
}

static bool same_order(const SxOrder *a, const SxOrder *b) {
    bool same = true;
    for (int s = 0; s < 6; s++) {
        same = same && a->front[s] == b->front[s] && a->back[s] == b->back[s];
    }
    return same;
}

static void check_estimate(const char *team) {
    static Evening table;
    static SxSure sure;
    SxRanking ranking;
    SxDoubt doubt;
    SxError err = {.status = SX_OK};
    const SxDoubtOptions options = {.size = SX_SURE_POINTS, .draws = DRAWS, .seed = 1};
    sit_down(&table, team, "5-1-outside");
    cr_assert_eq(sx_how_sure(&table.desk.problem, DRAWS, NULL, &sure, &err), SX_OK);
    cr_assert_eq(sx_rank(&table.desk.problem, 10, NULL, &ranking, &err), SX_OK);
    cr_assert_eq(sx_doubt(&table.desk.problem, &ranking, &options, NULL, &doubt, &err), SX_OK);
    cr_assert(sure.known);
    cr_assert_eq(sure.draws, DRAWS);
    cr_assert_eq(sure.orders, SX_SURE_ORDERS);
    const double exact = (double)doubt.best[0].count / doubt.draws;
    cr_log_info("%s: first in %.3f, planned anew %.3f", team, sure.first, exact);
    cr_expect_float_eq(sure.first, exact, APART, "%s", team);
    cr_expect(same_order(&sure.rival[0].lineup.order, &ranking.item[0].order));
    for (int k = 0; k < sure.count; k++) {
        for (int j = 0; j < ranking.count; j++) {
            if (same_order(&sure.rival[k].lineup.order, &ranking.item[j].order)) {
                const double share = (double)doubt.best[j].count / doubt.draws;
                cr_expect_float_eq(sure.rival[k].first, share, APART, "%s, order %d: %.3f, %.3f",
                                   team, j + 1, sure.rival[k].first, share);
                cr_expect_float_eq(sure.rival[k].lineup.win, ranking.item[j].win, 1e-12);
            }
        }
    }
    sx_doubt_free(&doubt);
    sx_ranking_free(&ranking);
}

Test(sure, juniors_as_if_every_draw_was_planned_anew) {
    check_estimate("datasets/junior-12.json");
}

Test(sure, first_team_as_if_every_draw_was_planned_anew) {
    check_estimate("datasets/club-16.json");
}

/* Three front positions, 4 left, 3 centre, 2 right, as they stand: slots r + 3, r + 2 and r + 1. */
static int out_of_the_usual(const Desk *desk, const SxLineup *lineup) {
    int count = 0;
    for (int p = 0; p < desk->team.player_count; p++) {
        const SxPlayer *who = &desk->team.players[p];
        double best = 0;
        bool out = false;
        for (int role = 0; role < SX_ROLE_COUNT; role++) {
            best = fmax(best, who->fitness[role]);
        }
        for (int s = 0; s < 6; s++) {
            out |= lineup->order.front[s] == p &&
                   who->fitness[desk->system.duty[s][SX_FRONT].role] < best;
            out |= lineup->order.back[s] == p &&
                   who->fitness[desk->system.duty[s][SX_BACK].role] < best;
        }
        for (int r = 0; r < 6; r++) {
            for (int position = 2; position <= 4; position++) {
                const int s = (r + position - 1) % 6;
                const unsigned lane = 1u << sx_side_lane(lineup->rotation[r].sides, position);
                out |= lineup->order.front[s] == p && desk->system.setter_slot[r] != s &&
                       !(sx_usual_lanes(who) & lane);
            }
        }
        count += out;
    }
    return count;
}

/* The star is on the order with the fewest out of the usual, and of those on the best. */
Test(sure, the_simplest_is_marked) {
    static Evening table;
    static SxSure sure;
    SxError err = {.status = SX_OK};
    sit_down(&table, "datasets/club-16.json", "5-1-outside");
    cr_assert_eq(sx_how_sure(&table.desk.problem, SX_SURE_DRAWS, NULL, &sure, &err), SX_OK);
    cr_assert_gt(sure.count, 1);
    bool differ = false;
    for (int k = 0; k < sure.count; k++) {
        const SxRival *rival = &sure.rival[k];
        cr_expect_eq(rival->unusual, out_of_the_usual(&table.desk, &rival->lineup), "%d", k);
        cr_expect(rival->unusual > sure.rival[sure.simplest].unusual ||
                  (rival->unusual == sure.rival[sure.simplest].unusual && k >= sure.simplest));
        differ |= rival->unusual != sure.rival[0].unusual;
    }
    cr_expect(differ);
}

/* Nothing is said of a score, nor where planned substitutions bend the odds. */
Test(sure, says_nothing_where_it_knows_nothing) {
    static Evening table;
    static SxSure sure;
    SxError err = {.status = SX_OK};
    sit_down(&table, "datasets/junior-12.json", "6-2-double");
    cr_assert_eq(sx_how_sure(&table.desk.problem, DRAWS, NULL, &sure, &err), SX_OK);
    cr_expect_not(sure.known);
    sit_down(&table, "datasets/junior-12.json", "5-1-outside");
    table.desk.problem.against = NULL;
    cr_assert_eq(sx_how_sure(&table.desk.problem, DRAWS, NULL, &sure, &err), SX_OK);
    cr_expect_not(sure.known);
    cr_expect_eq(sx_how_sure(&table.desk.problem, 0, NULL, &sure, &err), SX_USAGE);
}
