/* Formation tables computed at build time: their order, their key, and how a formation is packed.
 */
#include "model/formation_ready.h"

#include "model/formation_job.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum { SPOT_BITS = 10, SPOT_MASK = (1 << SPOT_BITS) - 1 };

static const int grains_of_terms = 1000; /* costs come in thousandths, rooms in hundredths */

/* FNV-1a, 64 bits (Fowler, Noll, Vo; from memory). */
static uint64_t mix(uint64_t key, int value) {
    static const uint64_t prime = 1099511628211u;
    for (int byte = 0; byte < (int)sizeof value; byte++) {
        key = (key ^ ((unsigned)value >> 8 * byte & 0xffu)) * prime;
    }
    return key;
}

static uint64_t mix_metres(uint64_t key, double metres) {
    return mix(key, (int)lround(metres * grains_of_terms));
}

static uint64_t mix_spot(uint64_t key, SxSpot spot) {
    return mix_metres(mix_metres(key, spot.x), spot.y);
}

static uint64_t mix_duty(uint64_t key, const SxDuty *duty) {
    key = mix(mix(mix(key, (int)duty->role), (int)duty->lane), duty->attacks);
    return mix_spot(mix_spot(key, duty->base), duty->task);
}

uint64_t sx_ready_key(const SxSystem *system, const SxFormationTerms *terms, double margin) {
    uint64_t key = 14695981039346656037u;
    for (int s = 0; s < SX_SLOTS; s++) {
        for (int row = 0; row < SX_ROWS; row++) {
            key = mix_duty(key, &system->duty[s][row]);
        }
        key = mix(key, system->setter_slot[s]); /* as many rotations as slots */
    }
    key = mix_spot(key, system->setting_target);
    for (int n = SX_MIN_PASSERS; n <= SX_MAX_PASSERS; n++) {
        for (int lane = 0; lane < n; lane++) {
            key = mix_spot(key, system->lanes[n][lane]);
        }
    }
    key = mix_metres(mix_metres(key, system->lane_tolerance_x), system->lane_tolerance_y);
    for (int k = 0; k < SX_COST_COUNT; k++) {
        key = mix_metres(key, terms->cost[k]);
    }
    for (int k = 0; k < SX_ROOM_COUNT; k++) {
        key = mix_metres(key, terms->room[k]);
    }
    return mix_metres(key, margin);
}

const int32_t *sx_ready_find(uint64_t key) {
    for (int k = 0; k < sx_ready_table_count; k++) {
        if (sx_ready_tables[k].key == key) {
            return sx_ready_tables[k].data;
        }
    }
    return NULL;
}

bool sx_ready_next(const SxSystem *system, const SxFormationTerms *terms, ReadyEntry *entry) {
    for (;;) {
        if (++entry->sides >= SX_SIDES) {
            entry->sides = 0;
            if (++entry->passers >= SX_MASKS) {
                entry->passers = 1;
                if (++entry->rotation >= SX_ROTATIONS) {
                    return false;
                }
            }
        }
        int size = sx_count_members(entry->passers);
        if (size >= SX_MIN_PASSERS && size <= SX_MAX_PASSERS &&
            !(entry->passers >> system->setter_slot[entry->rotation] & 1) &&
            (entry->sides == sx_usual_sides(system, entry->rotation) ||
             sx_sides_are_open(system, entry->rotation, entry->sides, terms))) {
            return true;
        }
    }
}

int sx_ready_pack(int rotation, const SxFormation *formation, int32_t out[READY_NUMBERS]) {
    if (!formation->feasible) {
        for (int k = 0; k < JOB_REASONS; k++) {
            if (strcmp(formation->reason, sx_job_reasons[k]) == 0) {
                out[0] = -(k + 1);
            }
        }
        return 1;
    }
    int spot[AXES][SX_POSITIONS];
    sx_job_spots(formation->spot, rotation, spot);
    out[0] = (int32_t)llround(formation->cost * GRAINS_A_METRE);
    for (int i = 0; i < SX_POSITIONS; i++) {
        int lane = formation->lane[sx_slot_at(i + 1, rotation)] + 1;
        out[1 + i] = (lane << 2 * SPOT_BITS) | (spot[AXIS_X][i] << SPOT_BITS) | spot[AXIS_Y][i];
    }
    return READY_NUMBERS;
}

int sx_ready_unpack(const SxSystem *system, const ReadyEntry *entry, const int32_t *data,
                    SxFormation *out) {
    memset(out, 0, sizeof *out);
    out->passers = entry->passers;
    if (data[0] < 0) {
        snprintf(out->reason, sizeof out->reason, "%s", sx_job_reasons[-data[0] - 1]);
        return 1;
    }
    Request request = {.system = system,
                       .rotation = entry->rotation,
                       .phase = SX_RECEIVE,
                       .sides = entry->sides,
                       .bound = true};
    int spot[AXES][SX_POSITIONS];
    for (int i = 0; i < SX_POSITIONS; i++) {
        spot[AXIS_X][i] = data[1 + i] >> SPOT_BITS & SPOT_MASK;
        spot[AXIS_Y][i] = data[1 + i] & SPOT_MASK;
        request.lane[i] = (data[1 + i] >> 2 * SPOT_BITS) - 1;
    }
    sx_job_describe(&request, spot, out);
    out->optimal = true;
    out->cost = out->bound = (double)data[0] / GRAINS_A_METRE;
    return READY_NUMBERS;
}
