/* Lateness: what a receive formation asks of legs.
 *
 * The setter on duty must be at the target when the pass arrives. A hitter must be at the start of
 * her approach when the ball is set (one of the first tempo a little before). If she is not, she
 * may run straight from where she stands to where she jumps: that in time, her hit lacks the
 * approach and counts as if she came half as late as she comes to it. Who passes runs from the pass
 * on, everybody else from the service hit on. Defenders have time enough until the other side plays
 * the ball. */
#include "model/late.h"

#include "sixturn/movement.h"

#include <math.h>

/* What a hit from a straight run costs, as a part of coming late to the approach (invented). */
#define WITHOUT_APPROACH 0.5

typedef struct {
    SxMovement movement;
    SxBallTimes ball;
} Clock;

static double hitter_late(const Clock *clock, const SxSystem *system, const SxDuty *duty,
                          SxLane lane, SxSpot from, SxSpot approach, double start) {
    bool quick = duty->role == SX_MIDDLE && lane == SX_CENTRE;
    double set = clock->ball.serve + clock->ball.pass;
    double hit = set + (quick ? clock->ball.quick : clock->ball.set);
    double by_approach =
        sx_late(&clock->movement, from, approach, start, quick ? set - clock->ball.lead : set);
    SxSpot jump = lane == duty->lane ? duty->base : sx_lane_duty(system, lane)->base;
    double by_jump = sx_late(&clock->movement, from, jump, start, hit - clock->ball.rise);
    return fmin(by_approach, fmax(by_jump, WITHOUT_APPROACH * by_approach));
}

static double slot_late(const Clock *clock, const SxSystem *system, int rotation, int slot,
                        const SxFormation *formation) {
    int position = sx_position(slot, rotation);
    SxRow row = sx_row_of(position);
    const SxDuty *duty = &system->duty[slot][row];
    SxSpot from = formation->spot[slot];
    SxSpot task = sx_receive_task(system, rotation, slot, formation->sides);
    double start = formation->passers >> slot & 1 ? clock->ball.serve : 0;
    double set = clock->ball.serve + clock->ball.pass;
    if (slot == system->setter_slot[rotation]) {
        return sx_late(&clock->movement, from, task, start, set);
    }
    if (!duty->attacks) {
        return 0;
    }
    if (row == SX_BACK) {
        return sx_late(&clock->movement, from, task, start, set);
    }
    SxLane lane = sx_side_lane(formation->sides, position);
    return hitter_late(clock, system, duty, lane, from, task, start);
}

void sx_formation_late(const SxSystem *system, int rotation, SxFormation *formation) {
    Clock clock;
    sx_movement_default(&clock.movement);
    sx_ball_times_default(&clock.ball);
    for (int slot = 0; slot < SX_SLOTS; slot++) {
        formation->late[slot] = slot_late(&clock, system, rotation, slot, formation);
    }
}
