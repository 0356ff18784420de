/* The trade words of the sheets: who stands where, who passes, what to do next. */
#include "draw/words.h"
#include "draw/studio.h"
#include "sixturn/evaluate.h"
#include "sixturn/sentences.h"

#include <glib.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

const char sx_sheet_caution[] =
    "Your competition's own rule book and its referees prevail over this sheet. Sixturn is no "
    "medical advice: who may play, and how much, is for the medical staff to say.";

enum { THUMB_TEXT = 256 };
const char *sx_estimate_mark(const SxSheet *sheet, int player) {
    return sheet->problem->team->players[player].estimated ? "~" : "";
}

char *sx_foot_words(const SxSheet *sheet) {
    bool any = false;
    for (int p = 0; p < sheet->problem->team->player_count; p++) {
        any = any || sheet->problem->team->players[p].estimated;
    }
    return g_strdup_printf(
        "%s%s", any ? "~ Some of her ratings are estimated, not given by the coach. " : "",
        sx_sheet_caution);
}

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
    return sx_is_nominated(sheet->lineup, sx_on_court(sheet->lineup, rotation, phase, slot))
               ? SX_LIBERO
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

static const char *const hit_from[SX_LANES] = {"on the left", "in the middle", "on the right"};

static SxLane lane_of(const SxSheet *sheet, int rotation, int slot) {
    return sx_side_lane(sheet->lineup->rotation[rotation].receive->sides,
                        sx_position(slot, rotation));
}

/* Where she goes at the end; what is in the same part of the floor is no switch of sides. */
static void add_base(GString *text, SxSpot from, SxSpot base) {
    const char *here = sx_third_of_floor(from), *there = sx_third_of_floor(base);
    if (sx_distance(from, base) > standing) {
        g_string_append_printf(
            text, strcmp(here, there) == 0 ? " Then to base: %s." : " Then switch to base: %s.",
            there);
    }
}

static void add_serve_run(GString *text, SxSpot from, SxSpot to) {
    g_string_append_printf(
        text, sx_distance(from, to) > standing ? ", then run to base: %s." : "; %s is your base.",
        sx_third_of_floor(to));
}

/* In reception: when she leaves, and what she does where she gets to. */
static void add_run(GString *text, const SxSheet *sheet, int rotation, SxPhase phase, int slot) {
    const SxSystem *system = sheet->problem->system;
    SxSpot from = sx_sheet_formation(sheet, rotation, phase)->spot[slot];
    SxSpot to = sx_sheet_task(sheet, rotation, phase, slot);
    SxSpot base = sx_sheet_base(sheet, rotation, slot);
    if (phase == SX_SERVE) {
        add_serve_run(text, from, to);
        return;
    }
    bool goes = sx_distance(from, to) > standing,
         passes = sx_sheet_passes(sheet, rotation, phase, slot);
    const char *when = passes ? "after the pass" : "at the service hit";
    const char *there = sx_third_of_floor(to);
    if (system->setter_slot[rotation] == slot) {
        g_string_append_printf(
            text, goes ? ", %s run to the net and set." : ", then set from here.", when);
    } else if (sx_is_front_hitter(system, rotation, slot)) {
        const char *side = hit_from[lane_of(sheet, rotation, slot)];
        if (goes) {
            g_string_append_printf(text, ", %s go to %s: approach and hit %s.", when, there, side);
        } else {
            g_string_append_printf(text, ", then approach and hit from here, %s.", side);
        }
    } else {
        if (goes) {
            g_string_append_printf(text, ", %s go to %s.", when, there);
        } else {
            g_string_append(text, " and stay.");
        }
        /* no libero may complete an attack above the net */
        if (system->duty[slot][sx_slot_row(slot, rotation)].attacks &&
            sx_sheet_role(sheet, rotation, phase, slot) != SX_LIBERO) {
            g_string_append(text, " You may hit from the back row.");
        }
    }
    add_base(text, to, base);
}

bool sx_is_out(const SxSheet *sheet, int player) {
    const SxPlan *plan = sheet->problem->plan;
    return (plan && sx_plan_has_wish(plan, SX_MUST_SIT, player)) ||
           !sheet->problem->team->players[player].available;
}

bool sx_ever_plays(const SxSheet *sheet, int player) {
    for (int r = 0; r < SX_ROTATIONS; r++) {
        if (sx_sheet_slot_of(sheet, r, SX_RECEIVE, player) >= 0 ||
            sx_sheet_slot_of(sheet, r, SX_SERVE, player) >= 0) {
            return true;
        }
    }
    return false;
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

SxSwitch sx_switch_into(const SxLineup *lineup, int rotation, int slot) {
    int position = sx_position(slot, rotation);
    int front = lineup->order.front[slot], back = lineup->order.back[slot];
    /* a half of the turn begins in position 1 or 4 */
    if (front == back || (position != 1 && position != 4)) {
        return (SxSwitch){SX_NOBODY, SX_NOBODY, false};
    }
    return position == 1 ? (SxSwitch){back, front, true} : (SxSwitch){front, back, false};
}

char *sx_set_words(const SxSheet *sheet, const char *follows) {
    return sheet->sets > 0 ? g_strdup_printf("Set %d%s", sheet->set, follows) : g_strdup("");
}

char *sx_start_words(const SxSheet *sheet) {
    const int *start = sheet->start;
    return start[SX_RECEIVE] == start[SX_SERVE]
               ? g_strdup_printf("The set starts in rotation %d.", start[SX_SERVE] + 1)
               : g_strdup_printf(
                     "The set starts in rotation %d if they serve first, in rotation %d if we do.",
                     start[SX_RECEIVE] + 1, start[SX_SERVE] + 1);
}

/* The slot's own player in this role, for every slot that has one. */
static int own_in_role(const SxSheet *sheet, int slot, SxRole role) {
    const SxDuty *duty = sheet->problem->system->duty[slot];
    return duty[SX_FRONT].role == role  ? sheet->lineup->order.front[slot]
           : duty[SX_BACK].role == role ? sheet->lineup->order.back[slot]
                                        : SX_NOBODY;
}

static void add_replaced(GString *text, const SxSheet *sheet, SxRole role, int player) {
    const SxPlayer *players = sheet->problem->team->players;
    const char *joint = " for ";
    for (int s = 0; s < SX_SLOTS; s++) {
        int own = own_in_role(sheet, s, role);
        if (own != SX_NOBODY && own != player) {
            g_string_append_printf(text, "%s%d", joint, players[own].number);
            joint = " or ";
        }
    }
    for (int i = 0; role == SX_LIBERO && i < sheet->lineup->libero_count; i++) {
        if (sheet->lineup->liberos[i] != player) {
            g_string_append_printf(text, "%s%d", joint, players[sheet->lineup->liberos[i]].number);
            joint = " or ";
        }
    }
}

char *sx_cover_words(const SxSheet *sheet, int player) {
    GString *text = g_string_new(NULL);
    for (int role = 0; role < SX_ROLE_COUNT; role++) {
        if (sheet->problem->team->players[player].fitness[role] > 0) {
            g_string_append_printf(text, "%s%s", text->len ? ", " : "", sx_role_name(role));
            add_replaced(text, sheet, role, player);
        }
    }
    return g_string_free(text, FALSE);
}

/* Where she stands at the start of the set, or that she sits. */
static void add_first_place(GString *text, const SxSheet *sheet, int player) {
    static const char *const when[SX_PHASES] = {" if they serve first", " if we serve first"};
    const SxLineup *lineup = sheet->lineup;
    bool both = sheet->start[SX_RECEIVE] == sheet->start[SX_SERVE];
    for (int phase = 0; phase < (both ? 1 : SX_PHASES); phase++) {
        int place = 0;
        for (int s = 0; s < SX_SLOTS; s++) {
            if (sx_slot_player(lineup, sheet->start[phase], s) == player) {
                place = sx_position(s, sheet->start[phase]);
            }
        }
        if (place > 0) {
            g_string_append_printf(text, " You start in %s (%s)%s.", sx_roman(place),
                                   sx_position_name(place), both ? "" : when[phase]);
        } else {
            g_string_append_printf(text, " You start on the bench%s.", both ? "" : when[phase]);
        }
    }
}

char *sx_stop_words(const SxOutlook *outlook) {
    char text[SX_PHASES][SX_STOPPING_SIZE];
    return sx_stopping_texts(outlook, text)
               ? g_strdup(text[0])
               : g_strdup_printf("If they serve first: %s If we serve first: %s", text[SX_RECEIVE],
                                 text[SX_SERVE]);
}

static bool is_among(const int six[SX_SLOTS], int player) {
    bool among = false;
    for (int s = 0; s < SX_SLOTS; s++) {
        among = among || six[s] == player;
    }
    return among;
}

/* The planned substitutions that concern her; none if they are better not made. */
static void add_switches(GString *text, const SxSheet *sheet, int player) {
    const SxPlayer *players = sheet->problem->team->players;
    const SxOutlook *outlook = sheet->outlook;
    const bool none = outlook && sx_makes_none(outlook);
    bool any = false;
    for (int turn = 1; turn <= SX_ROTATIONS; turn++) {
        int r = (sheet->lineup->start + turn) % SX_ROTATIONS;
        for (int s = 0; s < SX_SLOTS; s++) {
            SxSwitch change = sx_switch_into(sheet->lineup, r, s);
            const char *what = change.serves ? "to serve" : "to the front row";
            if (change.in == SX_NOBODY || (change.in != player && change.out != player)) {
                continue;
            }
            any = true;
            if (none) {
                continue;
            }
            if (change.in == player) {
                g_string_append_printf(text, " Into rotation %d you go in for %d, %s.", r + 1,
                                       players[change.out].number, what);
            } else {
                g_string_append_printf(text, " Into rotation %d %d comes in for you.", r + 1,
                                       players[change.in].number);
            }
        }
    }
    if (any && none) {
        g_string_append_printf(
            text,
            " Better not to make the planned substitutions: you %s while the team "
            "plays %s.",
            is_among(outlook->after[0].six, player) ? "stay on court" : "stay on the bench",
            outlook->after[0].system);
    } else if (any && outlook && outlook->after[0].found && outlook->after[1].found) {
        char *words = sx_stop_words(outlook);
        g_string_append_printf(text, " %s", words);
        g_free(words);
    }
}

static bool concerns(const SxConsidered *it, int player) {
    bool found = false;
    for (int k = 0; k < it->places; k++) {
        found |= it->in[k] == player || it->out[k] == player;
    }
    return found;
}

/* The coach's rules of thumb that are about her. */
static void add_thumb(GString *text, const SxSheet *sheet, int player) {
    const char *between = " Rules of thumb: ";
    for (int k = 0; sheet->thumb && k < sheet->thumb->count; k++) {
        const SxThumbRule *rule = &sheet->thumb->rule[k];
        char line[THUMB_TEXT];
        if (concerns(&sheet->advice->exchange[rule->exchange], player)) {
            sx_thumb_rule_text(sheet->advice, sheet->problem->team, sheet->lineup, rule, line,
                               sizeof line);
            g_string_append_printf(text, "%s%s", between, line);
            between = "; ";
        }
    }
    g_string_append(text, strcmp(between, "; ") == 0 ? "." : "");
}

char *sx_card_words(const SxStudio *studio, int player) {
    const SxSheet *sheet = studio->sheet;
    GString *text = g_string_new(NULL);
    bool ever = sx_ever_plays(sheet, player);
    if (sx_is_out(sheet, player)) {
        g_string_append(text, "You are not planned for this match.");
    } else if (ever) {
        char *start = sx_start_words(sheet);
        g_string_append(text, start);
        g_free(start);
        if (sx_is_nominated(sheet->lineup, player)) {
            g_string_append(text, " You are the libero: in and out behind the attack line, with a "
                                  "rally between.");
        } else {
            add_first_place(text, sheet, player);
            add_switches(text, sheet, player);
        }
    } else {
        char *cover = sx_cover_words(sheet, player);
        g_string_append_printf(text,
                               sx_is_nominated(sheet->lineup, player)
                                   ? "You are the second libero. You cover %s."
                                   : "You start on the bench. No substitution is planned for you. "
                                     "Be ready as %s.",
                               cover);
        g_free(cover);
    }
    add_thumb(text, sheet, player);
    return g_string_free(text, FALSE);
}
