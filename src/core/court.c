/* Court geometry, rotation arithmetic and the names of the trade's enumerations. */
#include "sixturn/court.h"

#include <assert.h>
#include <math.h>
#include <stddef.h>

const SxOrderPair sx_order_pairs[SX_ORDER_PAIRS] = {
    {SX_SIDEWAYS, 4, 3}, {SX_SIDEWAYS, 3, 2}, {SX_SIDEWAYS, 5, 6}, {SX_SIDEWAYS, 6, 1},
    {SX_DEPTH, 2, 1},    {SX_DEPTH, 3, 6},    {SX_DEPTH, 4, 5},
};

const char *sx_role_name(SxRole role) {
    static const char *const names[SX_ROLE_COUNT] = {"setter",   "outside", "middle",
                                                     "opposite", "libero",  "specialist"};
    return (unsigned)role < SX_ROLE_COUNT ? names[role] : NULL;
}

const char *sx_skill_name(SxSkill skill) {
    static const char *const names[SX_SKILL_COUNT] = {"passing",  "setting", "attacking",
                                                      "blocking", "serving", "digging"};
    return (unsigned)skill < SX_SKILL_COUNT ? names[skill] : NULL;
}

const char *sx_lane_name(SxLane lane) {
    static const char *const names[SX_LANES] = {"left", "centre", "right"};
    return (unsigned)lane < SX_LANES ? names[lane] : NULL;
}

char sx_role_letter(SxRole role) {
    return "SOMXLD"[role];
}

int sx_position(int slot, int rotation) {
    return (slot - rotation + SX_SLOTS) % SX_SLOTS + 1;
}

int sx_slot_at(int position, int rotation) {
    return (position - 1 + rotation) % SX_SLOTS;
}

SxRow sx_row_of(int position) {
    return position >= 2 && position <= 4 ? SX_FRONT : SX_BACK;
}

SxRow sx_slot_row(int slot, int rotation) {
    return sx_row_of(sx_position(slot, rotation));
}

int sx_back_turn(int slot, int rotation) {
    int turn = (rotation - slot + SX_SLOTS) % SX_SLOTS;
    return turn < SX_BACK_TURNS ? turn : -1;
}

int sx_count_members(unsigned mask) {
    int count = 0;
    for (; mask; mask &= mask - 1) {
        count++;
    }
    return count;
}

int sx_opposite_slot(int slot) {
    return (slot + SX_SLOTS / 2) % SX_SLOTS;
}

const char *sx_position_name(int position) {
    static const char *const names[SX_POSITIONS] = {"right back", "right front", "middle front",
                                                    "left front", "left back",   "middle back"};
    assert(position >= 1 && position <= SX_POSITIONS);
    return names[position - 1];
}

const char *sx_roman(int position) {
    static const char *const names[SX_POSITIONS] = {"I", "II", "III", "IV", "V", "VI"};
    assert(position >= 1 && position <= SX_POSITIONS);
    return names[position - 1];
}

double sx_distance(SxSpot a, SxSpot b) {
    return hypot(a.x - b.x, a.y - b.y);
}
