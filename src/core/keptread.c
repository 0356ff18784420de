/* What a coach keeps of single rotations, as the plan file says it: whole formations and wishes. */
#include "core/keptread.h"

#include "core/teamread.h"
#include "sixturn/drawn.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const double least_metres = -10.0,
                    most_metres = 20.0; /* off the court is for check to say */

typedef struct {
    const SxTeam *team;
    SxKept *kept;
} Reading;

static SxKeptPlace nothing_kept(void) {
    return (SxKeptPlace){.who = {SX_NOBODY, 0},
                         .passes = -1,
                         .lane = -1,
                         .attacks_from = -1,
                         .behind = {SX_NOBODY, 0}};
}

/* --- one place ----------------------------------------------------------------------------------
 */

static void read_who(const SxJsonAt *entry, const SxJsonAt *player, const SxJsonAt *position,
                     const Reading *reading, SxWho *who) {
    const bool by_player = sx_json_given(player), by_position = sx_json_given(position);
    if (by_player == by_position) {
        sx_json_fail(entry, by_player ? "a place is kept by 'player' or by 'position', not both"
                                      : "expected 'player' or 'position'");
    }
    if (by_player) {
        who->player = sx_team_read_player(player, reading->team);
    } else if (by_position) {
        sx_json_integer(position, 1, SX_POSITIONS, &who->position);
    }
}

/* A player, or {"position": 1 to 6}. */
static void read_behind(const SxJsonAt *at, const Reading *reading, SxWho *who) {
    static const char *const keys[] = {"position"};
    if (!sx_json_given(at)) {
        return;
    }
    if (cJSON_IsObject(at->item)) {
        SxJsonAt position;
        sx_json_members(at, keys, 1, &position);
        sx_json_integer(&position, 1, SX_POSITIONS, &who->position);
    } else {
        who->player = sx_team_read_player(at, reading->team);
    }
}

static void read_lane_word(const SxJsonAt *at, int *lane) {
    const char *words[SX_LANES];
    for (int k = 0; k < SX_LANES; k++) {
        words[k] = sx_lane_name((SxLane)k);
    }
    if (sx_json_given(at)) {
        *lane = sx_json_word(at, "side", words, SX_LANES);
    }
}

static void read_yes(const SxJsonAt *at, int *answer) {
    bool yes = false;
    if (sx_json_given(at)) {
        sx_json_bool(at, &yes);
        *answer = yes;
    }
}

static bool is_same(SxWho a, SxWho b) {
    return a.player >= 0 ? a.player == b.player : b.player < 0 && a.position == b.position;
}

/* Nobody twice. */
static void add_place(const SxJsonAt *at, const Reading *reading, const SxKeptPlace *place) {
    SxKept *kept = reading->kept;
    for (int k = 0; k < kept->count; k++) {
        if (is_same(kept->place[k].who, place->who)) {
            sx_json_fail(at, "her place is given twice");
        }
    }
    if (!sx_json_failed(at)) {
        kept->place[kept->count++] = *place;
    }
}

enum {
    PLAYER,
    POSITION,
    X,
    Y,
    PASSES,
    ATTACKS,
    WHOLE_FIELDS, /* a place of a whole formation has those before */
    LANE = WHOLE_FIELDS,
    BEHIND,
    NET,
    FIELDS
};

static bool says_something(const SxKeptPlace *place) {
    return place->stands || place->passes >= 0 || place->lane >= 0 || place->attacks_from >= 0 ||
           place->behind.player >= 0 || place->behind.position > 0 || place->at_net;
}

static void read_spot(const SxJsonAt *at, const SxJsonAt *x, const SxJsonAt *y, bool needed,
                      SxKeptPlace *place) {
    if (!needed && !sx_json_given(x) && !sx_json_given(y)) {
        return;
    }
    if (!sx_json_given(x) || !sx_json_given(y)) {
        sx_json_fail(at, "expected both 'x' and 'y'");
    }
    sx_json_number(x, least_metres, most_metres, &place->spot.x);
    sx_json_number(y, least_metres, most_metres, &place->spot.y);
    place->stands = true;
}

static void read_place(const SxJsonAt *at, const Reading *reading) {
    static const char *const keys[FIELDS] = {
        "player", "position", "x", "y", "passes", "attacks_from", "lane", "behind", "at_net"};
    SxJsonAt member[FIELDS] = {{NULL}};
    const bool whole = reading->kept->whole;
    SxKeptPlace place = nothing_kept();
    sx_json_members(at, keys, whole ? WHOLE_FIELDS : FIELDS, member);
    if (sx_json_failed(at)) {
        return;
    }
    read_who(at, &member[PLAYER], &member[POSITION], reading, &place.who);
    read_spot(at, &member[X], &member[Y], whole, &place);
    read_yes(&member[PASSES], &place.passes);
    read_lane_word(&member[ATTACKS], &place.attacks_from);
    if (whole) {
        place.passes = place.passes == 1;
    } else {
        int lane = 0, net = 0;
        if (sx_json_given(&member[LANE])) {
            sx_json_integer(&member[LANE], 1, SX_MAX_PASSERS, &lane);
        }
        place.lane = lane - 1;
        read_behind(&member[BEHIND], reading, &place.behind);
        read_yes(&member[NET], &net);
        place.at_net = net == 1;
        if (place.lane >= 0 && place.passes == 0) {
            sx_json_fail(at, "she cannot have a passing lane and not pass");
        }
        if (!says_something(&place)) {
            sx_json_fail(at,
                         "expected a wish: x and y, passes, lane, attacks_from, behind, at_net");
        }
    }
    add_place(at, reading, &place);
}

/* --- one rotation -------------------------------------------------------------------------------
 */

static void read_places(const SxJsonAt *at, const Reading *reading, bool whole) {
    if (!sx_json_given(at) || !sx_json_array(at, whole ? SX_SLOTS : 1, SX_SLOTS)) {
        return;
    }
    int passers = 0;
    reading->kept->whole = whole;
    for (SxJsonAt entry = sx_json_first(at); entry.item; sx_json_next(&entry)) {
        read_place(&entry, reading);
    }
    for (int k = 0; k < reading->kept->count; k++) {
        passers += reading->kept->place[k].passes == 1;
    }
    if (whole && (passers < SX_MIN_PASSERS || passers > SX_MAX_PASSERS)) {
        sx_json_fail(at, "%d to %d of the six pass (\"passes\": true), found %d", SX_MIN_PASSERS,
                     SX_MAX_PASSERS, passers);
    }
}

static int find_number(const SxTeam *team, int number) {
    char who[16];
    snprintf(who, sizeof who, "#%d", number);
    return sx_team_find(team, who);
}

static void take_drawn(const SxJsonAt *at, const Reading *reading, const SxDrawn *drawn,
                       int rotation) {
    if (drawn->stance.phase != SX_RECEIVE) {
        sx_json_fail(at, "expected a formation in receive, found one at serve");
    }
    if (drawn->rotation >= 0 && drawn->rotation != rotation) {
        sx_json_fail(at, "the formation is of rotation %d, not %d", drawn->rotation + 1,
                     rotation + 1);
    }
    reading->kept->whole = true;
    for (int k = 0; k < SX_POSITIONS && !sx_json_failed(at); k++) {
        SxKeptPlace place = nothing_kept();
        place.who = (SxWho){find_number(reading->team, drawn->player[k].number), k + 1};
        place.stands = true;
        place.spot = drawn->stance.spot[k];
        place.passes = 0;
        if (place.who.player < 0) {
            sx_json_fail(at, "the team has no number %d", drawn->player[k].number);
        }
        add_place(at, reading, &place);
    }
}

static void read_passers(const SxJsonAt *at, const Reading *reading) {
    if (!sx_json_array(at, SX_MIN_PASSERS, SX_MAX_PASSERS)) {
        return;
    }
    for (SxJsonAt entry = sx_json_first(at); entry.item; sx_json_next(&entry)) {
        const int player = sx_team_read_player(&entry, reading->team);
        SxKeptPlace *found = NULL;
        for (int k = 0; k < reading->kept->count; k++) {
            SxKeptPlace *place = &reading->kept->place[k];
            found = place->who.player == player ? place : found;
        }
        if (!found) {
            sx_json_fail(&entry, "she is not in the formation");
        } else if (found->passes == 1) {
            sx_json_fail(&entry, "she is named twice");
        } else {
            found->passes = 1;
        }
    }
}

/* A formation file, or its object. Its faults are told at the place where it is named. */
static void read_drawn(const SxJsonAt *at, const SxJsonAt *passers, const Reading *reading,
                       int rotation) {
    SxDrawnFile file = {0};
    SxError err = {.status = SX_OK};
    SxStatus status = SX_OK;
    if (cJSON_IsString(at->item)) {
        status = sx_drawn_read(at->item->valuestring, &file, &err);
    } else if (cJSON_IsObject(at->item)) {
        char *text = cJSON_PrintUnformatted(at->item);
        status = text ? sx_drawn_parse(text, strlen(text), "drawn", &file, &err)
                      : sx_out_of_memory(&err);
        free(text);
    } else {
        sx_json_wrong(at, "a drawn formation, or the name of its file");
        return;
    }
    if (status == SX_NO_MEMORY) {
        at->document->status = sx_out_of_memory(at->document->err);
    } else if (status != SX_OK) {
        char text[sizeof err + 64];
        sx_json_fail(at, "%s", sx_error_text(&err, text, sizeof text));
    } else if (file.count != 1) {
        sx_json_fail(at, "expected one formation, found %d", file.count);
    } else {
        take_drawn(at, reading, &file.formation[0], rotation);
    }
    sx_drawn_free(&file);
    if (!sx_json_failed(at)) {
        read_passers(passers, reading);
    }
}

static void read_entry(const SxJsonAt *at, const SxTeam *team, SxKept kept[SX_ROTATIONS]) {
    enum { ROTATION, SPOTS, WISHES, DRAWN, PASSERS, SERVER, MEMBERS };
    static const char *const keys[MEMBERS] = {"rotation", "spots",   "wishes",
                                              "drawn",    "passers", "server_x"};
    SxJsonAt member[MEMBERS];
    int rotation = 0;
    sx_json_members(at, keys, MEMBERS, member);
    sx_json_integer(&member[ROTATION], 1, SX_ROTATIONS, &rotation);
    if (sx_json_failed(at)) {
        return;
    }
    SxKept *mine = &kept[rotation - 1];
    const Reading reading = {team, mine};
    if (mine->origin[0]) {
        sx_json_fail(&member[ROTATION], "rotation %d is given twice", rotation);
    }
    const int ways = sx_json_given(&member[SPOTS]) + sx_json_given(&member[WISHES]) +
                     sx_json_given(&member[DRAWN]);
    if (ways > 1 || (ways == 0 && !sx_json_given(&member[SERVER]))) {
        sx_json_fail(at, "expected one of 'spots', 'wishes' and 'drawn'");
    }
    if (sx_json_given(&member[PASSERS]) != sx_json_given(&member[DRAWN])) {
        sx_json_fail(at, "'drawn' needs 'passers', and only 'drawn'");
    }
    char path[SX_ERROR_PATH];
    snprintf(mine->origin, sizeof mine->origin, "%.90s", sx_json_path(at, path, sizeof path));
    read_places(&member[SPOTS], &reading, true);
    read_places(&member[WISHES], &reading, false);
    if (sx_json_given(&member[DRAWN])) {
        read_drawn(&member[DRAWN], &member[PASSERS], &reading, rotation - 1);
    }
    if (sx_json_given(&member[SERVER])) {
        sx_json_number(&member[SERVER], 0, SX_COURT_WIDTH, &mine->server_x);
        mine->server_given = true;
    }
}

void sx_plan_read_kept(const SxJsonAt *at, const SxTeam *team, SxKept kept[SX_ROTATIONS]) {
    if (!sx_json_array(at, 0, SX_ROTATIONS)) {
        return;
    }
    for (SxJsonAt entry = sx_json_first(at); entry.item; sx_json_next(&entry)) {
        read_entry(&entry, team, kept);
    }
}
