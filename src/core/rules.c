/* Rule profiles: reading "sixturn-rules-1" files, shipped or the coach's own. */
#include "sixturn/rules.h"

#include "core/embedded.h"
#include "core/jsonread.h"

#include <stdlib.h>
#include <string.h>

enum {
    MOST_SUBSTITUTIONS = 99,
    MOST_LIBEROS = 2, /* FIVB 19.1 */
    MOST_POINTS = 99,
    MOST_LEAD = 9,
    MOST_SETS = 5 /* FIVB 6.3: best of five */
};

int sx_rules_count(void) {
    return sx_embedded_rules_count;
}

const char *sx_rules_id(int index) {
    return index >= 0 && index < sx_embedded_rules_count ? sx_embedded_rules[index].id : NULL;
}

static void read_substitutions(const SxJsonAt *at, int *out) {
    if (sx_json_given(at) && cJSON_IsString(at->item) &&
        strcmp(at->item->valuestring, "unlimited") == 0) {
        *out = SX_UNLIMITED;
    } else if (sx_json_given(at) && !cJSON_IsNumber(at->item)) {
        sx_json_wrong(at, "a whole number from 0 to 99 or \"unlimited\"");
    } else {
        sx_json_integer(at, 0, MOST_SUBSTITUTIONS, out);
    }
}

static void read_reentry(const SxJsonAt *at, SxReentry *out) {
    static const char *const words[] = {"once-for-the-same-substitute", "to-the-same-place"};
    int word = sx_json_word(at, "rule of return", words, 2);
    if (word >= 0) {
        *out = word == 0 ? SX_REENTRY_ONCE_SAME_SUBSTITUTE : SX_REENTRY_SAME_SLOT;
    }
}

static void read_best_of(const SxJsonAt *at, int *out) {
    sx_json_integer(at, 1, MOST_SETS, out);
    if (sx_json_given(at) && *out % 2 == 0) {
        sx_json_wrong(at, "1, 3 or 5");
    }
}

/* A cap below the ordinary end would end no set as the rest says. */
static void read_cap(const SxJsonAt *at, SxRules *rules) {
    sx_json_integer(at, 0, MOST_POINTS, &rules->cap);
    if (sx_json_given(at) && rules->cap != 0 && rules->cap < rules->set_points) {
        sx_json_fail(at, "expected 0 (no cap) or at least set_points, %d, found the number %d",
                     rules->set_points, rules->cap);
    }
}

static void read_rules(const SxJsonAt *root, void *value, const void *context) {
    enum {
        FORMAT,
        ID,
        NAME,
        SOURCE,
        SUBSTITUTIONS,
        REENTRY,
        LIBEROS,
        LIBERO_SERVES,
        BOUND,
        LEVEL,
        SET_POINTS,
        DECIDING_POINTS,
        LEAD,
        CAP,
        BEST_OF,
        FIELDS
    };
    static const char *const keys[FIELDS] = {"format",
                                             "id",
                                             "name",
                                             "source",
                                             "substitutions",
                                             "reentry",
                                             "liberos",
                                             "libero_serves",
                                             "serving_team_bound",
                                             "level_is_fault",
                                             "set_points",
                                             "deciding_points",
                                             "lead",
                                             "cap",
                                             "best_of"};
    SxJsonAt at[FIELDS];
    SxRules *rules = value;
    (void)context;
    sx_json_members(root, keys, FIELDS, at);
    sx_json_id(&at[ID], rules->id, sizeof rules->id);
    sx_json_text(&at[NAME], rules->name, sizeof rules->name);
    sx_json_text(&at[SOURCE], rules->source, sizeof rules->source);
    read_substitutions(&at[SUBSTITUTIONS], &rules->substitutions);
    read_reentry(&at[REENTRY], &rules->reentry);
    sx_json_integer(&at[LIBEROS], 0, MOST_LIBEROS, &rules->liberos);
    sx_json_bool(&at[LIBERO_SERVES], &rules->libero_serves);
    sx_json_bool(&at[BOUND], &rules->serving_team_bound);
    sx_json_bool(&at[LEVEL], &rules->level_is_fault);
    sx_json_integer(&at[SET_POINTS], 1, MOST_POINTS, &rules->set_points);
    sx_json_integer(&at[DECIDING_POINTS], 1, MOST_POINTS, &rules->deciding_points);
    sx_json_integer(&at[LEAD], 1, MOST_LEAD, &rules->lead);
    read_cap(&at[CAP], rules);
    read_best_of(&at[BEST_OF], &rules->best_of);
}

SxStatus sx_rules_parse(const char *text, size_t length, const char *file, SxRules *rules,
                        SxError *err) {
    static const SxJsonKind kind = {"sixturn-rules-1", sizeof *rules, read_rules};
    return sx_json_parse(&kind, text, length, file, NULL, rules, err);
}

SxStatus sx_rules_load(const char *id_or_file, SxRules *rules, SxError *err) {
    char *text = NULL, shown[SX_ERROR_FILE];
    size_t length = 0;
    SxStatus status = sx_embedded_find(sx_embedded_rules, sx_embedded_rules_count, "rule profile",
                                       id_or_file, &text, &length, shown, sizeof shown, err);
    if (status == SX_OK) {
        status = sx_rules_parse(text, length, shown, rules, err);
    }
    free(text);
    return status;
}
