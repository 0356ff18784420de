/* The libero over a cycle. The story most tests start from (common practice, no source): setter,
 * outside, middle, opposite, outside, middle in slots 0 to 5; the libero is in for each middle
 * (slots 2 and 5) from her serve's loss until she reaches the front row. */
#include "sixturn/libero.h"
#include "sixturn/sentences.h"

#include <criterion/criterion.h>
#include <string.h>

enum { LIBERO = 6, SECOND = 7, FIRST_MIDDLE = 2, SECOND_MIDDLE = 5 };

static SxRules profile(int liberos, bool serves) {
    SxRules rules;
    memset(&rules, 0, sizeof rules);
    rules.liberos = liberos;
    rules.libero_serves = serves;
    return rules;
}

/* Players 0 to 5 in slots 0 to 5; the libero for a slot in all its back-row rotations. */
static void cover(SxLineup *lineup, int slot, int libero, int from_turn, bool serves) {
    for (int turn = from_turn; turn < SX_BACK_TURNS; turn++) {
        SxRotation *at = &lineup->rotation[(slot + turn) % SX_ROTATIONS];
        at->libero = libero;
        at->libero_slot = slot;
        bool here = turn > 0 || serves;
        at->serve_libero = here ? libero : -1;
        at->serve_libero_slot = here ? slot : -1;
        at->libero_serves = serves && turn == 0;
    }
}

static SxLineup plain_lineup(void) {
    SxLineup lineup;
    memset(&lineup, 0, sizeof lineup);
    for (int s = 0; s < SX_SLOTS; s++) {
        lineup.order.front[s] = lineup.order.back[s] = s;
        lineup.rotation[s].libero = lineup.rotation[s].libero_slot = -1;
        lineup.rotation[s].serve_libero = lineup.rotation[s].serve_libero_slot = -1;
    }
    lineup.libero_count = 1;
    lineup.liberos[0] = LIBERO;
    return lineup;
}

static SxLineup both_middles(void) {
    SxLineup lineup = plain_lineup();
    cover(&lineup, FIRST_MIDDLE, LIBERO, 0, false);
    cover(&lineup, SECOND_MIDDLE, LIBERO, 0, false);
    return lineup;
}

static int check(const SxLiberoPlan *plan, const SxRules *rules, SxLiberoFault *first) {
    SxLiberoFault faults[SX_LIBERO_FAULTS];
    int count = sx_libero_check(plan, rules, faults);
    if (count > 0 && first) {
        *first = faults[0];
    }
    return count;
}

Test(libero, for_both_middles_who_serve_themselves_is_legal_everywhere) {
    SxLineup lineup = both_middles();
    SxLiberoPlan plan;
    for (int serves = 0; serves < 2; serves++) {
        SxRules rules = profile(1, serves);
        sx_libero_plan(&lineup, &plan);
        cr_assert_eq(check(&plan, &rules, NULL), 0);
    }
    cr_assert_eq(plan.at[2][SX_SERVE].libero, SX_NO_LIBERO); /* the middle's own serve */
    cr_assert_eq(plan.at[2][SX_RECEIVE].slot, FIRST_MIDDLE);
    cr_assert_eq(plan.at[4][SX_SERVE].slot, FIRST_MIDDLE);
    cr_assert_eq(plan.at[5][SX_SERVE].libero, SX_NO_LIBERO);
}

/* In once and out once for each middle: four replacements a cycle. */
Test(libero, the_steps_are_two_in_and_two_out) {
    SxLineup lineup = both_middles();
    SxLiberoPlan plan;
    SxLiberoSteps steps;
    sx_libero_plan(&lineup, &plan);
    sx_libero_steps(&plan, 2, SX_SERVE, &steps);
    cr_assert_eq(steps.count, 3); /* the last 'out' falls on the start of the next cycle */
    cr_assert_eq(steps.step[0].kind, SX_STEP_IN);
    cr_assert_eq(steps.step[0].rotation, 2);
    cr_assert_eq(steps.step[0].phase, SX_RECEIVE);
    cr_assert_eq(steps.step[1].kind, SX_STEP_OUT);
    cr_assert_eq(steps.step[1].rotation, 5);
    cr_assert_eq(steps.step[1].phase, SX_SERVE);
    cr_assert(steps.step[1].forced);
    cr_assert_eq(steps.step[2].slot, SECOND_MIDDLE);
}

Test(libero, a_step_reads_as_the_coach_calls_it) {
    SxLineup lineup = both_middles();
    SxLiberoPlan plan;
    SxLiberoSteps steps;
    static SxTeam team;
    char text[200];
    for (int p = 0; p <= LIBERO; p++) {
        team.players[p].number = p + 10;
    }
    sx_libero_plan(&lineup, &plan);
    sx_libero_steps(&plan, 2, SX_SERVE, &steps);
    cr_assert_str_eq(sx_libero_step_text(&steps.step[0], &lineup, &team, text, sizeof text),
                     "Rotation 3, receiving: libero #16 comes in for #12 (right back)");
    cr_assert_str_eq(sx_libero_step_text(&steps.step[1], &lineup, &team, text, sizeof text),
                     "Rotation 6, serving: #12 comes back for libero #16 (left front, now in the "
                     "front row)");
}

/* FIVB 19, back row only. */
Test(libero, staying_on_in_the_front_row_is_a_fault) {
    SxLineup lineup = both_middles();
    SxRules rules = profile(1, false);
    SxLiberoPlan plan;
    SxLiberoFault fault;
    sx_libero_plan(&lineup, &plan);
    plan.at[5][SX_SERVE] = (SxLiberoStay){0, FIRST_MIDDLE};
    cr_assert_eq(check(&plan, &rules, &fault), 2); /* and then no rally before the second middle */
    cr_assert_eq(fault.kind, SX_STAY_FRONT_ROW);
    cr_assert_eq(fault.rotation, 5);
}

/* FIVB 19: a completed rally between two replacements. */
Test(libero, from_one_player_to_another_takes_a_rally) {
    SxLiberoPlan plan;
    SxRules rules = profile(2, false);
    SxLiberoFault fault;
    for (int r = 0; r < SX_ROTATIONS; r++) {
        plan.at[r][SX_SERVE] = plan.at[r][SX_RECEIVE] = (SxLiberoStay){SX_NO_LIBERO, -1};
    }
    plan.at[3][SX_SERVE] = (SxLiberoStay){0, 2};
    plan.at[3][SX_RECEIVE] = (SxLiberoStay){0, 1};
    cr_assert_eq(check(&plan, &rules, &fault), 1);
    cr_assert_eq(fault.kind, SX_STAY_NO_RALLY);
    cr_assert_eq(fault.phase, SX_RECEIVE);
    plan.at[3][SX_RECEIVE] = (SxLiberoStay){1, 1}; /* two replacements, though of two liberos */
    cr_assert_eq(check(&plan, &rules, &fault), 1);
    plan.at[3][SX_RECEIVE] = (SxLiberoStay){1, 2}; /* libero for libero: one replacement */
    cr_assert_eq(check(&plan, &rules, &fault), 0);
}

/* FIVB 19.3.1.3 against NCAA women, 2024: in one position. */
Test(libero, serving_is_for_one_place_where_it_is_allowed) {
    SxLineup lineup = plain_lineup();
    cover(&lineup, FIRST_MIDDLE, LIBERO, 0, true);
    cover(&lineup, SECOND_MIDDLE, LIBERO, 0, false);
    SxRules fivb = profile(2, false), college = profile(2, true);
    SxLiberoPlan plan;
    SxLiberoFault fault;
    sx_libero_plan(&lineup, &plan);
    cr_assert_eq(plan.at[2][SX_SERVE].slot, FIRST_MIDDLE);
    cr_assert_eq(check(&plan, &college, NULL), 0); /* straight over from the second middle */
    cr_assert_gt(check(&plan, &fivb, &fault), 0);
    cr_assert_eq(fault.kind, SX_STAY_SERVES);
    plan.at[5][SX_SERVE] = (SxLiberoStay){0, SECOND_MIDDLE};
    cr_assert_eq(check(&plan, &college, &fault), 1);
    cr_assert_eq(fault.kind, SX_STAY_TWO_SERVES);
}

Test(libero, serving_straight_from_another_place_is_one_step) {
    SxLineup lineup = plain_lineup();
    cover(&lineup, FIRST_MIDDLE, LIBERO, 0, true);
    cover(&lineup, SECOND_MIDDLE, LIBERO, 0, false);
    SxLiberoPlan plan;
    SxLiberoSteps steps;
    sx_libero_plan(&lineup, &plan);
    sx_libero_steps(&plan, 1, SX_RECEIVE, &steps);
    cr_assert_eq(steps.step[1].kind, SX_STEP_GO);
    cr_assert_eq(steps.step[1].rotation, 2);
    cr_assert(steps.step[1].serves && steps.step[1].forced);
}

Test(libero, a_second_libero_needs_a_profile_that_names_two) {
    SxLineup lineup = plain_lineup();
    lineup.libero_count = 2;
    lineup.liberos[1] = SECOND;
    cover(&lineup, FIRST_MIDDLE, LIBERO, 0, false);
    cover(&lineup, SECOND_MIDDLE, SECOND, 0, false);
    SxRules one = profile(1, false), two = profile(2, false);
    SxLiberoPlan plan;
    SxLiberoFault fault;
    sx_libero_plan(&lineup, &plan);
    cr_assert_eq(check(&plan, &two, NULL), 0);
    cr_assert_gt(check(&plan, &one, &fault), 0);
    cr_assert_eq(fault.kind, SX_STAY_UNNAMED);
}

/* From one slot to another's second turn there is no serve of her own to sit out. */
Test(libero, a_stay_that_follows_another_at_once_is_a_fault) {
    SxLineup lineup = plain_lineup();
    cover(&lineup, 2, LIBERO, 0, false); /* rotations 2, 3, 4 */
    cover(&lineup, 4, LIBERO, 1, false); /* from its second turn: rotations 5 and 0 */
    SxRules rules = profile(1, false);
    SxLiberoPlan plan;
    SxLiberoFault fault;
    sx_libero_plan(&lineup, &plan);
    cr_assert_eq(check(&plan, &rules, &fault), 1);
    cr_assert_eq(fault.kind, SX_STAY_NO_RALLY);
    lineup.rotation[5].serve_libero = -1; /* out for the serving rally, then in */
    sx_libero_plan(&lineup, &plan);
    cr_assert_eq(check(&plan, &rules, NULL), 0);
}

/* Any plan made of whole stays, for any pair of slots, any libero and profile, is legal, unless one
 * follows the other at once. */
Test(libero, every_plan_of_whole_stays_is_legal) {
    for (int a = 0; a < SX_SLOTS; a++) {
        for (int b = 0; b < SX_SLOTS; b++) {
            for (int turns = 0; turns < SX_BACK_TURNS * SX_BACK_TURNS; turns++) {
                for (int kind = 0; kind < 4; kind++) {
                    SxLineup lineup = plain_lineup();
                    lineup.libero_count = 2;
                    lineup.liberos[1] = SECOND;
                    SxRules rules = profile(2, kind & 1);
                    int turn_a = turns % SX_BACK_TURNS, turn_b = turns / SX_BACK_TURNS;
                    bool overlap = a == b;
                    for (int i = turn_a; i < SX_BACK_TURNS; i++) {
                        for (int k = turn_b; k < SX_BACK_TURNS; k++) {
                            overlap |= (a + i) % SX_ROTATIONS == (b + k) % SX_ROTATIONS;
                        }
                    }
                    bool at_once = (turn_b > 0 && (a + 3) % 6 == (b + turn_b) % 6) ||
                                   (turn_a > 0 && (b + 3) % 6 == (a + turn_a) % 6);
                    if (overlap || at_once) {
                        continue;
                    }
                    cover(&lineup, a, LIBERO, turn_a, (kind & 1) && turn_a == 0);
                    cover(&lineup, b, kind & 2 ? SECOND : LIBERO, turn_b, false);
                    SxLiberoPlan plan;
                    sx_libero_plan(&lineup, &plan);
                    cr_assert_eq(check(&plan, &rules, NULL), 0);
                }
            }
        }
    }
}
