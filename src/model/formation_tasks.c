/* Who does what in a formation: attack sides, tasks, and what is asked for where nobody says. */
#include "model/late.h"
#include "sixturn/formation.h"

#include <string.h>

const SxDuty *sx_lane_duty(const SxSystem *system, SxLane lane) {
    const SxDuty *found = NULL;
    for (int slot = SX_SLOTS - 1; slot >= 0; slot--) {
        const SxDuty *duty = &system->duty[slot][SX_FRONT];
        if (duty->lane == lane && (duty->attacks || !found || !found->attacks)) {
            found = duty;
        }
    }
    return found; /* not NULL: each row has all three lanes */
}

static const double default_margin = 0.30; /* metres, about a foot's length (our choice) */

SxLane sx_side_lane(int sides, int position) {
    static const SxLane lanes[SX_SIDES][SX_LANES] = {
        {SX_LEFT, SX_CENTRE, SX_RIGHT}, {SX_LEFT, SX_RIGHT, SX_CENTRE},
        {SX_CENTRE, SX_LEFT, SX_RIGHT}, {SX_CENTRE, SX_RIGHT, SX_LEFT},
        {SX_RIGHT, SX_LEFT, SX_CENTRE}, {SX_RIGHT, SX_CENTRE, SX_LEFT},
    };
    enum { LEFT_FRONT = 4 };
    return lanes[sides][LEFT_FRONT - position];
}

int sx_usual_sides(const SxSystem *system, int rotation) {
    for (int sides = 0; sides < SX_SIDES; sides++) {
        bool usual = true;
        for (int position = 2; position <= 4; position++) {
            int slot = sx_slot_at(position, rotation);
            usual &= system->duty[slot][SX_FRONT].lane == sx_side_lane(sides, position);
        }
        if (usual) {
            return sides;
        }
    }
    return 0; /* a system's three lanes differ in every rotation, so this is never reached */
}

void sx_formation_default(SxFormationOptions *options) {
    *options =
        (SxFormationOptions){.margin = default_margin, .sides = SX_USUAL_SIDES, .every_side = true};
}

void sx_formation_no_wishes(SxFormationWishes *wishes) {
    memset(wishes, 0, sizeof *wishes);
    for (int slot = 0; slot < SX_SLOTS; slot++) {
        wishes->lane[slot] = wishes->attacks_from[slot] = wishes->behind[slot] = -1;
    }
}

SxSpot sx_receive_task(const SxSystem *system, int rotation, int slot, int sides) {
    int position = sx_position(slot, rotation);
    const SxDuty *duty = &system->duty[slot][sx_row_of(position)];
    if (slot == system->setter_slot[rotation]) {
        return system->setting_target;
    }
    if (sx_row_of(position) == SX_BACK || duty->lane == sx_side_lane(sides, position)) {
        return duty->task;
    }
    return sx_lane_duty(system, sx_side_lane(sides, position))->task;
}

SxSpot sx_task_spot(const SxSystem *system, int rotation, int slot, SxPhase phase) {
    const SxDuty *duty = &system->duty[slot][sx_slot_row(slot, rotation)];
    if (phase == SX_SERVE) {
        return duty->base;
    }
    return slot == system->setter_slot[rotation] ? system->setting_target : duty->task;
}
