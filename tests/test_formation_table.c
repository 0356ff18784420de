/* The table of formations against each of its formations solved on its own. */
#include "sixturn/formation.h"

#include "model/formation_ready.h"

#include <criterion/criterion.h>

static const double agree = 1e-9;
static const unsigned THREE_PASSERS = 1u << 3;

static void load(const char *id, SxSystem *system) {
    SxError err = {.status = SX_OK};
    cr_assert_eq(sx_system_load(id, system, &err), SX_OK, "%s", err.message);
}

static void swap_slots(SxSystem *system, int a, int b) {
    for (int row = 0; row < SX_ROWS; row++) {
        SxDuty kept = system->duty[a][row];
        system->duty[a][row] = system->duty[b][row];
        system->duty[b][row] = kept;
    }
}

static void expect_same(const SxFormation *kept, const SxFormation *fresh) {
    cr_expect_str_eq(kept->reason, fresh->reason);
    cr_expect_eq(kept->margin, fresh->margin);
    cr_expect_eq(kept->bound, fresh->bound);
    for (int s = 0; s < SX_SLOTS; s++) {
        cr_expect_eq(kept->spot[s].x, fresh->spot[s].x);
        cr_expect_eq(kept->spot[s].y, fresh->spot[s].y);
        cr_expect_eq(kept->lane[s], fresh->lane[s]);
        cr_expect_eq(kept->run[s], fresh->run[s]);
        cr_expect_eq(kept->late[s], fresh->late[s]);
    }
    for (int k = 0; k < SX_ORDER_PAIRS; k++) {
        cr_expect_eq(kept->slack[k], fresh->slack[k]);
    }
}

/* Every formation of the table, all sides if asked, is the one that the program gives alone; of
 * `every` entries one is compared to the last digit. */
static int check_sizes(const SxSystem *system, unsigned sizes, bool every_side, int every,
                       const char *what) {
    SxError err = {.status = SX_OK};
    SxFormationOptions options;
    SxFormationTable *table = NULL;
    sx_formation_default(&options);
    options.every_side = every_side;
    cr_assert_eq(sx_formation_table_build(system, sizes, false, &options, &table, &err), SX_OK,
                 "%s", err.message);
    int held = 0;
    for (int r = 0; r < SX_ROTATIONS; r++) {
        for (unsigned mask = 0; mask < SX_MASKS; mask++) {
            for (int sides = 0; sides < SX_SIDES; sides++) {
                const SxFormation *kept = sx_formation_at(table, r, mask, sides);
                if (!kept) {
                    continue;
                }
                if (held++ % every) {
                    continue;
                }
                SxFormation fresh;
                options.sides = sides;
                cr_assert_eq(sx_formation_receive(system, r, mask, &options, &fresh, &err), SX_OK);
                cr_assert_eq(kept->feasible, fresh.feasible);
                cr_assert_eq(kept->passers, mask);
                if (fresh.feasible) {
                    cr_assert_float_eq(kept->cost, fresh.cost, agree,
                                       "%s, rotation %d, passers %#x, sides %d: %.6f, alone %.6f",
                                       what, r + 1, mask, sides, kept->cost, fresh.cost);
                    cr_assert_eq(kept->sides, sides);
                }
                expect_same(kept, &fresh);
            }
        }
    }
    sx_formation_table_free(table);
    return held;
}

static int check_table(const SxSystem *system, bool every_side, const char *what) {
    return check_sizes(system, THREE_PASSERS, every_side, 1, what);
}

enum { SETS_OF_THREE = 10 }; /* of the five who do not set */

Test(formation_table, holds_what_the_program_gives) {
    SxSystem system;
    load("6-2", &system);
    cr_expect_eq(check_table(&system, false, "6-2"), SX_ROTATIONS * SETS_OF_THREE);
}

Test(formation_table, holds_all_sides_if_asked) {
    SxSystem system;
    load("5-1-outside", &system);
    cr_expect_eq(check_table(&system, true, "5-1"), SX_ROTATIONS * SETS_OF_THREE * SX_SIDES);
}

/* What was computed when the program was built against what it computes now: both the same. */
Test(formation_table, of_a_shipped_system_is_what_solving_gives) {
    enum { SETS = 26, ONE_IN = 7 };
    SxFormationTerms terms;
    cr_assert_eq(sx_formation_terms_load(NULL, &terms, NULL), SX_OK);
    for (int k = 0; k < sx_system_count(); k++) {
        SxSystem system;
        int sides = 0;
        load(sx_system_id(k), &system);
        for (int r = 0; r < SX_ROTATIONS; r++) {
            for (int n = 0; n < SX_SIDES; n++) {
                sides += sx_sides_are_open(&system, r, n, &terms);
            }
        }
        cr_expect_eq(check_sizes(&system, 60, true, ONE_IN, system.id), sides * SETS);
    }
}

/* The key is of all that counts: a centimetre or a thousandth more, and nothing is taken over. */
Test(formation_table, of_another_system_is_solved) {
    SxFormationTerms terms, others;
    SxSystem system, other;
    cr_assert_eq(sx_formation_terms_load(NULL, &terms, NULL), SX_OK);
    load("5-1-outside", &system);
    uint64_t key = sx_ready_key(&system, &terms, 0.30);
    cr_expect(sx_ready_table_count == 0 || sx_ready_find(key));
    other = system;
    other.duty[5][SX_BACK].base.x += 0.01;
    cr_expect_null(sx_ready_find(sx_ready_key(&other, &terms, 0.30)));
    check_table(&other, false, "another base");
    other = system;
    other.lanes[5][4].y += 0.01;
    cr_expect_neq(sx_ready_key(&other, &terms, 0.30), key);
    other = system;
    other.setter_slot[3] = 1;
    cr_expect_neq(sx_ready_key(&other, &terms, 0.30), key);
    others = terms;
    others.cost[SX_COST_SEAM] += 0.001;
    cr_expect_neq(sx_ready_key(&system, &others, 0.30), key);
    cr_expect_neq(sx_ready_key(&system, &terms, 0.31), key);
    /* Names are no matter. */
    other = system;
    other.id[0] = 'x';
    cr_expect_eq(sx_ready_key(&other, &terms, 0.30), key);
}

/* A coach's own: slots 2 and 5, or 4 and 5, swapped. Positions then find another role half a turn
 * later, if with the same task. */
Test(formation_table, tells_a_middle_from_another_with_her_task) {
    SxSystem system;
    load("5-1-outside", &system);
    system.duty[2][SX_FRONT].role = SX_OUTSIDE;
    check_table(&system, false, "one middle is an outside hitter");
    load("6-2", &system);
    system.duty[5][SX_FRONT].role = SX_OPPOSITE;
    check_table(&system, false, "one middle is an opposite");
    load("6-2", &system);
    swap_slots(&system, 2, 4);
    check_table(&system, false, "slots 2 and 4 swapped");
}

Test(formation_table, tells_everything_apart_that_costs_something) {
    SxSystem system;
    load("4-2", &system);
    system.duty[4][SX_BACK].base.x = 3.0;
    check_table(&system, false, "another base");
    load("4-2", &system);
    system.duty[4][SX_FRONT].attacks = false;
    check_table(&system, false, "one who does not attack");
}

/* Lanes of the three front-row positions. */
Test(sides, are_the_six_permutations_in_order) {
    for (int sides = 0; sides < SX_SIDES; sides++) {
        unsigned seen = 0;
        int rank = 0;
        for (int position = 4; position >= 2; position--) {
            seen |= 1u << sx_side_lane(sides, position);
            rank = rank * SX_LANES + (int)sx_side_lane(sides, position);
        }
        cr_expect_eq(seen, 7u);
        if (sides) {
            int before = 0;
            for (int position = 4; position >= 2; position--) {
                before = before * SX_LANES + (int)sx_side_lane(sides - 1, position);
            }
            cr_expect_lt(before, rank);
        }
    }
    cr_expect_eq(sx_side_lane(0, 4), SX_LEFT);
}

Test(sides, the_usual_ones_are_those_of_the_duties) {
    SxSystem system;
    load("5-1-outside", &system);
    /* Rotation 1: opposite in 4, middle in 3, outside in 2. */
    int sides = sx_usual_sides(&system, 0);
    cr_expect_eq(sx_side_lane(sides, 4), SX_RIGHT);
    cr_expect_eq(sx_side_lane(sides, 3), SX_CENTRE);
    cr_expect_eq(sx_side_lane(sides, 2), SX_LEFT);
    /* With everybody where she stands the opposite approaches from the left, like an outside. */
    SxSpot left = sx_receive_task(&system, 0, 3, 0);
    cr_expect_eq(left.x, system.duty[1][SX_FRONT].task.x);
    cr_expect_eq(sx_receive_task(&system, 0, 0, 0).x, system.setting_target.x);
}
