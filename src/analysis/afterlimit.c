/* When the substitutions of a set are used up: every six that may stay, and how they play on. */
#include "sixturn/afterlimit.h"

#include "analysis/stops.h"
#include "sixturn/bestset.h"
#include "sixturn/kept.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* A way for a six to play on: in one turn of one system. */
typedef struct {
    SxAfterLimit after;
    SxLineup lineup; /* in the numbers of after.system; its formations are not kept */
} Way;

/* A six that stays, and its ways. */
typedef struct {
    int player[SX_SLOTS];
    int first, count;
} Six;

typedef struct {
    SxSystem system;
    SxFormationTable *table; /* made when first needed */
} Shelved;

struct Shelf {
    const SxProblem *problem;
    SxFixture fixture; /* without measured rates, which belong to the lineup's own rotations */
    const SxOwnRates *measured;
    SxTeam team; /* only those of a six, and who may be a libero, are available */
    SxPlan plan; /* with what binds to the end */
    bool loaded;
    int system_count;
    Shelved *system;
    int six_count, six_room;
    Six *six;
    int way_count, way_room;
    Way *way;
};

/* Who sits, sits to the end, and who never passes does not begin to. */
static bool binds_to_the_end(const SxWish *wish) {
    return wish->kind == SX_MUST_SIT || wish->kind == SX_NEVER_PASSES;
}

void sx_play_on_plan(const SxPlan *plan, SxPlan *out) {
    *out = *plan;
    out->wish_count = 0;
    for (int k = 0; k < plan->wish_count; k++) {
        if (binds_to_the_end(&plan->wishes[k])) {
            out->wishes[out->wish_count++] = plan->wishes[k];
        }
    }
    out->start = -1;
    out->specialists = 0;
    for (int r = 0; r < SX_ROTATIONS; r++) {
        out->rotation_weight[r] = 1;
    }
}

SxStatus sx_shelf_new(const SxProblem *problem, const SxFixture *fixture, Shelf **shelf,
                      SxError *err) {
    Shelf *made = calloc(1, sizeof *made);
    *shelf = NULL;
    if (!made) {
        return sx_out_of_memory(err);
    }
    made->problem = problem;
    made->fixture = (SxFixture){fixture->model, fixture->opponent, NULL};
    made->measured = fixture->measured;
    sx_play_on_plan(problem->plan, &made->plan);
    made->system = calloc((size_t)sx_system_count(), sizeof *made->system);
    if (!made->system) {
        free(made);
        return sx_out_of_memory(err);
    }
    *shelf = made;
    return SX_OK;
}

void sx_shelf_free(Shelf *shelf) {
    if (!shelf) {
        return;
    }
    for (int k = 0; k < shelf->system_count; k++) {
        sx_formation_table_free(shelf->system[k].table);
    }
    free(shelf->system);
    free(shelf->six);
    free(shelf->way);
    free(shelf);
}

/* The shipped systems that need no substitutions. */
static SxStatus load_systems(Shelf *shelf, SxError *err) {
    for (int k = 0; k < sx_system_count() && !shelf->loaded; k++) {
        SxSystem *system = &shelf->system[shelf->system_count].system;
        const SxStatus status = sx_system_load(sx_system_id(k), system, err);
        if (status != SX_OK) {
            return status;
        }
        shelf->system_count += !sx_system_splits(system);
    }
    shelf->loaded = true;
    return SX_OK;
}

/* Can the six, with slot `turn` of theirs as slot 0, play the system's roles? */
static bool fits(const SxTeam *team, const SxSystem *system, const int six[SX_SLOTS], int turn) {
    for (int s = 0; s < SX_SLOTS; s++) {
        const SxPlayer *who = &team->players[six[(s + turn) % SX_SLOTS]];
        for (int row = 0; row < SX_ROWS; row++) {
            if (who->fitness[system->duty[s][row].role] <= 0) {
                return false;
            }
        }
    }
    return true;
}

static SxStatus need_table(Shelf *shelf, Shelved *place, SxError *err) {
    return place->table
               ? SX_OK
               : sx_plan_formation_table(&shelf->plan, &place->system, NULL, &place->table, err);
}

/* Nobody else but a libero may come in. */
static void clear_court(Shelf *shelf, const int six[SX_SLOTS]) {
    const SxTeam *team = shelf->problem->team;
    shelf->team = *team;
    for (int p = 0; p < team->player_count; p++) {
        bool stays = team->players[p].fitness[SX_LIBERO] > 0;
        for (int s = 0; s < SX_SLOTS; s++) {
            stays = stays || six[s] == p;
        }
        shelf->team.players[p].available = stays && team->players[p].available;
    }
}

/* Room for one more in a growing list. */
static void *room_for(void *list, int count, int *room, size_t size) {
    if (count < *room) {
        return list;
    }
    const int more = *room ? 2 * *room : 8;
    void *grown = realloc(list, (size_t)more * size);
    *room = grown ? more : *room;
    return grown;
}

static SxStatus try_turn(Shelf *shelf, Shelved *place, int turn, Six *six, SxError *err) {
    const SxProblem problem = {.team = &shelf->team,
                               .rules = shelf->problem->rules,
                               .system = &place->system,
                               .plan = &shelf->plan,
                               .table = place->table,
                               .scoring = shelf->problem->scoring,
                               .against = &shelf->fixture};
    SxOrder order;
    Way *grown = room_for(shelf->way, shelf->way_count, &shelf->way_room, sizeof *grown);
    if (!grown) {
        return sx_out_of_memory(err);
    }
    shelf->way = grown;
    Way *way = &grown[shelf->way_count];
    for (int s = 0; s < SX_SLOTS; s++) {
        order.front[s] = order.back[s] = six->player[(s + turn) % SX_SLOTS];
    }
    const SxStatus status = sx_order_best(&problem, &order, &way->lineup, err);
    if (status != SX_OK) {
        return sx_is_failure(status) ? status : SX_OK;
    }
    for (int r = 0; r < SX_ROTATIONS; r++) {
        way->lineup.rotation[r].receive = NULL; /* borrowed from a table that ends with the shelf */
    }
    way->after = (SxAfterLimit){.found = true, .turn = turn, .win = way->lineup.win};
    memcpy(way->after.six, six->player, sizeof way->after.six);
    snprintf(way->after.system, sizeof way->after.system, "%s", place->system.id);
    shelf->way_count++;
    six->count++;
    return SX_OK;
}

static SxStatus play_on(Shelf *shelf, Six *six, SxError *err) {
    SxStatus status = load_systems(shelf, err);
    clear_court(shelf, six->player);
    six->first = shelf->way_count;
    for (int k = 0; k < shelf->system_count * SX_SLOTS && status == SX_OK; k++) {
        Shelved *place = &shelf->system[k / SX_SLOTS];
        const int turn = k % SX_SLOTS;
        if (fits(&shelf->team, &place->system, six->player, turn)) {
            status = need_table(shelf, place, err);
            if (status == SX_OK) {
                status = try_turn(shelf, place, turn, six, err);
            }
        }
    }
    return status;
}

static const Six *known_six(const Shelf *shelf, const int player[SX_SLOTS]) {
    for (int k = 0; k < shelf->six_count; k++) {
        if (memcmp(shelf->six[k].player, player, sizeof shelf->six[k].player) == 0) {
            return &shelf->six[k];
        }
    }
    return NULL;
}

static SxStatus meet_six(Shelf *shelf, const int player[SX_SLOTS], SxError *err) {
    if (known_six(shelf, player)) {
        return SX_OK;
    }
    Six *grown = room_for(shelf->six, shelf->six_count, &shelf->six_room, sizeof *grown);
    if (!grown) {
        return sx_out_of_memory(err);
    }
    shelf->six = grown;
    Six *fresh = &grown[shelf->six_count];
    memset(fresh, 0, sizeof *fresh);
    memcpy(fresh->player, player, sizeof fresh->player);
    const SxStatus status = play_on(shelf, fresh, err);
    shelf->six_count += status == SX_OK;
    return status;
}

/* The six's rates by the rotations of the old lineup; measured ones are moved as the model moves.
 */
static void rates_of(const Shelf *shelf, const Way *way, const SxLineup *old, SxRates *rates) {
    SxRates own, usual;
    sx_lineup_rates(&way->lineup, &shelf->fixture, &own);
    for (int r = 0; r < SX_ROTATIONS; r++) {
        const int theirs = (r + way->after.turn) % SX_ROTATIONS; /* the old number of rotation r */
        memcpy(rates->receive[theirs], own.receive[r], sizeof own.receive[r]);
        memcpy(rates->serve[theirs], own.serve[r], sizeof own.serve[r]);
    }
    if (shelf->measured) {
        /* measured rates hold against an average opponent, or as they are against an even one */
        SxOpponent average;
        sx_opponent_average(&average);
        const bool even = shelf->fixture.opponent->even;
        const SxFixture then = {shelf->fixture.model, even ? shelf->fixture.opponent : &average,
                                NULL};
        sx_lineup_rates(old, &then, &usual);
        sx_rates_override(shelf->measured, &usual, rates);
    }
}

/* Do the rules ever end the changes? */
static SxStatus may_end(const Shelf *shelf, const SxLineup *lineup, bool *ends, SxError *err) {
    SxStatus status = SX_OK;
    *ends = false;
    for (int start = 0; start < SX_ROTATIONS && status == SX_OK; start++) {
        SxChanges changes;
        status = sx_changes(&lineup->order, start, shelf->problem->rules, &changes, err);
        *ends = *ends || (status == SX_OK && changes.end != SX_ENDS_NEVER);
    }
    return status;
}

/* Who is on court when changes are due on entering a rotation: all as planned until then. */
static void six_before(const SxLineup *lineup, int rotation, int six[SX_SLOTS]) {
    for (int s = 0; s < SX_SLOTS; s++) {
        six[s] = sx_slot_player(lineup, (rotation + SX_ROTATIONS - 1) % SX_ROTATIONS, s);
    }
}

/* Every way of those who are on court when changes are due. */
static SxStatus list_ways(Shelf *shelf, const SxLineup *lineup, const int entering[SX_ROTATIONS],
                          Stops *stops, SxError *err) {
    stops->stop = calloc(SX_MOST_STOPS, sizeof *stops->stop);
    stops->after = calloc(SX_MOST_STOPS, sizeof *stops->after);
    stops->rates = calloc((size_t)shelf->way_count + 1, sizeof *stops->rates);
    if (!stops->stop || !stops->after || !stops->rates) {
        return sx_out_of_memory(err);
    }
    for (int w = 0; w < shelf->way_count; w++) {
        rates_of(shelf, &shelf->way[w], lineup, &stops->rates[w]);
    }
    for (int r = 0; r < SX_ROTATIONS; r++) {
        int player[SX_SLOTS];
        six_before(lineup, r, player);
        const Six *six = entering[r] > 0 ? known_six(shelf, player) : NULL;
        for (int w = 0; six && w < six->count && stops->count < SX_MOST_STOPS; w++) {
            stops->after[stops->count] = shelf->way[six->first + w].after;
            stops->stop[stops->count++] = (SxStop){r, &stops->rates[six->first + w]};
        }
    }
    return SX_OK;
}

SxStatus sx_stops_list(Shelf *shelf, const SxLineup *lineup, Stops *stops, SxError *err) {
    int entering[SX_ROTATIONS];
    bool ends;
    memset(stops, 0, sizeof *stops);
    sx_lineup_entering(lineup, entering);
    SxStatus status = may_end(shelf, lineup, &ends, err);
    for (int r = 0; r < SX_ROTATIONS && status == SX_OK && ends; r++) {
        int six[SX_SLOTS];
        six_before(lineup, r, six);
        status = entering[r] > 0 ? meet_six(shelf, six, err) : SX_OK;
    }
    if (status == SX_OK && ends) {
        status = list_ways(shelf, lineup, entering, stops, err);
    }
    if (status != SX_OK) {
        sx_stops_free(stops);
    }
    return status;
}

void sx_stops_free(Stops *stops) {
    free(stops->stop);
    free(stops->after);
    free(stops->rates);
    memset(stops, 0, sizeof *stops);
}
