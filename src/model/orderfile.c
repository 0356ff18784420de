/* Reading the order out of a plan's result ("sixturn-plan-result-1"). */
#include "sixturn/orderfile.h"
#include "core/jsonread.h"
#include "core/teamread.h"

#include <stdio.h>
#include <string.h>

static const char RESULT_FORMAT[] = "sixturn-plan-result-1";

/* Members that are not needed may be there, so objects are not read strictly. */
static SxJsonAt member(const SxJsonAt *at, const char *key) {
    const cJSON *item =
        cJSON_IsObject(at->item) ? cJSON_GetObjectItemCaseSensitive(at->item, key) : NULL;
    return (SxJsonAt){at->document, at, key, 0, item};
}

static bool needed(const SxJsonAt *at) {
    if (!at->item) {
        sx_json_fail(at, "is missing");
    }
    return !sx_json_failed(at);
}

SxStatus sx_order_file_is_result(const char *text, size_t length, const char *file, bool *is_result,
                                 SxError *err) {
    SxJson document;
    SxStatus status = sx_json_open(&document, text, length, file, err);
    if (status == SX_OK) {
        SxJsonAt root = sx_json_root(&document);
        SxJsonAt format = member(&root, "format");
        const char *said = cJSON_GetStringValue(format.item);
        *is_result = said && strcmp(said, RESULT_FORMAT) == 0;
    }
    sx_json_close(&document);
    return status;
}

static void read_slot(const SxJsonAt *at, const SxTeam *team, SxOrder *order, bool *given) {
    SxJsonAt number = member(at, "slot");
    SxJsonAt front = member(at, "front");
    SxJsonAt back = member(at, "back");
    if (!needed(&number) || !needed(&front) || !needed(&back)) {
        return;
    }
    int slot = 0;
    sx_json_integer(&number, 0, SX_SLOTS - 1, &slot);
    if (!sx_json_failed(at) && given[slot]) {
        sx_json_fail(&number, "the slot %d is given twice", slot);
    }
    given[slot] = true;
    order->front[slot] = sx_team_read_player(&front, team);
    order->back[slot] = sx_team_read_player(&back, team);
}

static void read_order(const SxJsonAt *at, const SxTeam *team, SxOrder *order) {
    bool given[SX_SLOTS] = {false};
    if (!needed(at) || !sx_json_array(at, SX_SLOTS, SX_SLOTS)) {
        return;
    }
    for (SxJsonAt slot = sx_json_first(at); slot.item; sx_json_next(&slot)) {
        read_slot(&slot, team, order, given);
    }
    for (int s = 0; s < SX_SLOTS && !sx_json_failed(at); s++) {
        for (int t = 0; t < s; t++) {
            if (order->front[s] == order->front[t] || order->front[s] == order->back[t] ||
                order->back[s] == order->front[t] || order->back[s] == order->back[t]) {
                sx_json_fail(at, "a player has two places of the order (slots %d and %d)", t, s);
            }
        }
    }
}

static void read_passers(const SxJsonAt *rotations, const SxTeam *team, SxOrderFile *out) {
    if (!needed(rotations) || !sx_json_array(rotations, SX_ROTATIONS, SX_ROTATIONS)) {
        return;
    }
    for (SxJsonAt at = sx_json_first(rotations); at.item; sx_json_next(&at)) {
        SxJsonAt receive = member(&at, "receive");
        SxJsonAt list = member(&receive, "passers");
        if (needed(&list) && sx_json_array(&list, SX_MIN_PASSERS, SX_MAX_PASSERS)) {
            out->passers |= 1u << cJSON_GetArraySize(list.item);
            for (SxJsonAt who = sx_json_first(&list); who.item; sx_json_next(&who)) {
                const int player = sx_team_read_player(&who, team);
                out->passing[at.index] |= player >= 0 ? (uint64_t)1 << player : 0;
            }
        }
    }
}

static void read_result(const SxJsonAt *root, void *value, const void *context) {
    const SxTeam *team = context;
    SxOrderFile *out = value;
    SxJsonAt system = member(root, "system");
    SxJsonAt start = member(root, "start_rotation");
    SxJsonAt order = member(root, "order");
    SxJsonAt rotations = member(root, "rotations");
    if (needed(&system)) {
        sx_json_text(&system, out->system, sizeof out->system);
    }
    if (needed(&start)) {
        int rotation = 1;
        sx_json_integer(&start, 1, SX_ROTATIONS, &rotation);
        out->start = rotation - 1;
    }
    read_order(&order, team, &out->order);
    read_passers(&rotations, team, out);
}

SxStatus sx_order_file_parse(const char *text, size_t length, const char *file, const SxTeam *team,
                             SxOrderFile *out, SxError *err) {
    static const SxJsonKind kind = {RESULT_FORMAT, sizeof *out, read_result};
    return sx_json_parse(&kind, text, length, file, team, out, err);
}
