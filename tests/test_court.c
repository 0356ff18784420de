/* Positions and rotation, as FIVB rules 7.4 and 7.6 tell them. */
#include "sixturn/sixturn.h" /* all public headers go together */

#include <criterion/criterion.h>

Test(court, slot_r_serves_in_rotation_r) {
    for (int r = 0; r < SX_ROTATIONS; r++) {
        cr_assert_eq(sx_slot_at(1, r), r);
    }
}

/* FIVB 7.6.2: position 2 rotates to 1, 1 to 6, and so on round. */
Test(court, rotation_is_clockwise) {
    static const int next_of[SX_POSITIONS + 1] = {0, 6, 1, 2, 3, 4, 5};
    for (int r = 0; r < SX_ROTATIONS; r++) {
        for (int s = 0; s < SX_SLOTS; s++) {
            int here = sx_position(s, r);
            cr_assert_eq(sx_slot_at(here, r), s);
            cr_assert_eq(sx_position(s, (r + 1) % SX_ROTATIONS), next_of[here]);
        }
    }
}

Test(court, three_turns_in_the_back_row_begin_with_the_serve) {
    cr_assert_eq(sx_back_turn(4, 4), 0);
    cr_assert_eq(sx_back_turn(4, 5), 1);
    cr_assert_eq(sx_back_turn(4, 0), 2);
    cr_assert_eq(sx_back_turn(4, 1), -1);
    cr_assert_eq(sx_slot_row(4, 1), SX_FRONT);
}

Test(court, opposite_slots_are_never_in_one_row) {
    for (int r = 0; r < SX_ROTATIONS; r++) {
        for (int s = 0; s < SX_SLOTS; s++) {
            cr_assert_neq(sx_slot_row(s, r), sx_slot_row(sx_opposite_slot(s), r));
        }
    }
}
