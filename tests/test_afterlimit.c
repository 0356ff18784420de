/* The six who play on, against the solver: with the order given, the integer program must find no
 * better libero plan and passers for any stop, system and turn. */
#include "sixturn/afterlimit.h"
#include "sixturn/systems.h"
#include "support.h"

#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

static bool fits(const SxTeam *team, const SxSystem *system, const int *six, int turn) {
    for (int s = 0; s < SX_SLOTS; s++) {
        const SxPlayer *who = &team->players[six[(s + turn) % SX_SLOTS]];
        for (int row = 0; row < SX_ROWS; row++) {
            if (who->fitness[system->duty[s][row].role] <= 0) {
                return false;
            }
        }
    }
    return true;
}

static bool substitutes(const SxSystem *system) {
    for (int s = 0; s < SX_SLOTS; s++) {
        if (system->split[s]) {
            return true;
        }
    }
    return false;
}

/* Best score by the solver over systems and turns; -infinity if none fits. */
static double best_by_solver(const SxProblem *problem, const SxSystemSet *set, const int *six) {
    double best = -INFINITY;
    SxPlan plan = *problem->plan;
    for (int r = 0; r < SX_ROTATIONS; r++) {
        plan.rotation_weight[r] = 1;
    }
    for (int k = 0; k < set->count; k++) {
        for (int turn = 0; turn < SX_SLOTS; turn++) {
            SxProblem under = sx_problem_under(problem, &set->entry[k]);
            under.plan = &plan;
            SxOrder order;
            for (int s = 0; s < SX_SLOTS; s++) {
                order.front[s] = order.back[s] = six[(s + turn) % SX_SLOTS];
            }
            SxSolveOptions options = {.fixed = &order};
            SxLineup lineup;
            if (!substitutes(under.system) && fits(under.team, under.system, six, turn) &&
                sx_lineup_solve(&under, &options, &lineup, NULL) == SX_OK) {
                best = fmax(best, lineup.score);
            }
        }
    }
    return best;
}

static void play_on(const char *rules) {
    static Desk desk;
    SxAfterLimit last;
    SxError err = {.status = SX_OK};
    SxLineup planned;
    SxChanges changes;
    SxSystemSet set;
    desk_read(&desk, "datasets/club-16.json", "6-2-double", rules);
    cr_assert_eq(sx_lineup_solve(&desk.problem, NULL, &planned, &err), SX_OK, "%s", err.message);
    cr_assert_eq(sx_changes(&planned.order, planned.start, &desk.rules, &changes, &err), SX_OK);
    cr_assert_eq(changes.per_cycle, 4);
    cr_assert_eq(sx_systems_load(&desk.plan, NULL, false, NULL, &set, &err), SX_OK);
    cr_assert_eq(sx_after_limit(&desk.problem, &planned, &changes, &last, &err), SX_OK);
    cr_assert(last.found);

    double best = -INFINITY;
    for (int n = 0; n <= changes.count; n += 2) { /* double substitutions come in twos */
        int six[SX_SLOTS];
        sx_changes_six(&planned.order, planned.start, &changes, n, six);
        double score = best_by_solver(&desk.problem, &set, six);
        cr_expect_leq(score, last.score + 1e-5, "%s: better after %d changes", rules, n);
        best = fmax(best, score);
    }
    cr_assert_float_eq(best, last.score, 1e-5);
    int six[SX_SLOTS];
    sx_changes_six(&planned.order, planned.start, &changes, last.changes, six);
    cr_assert_eq(memcmp(six, last.six, sizeof six), 0);
    cr_assert_geq(last.changes, changes.count - 2); /* the two sixes alternate */
    sx_systems_free(&set);
}

Test(afterlimit, no_better_way_to_play_on_after_twelve) {
    play_on("usav");
}

Test(afterlimit, no_better_way_to_play_on_where_each_starter_returns_once) {
    play_on("fivb-2025");
}
