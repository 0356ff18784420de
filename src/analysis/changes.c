/* Planned substitutions, played through until a rule ends them. */
#include "sixturn/changes.h"

#include <string.h>

enum { CHANGES_BY_ONE_STARTER = 2 /* FIVB 15.6: out once, back once */ };

static bool is_split(const SxOrder *order, int slot) {
    return order->front[slot] != order->back[slot];
}

static int due_in(const SxOrder *order, int slot, int rotation) {
    return sx_slot_row(slot, rotation) == SX_FRONT ? order->front[slot] : order->back[slot];
}

static SxStatus one_place_each(const SxOrder *order, SxError *err) {
    for (int a = 0; a < SX_SLOTS; a++) {
        for (int b = 0; b < SX_SLOTS; b++) {
            if (a != b && (order->front[a] == order->front[b] ||
                           order->front[a] == order->back[b] || order->back[a] == order->back[b])) {
                return sx_fail(err, SX_USAGE,
                               "a player has the serving places %d and %d of the order", a, b);
            }
        }
    }
    return SX_OK;
}

/* The slots that change as the team comes into a rotation; returns how many. */
static int changing(const SxOrder *order, int rotation, int *slots) {
    int count = 0, before = (rotation + SX_ROTATIONS - 1) % SX_ROTATIONS;
    for (int s = 0; s < SX_SLOTS; s++) {
        if (is_split(order, s) && sx_slot_row(s, rotation) != sx_slot_row(s, before)) {
            slots[count++] = s;
        }
    }
    return count;
}

static SxChangesEnd blocked(const SxRules *rules, const SxChanges *made, const int *by_slot,
                            const int *slots, int count) {
    for (int i = 0; i < count; i++) {
        if (rules->reentry == SX_REENTRY_ONCE_SAME_SUBSTITUTE &&
            by_slot[slots[i]] >= CHANGES_BY_ONE_STARTER) {
            return SX_ENDS_REENTRY;
        }
    }
    bool over = rules->substitutions != SX_UNLIMITED && made->count + count > rules->substitutions;
    return over ? SX_ENDS_LIMIT : SX_ENDS_NEVER;
}

/* Nothing changes after a cycle but the count, so an endless plan is listed once round. */
static bool listed_enough(const SxRules *rules, const SxChanges *made, int step) {
    bool endless =
        rules->substitutions == SX_UNLIMITED && rules->reentry != SX_REENTRY_ONCE_SAME_SUBSTITUTE;
    return made->per_cycle == 0 || (endless && step > SX_ROTATIONS) ||
           made->count + SX_SLOTS > SX_MAX_CHANGES;
}

SxStatus sx_changes(const SxOrder *order, int start, const SxRules *rules, SxChanges *out,
                    SxError *err) {
    int by_slot[SX_SLOTS] = {0}, slots[SX_SLOTS];
    memset(out, 0, sizeof *out);
    out->end_cycle = out->end_rotation = -1;
    out->whole_cycles = SX_UNLIMITED;
    if (start < 0 || start >= SX_ROTATIONS) {
        return sx_fail(err, SX_USAGE, "the starting rotation must be from 0 to 5, found %d", start);
    }
    SxStatus status = one_place_each(order, err);
    for (int s = 0; s < SX_SLOTS; s++) {
        out->per_cycle += is_split(order, s) ? SX_ROWS : 0;
    }
    for (int step = 1; status == SX_OK && !listed_enough(rules, out, step); step++) {
        int rotation = (start + step) % SX_ROTATIONS, cycle = (step - 1) / SX_ROTATIONS;
        int count = changing(order, rotation, slots);
        out->end = count ? blocked(rules, out, by_slot, slots, count) : SX_ENDS_NEVER;
        if (out->end != SX_ENDS_NEVER) {
            out->end_cycle = cycle;
            out->end_rotation = rotation;
            break;
        }
        for (int i = 0; i < count; i++) {
            int s = slots[i], in = due_in(order, s, rotation);
            int other = in == order->front[s] ? order->back[s] : order->front[s];
            out->change[out->count++] = (SxChange){cycle, rotation, s, other, in};
            by_slot[s]++;
        }
    }
    if (out->end != SX_ENDS_NEVER) {
        out->whole_cycles = out->count / out->per_cycle;
    }
    out->left =
        rules->substitutions == SX_UNLIMITED ? SX_UNLIMITED : rules->substitutions - out->count;
    sx_changes_six(order, start, out, out->count, out->stays);
    return status;
}

bool sx_changes_may_end(const SxChanges *changes, int n) {
    return n == 0 || n == changes->count ||
           changes->change[n].rotation != changes->change[n - 1].rotation ||
           changes->change[n].cycle != changes->change[n - 1].cycle;
}

void sx_changes_six(const SxOrder *order, int start, const SxChanges *changes, int n,
                    int six[SX_SLOTS]) {
    for (int s = 0; s < SX_SLOTS; s++) {
        six[s] = due_in(order, s, start);
    }
    for (int i = 0; i < n && i < changes->count; i++) {
        six[changes->change[i].slot] = changes->change[i].in;
    }
}
