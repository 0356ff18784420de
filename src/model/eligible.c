/* Who can fill which place of the order, who can be a libero, and when two orders are one. */
#include "sixturn/eligible.h"

bool sx_rows_differ(const SxProblem *problem, int slot) {
    if (problem->system->split[slot]) {
        return true;
    }
    if (problem->plan->specialists <= 0) {
        return false;
    }
    for (int r = 0; r < SX_ROTATIONS; r++) {
        if (problem->system->setter_slot[r] == slot) {
            return false;
        }
    }
    return true;
}

bool sx_can_fill(const SxProblem *problem, int player, int slot, SxRow row) {
    const SxPlayer *who = &problem->team->players[player];
    const SxDuty *duty = problem->system->duty[slot];
    if (!who->available) {
        return false;
    }
    if (!sx_rows_differ(problem, slot)) {
        return who->fitness[duty[SX_FRONT].role] > 0 && who->fitness[duty[SX_BACK].role] > 0;
    }
    bool specialist =
        row == SX_BACK && !problem->system->split[slot] && who->fitness[SX_SPECIALIST] > 0;
    return who->fitness[duty[row].role] > 0 || specialist;
}

double sx_fit_skill(const SxProblem *problem, int player, int slot, SxRow row, SxSkill skill) {
    const SxPlayer *who = &problem->team->players[player];
    return who->skill[skill] * who->fitness[problem->system->duty[slot][row].role];
}

bool sx_can_be_libero(const SxProblem *problem, int player) {
    const SxPlayer *who = &problem->team->players[player];
    return problem->rules->liberos > 0 && who->available && who->fitness[SX_LIBERO] > 0;
}

bool sx_libero_may_replace(const SxSystem *system, int slot, int rotation) {
    return sx_slot_row(slot, rotation) == SX_BACK && system->setter_slot[rotation] != slot;
}

unsigned sx_usual_lanes(const SxPlayer *player) {
    enum { EVERY_LANE = (1u << SX_LANES) - 1 };
    unsigned lanes = player->attacks_from ? player->attacks_from : sx_sides_by_role(player);
    return lanes ? lanes : EVERY_LANE;
}

bool sx_turn_counts_once(const SxProblem *problem) {
    const SxPlan *plan = problem->plan;
    if (plan->start >= 0 || !sx_system_is_mirrored(problem->system)) {
        return false;
    }
    for (int k = 0; k < plan->wish_count; k++) {
        if (plan->wishes[k].kind == SX_FIXED_SLOT) {
            return false;
        }
    }
    return true;
}

bool sx_halves_alike(const SxProblem *problem) {
    const double *weight = problem->plan->rotation_weight;
    bool weighed = problem->plan->balance < 1; /* else the rotations count by their least */
    for (int r = 0; r < SX_ROTATIONS / 2; r++) {
        if (weighed && weight[r] != weight[r + SX_ROTATIONS / 2]) {
            return false;
        }
    }
    return sx_turn_counts_once(problem);
}
