/* How much each part counts where nobody says, and who gets how many of the balls in reception. */
#include "sixturn/evaluate.h"

#include "sixturn/eligible.h"

/* Invented: how the parts of the score are made up. Coverage: fewer passers each guard more floor,
 * so the mean passing of two counts less than that of three or four. The rally model has the
 * shares of a level of play. */
const SxScoring sx_scoring = {
    .coverage = {0, 0, 0.88, 0.97, 1.0, 1.0},
    .front_attack = {[SX_LEFT] = 0.34, [SX_CENTRE] = 0.24, [SX_RIGHT] = 0.24},
    .back_attack = 0.09,
    .block = {[SX_LEFT] = 0.3, [SX_CENTRE] = 0.4, [SX_RIGHT] = 0.3},
};

const SxScoring *sx_scoring_of(const SxProblem *problem) {
    return problem->scoring ? problem->scoring : &sx_scoring;
}

bool sx_is_front_hitter(const SxSystem *system, int rotation, int slot) {
    return sx_slot_row(slot, rotation) == SX_FRONT && system->duty[slot][SX_FRONT].attacks &&
           system->setter_slot[rotation] != slot;
}

static SxLane lane_of(int rotation, int slot, int sides) {
    return sx_side_lane(sides, sx_position(slot, rotation));
}

double sx_attack_share(const SxProblem *problem, int rotation, int slot, int sides) {
    const SxScoring *scoring = sx_scoring_of(problem);
    const SxSystem *system = problem->system;
    bool on_duty = system->setter_slot[rotation] == slot;
    if (sx_slot_row(slot, rotation) == SX_BACK) {
        return !on_duty && system->duty[slot][SX_BACK].attacks ? scoring->back_attack : 0;
    }
    if (on_duty) {
        return scoring->setter_attack;
    }
    return system->duty[slot][SX_FRONT].attacks
               ? scoring->front_attack[lane_of(rotation, slot, sides)]
               : 0;
}

bool sx_attacks_away(const SxProblem *problem, int player, int rotation, int slot, int sides) {
    return sx_is_front_hitter(problem->system, rotation, slot) &&
           !(sx_usual_lanes(&problem->team->players[player]) >> lane_of(rotation, slot, sides) & 1);
}

double sx_away_loss(const SxScoring *scoring, unsigned usual, SxLane lane) {
    const unsigned sides = 1u << SX_LEFT | 1u << SX_RIGHT;
    if (usual >> lane & 1) {
        return 0;
    }
    return lane != SX_CENTRE && usual & sides ? scoring->across : scoring->away;
}

double sx_attack_loss(const SxProblem *problem, int player, int rotation, int slot, int sides) {
    return sx_is_front_hitter(problem->system, rotation, slot)
               ? sx_away_loss(sx_scoring_of(problem),
                              sx_usual_lanes(&problem->team->players[player]),
                              lane_of(rotation, slot, sides))
               : 0;
}

double sx_attack_total(const SxProblem *problem, int rotation, int sides, int replaced) {
    double sum = 0;
    for (int s = 0; s < SX_SLOTS; s++) {
        sum += s == replaced ? 0 : sx_attack_share(problem, rotation, s, sides);
    }
    return sum;
}

double sx_attack_lateness(const SxProblem *problem, int rotation, const SxFormation *formation,
                          int replaced) {
    double sum = 0;
    for (int s = 0; s < SX_SLOTS; s++) {
        bool hits = s != replaced && s != problem->system->setter_slot[rotation];
        sum +=
            hits ? sx_attack_share(problem, rotation, s, formation->sides) * formation->late[s] : 0;
    }
    return sum;
}
