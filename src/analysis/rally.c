/* The rally model: reading its constants, calibrating it, and the side-out that follows. */
#include "sixturn/rally.h"

#include "analysis/sideouts.h"
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
static const double LEAST_COVERAGE = 0.1;
static const double MOST_POINTS = 10;      /* of a skill, for being away from the usual side */
static const double MOST_GRADES_LATE = 10; /* a second */

static double logistic(double log_odds) {
    return 1 / (1 + exp(-log_odds));
}

static double log_odds(double chance) {
    return log(chance) - log1p(-chance);
}

SxSide sx_average_side(void) {
    SxSide side = {.more_attackers = 0};
    for (int k = 0; k < SX_SKILL_COUNT; k++) {
        side.rating[k] = SX_AVERAGE_RATING;
    }
    return side;
}

const SxLevel *sx_rally_level(const SxRallyModel *model) {
    return &model->levels[model->level];
}

const char *sx_reading_name(SxReading reading) {
    static const char *const names[SX_READINGS] = {"computed", "abstract", "second hand",
                                                   "invented"};
    return (unsigned)reading < SX_READINGS ? names[reading] : NULL;
}

static const SxPart part_of_skill[SX_SKILL_COUNT] = {
    [SX_PASSING] = SX_PART_PASS,   [SX_SETTING] = SX_PART_SET,   [SX_ATTACKING] = SX_PART_ATTACK,
    [SX_BLOCKING] = SX_PART_BLOCK, [SX_SERVING] = SX_PART_SERVE, [SX_DIGGING] = SX_PART_DIG,
};

/* Parts of a team rated 10 throughout that receives with three. */
static double largest_part(const SxLevel *level, SxPart part) {
    enum { USUAL_PASSERS = 3 };
    return SX_SKILL_MAX * (part == SX_PART_PASS ? level->scoring.coverage[USUAL_PASSERS] : 1);
}

SxSide sx_side_of_parts(const SxRallyModel *model, const double part[SX_PARTS],
                        int front_attackers) {
    SxSide side = {.more_attackers = front_attackers - SX_AVERAGE_ATTACKERS};
    for (int k = 0; k < SX_SKILL_COUNT; k++) {
        const SxPart p = part_of_skill[k];
        side.rating[k] = SX_SKILL_MAX * part[p] / largest_part(sx_rally_level(model), p);
    }
    return side;
}

static double effect(const SxLevel *level, const SxSide *side, SxSkill skill) {
    return level->effect[skill] * (side->rating[skill] - SX_AVERAGE_RATING);
}

void sx_side_outs(const SxRallyModel *model, SxSideOuts *out) {
    const SxLevel *level = sx_rally_level(model);
    double share = 0;
    out->level = level;
    for (int g = SX_PASS_PERFECT; g >= SX_PASS_POOR; g--) {
        share += level->share[g];
        out->so_good[g] = log_odds(share);
        out->won[g] = log_odds(level->side_out_after[g]) + model->shift;
    }
}

double sx_side_outs_of(const SxSideOuts *model, const SxSide *receivers, const SxSide *servers) {
    const SxLevel *level = model->level;
    const double pass = effect(level, receivers, SX_PASSING) - effect(level, servers, SX_SERVING);
    const double attack = effect(level, receivers, SX_ATTACKING) +
                          effect(level, receivers, SX_SETTING) -
                          effect(level, servers, SX_BLOCKING) - effect(level, servers, SX_DIGGING) +
                          level->front_attackers * receivers->more_attackers;
    double better = 0; /* chance of a better grade than the one looked at */
    double side_out = 0;
    for (int g = SX_PASS_PERFECT; g >= SX_PASS_POOR; g--) {
        const double so_good = logistic(model->so_good[g] + pass);
        side_out += (so_good - better) * logistic(model->won[g] + attack);
        better = so_good;
    }
    return level->service_fault + (1 - level->service_fault) * side_out;
}

double sx_side_out(const SxRallyModel *model, const SxSide *receivers, const SxSide *servers) {
    SxSideOuts level;
    sx_side_outs(model, &level);
    return sx_side_outs_of(&level, receivers, servers);
}

void sx_rally_scoring(const SxRallyModel *model, SxScoring *scoring) {
    *scoring = sx_rally_level(model)->scoring;
}

void sx_rally_rates(const SxRallyModel *model, const SxSide ours[SX_ROTATIONS],
                    const SxSide theirs[SX_ROTATIONS], SxRates *rates) {
    SxSideOuts level;
    sx_side_outs(model, &level);
    for (int i = 0; i < SX_ROTATIONS; i++) {
        for (int j = 0; j < SX_ROTATIONS; j++) {
            rates->receive[i][j] = sx_side_outs_of(&level, &ours[i], &theirs[j]);
            rates->serve[i][j] = 1 - sx_side_outs_of(&level, &theirs[j], &ours[i]);
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

/* {"value": number, "read": how, "source": "where from"}: no constant without its source. */
static void read_constant(const SxJsonAt *at, double low, double high, double *out,
                          SxLevel *level) {
    enum { VALUE, READ, SOURCE, FIELDS };
    static const char *const keys[FIELDS] = {"value", "read", "source"};
    const char *readings[SX_READINGS];
    SxJsonAt member[FIELDS];
    char source[SX_SOURCE_SIZE];
    for (int k = 0; k < SX_READINGS; k++) {
        readings[k] = sx_reading_name((SxReading)k);
    }
    sx_json_members(at, keys, FIELDS, member);
    sx_json_number(&member[VALUE], low, high, out);
    const int read = sx_json_word(&member[READ], "way of reading", readings, SX_READINGS);
    sx_json_text(&member[SOURCE], source, sizeof source);
    if (read >= 0) {
        level->read[read]++;
    }
}

/* The constants under one key, each by its name. */
static void read_table(const SxJsonAt *at, const char *const *keys, int count, double low,
                       double high, double *const *out, SxLevel *level) {
    SxJsonAt member[SX_JSON_MAX_KEYS];
    sx_json_members(at, keys, count, member);
    for (int k = 0; k < count; k++) {
        read_constant(&member[k], low, high, out[k], level);
    }
}

static void read_grades(const SxJsonAt *at, double out[SX_PASS_GRADES], SxLevel *level) {
    static const char *const keys[SX_PASS_GRADES] = {"poor", "good", "perfect"};
    double *const places[SX_PASS_GRADES] = {&out[0], &out[1], &out[2]};
    read_table(at, keys, SX_PASS_GRADES, LEAST_CHANCE, MOST_CHANCE, places, level);
}

static void read_effects(const SxJsonAt *at, SxLevel *level) {
    const char *keys[SX_SKILL_COUNT];
    double *places[SX_SKILL_COUNT];
    for (int k = 0; k < SX_SKILL_COUNT; k++) {
        keys[k] = sx_skill_name((SxSkill)k);
        places[k] = &level->effect[k];
    }
    read_table(at, keys, SX_SKILL_COUNT, 0, LARGEST_EFFECT, places, level);
}

static void read_attack(const SxJsonAt *at, SxLevel *level) {
    enum { FRONT = SX_LANES, SHARES = FRONT + 2 };
    static const char *const keys[SHARES] = {"left", "centre", "right", "back_row", "setter"};
    SxScoring *scoring = &level->scoring;
    double *const places[SHARES] = {
        &scoring->front_attack[SX_LEFT], &scoring->front_attack[SX_CENTRE],
        &scoring->front_attack[SX_RIGHT], &scoring->back_attack, &scoring->setter_attack};
    read_table(at, keys, SHARES, 0, 1, places, level);
    for (int lane = 0; lane < SX_LANES; lane++) {
        if (sx_json_given(at) && scoring->front_attack[lane] < LEAST_CHANCE) {
            sx_json_fail(at, "front-row attackers get %g of the balls at least", LEAST_CHANCE);
        }
    }
}

static void read_block(const SxJsonAt *at, SxLevel *level) {
    static const char *const keys[SX_LANES] = {"left", "centre", "right"};
    double *const places[SX_LANES] = {&level->scoring.block[SX_LEFT],
                                      &level->scoring.block[SX_CENTRE],
                                      &level->scoring.block[SX_RIGHT]};
    read_table(at, keys, SX_LANES, 0, 1, places, level);
}

static void read_coverage(const SxJsonAt *at, SxLevel *level) {
    enum { SIZES = SX_MAX_PASSERS - SX_MIN_PASSERS + 1 };
    static const char *const keys[SIZES] = {"2", "3", "4", "5"};
    double *places[SIZES];
    for (int k = 0; k < SIZES; k++) {
        places[k] = &level->scoring.coverage[SX_MIN_PASSERS + k];
    }
    read_table(at, keys, SIZES, LEAST_COVERAGE, 1, places, level);
}

/* How far two grades lie apart, on the log-odds scale. */
static double grade_step(const SxLevel *level) {
    return (log_odds(level->side_out_after[SX_PASS_PERFECT]) -
            log_odds(level->side_out_after[SX_PASS_POOR])) /
           SX_PASS_PERFECT;
}

/* A second late in points of the skill that it spoils. */
static double points_late(const SxLevel *level, SxSkill skill) {
    const double effect_of_skill = level->effect[skill];
    return effect_of_skill > 0 ? level->late * grade_step(level) / effect_of_skill : 0;
}

/* A side-out is possible if it lies between 'only their faults' and 'all but their aces'. */
static void check_level(const SxJsonAt *side_out, const SxJsonAt *shares, const SxJsonAt *after,
                        const SxLevel *level) {
    const double aces = 1 - level->share[0] - level->share[1] - level->share[2];
    if (sx_json_given(shares) && aces < LEAST_CHANCE) {
        sx_json_fail(shares, "the shares add up to %g; some serves must be aces", 1 - aces);
    }
    for (int g = 1; g < SX_PASS_GRADES; g++) {
        if (sx_json_given(after) && level->side_out_after[g] < level->side_out_after[g - 1]) {
            sx_json_fail(after, "a better pass must not make the side-out less likely");
        }
    }
    const double least = level->service_fault + LEAST_CHANCE;
    const double most = 1 - (1 - level->service_fault) * aces - LEAST_CHANCE;
    if (sx_json_given(side_out) && (level->side_out < least || level->side_out > most)) {
        sx_json_fail(side_out,
                     "with these faults and aces a side-out from %.3f to %.3f is possible, not %g",
                     least, most, level->side_out);
    }
}

static void read_level(const SxJsonAt *at, SxRallyModel *model) {
    enum {
        ID,
        NAME,
        SIDE_OUT,
        FAULT,
        SHARES,
        AFTER,
        EFFECTS,
        ATTACK,
        FRONT,
        BLOCK,
        COVERAGE,
        AWAY,
        ACROSS,
        LATE,
        FIELDS
    };
    static const char *const keys[FIELDS] = {"id",
                                             "name",
                                             "side_out",
                                             "service_fault",
                                             "pass_shares",
                                             "side_out_after",
                                             "effects",
                                             "attack_shares",
                                             "front_attackers",
                                             "block_shares",
                                             "coverage",
                                             "away",
                                             "across",
                                             "late"};
    SxJsonAt member[FIELDS];
    SxLevel *level = &model->levels[model->level_count];
    sx_json_members(at, keys, FIELDS, member);
    sx_json_id(&member[ID], level->id, sizeof level->id);
    sx_json_text(&member[NAME], level->name, sizeof level->name);
    read_constant(&member[SIDE_OUT], LEAST_CHANCE, MOST_CHANCE, &level->side_out, level);
    read_constant(&member[FAULT], 0, MOST_CHANCE, &level->service_fault, level);
    read_grades(&member[SHARES], level->share, level);
    read_grades(&member[AFTER], level->side_out_after, level);
    read_effects(&member[EFFECTS], level);
    read_attack(&member[ATTACK], level);
    read_constant(&member[FRONT], 0, LARGEST_EFFECT, &level->front_attackers, level);
    read_block(&member[BLOCK], level);
    read_coverage(&member[COVERAGE], level);
    read_constant(&member[AWAY], 0, MOST_POINTS, &level->scoring.away, level);
    level->scoring.across = level->scoring.away;
    if (sx_json_given(&member[ACROSS])) {
        read_constant(&member[ACROSS], 0, MOST_POINTS, &level->scoring.across, level);
    }
    read_constant(&member[LATE], 0, MOST_GRADES_LATE, &level->late, level);
    check_level(&member[SIDE_OUT], &member[SHARES], &member[AFTER], level);
    for (int k = 0; k < model->level_count; k++) {
        if (sx_json_given(&member[ID]) && strcmp(model->levels[k].id, level->id) == 0) {
            sx_json_fail(&member[ID], "the level '%s' comes twice", level->id);
        }
    }
    if (!sx_json_failed(at)) {
        level->scoring.late_set = points_late(level, SX_SETTING);
        level->scoring.late_attack = points_late(level, SX_ATTACKING);
    }
    model->level_count++;
}

static void read_model(const SxJsonAt *root, void *value, const void *context) {
    enum { FORMAT, LEVELS, FIELDS };
    static const char *const keys[FIELDS] = {"format", "levels"};
    SxJsonAt at[FIELDS];
    SxRallyModel *model = value;
    (void)context;
    sx_json_members(root, keys, FIELDS, at);
    if (sx_json_array(&at[LEVELS], 1, SX_MAX_LEVELS)) {
        for (SxJsonAt e = sx_json_first(&at[LEVELS]); e.item; sx_json_next(&e)) {
            read_level(&e, model);
        }
    }
}

SxStatus sx_rally_parse(const char *text, size_t length, const char *file, SxRallyModel *model,
                        SxError *err) {
    static const SxJsonKind kind = {"sixturn-rally-2", sizeof *model, read_model};
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
