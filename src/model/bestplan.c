/* The best libero plan and passers for a given order, by dynamic programming.
 *
 * A rotation's score is a term of who is in while it serves plus a term of who is in while it
 * receives, so the twelve situations form a cycle of states: nobody, or one of at most two named
 * liberos for one of the three back-row slots. A path is labelled with what its future depends on:
 * the weighted sum, the least rotation score, and how far the wishes that count over the cycle have
 * come. Labels that are no better than another in any of these are dropped.
 *
 * Where all ways are asked for, what counts over the cycle is everybody's rotations in reception,
 * and all that no other beats are kept in place of the best. */
#include "sixturn/evaluate.h"

#include "sixturn/eligible.h"
#include "sixturn/ways.h"

#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

enum {
    MOST_NAMED = 2,
    STATES = 1 + MOST_NAMED * SX_BACK_TURNS, /* 0: nobody; else 1 + libero * 3 + back turn */
    SITUATIONS = SX_ROTATIONS * SX_PHASES,
    PATH_BITS = 3, /* of a state in a path */
    ANY = -1       /* no slot must be taken over */
};
/* Values this close are equal: far above rounding, far below anything that matters. */
static const double SAME = 1e-11;
static const double BETTER = 1e-9;

/* --- what a state is worth ----------------------------------------------------------------------
 */

/* The best formation of a rotation for one receiving libero and slot. */
typedef struct {
    double value; /* -INFINITY: no formation keeps the wishes */
    const SxFormation *formation;
} Reception;

typedef struct {
    const SxProblem *problem;
    SxOrder order;
    int candidate[SX_MAX_PLAYERS];
    int candidates;
    /* By candidate + 1 (0: nobody) and back turn. */
    Reception receive[SX_ROTATIONS][SX_MAX_PLAYERS + 1][SX_BACK_TURNS];
    double serve[SX_ROTATIONS][SX_MAX_PLAYERS + 1][SX_BACK_TURNS];
    int must_take[SX_ROTATIONS][SX_PHASES]; /* slot that the libero must take over, or ANY */
    int spare[SX_SLOTS]; /* receptions in which the slot's player may be replaced, or is without
                            losing any that matter */
    const SxRewards *rewards; /* all ways: what receptions are worth; else NULL */
    bool plain_counts;        /* the score leaves something open that the plain mean decides */
    double share[SX_ROTATIONS];
} Bench;

static int player_of(const SxOrder *order, int r, int s) {
    return sx_slot_row(s, r) == SX_FRONT ? order->front[s] : order->back[s];
}

static bool in_order(const SxOrder *order, int player) {
    for (int s = 0; s < SX_SLOTS; s++) {
        if (order->front[s] == player || order->back[s] == player) {
            return true;
        }
    }
    return false;
}

/* Does everybody on court who never passes, or always does, keep to that? */
static bool passing_wishes_hold(const SxPlan *plan, const int *receives, unsigned passers) {
    for (int k = 0; k < plan->wish_count; k++) {
        const SxWish *wish = &plan->wishes[k];
        bool always = wish->kind == SX_ALWAYS_PASSES;
        for (int s = 0; (always || wish->kind == SX_NEVER_PASSES) && s < SX_SLOTS; s++) {
            if (receives[s] == wish->player && (passers >> s & 1) != always) {
                return false;
            }
        }
    }
    return true;
}

/* What the sides of a rotation decide, whoever passes. */
typedef struct {
    double comes[SX_SLOTS]; /* shares of the balls, of those who come to hit: not the setter's */
    double total, attack;   /* sum of all shares, and of the shares times the ratings */
} Hitting;

static Hitting see_hitters(const SxProblem *problem, int r, const int own[SX_SLOTS], int replaced,
                           int sides) {
    Hitting hitting = {.total = 0};
    for (int s = 0; s < SX_SLOTS; s++) {
        const double share = s == replaced ? 0 : sx_attack_share(problem, r, s, sides);
        hitting.comes[s] = s == problem->system->setter_slot[r] ? 0 : share;
        hitting.total += share;
        hitting.attack += share > 0 ? share * sx_attack_rating(problem, r, own, s, sides) : 0;
    }
    return hitting;
}

static double lateness(const Hitting *hitting, const SxFormation *formation) {
    double sum = 0;
    for (int s = 0; s < SX_SLOTS; s++) {
        sum += hitting->comes[s] * formation->late[s];
    }
    return sum;
}

/* Ties: the smaller set of passers, the usual sides, the smaller sides. */
static Reception best_reception(const Bench *bench, int r, int libero, int slot) {
    const SxProblem *problem = bench->problem;
    const SxScoring *scoring = sx_scoring_of(problem);
    const double *weight = problem->plan->weight;
    int own[SX_SLOTS], receives[SX_SLOTS];
    for (int s = 0; s < SX_SLOTS; s++) {
        own[s] = player_of(&bench->order, r, s);
        receives[s] = libero >= 0 && s == slot ? libero : own[s];
    }
    int replaced = libero >= 0 ? slot : SX_NOBODY;
    int setter = problem->system->setter_slot[r];
    int usual = sx_usual_sides(problem->system, r);
    Hitting hitting[SX_SIDES];
    for (int sides = 0; sides < SX_SIDES; sides++) {
        hitting[sides] = see_hitters(problem, r, own, replaced, sides);
    }
    Reception best = {-INFINITY, NULL};
    for (unsigned mask = 1; mask < SX_MASKS; mask++) {
        int count = sx_count_members(mask);
        if (!(problem->plan->passers >> count & 1) ||
            !passing_wishes_hold(problem->plan, receives, mask)) {
            continue;
        }
        double pass = 0;
        for (int s = 0; s < SX_SLOTS; s++) {
            pass += mask >> s & 1 ? problem->team->players[receives[s]].skill[SX_PASSING] : 0;
        }
        pass *= scoring->coverage[count] / count;
        for (int k = 0; k < SX_SIDES; k++) {
            int sides = k == 0 ? usual : k <= usual ? k - 1 : k;
            const SxFormation *f = sx_formation_at(problem->table, r, mask, sides);
            if (!f || !f->feasible) {
                continue;
            }
            const Hitting *now = &hitting[sides];
            const double hits = now->attack - scoring->late_attack * lateness(now, f);
            double value = weight[SX_PART_PASS] * pass - weight[SX_PART_RUN] * f->cost -
                           weight[SX_PART_SET] * scoring->late_set * f->late[setter] +
                           (now->total > 0 ? weight[SX_PART_ATTACK] * hits / now->total : 0);
            if (value > best.value + BETTER) {
                best = (Reception){value, f};
            }
        }
    }
    return best;
}

/* The parts that no libero and no formation changes. */
static double fixed_value(const Bench *bench, int r) {
    const SxProblem *problem = bench->problem;
    const double *weight = problem->plan->weight;
    int setter = problem->system->setter_slot[r];
    double value = weight[SX_PART_SET] * sx_fit_skill(problem, player_of(&bench->order, r, setter),
                                                      setter, sx_slot_row(setter, r), SX_SETTING);
    for (int s = 0; s < SX_SLOTS; s++) {
        if (sx_slot_row(s, r) == SX_FRONT) {
            value += weight[SX_PART_BLOCK] *
                     sx_scoring_of(problem)->block[problem->system->duty[s][SX_FRONT].lane] *
                     sx_fit_skill(problem, bench->order.front[s], s, SX_FRONT, SX_BLOCKING);
        }
    }
    return value;
}

static double serve_value(const Bench *bench, int r, int libero, int slot) {
    const double *weight = bench->problem->plan->weight;
    double value = 0;
    for (int s = 0; s < SX_SLOTS; s++) {
        if (sx_slot_row(s, r) == SX_BACK) {
            int p = libero >= 0 && s == slot ? libero : bench->order.back[s];
            const double *skill = bench->problem->team->players[p].skill;
            value += weight[SX_PART_DIG] * skill[SX_DIGGING] / SX_BACK_TURNS;
            value += s == r ? weight[SX_PART_SERVE] * skill[SX_SERVING] : 0;
        }
    }
    return value;
}

static void value_rotation(Bench *bench, int r) {
    double fixed = fixed_value(bench, r);
    for (int c = 0; c <= bench->candidates; c++) {
        int libero = c ? bench->candidate[c - 1] : SX_NOBODY;
        for (int turn = 0; turn < (c ? SX_BACK_TURNS : 1); turn++) {
            int slot = (r - turn + SX_ROTATIONS) % SX_ROTATIONS;
            Reception none = {-INFINITY, NULL};
            bool may = !c || sx_libero_may_replace(bench->problem->system, slot, r);
            bool serves = c && turn == 0;
            bench->receive[r][c][turn] = may ? best_reception(bench, r, libero, slot) : none;
            bench->serve[r][c][turn] = may && (!serves || bench->problem->rules->libero_serves)
                                           ? fixed + serve_value(bench, r, libero, slot)
                                           : -INFINITY;
        }
    }
}

/* --- paths --------------------------------------------------------------------------------------
 */

/* What a path has come to. */
typedef struct {
    double sum, least, plain;
    double reward; /* of receptions, all ways only */
    uint64_t path; /* the states so far, the first one highest */
    int changes;
    bool served;                    /* a libero has served */
    bool in[MOST_NAMED];            /* she has been in, if she must play */
    signed char got[MOST_NAMED];    /* her receptions, if she needs some */
    signed char replaced[SX_SLOTS]; /* receptions of slots that may not be replaced in all */
    signed char state;
    int next; /* label of the same state; -1 ends */
} Label;

typedef struct {
    Bench bench;
    int named[MOST_NAMED]; /* candidate + 1; 0: none */
    int count;             /* of named */
    bool must_play[MOST_NAMED];
    int need[MOST_NAMED]; /* receptions */
    Label *pool;
    int used, room;
    bool no_memory;
    int list[SITUATIONS][STATES]; /* first label of each state, -1 for none */
    bool found;
    SxLineup best;
    double best_score, best_plain;
    int best_changes;
    uint64_t best_path;
    SxWays *ways; /* all that are worth floor; NULL: only the best is asked for */
    double floor, depth;
    double rest[SITUATIONS][STATES]; /* most that all situations after this one can be worth */
} Search;

static int rotation_at(int situation) {
    return situation / SX_PHASES;
}

static SxPhase phase_at(int situation) {
    return situation % SX_PHASES == 0 ? SX_SERVE : SX_RECEIVE;
}

static int named_of(int state) {
    return state ? (state - 1) / SX_BACK_TURNS : -1;
}

static int slot_of(int state, int r) {
    return state ? (r - (state - 1) % SX_BACK_TURNS + SX_ROTATIONS) % SX_ROTATIONS : SX_NOBODY;
}

static int turn_of(int state) {
    return state ? (state - 1) % SX_BACK_TURNS : 0;
}

static const Reception *reception(const Search *search, int r, int state) {
    int c = state ? search->named[named_of(state)] : 0;
    return &search->bench.receive[r][c][turn_of(state)];
}

static double value_at(const Search *search, int situation, int state) {
    int r = rotation_at(situation);
    int must = search->bench.must_take[r][phase_at(situation)];
    if ((must != ANY && slot_of(state, r) != must) || (state && named_of(state) >= search->count)) {
        return -INFINITY;
    }
    int c = state ? search->named[named_of(state)] : 0;
    return phase_at(situation) == SX_RECEIVE ? reception(search, r, state)->value
                                             : search->bench.serve[r][c][turn_of(state)];
}

static bool serves_at(int situation, int state) {
    return phase_at(situation) == SX_SERVE && state &&
           slot_of(state, rotation_at(situation)) == rotation_at(situation);
}

/* A rally between two replacements, but she may come in to serve. */
static bool may_follow(int situation, int state, int before, int old) {
    return !state || !old ||
           slot_of(state, rotation_at(situation)) == slot_of(old, rotation_at(before)) ||
           serves_at(situation, state);
}

static bool changes_between(int situation, int state, int before, int old) {
    return named_of(state) != named_of(old) ||
           slot_of(state, rotation_at(situation)) != slot_of(old, rotation_at(before));
}

/* Negative if a path is worse than, positive if it is better than another of equal worth. */
static int prefer(int changes, uint64_t path, int other_changes, uint64_t other_path) {
    if (changes != other_changes) {
        return changes < other_changes ? 1 : -1;
    }
    return path < other_path ? 1 : path > other_path ? -1 : 0;
}

static bool no_worse(const Label *a, const Label *b) {
    bool good = a->sum >= b->sum - SAME && a->least >= b->least - SAME &&
                a->plain >= b->plain - SAME && a->served <= b->served;
    for (int k = 0; k < MOST_NAMED; k++) {
        good = good && a->in[k] >= b->in[k] && a->got[k] >= b->got[k];
    }
    for (int s = 0; s < SX_SLOTS; s++) {
        good = good && a->replaced[s] <= b->replaced[s];
    }
    return good;
}

static bool beats(const Label *a, const Label *b) {
    return no_worse(a, b) &&
           (!no_worse(b, a) || prefer(a->changes, a->path, b->changes, b->path) >= 0);
}

static void keep(Search *search, int *list, const Label *fresh) {
    for (int k = *list; k >= 0; k = search->pool[k].next) {
        if (beats(&search->pool[k], fresh)) {
            return;
        }
    }
    for (int *at = list; *at >= 0;) {
        Label *old = &search->pool[*at];
        if (beats(fresh, old)) {
            *at = old->next;
        } else {
            at = &old->next;
        }
    }
    if (search->used == search->room) {
        enum { FIRST_ROOM = 256 };
        int room = search->room ? 2 * search->room : FIRST_ROOM;
        Label *grown = realloc(search->pool, (size_t)room * sizeof *grown);
        if (!grown) {
            search->no_memory = true;
            return;
        }
        search->pool = grown;
        search->room = room;
    }
    search->pool[search->used] = *fresh;
    search->pool[search->used].next = *list;
    *list = search->used++;
}

static double score_of(const Search *search, const Label *label) {
    const double balance = search->bench.problem->plan->balance;
    return (balance < 1 ? (1 - balance) * label->sum : 0) +
           (balance > 0 ? balance * label->least : 0);
}

/* --- what receptions are worth ---
 */

static double reward_of(const Search *search, int named) {
    const int player = search->bench.candidate[search->named[named] - 1];
    return search->bench.rewards->points[player];
}

static bool counts_replaced(const Search *search, int slot) {
    return search->bench.spare[slot] < SX_BACK_TURNS;
}

/* Where the cycle has not enough left to use up what is spare, it is all the same how much that is.
 */
static void level_replaced(const Search *search, Label *label, int r) {
    for (int s = 0; s < SX_SLOTS; s++) {
        int left = 0;
        for (int later = r + 1; later < SX_ROTATIONS; later++) {
            left += sx_slot_row(s, later) == SX_BACK;
        }
        const int spare = search->bench.spare[s] - left;
        if (counts_replaced(search, s) && label->replaced[s] < spare) {
            label->replaced[s] = (signed char)spare;
        }
    }
}

/* Counts who receives; false if somebody is left with too few. */
static bool receive(const Search *search, Label *label, int r, int state) {
    const Bench *bench = &search->bench;
    const int named = named_of(state), slot = slot_of(state, r);
    if (named >= 0 && label->got[named] < search->need[named]) {
        label->got[named]++;
        label->reward += bench->rewards ? reward_of(search, named) : 0;
    }
    if (named >= 0 && counts_replaced(search, slot) &&
        ++label->replaced[slot] > bench->spare[slot]) {
        if (!bench->rewards) {
            return false;
        }
        label->reward -= bench->rewards->points[bench->order.back[slot]];
    }
    level_replaced(search, label, r);
    return true;
}

/* Can what is left make it worth enough? */
static bool may_be_worth(const Search *search, const Label *label, int situation) {
    return !search->ways ||
           score_of(search, label) + label->reward + search->rest[situation][label->state] >=
               search->floor - BETTER;
}

/* The path goes on into this state; false if a wish or the rules forbid it. */
static bool go_on(const Search *search, Label *label, int situation, int state) {
    int r = rotation_at(situation);
    SxPhase phase = phase_at(situation);
    double value = value_at(search, situation, state);
    if (value == -INFINITY || (serves_at(situation, state) && label->served)) {
        return false;
    }
    label->served |= serves_at(situation, state);
    int named = named_of(state);
    if (named >= 0) {
        label->in[named] |= search->must_play[named];
    }
    if (phase == SX_RECEIVE && !receive(search, label, r, state)) {
        return false;
    }
    if (phase == SX_RECEIVE) {
        double score = value + value_at(search, situation - 1, label->state);
        double balance = search->bench.problem->plan->balance;
        label->sum += balance < 1 ? search->bench.share[r] * score : 0;
        label->least = balance > 0 ? fmin(label->least, score) : label->least;
        label->plain += search->bench.plain_counts ? score / SX_ROTATIONS : 0;
    }
    label->path = label->path << PATH_BITS | (unsigned)state;
    label->state = (signed char)state;
    return phase == SX_SERVE || may_be_worth(search, label, situation);
}

static void hand_over(Search *search, const Label *label) {
    SxLineup *best = &search->best;
    const Bench *bench = &search->bench;
    for (int t = 0; t < SITUATIONS; t++) {
        int state = (int)(label->path >> PATH_BITS * (SITUATIONS - 1 - t)) & ((1 << PATH_BITS) - 1);
        int r = rotation_at(t);
        SxRotation *at = &best->rotation[r];
        int libero = state ? bench->candidate[search->named[named_of(state)] - 1] : SX_NOBODY;
        if (phase_at(t) == SX_SERVE) {
            at->serve_libero = libero;
            at->serve_libero_slot = slot_of(state, r);
            at->libero_serves = serves_at(t, state);
        } else {
            at->libero = libero;
            at->libero_slot = slot_of(state, r);
            at->passers = reception(search, r, state)->formation->passers;
            at->sides = reception(search, r, state)->formation->sides;
        }
    }
}

/* --- all ways ---
 */

bool sx_way_beats(const SxWay *a, const SxWay *b) {
    bool less = a->score < b->score - BETTER ||
                (a->score <= b->score + BETTER && a->plain < b->plain - BETTER);
    for (int p = 0; p < SX_MAX_PLAYERS; p++) { /* to the end, in a few wide steps */
        less |= a->got[p] < b->got[p];
    }
    return !less;
}

double sx_way_worth(const SxWay *way, const SxRewards *rewards) {
    double sum = way->score;
    for (int p = 0; p < SX_MAX_PLAYERS; p++) {
        sum += rewards->points[p] * way->got[p];
    }
    return sum;
}

/* The rotations in reception that matter. */
static void count_receptions(const Search *search, const Label *label, signed char *got) {
    const Bench *bench = &search->bench;
    int count[SX_MAX_PLAYERS] = {0};
    for (int s = 0; s < SX_SLOTS; s++) {
        count[bench->order.front[s]] += SX_ROTATIONS - SX_BACK_TURNS;
        count[bench->order.back[s]] += SX_BACK_TURNS;
    }
    for (int k = 0; k < search->count; k++) {
        count[bench->candidate[search->named[k] - 1]] = label->got[k];
    }
    for (int p = 0; p < SX_MAX_PLAYERS; p++) {
        const int most = bench->rewards->most[p];
        got[p] = (signed char)(count[p] < most ? count[p] : most);
    }
    for (int s = 0; s < SX_SLOTS; s++) {
        const int lost = label->replaced[s] - bench->spare[s];
        got[bench->order.back[s]] =
            (signed char)(got[bench->order.back[s]] - (lost > 0 ? lost : 0));
    }
}

static bool room_for_another(Search *search) {
    SxWays *ways = search->ways;
    if (ways->count == ways->room) {
        enum { FIRST_ROOM = 8 };
        const int room = ways->room ? 2 * ways->room : FIRST_ROOM;
        SxWay *grown = realloc(ways->item, (size_t)room * sizeof *grown);
        if (!grown) {
            search->no_memory = true;
            return false;
        }
        ways->item = grown;
        ways->room = room;
    }
    return true;
}

static void keep_way(Search *search, const Label *label, double score) {
    SxWays *ways = search->ways;
    SxWay fresh = {.score = score, .plain = label->plain};
    count_receptions(search, label, fresh.got);
    search->floor = fmax(search->floor, score + label->reward - search->depth);
    for (int k = 0; k < ways->count; k++) {
        if (sx_way_beats(&ways->item[k], &fresh)) {
            return;
        }
    }
    int kept = 0;
    for (int k = 0; k < ways->count; k++) {
        if (!sx_way_beats(&fresh, &ways->item[k]) &&
            sx_way_worth(&ways->item[k], search->bench.rewards) >= search->floor - BETTER) {
            ways->item[kept++] = ways->item[k];
        }
    }
    ways->count = kept;
    if (room_for_another(search)) {
        ways->item[ways->count++] = fresh;
    }
}

/* --- the best of them ---
 */

static void judge(Search *search, const Label *label) {
    const double score = score_of(search, label);
    if (search->ways && score + label->reward < search->floor - BETTER) {
        return;
    }
    for (int k = 0; k < search->count; k++) {
        if ((search->must_play[k] && !label->in[k]) ||
            (!search->ways && label->got[k] < search->need[k])) {
            return;
        }
    }
    if (search->ways) {
        search->found = true;
        keep_way(search, label, score);
        return;
    }
    if (search->found) {
        double lead = score - search->best_score, plain = label->plain - search->best_plain;
        int order = fabs(plain) > BETTER ? (plain > 0 ? 1 : -1)
                                         : prefer(label->changes, label->path, search->best_changes,
                                                  search->best_path);
        if (lead < -BETTER || (lead <= BETTER && order <= 0)) {
            return;
        }
    }
    search->found = true;
    search->best_score = score;
    search->best_plain = label->plain;
    search->best_changes = label->changes;
    search->best_path = label->path;
    hand_over(search, label);
}

static void step(Search *search, int situation, int first) {
    for (int state = 0; state < STATES; state++) {
        search->list[situation][state] = -1;
        for (int old = 0; old < STATES; old++) {
            if (value_at(search, situation, state) == -INFINITY ||
                !may_follow(situation, state, situation - 1, old) ||
                (situation == SITUATIONS - 1 && !may_follow(0, first, situation, state))) {
                continue;
            }
            for (int k = search->list[situation - 1][old]; k >= 0; k = search->pool[k].next) {
                Label label = search->pool[k];
                label.changes += changes_between(situation, state, situation - 1, old);
                if (situation == SITUATIONS - 1) {
                    label.changes += changes_between(0, first, situation, state);
                }
                if (go_on(search, &label, situation, state)) {
                    keep(search, &search->list[situation][state], &label);
                }
            }
        }
    }
}

/* What a situation is worth in this state: its share of the score, and at most the rewards that it
 * brings. */
static double step_worth(const Search *search, int situation, int state) {
    const Bench *bench = &search->bench;
    const int r = rotation_at(situation), named = named_of(state), slot = slot_of(state, r);
    const double value = value_at(search, situation, state);
    double worth = value > -INFINITY ? (1 - bench->problem->plan->balance) * bench->share[r] * value
                                     : -INFINITY;
    if (phase_at(situation) == SX_RECEIVE && named >= 0) {
        worth += search->need[named] > 0 ? reward_of(search, named) : 0;
        worth -= bench->spare[slot] == 0 ? bench->rewards->points[bench->order.back[slot]] : 0;
    }
    return worth;
}

static void find_rest(Search *search) {
    for (int state = 0; state < STATES; state++) {
        search->rest[SITUATIONS - 1][state] = 0;
    }
    for (int t = SITUATIONS - 2; t >= 0; t--) {
        for (int old = 0; old < STATES; old++) {
            search->rest[t][old] = -INFINITY;
            for (int state = 0; state < STATES; state++) {
                if (may_follow(t + 1, state, t, old)) {
                    search->rest[t][old] =
                        fmax(search->rest[t][old],
                             step_worth(search, t + 1, state) + search->rest[t + 1][state]);
                }
            }
        }
    }
}

static double counted(const Bench *bench, int player, int receptions) {
    const int most = bench->rewards->most[player];
    return bench->rewards->points[player] * (receptions < most ? receptions : most);
}

/* What the order's players are worth if no libero is in. */
static double full_reward(const Bench *bench) {
    double sum = 0;
    for (int s = 0; s < SX_SLOTS; s++) {
        const int front = bench->order.front[s], back = bench->order.back[s];
        const int turns = SX_ROTATIONS - SX_BACK_TURNS;
        sum += front == back ? counted(bench, front, SX_ROTATIONS)
                             : counted(bench, front, turns) + counted(bench, back, SX_BACK_TURNS);
    }
    return sum;
}

/* All cycles that start in this state. */
static void try_first(Search *search, int first) {
    Label start = {.least = INFINITY};
    start.reward = search->ways ? full_reward(&search->bench) : 0;
    search->used = 0;
    if (!go_on(search, &start, 0, first)) {
        return;
    }
    for (int state = 0; state < STATES; state++) {
        search->list[0][state] = -1;
    }
    keep(search, &search->list[0][first], &start);
    for (int t = 1; t < SITUATIONS && !search->no_memory; t++) {
        step(search, t, first);
    }
    for (int state = 0; state < STATES && !search->no_memory; state++) {
        for (int k = search->list[SITUATIONS - 1][state]; k >= 0; k = search->pool[k].next) {
            judge(search, &search->pool[k]);
        }
    }
}

static void try_named(Search *search) {
    if (search->ways) {
        find_rest(search);
    }
    for (int first = 0; first < 1 + search->count * SX_BACK_TURNS; first++) {
        try_first(search, first);
    }
}

/* --- wishes -------------------------------------------------------------------------------------
 */

static int receptions_wanted(const SxPlan *plan, int player) {
    int most = 0;
    for (int k = 0; k < plan->wish_count; k++) {
        if (plan->wishes[k].kind == SX_MIN_ROTATIONS && plan->wishes[k].player == player &&
            plan->wishes[k].value > most) {
            most = plan->wishes[k].value;
        }
    }
    return most;
}

/* The slots that the libero must take over; false if there are two at once. */
static bool read_must_take(Bench *bench) {
    const SxPlan *plan = bench->problem->plan;
    for (int r = 0; r < SX_ROTATIONS; r++) {
        for (int phase = 0; phase < SX_PHASES; phase++) {
            bench->must_take[r][phase] = ANY;
            for (int s = 0; s < SX_SLOTS; s++) {
                bool serves = phase == SX_SERVE && s == r;
                int p = bench->order.back[s];
                if (sx_slot_row(s, r) == SX_FRONT || serves ||
                    !(sx_plan_has_wish(plan, SX_NOT_BACK_ROW, p) ||
                      sx_plan_has_wish(plan, SX_LIBERO_FOR, p))) {
                    continue;
                }
                if (bench->must_take[r][phase] != ANY) {
                    return false;
                }
                bench->must_take[r][phase] = s;
            }
        }
    }
    return true;
}

static int spare_for(int room, int most) {
    return room > most ? room - most : 0;
}

/* False if a player cannot have the receptions she needs, whatever the libero does. */
static bool read_spare(Bench *bench) {
    const SxPlan *plan = bench->problem->plan;
    for (int s = 0; s < SX_SLOTS; s++) {
        int back = bench->order.back[s];
        int front = back == bench->order.front[s] ? SX_ROTATIONS - SX_BACK_TURNS : 0;
        if (bench->rewards) {
            bench->spare[s] = spare_for(front + SX_BACK_TURNS, bench->rewards->most[back]);
            continue;
        }
        bench->spare[s] = front + SX_BACK_TURNS - receptions_wanted(plan, back);
        if (bench->spare[s] < 0 || receptions_wanted(plan, bench->order.front[s]) >
                                       SX_ROTATIONS - SX_BACK_TURNS +
                                           (back == bench->order.front[s] ? SX_BACK_TURNS : 0)) {
            return false;
        }
    }
    return true;
}

/* Wishes that the order alone decides, or that ask for somebody who can have no part. */
static bool order_keeps_wishes(const Bench *bench) {
    const SxProblem *problem = bench->problem;
    SxLineup bare = {.order = bench->order};
    for (int r = 0; r < SX_ROTATIONS; r++) {
        bare.rotation[r].libero = bare.rotation[r].serve_libero = SX_NOBODY;
    }
    for (int k = 0; k < problem->plan->wish_count; k++) {
        const SxWish *wish = &problem->plan->wishes[k];
        const unsigned about = sx_wish_about(wish);
        if (about & SX_ABOUT_ORDER && !sx_wish_holds(problem, &bare, wish)) {
            return false;
        }
        const bool needs_part =
            about & SX_ABOUT_PART && (wish->kind != SX_MIN_ROTATIONS || wish->value > 0);
        if (needs_part && !in_order(&bench->order, wish->player) &&
            !sx_can_be_libero(problem, wish->player)) {
            return false;
        }
        int s = 0;
        while (s < SX_SLOTS && bench->order.front[s] != wish->player) {
            s++;
        }
        if (wish->kind == SX_LIBERO_FOR && s < SX_SLOTS && !problem->system->split[s] &&
            bench->order.back[s] != wish->player) {
            return false;
        }
    }
    return true;
}

/* --- the whole ----------------------------------------------------------------------------------
 */

static bool is_wished(const Bench *bench, int player) {
    const SxPlan *plan = bench->problem->plan;
    for (int k = 0; k < plan->wish_count; k++) {
        if (plan->wishes[k].player == player) {
            return true;
        }
    }
    return bench->rewards && bench->rewards->most[player] > 0;
}

/* A libero is worth no more than another who is as good in all that a libero does. */
static bool no_better(const SxProblem *problem, int p, int other) {
    const double *a = problem->team->players[p].skill, *b = problem->team->players[other].skill;
    bool less = a[SX_PASSING] <= b[SX_PASSING] && a[SX_DIGGING] <= b[SX_DIGGING] &&
                a[SX_SERVING] <= b[SX_SERVING];
    bool same = a[SX_PASSING] == b[SX_PASSING] && a[SX_DIGGING] == b[SX_DIGGING] &&
                a[SX_SERVING] == b[SX_SERVING];
    return less && (!same || other < p);
}

static void list_candidates(Bench *bench) {
    const SxProblem *problem = bench->problem;
    for (int p = 0; p < problem->team->player_count; p++) {
        if (!sx_can_be_libero(problem, p) || in_order(&bench->order, p) ||
            sx_plan_has_wish(problem->plan, SX_MUST_SIT, p)) {
            continue;
        }
        int ahead = 0;
        for (int other = 0; other < problem->team->player_count; other++) {
            ahead += other != p && sx_can_be_libero(problem, other) &&
                     !in_order(&bench->order, other) && !is_wished(bench, other) &&
                     no_better(problem, p, other);
        }
        if (ahead < problem->rules->liberos || is_wished(bench, p)) {
            bench->candidate[bench->candidates++] = p;
        }
    }
}

static void weigh(Bench *bench) {
    const SxPlan *plan = bench->problem->plan;
    double sum = 0;
    for (int r = 0; r < SX_ROTATIONS; r++) {
        sum += plan->rotation_weight[r];
    }
    bench->plain_counts = sx_plain_mean_decides(plan);
    for (int r = 0; r < SX_ROTATIONS; r++) {
        bench->share[r] = plan->rotation_weight[r] / sum;
    }
}

/* Names these candidates (by index from 1) unless the wishes ask for others. */
static void name_and_try(Search *search, int one, int two) {
    const SxPlan *plan = search->bench.problem->plan;
    search->named[0] = one;
    search->named[1] = two;
    search->count = (one > 0) + (two > 0);
    for (int k = 0; k < MOST_NAMED; k++) {
        int player = k < search->count ? search->bench.candidate[search->named[k] - 1] : SX_NOBODY;
        search->must_play[k] = player >= 0 && sx_plan_has_wish(plan, SX_MUST_PLAY, player);
        search->need[k] = player < 0              ? 0
                          : search->bench.rewards ? search->bench.rewards->most[player]
                                                  : receptions_wanted(plan, player);
    }
    for (int c = 1; c <= search->bench.candidates; c++) {
        int player = search->bench.candidate[c - 1];
        bool wanted =
            sx_plan_has_wish(plan, SX_MUST_PLAY, player) || receptions_wanted(plan, player) > 0;
        if (wanted && c != one && c != two) {
            return;
        }
    }
    try_named(search);
}

static void try_all(Search *search) {
    int most = search->bench.problem->rules->liberos;
    int candidates = search->bench.candidates;
    most = most < candidates ? most : candidates;
    for (int one = most > 0; one <= (most > 0 ? candidates : 0); one++) {
        if (most < MOST_NAMED) {
            name_and_try(search, one, 0);
        }
        for (int two = one + 1; most == MOST_NAMED && two <= candidates; two++) {
            name_and_try(search, one, two);
        }
    }
}

static void name_liberos(SxLineup *lineup) {
    lineup->libero_count = 0;
    lineup->liberos[0] = lineup->liberos[1] = SX_NOBODY;
    for (int t = 0; t < SITUATIONS; t++) {
        const SxRotation *at = &lineup->rotation[rotation_at(t)];
        int p = phase_at(t) == SX_SERVE ? at->serve_libero : at->libero;
        if (p >= 0 && p != lineup->liberos[0] && lineup->libero_count < MOST_NAMED) {
            lineup->liberos[lineup->libero_count++] = p;
        }
    }
    if (lineup->libero_count == MOST_NAMED && lineup->liberos[0] > lineup->liberos[1]) {
        int swap = lineup->liberos[0];
        lineup->liberos[0] = lineup->liberos[1];
        lineup->liberos[1] = swap;
    }
}

/* Goes through all that the order allows; SX_NO if there is nothing. */
static SxStatus search_order(const SxProblem *problem, const SxOrder *order, Search *search,
                             SxError *err) {
    Bench *bench = &search->bench;
    bench->problem = problem;
    bench->order = *order;
    weigh(bench);
    list_candidates(bench);
    if (order_keeps_wishes(bench) && read_must_take(bench) && read_spare(bench)) {
        for (int r = 0; r < SX_ROTATIONS; r++) {
            value_rotation(bench, r);
        }
        try_all(search);
    }
    return search->no_memory ? sx_out_of_memory(err) : search->found ? SX_OK : SX_NO;
}

SxStatus sx_evaluate_order(const SxProblem *problem, const SxOrder *order, int start, SxLineup *out,
                           SxError *err) {
    Search *search = calloc(1, sizeof *search);
    if (!search) {
        return sx_out_of_memory(err);
    }
    SxStatus status = search_order(problem, order, search, err);
    if (status == SX_OK) {
        search->best.order = *order;
        search->best.start = start;
        name_liberos(&search->best);
        sx_lineup_score(problem, &search->best);
        *out = search->best;
    }
    for (int k = 0; status == SX_OK && k < problem->plan->wish_count; k++) {
        status = sx_wish_holds(problem, out, &problem->plan->wishes[k]) ? SX_OK : SX_NO;
    }
    free(search->pool);
    free(search);
    return status;
}

SxStatus sx_order_ways(const SxProblem *problem, const SxOrder *order, const SxRewards *rewards,
                       double floor, double depth, SxWays *ways, SxError *err) {
    Search *search = calloc(1, sizeof *search);
    if (!search) {
        return sx_out_of_memory(err);
    }
    ways->count = 0;
    search->ways = ways;
    search->floor = floor;
    search->depth = depth;
    search->bench.rewards = rewards;
    const SxStatus status = search_order(problem, order, search, err);
    free(search->pool);
    free(search);
    return status;
}
