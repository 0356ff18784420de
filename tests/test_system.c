/* Playing systems: the shipped ones read like the trade tells them (common practice, no source),
 * and every mistake in a file. */
#include "input_help.h"
#include "sixturn/system.h"

static SxStatus parse(const char *text, size_t length, SxError *err) {
    SxSystem system;
    return sx_system_parse(text, length, "given.json", &system, err);
}

static SxSystem shipped(const char *id) {
    SxSystem system;
    SxError err = {0};
    cr_assert_eq(sx_system_load(id, &system, &err), SX_OK, "%s: %s", id, err.message);
    return system;
}

static void check_roles(const char *id, SxRow row, const char *letters) {
    SxSystem system = shipped(id);
    for (int s = 0; s < SX_SLOTS; s++) {
        cr_expect_eq(sx_role_letter(system.duty[s][row].role), letters[s], "%s slot %d", id, s);
    }
}

/* Common practice, no source: like roles are opposite each other, the setter opposite the
 * opposite. */
Test(system, serving_orders) {
    check_roles("5-1-outside", SX_FRONT, "SOMXOM");
    check_roles("5-1-middle", SX_FRONT, "SMOXMO");
    check_roles("6-2", SX_FRONT, "SOMSOM");
    check_roles("6-2", SX_BACK, "SOMSOM");
    check_roles("6-2-double", SX_FRONT, "XOMXOM");
    check_roles("6-2-double", SX_BACK, "SOMSOM");
    check_roles("4-2", SX_FRONT, "SOMSOM");
}

/* Common practice, no source: in a 5-1 one player sets; in a 6-2 the setter of the back row, in a
 * 4-2 the setter of the front row. */
Test(system, who_sets) {
    SxSystem one = shipped("5-1-outside"), back = shipped("6-2"), twice = shipped("6-2-double"),
             front = shipped("4-2");
    for (int r = 0; r < SX_ROTATIONS; r++) {
        cr_expect_eq(one.setter_slot[r], 0);
        cr_expect_eq(sx_slot_row(back.setter_slot[r], r), SX_BACK);
        cr_expect_eq(twice.setter_slot[r], back.setter_slot[r]);
        cr_expect_eq(sx_slot_row(front.setter_slot[r], r), SX_FRONT);
    }
}

/* Common practice, no source: a 6-2 has three attackers in front in every rotation; a 5-1 three
 * when the setter is in the back row, else two; a 4-2 always two. */
Test(system, attackers_in_front) {
    static const int one[SX_ROTATIONS] = {3, 3, 3, 2, 2, 2};
    SxSystem systems[] = {shipped("5-1-middle"), shipped("6-2"),        shipped("6-2-double"),
                          shipped("4-2"),        shipped("4-2-centre"), shipped("4-2-w")};
    for (int r = 0; r < SX_ROTATIONS; r++) {
        const int expected[] = {one[r], 3, 3, 2, 2, 2};
        for (int i = 0; i < 6; i++) {
            int attackers = 0;
            for (int position = 2; position <= 4; position++) {
                attackers += systems[i].duty[sx_slot_at(position, r)][SX_FRONT].attacks;
            }
            cr_expect_eq(attackers, expected[i], "%s rotation %d", systems[i].id, r + 1);
        }
    }
}

Test(system, split_slots_only_with_double_substitutions) {
    for (int i = 0; i < sx_system_count(); i++) {
        SxSystem system = shipped(sx_system_id(i));
        bool is_double = strcmp(system.id, "6-2-double") == 0;
        for (int s = 0; s < SX_SLOTS; s++) {
            cr_expect_eq(system.split[s], is_double && s % 3 == 0);
        }
    }
}

/* Common practice, no source: rotations 4 to 6 of a 6-2 look like 1 to 3; not so in a 5-1. */
Test(system, mirrored) {
    SxSystem two = shipped("6-2"), one = shipped("5-1-outside");
    cr_assert(sx_system_is_mirrored(&two));
    cr_assert(!sx_system_is_mirrored(&one));
    two.setter_slot[4] = 0;
    cr_assert(!sx_system_is_mirrored(&two));
    two = shipped("4-2");
    cr_assert(sx_system_is_mirrored(&two));
    two.duty[3][SX_BACK].base.x += 0.01;
    cr_assert(!sx_system_is_mirrored(&two));
}

Test(system, all_shipped_systems_are_sane) {
    cr_assert_eq(sx_system_count(), 7);
    cr_assert_null(sx_system_id(7));
    for (int i = 0; i < sx_system_count(); i++) {
        SxSystem system = shipped(sx_system_id(i));
        cr_expect_str_eq(system.id, sx_system_id(i));
        cr_expect_str_eq(system.source, "common practice, no source");
        for (int r = 0; r < SX_ROTATIONS; r++) {
            int setter = system.setter_slot[r];
            cr_expect_eq(system.duty[setter][sx_slot_row(setter, r)].role, SX_SETTER);
        }
        for (int s = 0; s < SX_SLOTS; s++) {
            cr_expect_lt(system.duty[s][SX_FRONT].base.y, SX_ATTACK_LINE);
            cr_expect_gt(system.duty[s][SX_BACK].base.y, SX_ATTACK_LINE);
            cr_expect_eq(system.duty[s][SX_BACK].task.y, system.duty[s][SX_BACK].base.y);
        }
    }
}

Test(system, numbers_arrive) {
    SxSystem system = shipped("5-1-outside");
    cr_assert_eq(system.setting_target.x, 6.00);
    cr_assert_eq(system.setting_target.y, 0.90);
    cr_assert_eq(system.lanes[5][1].x, 2.80);
    cr_assert_eq(system.lanes[2][1].y, 6.60);
    cr_assert_eq(system.lane_tolerance_y, 1.20);
    cr_assert_eq(system.duty[0][SX_FRONT].lane, SX_RIGHT);
    cr_assert_eq(system.duty[2][SX_BACK].lane, SX_LEFT);
    cr_assert_eq(system.duty[1][SX_FRONT].task.x, 0.60);
    cr_assert(system.duty[3][SX_BACK].attacks);
    cr_assert(!system.duty[2][SX_BACK].attacks);
}

Test(system, every_mistake_is_told_with_its_place) {
    static const Mistake mistakes[] = {
        {"sixturn-system-1", "sixturn-system-2", "format", "sixturn-system-1"},
        {"\"5-1-outside\"", "\"\"", "id", "a text"},
        {"\"name\"", "\"nmae\"", "nmae", "did you mean 'name'"},
        {"\"duties\": {", "\"duties\": {\"spare\": {}, ", "duties.spare.front", "missing"},
        {"\"role\": \"setter\"", "\"role\": \"seter\"", "duties.setter.front.role",
         "did you mean 'setter'"},
        {"\"role\": \"setter\"", "\"role\": \"libero\"", "duties.setter.front.role",
         "no place in the serving order"},
        {"\"role\": \"setter\"", "\"role\": \"specialist\"", "duties.setter.front.role",
         "back row only"},
        {"\"lane\": \"right\"", "\"lane\": \"center\"", "duties.setter.front.lane",
         "did you mean 'centre'"},
        {"\"lane\": \"right\"", "\"lane\": \"left\"", "slots",
         "slots 0 and 4 are together in the front row (rotation 4) and both have the lane 'left'"},
        {"\"attacks\": false", "\"attacks\": 0", "duties.setter.front.attacks", "true or false"},
        {"[7.50, 1.00]", "[7.505, 1.00]", "duties.setter.front.base[0]", "whole centimetres"},
        {"[7.50, 1.00]", "[9.01, 1.00]", "duties.setter.front.base[0]", "0 to 9"},
        {"[7.50, 1.00]", "[7.50]", "duties.setter.front.base", "exactly 2 entries, found 1"},
        {"[7.50, 1.00]", "[7.50, 1, 2]", "duties.setter.front.base",
         "exactly 2 entries, found more"},
        {", \"task\": [8.40, 3.40]", "", "duties.setter.front.task", "is missing"},
        {"\"front\": {", "\"split\": 1, \"front\": {", "duties.setter.split", "true or false"},
        {"\"slots\": [\"setter\"", "\"slots\": [\"sitter\"", "slots[0]", "did you mean 'setter'"},
        {"\"slots\": [\"setter\",", "\"slots\": [", "slots", "exactly 6 entries, found 5"},
        {"\"opposite\", \"outside\", \"middle\"]", "\"setter\", \"outside\", \"middle\"]",
         "duties.opposite", "none of the slots"},
        {"[0, 0, 0, 0, 0, 0]", "[0, 0, 0, 0, 0, 6]", "setters_by_rotation[5]", "0 to 5"},
        {"[0, 0, 0, 0, 0, 0]", "[0, 0, -1, 0, 0, 0]", "setters_by_rotation[2]", "0 to 5"},
        {"[0, 0, 0, 0, 0, 0]", "[0, 3, 0, 0, 0, 0]", "setters_by_rotation[1]",
         "slot 3 has the role 'opposite' in the front row"},
        {"[0, 0, 0, 0, 0, 0]", "[0, 0, 0]", "setters_by_rotation", "exactly 6 entries, found 3"},
        {"[6.00, 0.90]", "[-0.01, 0.90]", "setting_target[0]", "0 to 9"},
        {"\"2\": [", "\"6\": [", "lanes.6", "allowed: 2, 3, 4, 5"},
        {"[[2.60, 6.60], [6.40, 6.60]]", "[[2.60, 6.60]]", "lanes.2", "exactly 2 entries"},
        {"[[2.60, 6.60], [6.40, 6.60]]", "[[6.40, 6.60], [2.60, 6.60]]", "lanes.2[1]",
         "from left to right"},
        {"[0.90, 1.20]", "[0.90, 3.20]", "lane_tolerance[1]", "0 to 3"},
    };
    size_t length = 0;
    char *good = read_whole("datasets/systems/5-1-outside.json", &length);
    check_mistakes(good, mistakes, sizeof mistakes / sizeof mistakes[0], parse);
    free(good);
}

Test(system, task_of_the_back_row_may_be_given) {
    SxSystem system;
    size_t length = 0;
    char *good = read_whole("datasets/systems/5-1-outside.json", &length);
    char *text =
        changed(good, "\"base\": [7.50, 6.00]", "\"base\": [7.50, 6.00], \"task\": [7.00, 5.50]");
    cr_assert_eq(sx_system_parse(text, strlen(text), "given.json", &system, NULL), SX_OK);
    cr_assert_eq(system.duty[0][SX_BACK].task.x, 7.00);
    cr_assert_eq(system.duty[0][SX_BACK].base.x, 7.50);
    free(text);
    free(good);
}

Test(system, truncated_anywhere) {
    size_t length = 0;
    char *good = read_whole("datasets/systems/6-2-double.json", &length);
    check_truncated(good, length, parse);
    free(good);
}

Test(system, unknown_id_is_told_with_the_nearest) {
    SxSystem system;
    SxError err = {0};
    cr_assert_eq(sx_system_load("5-1", &system, &err), SX_BAD_INPUT);
    cr_assert_not_null(strstr(err.message, "did you mean '5-1-outside'?"));
}
