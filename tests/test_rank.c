/* The ranking against full enumeration: every order of a small roster by plain loops, each scored
 * by itself, without a solver. */
#include "sixturn/rank.h"
#include "support.h"

#include <criterion/criterion.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { ROSTER = 10, TOP = 20, MANY = 200000 };
static const double agree = 1e-6;
static const double tie = 1e-7;

typedef struct {
    const Desk *desk;
    bool both_turns; /* an order and its half-turn count apart */
    int front[6], back[6];
    SxLineup *list;
    int count;
} Loops;

static bool fits(const Loops *loops, int player, int slot, SxRow row) {
    const SxPlayer *who = &loops->desk->team.players[player];
    return who->available && who->fitness[loops->desk->system.duty[slot][row].role] > 0;
}

static bool taken(const Loops *loops, int player, int slots) {
    for (int s = 0; s < slots; s++) {
        if (loops->front[s] == player || loops->back[s] == player) {
            return true;
        }
    }
    return false;
}

static void score_order(Loops *loops) {
    if (sx_system_is_mirrored(&loops->desk->system) && !loops->both_turns &&
        loops->front[0] > loops->front[3]) {
        return;
    }
    SxOrder order;
    memcpy(order.front, loops->front, sizeof order.front);
    memcpy(order.back, loops->back, sizeof order.back);
    SxSolveOptions options = {.fixed = &order};
    SxLineup lineup;
    if (sx_lineup_solve(&loops->desk->problem, &options, &lineup, NULL) == SX_OK) {
        cr_assert(loops->count < MANY);
        loops->list[loops->count++] = lineup;
    }
}

static void loop_slot(Loops *loops, int s) {
    if (s == 6) {
        score_order(loops);
        return;
    }
    for (int p = 0; p < loops->desk->team.player_count; p++) {
        if (taken(loops, p, s) || !fits(loops, p, s, SX_FRONT)) {
            continue;
        }
        for (int q = 0; q < loops->desk->team.player_count; q++) {
            bool pair = loops->desk->system.split[s] ? q != p : q == p;
            if (pair && !taken(loops, q, s) && fits(loops, q, s, SX_BACK)) {
                loops->front[s] = p;
                loops->back[s] = q;
                loop_slot(loops, s + 1);
            }
        }
    }
}

static int shirts_first(const SxLineup *a, const SxLineup *b) {
    int front = memcmp(a->order.front, b->order.front, sizeof a->order.front);
    for (int s = 0; s < 6; s++) { /* not memcmp: numbers, not bytes */
        if (a->order.front[s] != b->order.front[s]) {
            return a->order.front[s] - b->order.front[s];
        }
    }
    cr_assert(front == 0);
    for (int s = 0; s < 6; s++) {
        if (a->order.back[s] != b->order.back[s]) {
            return a->order.back[s] - b->order.back[s];
        }
    }
    return 0;
}

static double plain_mean(const SxLineup *lineup) {
    double sum = 0;
    for (int r = 0; r < 6; r++) {
        sum += lineup->rotation[r].score / 6;
    }
    return sum;
}

/* Only the lowest rotation counts: of equal ones the best mean. */
static bool lowest_alone;

static int best_first(const void *a, const void *b) {
    const SxLineup *x = a, *y = b;
    if (fabs(x->score - y->score) > tie) {
        return x->score > y->score ? -1 : 1;
    }
    if (lowest_alone && fabs(plain_mean(x) - plain_mean(y)) > tie) {
        return plain_mean(x) > plain_mean(y) ? -1 : 1;
    }
    return shirts_first(x, y);
}

static void enumerate(Loops *loops) {
    lowest_alone = loops->desk->plan.balance == 1;
    loops->list = malloc(MANY * sizeof *loops->list);
    cr_assert_not_null(loops->list);
    loop_slot(loops, 0);
    qsort(loops->list, (size_t)loops->count, sizeof *loops->list, best_first);
}

static void expect_same(const SxLineup *found, const SxLineup *expected, int count,
                        const char *what) {
    for (int k = 0; k < count; k++) {
        cr_expect_float_eq(found[k].score, expected[k].score, agree, "%s, place %d: %.9f, not %.9f",
                           what, k + 1, found[k].score, expected[k].score);
        cr_expect_eq(shirts_first(&found[k], &expected[k]), 0, "%s: another order in place %d",
                     what, k + 1);
    }
}

/* Of an order and its half-turn only the better one counts. */
static void drop_turns(Loops *loops) {
    int kept = 0;
    for (int k = 0; k < loops->count; k++) {
        bool again = false;
        for (int j = 0; j < kept && !again; j++) {
            again = true;
            for (int s = 0; s < 6; s++) {
                again &= loops->list[j].order.front[s] == loops->list[k].order.front[(s + 3) % 6] &&
                         loops->list[j].order.back[s] == loops->list[k].order.back[(s + 3) % 6];
            }
        }
        if (!again) {
            loops->list[kept++] = loops->list[k];
        }
    }
    loops->count = kept;
}

Test(rank, of_two_turns_the_better_counts_when_rotations_weigh_differently) {
    static const double weights[6] = {1.2, 1.1, 1, 0.9, 0.8, 1};
    for (int seed = 1; seed <= 2; seed++) {
        Desk desk;
        Rng rng = {(uint64_t)seed};
        random_team(&rng, ROSTER, &desk.team);
        desk_set(&desk, seed == 1 ? "6-2" : "4-2", "fivb-2025", 1u << 3);
        memcpy(desk.plan.rotation_weight, weights, sizeof weights);
        Loops loops = {.desk = &desk, .both_turns = true};
        enumerate(&loops);
        drop_turns(&loops);
        SxRanking ranking, cuts;
        cr_assert_eq(sx_rank(&desk.problem, TOP, NULL, &ranking, NULL), SX_OK);
        cr_assert_eq(ranking.count, TOP);
        expect_same(ranking.item, loops.list, TOP, "turns");
        cr_assert_eq(sx_rank_by_cuts(&desk.problem, 5, NULL, &cuts, NULL), SX_OK);
        expect_same(cuts.item, loops.list, 5, "turns by cuts");
        sx_ranking_free(&ranking);
        sx_ranking_free(&cuts);
        free(loops.list);
    }
}

/* With the lowest rotation alone both turns score the same, but for rounding: smallest numbers. */
Test(rank, of_two_equal_turns_the_smaller_numbers_count) {
    static const double weights[6] = {1.2, 1.1, 1, 0.9, 0.8, 1};
    for (int seed = 1; seed <= 6; seed++) {
        Desk desk;
        Rng rng = {(uint64_t)seed};
        random_team(&rng, ROSTER, &desk.team);
        desk_set(&desk, seed % 2 ? "6-2" : "4-2", "fivb-2025", 1u << 3);
        memcpy(desk.plan.rotation_weight, weights, sizeof weights);
        desk.plan.balance = 1;
        Loops loops = {.desk = &desk, .both_turns = true};
        enumerate(&loops);
        drop_turns(&loops);
        SxRanking ranking;
        SxLineup plan;
        cr_assert_eq(sx_rank(&desk.problem, TOP, NULL, &ranking, NULL), SX_OK);
        expect_same(ranking.item, loops.list, ranking.count, "equal turns");
        cr_assert_eq(sx_lineup_solve(&desk.problem, NULL, &plan, NULL), SX_OK);
        expect_same(&plan, loops.list, 1, "the plan");
        sx_ranking_free(&ranking);
        free(loops.list);
    }
}

static void check_roster(uint64_t seed, const char *system, double balance, int start) {
    Desk desk;
    Rng rng = {seed};
    random_team(&rng, ROSTER, &desk.team);
    desk_set(&desk, system, "fivb-2025", 1u << 3);
    desk.plan.balance = balance;
    desk.plan.start = start;
    Loops loops = {.desk = &desk, .both_turns = start >= 0};
    enumerate(&loops);
    SxRanking ranking;
    SxError err = {.status = SX_OK};
    cr_assert_eq(sx_rank(&desk.problem, TOP, NULL, &ranking, &err), SX_OK, "%s", err.message);
    int expected = loops.count < TOP ? loops.count : TOP;
    cr_assert_eq(ranking.count, expected, "%s: %d orders, not %d", system, ranking.count, expected);
    cr_expect_eq(ranking.proven, ranking.count);
    cr_expect_eq(ranking.exhausted, loops.count < TOP);
    expect_same(ranking.item, loops.list, expected, system);
    sx_ranking_free(&ranking);
    free(loops.list);
}

Test(rank, equals_full_enumeration_in_every_system) {
    for (int k = 0; k < 5; k++) {
        check_roster(40 + (uint64_t)k, all_systems[k], 0.25, -1);
        check_roster(60 + (uint64_t)k, all_systems[k], 0, -1);
    }
}

Test(rank, equals_full_enumeration_for_the_weakest_rotation_alone) {
    check_roster(7, "5-1-outside", 1, -1);
    check_roster(8, "4-2", 1, -1);
}

Test(rank, turns_count_apart_once_the_start_is_fixed) {
    check_roster(9, "6-2", 0.25, 2);
    check_roster(9, "4-2", 0.25, 0);
}

Test(rank, first_is_the_plan) {
    for (int k = 0; k < 5; k++) {
        Desk desk;
        desk_read(&desk, "datasets/club-16.json", all_systems[k], "fivb-2025");
        SxLineup lineup;
        SxRanking ranking;
        cr_assert_eq(sx_lineup_solve(&desk.problem, NULL, &lineup, NULL), SX_OK);
        cr_assert_eq(sx_rank(&desk.problem, 1, NULL, &ranking, NULL), SX_OK);
        expect_same(ranking.item, &lineup, 1, all_systems[k]);
        sx_ranking_free(&ranking);
    }
}

/* The second method uses the solver's cuts alone. */
static void compare_with_cuts(const Desk *desk, int top) {
    SxRanking bounds, cuts;
    cr_assert_eq(sx_rank(&desk->problem, top, NULL, &bounds, NULL), SX_OK);
    cr_assert_eq(sx_rank_by_cuts(&desk->problem, top, NULL, &cuts, NULL), SX_OK);
    cr_assert_eq(bounds.count, cuts.count);
    expect_same(bounds.item, cuts.item, cuts.count, desk->system.id);
    sx_ranking_free(&bounds);
    sx_ranking_free(&cuts);
}

Test(rank, cutting_off_each_order_gives_the_same_list) {
    Desk desk;
    desk_read(&desk, "datasets/club-16.json", "6-2-double", "fivb-2025");
    compare_with_cuts(&desk, SANITIZED ? 2 : 8);
    desk_read(&desk, "datasets/club-16.json", "5-1-outside", "usav");
    desk.plan.specialists = 1;
    compare_with_cuts(&desk, SANITIZED ? 2 : 6);
}

Test(rank, keeps_the_wishes) {
    Desk desk;
    desk_read(&desk, "datasets/club-16.json", "5-1-outside", "fivb-2025");
    int nele = sx_team_find(&desk.team, "1");
    int selma = sx_team_find(&desk.team, "9");
    sx_plan_wish(&desk.plan, SX_MUST_PLAY, nele, -1, 0, "test", NULL);
    sx_plan_wish(&desk.plan, SX_NOT_ADJACENT, nele, selma, 0, "test", NULL);
    SxRanking ranking;
    cr_assert_eq(sx_rank(&desk.problem, 10, NULL, &ranking, NULL), SX_OK);
    cr_assert_eq(ranking.count, 10);
    for (int k = 0; k < ranking.count; k++) {
        const SxOrder *order = &ranking.item[k].order;
        cr_expect_eq(order->front[0], nele);
        cr_expect_neq(order->front[1], selma);
        cr_expect_neq(order->front[5], selma);
    }
    sx_ranking_free(&ranking);
}

Test(rank, one_thread_and_four_give_the_same) {
    Desk desk;
    desk_read(&desk, "datasets/club-16.json", "6-2", "fivb-2025");
    SxRanking serial, parallel;
    cr_assert_eq(sx_rank(&desk.problem, 50, &(SxWork){.threads = 1}, &serial, NULL), SX_OK);
    cr_assert_eq(sx_rank(&desk.problem, 50, &(SxWork){.threads = 4}, &parallel, NULL), SX_OK);
    cr_assert_eq(serial.count, parallel.count);
    for (int k = 0; k < serial.count; k++) {
        cr_expect_eq(serial.item[k].score, parallel.item[k].score);
        cr_expect_eq(shirts_first(&serial.item[k], &parallel.item[k]), 0);
    }
    sx_ranking_free(&serial);
    sx_ranking_free(&parallel);
}

Test(rank, says_why_there_is_no_lineup) {
    Desk desk;
    desk_read(&desk, "datasets/club-16.json", "5-1-outside", "fivb-2025");
    int nele = sx_team_find(&desk.team, "1");
    sx_plan_wish(&desk.plan, SX_MUST_PLAY, nele, -1, 0, "this", NULL);
    sx_plan_wish(&desk.plan, SX_MUST_SIT, nele, -1, 0, "that", NULL);
    SxRanking ranking;
    SxError err = {.status = SX_OK};
    cr_assert_eq(sx_rank(&desk.problem, 3, NULL, &ranking, &err), SX_NO);
    cr_expect(strstr(err.message, "Nele Brandahl"), "%s", err.message);
    cr_expect_eq(sx_rank(&desk.problem, 0, NULL, &ranking, &err), SX_USAGE);
}

Test(rank, a_stopped_run_proves_nothing_it_did_not_look_at) {
    Desk desk;
    desk_read(&desk, "datasets/club-16.json", "5-1-outside", "fivb-2025");
    static const volatile sig_atomic_t stop = 1;
    SxRanking ranking;
    cr_assert_eq(sx_rank(&desk.problem, 3, &(SxWork){.stop = &stop}, &ranking, NULL), SX_OK);
    cr_expect_eq(ranking.count, 0);
    cr_expect_eq(ranking.proven, 0);
    cr_expect_not(ranking.exhausted);
    sx_ranking_free(&ranking);
}
