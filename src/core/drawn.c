/* Formations that a coach draws: reading "sixturn-formation-1" files. */
#include "sixturn/drawn.h"

#include "core/jsonread.h"
#include "core/text.h"

#include <stdlib.h>
#include <string.h>

static const char format_word[] = "sixturn-formation-1";

/* Metres; a spot off the court is a fault to be told, not a broken file. */
static const double least_metres = -10.0, most_metres = 20.0;

enum { FORMAT, LABEL, RULES, ROTATION, ORDER, PHASE, SERVER, LIBEROS, PLAYERS, FIELDS };
static const char *const formation_keys[FIELDS] = {
    "format", "label", "rules", "rotation", "order", "phase", "server", "liberos", "players"};

/* A player as the file gives her, before it is known where she stands. */
typedef struct {
    SxDrawnPlayer who;
    int position; /* 0: not given */
    SxSpot spot;
    double reach;
} Entry;

static void read_shirt(const SxJsonAt *at, int *out) {
    sx_json_integer(at, 0, SX_MAX_SHIRT, out);
}

/* A list of different shirt numbers. */
static int read_shirts(const SxJsonAt *at, int least, int most, int *out) {
    int count = 0;
    if (!sx_json_array(at, least, most)) {
        return 0;
    }
    for (SxJsonAt e = sx_json_first(at); e.item; sx_json_next(&e)) {
        read_shirt(&e, &out[count]);
        for (int i = 0; i < count && sx_json_given(&e); i++) {
            if (out[i] == out[count]) {
                sx_json_fail(&e, "number %d is there twice", out[count]);
            }
        }
        count++;
    }
    return count;
}

static void read_player(const SxJsonAt *at, Entry *entry) {
    enum { NUMBER, NAME, POSITION, X, Y, REACH, FOR, MEMBERS };
    static const char *const keys[MEMBERS] = {"number", "name",  "position", "x",
                                              "y",      "reach", "for"};
    SxJsonAt member[MEMBERS];
    *entry = (Entry){.who.stands_for = SX_NOBODY};
    sx_json_members(at, keys, MEMBERS, member);
    read_shirt(&member[NUMBER], &entry->who.number);
    if (sx_json_given(&member[NAME])) {
        sx_json_text(&member[NAME], entry->who.name, sizeof entry->who.name);
    }
    if (sx_json_given(&member[POSITION])) {
        sx_json_integer(&member[POSITION], 1, SX_POSITIONS, &entry->position);
    }
    sx_json_number(&member[X], least_metres, most_metres, &entry->spot.x);
    sx_json_number(&member[Y], least_metres, most_metres, &entry->spot.y);
    if (sx_json_given(&member[REACH])) {
        sx_json_number(&member[REACH], 0, SX_MAX_REACH, &entry->reach);
    }
    if (sx_json_given(&member[FOR])) {
        read_shirt(&member[FOR], &entry->who.stands_for);
        if (entry->who.stands_for == entry->who.number) {
            sx_json_fail(&member[FOR], "number %d cannot stand in for herself", entry->who.number);
        }
    }
}

static int slot_of(const SxDrawn *drawn, int number) {
    for (int s = 0; s < SX_SLOTS; s++) {
        if (drawn->order[s] == number) {
            return s;
        }
    }
    return -1;
}

static int counts_as(const SxDrawnPlayer *who) {
    return who->stands_for == SX_NOBODY ? who->number : who->stands_for;
}

/* The position that the order gives a player who states none. */
static void place_by_order(const SxJsonAt *at, const SxDrawn *drawn, Entry *entry) {
    int slot = drawn->rotation < 0 ? -1 : slot_of(drawn, counts_as(&entry->who));
    if (drawn->rotation >= 0 && slot < 0 && !sx_json_failed(at)) {
        if (entry->who.stands_for == SX_NOBODY) {
            sx_json_fail(at, "number %d is not in the order; say whom she stands in for (\"for\")",
                         entry->who.number);
        } else {
            sx_json_fail(at, "number %d stands in for number %d, who is not in the order",
                         entry->who.number, entry->who.stands_for);
        }
    }
    if (entry->position == 0 && drawn->rotation < 0) {
        sx_json_fail(at, "needs a \"position\" (1 to 6), for the formation has no \"order\"");
    }
    if (entry->position == 0 && slot >= 0) {
        entry->position = sx_position(slot, drawn->rotation);
    }
}

static bool is_libero(const SxDrawn *drawn, int number) {
    for (int i = 0; i < drawn->libero_count; i++) {
        if (drawn->liberos[i] == number) {
            return true;
        }
    }
    return false;
}

static void put(const SxJsonAt *at, SxDrawn *drawn, bool *taken, const Entry *entry) {
    if (sx_json_failed(at)) {
        return;
    }
    int i = entry->position - 1;
    for (int other = 0; other < SX_POSITIONS; other++) {
        if (taken[other] && drawn->player[other].number == entry->who.number) {
            sx_json_fail(at, "number %d is there twice", entry->who.number);
            return;
        }
        if (taken[other] && drawn->stance.player[other] == counts_as(&entry->who)) {
            sx_json_fail(at, "numbers %d and %d both stand for number %d",
                         drawn->player[other].number, entry->who.number, counts_as(&entry->who));
            return;
        }
    }
    if (taken[i]) {
        sx_json_fail(at, "position %d is taken by number %d already", entry->position,
                     drawn->player[i].number);
        return;
    }
    taken[i] = true;
    drawn->player[i] = entry->who;
    drawn->stance.spot[i] = entry->spot;
    drawn->stance.reach[i] = entry->reach;
    drawn->stance.libero[i] = is_libero(drawn, entry->who.number);
    drawn->stance.player[i] = counts_as(&entry->who);
    drawn->stance.due[i] = drawn->rotation < 0
                               ? SX_NOBODY
                               : drawn->order[sx_slot_at(entry->position, drawn->rotation)];
}

static void read_players(const SxJsonAt *at, SxDrawn *drawn) {
    bool taken[SX_POSITIONS] = {false};
    if (!sx_json_array(at, SX_POSITIONS, SX_POSITIONS)) {
        return;
    }
    for (SxJsonAt e = sx_json_first(at); e.item; sx_json_next(&e)) {
        Entry entry;
        read_player(&e, &entry);
        if (!sx_json_failed(&e)) {
            place_by_order(&e, drawn, &entry);
        }
        put(&e, drawn, taken, &entry);
    }
}

static void read_server(const SxJsonAt *at, SxDrawn *drawn) {
    int number = 0;
    if (!sx_json_given(at)) {
        return;
    }
    if (drawn->stance.phase != SX_SERVE) {
        sx_json_fail(at, "is only for the phase \"serve\"; in reception the others serve");
        return;
    }
    read_shirt(at, &number);
    if (sx_json_given(at)) {
        drawn->stance.server = sx_drawn_find(drawn, number);
        if (drawn->stance.server == 0) {
            sx_json_fail(at, "number %d is not among the six players", number);
        }
    }
}

static void read_order(const SxJsonAt *rotation, const SxJsonAt *order, SxDrawn *drawn) {
    if (sx_json_given(rotation) != sx_json_given(order)) {
        const SxJsonAt *absent = sx_json_given(rotation) ? order : rotation;
        sx_json_fail(absent, "is missing; \"rotation\" and \"order\" are given both or neither");
        return;
    }
    if (sx_json_given(rotation)) {
        int shown = 0;
        sx_json_integer(rotation, 1, SX_ROTATIONS, &shown);
        read_shirts(order, SX_SLOTS, SX_SLOTS, drawn->order);
        drawn->rotation = shown - 1;
    }
}

static void read_formation(const SxJsonAt *at, const char *default_rules, SxDrawn *drawn) {
    static const char *const phases[SX_PHASES] = {"receive", "serve"};
    SxJsonAt member[FIELDS];
    memset(drawn, 0, sizeof *drawn);
    sx_stance_default(&drawn->stance);
    drawn->rotation = -1;
    sx_json_members(at, formation_keys, FIELDS, member);
    if (sx_json_given(&member[FORMAT])) {
        sx_json_format(at, format_word);
    }
    if (sx_json_given(&member[LABEL])) {
        sx_json_text(&member[LABEL], drawn->label, sizeof drawn->label);
    }
    if (sx_json_given(&member[RULES])) {
        sx_json_text(&member[RULES], drawn->rules, sizeof drawn->rules);
    } else {
        memcpy(drawn->rules, default_rules, sizeof drawn->rules);
    }
    read_order(&member[ROTATION], &member[ORDER], drawn);
    int phase = sx_json_word(&member[PHASE], "phase", phases, SX_PHASES);
    drawn->stance.phase = phase == SX_SERVE ? SX_SERVE : SX_RECEIVE;
    if (sx_json_given(&member[LIBEROS])) {
        drawn->libero_count = read_shirts(&member[LIBEROS], 0, SX_DRAWN_LIBEROS, drawn->liberos);
        drawn->stance.libero_named = drawn->libero_count > 0;
    }
    read_players(&member[PLAYERS], drawn);
    read_server(&member[SERVER], drawn);
}

static SxDrawn *allot(const SxJsonAt *at, int count) {
    SxDrawn *formation = calloc((size_t)count, sizeof *formation);
    if (!formation && !sx_json_failed(at)) {
        at->document->status = sx_out_of_memory(at->document->err);
    }
    return formation;
}

static void read_list(const SxJsonAt *root, SxDrawnFile *out) {
    enum { LIST_FORMAT, LIST_RULES, LIST, LIST_FIELDS };
    static const char *const keys[LIST_FIELDS] = {"format", "rules", "formations"};
    char rules[SX_ERROR_FILE] = "";
    SxJsonAt member[LIST_FIELDS];
    sx_json_members(root, keys, LIST_FIELDS, member);
    if (sx_json_given(&member[LIST_RULES])) {
        sx_json_text(&member[LIST_RULES], rules, sizeof rules);
    }
    if (!sx_json_array(&member[LIST], 1, SX_MAX_DRAWN)) {
        return;
    }
    out->list = true;
    out->formation = allot(root, cJSON_GetArraySize(member[LIST].item));
    for (SxJsonAt e = sx_json_first(&member[LIST]); e.item; sx_json_next(&e)) {
        read_formation(&e, rules, &out->formation[out->count++]);
    }
}

static void read_one(const SxJsonAt *root, SxDrawnFile *out) {
    char rules[SX_ERROR_FILE] = "";
    out->formation = allot(root, 1);
    if (out->formation) {
        out->count = 1;
        read_formation(root, rules, out->formation);
    }
}

static void read_file(const SxJsonAt *root, void *value, const void *context) {
    SxDrawnFile *out = value;
    (void)context;
    if (sx_json_given(root) && cJSON_GetObjectItemCaseSensitive(root->item, "formations")) {
        read_list(root, out);
    } else if (sx_json_given(root)) {
        read_one(root, out);
    }
    if (sx_json_failed(root)) {
        sx_drawn_free(out);
    }
}

static const SxJsonKind drawn_kind = {format_word, sizeof(SxDrawnFile), read_file};

SxStatus sx_drawn_parse(const char *text, size_t length, const char *file, SxDrawnFile *out,
                        SxError *err) {
    return sx_json_parse(&drawn_kind, text, length, file, NULL, out, err);
}

SxStatus sx_drawn_read(const char *file, SxDrawnFile *out, SxError *err) {
    return sx_json_parse(&drawn_kind, NULL, 0, file, NULL, out, err);
}

void sx_drawn_free(SxDrawnFile *drawn) {
    free(drawn->formation);
    *drawn = (SxDrawnFile){0, false, NULL};
}

int sx_drawn_find(const SxDrawn *drawn, int number) {
    for (int i = 0; i < SX_POSITIONS; i++) {
        if (drawn->player[i].number == number) {
            return i + 1;
        }
    }
    return 0;
}
