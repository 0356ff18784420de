/* Bounds and exact odds of orders whose substitutions run out. */
#include "analysis/stopping.h"

#include "analysis/limitodds.h"
#include "analysis/stays.h"
#include "analysis/stops.h"
#include "core/hash.h"
#include "sixturn/changes.h"
#include "sixturn/eligible.h"
#include "sixturn/kept.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { MOST_PATTERNS = 16, MOST_WAYS = 512, MOST_SYSTEMS = 16, EITHER = SX_ROWS };

/* Which of its two players each slot keeps: a row, or EITHER when that is not known. */
typedef struct {
    signed char row[SX_SLOTS];
} Pattern;

/* A system in which a six may play on, with slot `turn` of the order as its slot 0. */
typedef struct {
    int system, turn, pattern;
} PlayOn;

typedef struct {
    SxSystem system;
    SxFormationTable *table;
    SxProblem problem;
    SetFacts *facts;
} Later;

struct Stopping {
    const SetFacts *facts;
    SxFixture fixture;
    SxPlan plan; /* with what binds to the end */
    bool barred; /* a wish may bar a six that could play the roles */
    bool loose;  /* which slots share two players is not known beforehand */
    bool sure;   /* every six can play on, whoever is in it */
    bool entering[SX_ROTATIONS];
    unsigned changes_into;  /* the same, bit by rotation */
    int most[SX_ROTATIONS]; /* changes that the rules allow, by our start */
    int patterns;
    Pattern pattern[MOST_PATTERNS];
    int laters;
    Later later[MOST_SYSTEMS];
    int ways;
    PlayOn way[MOST_WAYS];
};

/* A way for a six to play on; rates by the order's own steps. */
typedef struct {
    int system, turn;
    bool known;      /* else the rates are bounds: each the most that any libero plan gives */
    StepRates rates; /* with the best libero plan */
} Way;

/* A six that stays, by slot of the order. */
typedef struct {
    signed char who[SX_SLOTS];
    int count;
    Way *way;
} Six;

enum { FIRST_SLOTS = 256, NEVER_STOPS = -1 };

struct StopRoom {
    const Stopping *stopping;
    LimitRoom *limit;
    Stays *stays[MOST_SYSTEMS];
    Six *six; /* all that were met */
    int six_count, six_room;
    int *slot; /* hash table of them: index + 1, 0 empty */
    int slots;
    /* Of the order at hand: */
    bool substitutes;
    bool entering[SX_ROTATIONS];
    int due[SX_ROTATIONS];  /* the six on court when a change is due on entering; -1: not met */
    int most[SX_ROTATIONS]; /* changes by our start, the last before a six that can play on; or
                               NEVER_STOPS: nobody can, and it plays on as before */
};

/* --- what the rules and the system say ---------------------------------------------------------
 */

static bool any_differ(const SetFacts *facts) {
    bool any = false;
    for (int s = 0; s < SX_SLOTS; s++) {
        any = any ||
              (facts->differ[s] && (facts->problem->system->split[s] || facts->specialists > 0));
    }
    return any;
}

/* An order in which a player's number tells slot and row. */
static SxOrder numbered_order(const SxSystem *system) {
    SxOrder order;
    for (int s = 0; s < SX_SLOTS; s++) {
        order.front[s] = SX_ROWS * s + SX_FRONT;
        order.back[s] = system->split[s] ? SX_ROWS * s + SX_BACK : order.front[s];
    }
    return order;
}

static void add_pattern(Stopping *stopping, const int six[SX_SLOTS]) {
    Pattern pattern;
    for (int s = 0; s < SX_SLOTS; s++) {
        pattern.row[s] = (signed char)(six[s] % SX_ROWS);
    }
    for (int k = 0; k < stopping->patterns; k++) {
        if (memcmp(&stopping->pattern[k], &pattern, sizeof pattern) == 0) {
            return;
        }
    }
    if (stopping->patterns < MOST_PATTERNS) {
        stopping->pattern[stopping->patterns++] = pattern;
    } else {
        stopping->loose = true;
    }
}

/* True if the substitutions may run out or be given up. */
static SxStatus find_patterns(Stopping *stopping, bool *stops, SxError *err) {
    const SxProblem *problem = stopping->facts->problem;
    const SxOrder order = numbered_order(problem->system);
    int entering[SX_ROTATIONS];
    const SxLineup lineup = {.order = order};
    sx_lineup_entering(&lineup, entering);
    *stops = false;
    for (int start = 0; start < SX_ROTATIONS; start++) {
        SxChanges changes;
        SxStatus status = sx_changes(&order, start, problem->rules, &changes, err);
        if (status != SX_OK) {
            return status;
        }
        *stops = *stops || changes.end != SX_ENDS_NEVER;
        stopping->entering[start] = entering[start] > 0;
        stopping->changes_into |= (unsigned)stopping->entering[start] << start;
        for (int n = 0; n <= changes.count; n++) {
            int six[SX_SLOTS];
            sx_changes_six(&order, start, &changes, n, six);
            add_pattern(stopping, six);
            stopping->most[start] += n > 0 && sx_changes_may_end(&changes, n);
        }
        if (stopping->most[start] > MOST_STOPS) {
            stopping->loose = true;
        }
    }
    return SX_OK;
}

/* --- systems to play on in ---------------------------------------------------------------------
 */

static SxStatus load_system(Stopping *stopping, const char *id, SxError *err) {
    Later *later = &stopping->later[stopping->laters];
    SxStatus status = sx_system_load(id, &later->system, err);
    if (status != SX_OK || sx_system_splits(&later->system)) {
        return status;
    }
    later->problem = *stopping->facts->problem;
    later->problem.system = &later->system;
    later->problem.plan = &stopping->plan;
    later->problem.against = &stopping->fixture;
    status = sx_plan_formation_table(&stopping->plan, &later->system, NULL, &later->table, err);
    later->problem.table = later->table;
    if (status == SX_OK) {
        status = sx_set_facts_new(&later->problem, &later->facts, err);
    }
    stopping->laters++;
    return status;
}

/* Those who may hold the slot when the team stops. */
static PlayerSet who_may(const Stopping *stopping, const Pattern *pattern, int s) {
    const PlayerSet *can = stopping->facts->can[s];
    return pattern->row[s] == EITHER ? can[SX_FRONT] | can[SX_BACK] : can[(int)pattern->row[s]];
}

/* Counts the places that anyone, and that everyone who may be there can play. */
static void look_at_way(Stopping *stopping, PlayOn way, bool *possible, bool *certain) {
    const SetFacts *later = stopping->later[way.system].facts;
    *possible = *certain = true;
    for (int s = 0; s < SX_SLOTS; s++) {
        const PlayerSet may =
            who_may(stopping, &stopping->pattern[way.pattern], (s + way.turn) % SX_SLOTS);
        *possible = *possible && (may & later->can[s][SX_FRONT]) != 0;
        *certain = *certain && (may & ~later->can[s][SX_FRONT]) == 0;
    }
}

static bool is_barred(const SxPlan *plan) {
    bool barred = false;
    for (int k = 0; k < plan->wish_count; k++) {
        barred = barred || plan->wishes[k].kind == SX_NEVER_PASSES;
    }
    return barred;
}

static void find_ways(Stopping *stopping) {
    stopping->sure = !stopping->loose && !stopping->barred;
    for (int pattern = 0; pattern < stopping->patterns; pattern++) {
        bool any_certain = false;
        for (int k = 0; k < stopping->laters * SX_SLOTS; k++) {
            const PlayOn way = {k / SX_SLOTS, k % SX_SLOTS, pattern};
            bool possible, certain;
            look_at_way(stopping, way, &possible, &certain);
            any_certain = any_certain || certain;
            if (possible && stopping->ways < MOST_WAYS) {
                stopping->way[stopping->ways++] = way;
            }
        }
        stopping->sure = stopping->sure && any_certain;
    }
}

SxStatus sx_stopping_new(const SetFacts *facts, Stopping **out, SxError *err) {
    *out = NULL;
    const SxRules *rules = facts->problem->rules;
    const bool endless =
        rules->substitutions == SX_UNLIMITED && rules->reentry != SX_REENTRY_ONCE_SAME_SUBSTITUTE;
    if (endless || !any_differ(facts)) {
        return SX_OK;
    }
    Stopping *made = calloc(1, sizeof *made);
    if (!made) {
        return sx_out_of_memory(err);
    }
    made->facts = facts;
    made->fixture = (SxFixture){facts->model, facts->problem->against->opponent, NULL};
    sx_play_on_plan(facts->problem->plan, &made->plan);
    made->barred = is_barred(&made->plan);
    made->loose = facts->specialists > 0;
    bool stops = true;
    SxStatus status = made->loose ? SX_OK : find_patterns(made, &stops, err);
    if (made->loose) {
        made->patterns = 1;
        for (int s = 0; s < SX_SLOTS; s++) {
            made->pattern[0].row[s] = (signed char)(facts->differ[s] ? EITHER : SX_FRONT);
        }
    }
    for (int k = 0; status == SX_OK && stops && k < sx_system_count() && k < MOST_SYSTEMS; k++) {
        status = load_system(made, sx_system_id(k), err);
    }
    if (status != SX_OK || !stops) {
        sx_stopping_free(made);
        return status;
    }
    find_ways(made);
    *out = made;
    return SX_OK;
}

void sx_stopping_free(Stopping *stopping) {
    for (int k = 0; stopping && k < stopping->laters; k++) {
        sx_set_facts_free(stopping->later[k].facts);
        sx_formation_table_free(stopping->later[k].table);
    }
    free(stopping);
}

SxStatus sx_stop_room_new(const Stopping *stopping, const SxWork *work, StopRoom **out,
                          SxError *err) {
    StopRoom *room = *out = calloc(1, sizeof *room);
    if (!room) {
        return sx_out_of_memory(err);
    }
    room->stopping = stopping;
    room->limit = sx_limit_room(&stopping->facts->quick);
    SxStatus status = room->limit ? SX_OK : sx_out_of_memory(err);
    for (int k = 0; k < stopping->laters && status == SX_OK; k++) {
        status = sx_stays_new(stopping->later[k].facts, work, &room->stays[k], err);
    }
    return status;
}

void sx_stop_room_free(StopRoom *room) {
    if (!room) {
        return;
    }
    for (int k = 0; k < MOST_SYSTEMS; k++) {
        sx_stays_free(room->stays[k]);
    }
    for (int k = 0; k < room->six_count; k++) {
        free(room->six[k].way);
    }
    free(room->six);
    free(room->slot);
    sx_limit_room_free(room->limit);
    free(room);
}

/* --- bounds ------------------------------------------------------------------------------------
 */

/* The six of a way, as far as it is known, in the system's own slots. */
static void seat_six(const Stopping *stopping, const PlayOn *way, const Seating *seating,
                     Seating *six, PlayerSet allowed[SX_SLOTS][SX_ROWS]) {
    const Pattern *pattern = &stopping->pattern[way->pattern];
    memset(six, 0, sizeof *six);
    memset(six->who, SX_NOBODY, sizeof six->who);
    for (int s = 0; s < SX_SLOTS; s++) {
        const int old = (s + way->turn) % SX_SLOTS;
        const signed char front = seating->who[old][SX_FRONT], back = seating->who[old][SX_BACK];
        const bool either = pattern->row[old] == EITHER;
        const signed char who = !either         ? seating->who[old][(int)pattern->row[old]]
                                : front == back ? front
                                                : SX_NOBODY;
        PlayerSet may = who_may(stopping, pattern, old);
        if (either && front >= 0 && back >= 0) {
            may = player_bit(front) | player_bit(back);
        }
        for (int row = 0; row < SX_ROWS; row++) {
            six->who[s][row] = who;
            allowed[s][row] = may;
        }
        six->used |= who >= 0 ? player_bit(who) : 0;
    }
    six->allowed = (const PlayerSet(*)[SX_ROWS])allowed;
}

static bool can_play(const SetFacts *later, const Seating *six) {
    for (int s = 0; s < SX_SLOTS; s++) {
        const int who = six->who[s][SX_FRONT];
        const PlayerSet may = who >= 0 ? player_bit(who) : six->allowed[s][SX_FRONT] & ~six->used;
        if (!(may & later->can[s][SX_FRONT])) {
            return false;
        }
    }
    return true;
}

/* Raises `out` to the rates of a way, which are by its own rotations. */
static void raise_to(const QuickOdds *quick, const StepRates *own, int turn, StepRates *out) {
    for (int k = 0; k < SX_STEPS; k++) {
        const int then = (k + 2 * turn) % SX_STEPS; /* the order's step of the way's step k */
        for (int t = 0; t < quick->tracks; t++) {
            int old = t;
            while (quick->tracks > 1 && sx_step_theirs(old, then) != sx_step_theirs(t, k)) {
                old = (old + 1) % SX_TRACKS;
            }
            out->of[old][then] = fmax(out->of[old][then], own->of[t][k]);
        }
    }
}

/* False if nobody can play on. */
static bool most_after(const Stopping *stopping, const Seating *seating, StepRates *out) {
    bool any = false;
    memset(out, 0, sizeof *out);
    for (int k = 0; k < stopping->ways; k++) {
        const PlayOn *way = &stopping->way[k];
        const SetFacts *later = stopping->later[way->system].facts;
        PlayerSet allowed[SX_SLOTS][SX_ROWS];
        Seating six;
        StepRates own;
        seat_six(stopping, way, seating, &six, allowed);
        if (can_play(later, &six)) {
            sx_set_facts_bound(later, &six, &own);
            raise_to(&stopping->facts->quick, &own, way->turn, out);
            any = true;
        }
    }
    return any;
}

/* Set odds with so many changes from each start, the ways to play on being known to the room. */
static double value_of(LimitRoom *limit, const QuickOdds *quick, const StepRates *rates,
                       const bool entering[SX_ROTATIONS], const int most[SX_ROTATIONS]) {
    StartOdds odds[MOST_STOPS + 1], best = {{0}}, plain;
    LimitPlan plan = {.rates = rates};
    bool lasts = false;
    memcpy(plan.entering, entering, sizeof plan.entering);
    for (int r = 0; r < SX_ROTATIONS; r++) {
        plan.most = most[r] > plan.most ? most[r] : plan.most;
        lasts = lasts || most[r] == NEVER_STOPS;
    }
    sx_limit_odds(limit, &plan, odds);
    if (lasts) {
        sx_quick_starts(quick, rates, plain);
    }
    for (int r = 0; r < SX_ROTATIONS; r++) {
        for (int phase = 0; phase < SX_PHASES; phase++) {
            best[phase][r] = most[r] == NEVER_STOPS ? plain[phase][r] : odds[most[r]][phase][r];
        }
    }
    return sx_quick_best(quick, best);
}

double sx_stopping_bound(StopRoom *room, const Seating *seating, const StepRates *rates) {
    const Stopping *stopping = room->stopping;
    const QuickOdds *quick = &stopping->facts->quick;
    StepRates after;
    if (!most_after(stopping, seating, &after)) {
        return sx_quick_odds(quick, rates); /* it plays on as before */
    }
    if (!stopping->sure) {
        for (int t = 0; t < quick->tracks; t++) {
            for (int k = 0; k < SX_STEPS; k++) {
                after.of[t][k] = fmax(after.of[t][k], rates->of[t][k]);
            }
        }
        return sx_quick_odds(quick, &after);
    }
    sx_limit_clear(room->limit);
    sx_limit_way(room->limit, &after, stopping->changes_into);
    return value_of(room->limit, quick, rates, stopping->entering, stopping->most);
}

/* --- complete orders ---------------------------------------------------------------------------
 */

/* The table's place for a six: its index + 1, or 0 where it belongs. */
static int *place_of(const StopRoom *room, const signed char who[SX_SLOTS]) {
    unsigned at = sx_hash(who, sizeof room->six[0].who);
    for (;; at++) {
        int *place = &room->slot[at % (unsigned)room->slots];
        if (!*place || memcmp(room->six[*place - 1].who, who, sizeof room->six[0].who) == 0) {
            return place;
        }
    }
}

static SxStatus make_room(StopRoom *room, SxError *err) {
    if (room->six_count == room->six_room) {
        const int more = room->six_room ? 2 * room->six_room : FIRST_SLOTS / 2;
        Six *grown = realloc(room->six, (size_t)more * sizeof *grown);
        if (!grown) {
            return sx_out_of_memory(err);
        }
        room->six = grown;
        room->six_room = more;
    }
    if (2 * room->six_room > room->slots) {
        int *fresh = calloc(2 * (size_t)room->six_room, sizeof *fresh);
        if (!fresh) {
            return sx_out_of_memory(err);
        }
        free(room->slot);
        room->slot = fresh;
        room->slots = 2 * room->six_room;
        for (int k = 0; k < room->six_count; k++) {
            *place_of(room, room->six[k].who) = k + 1;
        }
    }
    return SX_OK;
}

/* The six in the slots of a system; false if it cannot play the roles. */
static bool seat_to_play_on(const SetFacts *later, const Six *six, int turn, Seating *out) {
    memset(out, 0, sizeof *out);
    for (int s = 0; s < SX_SLOTS; s++) {
        const signed char who = six->who[(s + turn) % SX_SLOTS];
        out->who[s][SX_FRONT] = out->who[s][SX_BACK] = who;
        out->used |= player_bit(who);
        if (!(later->can[s][SX_FRONT] & player_bit(who))) {
            return false;
        }
    }
    return true;
}

/* Gives a way its best libero plan and passers. SX_NO without a word if no plan keeps the wishes.
 */
static SxStatus settle_way(StopRoom *room, const Six *six, Way *way, SxError *err) {
    const SetFacts *later = room->stopping->later[way->system].facts;
    Seating seating;
    StayPlan plan;
    seat_to_play_on(later, six, way->turn, &seating);
    const StaysEnd end = sx_stays_best(room->stays[way->system], &seating, -1, &plan);
    if (end == STAYS_NO_MEMORY) {
        return sx_out_of_memory(err);
    }
    if (end == STAYS_STOPPED) {
        return sx_fail(err, SX_OUT_OF_TIME, "the time was up before it was known how to play on");
    }
    if (end == STAYS_NONE) {
        return SX_NO;
    }
    memset(&way->rates, 0, sizeof way->rates);
    raise_to(&later->quick, &plan.rates, way->turn, &way->rates);
    way->known = true;
    return SX_OK;
}

/* Adds a system and turn to the ways of the six if it can play them. */
static SxStatus try_way(StopRoom *room, Six *six, int system, int turn, SxError *err) {
    const SetFacts *later = room->stopping->later[system].facts;
    Seating seating;
    StepRates most;
    if (!seat_to_play_on(later, six, turn, &seating)) {
        return SX_OK;
    }
    const StaysEnd end = sx_stays_most(room->stays[system], &seating, &most);
    if (end != STAYS_FOUND) {
        return end == STAYS_NO_MEMORY ? sx_out_of_memory(err) : SX_OK;
    }
    Way *grown = realloc(six->way, (size_t)(six->count + 1) * sizeof *grown);
    if (!grown) {
        return sx_out_of_memory(err);
    }
    six->way = grown;
    Way *way = &grown[six->count];
    *way = (Way){.system = system, .turn = turn};
    raise_to(&later->quick, &most, turn, &way->rates);
    const SxStatus status = room->stopping->barred ? settle_way(room, six, way, err) : SX_OK;
    six->count += status == SX_OK;
    return status == SX_NO ? SX_OK : status;
}

static SxStatus meet_six(StopRoom *room, const int player[SX_SLOTS], int *index, SxError *err) {
    Six six = {.count = 0};
    for (int s = 0; s < SX_SLOTS; s++) {
        six.who[s] = (signed char)player[s];
    }
    SxStatus status = make_room(room, err);
    if (status != SX_OK) {
        return status;
    }
    int *place = place_of(room, six.who);
    if (*place) {
        *index = *place - 1;
        return SX_OK;
    }
    for (int k = 0; k < room->stopping->laters * SX_SLOTS && status == SX_OK; k++) {
        status = try_way(room, &six, k / SX_SLOTS, k % SX_SLOTS, err);
    }
    if (status != SX_OK) {
        free(six.way);
        return status;
    }
    *index = room->six_count;
    *place = room->six_count + 1;
    room->six[room->six_count++] = six;
    return SX_OK;
}

/* Set odds of the order at hand, with the ways offered. */
static double value_here(StopRoom *room, const StepRates *rates) {
    return value_of(room->limit, &room->stopping->facts->quick, rates, room->entering, room->most);
}

/* How many changes there are from a start, and who is on court when each is due. */
static SxStatus look_at_start(StopRoom *room, const SxOrder *order, int start, SxError *err) {
    SxChanges changes;
    SxStatus status =
        sx_changes(order, start, room->stopping->facts->problem->rules, &changes, err);
    room->most[start] = NEVER_STOPS;
    int made = 0;
    for (int n = 0; status == SX_OK && changes.end != SX_ENDS_NEVER && n <= changes.count; n++) {
        if (!sx_changes_may_end(&changes, n)) {
            continue;
        }
        made += n > 0;
        if (made > MOST_STOPS) {
            return sx_fail(err, SX_INTERNAL, "more than %d changes in a set", MOST_STOPS);
        }
        const int into = n < changes.count ? changes.change[n].rotation : changes.end_rotation;
        if (room->due[into] < 0) { /* as planned up to here, whatever the start */
            int six[SX_SLOTS];
            sx_changes_six(order, start, &changes, n, six);
            status = meet_six(room, six, &room->due[into], err);
        }
        if (status == SX_OK && room->six[room->due[into]].count > 0) {
            room->most[start] = made;
        }
    }
    return status;
}

/* Tells the room every way to play on of those who are on court when a change is due. */
static void offer_ways(StopRoom *room) {
    sx_limit_clear(room->limit);
    for (int r = 0; r < SX_ROTATIONS; r++) {
        const Six *six = room->due[r] >= 0 ? &room->six[room->due[r]] : NULL;
        for (int w = 0; six && w < six->count; w++) {
            sx_limit_way(room->limit, &six->way[w].rates, 1U << r);
        }
    }
}

static SxStatus settle_ways(StopRoom *room, SxError *err) {
    SxStatus status = SX_OK;
    for (int r = 0; r < SX_ROTATIONS && status == SX_OK; r++) {
        Six *six = room->due[r] >= 0 ? &room->six[room->due[r]] : NULL;
        for (int w = 0; six && w < six->count && status == SX_OK; w++) {
            status = six->way[w].known ? SX_OK : settle_way(room, six, &six->way[w], err);
        }
    }
    return status;
}

SxStatus sx_stopping_order(StopRoom *room, const Seating *seating, const StepRates *most,
                           double floor, bool *hopeless, SxError *err) {
    SxLineup lineup;
    int entering[SX_ROTATIONS];
    memset(&lineup, 0, sizeof lineup);
    *hopeless = false;
    room->substitutes = false;
    for (int s = 0; s < SX_SLOTS; s++) {
        lineup.order.front[s] = seating->who[s][SX_FRONT];
        lineup.order.back[s] = seating->who[s][SX_BACK];
        room->substitutes = room->substitutes || lineup.order.front[s] != lineup.order.back[s];
    }
    if (!room->substitutes) {
        return SX_OK;
    }
    SxStatus status = SX_OK;
    sx_lineup_entering(&lineup, entering);
    for (int r = 0; r < SX_ROTATIONS; r++) {
        room->entering[r] = entering[r] > 0;
        room->due[r] = -1;
    }
    for (int start = 0; start < SX_ROTATIONS && status == SX_OK; start++) {
        status = look_at_start(room, &lineup.order, start, err);
    }
    if (status == SX_OK) {
        offer_ways(room);
        *hopeless = value_here(room, most) <= floor;
    }
    if (status == SX_OK && !*hopeless) {
        status = settle_ways(room, err);
        offer_ways(room);
    }
    return status;
}

double sx_stopping_value(StopRoom *room, const StepRates *rates) {
    return room->substitutes ? value_here(room, rates)
                             : sx_quick_odds(&room->stopping->facts->quick, rates);
}
