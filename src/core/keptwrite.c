/* A plan file with a formation kept in it: the rest of the file stays as it is. */
#include "core/jsontidy.h"
#include "core/jsonwrite.h"
#include "core/numbers.h"
#include "core/text.h"
#include "core/wishsheet.h"
#include "sixturn/plan.h"

#include <math.h>
#include <string.h>

/* Whole centimetres, without what decimal fractions lose in binary. */
static double metres(double value) {
    return round(value * 100) / 100;
}

static void write_place(cJSON *list, const SxKeptPlace *place) {
    cJSON *item = sx_push_object(list);
    sx_put_number(item, "position", place->who.position);
    sx_put_number(item, "x", metres(place->spot.x));
    sx_put_number(item, "y", metres(place->spot.y));
    if (place->passes == 1) {
        sx_put_bool(item, "passes", true);
    }
    if (place->attacks_from >= 0) {
        sx_put_text(item, "attacks_from", sx_lane_name((SxLane)place->attacks_from));
    }
}

/* The list's entry of that rotation; NULL: none. */
static cJSON *entry_of(cJSON *list, int rotation) {
    cJSON *entry = NULL;
    cJSON_ArrayForEach(entry, list) {
        const cJSON *number = cJSON_GetObjectItemCaseSensitive(entry, "rotation");
        if (cJSON_IsNumber(number) && number->valueint == rotation + 1) {
            return entry;
        }
    }
    return NULL;
}

/* What was kept of the rotation in receive gives way; where the server stands is kept. */
static void put_formation(cJSON *plan, int rotation, const SxKept *kept) {
    static const char *const old[] = {"spots", "wishes", "drawn", "passers"};
    cJSON *list = cJSON_GetObjectItemCaseSensitive(plan, "formations");
    list = list ? list : sx_put_array(plan, "formations");
    cJSON *entry = entry_of(list, rotation);
    if (!entry) {
        entry = sx_push_object(list);
        sx_put_number(entry, "rotation", rotation + 1);
    }
    for (size_t k = 0; k < sizeof old / sizeof *old; k++) {
        cJSON_DeleteItemFromObjectCaseSensitive(entry, old[k]);
    }
    cJSON *spots = sx_put_array(entry, "spots");
    for (int k = 0; k < kept->count; k++) {
        write_place(spots, &kept->place[k]);
    }
}

static SxStatus put_system(cJSON *plan, const char *file, const char *system, SxError *err) {
    const cJSON *own = cJSON_GetObjectItemCaseSensitive(plan, "system");
    if (!own && system[0]) {
        sx_put_text(plan, "system", system);
    }
    if (own && system[0] && cJSON_IsString(own) && strcmp(own->valuestring, system) != 0) {
        sx_text_blame(err, file);
        return sx_fail(err, SX_USAGE,
                       "the plan is for the system %s, the formation for %s: keep it in another "
                       "file",
                       own->valuestring, system);
    }
    return SX_OK;
}

/* The tree is freed. NULL also if the tree lacks something for which there was no memory. */
static char *print(cJSON *plan) {
    char *plain = cJSON_PrintUnformatted(plan);
    char *text = plain ? sx_json_print(plan) : NULL;
    cJSON_free(plain);
    cJSON_Delete(plan);
    return text;
}

SxStatus sx_plan_keep(const char *text, size_t length, const char *file, const char *system,
                      int rotation, const SxKept *kept, char **out, SxError *err) {
    SX_PLAIN_NUMBERS;
    *out = NULL;
    if (file && sx_is_sheet_name(file)) {
        return sx_fail(err, SX_USAGE,
                       "a sheet of wishes holds no formations: keep them in a plan file in JSON");
    }
    cJSON *plan = text ? cJSON_ParseWithLength(text, length) : cJSON_CreateObject();
    if (!plan) {
        return sx_out_of_memory(err); /* the text has been read before */
    }
    if (!text) {
        sx_put_text(plan, "format", "sixturn-plan-1");
    }
    SxStatus status = put_system(plan, file, system, err);
    if (status == SX_OK) {
        put_formation(plan, rotation, kept);
        *out = print(plan);
        status = *out ? SX_OK : sx_out_of_memory(err);
    } else {
        cJSON_Delete(plan);
    }
    return status;
}
