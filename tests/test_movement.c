/* Runs against the closed forms of uniformly accelerated motion. */
#include "sixturn/movement.h"

#include <criterion/criterion.h>
#include <math.h>

/* 4 m/s^2 up to 4 m/s: 1 s and 2 m to build up. */
static const SxMovement simple = {.reaction = 0.5, .acceleration = 4, .top_speed = 4};

Test(movement, times_follow_the_closed_form) {
    cr_assert_eq(sx_run_time(&simple, 0), 0);
    cr_assert_float_eq(sx_run_time(&simple, 0.5), 0.5 + 0.5, 1e-12);
    cr_assert_float_eq(sx_run_time(&simple, 2), 0.5 + 1, 1e-12);
    cr_assert_float_eq(sx_run_time(&simple, 6), 0.5 + 1 + 1, 1e-12);
}

Test(movement, length_is_the_inverse_of_time) {
    SxMovement usual;
    sx_movement_default(&usual);
    for (int cm = 1; cm < 1300; cm++) {
        cr_assert_float_eq(sx_run_length(&usual, sx_run_time(&usual, cm / 100.0)), cm / 100.0,
                           1e-9);
    }
}

Test(movement, a_runner_waits_runs_and_stays) {
    SxSpot from = {1, 1}, to = {1, 7};
    cr_assert_eq(sx_run_at(&simple, from, to, 0.4).y, 1);
    cr_assert_float_eq(sx_run_at(&simple, from, to, 1.5).y, 3, 1e-12);
    cr_assert_eq(sx_run_at(&simple, from, to, 9).y, 7);
}

/* Everybody far away and still, but for the two runs in question. */
static int cross(SxSpot from_a, SxSpot to_a, SxSpot from_b, SxSpot to_b, SxCrossing *first) {
    SxSpot from[SX_SLOTS], to[SX_SLOTS];
    SxCrossing found[SX_MAX_CROSSINGS];
    for (int s = 0; s < SX_SLOTS; s++) {
        from[s] = to[s] = (SxSpot){100.0 * s + 100, 100};
    }
    from[1] = from_a;
    to[1] = to_a;
    from[4] = from_b;
    to[4] = to_b;
    int count = sx_run_crossings(&simple, from, to, SX_CROSSING_ROOM, found);
    if (count) {
        *first = found[0];
    }
    return count;
}

Test(movement, two_who_swap_places_meet_half_way) {
    SxCrossing c;
    cr_assert_eq(cross((SxSpot){0, 0}, (SxSpot){4, 0}, (SxSpot){4, 0}, (SxSpot){0, 0}, &c), 1);
    cr_assert_eq(c.a, 1);
    cr_assert_eq(c.b, 4);
    cr_assert_float_eq(c.time, sx_run_time(&simple, 2), 1e-4);
    cr_assert_float_eq(c.distance, 0, 1e-4);
}

/* One along x towards the corner L away, one along y, M away: nearest when both have run
 * (L + M) / 2, then |L - M| / sqrt(2) apart. */
Test(movement, crossing_at_a_right_angle_has_a_closed_form) {
    SxCrossing c;
    cr_assert_eq(cross((SxSpot){0, 3}, (SxSpot){6, 3}, (SxSpot){3, 0.4}, (SxSpot){3, 6}, &c), 1);
    cr_assert_float_eq(c.distance, 0.4 / sqrt(2), 1e-4);
    cr_assert_float_eq(c.time, sx_run_time(&simple, (3 + 2.6) / 2), 1e-3);
    cr_assert_eq(cross((SxSpot){0, 3}, (SxSpot){6, 3}, (SxSpot){3, 1.5}, (SxSpot){3, 6}, &c), 0);
}

Test(movement, side_by_side_or_only_close_at_an_end_is_no_crossing) {
    SxCrossing c;
    cr_assert_eq(cross((SxSpot){0, 0}, (SxSpot){4, 0}, (SxSpot){0, 0.3}, (SxSpot){4, 0.3}, &c), 0);
    cr_assert_eq(cross((SxSpot){0, 0}, (SxSpot){4, 0}, (SxSpot){-0.3, 0}, (SxSpot){-0.3, 5}, &c),
                 0);
    cr_assert_eq(cross((SxSpot){0, 0}, (SxSpot){4, 0}, (SxSpot){4, 5}, (SxSpot){4, 0.3}, &c), 0);
}

Test(movement, the_usual_figures_let_a_setter_come_in_from_the_back_row) {
    SxMovement usual;
    SxBallTimes ball;
    sx_movement_default(&usual);
    sx_ball_times_default(&ball);
    /* From middle back, 5 m from the setting target: common practice says she makes it. */
    cr_assert_lt(sx_run_time(&usual, 5), ball.serve + ball.pass);
}

/* Sprint tests, from memory: 5 m in about 1.1 to 1.2 s once she runs. */
Test(movement, the_usual_figures_are_those_of_sprint_tests) {
    SxMovement usual;
    sx_movement_default(&usual);
    double five = sx_run_time(&usual, 5) - usual.reaction;
    cr_expect(five >= 1.1 && five <= 1.2, "%.3f s", five);
    /* Closed form: v / a to build up, the rest at v. */
    double v = usual.top_speed, a = usual.acceleration;
    cr_expect_float_eq(five, v / a + (5 - v * v / (2 * a)) / v, 1e-12);
}

/* 15 m at 13.2 m/s: women's jump serves (Tant et al. 1993, second hand), no drag. */
Test(movement, the_serve_flies_as_long_as_measured) {
    SxBallTimes ball;
    sx_ball_times_default(&ball);
    cr_expect_float_eq(ball.serve, 15 / 13.2, 0.005);
}

/* Free fall: a rise of 0.40 m. */
Test(movement, the_jump_takes_as_long_as_falling_down) {
    SxBallTimes ball;
    sx_ball_times_default(&ball);
    cr_expect_float_eq(ball.rise, sqrt(2 * 0.40 / 9.81), 0.005);
}

Test(movement, late_is_what_is_missing_and_never_early) {
    SxSpot from = {0, 0}, to = {6, 0}; /* 2.5 s */
    cr_expect_float_eq(sx_late(&simple, from, to, 1, 3), 0.5, 1e-12);
    cr_expect_eq(sx_late(&simple, from, to, 0, 3), 0);
    cr_expect_eq(sx_late(&simple, from, from, 1, 1), 0);
}
