/* Absent players, setters and systems: each answer must be the one that the plain program gives
 * when it is asked directly. */
#include "analysis/parallel.h"
#include "sixturn/absent.h"
#include "sixturn/setters.h"
#include "support.h"

#include <cjson/cJSON.h>
#include <criterion/criterion.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const double agree = 1e-9;
enum { PLAYERS = 16, ROUNDS = SANITIZED ? 4 : PLAYERS, MOST_SYSTEMS = 16 };

static SxSystemSet load_systems(const Desk *desk) {
    SxSystemSet set;
    SxError err = {.status = SX_OK};
    cr_assert_eq(sx_systems_load(&desk->plan, NULL, false, NULL, &set, &err), SX_OK, "%s",
                 err.message);
    cr_assert_eq(set.count, sx_system_count());
    return set;
}

/* The plain program with these wishes; minus infinity if there is no lineup. */
static double ask(const SxProblem *problem, SxWishKind kind, const int *players, int most) {
    SxPlan plan = *problem->plan;
    for (int k = 0; k < most && players[k] >= 0; k++) {
        cr_assert_eq(sx_plan_wish(&plan, kind, players[k], -1, 0, "test", NULL), SX_OK);
    }
    SxProblem asked = *problem;
    asked.plan = &plan;
    SxLineup lineup;
    SxStatus status = sx_lineup_solve(&asked, &(SxSolveOptions){.any_tie = true}, &lineup, NULL);
    cr_assert(status == SX_OK || status == SX_NO);
    return status == SX_OK ? lineup.score : -INFINITY;
}

static void expect_score(const SxProblem *problem, const SxAbsence *item) {
    double asked = ask(problem, SX_MUST_SIT, item->player, SX_TOGETHER);
    cr_assert_eq(item->possible, isfinite(asked));
    if (item->possible) {
        cr_expect_float_eq(item->lineup.score, asked, agree);
    }
}

/* A system with the best lineup of everybody. */
typedef struct {
    SxProblem problem;
    SxLineup everybody;
} Under;

static void plan_under(Under *under, SxProblem problem) {
    under->problem = problem;
    cr_assert_eq(sx_lineup_solve(&under->problem, &(SxSolveOptions){.any_tie = true},
                                 &under->everybody, NULL),
                 SX_OK);
}

/* The best score without a player; whoever is not in the best lineup of all takes nothing away. */
static double without(const Under *under, int player) {
    bool plays = false;
    for (int r = 0; r < SX_ROTATIONS; r++) {
        for (int s = 0; s < SX_SLOTS; s++) {
            plays |= sx_on_court(&under->everybody, r, SX_RECEIVE, s) == player ||
                     sx_on_court(&under->everybody, r, SX_SERVE, s) == player;
        }
    }
    return plays ? ask(&under->problem, SX_MUST_SIT, (int[]){player}, 1) : under->everybody.score;
}

static int all_cases(int (*cases)[SX_TOGETHER], bool pairs) {
    int count = 0;
    for (int p = 0; p < PLAYERS; p++) {
        cases[count][0] = p;
        cases[count++][1] = SX_NOBODY;
        for (int q = p + 1; pairs && q < PLAYERS; q++) {
            cases[count][0] = p;
            cases[count++][1] = q;
        }
    }
    return count;
}

static double item_score(const SxAbsence *item) {
    return item->possible ? item->lineup.score : -INFINITY;
}

Test(absent, every_player_as_if_planned_without) {
    Desk desk;
    desk_read(&desk, "datasets/club-16.json", "5-1-outside", "fivb-2025");
    SxSystemSet systems = load_systems(&desk);
    static Under under[MOST_SYSTEMS];
    cr_assert_leq(systems.count, MOST_SYSTEMS);
    for (int s = 0; s < systems.count; s++) {
        plan_under(&under[s], sx_problem_under(&desk.problem, &systems.entry[s]));
    }
    int cases[PLAYERS][SX_TOGETHER];
    SxAbsences all;
    cr_assert_eq(
        sx_absent(&desk.problem, &systems, cases, all_cases(cases, false), NULL, &all, NULL),
        SX_OK);
    cr_assert_eq(all.count, PLAYERS);
    for (int k = 0; k < (SANITIZED ? 4 : all.count); k++) {
        const SxAbsence *item = &all.item[k];
        cr_assert(item->done);
        expect_score(&desk.problem, item);
        cr_expect_float_eq(item->loss, all.best.score - item->lineup.score, agree);
        cr_expect(k == 0 || item->loss <= all.item[k - 1].loss, "the largest loss comes first");
        double best = -INFINITY;
        for (int s = 0; s < systems.count; s++) {
            best = fmax(best, without(&under[s], item->player[0]));
        }
        double told = item->better_system >= 0 ? item->system_score : item_score(item);
        cr_expect_float_eq(told, best, 1e-6, "the best system without #%d",
                           desk.team.players[item->player[0]].number);
    }
    sx_absences_free(&all);
    sx_systems_free(&systems);
}

Test(absent, pairs_as_if_planned_without) {
    Desk desk;
    desk_read(&desk, "datasets/club-16.json", "6-2", "fivb-2025");
    int cases[PLAYERS * PLAYERS][SX_TOGETHER];
    SxAbsences all;
    cr_assert_eq(sx_absent(&desk.problem, NULL, cases, all_cases(cases, true), NULL, &all, NULL),
                 SX_OK);
    cr_assert_eq(all.count, PLAYERS * (PLAYERS + 1) / 2);
    cr_expect_lt(all.solved, all.count / 2, "most cases follow from others");
    for (int k = 0; k < (SANITIZED ? 4 : all.count); k += k < 30 ? 1 : 7) {
        expect_score(&desk.problem, &all.item[k]);
    }
    sx_absences_free(&all);
}

/* Up to six at the same time: as planned with all of them sitting, wishes that ask for them lifted.
 */
Test(absent, several_together_as_if_planned_without) {
    Desk desk;
    desk_read(&desk, "datasets/club-16.json", "5-1-outside", "fivb-2025");
    static const int groups[][SX_TOGETHER] = {
        {0, 3, 6, SX_NOBODY}, {1, 2, 5, 9, SX_NOBODY}, {14, 15, 13, SX_NOBODY},
        {0, 1, 2, 3, 4, 5},   {7, SX_NOBODY},
    };
    enum { GROUPS = sizeof groups / sizeof groups[0] };
    int cases[GROUPS][SX_TOGETHER];
    memcpy(cases, groups, sizeof cases);
    SxAbsences all;
    cr_assert_eq(sx_absent(&desk.problem, NULL, cases, GROUPS, NULL, &all, NULL), SX_OK);
    cr_assert_eq(all.count, GROUPS);
    for (int k = 0; k < all.count; k++) {
        expect_score(&desk.problem, &all.item[k]);
    }
    sx_absences_free(&all);
}

/* As whole programs: absent's points are those of plan with --out. */
static void check_out(const char *team, const char *who, const char *options) {
    char words[256];
    snprintf(words, sizeof words, "plan %s --out %s --json %s", team, who, options);
    Run plan = run_sixturn(words);
    snprintf(words, sizeof words, "absent %s %s --json %s", team, who, options);
    Run absent = run_sixturn(words);
    cr_assert_eq(plan.exit_status, 0, "%s", plan.err);
    cr_assert_eq(absent.exit_status, 0, "%s", absent.err);
    cJSON *one = cJSON_Parse(plan.out);
    cJSON *other = cJSON_Parse(absent.out);
    cJSON *item = cJSON_GetArrayItem(cJSON_GetObjectItem(other, "absences"), 0);
    cr_assert_not_null(item);
    cr_expect_float_eq(cJSON_GetObjectItem(item, "sets")->valuedouble,
                       cJSON_GetObjectItem(one, "sets")->valuedouble, agree, "%s", words);
    cJSON_Delete(one);
    cJSON_Delete(other);
    run_free(&plan);
    run_free(&absent);
}

Test(absent, says_what_the_program_says_with_out) {
    check_out("datasets/club-16.json", "5", "");
    check_out("datasets/club-16.json", "2", "--system 6-2 --balance 0.5");
    check_out("datasets/junior-12.json", "7", "--plan datasets/junior-12-plan.json");
}

/* A wish that she plays makes no sense once she is absent; all others stand. */
Test(absent, wishes_that_ask_for_her_are_lifted) {
    Desk desk;
    desk_read(&desk, "datasets/club-16.json", "5-1-outside", "fivb-2025");
    int nele = sx_team_find(&desk.team, "1");
    int selma = sx_team_find(&desk.team, "9");
    sx_plan_wish(&desk.plan, SX_MUST_PLAY, nele, -1, 0, "test", NULL);
    sx_plan_wish(&desk.plan, SX_MUST_SIT, selma, -1, 0, "test", NULL);
    int cases[1][SX_TOGETHER] = {{nele, SX_NOBODY}};
    SxAbsences all;
    cr_assert_eq(sx_absent(&desk.problem, NULL, cases, 1, NULL, &all, NULL), SX_OK);
    cr_assert(all.item[0].possible);
    cr_expect(all.item[0].lifted);
    desk.plan.wish_count = 0;
    cr_expect_float_eq(all.item[0].lineup.score,
                       ask(&desk.problem, SX_MUST_SIT, (int[]){nele, selma}, 2), agree);
    sx_absences_free(&all);
}

/* Of a wish about two: to be opposite means nothing without one of them, whichever it is; not to be
 * neighbours is kept by itself, and so is what is asked of somebody else. */
Test(absent, wishes_of_two_without_one_of_them) {
    Desk desk;
    desk_read(&desk, "datasets/club-16.json", "5-1-outside", "fivb-2025");
    const int one = sx_team_find(&desk.team, "1"), other = sx_team_find(&desk.team, "9");
    const int third = sx_team_find(&desk.team, "4");
    sx_plan_wish(&desk.plan, SX_OPPOSITE_PAIR, one, other, 0, "test", NULL);
    sx_plan_wish(&desk.plan, SX_NOT_ADJACENT, third, one, 0, "test", NULL);
    int cases[3][SX_TOGETHER] = {{one, SX_NOBODY}, {other, SX_NOBODY}, {third, SX_NOBODY}};
    SxAbsences all;
    cr_assert_eq(sx_absent(&desk.problem, NULL, cases, 3, NULL, &all, NULL), SX_OK);
    for (int k = 0; k < 3; k++) {
        const SxAbsence *item = &all.item[k];
        const bool of_the_pair = item->player[0] != third;
        desk.plan.wish_count = 0;
        if (!of_the_pair) {
            sx_plan_wish(&desk.plan, SX_OPPOSITE_PAIR, one, other, 0, "test", NULL);
        }
        sx_plan_wish(&desk.plan, SX_NOT_ADJACENT, third, one, 0, "test", NULL);
        cr_assert(item->possible);
        cr_expect_eq(item->lifted, of_the_pair);
        expect_score(&desk.problem, item);
    }
    sx_absences_free(&all);
}

Test(absent, a_stopped_run_says_what_is_not_done) {
    Desk desk;
    desk_read(&desk, "datasets/club-16.json", "5-1-outside", "fivb-2025");
    static const volatile sig_atomic_t stop = 1;
    int cases[PLAYERS][SX_TOGETHER];
    SxAbsences all;
    cr_assert_eq(sx_absent(&desk.problem, NULL, cases, all_cases(cases, false),
                           &(SxWork){.stop = &stop}, &all, NULL),
                 SX_OK);
    int done = 0;
    for (int k = 0; k < all.count; k++) {
        done += all.item[k].done;
    }
    cr_expect_eq(done, PLAYERS - 7, "only those who do not play anyway");
    sx_absences_free(&all);
}

Test(setters, each_choice_as_if_planned_with_them) {
    Desk desk;
    desk_read(&desk, "datasets/club-16.json", "5-1-outside", "fivb-2025");
    SxSystemSet systems = load_systems(&desk);
    SxSetterChoices choices;
    cr_assert_eq(sx_setters(&desk.problem, &systems, NULL, &choices, NULL), SX_OK);
    /* Three can set: three ways where one sets, three pairs where two do. */
    int ways = 0;
    for (int k = 0; k < systems.count; k++) {
        unsigned slots = 0;
        for (int r = 0; r < SX_ROTATIONS; r++) {
            slots |= 1u << systems.entry[k].system.setter_slot[r];
        }
        ways += sx_count_members(slots) <= 2 ? 3 : 0;
    }
    cr_assert_eq(choices.count, ways);
    for (int k = 0; k < choices.count; k += SANITIZED ? 3 : 1) {
        const SxSetterChoice *item = &choices.item[k];
        SxProblem under = sx_problem_under(&desk.problem, &systems.entry[item->system]);
        double score = item->possible ? item->lineup.score : -INFINITY;
        cr_expect_float_eq(score, ask(&under, SX_MUST_SET, item->setter, 2), agree);
        cr_expect(k == 0 || item->lineup.score <= choices.item[k - 1].lineup.score);
    }
    sx_setters_free(&choices);
    sx_systems_free(&systems);
}

Test(systems, each_as_if_planned_under_it) {
    Desk desk;
    desk_read(&desk, "datasets/junior-12.json", "5-1-outside", "usav");
    SxSystemSet systems = load_systems(&desk);
    SxSystemBest best[16];
    cr_assert_leq(systems.count, 16);
    cr_assert_eq(sx_systems_compare(&desk.problem, &systems, NULL, best, NULL), SX_OK);
    for (int k = 0; k < systems.count; k++) {
        SxProblem under = sx_problem_under(&desk.problem, &systems.entry[k]);
        cr_expect_float_eq(best[k].lineup.score, ask(&under, SX_MUST_SIT, (int[]){-1, -1}, 2),
                           agree);
    }
    sx_systems_free(&systems);
}

/* FIVB 15.1, 15.6: six substitutions a set, a starter leaves and returns once. The double
 * substitution takes four in six rotations, each of its pairs out and back. */
Test(systems, a_double_substitution_lasts_one_cycle_under_fivb_rules) {
    Desk desk;
    desk_read(&desk, "datasets/club-16.json", "6-2-double", "fivb-2025");
    SxLineup lineup;
    cr_assert_eq(sx_lineup_solve(&desk.problem, NULL, &lineup, NULL), SX_OK);
    SxSubstitutionNeed need = sx_substitution_need(&desk.rules, &lineup);
    cr_expect_eq(need.a_cycle, 4);
    cr_expect_eq(need.allowed, 6);
    cr_expect_float_eq(need.cycles, 1, agree);
    desk_read(&desk, "datasets/club-16.json", "5-1-outside", "fivb-2025");
    cr_assert_eq(sx_lineup_solve(&desk.problem, NULL, &lineup, NULL), SX_OK);
    cr_expect(isinf(sx_substitution_need(&desk.rules, &lineup).cycles));
}

/* --- the solver's environment belongs to a thread -----------------------------------------------
 */

typedef struct {
    const SxProblem *problem;
    SxLineup lineup[PLAYERS];
    bool possible[PLAYERS];
} Rounds;

static SxStatus solve_round(void *context, int index, SxError *err) {
    Rounds *rounds = context;
    SxPlan plan = *rounds->problem->plan;
    SxProblem problem = *rounds->problem;
    problem.plan = &plan;
    sx_plan_wish(&plan, SX_MUST_SIT, index, -1, 0, "round", err);
    SxStatus status = sx_lineup_solve(&problem, NULL, &rounds->lineup[index], err);
    rounds->possible[index] = status == SX_OK;
    return status == SX_NO ? SX_OK : status;
}

Test(parallel, threads_do_not_change_the_solver_s_answers) {
    Desk desk;
    desk_read(&desk, "datasets/club-16.json", "6-2-double", "fivb-2025");
    static Rounds serial, parallel;
    serial.problem = parallel.problem = &desk.problem;
    bool done[ROUNDS];
    cr_assert_eq(sx_parallel_for(&(SxWork){.threads = 1}, ROUNDS, solve_round, &serial, NULL, NULL),
                 SX_OK);
    cr_assert_eq(
        sx_parallel_for(&(SxWork){.threads = 6}, ROUNDS, solve_round, &parallel, done, NULL),
        SX_OK);
    for (int k = 0; k < ROUNDS; k++) {
        cr_expect(done[k]);
        cr_assert_eq(serial.possible[k], parallel.possible[k]);
        if (serial.possible[k]) {
            cr_expect_eq(serial.lineup[k].score, parallel.lineup[k].score);
            cr_expect_eq(serial.lineup[k].nodes, parallel.lineup[k].nodes, "the same search");
            cr_expect_arr_eq(&serial.lineup[k].order, &parallel.lineup[k].order, sizeof(SxOrder));
        }
    }
}

static SxStatus fail_late(void *context, int index, SxError *err) {
    (void)context;
    return index == 3 ? sx_fail(err, SX_BAD_INPUT, "round %d", index) : SX_OK;
}

Test(parallel, the_first_failure_is_told) {
    SxError err = {.status = SX_OK};
    cr_expect_eq(sx_parallel_for(&(SxWork){.threads = 3}, 20, fail_late, NULL, NULL, &err),
                 SX_BAD_INPUT);
    cr_expect_str_eq(err.message, "round 3");
}
