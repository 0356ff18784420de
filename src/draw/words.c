/* The trade words of the sheets: who stands where, who passes, what to do next. */
#include "draw/words.h"
#include "draw/studio.h"

#include <glib.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

const char sx_sheet_caution[] =
    "Your competition's own rule book and its referees prevail over this sheet. Sixturn is no "
    "medical advice: who may play, and how much, is for the medical staff to say.";

static const double binding = 0.01;   /* metres over the margin within which a relation binds */
static const double standing = 0.30;  /* metres: a shorter run is no run */
static const double back_third = 4.5; /* metres from the net: half of the depth */

/* The first word of the name; with the next word's initial, or in full, if others share it. */
static char *short_name(const SxTeam *team, int player, int effort) {
    char *full = sx_type_clean(team->players[player].name);
    char **words = g_strsplit(g_strstrip(full), " ", 2);
    char *result;
    if (effort == 0 && words[0]) {
        result = g_strdup(words[0]);
    } else if (effort == 1 && words[0] && words[1] && *words[1]) {
        const char *rest = words[1];
        result = g_strdup_printf("%s %.*s.", words[0], (int)(g_utf8_next_char(rest) - rest), rest);
    } else {
        result = g_strdup(full);
    }
    g_strfreev(words);
    g_free(full);
    return result;
}

static bool is_shared(const SxTeam *team, int player, int effort) {
    char *mine = short_name(team, player, effort);
    bool shared = false;
    for (int p = 0; p < team->player_count && !shared; p++) {
        char *theirs = short_name(team, p, effort);
        shared = p != player && strcmp(mine, theirs) == 0;
        g_free(theirs);
    }
    g_free(mine);
    return shared;
}

void sx_studio_init(SxStudio *studio, const SxSheet *sheet, SxScene *scene) {
    *studio = (SxStudio){.sheet = sheet, .scene = scene};
    const SxTeam *team = sheet->problem->team;
    for (int p = 0; p < team->player_count; p++) {
        int effort = 0;
        while (effort < 2 && is_shared(team, p, effort)) {
            effort++;
        }
        studio->name[p] = short_name(team, p, effort);
    }
}

void sx_studio_free(SxStudio *studio) {
    for (int p = 0; p < SX_MAX_PLAYERS; p++) {
        g_free(studio->name[p]);
    }
}

const char *sx_third_of_floor(SxSpot spot) {
    static const char *const words[2][3] = {{"left front", "middle front", "right front"},
                                            {"left back", "middle back", "right back"}};
    int third = spot.x < SX_COURT_WIDTH / 3 ? 0 : spot.x < 2 * SX_COURT_WIDTH / 3 ? 1 : 2;
    return words[spot.y >= back_third][third];
}

const SxFormation *sx_sheet_formation(const SxSheet *sheet, int rotation, SxPhase phase) {
    const SxFormation *formation = phase == SX_RECEIVE ? sheet->lineup->rotation[rotation].receive
                                   : sheet->serve      ? &sheet->serve[rotation]
                                                       : NULL;
    return formation && formation->feasible ? formation : NULL;
}

SxRole sx_sheet_role(const SxSheet *sheet, int rotation, SxPhase phase, int slot) {
    const SxRotation *r = &sheet->lineup->rotation[rotation];
    int player = sx_on_court(sheet->lineup, rotation, phase, slot);
    bool libero = r->libero >= 0 && player == r->libero && r->libero_slot == slot;
    return libero ? SX_LIBERO
                  : sheet->problem->system->duty[slot][sx_slot_row(slot, rotation)].role;
}

SxSpot sx_sheet_task(const SxSheet *sheet, int rotation, SxPhase phase, int slot) {
    const SxSystem *system = sheet->problem->system;
    const SxFormation *receive = sheet->lineup->rotation[rotation].receive;
    return phase == SX_RECEIVE && receive ? sx_receive_task(system, rotation, slot, receive->sides)
                                          : sx_task_spot(system, rotation, slot, phase);
}

SxSpot sx_sheet_base(const SxSheet *sheet, int rotation, int slot) {
    return sheet->problem->system->duty[slot][sx_slot_row(slot, rotation)].base;
}

bool sx_sheet_passes(const SxSheet *sheet, int rotation, SxPhase phase, int slot) {
    return phase == SX_RECEIVE && (sheet->lineup->rotation[rotation].passers >> slot & 1u);
}

bool sx_sheet_binds(const SxSheet *sheet, int rotation, SxPhase phase, int pair) {
    const SxFormation *formation = sx_sheet_formation(sheet, rotation, phase);
    if (!formation || (phase == SX_SERVE && !sheet->problem->rules->serving_team_bound)) {
        return false;
    }
    return formation->slack[pair] <= sheet->margin + binding;
}

int sx_sheet_order(const SxSheet *sheet, int rotation, SxPhase phase, int pair, int listener,
                   char *text, size_t size) {
    const SxOrderPair *order = &sx_order_pairs[pair];
    int low = sx_slot_at(order->low, rotation), high = sx_slot_at(order->high, rotation);
    bool low_passes = sx_sheet_passes(sheet, rotation, phase, low);
    bool high_passes = sx_sheet_passes(sheet, rotation, phase, high);
    /* A passer looks after her lane; the other one has the order in mind. */
    bool say_to_low = listener == low || (listener != high && high_passes && !low_passes);
    static const char *const words[2][2] = {{"right of", "left of"}, {"behind", "in front of"}};
    int other = sx_on_court(sheet->lineup, rotation, phase, say_to_low ? high : low);
    snprintf(text, size, "stay %s %d", words[order->axis][say_to_low],
             sheet->problem->team->players[other].number);
    return say_to_low ? low : high;
}

int sx_sheet_slot_of(const SxSheet *sheet, int rotation, SxPhase phase, int player) {
    for (int s = 0; s < SX_SLOTS; s++) {
        if (sx_on_court(sheet->lineup, rotation, phase, s) == player) {
            return s;
        }
    }
    return -1;
}

static void add_run(GString *text, const SxSheet *sheet, int rotation, SxPhase phase, int slot) {
    const SxSystem *system = sheet->problem->system;
    SxSpot from = sx_sheet_formation(sheet, rotation, phase)->spot[slot];
    SxSpot to = sx_sheet_task(sheet, rotation, phase, slot);
    SxRow row = sx_slot_row(slot, rotation);
    bool sets = system->setter_slot[rotation] == slot;
    if (phase == SX_SERVE) {
        g_string_append_printf(
            text, sx_distance(from, to) > standing ? ", then run to %s." : "; %s is your base.",
            sx_third_of_floor(to));
        return;
    }
    if (sx_distance(from, to) <= standing) {
        g_string_append(text, sets ? " and set." : " and stay.");
    } else if (sets) {
        g_string_append(text, ", then run to the net and set.");
    } else {
        g_string_append_printf(text, ", then run to %s%s.", sx_third_of_floor(to),
                               system->duty[slot][row].attacks ? " to attack" : "");
    }
    SxSpot base = sx_sheet_base(sheet, rotation, slot);
    if (sx_distance(to, base) > standing) {
        g_string_append_printf(text, " Base: %s.", sx_third_of_floor(base));
    }
}

static void add_orders(GString *text, const SxSheet *sheet, int rotation, SxPhase phase, int slot) {
    for (int pair = 0; pair < SX_ORDER_PAIRS; pair++) {
        char order[64];
        if (sx_sheet_binds(sheet, rotation, phase, pair) &&
            sx_sheet_order(sheet, rotation, phase, pair, slot, order, sizeof order) == slot) {
            g_string_append_printf(text, " S%s.", order + 1);
        }
    }
}

/* Who has taken her place, if she is in the order of that rotation at all. */
static void add_absence(GString *text, const SxSheet *sheet, int rotation, SxPhase phase,
                        int player) {
    for (int s = 0; s < SX_SLOTS; s++) {
        if (sx_slot_player(sheet->lineup, rotation, s) == player) {
            int other = sx_on_court(sheet->lineup, rotation, phase, s);
            g_string_append_printf(text, "off court, %d is in for you.",
                                   sheet->problem->team->players[other].number);
            return;
        }
    }
    g_string_append(text, "off court.");
}

char *sx_sheet_instructions(const SxStudio *studio, int rotation, SxPhase phase, int player) {
    const SxSheet *sheet = studio->sheet;
    GString *text = g_string_new(phase == SX_RECEIVE ? "Receive: " : "Serve: ");
    int slot = sx_sheet_slot_of(sheet, rotation, phase, player);
    if (slot < 0) {
        add_absence(text, sheet, rotation, phase, player);
        return g_string_free(text, FALSE);
    }
    int own = sx_slot_player(sheet->lineup, rotation, slot);
    if (own != player) {
        g_string_append_printf(text, "in for %d; ", sheet->problem->team->players[own].number);
    }
    bool passes = sx_sheet_passes(sheet, rotation, phase, slot);
    bool serves = phase == SX_SERVE && sx_position(slot, rotation) == 1;
    g_string_append(text, serves ? "you serve" : passes ? "pass from here" : "start here");
    if (sx_sheet_formation(sheet, rotation, phase)) {
        add_run(text, sheet, rotation, phase, slot);
        add_orders(text, sheet, rotation, phase, slot);
    }
    return g_string_free(text, FALSE);
}
