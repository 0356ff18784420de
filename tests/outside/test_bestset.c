/* The best set odds against brute force: every order of a small roster, every way of the libero
 * round a cycle, every set of passers and sides, and a chain of its own for the set. Lineups are
 * valued rally by rally with the library's parts and rally odds, which have their own checks. No
 * search, no bound, no solver: all ways are walked. What is worse is left out, because a set is won
 * at least as often with better rallies: other passers and sides for the same people on court, a
 * libero who gains nothing in a situation, beginnings of ways that may go on alike, and whole ways.
 */
#include "sixturn/bestset.h"
#include "sixturn/evaluate.h"
#include "support.h"

#include <criterion/criterion.h>
#include <glpk.h>
#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum {
    SITUATIONS = 12,
    MOST_STATES = 16,
    MOST_ORDERS = 64,
    MOST_KEPT = 4096,
    MOST_WAYS = 16384, /* kept, of all orders */
    MOST_PARTS = 65536,
    BUCKETS = 1024,
    MOST_WISHED = sizeof(uint64_t), /* a byte each */
    MOST_STEPS = 1000000,
    MOST_STAGES = 4000,
    TOP = 10
};

/* All the rosters, of which claims can be made that every kind is among them; a few where the
   sanitizers look for faults of memory only. */
enum { ALL_ROSTERS = 300, ROSTERS = SANITIZED ? 20 : ALL_ROSTERS };

/* --- a set, played out -------------------------------------------------------------------------
 */

/* Rotations of theirs that differ: 6, or 1 where they are all alike. */
static int differing = 6;

/* Our odds by situation: 2 r serving, 2 r + 1 receiving in rotation r; in each, one after the
 * other, against those rotations of theirs that differ. */
typedef struct {
    double rally[SITUATIONS * 6];
} Rallies;

/* [their rotation][ours][1: we serve]: where theirs are alike, the first of them is all there is.
 */
typedef double Values[6][6][2];

static size_t bytes_used(void) {
    return (size_t)differing * sizeof(double[6][2]);
}

static double larger(double a, double b) {
    return a > b ? a : b;
}

static double rally_of(const Rallies *rallies, int ours, int theirs, int serving) {
    return rallies->rally[(2 * ours + !serving) * differing + theirs];
}

/* One rally from everywhere, given what a point for us and a point for them lead to. */
static void play(const Rallies *rallies, Values won, Values lost, Values out) {
    for (int theirs = 0; theirs < differing; theirs++) {
        const int turned = theirs + 1 < differing ? theirs + 1 : 0;
        for (int ours = 0; ours < 6; ours++) {
            const double serving = rally_of(rallies, ours, theirs, 1);
            const double receiving = rally_of(rallies, ours, theirs, 0);
            out[theirs][ours][1] =
                serving * won[theirs][ours][1] + (1 - serving) * lost[turned][ours][0];
            out[theirs][ours][0] = receiving * won[theirs][(ours + 1) % 6][1] +
                                   (1 - receiving) * lost[theirs][ours][0];
        }
    }
}

static void set_all(Values values, double value) {
    double *each = &values[0][0][0];
    for (int k = 0; k < 12 * differing; k++) {
        each[k] = value;
    }
}

/* The largest change from one to the other. */
static double change(Values a, Values b) {
    double most = 0;
    for (int k = 0; k < 12 * differing; k++) {
        most = larger(most, fabs((&a[0][0][0])[k] - (&b[0][0][0])[k]));
    }
    return most;
}

/* Level at target - 1 or beyond: swept until nothing moves. */
static void play_level(const Rallies *rallies, Values out) {
    Values ahead, behind, won, lost, before;
    set_all(out, 0.5);
    set_all(won, 1);
    set_all(lost, 0);
    for (double moved = 1; moved > 1e-14;) {
        memcpy(before, out, bytes_used());
        play(rallies, won, out, ahead);
        play(rallies, out, lost, behind);
        play(rallies, ahead, behind, out);
        moved = change(out, before);
    }
}

/* Sets without a cap. Either team serves first equally often, they start anywhere, we where it is
 * best or in `start`. */
static double set_odds(const Rallies *rallies, int target, int start) {
    static Values row[2][32];
    Values level, won, lost;
    cr_assert_lt(target, 32);
    set_all(won, 1);
    set_all(lost, 0);
    play_level(rallies, level);
    for (int ours = target - 1; ours >= 0; ours--) {
        Values *here = row[ours % 2], *above = row[(ours + 1) % 2];
        for (int theirs = target - 1; theirs >= 0; theirs--) {
            if (ours == target - 1 && theirs == target - 1) {
                memcpy(here[theirs], level, bytes_used());
                continue;
            }
            play(rallies, ours + 1 < target ? above[theirs] : won,
                 theirs + 1 < target ? here[theirs + 1] : lost, here[theirs]);
        }
    }
    double sum = 0;
    for (int serving = 0; serving < 2; serving++) {
        double best = 0;
        for (int r = 0; r < 6; r++) {
            double mean = 0;
            for (int theirs = 0; theirs < differing; theirs++) {
                mean += row[0][0][theirs][r][serving] / differing;
            }
            best = start < 0 || r == start ? larger(best, mean) : best;
        }
        sum += best / 2;
    }
    return sum;
}

/* --- who may do what ---------------------------------------------------------------------------
 */

typedef struct {
    int libero, slot; /* -1: nobody */
} State;

/* A state of a situation with one set of passers. */
typedef struct {
    State state;
    unsigned passers;
    int sides;
    double rally[6];
    uint64_t came; /* what it adds for every wish that counts something, a byte for each */
} Option;

/* A wish for something to come about so often in a whole cycle. */
typedef struct {
    const SxWish *wish;
    int least, most;
} Count;

typedef struct {
    int front[6], back[6];
    int first_way, ways; /* kept */
    double win;
} Ranked;

typedef struct {
    const Desk *desk;
    const SxFixture *fixture;
    int front[6], back[6];
    Option option[SITUATIONS][MOST_STATES * 64];
    int options[SITUATIONS];
    bool needless[MOST_STATES * 64];
    Count wished[MOST_WISHED];
    int wished_count;
    Rallies kept[MOST_KEPT];
    int kept_count;
    Ranked ranked[MOST_ORDERS];
    int count;
    bool too_many;
    bool barred;    /* a wish left no way for a six in some system */
    bool two_alike; /* two ways round win equally often with other rallies */
    long steps, stages;
} Brute;

/* Slot s serves in rotation s, and is in the back row then and in the next two rotations. */
static bool in_back(int s, int r) {
    return (r - s + 6) % 6 < 3;
}

static bool holds_place(const Brute *brute, int player) {
    for (int s = 0; s < 6; s++) {
        if (brute->front[s] == player || brute->back[s] == player) {
            return true;
        }
    }
    return false;
}

static bool may_stand_in(const Brute *brute, int situation, int player, int slot) {
    const SxPlayer *who = &brute->desk->team.players[player];
    const int r = situation / 2;
    const bool serves = situation % 2 == 0 && slot == r;
    const bool sets = brute->desk->system.setter_slot[r] == slot; /* she is no setter */
    return brute->desk->rules.liberos > 0 && who->available && who->fitness[SX_LIBERO] > 0 &&
           !holds_place(brute, player) && in_back(slot, r) && !sets &&
           (!serves || brute->desk->rules.libero_serves);
}

/* From one situation to the next: a rally between two replacements, but to come in to serve. */
static bool may_follow(const Brute *brute, State a, State b, int situation) {
    const int r = situation / 2;
    const bool serve = situation % 2 == 0;
    const bool comes_to_serve = serve && b.slot == r && brute->desk->rules.libero_serves;
    return a.libero < 0 || b.libero < 0 || a.slot == b.slot || comes_to_serve;
}

static int owner(const Brute *brute, int s, int r) {
    return in_back(s, r) ? brute->back[s] : brute->front[s];
}

/* Never pass, always pass: by who stands there. */
static bool passing_wishes_hold(const Brute *brute, int r, State state, unsigned passers) {
    const SxPlan *plan = &brute->desk->plan;
    for (int k = 0; k < plan->wish_count; k++) {
        for (int s = 0; s < 6; s++) {
            const int who = state.slot == s ? state.libero : owner(brute, s, r);
            const bool passes = passers >> s & 1;
            if (who == plan->wishes[k].player &&
                ((plan->wishes[k].kind == SX_NEVER_PASSES && passes) ||
                 (plan->wishes[k].kind == SX_ALWAYS_PASSES && !passes))) {
                return false;
            }
        }
    }
    return true;
}

/* --- what a rally is worth ---------------------------------------------------------------------
 */

static void value_option(const Brute *brute, int situation, Option *option) {
    const int r = situation / 2, serving = situation % 2 == 0;
    const SxSystem *system = &brute->desk->system;
    const unsigned near = 1u << r | 1u << (r + 5) % 6 | 1u << (r + 1) % 6;
    SxSix six = {.libero = {-1, -1}, .libero_slot = {-1, -1}};
    double part[SX_PARTS];
    for (int s = 0; s < 6; s++) {
        six.player[s] = owner(brute, s, r);
    }
    six.libero[serving ? SX_SERVE : SX_RECEIVE] = option->state.libero;
    six.libero_slot[serving ? SX_SERVE : SX_RECEIVE] = option->state.slot;
    six.receive = sx_formation_at(brute->desk->table, r, serving ? near : option->passers,
                                  serving ? sx_usual_sides(system, r) : option->sides);
    sx_rotation_parts(&brute->desk->problem, r, &six, part);
    const SxRallyModel *model = brute->fixture->model;
    const SxSide ours = sx_side_of_parts(model, part, sx_front_attackers(system, r));
    for (int theirs = 0; theirs < differing; theirs++) {
        const SxSide *them = &brute->fixture->opponent->rotation[theirs];
        option->rally[theirs] =
            serving ? 1 - sx_side_out(model, them, &ours) : sx_side_out(model, &ours, them);
    }
}

static bool covers(const double *a, const double *b, int count) {
    for (int k = 0; k < count; k++) {
        if (a[k] < b[k]) {
            return false;
        }
    }
    return true;
}

static bool covers_all(const Rallies *a, const Rallies *b) {
    return covers(a->rally, b->rally, SITUATIONS * differing);
}

/* One situation's odds to the place of another. */
static void copy_situation(const double *from, int situation, Rallies *out) {
    memcpy(&out->rally[situation * differing], from, (size_t)differing * sizeof *from);
}

static void add_option(Brute *brute, int situation, State state, unsigned passers, int sides) {
    Option new = {.state = state, .passers = passers, .sides = sides};
    value_option(brute, situation, &new);
    int kept = 0;
    for (int k = 0; k < brute->options[situation]; k++) {
        Option *old = &brute->option[situation][k];
        const bool same = old->state.libero == state.libero && old->state.slot == state.slot;
        if (same && covers(old->rally, new.rally, differing)) {
            return;
        }
        if (!same || !covers(new.rally, old->rally, differing)) {
            brute->option[situation][kept++] = *old;
        }
    }
    brute->option[situation][kept++] = new;
    brute->options[situation] = kept;
}

static void add_state(Brute *brute, int situation, State state) {
    const Desk *desk = brute->desk;
    const int r = situation / 2;
    if (situation % 2 == 0) {
        add_option(brute, situation, state, 0, 0);
        return;
    }
    for (int choice = 0; choice < 64 * SX_SIDES; choice++) {
        const unsigned passers = (unsigned)(choice / SX_SIDES);
        const int sides = choice % SX_SIDES;
        const SxFormation *formation = sx_formation_at(desk->table, r, passers, sides);
        if (formation && formation->feasible &&
            desk->plan.passers >> sx_count_members(passers) & 1 &&
            passing_wishes_hold(brute, r, state, passers)) {
            add_option(brute, situation, state, passers, sides);
        }
    }
}

/* Does any wish ask for a libero, or for what she does? Without one, she comes in for the rallies
 * alone. */
static bool wishes_ask_for_liberos(const Brute *brute) {
    const Desk *desk = brute->desk;
    for (int k = 0; k < desk->plan.wish_count; k++) {
        const SxWish *w = &desk->plan.wishes[k];
        const bool hers = w->player >= 0 && desk->team.players[w->player].fitness[SX_LIBERO] > 0;
        if (hers || w->kind == SX_MIN_ROTATIONS || w->kind == SX_NOT_BACK_ROW ||
            w->kind == SX_LIBERO_FOR) {
            return true;
        }
    }
    return false;
}

static int liberos_at_hand(const Brute *brute) {
    int count = 0;
    for (int p = 0; p < brute->desk->team.player_count; p++) {
        const SxPlayer *who = &brute->desk->team.players[p];
        count += who->available && who->fitness[SX_LIBERO] > 0 && !holds_place(brute, p);
    }
    return count;
}

/* Nobody may always be in instead of a libero, and one libero instead of another who may both be
 * named: who gains nothing in a situation is left out. */
static void leave_out_needless(Brute *brute, int situation) {
    const bool all_named = liberos_at_hand(brute) <= brute->desk->rules.liberos;
    Option *option = brute->option[situation];
    int kept = 0;
    for (int k = 0; k < brute->options[situation]; k++) {
        bool needless = false;
        for (int j = 0; j < brute->options[situation] && option[k].state.libero >= 0; j++) {
            const State *other = &option[j].state;
            const bool at_will =
                other->libero < 0 || (all_named && other->slot == option[k].state.slot &&
                                      other->libero != option[k].state.libero);
            const bool equal = covers(option[k].rally, option[j].rally, differing);
            needless |= at_will && covers(option[j].rally, option[k].rally, differing) &&
                        (!equal || other->libero < option[k].state.libero);
        }
        brute->needless[k] = needless;
    }
    for (int k = 0; k < brute->options[situation]; k++) {
        if (!brute->needless[k]) {
            option[kept++] = option[k];
        }
    }
    brute->options[situation] = kept;
}

static void list_options(Brute *brute) {
    const bool asked_for = wishes_ask_for_liberos(brute);
    for (int situation = 0; situation < SITUATIONS; situation++) {
        brute->options[situation] = 0;
        add_state(brute, situation, (State){-1, -1});
        for (int s = 0; s < 6; s++) {
            for (int p = 0; p < brute->desk->team.player_count; p++) {
                if (may_stand_in(brute, situation, p, s)) {
                    add_state(brute, situation, (State){p, s});
                }
            }
        }
        if (!asked_for) {
            leave_out_needless(brute, situation);
        }
    }
}

/* --- wishes, in plain words --------------------------------------------------------------------
 */

static int place_of(const Brute *brute, int player) {
    for (int s = 0; s < 6; s++) {
        if (brute->front[s] == player || brute->back[s] == player) {
            return s;
        }
    }
    return -1;
}

/* What asks for the order alone: true of all others. */
static bool order_keeps_wish(const Brute *brute, const SxWish *w) {
    const int here = place_of(brute, w->player);
    const int there = w->other >= 0 ? place_of(brute, w->other) : -1;
    bool sets = false;
    int changes = 0;
    for (int r = 0; r < 6; r++) {
        sets |= owner(brute, brute->desk->system.setter_slot[r], r) == w->player;
        changes += brute->front[r] != brute->back[r] ? 2 : 0;
    }
    switch (w->kind) {
    case SX_FIXED_SLOT:
        return here == w->value;
    case SX_OPPOSITE_PAIR:
        return here < 0 ? there < 0 : there == (here + 3) % 6;
    case SX_NOT_ADJACENT:
        return here < 0 || there < 0 || ((here + 1) % 6 != there && (there + 1) % 6 != here);
    case SX_NOT_FRONT_ROW:
        return here < 0 || brute->front[here] != w->player;
    case SX_MAX_SUBSTITUTIONS:
        return changes <= w->value;
    case SX_MUST_SET:
        return sets;
    default:
        return true;
    }
}

static bool order_keeps_wishes(const Brute *brute) {
    for (int k = 0; k < brute->desk->plan.wish_count; k++) {
        if (!order_keeps_wish(brute, &brute->desk->plan.wishes[k])) {
            return false;
        }
    }
    return true;
}

/* Is she in the back row, but to serve? */
static int stands_at_the_back(const Brute *brute, int player, int situation, State state) {
    const int s = place_of(brute, player), r = situation / 2;
    const bool serves = situation % 2 == 0 && s == r;
    return s >= 0 && in_back(s, r) && brute->back[s] == player && state.slot != s && !serves;
}

/* What one situation adds to what the wish counts. */
static int comes_about(const Brute *brute, const SxWish *w, int situation, State state) {
    const int s = place_of(brute, w->player), r = situation / 2;
    switch (w->kind) {
    case SX_MUST_PLAY:
    case SX_MUST_SIT:
        return state.libero == w->player;
    case SX_MIN_ROTATIONS: /* on court when they serve */
        return situation % 2 == 1 &&
               (state.libero == w->player ||
                (s >= 0 && owner(brute, s, r) == w->player && state.slot != s));
    default:
        return stands_at_the_back(brute, w->player, situation, state);
    }
}

/* How often it must come about. Passing wishes were looked at with the passers, those for the order
 * before. */
static bool wished_count(const Brute *brute, const SxWish *w, Count *out) {
    const int here = place_of(brute, w->player);
    *out = (Count){w, 0, 0};
    switch (w->kind) {
    case SX_MUST_PLAY:
        *out = (Count){w, here < 0, SITUATIONS};
        return true;
    case SX_MUST_SIT:
        *out = (Count){w, 0, here < 0 ? 0 : -1};
        return true;
    case SX_MIN_ROTATIONS:
        *out = (Count){w, w->value, SITUATIONS};
        return true;
    case SX_LIBERO_FOR: /* and no substitute instead */
        out->most = here < 0 || brute->desk->system.split[here] ||
                            brute->front[here] != w->player || brute->back[here] == w->player
                        ? 0
                        : -1;
        return true;
    default:
        return w->kind == SX_NOT_BACK_ROW;
    }
}

/* Lists the wishes that count something, and what every option adds for them. */
static void count_for_wishes(Brute *brute) {
    brute->wished_count = 0;
    for (int k = 0; k < brute->desk->plan.wish_count; k++) {
        Count count;
        if (wished_count(brute, &brute->desk->plan.wishes[k], &count)) {
            cr_assert_lt(brute->wished_count, MOST_WISHED);
            brute->wished[brute->wished_count++] = count;
        }
    }
    for (int t = 0; t < SITUATIONS; t++) {
        for (int k = 0; k < brute->options[t]; k++) {
            Option *option = &brute->option[t][k];
            option->came = 0;
            for (int n = 0; n < brute->wished_count; n++) {
                const int adds = comes_about(brute, brute->wished[n].wish, t, option->state);
                option->came |= (uint64_t)adds << 8 * n;
            }
        }
    }
}

static bool counts_hold(const Brute *brute, uint64_t came) {
    for (int n = 0; n < brute->wished_count; n++) {
        const int count = came >> 8 * n & UINT8_MAX;
        if (count < brute->wished[n].least || count > brute->wished[n].most) {
            return false;
        }
    }
    return true;
}

/* --- everything --------------------------------------------------------------------------------
 */

static void keep_way(Brute *brute, const Rallies *new) {
    for (int k = 0; k < brute->kept_count; k++) {
        if (covers_all(&brute->kept[k], new)) {
            return;
        }
    }
    int kept = 0;
    for (int k = 0; k < brute->kept_count; k++) {
        if (!covers_all(new, &brute->kept[k])) {
            brute->kept[kept++] = brute->kept[k];
        }
    }
    cr_assert_lt(kept, MOST_KEPT);
    brute->kept[kept++] = *new;
    brute->kept_count = kept;
}

/* All of a way round up to some situation that tells how it may go on. */
typedef struct {
    State first, last;
    int named[2];   /* liberos who came in, the higher first; -1: none */
    int serve_slot; /* the one place in which they may serve; -1: none yet */
    int situations; /* so far */
    uint64_t came;  /* for the wishes that count */
} Walk;

/* No more liberos than may be named. */
static bool name(const Brute *brute, int libero, int named[2]) {
    const int names = (named[0] >= 0) + (named[1] >= 0);
    if (libero == named[0] || libero == named[1]) {
        return true;
    }
    if (names == brute->desk->rules.liberos) {
        return false;
    }
    named[1] = libero < named[0] ? libero : named[0];
    named[0] = libero > named[0] ? libero : named[0];
    return true;
}

/* With an option of the next situation; false if the rules bar it. */
static bool go_on(const Brute *brute, const Option *option, Walk *walk) {
    const int t = walk->situations++;
    const State state = option->state;
    if (t > 0 && !may_follow(brute, walk->last, state, t)) {
        return false;
    }
    walk->first = t > 0 ? walk->first : state;
    walk->last = state;
    walk->came += option->came;
    if (state.libero >= 0 && t % 2 == 0 && state.slot == t / 2) { /* serves */
        if (walk->serve_slot >= 0 && walk->serve_slot != state.slot) {
            return false;
        }
        walk->serve_slot = state.slot;
    }
    return state.libero < 0 || name(brute, state.libero, walk->named);
}

/* The best rallies up to a situation of some ways that may go on alike. */
typedef struct {
    Walk walk;
    long ways; /* so many, the worse ones included */
    Rallies rallies;
    int next; /* of the bucket; -1: none */
} Part;

/* All ways up to one situation. */
typedef struct {
    int bucket[BUCKETS];
    Part part[MOST_PARTS];
    int parts;
} Layer;

static int bucket_of(const Walk *walk) {
    uint64_t hash = walk->came;
    const int word[] = {walk->first.libero, walk->first.slot, walk->last.libero, walk->last.slot,
                        walk->named[0],     walk->named[1],   walk->serve_slot};
    for (size_t k = 0; k < sizeof word / sizeof word[0]; k++) {
        hash = hash * 0x9e3779b97f4a7c15u + (uint64_t)(word[k] + 1); /* 2^64 / the golden ratio */
    }
    return (int)((hash ^ hash >> 32) % BUCKETS);
}

static bool may_go_on_alike(const Walk *a, const Walk *b) {
    return a->came == b->came && a->last.libero == b->last.libero && a->last.slot == b->last.slot &&
           a->first.libero == b->first.libero && a->first.slot == b->first.slot &&
           a->named[0] == b->named[0] && a->named[1] == b->named[1] &&
           a->serve_slot == b->serve_slot;
}

/* Unless another is as good in every rally; those that are worse are counted with it. */
static void add_part(Layer *layer, const Part *new) {
    const int odds = new->walk.situations *differing;
    int *first = &layer->bucket[bucket_of(&new->walk)];
    long ways = new->ways;
    for (int *link = first; *link >= 0;) {
        Part *old = &layer->part[*link];
        const bool alike = may_go_on_alike(&old->walk, &new->walk);
        if (alike && covers(old->rallies.rally, new->rallies.rally, odds)) {
            old->ways += ways;
            return;
        }
        if (alike && covers(new->rallies.rally, old->rallies.rally, odds)) {
            ways += old->ways;
            old->ways = 0; /* is no more */
            *link = old->next;
        } else {
            link = &old->next;
        }
    }
    cr_assert_lt(layer->parts, MOST_PARTS);
    Part *part = &layer->part[layer->parts];
    *part = *new;
    part->ways = ways;
    part->next = *first;
    *first = layer->parts++;
}

static void clear_layer(Layer *layer) {
    layer->parts = 0;
    memset(layer->bucket, -1, sizeof layer->bucket);
}

static void go_on_all(Brute *brute, const Layer *layer, int t, Layer *next) {
    clear_layer(next);
    for (int n = 0; n < layer->parts && !brute->too_many; n++) {
        if (layer->part[n].ways == 0) {
            continue;
        }
        brute->steps += layer->part[n].ways;
        brute->too_many |= brute->steps > MOST_STEPS;
        for (int k = 0; k < brute->options[t]; k++) {
            const Option *option = &brute->option[t][k];
            Part longer = layer->part[n];
            if (go_on(brute, option, &longer.walk)) {
                copy_situation(option->rally, t, &longer.rallies);
                add_part(next, &longer);
            }
        }
    }
}

/* Every way of the libero, of the passers and of the sides. */
static void walk_all(Brute *brute) {
    static Layer layer[2];
    list_options(brute);
    count_for_wishes(brute);
    brute->kept_count = 0;
    clear_layer(&layer[0]);
    add_part(&layer[0], &(Part){.walk = {.named = {-1, -1}, .serve_slot = -1}, .ways = 1});
    for (int t = 0; t < SITUATIONS; t++) {
        go_on_all(brute, &layer[t % 2], t, &layer[(t + 1) % 2]);
    }
    const Layer *all = &layer[SITUATIONS % 2];
    for (int n = 0; n < all->parts; n++) {
        const Walk *walk = &all->part[n].walk;
        brute->steps += all->part[n].ways;
        if (all->part[n].ways > 0 && may_follow(brute, walk->last, walk->first, 0) &&
            counts_hold(brute, walk->came)) {
            keep_way(brute, &all->part[n].rallies);
        }
    }
    brute->too_many |= brute->steps > MOST_STEPS;
}

/* --- when substitutions run out ----------------------------------------------------------------
 */

enum {
    MOST_MADE = 18,
    MOST_SYSTEMS = 8,
    MOST_PLAYS = 6 * MOST_SYSTEMS,
    MOST_SIXES = 64,
    MOST_FOUND = 2000,
    POINTS = 25
};

typedef Values Board[POINTS][POINTS];

/* Play in which the next changes are still to come: what it is worth at every score. */
typedef struct {
    Board board;
    Values ahead; /* one up after target - 1 all */
} Stage;

/* One rally; with a change on entering a rotation it goes on as `changed` says. */
static void play_changing(const Rallies *rallies, const bool entering[6], Values won,
                          Values changed, Values lost, Values out) {
    play(rallies, won, lost, out);
    for (int theirs = 0; theirs < differing; theirs++) {
        for (int ours = 0; ours < 6; ours++) {
            const int next = (ours + 1) % 6;
            const double p = rally_of(rallies, ours, theirs, 0);
            if (entering[next]) {
                out[theirs][ours][0] =
                    p * changed[theirs][next][1] + (1 - p) * lost[theirs][ours][0];
            }
        }
    }
}

static void play_level_changing(const Rallies *rallies, const bool entering[6], Stage *next,
                                Stage *out) {
    Values *level = &out->board[POINTS - 1][POINTS - 1];
    Values behind, won, lost, before;
    set_all(*level, 0.5);
    set_all(won, 1);
    set_all(lost, 0);
    for (double moved = 1; moved > 1e-14;) {
        memcpy(before, *level, bytes_used());
        play(rallies, won, *level, out->ahead);
        play_changing(rallies, entering, *level, next->board[POINTS - 1][POINTS - 1], lost, behind);
        play_changing(rallies, entering, out->ahead, next->ahead, behind, *level);
        moved = change(*level, before);
    }
}

static void play_stage(const Rallies *rallies, const bool entering[6], Stage *next, Stage *out) {
    Values won, lost;
    set_all(won, 1);
    set_all(lost, 0);
    play_level_changing(rallies, entering, next, out);
    for (int ours = POINTS - 1; ours >= 0; ours--) {
        for (int theirs = POINTS - 1; theirs >= 0; theirs--) {
            if (ours == POINTS - 1 && theirs == POINTS - 1) {
                continue;
            }
            const bool wins = ours + 1 == POINTS;
            play_changing(rallies, entering, wins ? won : out->board[ours + 1][theirs],
                          wins ? won : next->board[ours + 1][theirs],
                          theirs + 1 < POINTS ? out->board[ours][theirs + 1] : lost,
                          out->board[ours][theirs]);
        }
    }
}

/* A six that may stay, and its rallies in every system and turn that it can play. */
typedef struct {
    int player[6];
    int count;
    Rallies play[MOST_PLAYS];
} Six;

/* After so many changes (of rotation) from a start these stay. */
typedef struct {
    int start, made, six;
} Stop;

typedef struct {
    bool entering[6], lasts[6]; /* lasts: from there nothing ever stops, or nobody can play on */
    Six six[MOST_SIXES];
    int sixes;
    Stop stop[6 * (MOST_MADE + 1)];
    int stops;
} Stopping;

static bool fits_all(const Desk *desk, const int player[6]);

/* What was found for six players in the slots of a system: the rallies that win most whole sets. */
typedef struct {
    int system, slot[6];
    bool possible;
    Rallies rallies;
} Found;

/* The roster at hand in the systems without substitutions. Who must sit is not there, and who never
 * passes does not begin to; nothing else is asked. */
static struct {
    Desk desk[MOST_SYSTEMS];
    int systems;
    Found found[MOST_FOUND];
    int count;
} later;

static void prepare_later(const Brute *brute) {
    later.systems = later.count = 0;
    for (int k = 0; k < sx_system_count(); k++) {
        Desk *desk = &later.desk[later.systems];
        desk->team = brute->desk->team;
        desk_set(desk, sx_system_id(k), brute->desk->rules.id, brute->desk->plan.passers);
        desk->rules = brute->desk->rules;
        desk->problem.against = brute->fixture;
        for (int w = 0; w < brute->desk->plan.wish_count; w++) {
            const SxWish *wish = &brute->desk->plan.wishes[w];
            if (wish->kind == SX_MUST_SIT) {
                desk->team.players[wish->player].available = false;
            } else if (wish->kind == SX_NEVER_PASSES) {
                desk->plan.wishes[desk->plan.wish_count++] = *wish;
            }
        }
        bool splits = false;
        for (int s = 0; s < 6; s++) {
            splits |= desk->system.split[s];
        }
        later.systems += !splits;
    }
}

/* NULL: there is no way to play so. */
static const Rallies *best_rallies(Brute *brute, int system, const int slot[6]) {
    static Brute six;
    for (int k = 0; k < later.count; k++) {
        const Found *found = &later.found[k];
        if (found->system == system && memcmp(found->slot, slot, sizeof found->slot) == 0) {
            return found->possible ? &found->rallies : NULL;
        }
    }
    six.desk = &later.desk[system];
    six.fixture = brute->fixture;
    six.steps = 0;
    six.too_many = false;
    memcpy(six.front, slot, sizeof six.front);
    memcpy(six.back, slot, sizeof six.back);
    walk_all(&six);
    int best = 0;
    double most = -1, second = -1;
    for (int k = 0; k < six.kept_count; k++) {
        const double win = set_odds(&six.kept[k], POINTS, -1);
        second = win > most ? most : fmax(second, win);
        best = win > most ? k : best;
        most = fmax(most, win);
    }
    brute->two_alike |= second >= 0 && second > most - 1e-9;
    brute->too_many |= six.too_many || later.count == MOST_FOUND;
    Found *found = &later.found[brute->too_many ? 0 : later.count++];
    found->system = system;
    memcpy(found->slot, slot, sizeof found->slot);
    found->possible = six.kept_count > 0;
    found->rallies = six.kept[best];
    return found->possible ? &found->rallies : NULL;
}

static void add_play(Brute *brute, Six *six, int system, int turn) {
    int slot[6];
    for (int s = 0; s < 6; s++) {
        slot[s] = six->player[(s + turn) % 6];
    }
    if (!fits_all(&later.desk[system], slot)) {
        return;
    }
    const Rallies *own = best_rallies(brute, system, slot);
    if (!own) {
        brute->barred = true;
        return;
    }
    Rallies *out = &six->play[six->count++];
    for (int t = 0; t < SITUATIONS; t++) { /* by the old order's rotations */
        copy_situation(&own->rally[t * differing], (t + 2 * turn) % SITUATIONS, out);
    }
}

static int meet_six(Brute *brute, Stopping *stopping, const int player[6]) {
    for (int k = 0; k < stopping->sixes; k++) {
        if (memcmp(stopping->six[k].player, player, sizeof stopping->six[k].player) == 0) {
            return k;
        }
    }
    cr_assert_lt(stopping->sixes, MOST_SIXES);
    Six *six = &stopping->six[stopping->sixes];
    six->count = 0;
    memcpy(six->player, player, sizeof six->player);
    for (int k = 0; k < 6 * later.systems && !brute->too_many; k++) {
        add_play(brute, six, k / 6, k % 6);
    }
    return stopping->sixes++;
}

/* Who changes on coming into rotation r: she who comes to serve, and she who comes to the net. */
static int changing(const Brute *brute, int r, int slot[2]) {
    int count = 0;
    for (int s = 0; s < 6; s++) {
        if (in_back(s, r) != in_back(s, (r + 5) % 6) && brute->front[s] != brute->back[s]) {
            slot[count++] = s;
        }
    }
    return count;
}

/* The rules: so many a set; and where a starter may return but once, two changes a place. */
static void list_stops(Brute *brute, Stopping *stopping, int start) {
    const SxRules *rules = &brute->desk->rules;
    const bool once = rules->reentry == SX_REENTRY_ONCE_SAME_SUBSTITUTE;
    int by_slot[6] = {0}, player[6], used = 0, made = 0;
    for (int s = 0; s < 6; s++) {
        player[s] = owner(brute, s, start);
    }
    const int first = stopping->stops;
    for (int r = start;;) {
        const int six = meet_six(brute, stopping, player);
        if (stopping->six[six].count > 0) {
            cr_assert_leq(made, MOST_MADE);
            stopping->stop[stopping->stops++] = (Stop){start, made, six};
        }
        int slot[2], count = 0;
        while (count == 0) {
            r = (r + 1) % 6;
            count = changing(brute, r, slot);
        }
        bool barred = rules->substitutions != SX_UNLIMITED && used + count > rules->substitutions;
        for (int k = 0; k < count; k++) {
            barred |= once && by_slot[slot[k]] == 2;
        }
        if (barred) {
            break;
        }
        for (int k = 0; k < count; k++) {
            by_slot[slot[k]]++;
            player[slot[k]] = owner(brute, slot[k], r);
        }
        used += count;
        made++;
    }
    stopping->lasts[start] = stopping->stops == first;
}

static void raise_best(double best[6][2], Values values, int start) {
    for (int serving = 0; serving < 2; serving++) {
        double mean = 0;
        for (int theirs = 0; theirs < differing; theirs++) {
            mean += values[theirs][start][serving] / differing;
        }
        best[start][serving] = larger(best[start][serving], mean);
    }
}

static Stage halts[MOST_SIXES]; /* of the order at hand */

static void take_better_values(Values a, Values b, Values out) {
    for (int k = 0; k < 12 * differing; k++) {
        (&out[0][0][0])[k] = larger((&a[0][0][0])[k], (&b[0][0][0])[k]);
    }
}

/* The better of two at every score. */
static void take_better(Stage *a, Stage *b, Stage *out) {
    for (int ours = 0; ours < POINTS; ours++) {
        for (int theirs = 0; theirs < POINTS; theirs++) {
            take_better_values(a->board[ours][theirs], b->board[ours][theirs],
                               out->board[ours][theirs]);
        }
    }
    take_better_values(a->ahead, b->ahead, out->ahead);
}

/* Whenever changes are due they are made, or given up for the best way to play on: from the last
 * that may be made backwards, for every start by itself. */
static double odds_with_stops(Brute *brute, const Stopping *stopping, const Rallies *before) {
    static Stage stage[2], better;
    static const bool never[6] = {false};
    double best[6][2] = {{0}};
    for (int start = 0; start < 6; start++) {
        int six[MOST_MADE + 1], last = -1;
        memset(six, -1, sizeof six);
        for (int j = 0; j < stopping->stops; j++) {
            if (stopping->stop[j].start == start) {
                six[stopping->stop[j].made] = stopping->stop[j].six;
                last = stopping->stop[j].made > last ? stopping->stop[j].made : last;
            }
        }
        if (stopping->lasts[start]) {
            play_stage(before, never, &stage[0], &stage[0]);
        }
        brute->stages += last + 2;
        brute->too_many |= brute->stages > MOST_STAGES;
        for (int made = last; made >= 0 && !brute->too_many; made--) {
            Stage *next = &stage[(made + 1) % 2];
            if (made == last) {
                next = &halts[six[made]];
            } else if (six[made] >= 0) {
                take_better(next, &halts[six[made]], &better);
                next = &better;
            }
            play_stage(before, stopping->entering, next, &stage[made % 2]);
        }
        raise_best(best, stage[0].board[0][0], start);
    }
    double sum = 0;
    for (int serving = 0; serving < 2; serving++) {
        double most = 0;
        for (int r = 0; r < 6; r++) {
            const bool may = brute->desk->plan.start < 0 || brute->desk->plan.start == r;
            most = may ? larger(most, best[r][serving]) : most;
        }
        sum += most / 2;
    }
    return sum;
}

/* Playing on, by six, in the best way from every score. */
static void play_on(Brute *brute, const Stopping *stopping) {
    static Stage way;
    static const bool never[6] = {false};
    for (int k = 0; k < stopping->sixes && !brute->too_many; k++) {
        memset(&halts[k], 0, sizeof halts[k]);
        for (int w = 0; w < stopping->six[k].count; w++) {
            brute->stages++;
            play_stage(&stopping->six[k].play[w], never, &way, &way);
            take_better(&halts[k], &way, &halts[k]);
        }
    }
}

/* Does the order substitute? Then who stays when, and how they may play on. */
static bool find_stops(Brute *brute, Stopping *stopping) {
    int slot[2];
    bool any = false;
    stopping->sixes = stopping->stops = 0;
    for (int r = 0; r < 6; r++) {
        stopping->entering[r] = changing(brute, r, slot) > 0;
        any |= stopping->entering[r];
    }
    for (int start = 0; start < 6 && any; start++) {
        list_stops(brute, stopping, start);
    }
    play_on(brute, stopping);
    return any;
}

/* The ways kept of all orders. */
static struct {
    Rallies way[MOST_WAYS];
    int count;
} pool;

/* Notes an order and its ways, to be valued when the roster is known not to be too large. */
static void note_order(Brute *brute) {
    if (!order_keeps_wishes(brute)) {
        return;
    }
    if (brute->count == MOST_ORDERS) {
        brute->too_many = true;
        return;
    }
    walk_all(brute);
    if (brute->kept_count == 0) {
        return;
    }
    Ranked *ranked = &brute->ranked[brute->count++];
    memcpy(ranked->front, brute->front, sizeof ranked->front);
    memcpy(ranked->back, brute->back, sizeof ranked->back);
    cr_assert_leq(pool.count + brute->kept_count, MOST_WAYS);
    ranked->first_way = pool.count;
    ranked->ways = brute->kept_count;
    memcpy(&pool.way[pool.count], brute->kept, (size_t)brute->kept_count * sizeof brute->kept[0]);
    pool.count += brute->kept_count;
}

static void value_order(Brute *brute, Ranked *ranked) {
    static Stopping stopping;
    memcpy(brute->front, ranked->front, sizeof ranked->front);
    memcpy(brute->back, ranked->back, sizeof ranked->back);
    ranked->win = 0;
    const bool substitutes = find_stops(brute, &stopping);
    for (int k = 0; k < ranked->ways; k++) {
        const Rallies *way = &pool.way[ranked->first_way + k];
        const double win =
            substitutes ? odds_with_stops(brute, &stopping, way)
                        : set_odds(way, brute->desk->rules.set_points, brute->desk->plan.start);
        ranked->win = fmax(ranked->win, win);
    }
}

static bool fits(const Desk *desk, int p, int s, int row) {
    const SxPlayer *who = &desk->team.players[p];
    return who->available && who->fitness[desk->system.duty[s][row].role] > 0;
}

static bool setter_slot(const Desk *desk, int s) {
    for (int r = 0; r < 6; r++) {
        if (desk->system.setter_slot[r] == s) {
            return true;
        }
    }
    return false;
}

static bool fits_all(const Desk *desk, const int player[6]) {
    bool all = true;
    for (int s = 0; s < 6; s++) {
        all = all && fits(desk, player[s], s, SX_FRONT) && fits(desk, player[s], s, SX_BACK);
    }
    return all;
}

/* Specialists share slots that the system does not split and that nobody sets from. */
static bool pair_fits(const Brute *brute, int s, int front, int back, int *shared) {
    const Desk *desk = brute->desk;
    if (desk->system.split[s]) {
        return front != back && fits(desk, front, s, SX_FRONT) && fits(desk, back, s, SX_BACK);
    }
    const bool may_share = desk->plan.specialists > 0 && !setter_slot(desk, s);
    if (!may_share) {
        return front == back && fits(desk, front, s, SX_FRONT) && fits(desk, back, s, SX_BACK);
    }
    *shared += front != back;
    return fits(desk, front, s, SX_FRONT) &&
           (fits(desk, back, s, SX_BACK) || (desk->team.players[back].available &&
                                             desk->team.players[back].fitness[SX_SPECIALIST] > 0));
}

static void fill(Brute *brute, int s, unsigned used, int shared) {
    if (s == 6) {
        int halves = 0;
        for (int k = 0; k < 6; k++) {
            halves += brute->desk->system.split[k];
        }
        const int limit = brute->desk->rules.substitutions;
        if (shared > brute->desk->plan.specialists ||
            (limit != SX_UNLIMITED && 2 * (shared + halves) > limit)) {
            return;
        }
        note_order(brute);
        return;
    }
    for (int front = 0; front < brute->desk->team.player_count && !brute->too_many; front++) {
        if (used >> front & 1 || !fits(brute->desk, front, s, SX_FRONT)) {
            continue;
        }
        for (int back = 0; back < brute->desk->team.player_count; back++) {
            int more = shared;
            if (used >> back & 1 || !pair_fits(brute, s, front, back, &more)) {
                continue;
            }
            brute->front[s] = front;
            brute->back[s] = back;
            fill(brute, s + 1, used | 1u << front | 1u << back, more);
        }
    }
}

static int by_numbers(const Ranked *a, const Ranked *b) {
    for (int k = 0; k < 12; k++) {
        const int left = k < 6 ? a->front[k] : a->back[k - 6];
        const int right = k < 6 ? b->front[k] : b->back[k - 6];
        if (left != right) {
            return left - right;
        }
    }
    return 0;
}

/* Half a turn on is the same lineup where the halves are equal and nothing tells them apart. */
static void drop_half_turns(Brute *brute) {
    const SxPlan *plan = &brute->desk->plan;
    bool apart = plan->start >= 0 || !sx_system_is_mirrored(&brute->desk->system);
    for (int k = 0; k < plan->wish_count; k++) {
        apart |= plan->wishes[k].kind == SX_FIXED_SLOT;
    }
    int kept = 0;
    for (int k = 0; k < brute->count; k++) {
        if (apart || brute->ranked[k].front[0] < brute->ranked[k].front[3]) {
            brute->ranked[kept++] = brute->ranked[k];
        }
    }
    brute->count = kept;
}

static void sort(Brute *brute) {
    for (int i = 1; i < brute->count; i++) {
        for (int j = i; j > 0; j--) {
            Ranked *a = &brute->ranked[j - 1], *b = &brute->ranked[j];
            const double lead = b->win - a->win;
            if (lead > 1e-10 || (lead >= -1e-10 && by_numbers(b, a) < 0)) {
                const Ranked swap = *a;
                *a = *b;
                *b = swap;
            }
        }
    }
}

/* --- rosters -----------------------------------------------------------------------------------
 */

static void add_role(Rng *rng, SxPlayer *player, SxRole role) {
    player->fitness[role] = rng_below(rng, 2) ? 1.0 : (4 + rng_below(rng, 6)) / 10.0;
}

/* Enough for the system, a libero more often than not, and some more roles. */
static void small_roster(Rng *rng, const SxSystem *system, SxTeam *team) {
    memset(team, 0, sizeof *team);
    snprintf(team->name, sizeof team->name, "Small");
    int n = 0;
    for (int s = 0; s < 6; s++) {
        for (int row = 0; row < (system->split[s] ? 2 : 1); row++, n++) {
            add_role(rng, &team->players[n], system->duty[s][row].role);
            if (!system->split[s]) {
                add_role(rng, &team->players[n], system->duty[s][1].role);
            }
        }
    }
    const int more = rng_below(rng, 4);
    for (int k = 0; k < more; k++) {
        add_role(rng, &team->players[n++],
                 rng_below(rng, 2) ? SX_LIBERO : (SxRole)rng_below(rng, SX_ROLE_COUNT));
    }
    team->player_count = n;
    for (int extra = rng_below(rng, 3); extra > 0; extra--) {
        add_role(rng, &team->players[rng_below(rng, n)], (SxRole)rng_below(rng, SX_ROLE_COUNT));
    }
    if (rng_below(rng, 20) == 0) { /* one who can do everything */
        const int p = rng_below(rng, n);
        for (int role = 0; role < SX_ROLE_COUNT; role++) {
            add_role(rng, &team->players[p], (SxRole)role);
        }
    }
    const bool coarse = rng_below(rng, 4) == 0; /* ties */
    for (int p = 0; p < n; p++) {
        SxPlayer *player = &team->players[p];
        snprintf(player->id, sizeof player->id, "p%d", p + 1);
        snprintf(player->name, sizeof player->name, "Player %d", p + 1);
        player->number = p + 1;
        player->available = rng_below(rng, 40) != 0;
        for (int k = 0; k < SX_SKILL_COUNT; k++) {
            player->skill[k] = coarse ? 4 + 2 * rng_below(rng, 2) : rng_rating(rng);
        }
    }
    for (int swaps = n; swaps > 0; swaps--) { /* nobody's number tells her role */
        SxPlayer *a = &team->players[rng_below(rng, n)], *b = &team->players[rng_below(rng, n)];
        const SxPlayer was = *a;
        memcpy(a->fitness, b->fitness, sizeof a->fitness);
        memcpy(b->fitness, was.fitness, sizeof b->fitness);
    }
    for (int k = rng_below(rng, 4); k > 0; k--) {
        SxConnection *link = &team->connections[team->connection_count];
        *link = (SxConnection){rng_below(rng, n), rng_below(rng, n), rng_below(rng, 61) / 10.0 - 3};
        team->connection_count += link->setter != link->hitter;
    }
}

static int least(int a, int b) {
    return a < b ? a : b;
}

static void random_wishes(Rng *rng, Desk *desk) {
    const int n = desk->team.player_count;
    for (int k = rng_below(rng, 2) ? 0 : rng_below(rng, 4); k > 0; k--) {
        const SxWishKind kind = (SxWishKind)rng_below(rng, SX_WISH_KINDS);
        const int a = rng_below(rng, n), b = (a + 1 + rng_below(rng, n - 1)) % n;
        const bool pair = kind == SX_OPPOSITE_PAIR || kind == SX_NOT_ADJACENT;
        const int value = kind == SX_MAX_SUBSTITUTIONS ? rng_below(rng, 9) : rng_below(rng, 6);
        cr_assert_eq(sx_plan_wish(&desk->plan, kind, kind == SX_MAX_SUBSTITUTIONS ? -1 : a,
                                  pair ? b : -1, value, "wish", NULL),
                     SX_OK);
    }
}

static void random_opponent(Rng *rng, bool alike, SxOpponent *opponent) {
    sx_opponent_average(opponent);
    for (int r = 0; r < 6; r++) {
        for (int k = 0; k < SX_SKILL_COUNT; k++) {
            opponent->rotation[r].rating[k] =
                r && alike ? opponent->rotation[0].rating[k] : 3 + rng_below(rng, 50) / 10.0;
        }
    }
}

/* --- the comparison ----------------------------------------------------------------------------
 */

static void check_list(const Brute *brute, const SxBestOrders *best, int seed) {
    const int count = brute->count < TOP ? brute->count : TOP;
    cr_assert_eq(best->count, count, "roster %d", seed);
    cr_assert_eq(best->proven, count, "roster %d", seed);
    cr_assert_eq(best->exhausted, brute->count < TOP, "roster %d", seed);
    for (int k = 0; k < count; k++) {
        const Ranked *ranked = &brute->ranked[k];
        const SxLineup *item = &best->item[k];
        cr_assert_float_eq(item->win, ranked->win, 1e-9, "roster %d, place %d: %.12f and %.12f",
                           seed, k + 1, item->win, ranked->win);
        for (int s = 0; s < 6; s++) {
            cr_assert(item->order.front[s] == ranked->front[s] &&
                          item->order.back[s] == ranked->back[s],
                      "roster %d, place %d: another order", seed, k + 1);
        }
    }
}

typedef enum { TOO_LARGE, TWO_ALIKE, NO_LINEUP, COMPARED } Outcome;

/* What the rosters compared were about. */
typedef struct {
    int outcome[COMPARED + 1];
    int system[5], liberos[3], serving_liberos, specialists, wishes;
    int substitute; /* the best lineup does */
    int barred;     /* and a wish barred some way to play on */
} Seen;

static void note(const Brute *brute, const SxLineup *best, int seed, Seen *seen) {
    bool serves = false, shares = false;
    for (int s = 0; s < 6; s++) {
        serves |= best->rotation[s].libero_serves;
        shares |= best->order.front[s] != best->order.back[s] && !brute->desk->system.split[s];
    }
    seen->system[seed % 5]++;
    seen->liberos[best->libero_count]++;
    seen->serving_liberos += serves;
    seen->specialists += shares;
    seen->wishes += brute->desk->plan.wish_count > 0;
    seen->substitute += sx_substitutions_per_cycle(best) > 0;
    seen->barred += sx_substitutions_per_cycle(best) > 0 && brute->barred;
}

/* Wishes that bind those who play on: some never pass, and a libero may have to sit. */
static void wishes_to_the_end(Rng *rng, Desk *desk) {
    const int n = desk->team.player_count;
    for (int k = 3 + rng_below(rng, 3); k > 0; k--) {
        cr_assert_eq(sx_plan_wish(&desk->plan, SX_NEVER_PASSES, rng_below(rng, n), -1, 0, "", NULL),
                     SX_OK);
    }
    for (int p = 0; p < n && rng_below(rng, 2); p++) {
        if (desk->team.players[p].fitness[SX_LIBERO] > 0) {
            cr_assert_eq(sx_plan_wish(&desk->plan, SX_MUST_SIT, p, -1, 0, "", NULL), SX_OK);
        }
    }
}

/* What a series of rosters is about. */
typedef struct {
    bool alike;      /* their six rotations are */
    bool to_the_end; /* all substitute, and wish what binds when they no longer do */
} Kind;

static Outcome check_roster(int seed, Kind kind, Seen *seen) {
    static Desk desk;
    static Brute brute;
    Rng rng = {(uint64_t)seed};
    SxRallyModel model;
    SxOpponent opponent;
    SxError err = {0};
    SxBestOrders best;
    cr_assert_eq(sx_rally_load(NULL, &model, &err), SX_OK);
    const char *system = kind.to_the_end ? "6-2-double" : all_systems[seed % 5];
    SxSystem shape;
    cr_assert_eq(sx_system_load(system, &shape, &err), SX_OK);
    small_roster(&rng, &shape, &desk.team);
    desk_set(&desk, system, all_rules[seed / 5 % 6],
             rng_below(&rng, 4) ? 1u << 3 : 1u << 2 | 1u << 3);
    desk.plan.start = rng_below(&rng, 4) ? -1 : rng_below(&rng, 6);
    desk.plan.specialists = rng_below(&rng, 3) ? 0 : 1 + rng_below(&rng, 2);
    if (desk.plan.specialists) { /* somebody should be one; with two liberos all is too much */
        for (int k = 0; k < 2; k++) {
            add_role(&rng, &desk.team.players[rng_below(&rng, desk.team.player_count)],
                     SX_SPECIALIST);
        }
    }
    if (desk.plan.specialists || rng_below(&rng, 5) == 0) {
        desk.rules.liberos = least(desk.rules.liberos, rng_below(&rng, 2));
    }
    if (kind.to_the_end) {
        wishes_to_the_end(&rng, &desk);
    } else {
        random_wishes(&rng, &desk);
    }
    random_opponent(&rng, kind.alike, &opponent);
    differing = kind.alike ? 1 : 6;
    const SxFixture fixture = {&model, &opponent, NULL};
    desk.problem.against = &fixture;
    brute = (Brute){.desk = &desk, .fixture = &fixture};
    prepare_later(&brute);
    pool.count = 0;
    fill(&brute, 0, 0, 0);
    for (int k = 0; k < brute.count && !brute.too_many; k++) {
        value_order(&brute, &brute.ranked[k]);
    }
    if (brute.too_many) {
        return TOO_LARGE;
    }
    if (brute.two_alike) {
        return TWO_ALIKE;
    }
    drop_half_turns(&brute);
    sort(&brute);
    const SxWork work = {.threads = 1 + seed % 2};
    const SxStatus status = sx_best_orders(&desk.problem, TOP, &work, &best, &err);
    if (brute.count == 0) {
        cr_assert_eq(status, SX_NO, "roster %d: status %d", seed, status);
        return NO_LINEUP;
    }
    cr_assert_eq(status, SX_OK, "roster %d: %s", seed, err.message);
    check_list(&brute, &best, seed);
    note(&brute, &best.item[0], seed, seen);
    sx_best_orders_free(&best);
    return COMPARED;
}

static void check_rosters(int seed, int rosters, Kind kind, Seen *seen) {
    glp_term_out(GLP_OFF);
    while (seen->outcome[COMPARED] < rosters) {
        seen->outcome[check_roster(seed++, kind, seen)]++;
    }
    cr_log_info("%d compared, %d without a lineup, %d too large, %d with equal ways to play on",
                seen->outcome[COMPARED], seen->outcome[NO_LINEUP], seen->outcome[TOO_LARGE],
                seen->outcome[TWO_ALIKE]);
    cr_log_info(
        "with 0, 1, 2 liberos %d, %d, %d; who serve %d; specialists %d; wishes %d; substitute %d, "
        "%d of them barred from a way to play on",
        seen->liberos[0], seen->liberos[1], seen->liberos[2], seen->serving_liberos,
        seen->specialists, seen->wishes, seen->substitute, seen->barred);
}

Test(bestset, brute_force_on_small_rosters) {
    Seen seen = {0};
    check_rosters(1, ROSTERS, (Kind){.alike = true}, &seen);
    if ((int)ROSTERS < (int)ALL_ROSTERS) {
        return;
    }
    for (int k = 0; k < 5; k++) { /* nothing is left out for being large */
        cr_assert_gt(seen.system[k], ROSTERS / 20, "%s", all_systems[k]);
    }
    cr_assert_gt(seen.liberos[1] + seen.liberos[2], ROSTERS / 5);
    cr_assert_gt(seen.liberos[2], ROSTERS / 60);
    cr_assert_gt(seen.serving_liberos, ROSTERS / 60);
    cr_assert_gt(seen.specialists, ROSTERS / 60);
    cr_assert_gt(seen.substitute, ROSTERS / 10);
    cr_assert_gt(seen.wishes, ROSTERS / 6); /* half are drawn with wishes, and many of these fail */
}

Test(bestset, brute_force_against_six_different_rotations) {
    Seen seen = {0};
    check_rosters(5001, ROSTERS / 10, (Kind){.alike = false}, &seen);
}

Test(bestset, brute_force_with_wishes_that_bind_to_the_end) {
    Seen seen = {0};
    check_rosters(9001, ROSTERS / 5, (Kind){.alike = true, .to_the_end = true}, &seen);
    cr_assert_eq(seen.substitute, seen.outcome[COMPARED]);
    cr_assert((int)ROSTERS < (int)ALL_ROSTERS || seen.barred > 0);
}
