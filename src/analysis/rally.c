/* The rally model: reading its constants, calibrating it, and the side-out that follows. */
#include "sixturn/rally.h"

#include "core/embedded.h"
#include "core/jsonread.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const double LARGEST_EFFECT = 2;   /* of one rating point on the log-odds */
static const double LARGEST_SHIFT = 20;   /* log-odds: beyond, a chance is 0 or 1 to nine digits */
static const double LEAST_CHANCE = 0.001; /* that a file may name, away from certainty */
static const double MOST_CHANCE = 0.999;

static double logistic(double log_odds) {
    return 1 / (1 + exp(-log_odds));
}

static double log_odds(double chance) {
    return log(chance) - log1p(-chance);
}

SxSide sx_average_side(void) {
    SxSide side;
    for (int k = 0; k < SX_SKILL_COUNT; k++) {
        side.rating[k] = SX_AVERAGE_RATING;
    }
    return side;
}

static const SxPart part_of_skill[SX_SKILL_COUNT] = {
    [SX_PASSING] = SX_PART_PASS,   [SX_SETTING] = SX_PART_SET,   [SX_ATTACKING] = SX_PART_ATTACK,
    [SX_BLOCKING] = SX_PART_BLOCK, [SX_SERVING] = SX_PART_SERVE, [SX_DIGGING] = SX_PART_DIG,
};

SxSide sx_side_of_parts(const SxRallyModel *model, const double part[SX_PARTS]) {
    SxSide side;
    for (int k = 0; k < SX_SKILL_COUNT; k++) {
        const SxPart p = part_of_skill[k];
        side.rating[k] = SX_AVERAGE_RATING * part[p] / model->average_part[p];
    }
    return side;
}

static double effect(const SxRallyModel *model, const SxSide *side, SxSkill skill) {
    return model->effect[skill] * (side->rating[skill] - SX_AVERAGE_RATING);
}

double sx_side_out(const SxRallyModel *model, const SxSide *receivers, const SxSide *servers) {
    const double pass = effect(model, receivers, SX_PASSING) - effect(model, servers, SX_SERVING);
    const double attack = effect(model, receivers, SX_ATTACKING) +
                          effect(model, receivers, SX_SETTING) -
                          effect(model, servers, SX_BLOCKING) - effect(model, servers, SX_DIGGING);
    double better = 0;        /* chance of a better grade than the one looked at */
    double average_share = 0; /* the same between average teams */
    double side_out = 0;
    for (int g = SX_PASS_PERFECT; g >= SX_PASS_POOR; g--) {
        average_share += model->share[g];
        const double so_good = logistic(log_odds(average_share) + pass);
        const double won = logistic(log_odds(model->side_out[g]) + model->shift + attack);
        side_out += (so_good - better) * won;
        better = so_good;
    }
    return model->service_fault + (1 - model->service_fault) * side_out;
}

void sx_rally_scoring(const SxRallyModel *model, SxScoring *scoring) {
    (void)model;
    *scoring = sx_scoring;
}

void sx_rally_rates(const SxRallyModel *model, const SxSide ours[SX_ROTATIONS],
                    const SxSide theirs[SX_ROTATIONS], SxRates *rates) {
    for (int i = 0; i < SX_ROTATIONS; i++) {
        for (int j = 0; j < SX_ROTATIONS; j++) {
            rates->receive[i][j] = sx_side_out(model, &ours[i], &theirs[j]);
            rates->serve[i][j] = 1 - sx_side_out(model, &theirs[j], &ours[i]);
        }
    }
}

/* Halves the shift's range until a double tells no more; the side-out rises with the shift. */
static void calibrate(SxRallyModel *model, int level) {
    const SxSide average = sx_average_side();
    double low = -LARGEST_SHIFT, high = LARGEST_SHIFT;
    model->level = level;
    for (int n = 0; n < 64; n++) {
        model->shift = (low + high) / 2;
        if (sx_side_out(model, &average, &average) < model->levels[level].side_out) {
            low = model->shift;
        } else {
            high = model->shift;
        }
    }
}

SxStatus sx_rally_set_level(SxRallyModel *model, const char *id, SxError *err) {
    char list[SX_ERROR_MESSAGE] = "";
    size_t used = 0;
    for (int k = 0; k < model->level_count; k++) {
        if (id[0] == '\0' || strcmp(model->levels[k].id, id) == 0) {
            calibrate(model, k);
            return SX_OK;
        }
        used += (size_t)snprintf(list + used, sizeof list - used, "%s%s", k ? ", " : "",
                                 model->levels[k].id);
    }
    return sx_fail(err, SX_BAD_INPUT, "there is no level of play '%s'; there are %s", id, list);
}

/* --- Reading ---------------------------------------------------------------------------------- */

/* {"value": number, "source": "where from"}: no constant without its source. */
static void read_constant(const SxJsonAt *at, double low, double high, double *out) {
    enum { VALUE, SOURCE, FIELDS };
    static const char *const keys[FIELDS] = {"value", "source"};
    SxJsonAt member[FIELDS];
    char source[1024];
    sx_json_members(at, keys, FIELDS, member);
    sx_json_number(&member[VALUE], low, high, out);
    sx_json_text(&member[SOURCE], source, sizeof source);
}

static void read_parts(const SxJsonAt *at, SxRallyModel *model) {
    const char *keys[SX_PART_RUN];
    SxJsonAt member[SX_PART_RUN];
    for (int p = 0; p < SX_PART_RUN; p++) {
        keys[p] = sx_part_name((SxPart)p);
    }
    sx_json_members(at, keys, SX_PART_RUN, member);
    for (int p = 0; p < SX_PART_RUN; p++) {
        read_constant(&member[p], 0.1, SX_SKILL_MAX, &model->average_part[p]);
    }
}

static void read_grades(const SxJsonAt *at, double out[SX_PASS_GRADES]) {
    static const char *const keys[SX_PASS_GRADES] = {"poor", "good", "perfect"};
    SxJsonAt member[SX_PASS_GRADES];
    sx_json_members(at, keys, SX_PASS_GRADES, member);
    for (int g = 0; g < SX_PASS_GRADES; g++) {
        read_constant(&member[g], LEAST_CHANCE, MOST_CHANCE, &out[g]);
    }
}

static void read_effects(const SxJsonAt *at, SxRallyModel *model) {
    const char *keys[SX_SKILL_COUNT];
    SxJsonAt member[SX_SKILL_COUNT];
    for (int k = 0; k < SX_SKILL_COUNT; k++) {
        keys[k] = sx_skill_name((SxSkill)k);
    }
    sx_json_members(at, keys, SX_SKILL_COUNT, member);
    for (int k = 0; k < SX_SKILL_COUNT; k++) {
        read_constant(&member[k], 0, LARGEST_EFFECT, &model->effect[k]);
    }
}

/* A level is possible if it lies between 'only their faults' and 'all but their aces'. */
static void read_level(const SxJsonAt *at, SxRallyModel *model, double aces) {
    enum { ID, NAME, SIDE_OUT, SOURCE, FIELDS };
    static const char *const keys[FIELDS] = {"id", "name", "side_out", "source"};
    SxJsonAt member[FIELDS];
    char source[1024];
    SxLevel *level = &model->levels[model->level_count];
    sx_json_members(at, keys, FIELDS, member);
    sx_json_id(&member[ID], level->id, sizeof level->id);
    sx_json_text(&member[NAME], level->name, sizeof level->name);
    sx_json_number(&member[SIDE_OUT], LEAST_CHANCE, MOST_CHANCE, &level->side_out);
    sx_json_text(&member[SOURCE], source, sizeof source);
    const double least = model->service_fault + LEAST_CHANCE;
    const double most = 1 - (1 - model->service_fault) * aces - LEAST_CHANCE;
    if (sx_json_given(&member[SIDE_OUT]) && (level->side_out < least || level->side_out > most)) {
        sx_json_fail(&member[SIDE_OUT],
                     "with these faults and aces a side-out from %.3f to %.3f is possible, not %g",
                     least, most, level->side_out);
    }
    for (int k = 0; k < model->level_count; k++) {
        if (sx_json_given(&member[ID]) && strcmp(model->levels[k].id, level->id) == 0) {
            sx_json_fail(&member[ID], "the level '%s' comes twice", level->id);
        }
    }
    model->level_count++;
}

static void read_model(const SxJsonAt *root, void *value, const void *context) {
    enum { FORMAT, PARTS, FAULT, SHARES, SIDE_OUT, EFFECTS, LEVELS, FIELDS };
    static const char *const keys[FIELDS] = {"format",      "average_parts",  "service_fault",
                                             "pass_shares", "side_out_after", "effects",
                                             "levels"};
    SxJsonAt at[FIELDS];
    SxRallyModel *model = value;
    (void)context;
    sx_json_members(root, keys, FIELDS, at);
    read_parts(&at[PARTS], model);
    read_constant(&at[FAULT], 0, MOST_CHANCE, &model->service_fault);
    read_grades(&at[SHARES], model->share);
    read_grades(&at[SIDE_OUT], model->side_out);
    read_effects(&at[EFFECTS], model);
    const double aces = 1 - model->share[0] - model->share[1] - model->share[2];
    if (sx_json_given(&at[SHARES]) && aces < LEAST_CHANCE) {
        sx_json_fail(&at[SHARES], "the shares add up to %g; some serves must be aces", 1 - aces);
    }
    for (int g = 1; g < SX_PASS_GRADES; g++) {
        if (sx_json_given(&at[SIDE_OUT]) && model->side_out[g] < model->side_out[g - 1]) {
            sx_json_fail(&at[SIDE_OUT], "a better pass must not make the side-out less likely");
        }
    }
    if (sx_json_array(&at[LEVELS], 1, SX_MAX_LEVELS)) {
        for (SxJsonAt e = sx_json_first(&at[LEVELS]); e.item; sx_json_next(&e)) {
            read_level(&e, model, aces);
        }
    }
}

SxStatus sx_rally_parse(const char *text, size_t length, const char *file, SxRallyModel *model,
                        SxError *err) {
    static const SxJsonKind kind = {"sixturn-rally-1", sizeof *model, read_model};
    SxStatus status = sx_json_parse(&kind, text, length, file, NULL, model, err);
    if (status == SX_OK) {
        calibrate(model, 0);
    }
    return status;
}

SxStatus sx_rally_load(const char *file_or_null, SxRallyModel *model, SxError *err) {
    char *text = NULL, shown[SX_ERROR_FILE];
    size_t length = 0;
    SxStatus status = sx_embedded_find(sx_embedded_rally, sx_embedded_rally_count, "rally model",
                                       file_or_null ? file_or_null : sx_embedded_rally[0].id, &text,
                                       &length, shown, sizeof shown, err);
    if (status == SX_OK) {
        status = sx_rally_parse(text, length, shown, model, err);
    }
    free(text);
    return status;
}
