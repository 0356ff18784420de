/* Planned substitutions. The 6-2 with double substitutions (common practice, no source): two a
 * cycle, four substitutions for six rotations. Limits: FIVB 15.1 and 15.6; USA Volleyball twelve
 * (from memory); NFHS eighteen; NCAA women fifteen. */
#include "sixturn/changes.h"
#include "sixturn/slip.h"

#include <criterion/criterion.h>
#include <string.h>

/* Slots 0 and 3: player 0 (setter, back row) with 10 (hitter, front row), 3 with 13. */
static const SxOrder doubles = {{10, 1, 2, 13, 4, 5}, {0, 1, 2, 3, 4, 5}};
static const SxOrder plain = {{0, 1, 2, 3, 4, 5}, {0, 1, 2, 3, 4, 5}};

static SxChanges play(const SxOrder *order, int start, const char *id) {
    SxRules rules;
    SxChanges changes;
    SxError err = {.status = SX_OK};
    cr_assert_eq(sx_rules_load(id, &rules, &err), SX_OK, "%s", err.message);
    cr_assert_eq(sx_changes(order, start, &rules, &changes, &err), SX_OK, "%s", err.message);
    return changes;
}

Test(changes, none_are_planned_for_six_players) {
    SxChanges changes = play(&plain, 0, "fivb-2025");
    cr_assert_eq(changes.per_cycle, 0);
    cr_assert_eq(changes.count, 0);
    cr_assert_eq(changes.end, SX_ENDS_NEVER);
    cr_assert_eq(changes.whole_cycles, SX_UNLIMITED);
    cr_assert_eq(changes.left, 6);
}

/* Rotation 3 (shown as 4): slot 0 comes into the front row, slot 3 into the back row. */
Test(changes, a_double_substitution_falls_on_one_rotation) {
    SxChanges changes = play(&doubles, 0, "usav");
    cr_assert_eq(changes.per_cycle, 4);
    cr_assert_eq(changes.change[0].rotation, 3);
    cr_assert_eq(changes.change[0].slot, 0);
    cr_assert_eq(changes.change[0].out, 0);
    cr_assert_eq(changes.change[0].in, 10);
    cr_assert_eq(changes.change[1].rotation, 3);
    cr_assert_eq(changes.change[1].out, 13);
    cr_assert_eq(changes.change[1].in, 3);
    cr_assert_eq(changes.change[2].rotation, 0);
    cr_assert_eq(changes.change[2].in, 0);
}

typedef struct {
    const char *rules;
    int count, whole_cycles, left, end;
} Limit;

Test(changes, the_limit_ends_a_double_system_where_arithmetic_says) {
    static const Limit limits[] = {
        {"usav", 12, 3, 0, SX_ENDS_LIMIT},       /* 12 = 3 x 4 */
        {"nfhs", 18, 4, 0, SX_ENDS_LIMIT},       /* 18 = 4 x 4 + 2 */
        {"ncaa-women", 14, 3, 1, SX_ENDS_LIMIT}, /* 15 = 3 x 4 + 2 + 1: one alone is of no use */
        {"fivb-2025", 4, 1, 2, SX_ENDS_REENTRY}, /* 15.6: each starter out and back once */
    };
    for (size_t i = 0; i < sizeof limits / sizeof limits[0]; i++) {
        for (int start = 0; start < SX_ROTATIONS; start++) {
            SxChanges changes = play(&doubles, start, limits[i].rules);
            cr_assert_eq(changes.count, limits[i].count, "%s", limits[i].rules);
            cr_assert_eq(changes.whole_cycles, limits[i].whole_cycles, "%s", limits[i].rules);
            cr_assert_eq(changes.left, limits[i].left, "%s", limits[i].rules);
            cr_assert_eq((int)changes.end, limits[i].end, "%s", limits[i].rules);
        }
    }
}

/* From rotation 1: twelve are used up as the team comes round for the third time; the next double
 * would be due on coming into rotation 4 of the fourth cycle. */
Test(changes, the_rotation_where_they_run_out_is_named) {
    SxChanges changes = play(&doubles, 0, "usav");
    cr_assert_eq(changes.end_cycle, 3);
    cr_assert_eq(changes.end_rotation, 3);
    static const int stays[SX_SLOTS] = {0, 1, 2, 13, 4, 5};
    cr_assert_eq(memcmp(changes.stays, stays, sizeof stays), 0);
}

Test(changes, stopping_earlier_leaves_the_six_of_that_moment) {
    SxChanges changes = play(&doubles, 0, "usav");
    int six[SX_SLOTS];
    sx_changes_six(&doubles, 0, &changes, 2, six);
    static const int after_first[SX_SLOTS] = {10, 1, 2, 3, 4, 5};
    cr_assert_eq(memcmp(six, after_first, sizeof six), 0);
}

/* A serving and back-row specialist (7) for a middle (2) in slot 2: two substitutions a cycle. */
Test(changes, a_specialist_alternates_with_her_player) {
    SxOrder order = plain;
    order.back[2] = 7;
    SxChanges changes = play(&order, 0, "nfhs");
    cr_assert_eq(changes.per_cycle, 2);
    cr_assert_eq(changes.whole_cycles, 9);
    for (int i = 0; i < changes.count; i++) {
        cr_assert_eq(changes.change[i].in, i % 2 == 0 ? 7 : 2);
        cr_assert_eq(changes.change[i].rotation, i % 2 == 0 ? 2 : 5);
        cr_assert_eq(changes.change[i].cycle, i / 2);
    }
}

/* No player is ever twice on court, and each comes in only for the one she is paired with. */
Test(changes, every_player_is_on_court_once_at_any_time) {
    SxChanges changes = play(&doubles, 2, "nfhs");
    for (int n = 0; n <= changes.count; n++) {
        int six[SX_SLOTS];
        sx_changes_six(&doubles, 2, &changes, n, six);
        for (int a = 0; a < SX_SLOTS; a++) {
            cr_assert(six[a] == doubles.front[a] || six[a] == doubles.back[a]);
            for (int b = a + 1; b < SX_SLOTS; b++) {
                cr_assert_neq(six[a], six[b]);
            }
        }
        if (n < changes.count) {
            cr_assert_eq(six[changes.change[n].slot], changes.change[n].out);
        }
    }
}

Test(changes, a_player_in_two_slots_is_refused) {
    SxOrder order = plain;
    order.back[2] = 5;
    SxRules rules;
    SxChanges changes;
    SxError err = {.status = SX_OK};
    cr_assert_eq(sx_rules_load("nfhs", &rules, &err), SX_OK);
    cr_assert_eq(sx_changes(&order, 0, &rules, &changes, &err), SX_USAGE);
    cr_assert_eq(sx_changes(&plain, 6, &rules, &changes, &err), SX_USAGE);
}

/* The slip. */
Test(slip, shows_the_six_as_on_court_and_the_libero) {
    static SxTeam team;
    SxLineup lineup;
    SxSlip slip;
    char text[SX_SLIP_SIZE];
    memset(&lineup, 0, sizeof lineup);
    for (int p = 0; p < 7; p++) {
        team.players[p].number = p + 10;
    }
    lineup.order = plain;
    lineup.start = 1;
    lineup.libero_count = 1;
    lineup.liberos[0] = 6;
    sx_slip(&lineup, &team, &slip);
    cr_assert_str_eq(sx_slip_text(&slip, "Test Club", text, sizeof text),
                     "Line-up slip: Test Club\n"
                     "             net\n"
                     "  +-------+-------+-------+\n"
                     "  | IV    | III   | II    |\n"
                     "  |   14  |   13  |   12  |\n"
                     "  +-------+-------+-------+\n"
                     "  | V     | VI    | I     |\n"
                     "  |   15  |   10  |   11  |\n"
                     "  +-------+-------+-------+\n"
                     "  libero: 16\n");
}
