/* Playing systems: reading "sixturn-system-1" files, shipped or the coach's own. */
#include "sixturn/system.h"

#include "core/embedded.h"
#include "core/jsonread.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { CENTIMETRES = 100 };
static const double rounding = 1e-6;      /* centimetres: what decimal fractions lose in binary */
static const double most_tolerance = 3.0; /* metres; more would let a passer leave her third */

static const char *const lane_words[SX_LANES] = {"left", "centre", "right"};
static const char *const row_words[SX_ROWS] = {"front", "back"};

int sx_system_count(void) {
    return sx_embedded_systems_count;
}

const char *sx_system_id(int index) {
    return index >= 0 && index < sx_embedded_systems_count ? sx_embedded_systems[index].id : NULL;
}

/* Metres, whole centimetres: the formation program counts in those. */
static void read_metres(const SxJsonAt *at, double most, double *out) {
    double value = 0;
    sx_json_number(at, 0, most, &value);
    if (!sx_json_given(at)) {
        return;
    }
    double centimetres = round(value * CENTIMETRES);
    if (fabs(value * CENTIMETRES - centimetres) > rounding) {
        sx_json_wrong(at, "metres in whole centimetres (at most two decimals)");
        return;
    }
    *out = centimetres / CENTIMETRES;
}

static void read_pair(const SxJsonAt *at, double most_x, double most_y, double *x, double *y) {
    if (!sx_json_array(at, 2, 2)) {
        return;
    }
    SxJsonAt part = sx_json_first(at);
    read_metres(&part, most_x, x);
    sx_json_next(&part);
    if (part.item) {
        read_metres(&part, most_y, y);
    }
}

static void read_spot(const SxJsonAt *at, SxSpot *spot) {
    read_pair(at, SX_COURT_WIDTH, SX_COURT_DEPTH, &spot->x, &spot->y);
}

/* Roles that a slot of the order can have; the libero comes in for one. */
static void read_role(const SxJsonAt *at, SxRow row, SxRole *role) {
    const char *words[SX_ROLE_COUNT];
    for (int i = 0; i < SX_ROLE_COUNT; i++) {
        words[i] = sx_role_name((SxRole)i);
    }
    int word = sx_json_word(at, "role", words, SX_ROLE_COUNT);
    if (word < 0) {
        return;
    }
    *role = (SxRole)word;
    if (*role == SX_LIBERO) {
        sx_json_fail(at, "a libero has no place in the serving order, but comes in for a player of "
                         "the back row");
    } else if (*role == SX_SPECIALIST && row == SX_FRONT) {
        sx_json_fail(at, "a specialist plays in the back row only");
    }
}

static void read_half(const SxJsonAt *at, SxRow row, SxDuty *duty) {
    enum { ROLE, LANE, ATTACKS, BASE, TASK, FIELDS };
    static const char *const keys[FIELDS] = {"role", "lane", "attacks", "base", "task"};
    SxJsonAt member[FIELDS];
    sx_json_members(at, keys, FIELDS, member);
    read_role(&member[ROLE], row, &duty->role);
    int lane = sx_json_word(&member[LANE], "lane", lane_words, SX_LANES);
    duty->lane = lane >= 0 ? (SxLane)lane : SX_LEFT;
    sx_json_bool(&member[ATTACKS], &duty->attacks);
    read_spot(&member[BASE], &duty->base);
    duty->task = duty->base;
    if (sx_json_given(&member[TASK])) {
        read_spot(&member[TASK], &duty->task);
    } else if (row == SX_FRONT) {
        sx_json_wrong(&member[TASK], "a spot [x, y] in metres");
    }
}

typedef struct {
    const char *name; /* borrowed from the document */
    SxDuty half[SX_ROWS];
    bool split, used;
} NamedDuty;

static void read_duty(const SxJsonAt *at, NamedDuty *duty) {
    enum { FRONT, BACK, SPLIT, FIELDS };
    static const char *const keys[FIELDS] = {"front", "back", "split"};
    SxJsonAt member[FIELDS];
    sx_json_members(at, keys, FIELDS, member);
    read_half(&member[FRONT], SX_FRONT, &duty->half[SX_FRONT]);
    read_half(&member[BACK], SX_BACK, &duty->half[SX_BACK]);
    if (sx_json_given(&member[SPLIT])) {
        sx_json_bool(&member[SPLIT], &duty->split);
    }
}

static int read_duties(const SxJsonAt *at, NamedDuty *duties) {
    int count = 0;
    if (!sx_json_map(at, 1, SX_SLOTS)) {
        return 0;
    }
    for (SxJsonAt duty = sx_json_first(at); duty.item; sx_json_next(&duty)) {
        duties[count].name = duty.key;
        read_duty(&duty, &duties[count++]);
    }
    return count;
}

static void check_all_used(const SxJsonAt *at, const NamedDuty *duties) {
    for (SxJsonAt duty = sx_json_first(at); duty.item; sx_json_next(&duty)) {
        if (!duties[duty.index].used) {
            sx_json_fail(&duty, "none of the slots has this duty");
        }
    }
}

/* Two players of one row with one lane would stand in each other's way. */
static void check_lanes(const SxJsonAt *slots, const SxSystem *system) {
    for (int r = 0; r < SX_ROTATIONS; r++) {
        for (int a = 0; a < SX_SLOTS; a++) {
            for (int b = 0; b < a; b++) {
                SxRow row = sx_slot_row(a, r);
                if (row == sx_slot_row(b, r) &&
                    system->duty[a][row].lane == system->duty[b][row].lane) {
                    sx_json_fail(slots,
                                 "slots %d and %d are together in the %s row (rotation %d) and "
                                 "both have the lane '%s'; each needs a lane of its own",
                                 b, a, row_words[row], r + 1,
                                 lane_words[system->duty[a][row].lane]);
                    return;
                }
            }
        }
    }
}

static void read_slots(const SxJsonAt *at, NamedDuty *duties, int count, SxSystem *system) {
    const char *names[SX_SLOTS] = {NULL};
    for (int i = 0; i < count; i++) {
        names[i] = duties[i].name;
    }
    if (!sx_json_array(at, SX_SLOTS, SX_SLOTS)) {
        return;
    }
    for (SxJsonAt slot = sx_json_first(at); slot.item; sx_json_next(&slot)) {
        int found = sx_json_word(&slot, "duty", names, count);
        if (found < 0) {
            return;
        }
        duties[found].used = true;
        memcpy(system->duty[slot.index], duties[found].half, sizeof duties[found].half);
        system->split[slot.index] = duties[found].split;
    }
    check_lanes(at, system);
}

static void read_setters(const SxJsonAt *at, SxSystem *system) {
    if (!sx_json_array(at, SX_ROTATIONS, SX_ROTATIONS)) {
        return;
    }
    for (SxJsonAt turn = sx_json_first(at); turn.item; sx_json_next(&turn)) {
        int slot = 0;
        sx_json_integer(&turn, 0, SX_SLOTS - 1, &slot);
        SxRow row = sx_slot_row(slot, turn.index);
        SxRole role = system->duty[slot][row].role;
        if (role != SX_SETTER) {
            sx_json_fail(&turn,
                         "slot %d has the role '%s' in the %s row, where it is in rotation %d; a "
                         "setter must set",
                         slot, sx_role_name(role), row_words[row], turn.index + 1);
        }
        system->setter_slot[turn.index] = slot;
    }
}

static void read_lane_spots(const SxJsonAt *at, int passers, SxSpot *spots) {
    if (!sx_json_array(at, passers, passers)) {
        return;
    }
    for (SxJsonAt spot = sx_json_first(at); spot.item; sx_json_next(&spot)) {
        read_spot(&spot, &spots[spot.index]);
        if (spot.index > 0 && spots[spot.index].x <= spots[spot.index - 1].x) {
            sx_json_fail(&spot,
                         "the spots must go from left to right: x must be more than %.2f, "
                         "found %.2f",
                         spots[spot.index - 1].x, spots[spot.index].x);
        }
    }
}

static void read_lanes(const SxJsonAt *at, SxSystem *system) {
    static const char *const keys[] = {"2", "3", "4", "5"};
    enum { SIZES = SX_MAX_PASSERS - SX_MIN_PASSERS + 1 };
    SxJsonAt member[SIZES];
    sx_json_members(at, keys, SIZES, member);
    for (int i = 0; i < SIZES; i++) {
        int passers = SX_MIN_PASSERS + i;
        read_lane_spots(&member[i], passers, system->lanes[passers]);
    }
}

static void read_system(const SxJsonAt *root, void *value, const void *context) {
    enum { FORMAT, ID, NAME, SOURCE, DUTIES, SLOTS, SETTERS, TARGET, LANES, TOLERANCE, FIELDS };
    static const char *const keys[FIELDS] = {"format",
                                             "id",
                                             "name",
                                             "source",
                                             "duties",
                                             "slots",
                                             "setters_by_rotation",
                                             "setting_target",
                                             "lanes",
                                             "lane_tolerance"};
    SxJsonAt at[FIELDS];
    NamedDuty duties[SX_SLOTS];
    memset(duties, 0, sizeof duties);
    SxSystem *system = value;
    (void)context;
    sx_json_members(root, keys, FIELDS, at);
    sx_json_id(&at[ID], system->id, sizeof system->id);
    sx_json_text(&at[NAME], system->name, sizeof system->name);
    sx_json_text(&at[SOURCE], system->source, sizeof system->source);
    int count = read_duties(&at[DUTIES], duties);
    read_slots(&at[SLOTS], duties, count, system);
    check_all_used(&at[DUTIES], duties);
    read_setters(&at[SETTERS], system);
    read_spot(&at[TARGET], &system->setting_target);
    read_lanes(&at[LANES], system);
    read_pair(&at[TOLERANCE], most_tolerance, most_tolerance, &system->lane_tolerance_x,
              &system->lane_tolerance_y);
}

SxStatus sx_system_parse(const char *text, size_t length, const char *file, SxSystem *system,
                         SxError *err) {
    static const SxJsonKind kind = {"sixturn-system-1", sizeof *system, read_system};
    return sx_json_parse(&kind, text, length, file, NULL, system, err);
}

SxStatus sx_system_load(const char *id_or_file, SxSystem *system, SxError *err) {
    char *text = NULL, shown[SX_ERROR_FILE];
    size_t length = 0;
    SxStatus status = sx_embedded_find(sx_embedded_systems, sx_embedded_systems_count, "system",
                                       id_or_file, &text, &length, shown, sizeof shown, err);
    if (status == SX_OK) {
        status = sx_system_parse(text, length, shown, system, err);
    }
    free(text);
    return status;
}

static bool same_spot(SxSpot a, SxSpot b) {
    return a.x == b.x && a.y == b.y;
}

bool sx_same_duty(const SxDuty *a, const SxDuty *b) {
    return a->role == b->role && a->lane == b->lane && a->attacks == b->attacks &&
           same_spot(a->base, b->base) && same_spot(a->task, b->task);
}

int sx_front_attackers(const SxSystem *system, int rotation) {
    int count = 0;
    for (int s = 0; s < SX_SLOTS; s++) {
        count += sx_slot_row(s, rotation) == SX_FRONT && s != system->setter_slot[rotation] &&
                 system->duty[s][SX_FRONT].attacks;
    }
    return count;
}

bool sx_system_splits(const SxSystem *system) {
    for (int s = 0; s < SX_SLOTS; s++) {
        if (system->split[s]) {
            return true;
        }
    }
    return false;
}

bool sx_system_is_mirrored(const SxSystem *system) {
    enum { HALF = SX_SLOTS / 2 };
    for (int i = 0; i < HALF; i++) {
        if (system->split[i] != system->split[i + HALF] ||
            system->setter_slot[i + HALF] != sx_opposite_slot(system->setter_slot[i])) {
            return false;
        }
        for (int row = 0; row < SX_ROWS; row++) {
            if (!sx_same_duty(&system->duty[i][row], &system->duty[i + HALF][row])) {
                return false;
            }
        }
    }
    return true;
}
