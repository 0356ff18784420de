/* Playing time over several sets against plain loops: every order of a small roster, every round of
 * the liberos, who receives how often counted as it is played, and every combination of sets, by
 * dynamic programming over what everybody has got. No prices, no bounds, no solver. The score is
 * that of loops.c. */
#include "analysis/sharelimits.h"
#include "outside/loops.h"
#include "sixturn/bestset.h"
#include "sixturn/shares.h"

#include <criterion/criterion.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum {
    BITS = 4, /* of one player's rotations in a key */
    MOST_PLAYERS = 64 / BITS,
    FIRST_ROOM = 1024,
    RANDOM_ROSTER = 10
};
static const double agree = 1e-6;
static const double tie = 1e-9;

static int won_more; /* choices of sets that win more when that is the goal */

/* --- the best by what everybody has got ---------------------------------------------------------
 */

/* What everybody has got, up to what she needs: four bits a player. In the table also who is in,
 * and whether a libero has served. */
typedef uint64_t Got;

typedef struct {
    Got got;
    int state; /* 2 * state + served, or 0 */
    double sum, least;
} Entry;

/* The entries of one key hang together; of two the one that is worse in sum and least goes. */
typedef struct {
    Entry *entry;
    int *next; /* + 1 */
    int *first;
    int count, room;
} Table;

static unsigned place(const Table *table, Got got, int state) {
    uint64_t mixed = (got + (uint64_t)state * 0x9E3779B97F4A7C15u) * 0xBF58476D1CE4E5B9u;
    return (unsigned)((mixed ^ mixed >> 31) % (uint64_t)table->room);
}

static void table_free(Table *table) {
    free(table->entry);
    free(table->next);
    free(table->first);
    *table = (Table){0};
}

static void put(Table *table, Entry fresh);

static void grow(Table *table) {
    Table grown = {.room = table->room ? 2 * table->room : FIRST_ROOM};
    grown.entry = malloc((size_t)grown.room * sizeof *grown.entry);
    grown.next = malloc((size_t)grown.room * sizeof *grown.next);
    grown.first = calloc((size_t)grown.room, sizeof *grown.first);
    for (int k = 0; k < table->count; k++) {
        put(&grown, table->entry[k]);
    }
    table_free(table);
    *table = grown;
}

static void put(Table *table, Entry fresh) {
    if (table->count == table->room) {
        grow(table);
    }
    const unsigned at = place(table, fresh.got, fresh.state);
    for (int k = table->first[at]; k; k = table->next[k - 1]) {
        Entry *old = &table->entry[k - 1];
        if (old->got != fresh.got || old->state != fresh.state) {
            continue;
        }
        if (old->sum >= fresh.sum - tie && old->least >= fresh.least - tie) {
            return;
        }
        if (fresh.sum >= old->sum && fresh.least >= old->least) {
            *old = fresh;
            return;
        }
    }
    table->entry[table->count] = fresh;
    table->next[table->count] = table->first[at];
    table->first[at] = ++table->count;
}

/* --- one order ----------------------------------------------------------------------------------
 */

typedef struct {
    int need[MOST_PLAYERS]; /* over all sets */
    Table sets;             /* the best set by what everybody gets; sum is its score */
    Table now, then;
} Judge;

static Got add(const Judge *judge, Got got, Got more) {
    Got sum = 0;
    for (int p = 0; p < MOST_PLAYERS; p++) {
        const int has = (int)(got >> BITS * p & 15) + (int)(more >> BITS * p & 15);
        sum |= (Got)(has < judge->need[p] ? has : judge->need[p]) << BITS * p;
    }
    return sum;
}

/* Who receives in rotation r, each once. */
static Got receivers(const Loops *loops, int r, int state) {
    Got got = 0;
    for (int s = 0; s < 6; s++) {
        const int own = (r - s + 6) % 6 > 2 ? loops->front[s] : loops->back[s];
        const int who =
            state && s == loops_slot_of(state, r) ? loops->liberos[loops_libero_of(state)] : own;
        got |= (Got)1 << BITS * who;
    }
    return got;
}

/* Plays on from one situation to the next. */
static void play_on(const Loops *loops, const Values *values, int t, const Entry *old) {
    Judge *judge = loops->context;
    const SxPlan *plan = &loops->desk->plan;
    double total = 0;
    for (int r = 0; r < 6; r++) {
        total += plan->rotation_weight[r];
    }
    for (int state = 0; state < STATES; state++) {
        const int before = old->state / 2, served = old->state % 2;
        if (isinf(values->at[t / 2][t % 2][state]) || !loops_follows(t - 1, before, t, state) ||
            (served && loops_serves(t, state))) {
            continue;
        }
        Entry fresh = *old;
        fresh.state = 2 * state + (served || loops_serves(t, state));
        if (t % 2 == 1) {
            const int r = t / 2;
            const double score = values->at[r][0][before] + values->at[r][1][state];
            fresh.sum += plan->balance < 1 ? plan->rotation_weight[r] / total * score : 0;
            fresh.least = plan->balance > 0 ? fmin(fresh.least, score) : fresh.least;
            fresh.got = add(judge, fresh.got, receivers(loops, r, state));
        }
        put(&judge->then, fresh);
    }
}

static void play_from(const Loops *loops, const Values *values, int first) {
    Judge *judge = loops->context;
    const double balance = loops->desk->plan.balance;
    table_free(&judge->now);
    grow(&judge->now);
    put(&judge->now, (Entry){.state = 2 * first + loops_serves(0, first), .least = HUGE_VAL});
    for (int t = 1; t < 12; t++) {
        table_free(&judge->then);
        grow(&judge->then);
        for (int k = 0; k < judge->now.count; k++) {
            play_on(loops, values, t, &judge->now.entry[k]);
        }
        const Table swap = judge->now;
        judge->now = judge->then;
        judge->then = swap;
    }
    for (int k = 0; k < judge->now.count; k++) {
        const Entry *end = &judge->now.entry[k];
        if (loops_follows(11, end->state / 2, 0, first)) {
            const double score =
                (1 - balance) * end->sum + (balance > 0 ? balance * end->least : 0);
            put(&judge->sets, (Entry){.got = end->got, .sum = score});
        }
    }
}

static void play(const Loops *loops) {
    Values values;
    loops_fill_values(loops, &values);
    for (int first = 0; first < STATES; first++) {
        if (!isinf(values.at[0][0][first])) {
            play_from(loops, &values, first);
        }
    }
}

static bool may_be_libero(const Loops *loops, int p) {
    const SxPlayer *who = &loops->desk->team.players[p];
    return who->available && who->fitness[SX_LIBERO] > 0 && !loops_hold(loops, p);
}

/* With every pair of liberos that is not in the order, or the only one, or none. */
static void judge_order(Loops *loops) {
    const int count = loops->desk->team.player_count;
    bool any = false;
    for (int one = 0; one < count; one++) {
        for (int two = one + 1; two < count; two++) {
            if (may_be_libero(loops, one) && may_be_libero(loops, two)) {
                loops->liberos[0] = one;
                loops->liberos[1] = two;
                loops->libero_count = 2;
                any = true;
                play(loops);
            }
        }
    }
    for (int one = 0; one < count && !any; one++) {
        if (may_be_libero(loops, one)) {
            loops->liberos[0] = one;
            loops->libero_count = 1;
            any = true;
            play(loops);
        }
    }
    if (!any) {
        loops->libero_count = 0;
        play(loops);
    }
    loops->orders++;
}

/* --- all sets -----------------------------------------------------------------------------------
 */

static Got everything(const Judge *judge) {
    Got all = 0;
    for (int p = 0; p < MOST_PLAYERS; p++) {
        all |= (Got)judge->need[p] << BITS * p;
    }
    return all;
}

/* The best by what everybody has got after one more set. */
static Table one_more(const Judge *judge, const Table *before) {
    Table after = {0};
    grow(&after);
    for (int k = 0; k < before->count; k++) {
        for (int j = 0; j < judge->sets.count; j++) {
            const Entry *old = &before->entry[k], *set = &judge->sets.entry[j];
            put(&after, (Entry){.got = add(judge, old->got, set->got), .sum = old->sum + set->sum});
        }
    }
    return after;
}

/* The largest sum of scores by which all needs are met; -INFINITY if there is none. */
static double best_total(const Judge *judge, int sets) {
    const Got all = everything(judge);
    Table now = {0};
    grow(&now);
    put(&now, (Entry){0});
    for (int n = 1; n < sets; n++) {
        const Table after = one_more(judge, &now);
        table_free(&now);
        now = after;
    }
    double best = -INFINITY;
    for (int k = 0; k < now.count; k++) {
        for (int j = 0; j < judge->sets.count; j++) {
            const Entry *old = &now.entry[k], *set = &judge->sets.entry[j];
            if (old->sum + set->sum > best && add(judge, old->got, set->got) == all) {
                best = old->sum + set->sum;
            }
        }
    }
    table_free(&now);
    return best;
}

static double judged(const Desk *desk, int sets, long *orders) {
    Judge judge = {0};
    cr_assert_leq(desk->team.player_count, MOST_PLAYERS);
    for (int k = 0; k < desk->plan.wish_count; k++) {
        cr_assert_eq(desk->plan.wishes[k].kind, SX_MIN_ROTATIONS);
        judge.need[desk->plan.wishes[k].player] = desk->plan.wishes[k].value;
    }
    Loops loops = {.desk = desk, .judge = judge_order, .context = &judge};
    grow(&judge.sets);
    loops_all_orders(&loops);
    const double best = best_total(&judge, sets);
    *orders = loops.orders;
    table_free(&judge.sets);
    table_free(&judge.now);
    table_free(&judge.then);
    return best;
}

/* Counted anew. */
static void expect_needs_met(const Desk *desk, const SxShares *shares, const char *label) {
    int got[SX_MAX_PLAYERS] = {0};
    for (int n = 0; n < shares->sets; n++) {
        for (int at = 0; at < 36; at++) {
            got[sx_on_court(&shares->set[n], at / 6, SX_RECEIVE, at % 6)]++;
        }
    }
    for (int k = 0; k < desk->plan.wish_count; k++) {
        const SxWish *wish = &desk->plan.wishes[k];
        cr_expect_geq(got[wish->player], wish->value, "%s: #%d", label, wish->player + 1);
    }
}

static void expect_total(const Desk *desk, const SxShares *shares, const char *label) {
    double sum = 0;
    for (int n = 0; n < shares->sets; n++) {
        SxLineup again = shares->set[n];
        sx_lineup_score(&desk->problem, &again);
        sum += again.score;
    }
    cr_expect_float_eq(sum, shares->total, agree, "%s", label);
}

/* What the lineups win, each valued by itself. */
static double wins(const SxProblem *problem, const SxShares *shares, double *most) {
    double sum = 0;
    *most = 0;
    for (int n = 0; n < shares->sets; n++) {
        SxLineup lineup = shares->set[n];
        cr_assert_eq(sx_lineup_win(problem, &lineup, NULL), SX_OK);
        sum += lineup.win;
        *most = fmax(*most, lineup.win);
    }
    return sum / shares->sets;
}

/* Chosen anew to win sets: with the same time nobody loses, and without shares nobody wins less. */
static void expect_wins(const Desk *desk, const SxShares *by_score, const char *label) {
    SxRallyModel model;
    SxOpponent even;
    const SxFixture fixture = {&model, &even, NULL};
    SxProblem problem = desk->problem;
    SxShares *to_win = malloc(sizeof *to_win);
    SxError err = {.status = SX_OK};
    double most;
    cr_assert_eq(sx_rally_load(NULL, &model, &err), SX_OK);
    sx_even_opponent(&desk->team, &model, &even);
    problem.against = &fixture;
    *to_win = *by_score;
    cr_assert_eq(sx_shares_to_win(&problem, NULL, to_win, &err), SX_OK, "%s: %s", label,
                 err.message);
    expect_needs_met(desk, to_win, label);
    const double before = wins(&problem, by_score, &most), after = wins(&problem, to_win, &most);
    cr_expect_geq(after, before - tie, "%s", label);
    cr_expect_float_eq(after, to_win->win, tie, "%s", label);
    cr_expect_float_eq(after, to_win->win_bound, tie, "%s", label);
    cr_expect_geq(to_win->free.win, most - tie, "%s", label);
    won_more += after > before + tie;
    free(to_win);
}

/* Limits that few teams keep within: the orders listed at a time, the ways, the choices tried. */
static const ShareLimits narrow[] = {
    {.listed = 5, .ways = 30000, .first_nodes = 100000, .nodes = 20000000},
    {.listed = 200000, .ways = 20, .first_nodes = 100000, .nodes = 20000000},
    {.listed = 200000, .ways = 30000, .first_nodes = 2000, .nodes = 3},
    {.listed = 5, .ways = 20, .first_nodes = 2000, .nodes = 3},
};
enum { NARROW = sizeof narrow / sizeof narrow[0], ALL_NARROW = (1 << NARROW) - 1 };

/* What is found keeps to the needs, and its bound is one: the best choice of sets lies between the
 * two. Returns whether it is left open if that is the best. */
static bool ends_open(const Desk *desk, int sets, double best, const ShareLimits *limits,
                      const char *label) {
    SxShares shares;
    SxError err = {.status = SX_OK};
    const SxStatus status = sx_shares_within(&desk->problem, sets, NULL, limits, &shares, &err);
    cr_assert_eq(status, SX_OK, "%s: status %d, %s", label, (int)status, err.message);
    cr_expect(shares.total <= best + agree && best <= shares.bound + agree,
              "%s: found %.9f, best %.9f, bound %.9f", label, shares.total, best, shares.bound);
    const bool open = shares.bound - shares.total > agree * sets;
    cr_expect_eq(shares.proof, open ? SX_FEASIBLE : SX_OPTIMAL, "%s", label);
    expect_needs_met(desk, &shares, label);
    return open;
}

/* Which of them to try, as a bit set, and with which of them the best was not proven. */
typedef struct {
    unsigned tried, open;
} Narrow;

/* Returns whether there is a choice of sets. */
static bool compare(const Desk *desk, int sets, Narrow *within, const char *label) {
    long orders = 0;
    const double best = judged(desk, sets, &orders);
    SxShares shares;
    SxError err = {.status = SX_OK};
    const SxStatus status = sx_shares(&desk->problem, sets, NULL, &shares, &err);
    cr_assert(orders > 0, "%s: nothing was tried", label);
    cr_assert_eq(status, isinf(best) ? SX_NO : SX_OK, "%s: status %d, %s, loops %f", label, status,
                 err.message, best);
    if (status == SX_OK) {
        cr_expect_float_eq(shares.total, best, agree,
                           "%s: loops %.9f, shares %.9f, bound %.9f (%ld)", label, best,
                           shares.total, shares.bound, orders);
        cr_expect_eq(shares.proof, SX_OPTIMAL, "%s: %.9f, at most %.9f", label, shares.total,
                     shares.bound);
        expect_needs_met(desk, &shares, label);
        expect_total(desk, &shares, label);
        if (!SANITIZED || !within) { /* the search for most sets has sanitized tests of its own */
            expect_wins(desk, &shares, label);
        }
    }
    for (int k = 0; k < NARROW; k++) {
        if (within && within->tried >> k & 1 && ends_open(desk, sets, best, &narrow[k], label)) {
            within->open |= 1U << k;
        }
    }
    return status == SX_OK;
}

/* --- teams --------------------------------------------------------------------------------------
 */

static void ask(Desk *desk, int player, int least) {
    sx_plan_wish(&desk->plan, SX_MIN_ROTATIONS, player, SX_NOBODY, least, "test", NULL);
}

/* Who is to get how much: everybody a little, or a few players more than one set or two can give.
 */
static void ask_random(Rng *rng, Desk *desk, int sets) {
    if (rng_below(rng, 3) == 0) {
        const int least = 1 + rng_below(rng, 3);
        for (int p = 0; p < desk->team.player_count; p++) {
            ask(desk, p, least);
        }
        return;
    }
    for (int p = rng_below(rng, 3); p < desk->team.player_count; p += 1 + rng_below(rng, 5)) {
        ask(desk, p, 1 + rng_below(rng, 4 * sets));
    }
}

/* Fewer liberos than one pair is what the loops take longest for. */
static void few_liberos(Desk *desk, int most) {
    int count = 0;
    for (int p = 0; p < desk->team.player_count; p++) {
        count += desk->team.players[p].fitness[SX_LIBERO] > 0;
        if (count > most) {
            desk->team.players[p].fitness[SX_LIBERO] = 0;
        }
    }
}

static bool compare_random(uint64_t seed, Narrow *within) {
    static const double balances[] = {0, 0.25, 0, 1};
    Rng rng = {seed * 1000};
    Desk *desk = malloc(sizeof *desk);
    random_team(&rng, RANDOM_ROSTER, &desk->team);
    for (int p = 0; p < RANDOM_ROSTER; p++) { /* some with another role, of any kind */
        if (rng_below(&rng, 3) == 0) {
            desk->team.players[p].fitness[rng_below(&rng, SX_ROLE_COUNT)] = 0.7;
        }
    }
    few_liberos(desk, (int)(seed % 3));
    for (int k = 0; k < 2; k++) {
        desk->team.connections[k] = (SxConnection){k ? 0 : 6, rng_below(&rng, RANDOM_ROSTER), 1.5};
    }
    desk->team.connection_count = 2;
    const char *system = all_systems[seed % 5], *rules = all_rules[rng_below(&rng, 6)];
    desk_set(desk, system, rules, 1u << 3);
    desk->plan.balance = balances[rng_below(&rng, 4)];
    desk->plan.specialists = rng_below(&rng, 2);
    for (int r = 0; r < 6; r++) {
        desk->plan.rotation_weight[r] = 1 + rng_below(&rng, 3);
    }
    const int sets = 2 + rng_below(&rng, 2);
    ask_random(&rng, desk, sets);
    char label[160];
    snprintf(label, sizeof label, "seed %d, %s, %s, balance %g, specialists %d, %d sets", (int)seed,
             system, rules, desk->plan.balance, desk->plan.specialists, sets);
    const bool found = compare(desk, sets, within, label);
    free(desk);
    return found;
}

/* All systems, rules and roles, with no libero, one and two. */
Test(shares_outside, no_choice_of_sets_of_a_random_team_is_better) {
    enum { TEAMS = 16 };
    static const unsigned tried[TEAMS + 1] = {
        [3] = 1U << 0 | 1U << 3, [5] = 1U << 1 | 1U << 2, [13] = ALL_NARROW};
    unsigned open = 0;
    int found = 0, asked = 0;
    for (uint64_t seed = 1; seed <= TEAMS; seed++) {
        if (SANITIZED && seed > 2 && !tried[seed]) {
            continue;
        }
        asked++;
        Narrow within = {.tried = tried[seed]};
        found += compare_random(seed, &within);
        open |= within.open;
    }
    cr_assert(found > asked / 2 && found < asked, "%d of %d can be", found, asked);
    cr_expect(SANITIZED || won_more > 0, "winning sets was never another choice than points");
    cr_expect_eq(open, ALL_NARROW, "limits that stopped no proof: %x", ALL_NARROW & ~open);
}

/* The demonstration team, everybody two rotations of three sets. */
Test(shares_outside, no_choice_of_sets_of_the_juniors_is_better) {
    Desk *desk = malloc(sizeof *desk);
    desk_read(desk, "datasets/junior-12.json", "5-1-outside", "fivb-2025");
    desk->plan.balance = 0;
    for (int p = 0; p < desk->team.player_count; p++) {
        ask(desk, p, 2);
    }
    cr_assert(compare(desk, 3, NULL, "juniors"));
    free(desk);
}
