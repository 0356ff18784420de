/* Ways of the libero round the twelve situations: kept while no other way is better. */
#include "analysis/stays.h"

#include "sixturn/bestset.h"
#include "sixturn/eligible.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum {
    SITUATIONS = SX_ROTATIONS * SX_PHASES, /* rotation 0 serving, 0 receiving, 1 serving, ... */
    NO_SERVE = -1,
    FEW = 16,           /* ways at a place that are not worth a bound */
    A_GUESS = 8,        /* ways at a place that are followed for a first guess */
    MOST_REFUTED = 24,  /* ways remembered that promise too little */
    BETWEEN_LOOKS = 16, /* ways gone on with between two looks at the clock */
    ALL_TURNS = SX_BACK_TURNS
};

static int rotation_of(int situation) {
    return situation / SX_PHASES;
}

static SxPhase phase_of(int situation) {
    return situation % SX_PHASES == 0 ? SX_SERVE : SX_RECEIVE;
}

static int step_of(int situation) {
    return sx_step_of((SxServeState){rotation_of(situation), 0, phase_of(situation)});
}

/* A stay with its best formation (or one of several, against six different rotations). */
typedef struct {
    Stay stay;
    int libero_index; /* among the liberos at hand, -1: nobody */
    const Choice *choice;
    SituationRates rates;
} Alternative;

typedef struct {
    Alternative *item;
    int count, room;
    SituationRates best; /* each the most that any alternative gives */
} Situation;

/* A way through the first situations. */
typedef struct {
    int alternative, first;        /* where it is, where it began */
    int before;                    /* way in the situation before */
    int serve_slot;                /* in which a libero has served; NO_SERVE */
    double most;                   /* what it wins at most; negative: not known yet */
    uint64_t named;                /* liberos that were in, where that matters */
    signed char covered[SX_SLOTS]; /* receptions for a slot, where they are limited */
    signed char seen[2];           /* receptions of the liberos who need some */
} Way;

typedef struct {
    Way *way;
    SituationRates *rates; /* [way][situation] */
    int count, room;
} Ways;

/* A way that wins no more than the floor even with the best of all situations after its last. So
 * does each that is nowhere better up to there. */
typedef struct {
    int last;
    SituationRates rates[SITUATIONS];
} Refuted;

struct Stays {
    const SetFacts *facts;
    StaysValue value;
    void *value_context;
    const SxWork *work;
    bool stopped; /* before all ways were walked */
    const Seating *seating;
    int liberos[SX_MAX_PLAYERS], libero_count;
    bool track_named;
    uint64_t must_appear;
    int most_covered[SX_SLOTS]; /* receptions in which the libero may stand in for the slot */
    int needed_by[2], needed[2], needed_count; /* liberos (by index) who need receptions */
    unsigned must_cover;                       /* slots without whose player we receive */
    Situation situation[SITUATIONS];
    Ways ways[SITUATIONS];
    int refuted_count; /* in all, more than are remembered */
    Refuted refuted[MOST_REFUTED];
    const Choice *choices[MOST_CHOICES];
    SituationRates choice_rates[MOST_CHOICES];
};

SxStatus sx_stays_new(const SetFacts *facts, const SxWork *work, Stays **out, SxError *err) {
    *out = calloc(1, sizeof **out);
    if (!*out) {
        return sx_out_of_memory(err);
    }
    (*out)->facts = facts;
    (*out)->work = work;
    return SX_OK;
}

void sx_stays_value(Stays *stays, StaysValue value, void *context) {
    stays->value = value;
    stays->value_context = context;
}

static double value_of(const Stays *stays, const StepRates *rates) {
    return stays->value ? stays->value(stays->value_context, rates)
                        : sx_quick_odds(&stays->facts->quick, rates);
}

void sx_stays_free(Stays *stays) {
    if (!stays) {
        return;
    }
    for (int t = 0; t < SITUATIONS; t++) {
        free(stays->situation[t].item);
        free(stays->ways[t].way);
        free(stays->ways[t].rates);
    }
    free(stays);
}

/* --- wishes ------------------------------------------------------------------------------------
 */

static int slot_of(const Seating *seating, int player) {
    for (int s = 0; s < SX_SLOTS; s++) {
        if (seating->who[s][SX_FRONT] == player || seating->who[s][SX_BACK] == player) {
            return s;
        }
    }
    return -1;
}

static int libero_index(const Stays *stays, int player) {
    for (int k = 0; k < stays->libero_count; k++) {
        if (stays->liberos[k] == player) {
            return k;
        }
    }
    return -1;
}

/* False if the wish cannot be kept. */
static bool limit_cover(Stays *stays, const SxWish *wish) {
    const int s = slot_of(stays->seating, wish->player);
    if (s < 0) {
        const int k = libero_index(stays, wish->player);
        if (wish->value <= 0) {
            return true;
        }
        for (int n = 0; n < stays->needed_count; n++) {
            if (stays->needed_by[n] == k) {
                stays->needed[n] = wish->value > stays->needed[n] ? wish->value : stays->needed[n];
                return true;
            }
        }
        if (k < 0 || stays->needed_count == 2) {
            return false; /* not there, or a third libero who must play */
        }
        stays->needed_by[stays->needed_count] = k;
        stays->needed[stays->needed_count++] = wish->value;
        return true;
    }
    const bool front = stays->seating->who[s][SX_FRONT] == wish->player;
    const bool back = stays->seating->who[s][SX_BACK] == wish->player;
    const int played = (front ? SX_ROTATIONS - SX_BACK_TURNS : 0) + (back ? SX_BACK_TURNS : 0);
    if (back && played - wish->value < stays->most_covered[s]) {
        stays->most_covered[s] = played - wish->value;
    }
    return played >= wish->value;
}

static bool take_wish(Stays *stays, const SxWish *wish) {
    const int s = slot_of(stays->seating, wish->player);
    switch (wish->kind) {
    case SX_MIN_ROTATIONS:
        return limit_cover(stays, wish);
    case SX_MUST_PLAY:
        if (s < 0) {
            const int k = libero_index(stays, wish->player);
            stays->must_appear |= k >= 0 ? (uint64_t)1 << k : 0;
            return k >= 0;
        }
        return true;
    case SX_NOT_BACK_ROW:
    case SX_LIBERO_FOR:
        if (s >= 0 && stays->seating->who[s][SX_BACK] == wish->player) {
            stays->must_cover |= 1u << s;
        } else if (s >= 0 && wish->kind == SX_LIBERO_FOR) {
            return stays->facts->problem->system->split[s]; /* no substitute instead */
        }
        return true;
    case SX_MUST_SIT:
    case SX_FIXED_SLOT:
    case SX_OPPOSITE_PAIR:
    case SX_NOT_ADJACENT:
    case SX_NEVER_PASSES:
    case SX_ALWAYS_PASSES:
    case SX_NOT_FRONT_ROW:
    case SX_MAX_SUBSTITUTIONS:
    case SX_MUST_SET:
    case SX_WISH_KINDS:
        break; /* nothing that a libero changes, or looked at rotation by rotation */
    }
    return true;
}

static bool is_wished(const Stays *stays, int player) {
    const SxPlan *plan = stays->facts->problem->plan;
    for (int k = 0; k < plan->wish_count; k++) {
        if (plan->wishes[k].player == player || plan->wishes[k].other == player) {
            return true;
        }
    }
    return false;
}

static bool no_worse(const Stays *stays, int a, int b) {
    const double *left = stays->facts->problem->team->players[a].skill;
    const double *right = stays->facts->problem->team->players[b].skill;
    return left[SX_PASSING] >= right[SX_PASSING] && left[SX_DIGGING] >= right[SX_DIGGING] &&
           left[SX_SERVING] >= right[SX_SERVING];
}

/* Liberos at hand: all who have no place, but for those whom another one replaces at no loss. */
static void find_liberos(Stays *stays) {
    const SetFacts *facts = stays->facts;
    stays->libero_count = 0;
    const PlayerSet left = facts->liberos & ~stays->seating->used;
    for (int p = 0; p < facts->problem->team->player_count; p++) {
        bool needless = false;
        for (int q = 0; q < facts->problem->team->player_count && !needless; q++) {
            needless = q != p && (left & player_bit(q)) && !is_wished(stays, p) &&
                       !is_wished(stays, q) && no_worse(stays, q, p) &&
                       (q < p || !no_worse(stays, p, q));
        }
        if ((left & player_bit(p)) && !needless) {
            stays->liberos[stays->libero_count++] = p;
        }
    }
}

static bool take_wishes(Stays *stays) {
    const SxProblem *problem = stays->facts->problem;
    stays->must_appear = 0;
    stays->must_cover = 0;
    stays->needed_count = 0;
    for (int s = 0; s < SX_SLOTS; s++) {
        stays->most_covered[s] = ALL_TURNS;
    }
    for (int k = 0; k < problem->plan->wish_count; k++) {
        if (!take_wish(stays, &problem->plan->wishes[k])) {
            return false;
        }
    }
    stays->track_named = stays->must_appear || stays->libero_count > problem->rules->liberos;
    return true;
}

/* --- the situations ----------------------------------------------------------------------------
 */

typedef struct {
    const Stays *stays;
    Stay stay;
} OnCourt;

static bool passers_allowed(const void *context, int rotation, unsigned passers) {
    const OnCourt *on = context;
    const Seating *seating = on->stays->seating;
    const SxPlan *plan = on->stays->facts->problem->plan;
    for (int k = 0; k < plan->wish_count; k++) {
        const SxWish *wish = &plan->wishes[k];
        if (wish->kind != SX_NEVER_PASSES && wish->kind != SX_ALWAYS_PASSES) {
            continue;
        }
        for (int s = 0; s < SX_SLOTS; s++) {
            const int who = on->stay.libero >= 0 && on->stay.slot == s
                                ? on->stay.libero
                                : seating->who[s][sx_slot_row(s, rotation)];
            if (who == wish->player && (passers >> s & 1) == (wish->kind == SX_NEVER_PASSES)) {
                return false;
            }
        }
    }
    return true;
}

static Alternative *new_alternative(Situation *at) {
    if (at->count == at->room) {
        const int room = at->room ? 2 * at->room : 16;
        Alternative *grown = realloc(at->item, (size_t)room * sizeof *grown);
        if (!grown) {
            return NULL;
        }
        at->item = grown;
        at->room = room;
    }
    return &at->item[at->count++];
}

static bool may_stay(const Stays *stays, int t, int slot) {
    const int r = rotation_of(t);
    if (!(stays->facts->libero_slots[r] >> slot & 1)) {
        return false;
    }
    return phase_of(t) == SX_RECEIVE || slot != r || stays->facts->problem->rules->libero_serves;
}

/* False if out of memory. */
static bool add_stay(Stays *stays, int t, Stay stay, int index) {
    const SetFacts *facts = stays->facts;
    Situation *at = &stays->situation[t];
    const int r = rotation_of(t), tracks = facts->quick.tracks;
    int count = 1;
    for (int s = 0; s < SX_SLOTS; s++) {
        const bool own_serve = phase_of(t) == SX_SERVE && s == r;
        const bool stays_back = sx_slot_row(s, r) == SX_BACK && stay.slot != s && !own_serve;
        if (stays->must_cover >> s & 1 && stays_back) {
            return true;
        }
    }
    if (phase_of(t) == SX_RECEIVE) {
        const OnCourt on = {stays, stay};
        count =
            sx_set_facts_receive(facts, stays->seating, r, stay.libero, stay.slot, passers_allowed,
                                 &on, MOST_CHOICES, stays->choices, stays->choice_rates);
    } else {
        stays->choices[0] = NULL;
        sx_set_facts_serve(facts, stays->seating, r, stay.libero, stay.slot,
                           stays->choice_rates[0]);
    }
    for (int c = 0; c < count; c++) {
        Alternative *new = new_alternative(at);
        if (!new) {
            return false;
        }
        new->stay = stay;
        new->libero_index = index;
        new->choice = stays->choices[c];
        memcpy(new->rates, stays->choice_rates[c], sizeof new->rates);
        for (int j = 0; j < tracks; j++) {
            at->best[j] = fmax(at->best[j], new->rates[j]);
        }
    }
    return true;
}

static bool find_alternatives(Stays *stays) {
    for (int t = 0; t < SITUATIONS; t++) {
        Situation *at = &stays->situation[t];
        at->count = 0;
        memset(at->best, 0, sizeof at->best);
        bool room = add_stay(stays, t, (Stay){SX_NOBODY, -1}, -1);
        for (int s = 0; s < SX_SLOTS; s++) {
            for (int k = 0; k < stays->libero_count && may_stay(stays, t, s); k++) {
                room = room && add_stay(stays, t, (Stay){stays->liberos[k], s}, k);
            }
        }
        if (!room) {
            return false;
        }
    }
    return true;
}

/* --- ways --------------------------------------------------------------------------------------
 */

static bool serves(int t, const Stay *stay) {
    return stay->libero >= 0 && phase_of(t) == SX_SERVE && stay->slot == rotation_of(t);
}

static bool same_stay(const Stay *a, const Stay *b) {
    return a->libero == b->libero && a->slot == b->slot;
}

/* May situation t be played with `now` after `before`? FIVB 19: a rally between two replacements;
 * coming in to serve is no exception but where a libero may serve (see libero.h). */
static bool may_follow(const Stays *stays, int t, const Stay *before, const Stay *now) {
    const bool at_once = before->libero >= 0 && now->libero >= 0 && before->slot != now->slot;
    return !at_once || (stays->facts->problem->rules->libero_serves && serves(t, now));
}

/* Is the way a as good as b wherever they may go from here? */
static bool outdoes(const Stays *stays, int t, const Ways *ways, int a, const Way *b,
                    SituationRates *rates) {
    const Way *way = &ways->way[a];
    const Situation *at = &stays->situation[t];
    if (way->first != b->first || way->named != b->named ||
        (way->serve_slot != NO_SERVE && way->serve_slot != b->serve_slot) ||
        !same_stay(&at->item[way->alternative].stay, &at->item[b->alternative].stay)) {
        return false;
    }
    for (int s = 0; s < SX_SLOTS; s++) {
        if (way->covered[s] > b->covered[s]) {
            return false;
        }
    }
    for (int k = 0; k < stays->needed_count; k++) {
        if (way->seen[k] < b->seen[k]) {
            return false;
        }
    }
    for (int u = 0; u <= t; u++) {
        for (int j = 0; j < stays->facts->quick.tracks; j++) {
            if (ways->rates[(size_t)a * SITUATIONS + u][j] < rates[u][j]) {
                return false;
            }
        }
    }
    return true;
}

static bool ways_reserve(Ways *ways) {
    if (ways->count < ways->room) {
        return true;
    }
    const int room = ways->room ? 2 * ways->room : 32;
    Way *way = realloc(ways->way, (size_t)room * sizeof *way);
    ways->way = way ? way : ways->way;
    SituationRates *rates =
        way ? realloc(ways->rates, (size_t)room * SITUATIONS * sizeof *rates) : NULL;
    if (!rates) {
        return false;
    }
    ways->rates = rates;
    ways->room = room;
    return true;
}

static void drop_way(Ways *ways, int k) {
    const int last = ways->count - 1;
    if (k != last) {
        memmove(&ways->way[k], &ways->way[k + 1], (size_t)(last - k) * sizeof ways->way[0]);
        memmove(ways->rates[(size_t)k * SITUATIONS], ways->rates[(size_t)(k + 1) * SITUATIONS],
                (size_t)(last - k) * SITUATIONS * sizeof ways->rates[0]);
    }
    ways->count--;
}

/* False if out of memory. */
static bool keep_way(Stays *stays, int t, const Way *way, SituationRates *rates) {
    Ways *ways = &stays->ways[t];
    for (int k = 0; k < ways->count; k++) {
        if (outdoes(stays, t, ways, k, way, rates)) {
            return true;
        }
    }
    if (!ways_reserve(ways)) {
        return false;
    }
    const int new = ways->count++;
    ways->way[new] = *way;
    memcpy(ways->rates[(size_t) new *SITUATIONS], rates, (size_t)(t + 1) * sizeof *rates);
    for (int k = new - 1; k >= 0; k--) {
        if (outdoes(stays, t, ways, ways->count - 1, &ways->way[k],
                    &ways->rates[(size_t)k * SITUATIONS])) {
            drop_way(ways, k);
        }
    }
    return true;
}

/* What the stay adds to the counts of a way; false if the wishes or the rules bar it. */
static bool count_stay(const Stays *stays, int t, const Alternative *now, Way *way) {
    if (now->libero_index < 0) {
        return true;
    }
    if (serves(t, &now->stay)) {
        if (way->serve_slot != NO_SERVE && way->serve_slot != now->stay.slot) {
            return false;
        }
        way->serve_slot = now->stay.slot;
    }
    if (stays->track_named) {
        way->named |= (uint64_t)1 << now->libero_index;
        int named = 0;
        for (uint64_t rest = way->named; rest; rest &= rest - 1) {
            named++;
        }
        if (named > stays->facts->problem->rules->liberos) {
            return false;
        }
    }
    if (phase_of(t) != SX_RECEIVE) {
        return true;
    }
    for (int k = 0; k < stays->needed_count; k++) {
        if (stays->needed_by[k] == now->libero_index && way->seen[k] < stays->needed[k]) {
            way->seen[k]++;
        }
    }
    if (stays->most_covered[now->stay.slot] < ALL_TURNS) {
        way->covered[now->stay.slot]++;
        return way->covered[now->stay.slot] <= stays->most_covered[now->stay.slot];
    }
    return true;
}

static bool is_best(const Stays *stays, int t, const Alternative *item) {
    for (int j = 0; j < stays->facts->quick.tracks; j++) {
        if (item->rates[j] < stays->situation[t].best[j]) {
            return false;
        }
    }
    return true;
}

/* How many ways are walked: with the best of each situation alone; the few that promise most; the
 * same of those that begin with nobody in, which can come round whatever they end with; all. */
typedef enum { BEST_ALONE, A_FEW, A_FEW_FROM_NOBODY, ALL_WAYS } Effort;

static bool begin(Stays *stays, Effort effort) {
    Situation *at = &stays->situation[0];
    stays->ways[0].count = 0;
    for (int a = 0; a < at->count; a++) {
        Way way = {.alternative = a, .first = a, .before = -1, .serve_slot = NO_SERVE, .most = -1};
        if ((effort == BEST_ALONE && !is_best(stays, 0, &at->item[a])) ||
            (effort == A_FEW_FROM_NOBODY && at->item[a].libero_index >= 0) ||
            !count_stay(stays, 0, &at->item[a], &way)) {
            continue;
        }
        if (!keep_way(stays, 0, &way, &at->item[a].rates)) {
            return false;
        }
    }
    return true;
}

static bool go_on(Stays *stays, int t, Effort effort) {
    const Situation *before = &stays->situation[t - 1], *at = &stays->situation[t];
    const Ways *from = &stays->ways[t - 1];
    SituationRates rates[SITUATIONS];
    stays->ways[t].count = 0;
    for (int k = 0; k < from->count && !stays->stopped; k++) {
        stays->stopped = k % BETWEEN_LOOKS == 0 && sx_work_over(stays->work);
        memcpy(rates, from->rates[(size_t)k * SITUATIONS], (size_t)t * sizeof rates[0]);
        for (int a = 0; a < at->count; a++) {
            Way way = from->way[k];
            if ((effort == BEST_ALONE && !is_best(stays, t, &at->item[a])) ||
                !may_follow(stays, t, &before->item[way.alternative].stay, &at->item[a].stay) ||
                !count_stay(stays, t, &at->item[a], &way)) {
                continue;
            }
            way.alternative = a;
            way.before = k;
            way.most = is_best(stays, t, &at->item[a]) ? way.most : -1;
            memcpy(rates[t], at->item[a].rates, sizeof rates[t]);
            if (!keep_way(stays, t, &way, rates)) {
                return false;
            }
        }
    }
    return true;
}

/* Rates of a way so far, and the best of every situation after it. */
static void put_rates(const Stays *stays, int t, const Ways *ways, int k, StepRates *out) {
    for (int u = 0; u < SITUATIONS; u++) {
        const double *rates =
            u <= t ? ways->rates[(size_t)k * SITUATIONS + u] : stays->situation[u].best;
        sx_set_facts_put(stays->facts, step_of(u), rates, out);
    }
}

/* What they win. */
static double most_of(const Stays *stays, int t, Ways *ways, int k) {
    Way *way = &ways->way[k];
    if (way->most < 0) {
        StepRates rates;
        put_rates(stays, t, ways, k, &rates);
        way->most = value_of(stays, &rates);
    }
    return way->most;
}

static bool nowhere_better(const Stays *stays, SituationRates *a, SituationRates *b, int last) {
    for (int u = 0; u <= last; u++) {
        for (int j = 0; j < stays->facts->quick.tracks; j++) {
            if (a[u][j] > b[u][j]) {
                return false;
            }
        }
    }
    return true;
}

static bool is_refuted(Stays *stays, SituationRates *rates) {
    for (int k = 0; k < stays->refuted_count && k < MOST_REFUTED; k++) {
        if (nowhere_better(stays, rates, stays->refuted[k].rates, stays->refuted[k].last)) {
            return true;
        }
    }
    return false;
}

static void remember_refuted(Stays *stays, int t, SituationRates *rates) {
    Refuted *refuted = &stays->refuted[stays->refuted_count++ % MOST_REFUTED];
    refuted->last = t;
    memcpy(refuted->rates, rates, (size_t)(t + 1) * sizeof *rates);
}

static void drop_hopeless(Stays *stays, int t, double floor) {
    Ways *ways = &stays->ways[t];
    for (int k = ways->count - 1; k >= 0 && ways->count > FEW; k--) {
        SituationRates *rates = &ways->rates[(size_t)k * SITUATIONS];
        if (is_refuted(stays, rates)) {
            drop_way(ways, k);
        } else if (most_of(stays, t, ways, k) <= floor) {
            remember_refuted(stays, t, rates);
            drop_way(ways, k);
        }
    }
}

static bool closes(const Stays *stays, const Way *way) {
    const int last = SITUATIONS - 1;
    if (!may_follow(stays, 0, &stays->situation[last].item[way->alternative].stay,
                    &stays->situation[0].item[way->first].stay) ||
        (way->named & stays->must_appear) != stays->must_appear) {
        return false;
    }
    for (int k = 0; k < stays->needed_count; k++) {
        if (way->seen[k] < stays->needed[k]) {
            return false;
        }
    }
    return true;
}

static void write_plan(const Stays *stays, int k, StayPlan *out) {
    for (int t = SITUATIONS - 1; t >= 0; t--) {
        const Way *way = &stays->ways[t].way[k];
        const Alternative *item = &stays->situation[t].item[way->alternative];
        out->stay[rotation_of(t)][phase_of(t)] = item->stay;
        if (phase_of(t) == SX_RECEIVE) {
            out->choice[rotation_of(t)] = item->choice;
        }
        k = way->before;
    }
}

/* Keeps the few ways that promise most. False if out of memory. */
static bool keep_promising(Stays *stays, int t) {
    Ways *ways = &stays->ways[t];
    double most[A_GUESS];
    int count = 0;
    if (ways->count <= A_GUESS) {
        return true;
    }
    double *here = malloc((size_t)ways->count * sizeof *here);
    if (!here) {
        return false;
    }
    for (int k = 0; k < ways->count; k++) {
        here[k] = most_of(stays, t, ways, k);
        int at = count < A_GUESS ? count++ : A_GUESS;
        for (; at > 0 && here[k] > most[at - 1]; at--) {
            if (at < A_GUESS) {
                most[at] = most[at - 1];
            }
        }
        if (at < A_GUESS) {
            most[at] = here[k];
        }
    }
    for (int k = ways->count - 1; k >= 0 && ways->count > A_GUESS; k--) {
        if (here[k] < most[A_GUESS - 1]) {
            drop_way(ways, k);
        }
    }
    free(here);
    return true;
}

static StaysEnd search_ways(Stays *stays, Effort effort, double floor, StayPlan *out) {
    const int last = SITUATIONS - 1;
    const bool guess = effort == A_FEW || effort == A_FEW_FROM_NOBODY;
    stays->refuted_count = 0;
    if (!begin(stays, effort)) {
        return STAYS_NO_MEMORY;
    }
    for (int t = 1; t < SITUATIONS; t++) {
        if (!go_on(stays, t, effort)) {
            return STAYS_NO_MEMORY;
        }
        if (stays->stopped) {
            return STAYS_STOPPED;
        }
        if (guess && !keep_promising(stays, t)) {
            return STAYS_NO_MEMORY;
        }
        if (!guess) {
            drop_hopeless(stays, t, floor);
        }
    }
    Ways *ways = &stays->ways[last];
    StaysEnd end = STAYS_NONE;
    double best = floor;
    for (int k = 0; k < ways->count; k++) {
        if (!closes(stays, &ways->way[k]) ||
            is_refuted(stays, &ways->rates[(size_t)k * SITUATIONS])) {
            continue;
        }
        const double win = most_of(stays, last, ways, k);
        if (win > best) {
            best = out->win = win;
            put_rates(stays, last, ways, k, &out->rates);
            write_plan(stays, k, out);
            end = STAYS_FOUND;
        }
    }
    return end;
}

StaysEnd sx_stays_most(Stays *stays, const Seating *seating, StepRates *most) {
    stays->seating = seating;
    stays->stopped = false;
    find_liberos(stays);
    if (!take_wishes(stays)) {
        return STAYS_NONE;
    }
    if (!find_alternatives(stays)) {
        return STAYS_NO_MEMORY;
    }
    for (int t = 0; t < SITUATIONS; t++) {
        if (stays->situation[t].count == 0) {
            return STAYS_NONE;
        }
        sx_set_facts_put(stays->facts, step_of(t), stays->situation[t].best, most);
    }
    return STAYS_FOUND;
}

StaysEnd sx_stays_best(Stays *stays, const Seating *seating, double floor, StayPlan *out) {
    StepRates most;
    out->win = -1;
    const StaysEnd end = sx_stays_most(stays, seating, &most);
    return end == STAYS_FOUND ? sx_stays_within(stays, &most, floor, out) : end;
}

StaysEnd sx_stays_within(Stays *stays, const StepRates *most, double floor, StayPlan *out) {
    out->win = -1;
    if (value_of(stays, most) <= floor) {
        return STAYS_NONE;
    }
    StaysEnd end = search_ways(stays, BEST_ALONE, floor, out);
    if (end != STAYS_NONE) {
        return end;
    }
    if (floor < 0) { /* nothing is known yet: what a few ways give bounds all of them */
        end = search_ways(stays, A_FEW, floor, out);
        end = end == STAYS_NONE ? search_ways(stays, A_FEW_FROM_NOBODY, floor, out) : end;
        floor = end == STAYS_FOUND ? out->win - SX_SAME_SET_ODDS : floor;
    }
    return end == STAYS_NO_MEMORY || end == STAYS_STOPPED
               ? end
               : search_ways(stays, ALL_WAYS, floor, out);
}

static void name_libero(SxLineup *lineup, int player) {
    if (player >= 0 && player != lineup->liberos[0] && player != lineup->liberos[1]) {
        lineup->liberos[lineup->libero_count++] = player;
    }
}

void sx_stays_lineup(const SetFacts *facts, const Seating *seating, const StayPlan *plan,
                     SxLineup *out) {
    memset(out, 0, sizeof *out);
    out->start = facts->problem->plan->start >= 0 ? facts->problem->plan->start : 0;
    out->liberos[0] = out->liberos[1] = SX_NOBODY;
    for (int s = 0; s < SX_SLOTS; s++) {
        out->order.front[s] = seating->who[s][SX_FRONT];
        out->order.back[s] = seating->who[s][SX_BACK];
    }
    for (int r = 0; r < SX_ROTATIONS; r++) {
        const Stay *receive = &plan->stay[r][SX_RECEIVE], *serve = &plan->stay[r][SX_SERVE];
        SxRotation *at = &out->rotation[r];
        at->libero = receive->libero;
        at->libero_slot = receive->slot;
        at->serve_libero = serve->libero;
        at->serve_libero_slot = serve->slot;
        at->libero_serves = serves(SX_PHASES * r, serve);
        at->passers = plan->choice[r]->passers;
        at->sides = plan->choice[r]->sides;
        name_libero(out, serve->libero);
        name_libero(out, receive->libero);
    }
    if (out->libero_count == 2 && out->liberos[0] > out->liberos[1]) {
        const int swap = out->liberos[0];
        out->liberos[0] = out->liberos[1];
        out->liberos[1] = swap;
    }
    sx_lineup_score(facts->problem, out);
}
