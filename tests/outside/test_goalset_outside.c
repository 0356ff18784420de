/* The order with the best set odds against plain enumeration: every way to fill six slots from the
 * roster, each solved on its own by the lineup program, and judged by its outlook. */
#include "sixturn/goalset.h"
#include "support.h"

#include <criterion/criterion.h>
#include <glpk.h>
#include <math.h>
#include <string.h>

typedef struct {
    const Desk *desk;
    SxProblem problem;
    SxFixture fixture;
    SxOrder order;
    bool used[SX_MAX_PLAYERS];
    double best;
    int count, better; /* orders, and those better than the one asked about */
    double asked;
} Walk;

static bool can(const Desk *desk, int p, int s) {
    for (int row = 0; row < SX_ROWS; row++) {
        if (!(desk->team.players[p].fitness[desk->system.duty[s][row].role] > 0)) {
            return false;
        }
    }
    return desk->team.players[p].available;
}

static void judge(Walk *walk) {
    const SxSolveOptions fixed = {.fixed = &walk->order};
    SxLineup lineup;
    SxOutlook outlook;
    SxError err = {0};
    if (sx_lineup_solve(&walk->problem, &fixed, &lineup, &err) != SX_OK) {
        return;
    }
    cr_assert_eq(sx_lineup_outlook(&walk->problem, &lineup, &walk->fixture, &outlook, &err), SX_OK);
    walk->count++;
    walk->better += outlook.win > walk->asked + 1e-10;
    walk->best = fmax(walk->best, outlook.win);
}

static void fill(Walk *walk, int s) {
    if (s == SX_SLOTS) {
        judge(walk);
        return;
    }
    for (int p = 0; p < walk->desk->team.player_count; p++) {
        if (!walk->used[p] && can(walk->desk, p, s)) {
            walk->used[p] = true;
            walk->order.front[s] = walk->order.back[s] = p;
            fill(walk, s + 1);
            walk->used[p] = false;
        }
    }
}

static void check(const char *team, const char *system, int start) {
    static Desk desk;
    static SxForecast best;
    static SxGoalSet goal;
    SxRallyModel model;
    SxOpponent opponent;
    SxError err = {0};
    glp_term_out(GLP_OFF);
    cr_assert_eq(sx_rally_load(NULL, &model, &err), SX_OK);
    const SxFixture even = {&model, &opponent, NULL};
    desk_read(&desk, team, system, "fivb-2025");
    sx_even_opponent(&desk.team, &model, &opponent);
    desk.plan.start = start;
    cr_assert_eq(sx_forecast(&desk.problem, NULL, &even, &best, &err), SX_OK, "%s", err.message);
    cr_assert_eq(sx_goal_set(&desk.problem, &even, &best, NULL, &goal, &err), SX_OK, "%s",
                 err.message);
    SxPlan plan = desk.plan;
    memcpy(plan.rotation_weight, best.weight, sizeof best.weight);
    Walk walk = {.desk = &desk,
                 .problem = desk.problem,
                 .fixture = {&model, &opponent, NULL},
                 .asked = goal.win_of_best_score};
    walk.problem.plan = &plan;
    fill(&walk, 0);
    cr_log_info("%s, %s: %d orders, best %.6f, of the best score %.6f (place %d)", team, system,
                walk.count, walk.best, goal.win_of_best_score, goal.place);
    /* in a system of two equal halves an order and its half turn are one, unless the start is fixed
     */
    const int turns = start < 0 && sx_system_is_mirrored(&desk.system) ? 2 : 1;
    cr_assert_eq(turns * goal.orders, walk.count);
    cr_assert_float_eq(goal.win, walk.best, 1e-9);
    cr_assert_float_eq(goal.outlook.win, goal.win, 1e-12);
    cr_assert_eq(goal.place, walk.better / turns + 1);
    cr_assert_geq(goal.win, goal.win_of_best_score - 1e-12);
    cr_assert_eq(goal.lineup.proof, SX_CHOSEN);
}

Test(goalset, every_order_of_a_small_roster) {
    check("datasets/junior-12.json", "4-2", -1);
    check("datasets/junior-12.json", "6-2", 2);
}

/* Wishes hold: nobody who must sit plays. */
Test(goalset, wishes_hold) {
    static Desk desk;
    static SxForecast best;
    static SxGoalSet goal;
    SxRallyModel model;
    SxOpponent opponent;
    SxError err = {0};
    glp_term_out(GLP_OFF);
    cr_assert_eq(sx_rally_load(NULL, &model, &err), SX_OK);
    const SxFixture even = {&model, &opponent, NULL};
    desk_read(&desk, "datasets/club-16.json", "5-1-outside", "fivb-2025");
    sx_even_opponent(&desk.team, &model, &opponent);
    cr_assert_eq(sx_forecast(&desk.problem, NULL, &even, &best, &err), SX_OK);
    cr_assert_eq(sx_goal_set(&desk.problem, &even, &best, NULL, &goal, &err), SX_OK);
    const int sits = goal.lineup.order.front[1];
    cr_assert_eq(sx_plan_wish(&desk.plan, SX_MUST_SIT, sits, -1, 0, "test", &err), SX_OK);
    cr_assert_eq(sx_forecast(&desk.problem, NULL, &even, &best, &err), SX_OK);
    cr_assert_eq(sx_goal_set(&desk.problem, &even, &best, NULL, &goal, &err), SX_OK);
    for (int s = 0; s < SX_SLOTS; s++) {
        cr_assert_neq(goal.lineup.order.front[s], sits);
        cr_assert_neq(goal.lineup.order.back[s], sits);
    }
}
