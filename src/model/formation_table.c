/* The table of a system's receive formations: which are needed, and which are the same as others.
 */
#include "sixturn/formation.h"

#include "model/formation_ready.h"
#include "model/formation_table.h"

#include <stdlib.h>
#include <string.h>

struct SxFormationTable {
    int index[SX_ROTATIONS][SX_MASKS][SX_SIDES]; /* into formation, + 1; 0: not held */
    int count;
    SxFormation *formation;
};

const SxFormation *sx_formation_at(const SxFormationTable *table, int rotation, unsigned passers,
                                   int sides) {
    int index = passers < SX_MASKS ? table->index[rotation][passers][sides] : 0;
    return index ? &table->formation[index - 1] : NULL;
}

/* Does every position find the duty that it has now? Then the formation, too, is the same with the
 * twin player in each place. */
static bool looks_like(const SxSystem *system, int rotation, int earlier) {
    for (int position = 1; position <= SX_POSITIONS; position++) {
        int now = sx_slot_at(position, rotation);
        int then = sx_slot_at(position, earlier);
        SxRow row = sx_row_of(position);
        if ((now == system->setter_slot[rotation]) != (then == system->setter_slot[earlier]) ||
            !sx_same_duty(&system->duty[now][row], &system->duty[then][row])) {
            return false;
        }
    }
    return true;
}

/* The formation of an earlier rotation, with each slot's values moved to the slot now in its place.
 */
static void turn(const SxFormation *from, int earlier, int rotation, unsigned passers,
                 SxFormation *out) {
    *out = *from;
    out->passers = passers;
    for (int position = 1; position <= SX_POSITIONS; position++) {
        int now = sx_slot_at(position, rotation);
        int then = sx_slot_at(position, earlier);
        out->spot[now] = from->spot[then];
        out->lane[now] = from->lane[then];
        out->run[now] = from->run[then];
        out->late[now] = from->late[then];
    }
}

static unsigned turned_mask(unsigned mask, int by) {
    unsigned all = (1u << SX_SLOTS) - 1;
    return by ? ((mask << (SX_SLOTS - by)) | (mask >> by)) & all : mask;
}

static SxStatus solve_or_turn(const SxFormationTable *table, const SxSystem *system, int rotation,
                              unsigned mask, const SxFormationOptions *options, SxFormation *out,
                              SxError *err) {
    for (int earlier = 0; earlier < rotation; earlier++) {
        unsigned twin = turned_mask(mask, rotation - earlier);
        const SxFormation *known = sx_formation_at(table, earlier, twin, options->sides);
        if (known && looks_like(system, rotation, earlier)) {
            turn(known, earlier, rotation, mask, out);
            return SX_OK;
        }
    }
    return sx_formation_receive(system, rotation, mask, options, out, err);
}

/* Room for one formation more. */
static SxStatus grow(SxFormationTable *table, SxError *err) {
    enum { FIRST_ROOM = 64 };
    if (!table->formation || (table->count >= FIRST_ROOM && !(table->count & (table->count - 1)))) {
        size_t room = table->count ? 2 * (size_t)table->count : FIRST_ROOM;
        SxFormation *more = realloc(table->formation, room * sizeof *more);
        if (!more) {
            return sx_out_of_memory(err);
        }
        table->formation = more;
    }
    return SX_OK;
}

static SxStatus add(SxFormationTable *table, const SxSystem *system, int rotation, unsigned mask,
                    const SxFormationOptions *options, SxError *err) {
    if (sx_formation_at(table, rotation, mask, options->sides)) {
        return SX_OK;
    }
    SxStatus status = grow(table, err);
    if (status == SX_OK) {
        status = solve_or_turn(table, system, rotation, mask, options,
                               &table->formation[table->count], err);
    }
    if (status == SX_OK) {
        table->index[rotation][mask][options->sides] = ++table->count;
    }
    return status;
}

static bool is_asked(const SxSystem *system, int rotation, int sides,
                     const SxFormationOptions *asked) {
    int usual = asked->sides == SX_USUAL_SIDES ? sx_usual_sides(system, rotation) : asked->sides;
    return sides == usual ||
           (asked->every_side && sx_sides_are_open(system, rotation, sides, asked->terms));
}

/* Takes over what was computed when the program was built, if it was for the same. */
static SxStatus take_ready(SxFormationTable *table, const SxSystem *system, unsigned sizes,
                           const SxFormationOptions *asked, SxError *err) {
    const int32_t *data =
        asked->wishes ? NULL : sx_ready_find(sx_ready_key(system, asked->terms, asked->margin));
    ReadyEntry entry = {0, 0, SX_SIDES};
    while (data && sx_ready_next(system, asked->terms, &entry)) {
        SxFormation formation;
        data += sx_ready_unpack(system, &entry, data, &formation);
        if (!(sizes >> sx_count_members(entry.passers) & 1) ||
            !is_asked(system, entry.rotation, entry.sides, asked)) {
            continue;
        }
        SxStatus status = grow(table, err);
        if (status != SX_OK) {
            return status;
        }
        table->formation[table->count++] = formation;
        table->index[entry.rotation][entry.passers][entry.sides] = table->count;
    }
    return SX_OK;
}

static SxStatus fill_rotation(SxFormationTable *table, const SxSystem *system, int rotation,
                              unsigned sizes, bool setter_passes, const SxFormationOptions *asked,
                              SxError *err) {
    SxFormationOptions options = *asked;
    SxStatus status = SX_OK;
    for (unsigned mask = 1; mask < SX_MASKS && status == SX_OK; mask++) {
        int size = sx_count_members(mask);
        bool with_setter = mask >> system->setter_slot[rotation] & 1;
        if (size < SX_MIN_PASSERS || size > SX_MAX_PASSERS || !(sizes >> size & 1) ||
            (with_setter && !setter_passes)) {
            continue;
        }
        for (int sides = 0; sides < SX_SIDES && status == SX_OK; sides++) {
            if (sx_work_over(asked->work)) {
                return sx_fail(err, SX_OUT_OF_TIME,
                               "not all formations were worked out within the time limit");
            }
            if (is_asked(system, rotation, sides, asked)) {
                options.sides = sides;
                status = add(table, system, rotation, mask, &options, err);
            }
        }
    }
    return status;
}

SxStatus sx_formation_table_build(const SxSystem *system, unsigned sizes, bool setter_passes,
                                  const SxFormationOptions *options, SxFormationTable **table,
                                  SxError *err) {
    SxFormationOptions asked;
    SxFormationTerms terms;
    sx_formation_default(&asked);
    asked = options ? *options : asked;
    SxFormationTable *made = calloc(1, sizeof *made);
    if (!made) {
        return sx_out_of_memory(err);
    }
    SxStatus status = SX_OK;
    if (!asked.terms) {
        status = sx_formation_terms_load(NULL, &terms, err);
        asked.terms = &terms;
    }
    if (status == SX_OK) {
        status = take_ready(made, system, sizes, &asked, err);
    }
    for (int r = 0; r < SX_ROTATIONS && status == SX_OK; r++) {
        status = fill_rotation(made, system, r, sizes, setter_passes, &asked, err);
    }
    if (status != SX_OK) {
        sx_formation_table_free(made);
        return status;
    }
    *table = made;
    return SX_OK;
}

SxStatus sx_formation_table_copy(const SxFormationTable *from, SxFormationTable **table,
                                 SxError *err) {
    SxFormationTable *made = malloc(sizeof *made);
    if (!made) {
        return sx_out_of_memory(err);
    }
    *made = *from;
    made->count = 0;
    made->formation = NULL;
    for (int k = 0; k < from->count; k++) {
        SxStatus status = grow(made, err);
        if (status != SX_OK) {
            sx_formation_table_free(made);
            return status;
        }
        made->formation[made->count++] = from->formation[k];
    }
    *table = made;
    return SX_OK;
}

bool sx_table_holds(const SxFormationTable *table, int rotation, int sides) {
    bool any = false;
    for (unsigned mask = 0; mask < SX_MASKS; mask++) {
        any |= table->index[rotation][mask][sides] > 0;
    }
    return any;
}

void sx_table_clear(SxFormationTable *table, int rotation) {
    memset(table->index[rotation], 0, sizeof table->index[rotation]);
}

SxStatus sx_table_put(SxFormationTable *table, int rotation, const SxFormation *formation,
                      SxError *err) {
    SxStatus status = grow(table, err);
    if (status == SX_OK) {
        table->formation[table->count++] = *formation;
        table->index[rotation][formation->passers][formation->sides] = table->count;
    }
    return status;
}

void sx_formation_table_free(SxFormationTable *table) {
    if (table) {
        free(table->formation);
        free(table);
    }
}
