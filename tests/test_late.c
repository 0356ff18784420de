/* Who comes late, told by the clock: each case worked out from the closed form of the run. */
#include "sixturn/formation.h"
#include "sixturn/movement.h"

#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

#include "model/late.h"

static const double agree = 1e-9;

static SxMovement legs;
static SxBallTimes ball;
static SxSystem five_one;

static void set_up(void) {
    SxError err = {.status = SX_OK};
    sx_movement_default(&legs);
    sx_ball_times_default(&ball);
    cr_assert_eq(sx_system_load("5-1-outside", &five_one, &err), SX_OK, "%s", err.message);
}

TestSuite(late, .init = set_up);

/* Closed form of the run: reaction, build-up, top speed. */
static double seconds(double metres) {
    double v = legs.top_speed, a = legs.acceleration;
    double built = v * v / (2 * a);
    double running = metres <= built ? sqrt(2 * metres / a) : v / a + (metres - built) / v;
    return metres > 0 ? legs.reaction + running : 0;
}

static double metres(SxSpot a, SxSpot b) {
    return hypot(a.x - b.x, a.y - b.y);
}

/* Rotation 1: setter in 1, outside in 2, middle in 3, opposite in 4. Everybody at her task but
 * `slot`, who stands at `spot`. */
static double late_from(int slot, SxSpot spot, int sides, unsigned passers) {
    SxFormation f;
    memset(&f, 0, sizeof f);
    f.sides = sides;
    f.passers = passers;
    for (int s = 0; s < SX_SLOTS; s++) {
        f.spot[s] = sx_receive_task(&five_one, 0, s, sides);
    }
    f.spot[slot] = spot;
    sx_formation_late(&five_one, 0, &f);
    for (int s = 0; s < SX_SLOTS; s++) {
        cr_expect(s == slot || f.late[s] == 0, "slot %d is late where she must be", s);
    }
    return f.late[slot];
}

enum { SETTER = 0, OUTSIDE = 1, MIDDLE = 2, OPPOSITE = 3, BACK_MIDDLE = 5 };

Test(late, the_setter_has_until_the_pass_comes) {
    int usual = sx_usual_sides(&five_one, 0);
    SxSpot near_by = {8.4, 6.7}, far = {-8, 20};
    cr_expect_eq(late_from(SETTER, near_by, usual, 0), 0);
    cr_expect_float_eq(late_from(SETTER, far, usual, 0),
                       seconds(metres(far, five_one.setting_target)) - ball.serve - ball.pass,
                       agree);
}

/* By seconds late to the approach, and to the jump of who runs straight there: without her approach
 * she counts as half as late as she comes to it, at least. */
static double hit_late(double approach, double jump) {
    if (approach <= 0) {
        return 0;
    }
    return jump < approach / 2 ? approach / 2 : jump < approach ? jump : approach;
}

Test(late, a_passer_starts_when_she_has_passed) {
    int usual = sx_usual_sides(&five_one, 0);
    SxSpot right = {7.4, 6.3};
    double to_approach = ball.serve + seconds(metres(right, (SxSpot){0.6, 3.6}));
    double to_jump = ball.serve + seconds(metres(right, (SxSpot){1.5, 1.0}));
    double expected = hit_late(to_approach - (ball.serve + ball.pass),
                               to_jump - (ball.serve + ball.pass + ball.set - ball.rise));
    cr_expect_float_eq(late_from(OUTSIDE, right, usual, 1u << OUTSIDE), fmax(expected, 0), agree);
    cr_expect_eq(late_from(OUTSIDE, right, usual, 0), 0, "in time if she need not pass");
}

/* The first tempo leaves before the set; the same way as a high ball leaves time. */
Test(late, the_first_tempo_has_less_time) {
    int usual = sx_usual_sides(&five_one, 0);
    SxSpot corner = {8.6, 8.5};
    SxSpot approach = {4.3, 2.6}, jump = {4.5, 1.0};
    double set = ball.serve + ball.pass;
    double expected =
        hit_late(ball.serve + seconds(metres(corner, approach)) - (set - ball.lead),
                 ball.serve + seconds(metres(corner, jump)) - (set + ball.quick - ball.rise));
    cr_assert_gt(expected, 0);
    cr_expect_float_eq(late_from(MIDDLE, corner, usual, 1u << MIDDLE), expected, agree);
}

/* Who attacks from where she passes is in time; across the court she is not. */
Test(late, the_side_decides) {
    SxSpot right = {7.4, 6.3}, corner = {8.7, 8.7};
    int right_side = -1, left_side = -1;
    for (int sides = 0; sides < SX_SIDES; sides++) {
        if (sx_side_lane(sides, 2) == SX_RIGHT && sx_side_lane(sides, 3) == SX_CENTRE) {
            right_side = sides;
        }
        if (sx_side_lane(sides, 2) == SX_LEFT && sx_side_lane(sides, 3) == SX_CENTRE) {
            left_side = sides;
        }
    }
    cr_expect_eq(late_from(OUTSIDE, right, right_side, 1u << OUTSIDE), 0);
    cr_expect_gt(late_from(OUTSIDE, right, left_side, 1u << OUTSIDE), 0);
    cr_expect_lt(late_from(OUTSIDE, corner, right_side, 1u << OUTSIDE),
                 late_from(OUTSIDE, corner, left_side, 1u << OUTSIDE));
}

Test(late, defenders_are_never_late) {
    int usual = sx_usual_sides(&five_one, 0);
    cr_expect_eq(late_from(BACK_MIDDLE, (SxSpot){8.7, 8.7}, usual, 1u << BACK_MIDDLE), 0);
}

Test(late, the_program_says_it_of_its_formations) {
    SxError err = {.status = SX_OK};
    SxFormation f;
    cr_assert_eq(sx_formation_receive(&five_one, 0, 1u << 1 | 1u << 4 | 1u << 5, NULL, &f, &err),
                 SX_OK);
    SxFormation again = f;
    memset(again.late, 0, sizeof again.late);
    sx_formation_late(&five_one, 0, &again);
    for (int s = 0; s < SX_SLOTS; s++) {
        cr_expect_eq(f.late[s], again.late[s]);
    }
}
