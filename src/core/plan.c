/* The coach's plan: reading "sixturn-plan-1" files, and wishes as values and as sentences. */
#include "sixturn/plan.h"

#include "core/embedded.h"
#include "core/jsonread.h"
#include "core/keptread.h"
#include "core/teamread.h"
#include "core/text.h"
#include "core/wishsheet.h"
#include "sixturn/wishes.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum {
    MOST_SPECIALISTS = 2,
    MOST_PLANNED_SUBSTITUTIONS = 12, /* each slot changes at most twice a cycle */
    NOBODY = -1
};
static const double most_weight = 100.0;

const char *sx_part_name(SxPart part) {
    static const char *const names[SX_PARTS] = {"pass",  "attack", "block", "set",
                                                "serve", "dig",    "run"};
    return (unsigned)part < SX_PARTS ? names[part] : NULL;
}

/* Our own choice, no source: winning the pass and the kill count most, and running a metre less is
 * worth a twentieth of a point. */
void sx_plan_default(SxPlan *plan) {
    static const double weights[SX_PARTS] = {1.0, 1.0, 0.4, 0.5, 0.4, 0.4, 0.05};
    memset(plan, 0, sizeof *plan);
    memcpy(plan->weight, weights, sizeof weights);
    for (int r = 0; r < SX_ROTATIONS; r++) {
        plan->rotation_weight[r] = 1.0;
    }
    plan->balance = 0.25;
    plan->passers = 1u << 3;
    plan->start = -1;
}

SxStatus sx_plan_wish(SxPlan *plan, SxWishKind kind, int player, int other, int value,
                      const char *origin, SxError *err) {
    if (plan->wish_count >= SX_MAX_WISHES) {
        return sx_fail(err, SX_USAGE, "a plan holds at most %d wishes", SX_MAX_WISHES);
    }
    SxWish *wish = &plan->wishes[plan->wish_count++];
    memset(wish, 0, sizeof *wish);
    wish->kind = kind;
    wish->player = player;
    wish->other = other;
    wish->value = value;
    sx_text_cut(origin ? origin : "", wish->origin, sizeof wish->origin);
    return SX_OK;
}

bool sx_plan_has_wish(const SxPlan *plan, SxWishKind kind, int player) {
    for (int k = 0; k < plan->wish_count; k++) {
        if (plan->wishes[k].kind == kind && plan->wishes[k].player == player) {
            return true;
        }
    }
    return false;
}

void sx_plan_drop_wishes(SxPlan *plan, SxWishKind kind) {
    int kept = 0;
    for (int k = 0; k < plan->wish_count; k++) {
        if (plan->wishes[k].kind != kind) {
            plan->wishes[kept++] = plan->wishes[k];
        }
    }
    plan->wish_count = kept;
}

/* Wishes as sentences. */

static const char *player_text(const SxTeam *team, int player, char *text, size_t size) {
    if (player < 0 || player >= team->player_count) {
        return "nobody";
    }
    snprintf(text, size, "#%d %s", team->players[player].number, team->players[player].name);
    return text;
}

static const char *const sentences[SX_WISH_KINDS] = {
/* NOLINTNEXTLINE(bugprone-macro-parentheses): an entry of a table */
#define WISH(kind, key, reader, sentence, rows, check, about, ...) [kind] = sentence,
#include "core/wish_table.h"
#undef WISH
};

static void append(char *text, size_t size, size_t *used, const char *piece, size_t length) {
    for (size_t k = 0; k < length && *used + 1 < size; k++) {
        text[(*used)++] = piece[k];
    }
    text[*used] = '\0';
}

/* Writes the sentence with its words for players and numbers filled in. */
static void wish_sentence(const SxWish *wish, const char *player, const char *other, char *text,
                          size_t size) {
    char value[16];
    snprintf(value, sizeof value, "%d", wish->value);
    const struct {
        const char *word, *stands_for;
    } words[] = {{"PLAYER", player},
                 {"OTHER", other},
                 {"VALUE", value},
                 {"PLURAL", wish->value == 1 ? "" : "s"}};
    size_t used = 0;
    for (const char *at = sentences[wish->kind]; *at;) {
        size_t length = 1;
        const char *piece = at;
        size_t piece_length = 1;
        for (size_t k = 0; k < sizeof words / sizeof words[0]; k++) {
            if (strncmp(at, words[k].word, strlen(words[k].word)) == 0) {
                length = strlen(words[k].word);
                piece = words[k].stands_for;
                piece_length = strlen(piece);
            }
        }
        append(text, size, &used, piece, piece_length);
        at += length;
    }
}

char *sx_wish_text(const SxWish *wish, const SxTeam *team, char *text, size_t size) {
    char player[SX_NAME_SIZE + 8], other[SX_NAME_SIZE + 8];
    if (size == 0) {
        return text;
    }
    text[0] = '\0';
    wish_sentence(wish, player_text(team, wish->player, player, sizeof player),
                  player_text(team, wish->other, other, sizeof other), text, size);
    size_t used = strlen(text);
    if (wish->origin[0]) {
        snprintf(text + used, size - used, " (%s)", wish->origin);
    }
    return text;
}

/* Reading wishes. */

typedef struct {
    const SxTeam *team;
    SxPlan *plan;
} Reading;

static void add(const Reading *reading, const SxJsonAt *at, SxWishKind kind, int player, int other,
                int value) {
    char origin[SX_ERROR_PATH];
    if (sx_json_failed(at)) {
        return;
    }
    if (sx_plan_wish(reading->plan, kind, player, other, value,
                     sx_json_path(at, origin, sizeof origin), NULL)) {
        sx_json_fail(at, "a plan holds at most %d wishes", SX_MAX_WISHES);
    }
}

static void add_once(const Reading *reading, const SxJsonAt *at, SxWishKind kind, int player,
                     int value) {
    if (player >= 0 && sx_plan_has_wish(reading->plan, kind, player)) {
        sx_json_fail(at, "the player %s is named twice", reading->team->players[player].name);
    }
    add(reading, at, kind, player, NOBODY, value);
}

static void read_players(const Reading *reading, const SxJsonAt *at, SxWishKind kind) {
    if (!sx_json_given(at) || !sx_json_array(at, 0, SX_MAX_PLAYERS)) {
        return;
    }
    for (SxJsonAt who = sx_json_first(at); who.item; sx_json_next(&who)) {
        add_once(reading, &who, kind, sx_team_read_player(&who, reading->team), 0);
    }
}

static void read_pairs(const Reading *reading, const SxJsonAt *at, SxWishKind kind) {
    if (!sx_json_given(at) || !sx_json_array(at, 0, SX_MAX_WISHES)) {
        return;
    }
    for (SxJsonAt pair = sx_json_first(at); pair.item; sx_json_next(&pair)) {
        if (!sx_json_array(&pair, 2, 2)) {
            return;
        }
        SxJsonAt who = sx_json_first(&pair);
        int one = sx_team_read_player(&who, reading->team);
        sx_json_next(&who);
        int other = who.item ? sx_team_read_player(&who, reading->team) : NOBODY;
        if (one == other) {
            sx_json_fail(&pair, "expected two different players, found one twice");
        }
        add(reading, &pair, kind, one, other, 0);
    }
}

static void read_slots(const Reading *reading, const SxJsonAt *at, SxWishKind kind) {
    enum { PLAYER, SLOT, FIELDS };
    static const char *const keys[FIELDS] = {"player", "slot"};
    if (!sx_json_given(at) || !sx_json_array(at, 0, SX_MAX_WISHES)) {
        return;
    }
    for (SxJsonAt entry = sx_json_first(at); entry.item; sx_json_next(&entry)) {
        SxJsonAt member[FIELDS];
        int slot = 0;
        sx_json_members(&entry, keys, FIELDS, member);
        int player = sx_team_read_player(&member[PLAYER], reading->team);
        sx_json_integer(&member[SLOT], 0, SX_SLOTS - 1, &slot);
        add_once(reading, &entry, kind, player, slot);
    }
}

/* One number for everybody who may play, or a number for each player named. */
static void read_min_rotations(const Reading *reading, const SxJsonAt *at, SxWishKind kind) {
    if (!sx_json_given(at)) {
        return;
    }
    int least = 0;
    if (cJSON_IsNumber(at->item)) {
        sx_json_integer(at, 0, SX_MOST_RECEPTIONS, &least);
        for (int p = 0; p < reading->team->player_count && least > 0; p++) {
            if (reading->team->players[p].available &&
                !sx_plan_has_wish(reading->plan, SX_MUST_SIT, p)) {
                add(reading, at, kind, p, NOBODY, least);
            }
        }
        return;
    }
    if (!cJSON_IsObject(at->item)) {
        sx_json_wrong(at, "a number from 0 to 30, or an object with a number for each player");
        return;
    }
    if (!sx_json_map(at, 0, SX_MAX_PLAYERS)) {
        return;
    }
    for (SxJsonAt entry = sx_json_first(at); entry.item; sx_json_next(&entry)) {
        int player = sx_team_read_player_name(&entry, entry.key, reading->team);
        sx_json_integer(&entry, 0, SX_MOST_RECEPTIONS, &least);
        add_once(reading, &entry, kind, player, least);
    }
}

static void read_max_substitutions(const Reading *reading, const SxJsonAt *at, SxWishKind kind) {
    if (sx_json_given(at)) {
        int most = 0;
        sx_json_integer(at, 0, MOST_PLANNED_SUBSTITUTIONS, &most);
        add(reading, at, kind, NOBODY, NOBODY, most);
    }
}

/* In the order of the table: whom everybody's number leaves out must be known by then. */
static void read_wishes(const SxJsonAt *at, const Reading *reading) {
    static const char *const keys[SX_WISH_KINDS] = {
/* NOLINTNEXTLINE(bugprone-macro-parentheses): an entry of a table */
#define WISH(kind, key, reader, sentence, rows, check, about, ...) [kind] = key,
#include "core/wish_table.h"
#undef WISH
    };
    static void (*const readers[SX_WISH_KINDS])(const Reading *, const SxJsonAt *, SxWishKind) = {
/* NOLINTNEXTLINE(bugprone-macro-parentheses): an entry of a table */
#define WISH(kind, key, reader, sentence, rows, check, about, ...) [kind] = reader,
#include "core/wish_table.h"
#undef WISH
    };
    SxJsonAt member[SX_WISH_KINDS];
    sx_json_members(at, keys, SX_WISH_KINDS, member);
    for (int kind = 0; kind < SX_WISH_KINDS; kind++) {
        readers[kind](reading, &member[kind], (SxWishKind)kind);
    }
}

/* Reading weights and limits. */

static void read_weights(const SxJsonAt *at, SxPlan *plan) {
    const char *keys[SX_PARTS];
    SxJsonAt member[SX_PARTS];
    for (int i = 0; i < SX_PARTS; i++) {
        keys[i] = sx_part_name((SxPart)i);
    }
    sx_json_members(at, keys, SX_PARTS, member);
    for (int i = 0; i < SX_PARTS; i++) {
        if (sx_json_given(&member[i])) {
            sx_json_number(&member[i], 0, most_weight, &plan->weight[i]);
            plan->weight_given |= 1u << i;
        }
    }
}

static void read_passers(const SxJsonAt *at, unsigned *passers) {
    int count = SX_MIN_PASSERS;
    if (cJSON_IsNumber(at->item)) {
        sx_json_integer(at, SX_MIN_PASSERS, SX_MAX_PASSERS, &count);
        *passers = 1u << count;
        return;
    }
    if (!cJSON_IsArray(at->item)) {
        sx_json_wrong(at, "a whole number from 2 to 5, or a list of such numbers");
        return;
    }
    *passers = 0;
    if (!sx_json_array(at, 1, SX_MAX_PASSERS - SX_MIN_PASSERS + 1)) {
        return;
    }
    for (SxJsonAt entry = sx_json_first(at); entry.item; sx_json_next(&entry)) {
        sx_json_integer(&entry, SX_MIN_PASSERS, SX_MAX_PASSERS, &count);
        if (*passers & 1u << count) {
            sx_json_fail(&entry, "the number %d is given twice", count);
        }
        *passers |= 1u << count;
    }
}

static void read_rotation_weights(const SxJsonAt *at, SxPlan *plan) {
    double sum = 0;
    if (!sx_json_array(at, SX_ROTATIONS, SX_ROTATIONS)) {
        return;
    }
    for (SxJsonAt entry = sx_json_first(at); entry.item; sx_json_next(&entry)) {
        sx_json_number(&entry, 0, most_weight, &plan->rotation_weight[entry.index]);
        sum += plan->rotation_weight[entry.index];
    }
    if (sum <= 0) {
        sx_json_fail(at, "expected at least one weight above 0, found only zeros");
    }
    plan->rotation_weight_given = true;
}

static void read_start(const SxJsonAt *at, int *start) {
    int rotation = 1;
    sx_json_integer(at, 1, SX_ROTATIONS, &rotation);
    *start = rotation - 1;
}

static void read_plan(const SxJsonAt *root, void *value, const void *context) {
    enum {
        FORMAT,
        SYSTEM,
        RULES,
        WEIGHTS,
        BALANCE,
        PASSERS,
        SETTER_PASSES,
        SPECIALISTS,
        START,
        ROTATION_WEIGHTS,
        WISHES,
        FORMATIONS,
        FIELDS
    };
    static const char *const keys[FIELDS] = {"format",           "system",      "rules",
                                             "weights",          "balance",     "passers",
                                             "setter_passes",    "specialists", "start_rotation",
                                             "rotation_weights", "wishes",      "formations"};
    SxJsonAt at[FIELDS];
    SxPlan *plan = value;
    const Reading reading = {context, plan};
    sx_plan_default(plan);
    sx_json_members(root, keys, FIELDS, at);
    if (sx_json_given(&at[SYSTEM])) {
        sx_embedded_read_name(sx_embedded_systems, sx_embedded_systems_count, "system", &at[SYSTEM],
                              plan->system, sizeof plan->system);
    }
    if (sx_json_given(&at[RULES])) {
        sx_embedded_read_name(sx_embedded_rules, sx_embedded_rules_count, "rule profile",
                              &at[RULES], plan->rules, sizeof plan->rules);
    }
    if (sx_json_given(&at[WEIGHTS])) {
        read_weights(&at[WEIGHTS], plan);
    }
    if (sx_json_given(&at[BALANCE])) {
        sx_json_number(&at[BALANCE], 0, 1, &plan->balance);
        plan->balance_given = true;
    }
    if (sx_json_given(&at[PASSERS])) {
        read_passers(&at[PASSERS], &plan->passers);
    }
    if (sx_json_given(&at[SETTER_PASSES])) {
        sx_json_bool(&at[SETTER_PASSES], &plan->setter_passes);
    }
    if (sx_json_given(&at[SPECIALISTS])) {
        sx_json_integer(&at[SPECIALISTS], 0, MOST_SPECIALISTS, &plan->specialists);
    }
    if (sx_json_given(&at[START])) {
        read_start(&at[START], &plan->start);
    }
    if (sx_json_given(&at[ROTATION_WEIGHTS])) {
        read_rotation_weights(&at[ROTATION_WEIGHTS], plan);
    }
    if (sx_json_given(&at[WISHES])) {
        read_wishes(&at[WISHES], &reading);
    }
    if (sx_json_given(&at[FORMATIONS])) {
        sx_plan_read_kept(&at[FORMATIONS], reading.team, plan->kept);
    }
}

static const SxJsonKind plan_kind = {"sixturn-plan-1", sizeof(SxPlan), read_plan};

SxStatus sx_plan_parse_json(const char *text, size_t length, const char *file, const SxTeam *team,
                            SxPlan *plan, SxError *err) {
    return sx_json_parse(&plan_kind, text, length, file, team, plan, err);
}
