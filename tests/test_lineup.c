/* The lineup program on rosters of any size and any roles, and what it says when it cannot go on.
 */
#include "support.h"

#include <criterion/criterion.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "model/lineup_walk.h"
#include "sixturn/evaluate.h"

static const double agree = 1e-6;

static SxStatus solve(const Desk *desk, double seconds, SxLineup *lineup, SxError *err) {
    SxSolveOptions options = {.any_tie = true, .time_limit = seconds};
    memset(err, 0, sizeof *err);
    return sx_lineup_solve(&desk->problem, &options, lineup, err);
}

static void give_every_role(SxTeam *team) {
    for (int p = 0; p < team->player_count; p++) {
        for (int role = 0; role < SX_ROLE_COUNT; role++) {
            team->players[p].fitness[role] = 1;
        }
    }
}

/* A young team where everybody learns everything; rows of the program grow far beyond a usual
 * team's. */
Test(lineup, everybody_has_every_role) {
    Rng rng = {12};
    Desk *desk = malloc(sizeof *desk);
    SxLineup lineup;
    SxError err;
    random_team(&rng, 12, &desk->team);
    give_every_role(&desk->team);
    desk_set(desk, "5-1-outside", "fivb-2025", 1u << 2 | 1u << 3 | 1u << 4 | 1u << 5);
    SxStatus status = solve(desk, 20, &lineup, &err);
    cr_assert(status == SX_OK, "status %d: %s", status, err.message);
    cr_assert(lineup.gap >= 0 && isfinite(lineup.gap));
    free(desk);
}

Test(lineup, forty_players_have_every_role) {
    Rng rng = {40};
    Desk *desk = malloc(sizeof *desk);
    SxLineup lineup;
    SxError err;
    random_team(&rng, 40, &desk->team);
    give_every_role(&desk->team);
    desk_set(desk, "5-1-outside", "fivb-2025", 1u << 3);
    SxStatus status = solve(desk, 2, &lineup, &err);
    cr_assert(status == SX_OK || status == SX_OUT_OF_TIME, "status %d: %s", status, err.message);
    free(desk);
}

/* Running out of time is not 'no'. */
Test(lineup, no_time_is_told_apart_from_no_lineup) {
    Rng rng = {41};
    Desk *desk = malloc(sizeof *desk);
    SxLineup lineup;
    SxError err;
    random_team(&rng, 40, &desk->team);
    random_roles(&rng, &desk->team);
    desk_set(desk, "5-1-outside", "fivb-2025", 1u << 3);
    cr_assert_eq(solve(desk, 0.001, &lineup, &err), SX_OUT_OF_TIME, "%s", err.message);
    cr_assert_not_null(strstr(err.message, "time limit"), "%s", err.message);
    free(desk);
}

enum { ROSTERS = SANITIZED ? 6 : 40 };

/* Any roles, any options: what the solver proves is what plain arithmetic finds for its order. */
Test(lineup, the_proven_score_is_the_score_of_its_order) {
    int solved = 0;
    for (int n = 0; n < ROSTERS; n++) {
        Rng rng = {900 + (uint64_t)n};
        Desk *desk = malloc(sizeof *desk);
        SxLineup lineup, again;
        SxError err;
        random_team(&rng, 10 + rng_below(&rng, 3), &desk->team);
        random_roles(&rng, &desk->team);
        desk_set(desk, all_systems[n % 5], all_rules[n % 6], 1u << 3);
        random_options(&rng, &desk->team, &desk->plan);
        SxStatus status = solve(desk, 3, &lineup, &err);
        cr_assert(status == SX_OK || status == SX_NO || status == SX_OUT_OF_TIME,
                  "roster %d: status %d, %s", n, status, err.message);
        if (status == SX_OK) {
            solved++;
            cr_assert_eq(sx_evaluate_order(&desk->problem, &lineup.order, 0, &again, &err), SX_OK);
            cr_assert_float_eq(again.score, lineup.score, agree, "roster %d", n);
            for (int k = 0; k < desk->plan.wish_count; k++) {
                cr_assert(sx_wish_holds(&desk->problem, &lineup, &desk->plan.wishes[k]));
            }
        }
        free(desk);
    }
    cr_assert(solved > ROSTERS / 4, "only %d of %d were solved", solved, ROSTERS);
}

/* Orders by falling bound, and branching with ties broken place by place: one lineup, whatever is
 * wished for. */
Test(lineup, is_the_same_by_bounds_and_by_branching) {
    enum { TEAMS = SANITIZED ? 4 : 30, PATIENT = 20000, NEVER = 0 };
    const SxSolveOptions options = {.time_limit = 5};
    int compared = 0;
    for (int n = 0; n < TEAMS; n++) {
        Rng rng = {7700 + (uint64_t)n};
        Desk *desk = malloc(sizeof *desk);
        SxLineup walked, branched;
        random_team(&rng, 10 + rng_below(&rng, 3), &desk->team);
        desk_set(desk, all_systems[n % 5], all_rules[n % 6], 1u << 3);
        if (n % 3) {
            random_options(&rng, &desk->team, &desk->plan);
        }
        const SxStatus one =
            sx_lineup_solve_within(&desk->problem, &options, PATIENT, &walked, NULL);
        const SxStatus other =
            sx_lineup_solve_within(&desk->problem, &options, NEVER, &branched, NULL);
        if (one == SX_NO || other == SX_NO) {
            cr_assert_eq(one, other, "roster %d: %d and %d", n, one, other);
        } else if (one == SX_OK && other == SX_OK && walked.proof == SX_OPTIMAL &&
                   branched.proof == SX_OPTIMAL) {
            compared++;
            cr_assert_float_eq(walked.score, branched.score, agree, "roster %d", n);
            cr_assert_eq(memcmp(&walked.order, &branched.order, sizeof walked.order), 0,
                         "roster %d: another order", n);
        }
        free(desk);
    }
    cr_assert_gt(compared, TEAMS / 3);
}
