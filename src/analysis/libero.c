/* The libero's stays over a whole cycle: legal together or not, and as steps. */
#include "sixturn/libero.h"

#include <string.h>

enum { SITUATIONS = SX_ROTATIONS * SX_PHASES };

/* Situations in the order of play: rotation 0 serving, 0 receiving, 1 serving, ... */
static int rotation_of(int situation) {
    return situation / SX_PHASES % SX_ROTATIONS;
}

static SxPhase phase_of(int situation) {
    return situation % SX_PHASES == 0 ? SX_SERVE : SX_RECEIVE;
}

static const SxLiberoStay *stay_in(const SxLiberoPlan *plan, int situation) {
    return &plan->at[rotation_of(situation)][phase_of(situation)];
}

static const SxLiberoStay *stay_before(const SxLiberoPlan *plan, int situation) {
    return stay_in(plan, (situation + SITUATIONS - 1) % SITUATIONS);
}

static bool is_in(const SxLiberoStay *stay) {
    return stay->libero != SX_NO_LIBERO;
}

static bool serves_in(const SxLiberoPlan *plan, int situation) {
    const SxLiberoStay *stay = stay_in(plan, situation);
    return is_in(stay) && phase_of(situation) == SX_SERVE && stay->slot == rotation_of(situation);
}

/* Out for one slot and in for another between the same two rallies. */
static bool skips_the_rally(const SxLiberoPlan *plan, const SxRules *rules, int situation) {
    const SxLiberoStay *now = stay_in(plan, situation), *before = stay_before(plan, situation);
    if (!is_in(now) || !is_in(before) || now->slot == before->slot) {
        return false;
    }
    return !(rules->libero_serves && serves_in(plan, situation));
}

static int named_index(const SxLineup *lineup, int player) {
    return lineup->libero_count > 1 && lineup->liberos[1] == player ? 1 : 0;
}

static SxLiberoStay stay_of(const SxLineup *lineup, int player, int slot) {
    return player < 0 ? (SxLiberoStay){SX_NO_LIBERO, -1}
                      : (SxLiberoStay){named_index(lineup, player), slot};
}

void sx_libero_plan(const SxLineup *lineup, SxLiberoPlan *out) {
    for (int r = 0; r < SX_ROTATIONS; r++) {
        const SxRotation *at = &lineup->rotation[r];
        out->at[r][SX_RECEIVE] = stay_of(lineup, at->libero, at->libero_slot);
        out->at[r][SX_SERVE] = stay_of(lineup, at->serve_libero, at->serve_libero_slot);
    }
}

int sx_libero_check(const SxLiberoPlan *plan, const SxRules *rules,
                    SxLiberoFault faults[SX_LIBERO_FAULTS]) {
    int count = 0, place = -1;
    for (int s = 0; s < SITUATIONS; s++) {
        const SxLiberoStay *stay = stay_in(plan, s);
        SxLiberoFault fault = {SX_STAY_FRONT_ROW, rotation_of(s), phase_of(s), stay->libero,
                               stay->slot};
        if (!is_in(stay)) {
            continue;
        }
        bool serves = serves_in(plan, s);
        bool second = serves && place >= 0 && place != stay->slot;
        place = serves && place < 0 ? stay->slot : place;
        const bool broken[] = {
            [SX_STAY_FRONT_ROW] = sx_slot_row(stay->slot, rotation_of(s)) == SX_FRONT,
            [SX_STAY_UNNAMED] = stay->libero >= rules->liberos,
            [SX_STAY_SERVES] = serves && !rules->libero_serves,
            [SX_STAY_TWO_SERVES] = second && rules->libero_serves,
            [SX_STAY_NO_RALLY] = skips_the_rally(plan, rules, s),
        };
        for (size_t kind = 0; kind < sizeof broken / sizeof broken[0]; kind++) {
            if (broken[kind] && count < SX_LIBERO_FAULTS) {
                fault.kind = (SxLiberoFaultKind)kind;
                faults[count++] = fault;
            }
        }
    }
    return count;
}

static bool reached_front(int slot, int rotation) {
    return sx_slot_row(slot, rotation) == SX_FRONT;
}

static void add_change(const SxLiberoPlan *plan, int situation, const SxLiberoStay *before,
                       SxLiberoSteps *out) {
    const SxLiberoStay *now = stay_in(plan, situation);
    int r = rotation_of(situation);
    SxLiberoStep step = {SX_STEP_IN,   r,         phase_of(situation),
                         now->libero,  now->slot, before->libero,
                         before->slot, false,     false};
    bool same = now->libero == before->libero && (!is_in(now) || now->slot == before->slot);
    if (same) {
        return;
    }
    if (!is_in(now)) {
        step.kind = SX_STEP_OUT;
        step.libero = before->libero;
        step.slot = before->slot;
    } else if (is_in(before)) {
        step.kind = now->slot == before->slot ? SX_STEP_CHANGE : SX_STEP_GO;
    }
    step.forced = is_in(before) && reached_front(before->slot, r);
    step.serves = serves_in(plan, situation);
    out->step[out->count++] = step;
}

void sx_libero_steps(const SxLiberoPlan *plan, int start, SxPhase first, SxLiberoSteps *out) {
    static const SxLiberoStay nobody = {SX_NO_LIBERO, -1};
    int begin = start * SX_PHASES + (first == SX_SERVE ? 0 : 1);
    out->count = 0;
    for (int k = 0; k < SITUATIONS; k++) {
        int situation = (begin + k) % SITUATIONS;
        add_change(plan, situation, k == 0 ? &nobody : stay_before(plan, situation), out);
    }
}
