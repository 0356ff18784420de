/* The terms of the formation program: reading "sixturn-formation-terms-1". */
#include "sixturn/formationterms.h"

#include "core/embedded.h"
#include "core/jsonread.h"

#include <math.h>

static const char *const cost_names[SX_COST_COUNT] = {
    [SX_COST_OFF_LANE] = "off_lane",           [SX_COST_MIDDLE_RUN] = "middle_run",
    [SX_COST_HITTER_RUN] = "hitter_run",       [SX_COST_BACK_OFF] = "back_off",
    [SX_COST_SETTER_RUN] = "setter_run",       [SX_COST_PASSING_HITTER_RUN] = "passing_hitter_run",
    [SX_COST_DEFENDER_RUN] = "defender_run",   [SX_COST_PASSER_RUN] = "passer_run",
    [SX_COST_LIBERO_RUN] = "libero_run",       [SX_COST_LONG_RUN] = "long_run",
    [SX_COST_BASE_RUN] = "base_run",           [SX_COST_CLEAR_ORDER] = "clear_order",
    [SX_COST_LINE_SERVE] = "line_serve",       [SX_COST_SEAM] = "seam",
    [SX_COST_BEHIND_PASSER] = "behind_passer", [SX_COST_UP_FRONT] = "up_front",
    [SX_COST_SETTER_PATH] = "setter_path",     [SX_COST_SEAM_RUN] = "seam_run",
    [SX_COST_HITTER_PATH] = "hitter_path",     [SX_COST_APPROACH] = "approach",
    [SX_COST_SETTER_OPEN] = "setter_open",     [SX_COST_PASSER_AREA] = "passer_area",
    [SX_COST_AWAY_OUTSIDE] = "away_outside",   [SX_COST_AWAY_MIDDLE] = "away_middle",
    [SX_COST_AWAY_OPPOSITE] = "away_opposite", [SX_COST_AWAY_OTHER] = "away_other",
};

static const char *const room_names[SX_ROOM_COUNT] = {
    [SX_ROOM_LINE_GAP] = "line_gap",
    [SX_ROOM_NET_GAP] = "net_gap",
    [SX_ROOM_ELBOW] = "elbow",
    [SX_ROOM_AREA_SEAM] = "area_seam",
    [SX_ROOM_AREA_EDGE] = "area_edge",
    [SX_ROOM_AREA_AHEAD] = "area_ahead",
    [SX_ROOM_AREA_BEHIND] = "area_behind",
    [SX_ROOM_LINE_BEHIND] = "line_behind",
    [SX_ROOM_BEHIND_SIDE] = "behind_side",
    [SX_ROOM_BEHIND_DEPTH] = "behind_depth",
    [SX_ROOM_DEEP] = "deep",
    [SX_ROOM_PATH_SIDE] = "path_side",
    [SX_ROOM_TUCK] = "tuck",
    [SX_ROOM_APPROACH_SIDE] = "approach_side",
    [SX_ROOM_HIDE_SIDE] = "hide_side",
    [SX_ROOM_HIDE_DEPTH] = "hide_depth",
    [SX_ROOM_CLEAR] = "clear",
    [SX_ROOM_LONG_WAY] = "long_run",
    [SX_ROOM_SERVER_DEPTH] = "server_depth",
    [SX_ROOM_AT_NET] = "at_net",
    [SX_ROOM_TARGET] = "target",
};

static const double most_room = 9.0;   /* metres: the court */
static const double rounding = 1e-6;   /* grains: what decimal fractions lose in binary */
static const double cost_grains = 1e3; /* a thousandth; the program counts in those */
static const double room_grains = 1e2; /* a centimetre */

const char *sx_formation_cost_name(SxFormationCost cost) {
    return cost_names[cost];
}

const char *sx_formation_room_name(SxFormationRoom room) {
    return room_names[room];
}

static void read_grains(const SxJsonAt *at, double most, double grains, const char *wanted,
                        double *out) {
    double value = 0;
    sx_json_number(at, 0, most, &value);
    if (!sx_json_given(at)) {
        return;
    }
    if (fabs(value * grains - round(value * grains)) > rounding) {
        sx_json_wrong(at, wanted);
        return;
    }
    *out = round(value * grains) / grains;
}

static void read_term(const SxJsonAt *at, double most, double grains, const char *wanted,
                      double *out) {
    enum { VALUE, UNIT, MEANING, SOURCE, FIELDS };
    static const char *const keys[FIELDS] = {"value", "unit", "meaning", "source"};
    SxJsonAt member[FIELDS];
    char text[1024];
    sx_json_members(at, keys, FIELDS, member);
    read_grains(&member[VALUE], most, grains, wanted, out);
    for (int k = UNIT; k < FIELDS; k++) {
        sx_json_text(&member[k], text, sizeof text);
    }
}

static void read_terms(const SxJsonAt *root, void *value, const void *context) {
    (void)context;
    SxFormationTerms *terms = value;
    enum { FORMAT, SOURCE, COSTS, ROOMS, FIELDS };
    static const char *const keys[FIELDS] = {"format", "source", "costs", "rooms"};
    SxJsonAt at[FIELDS], cost[SX_COST_COUNT], room[SX_ROOM_COUNT];
    char source[1024];
    sx_json_members(root, keys, FIELDS, at);
    sx_json_text(&at[SOURCE], source, sizeof source);
    sx_json_members(&at[COSTS], cost_names, SX_COST_COUNT, cost);
    for (int k = 0; k < SX_COST_COUNT; k++) {
        read_term(&cost[k], SX_MOST_COST, cost_grains, "a cost in thousandths", &terms->cost[k]);
    }
    sx_json_members(&at[ROOMS], room_names, SX_ROOM_COUNT, room);
    for (int k = 0; k < SX_ROOM_COUNT; k++) {
        read_term(&room[k], most_room, room_grains,
                  "metres in whole centimetres (at most two decimals)", &terms->room[k]);
    }
}

static const SxJsonKind terms_kind = {"sixturn-formation-terms-1", sizeof(SxFormationTerms),
                                      read_terms};

SxStatus sx_formation_terms_parse(const char *text, size_t length, const char *file,
                                  SxFormationTerms *terms, SxError *err) {
    return sx_json_parse(&terms_kind, text, length, file, NULL, terms, err);
}

SxStatus sx_formation_terms_load(const char *file, SxFormationTerms *terms, SxError *err) {
    const SxEmbedded *shipped = &sx_embedded_terms[0];
    return file ? sx_formation_terms_parse(NULL, 0, file, terms, err)
                : sx_formation_terms_parse(shipped->text, shipped->length,
                                           "built-in formation terms", terms, err);
}
