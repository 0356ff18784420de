/* The exchanges that the bench allows: their rally odds against lineups solved with the other
 * players, and which are proposed. */
#include "sixturn/exchange.h"
#include "support.h"

#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

static void prepare(Evening *evening, const char *team, const char *system) {
    evening_read(evening, team, system, "fivb-2025");
    evening_solve(evening);
}

static int slot_of(const SxLineup *lineup, int who) {
    for (int s = 0; s < SX_SLOTS; s++) {
        if (lineup->order.front[s] == who || lineup->order.back[s] == who) {
            return s;
        }
    }
    return -1;
}

static bool free_to_come(const Evening *evening, int who) {
    for (int k = 0; k < evening->lineup.libero_count; k++) {
        if (evening->lineup.liberos[k] == who) {
            return false;
        }
    }
    return slot_of(&evening->lineup, who) < 0;
}

Test(exchange, without_any_made_the_odds_are_the_lineups) {
    Evening evening;
    SxExchanges exchanges;
    SxRates own, rates[2];
    prepare(&evening, "datasets/club-16.json", "5-1-outside");
    SxConsidered it = {.places = 1};
    for (it.in[0] = 0; !free_to_come(&evening, it.in[0]); it.in[0]++) {
    }
    it.out[0] = evening.lineup.order.front[0];
    cr_assert_eq(sx_consider_these(&evening.desk.problem, &evening.lineup, &evening.fixture, &it, 1,
                                   &exchanges, rates, NULL),
                 SX_OK);
    sx_lineup_rates(&evening.lineup, &evening.fixture, &own);
    cr_assert_eq(memcmp(&own, &rates[0], sizeof own), 0);
    cr_assert(exchanges.count == 1 && exchanges.exchange[0].cost == 1 &&
              exchanges.exchange[0].slots == 1u);
}

static bool same_rotation(const SxRotation *a, const SxRotation *b) {
    return a->receive == b->receive && a->libero == b->libero && a->libero_slot == b->libero_slot &&
           a->libero_serves == b->libero_serves && a->serve_libero == b->serve_libero &&
           a->serve_libero_slot == b->serve_libero_slot;
}

/* Wherever a lineup solved with the other player in the same place chooses the same formation and
 * libero, its rally odds are those of the exchange; also where the lineup changes other places by
 * itself, pair by pair. */
static int compare_singles(const Evening *evening) {
    int compared = 0;
    for (int s = 0; s < SX_SLOTS; s++) {
        for (int p = 0; p < evening->desk.team.player_count; p++) {
            SxExchanges exchanges;
            SxRates rates[2], other;
            SxLineup with;
            SxOrder order = evening->lineup.order;
            const SxConsidered it = {.places = 1, .slot = {s}, .out = {order.front[s]}, .in = {p}};
            if (order.front[s] != order.back[s] || !free_to_come(evening, p)) {
                continue;
            }
            order.front[s] = order.back[s] = p;
            const SxSolveOptions fixed = {.fixed = &order};
            if (sx_lineup_solve(&evening->desk.problem, &fixed, &with, NULL) != SX_OK) {
                continue;
            }
            cr_assert_eq(sx_consider_these(&evening->desk.problem, &evening->lineup,
                                           &evening->fixture, &it, 1, &exchanges, rates, NULL),
                         SX_OK);
            sx_lineup_rates(&with, &evening->fixture, &other);
            for (int r = 0; r < SX_ROTATIONS; r++) {
                if (same_rotation(&with.rotation[r], &evening->lineup.rotation[r])) {
                    cr_assert_float_eq(rates[1].receive[r][0], other.receive[r][0], 1e-12);
                    cr_assert_float_eq(rates[1].serve[r][0], other.serve[r][0], 1e-12);
                    compared++;
                }
            }
        }
    }
    return compared;
}

Test(exchange, odds_are_those_of_a_lineup_with_the_other_player) {
    Evening evening;
    prepare(&evening, "datasets/club-16.json", "5-1-outside");
    cr_assert_gt(compare_singles(&evening), 50);
    prepare(&evening, "datasets/club-16.json", "6-2-double");
    int changing = 0;
    for (int s = 0; s < SX_SLOTS; s++) {
        changing += evening.lineup.order.front[s] != evening.lineup.order.back[s];
    }
    cr_assert_eq(changing, 2, "the double substitution's two places");
    cr_assert_gt(compare_singles(&evening), 20);
}

/* Whoever is replaced by the libero in both phases of a rotation is not there to be better. */
Test(exchange, nothing_changes_where_the_libero_stands_in_for_the_place) {
    static const char *const teams[] = {"datasets/club-16.json", "datasets/junior-12.json"};
    int seen = 0;
    for (int k = 0; k < 2; k++) {
        Evening evening;
        prepare(&evening, teams[k], "5-1-outside");
        for (int s = 0; s < SX_SLOTS; s++) {
            for (int p = 0; p < evening.desk.team.player_count; p++) {
                SxExchanges exchanges;
                SxRates rates[2];
                const SxConsidered it = {
                    .places = 1, .slot = {s}, .out = {evening.lineup.order.front[s]}, .in = {p}};
                if (!free_to_come(&evening, p)) {
                    continue;
                }
                cr_assert_eq(sx_consider_these(&evening.desk.problem, &evening.lineup,
                                               &evening.fixture, &it, 1, &exchanges, rates, NULL),
                             SX_OK);
                for (int r = 0; r < SX_ROTATIONS; r++) {
                    if (sx_on_court(&evening.lineup, r, SX_RECEIVE, s) != it.out[0] &&
                        sx_on_court(&evening.lineup, r, SX_SERVE, s) != it.out[0]) {
                        cr_assert_float_eq(rates[0].receive[r][0], rates[1].receive[r][0], 1e-12);
                        cr_assert_float_eq(rates[0].serve[r][0], rates[1].serve[r][0], 1e-12);
                        seen++;
                    }
                }
            }
        }
    }
    cr_assert_gt(seen, 50);
}

static int compare_pair(const Evening *evening, int in_setter, int in_hitter) {
    const SxSystem *system = &evening->desk.system;
    const int setter = system->setter_slot[0], opposite = (setter + 3) % SX_SLOTS;
    const SxConsidered it = {
        .places = 2,
        .slot = {setter, opposite},
        .out = {evening->lineup.order.front[setter], evening->lineup.order.front[opposite]},
        .in = {in_hitter, in_setter}};
    SxOrder order;
    for (int s = 0; s < SX_SLOTS; s++) {
        order.front[s] = s == setter     ? in_setter
                         : s == opposite ? in_hitter
                                         : evening->lineup.order.front[(s + 3) % SX_SLOTS];
        order.back[s] = order.front[s];
    }
    SxLineup turned;
    SxExchanges exchanges;
    SxRates rates[2], other;
    const SxSolveOptions fixed = {.fixed = &order};
    if (sx_lineup_solve(&evening->desk.problem, &fixed, &turned, NULL) != SX_OK) {
        return 0;
    }
    cr_assert_eq(sx_consider_these(&evening->desk.problem, &evening->lineup, &evening->fixture, &it,
                                   1, &exchanges, rates, NULL),
                 SX_OK);
    cr_assert_eq(exchanges.exchange[0].cost, 2);
    sx_lineup_rates(&turned, &evening->fixture, &other);
    int compared = 0;
    for (int r = 0; r < SX_ROTATIONS; r++) {
        const int like = (r + 3) % SX_ROTATIONS;
        const SxRotation *a = &turned.rotation[like], *b = &evening->lineup.rotation[like];
        const SxRotation *actual = &evening->lineup.rotation[r];
        const bool same_libero =
            a->libero == actual->libero &&
            (a->libero < 0 || a->libero_slot == (actual->libero_slot + 3) % SX_SLOTS);
        if (a->receive == b->receive && same_libero) {
            cr_assert_float_eq(rates[1].receive[r][0], other.receive[like][0], 1e-12);
            compared++;
        }
    }
    return compared;
}

/* After the double substitution the place of the opposite sets: the odds of each rotation are those
 * of the lineup numbered half a turn on, wherever that has the same formation and libero. */
Test(exchange, the_pair_plays_the_system_half_a_turn_on) {
    static const char *const teams[] = {"datasets/club-16.json", "datasets/junior-12.json"};
    static const char *const systems[] = {"5-1-outside", "5-1-middle"};
    int compared = 0;
    for (int k = 0; k < 4; k++) {
        Evening evening;
        prepare(&evening, teams[k / 2], systems[k % 2]);
        for (int p = 0; p < evening.desk.team.player_count; p++) {
            for (int q = 0; q < evening.desk.team.player_count; q++) {
                if (p != q && free_to_come(&evening, p) && free_to_come(&evening, q)) {
                    compared += compare_pair(&evening, p, q);
                }
            }
        }
    }
    cr_assert_gt(compared, 0);
}

Test(exchange, measured_rates_move_as_the_model_moves) {
    Evening evening;
    SxOwnRates measured = {.rallies = 100};
    SxExchanges exchanges;
    SxRates by_model[2], moved[2];
    prepare(&evening, "datasets/club-16.json", "5-1-outside");
    for (int r = 0; r < SX_ROTATIONS; r++) {
        measured.rate[SX_RECEIVE][r] = 0.5 + 0.02 * r;
        measured.rate[SX_SERVE][r] = 0.4 - 0.02 * r;
    }
    SxConsidered it = {.places = 1, .slot = {1}, .out = {evening.lineup.order.front[1]}};
    for (it.in[0] = 0; !free_to_come(&evening, it.in[0]); it.in[0]++) {
    }
    sx_consider_these(&evening.desk.problem, &evening.lineup, &evening.fixture, &it, 1, &exchanges,
                      by_model, NULL);
    evening.fixture.measured = &measured;
    sx_consider_these(&evening.desk.problem, &evening.lineup, &evening.fixture, &it, 1, &exchanges,
                      moved, NULL);
    for (int r = 0; r < SX_ROTATIONS; r++) {
        const double p = measured.rate[SX_RECEIVE][r], a = by_model[0].receive[r][0],
                     b = by_model[1].receive[r][0];
        cr_assert_float_eq(moved[0].receive[r][0], p, 1e-12);
        cr_assert_float_eq(log(moved[1].receive[r][0] / (1 - moved[1].receive[r][0])) -
                               log(p / (1 - p)),
                           log(b / (1 - b)) - log(a / (1 - a)), 1e-9);
    }
}

/* A bench player who serves far better than everybody else is proposed to serve. */
Test(exchange, the_best_server_on_the_bench_is_proposed) {
    Evening evening;
    SxConsidered out[SX_MAX_EXCHANGES];
    int count;
    prepare(&evening, "datasets/club-16.json", "5-1-outside");
    int server = 0;
    while (!free_to_come(&evening, server)) {
        server++;
    }
    SxPlayer *who = &evening.desk.team.players[server];
    for (int k = 0; k < SX_SKILL_COUNT; k++) {
        who->skill[k] = 2;
    }
    who->skill[SX_SERVING] = 10;
    cr_assert_eq(sx_consider_bench(&evening.desk.problem, &evening.lineup, &evening.fixture, 3,
                                   0.0005, out, &count, NULL),
                 SX_OK);
    bool proposed = false;
    for (int k = 0; k < count; k++) {
        cr_assert(free_to_come(&evening, out[k].in[0]));
        proposed |= out[k].in[0] == server && out[k].use == SX_FOR_SERVE;
    }
    cr_assert(proposed);
}

/* Whom the coach wishes out of the front row, or not to pass, is not proposed for a place where she
 * would stand or pass; a wish that she keeps there changes nothing. */
Test(exchange, wishes_about_those_who_come_in_are_kept) {
    static const SxWishKind kinds[] = {SX_NOT_FRONT_ROW, SX_NEVER_PASSES, SX_NOT_BACK_ROW,
                                       SX_NOT_ADJACENT};
    Evening evening;
    SxConsidered free_choice[SX_MAX_EXCHANGES], out[SX_MAX_EXCHANGES];
    int all, count, gone = 0;
    prepare(&evening, "datasets/club-16.json", "5-1-outside");
    const SxProblem *problem = &evening.desk.problem;
    SxPlan *plan = &evening.desk.plan;
    cr_assert_eq(sx_consider_bench(problem, &evening.lineup, &evening.fixture, 3, 0.0002,
                                   free_choice, &all, NULL),
                 SX_OK);
    cr_assert_gt(all, 1);
    for (size_t n = 0; n < sizeof kinds / sizeof *kinds; n++) {
        for (int k = 0; k < all; k++) {
            const int in = free_choice[k].in[0], s = free_choice[k].slot[0];
            const int beside = evening.lineup.order.front[(s + 1) % SX_SLOTS];
            const int wishes = plan->wish_count;
            bool passes = false;
            for (int r = 0; r < SX_ROTATIONS; r++) {
                passes |= sx_on_court(&evening.lineup, r, SX_RECEIVE, s) ==
                              evening.lineup.order.front[s] &&
                          (evening.lineup.rotation[r].passers >> s & 1);
            }
            cr_assert_eq(sx_plan_wish(plan, kinds[n], in, beside, 0, "a wish", NULL), SX_OK);
            cr_assert_eq(sx_consider_bench(problem, &evening.lineup, &evening.fixture, 3, 0.0002,
                                           out, &count, NULL),
                         SX_OK);
            bool there = false;
            for (int c = 0; c < count; c++) {
                there |= out[c].in[0] == in && out[c].slot[0] == s;
                if (kinds[n] == SX_NOT_FRONT_ROW) {
                    cr_expect_neq(out[c].in[0], in);
                }
            }
            if (kinds[n] == SX_NEVER_PASSES) {
                cr_expect_eq(there, !passes, "place %d", s);
            } else if (kinds[n] == SX_NOT_ADJACENT || kinds[n] == SX_NOT_FRONT_ROW) {
                cr_expect_not(there);
            }
            gone += !there;
            plan->wish_count = wishes;
        }
    }
    cr_expect_geq(gone, 2 * all);
}

Test(exchange, impossible_ones_are_refused) {
    Evening evening;
    SxExchanges exchanges;
    SxRates rates[2];
    prepare(&evening, "datasets/club-16.json", "5-1-outside");
    const int starter = evening.lineup.order.front[0], other = evening.lineup.order.front[1];
    SxConsidered it = {.places = 1, .slot = {0}, .out = {starter}, .in = {other}};
    cr_assert_eq(sx_consider_these(&evening.desk.problem, &evening.lineup, &evening.fixture, &it, 1,
                                   &exchanges, rates, NULL),
                 SX_USAGE);
    const int players = evening.desk.team.player_count;
    const SxConsidered wrong[] = {
        {.places = 0},
        {.places = 3},
        {.places = 1, .slot = {-1}, .out = {starter}, .in = {players - 1}},
        {.places = 1, .slot = {SX_SLOTS}, .out = {starter}, .in = {players - 1}},
        {.places = 1, .slot = {0}, .out = {starter}, .in = {-1}},
        {.places = 1, .slot = {0}, .out = {starter}, .in = {players}},
        {.places = 1, .slot = {0}, .out = {starter}, .in = {evening.lineup.liberos[0]}},
    };
    for (size_t k = 0; k < sizeof wrong / sizeof *wrong; k++) {
        cr_expect_eq(sx_consider_these(&evening.desk.problem, &evening.lineup, &evening.fixture,
                                       &wrong[k], 1, &exchanges, rates, NULL),
                     SX_USAGE, "case %zu", k);
    }
    for (int count = -1; count <= SX_MAX_EXCHANGES + 1; count += SX_MAX_EXCHANGES + 2) {
        cr_expect_eq(sx_consider_these(&evening.desk.problem, &evening.lineup, &evening.fixture,
                                       wrong, count, &exchanges, rates, NULL),
                     SX_USAGE, "%d exchanges", count);
    }
    SxConsidered named;
    const int twice[2] = {starter, other}, nobody[2] = {players - 1, players - 1};
    cr_expect_eq(sx_consider_named(&evening.desk.problem, &evening.lineup, &evening.fixture, 2,
                                   twice, nobody, &named, NULL),
                 SX_USAGE, "one player for two");
    cr_expect_eq(sx_consider_named(&evening.desk.problem, &evening.lineup, &evening.fixture, 1,
                                   nobody, nobody, &named, NULL),
                 SX_USAGE, "who goes out does not start");
    it.out[0] = other;
    cr_assert_eq(sx_consider_these(&evening.desk.problem, &evening.lineup, &evening.fixture, &it, 1,
                                   &exchanges, rates, NULL),
                 SX_USAGE);
}
