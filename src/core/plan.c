/* The coach's plan: reading "sixturn-plan-1" files, and wishes as values and as sentences. */
#include "sixturn/plan.h"

#include "core/embedded.h"
#include "core/jsonread.h"
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

/* Wishes as sentences. */

static const char *player_text(const SxTeam *team, int player, char *text, size_t size) {
    if (player < 0 || player >= team->player_count) {
        return "nobody";
    }
    snprintf(text, size, "#%d %s", team->players[player].number, team->players[player].name);
    return text;
}

static void wish_sentence(const SxWish *wish, const char *player, const char *other, char *text,
                          size_t size) {
    int value = wish->value;
    const char *s = value == 1 ? "" : "s";
    switch (wish->kind) {
    case SX_MUST_PLAY:
        snprintf(text, size, "%s must play", player);
        break;
    case SX_MUST_SIT:
        snprintf(text, size, "%s must sit", player);
        break;
    case SX_FIXED_SLOT:
        snprintf(text, size, "%s has slot %d of the serving order", player, value);
        break;
    case SX_OPPOSITE_PAIR:
        snprintf(text, size, "%s and %s are opposite each other in the serving order", player,
                 other);
        break;
    case SX_NOT_ADJACENT:
        snprintf(text, size, "%s and %s are not neighbours in the serving order", player, other);
        break;
    case SX_NEVER_PASSES:
        snprintf(text, size, "%s never passes", player);
        break;
    case SX_ALWAYS_PASSES:
        snprintf(text, size, "%s passes whenever on court", player);
        break;
    case SX_NOT_FRONT_ROW:
        snprintf(text, size, "%s does not play in the front row", player);
        break;
    case SX_NOT_BACK_ROW:
        snprintf(text, size, "%s does not play in the back row, but may serve", player);
        break;
    case SX_MIN_ROTATIONS:
        snprintf(text, size, "%s receives in at least %d rotation%s", player, value, s);
        break;
    case SX_LIBERO_FOR:
        snprintf(text, size, "the libero comes in for %s", player);
        break;
    case SX_MAX_SUBSTITUTIONS:
        snprintf(text, size, "at most %d planned substitution%s in six rotations", value, s);
        break;
    case SX_MUST_SET:
        snprintf(text, size, "%s is one of the setters", player);
        break;
    case SX_WISH_KINDS:
        break;
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

static bool has_wish(const SxPlan *plan, SxWishKind kind, int player) {
    for (int i = 0; i < plan->wish_count; i++) {
        if (plan->wishes[i].kind == kind && plan->wishes[i].player == player) {
            return true;
        }
    }
    return false;
}

static void add_once(const Reading *reading, const SxJsonAt *at, SxWishKind kind, int player,
                     int value) {
    if (player >= 0 && has_wish(reading->plan, kind, player)) {
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

static void read_slot_wishes(const Reading *reading, const SxJsonAt *at) {
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
        add_once(reading, &entry, SX_FIXED_SLOT, player, slot);
    }
}

/* One number for everybody who may play, or a number for each player named. */
static void read_min_rotations(const Reading *reading, const SxJsonAt *at) {
    if (!sx_json_given(at)) {
        return;
    }
    int least = 0;
    if (cJSON_IsNumber(at->item)) {
        sx_json_integer(at, 0, SX_ROTATIONS, &least);
        for (int p = 0; p < reading->team->player_count && least > 0; p++) {
            if (reading->team->players[p].available && !has_wish(reading->plan, SX_MUST_SIT, p)) {
                add(reading, at, SX_MIN_ROTATIONS, p, NOBODY, least);
            }
        }
        return;
    }
    if (!cJSON_IsObject(at->item)) {
        sx_json_wrong(at, "a number from 0 to 6, or an object with a number for each player");
        return;
    }
    if (!sx_json_map(at, 0, SX_MAX_PLAYERS)) {
        return;
    }
    for (SxJsonAt entry = sx_json_first(at); entry.item; sx_json_next(&entry)) {
        int player = sx_team_read_player_name(&entry, entry.key, reading->team);
        sx_json_integer(&entry, 0, SX_ROTATIONS, &least);
        add_once(reading, &entry, SX_MIN_ROTATIONS, player, least);
    }
}

static void read_max_substitutions(const Reading *reading, const SxJsonAt *at) {
    if (sx_json_given(at)) {
        int most = 0;
        sx_json_integer(at, 0, MOST_PLANNED_SUBSTITUTIONS, &most);
        add(reading, at, SX_MAX_SUBSTITUTIONS, NOBODY, NOBODY, most);
    }
}

static void read_wishes(const SxJsonAt *at, const Reading *reading) {
    static const char *const keys[SX_WISH_KINDS] = {
        [SX_MUST_PLAY] = "must_play",       [SX_MUST_SIT] = "must_sit",
        [SX_FIXED_SLOT] = "slots",          [SX_OPPOSITE_PAIR] = "opposite",
        [SX_NOT_ADJACENT] = "not_adjacent", [SX_NEVER_PASSES] = "never_pass",
        [SX_ALWAYS_PASSES] = "always_pass", [SX_NOT_FRONT_ROW] = "not_front_row",
        [SX_NOT_BACK_ROW] = "not_back_row", [SX_MIN_ROTATIONS] = "min_rotations",
        [SX_LIBERO_FOR] = "libero_for",     [SX_MAX_SUBSTITUTIONS] = "max_substitutions",
        [SX_MUST_SET] = "must_set",
    };
    static const SxWishKind lists[] = {SX_MUST_PLAY,     SX_MUST_SIT,      SX_NEVER_PASSES,
                                       SX_ALWAYS_PASSES, SX_NOT_FRONT_ROW, SX_NOT_BACK_ROW,
                                       SX_LIBERO_FOR,    SX_MUST_SET};
    SxJsonAt member[SX_WISH_KINDS];
    sx_json_members(at, keys, SX_WISH_KINDS, member);
    for (size_t i = 0; i < sizeof lists / sizeof lists[0]; i++) {
        read_players(reading, &member[lists[i]], lists[i]);
    }
    read_pairs(reading, &member[SX_OPPOSITE_PAIR], SX_OPPOSITE_PAIR);
    read_pairs(reading, &member[SX_NOT_ADJACENT], SX_NOT_ADJACENT);
    read_slot_wishes(reading, &member[SX_FIXED_SLOT]);
    read_min_rotations(reading, &member[SX_MIN_ROTATIONS]);
    read_max_substitutions(reading, &member[SX_MAX_SUBSTITUTIONS]);
}

/* Reading weights and limits. */

static void read_weights(const SxJsonAt *at, double *weight) {
    const char *keys[SX_PARTS];
    SxJsonAt member[SX_PARTS];
    for (int i = 0; i < SX_PARTS; i++) {
        keys[i] = sx_part_name((SxPart)i);
    }
    sx_json_members(at, keys, SX_PARTS, member);
    for (int i = 0; i < SX_PARTS; i++) {
        if (sx_json_given(&member[i])) {
            sx_json_number(&member[i], 0, most_weight, &weight[i]);
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
        FIELDS
    };
    static const char *const keys[FIELDS] = {
        "format",        "system",      "rules",          "weights",          "balance", "passers",
        "setter_passes", "specialists", "start_rotation", "rotation_weights", "wishes"};
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
        read_weights(&at[WEIGHTS], plan->weight);
    }
    if (sx_json_given(&at[BALANCE])) {
        sx_json_number(&at[BALANCE], 0, 1, &plan->balance);
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
}

static const SxJsonKind plan_kind = {"sixturn-plan-1", sizeof(SxPlan), read_plan};

SxStatus sx_plan_parse(const char *text, size_t length, const char *file, const SxTeam *team,
                       SxPlan *plan, SxError *err) {
    return sx_is_sheet_name(file) ? sx_wishes_parse(text, length, file, team, plan, err)
                                  : sx_json_parse(&plan_kind, text, length, file, team, plan, err);
}

SxStatus sx_plan_read(const char *file, const SxTeam *team, SxPlan *plan, SxError *err) {
    char *text = NULL;
    size_t length = 0;
    SxStatus status = sx_text_read_file(file, &text, &length, err);
    if (status == SX_OK) {
        status = sx_plan_parse(text, length, file, team, plan, err);
    }
    free(text);
    return status;
}
