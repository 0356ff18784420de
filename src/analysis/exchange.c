/* The exchanges that a coach may consider during a set, and the rally odds with each made. */
#include "sixturn/exchange.h"

#include "analysis/exchangerates.h"
#include "sixturn/eligible.h"
#include "sixturn/evaluate.h"
#include "sixturn/outlook.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* --- rally odds with exchanges made -----------------------------------------------------------
 */

static int half_turn(int at) {
    return (at + SX_SLOTS / 2) % SX_SLOTS;
}

/* The place that sets in all rotations; -1 if there are several. */
static int setting_place(const SxSystem *system) {
    for (int r = 1; r < SX_ROTATIONS; r++) {
        if (system->setter_slot[r] != system->setter_slot[0]) {
            return -1;
        }
    }
    return system->setter_slot[0];
}

static bool same_duty(const SxDuty *a, const SxDuty *b) {
    return a->role == b->role && a->lane == b->lane && a->attacks == b->attacks &&
           a->base.x == b->base.x && a->base.y == b->base.y && a->task.x == b->task.x &&
           a->task.y == b->task.y;
}

/* With setter and opposite exchanged for the other pair, the system is the same, half a turn on:
 * every other place must be opposite to its like. */
static bool pair_may_change(const SxSystem *system) {
    const int setter = setting_place(system);
    for (int s = 0; setter >= 0 && s < SX_SLOTS / 2; s++) {
        if (s == setter % (SX_SLOTS / 2)) {
            continue;
        }
        for (int row = 0; row < SX_ROWS; row++) {
            if (!same_duty(&system->duty[s][row], &system->duty[half_turn(s)][row])) {
                return false;
            }
        }
    }
    return setter >= 0;
}

/* The six of a rotation with the exchanges of the mask made; turned: numbered half a turn on. */
static void six_with(const SxLineup *lineup, const SxConsidered *considered, unsigned mask, int r,
                     bool turned, SxSix *six) {
    SxSix now;
    sx_lineup_six(lineup, r, &now);
    for (int m = 0; mask >> m; m++) {
        for (int k = 0; mask >> m & 1 && k < considered[m].places; k++) {
            now.player[considered[m].slot[k]] = considered[m].in[k];
        }
    }
    *six = now;
    if (!turned) {
        return;
    }
    for (int s = 0; s < SX_SLOTS; s++) {
        six->player[half_turn(s)] = now.player[s];
    }
    for (int phase = 0; phase < SX_PHASES; phase++) {
        six->libero_slot[phase] = now.libero[phase] == SX_NOBODY
                                      ? now.libero_slot[phase]
                                      : half_turn(now.libero_slot[phase]);
    }
    six->receive = lineup->rotation[half_turn(r)].receive;
}

static void model_rates(const SxProblem *problem, const SxLineup *lineup, const SxFixture *fixture,
                        const SxConsidered *considered, unsigned mask, SxRates *rates) {
    const SxFixture unmeasured = {fixture->model, fixture->opponent, NULL};
    SxLineup with = *lineup;
    bool turned = false;
    for (int m = 0; mask >> m; m++) {
        turned |= (mask >> m & 1) && considered[m].places > 1;
    }
    for (int r = 0; r < SX_ROTATIONS; r++) {
        const int like = turned ? half_turn(r) : r;
        SxSix six;
        six_with(lineup, considered, mask, r, turned, &six);
        sx_rotation_parts(problem, like, &six, with.rotation[r].part);
        with.rotation[r].front_attackers = lineup->rotation[like].front_attackers;
    }
    sx_lineup_rates(&with, &unmeasured, rates);
}

static double moved(double known, double from, double to) {
    const double odds = known / (1 - known) * (to / (1 - to)) / (from / (1 - from));
    return isfinite(odds) ? odds / (1 + odds) : 1;
}

/* What the model says that the exchanges change is said of the measured rates too. */
void sx_move_rates(const SxRates *own, const SxRates *from, SxRates *rates) {
    for (int i = 0; i < SX_ROTATIONS; i++) {
        for (int j = 0; j < SX_ROTATIONS; j++) {
            rates->receive[i][j] =
                moved(own->receive[i][j], from->receive[i][j], rates->receive[i][j]);
            rates->serve[i][j] = moved(own->serve[i][j], from->serve[i][j], rates->serve[i][j]);
        }
    }
}

static SxStatus check(const SxProblem *problem, const SxLineup *lineup, const SxConsidered *it,
                      int which, SxError *err) {
    if (it->places < 1 || it->places > 2 ||
        (it->places == 2 && !pair_may_change(problem->system))) {
        return sx_fail(err, SX_USAGE, "exchange %d: this system knows no double substitution",
                       which + 1);
    }
    for (int k = 0; k < it->places; k++) {
        const int s = it->slot[k];
        if (s < 0 || s >= SX_SLOTS || lineup->order.front[s] != lineup->order.back[s] ||
            lineup->order.front[s] != it->out[k]) {
            return sx_fail(err, SX_USAGE,
                           "exchange %d: its player out does not hold her place in both rows",
                           which + 1);
        }
        if (it->in[k] < 0 || it->in[k] >= problem->team->player_count ||
            sx_lineup_has(lineup, it->in[k])) {
            return sx_fail(err, SX_USAGE, "exchange %d: who comes in is not on the bench",
                           which + 1);
        }
    }
    return SX_OK;
}

SxStatus sx_consider_these(const SxProblem *problem, const SxLineup *lineup,
                           const SxFixture *fixture, const SxConsidered *considered, int count,
                           SxExchanges *exchanges, SxRates *rates, SxError *err) {
    if (count < 0 || count > SX_MAX_EXCHANGES) {
        return sx_fail(err, SX_USAGE, "0 to %d exchanges can be considered, not %d",
                       SX_MAX_EXCHANGES, count);
    }
    *exchanges = (SxExchanges){.count = count, .rates = rates, .reentry = problem->rules->reentry};
    for (int m = 0; m < count; m++) {
        SxStatus status = check(problem, lineup, &considered[m], m, err);
        if (status != SX_OK) {
            return status;
        }
        exchanges->exchange[m].cost = considered[m].places;
        for (int k = 0; k < considered[m].places; k++) {
            exchanges->exchange[m].slots |= 1u << considered[m].slot[k];
            exchanges->exchange[m].players |= (uint64_t)1 << considered[m].in[k];
        }
    }
    SxRates model;
    model_rates(problem, lineup, fixture, considered, 0, &model);
    sx_lineup_rates(lineup, fixture, &rates[0]);
    for (unsigned mask = 1; mask < 1u << count; mask++) {
        model_rates(problem, lineup, fixture, considered, mask, &rates[mask]);
        sx_move_rates(&rates[0], &model, &rates[mask]);
    }
    return SX_OK;
}

/* --- what the bench allows --------------------------------------------------------------------
 */

typedef struct {
    SxConsidered it;
    double gain;
} Candidate;

typedef struct {
    const SxProblem *problem;
    const SxLineup *lineup;
    const SxFixture *fixture;
    const SxBenchSearch *search;
    Candidate *candidate;
    int count;
} Bench;

static bool on_bench(const Bench *bench, int player) {
    return bench->problem->team->players[player].available &&
           !sx_lineup_has(bench->lineup, player) &&
           !sx_plan_has_wish(bench->problem->plan, SX_MUST_SIT, player);
}

/* Odds gained, mean over the moments of the search. */
static SxStatus gain_of(const Bench *bench, const SxConsidered *it, double *gain, SxError *err) {
    const SxBenchSearch *search = bench->search;
    SxRates rates[2];
    SxExchanges exchanges;
    SxStatus status = sx_consider_these(bench->problem, bench->lineup, bench->fixture, it, 1,
                                        &exchanges, rates, err);
    *gain = 0;
    for (int k = 0; status == SX_OK && k < search->from_count; k++) {
        SxMoment start = search->from[k];
        SxPolicy *policy = NULL;
        double best = 0, without = 0;
        memset(start.exchange, 0, sizeof start.exchange);
        status = sx_policy_new(&exchanges, &search->rules, &start, &policy, err);
        if (status == SX_OK) {
            status = sx_policy_win(policy, &start, &best, err);
        }
        if (status == SX_OK) {
            status = sx_policy_win_without(policy, &start, &without, err);
        }
        sx_policy_free(policy);
        *gain += (best - without) / search->from_count;
    }
    return status;
}

/* Where the exchange raises a rally's odds most: at the place's own serve, elsewhere in the back
 * row, or in front. */
static SxExchangeUse use_of(const Bench *bench, const SxConsidered *it) {
    SxRates rates[2];
    SxExchanges exchanges;
    double most = -INFINITY;
    SxExchangeUse use = SX_FOR_SERVE;
    if (it->places > 1) {
        return SX_FOR_PAIR;
    }
    if (it->slot[0] == setting_place(bench->problem->system)) {
        return SX_FOR_SETTING;
    }
    if (sx_consider_these(bench->problem, bench->lineup, bench->fixture, it, 1, &exchanges, rates,
                          NULL) != SX_OK) {
        return use;
    }
    for (int r = 0; r < SX_ROTATIONS; r++) {
        const bool front = sx_slot_row(it->slot[0], r) == SX_FRONT;
        const double receive = rates[1].receive[r][0] - rates[0].receive[r][0];
        const double serve = rates[1].serve[r][0] - rates[0].serve[r][0];
        const double better = fmax(receive, serve);
        if (better > most) {
            most = better;
            use = front                                  ? SX_FOR_FRONT
                  : r == it->slot[0] && serve >= receive ? SX_FOR_SERVE
                                                         : SX_FOR_DEFENCE;
        }
    }
    return use;
}

/* What a wish says of those who come in, as long as they stay. */
static bool is_about(const SxWish *wish, const SxConsidered *it) {
    const bool of_play = sx_wish_about(wish) & SX_ABOUT_PLAY;
    bool found = false;
    for (int k = 0; of_play && k < it->places; k++) {
        found |= wish->player == it->in[k] ||
                 (wish->kind == SX_NOT_ADJACENT && wish->other == it->in[k]);
    }
    return found;
}

/* Would the lineup with the exchange made keep them? A pair plays it half a turn on. */
static bool keeps_wishes(const Bench *bench, const SxConsidered *it) {
    const SxPlan *plan = bench->problem->plan;
    SxLineup with = *bench->lineup;
    for (int k = 0; k < it->places; k++) {
        with.order.front[it->slot[k]] = with.order.back[it->slot[k]] = it->in[k];
    }
    const SxOrder now = with.order;
    for (int s = 0; it->places > 1 && s < SX_SLOTS; s++) {
        with.order.front[half_turn(s)] = now.front[s];
        with.order.back[half_turn(s)] = now.back[s];
    }
    for (int k = 0; k < plan->wish_count; k++) {
        if (is_about(&plan->wishes[k], it) &&
            !sx_wish_holds(bench->problem, &with, &plan->wishes[k])) {
            return false;
        }
    }
    return true;
}

static SxStatus try_exchange(Bench *bench, SxConsidered it, SxError *err) {
    double gain;
    if (!keeps_wishes(bench, &it)) {
        return SX_OK;
    }
    SxStatus status = gain_of(bench, &it, &gain, err);
    if (status == SX_OK && gain >= bench->search->worth) {
        it.use = use_of(bench, &it);
        bench->candidate[bench->count++] = (Candidate){it, gain};
    }
    return status;
}

static SxStatus try_singles(Bench *bench, SxError *err) {
    for (int s = 0; s < SX_SLOTS; s++) {
        const int out = bench->lineup->order.front[s];
        for (int p = 0;
             out == bench->lineup->order.back[s] && p < bench->problem->team->player_count; p++) {
            const SxConsidered it = {.places = 1, .slot = {s}, .out = {out}, .in = {p}};
            SxStatus status = on_bench(bench, p) ? try_exchange(bench, it, err) : SX_OK;
            if (status != SX_OK) {
                return status;
            }
        }
    }
    return SX_OK;
}

/* The other pair: a setter where the opposite stands, a hitter where the setter stands. */
static SxStatus try_pairs(Bench *bench, SxError *err) {
    const SxSystem *system = bench->problem->system;
    const SxTeam *team = bench->problem->team;
    const SxOrder *order = &bench->lineup->order;
    if (!pair_may_change(system)) {
        return SX_OK;
    }
    const int setter = setting_place(system), opposite = half_turn(setter);
    if (order->front[setter] != order->back[setter] ||
        order->front[opposite] != order->back[opposite]) {
        return SX_OK;
    }
    for (int p = 0; p < team->player_count; p++) {
        for (int q = 0; q < team->player_count; q++) {
            const SxConsidered it = {.places = 2,
                                     .slot = {setter, opposite},
                                     .out = {order->front[setter], order->front[opposite]},
                                     .in = {q, p}};
            const bool fits = p != q && on_bench(bench, p) && on_bench(bench, q) &&
                              team->players[p].fitness[system->duty[setter][SX_BACK].role] > 0 &&
                              team->players[q].fitness[system->duty[opposite][SX_FRONT].role] > 0;
            SxStatus status = fits ? try_exchange(bench, it, err) : SX_OK;
            if (status != SX_OK) {
                return status;
            }
        }
    }
    return SX_OK;
}

static bool shares_anything(const SxConsidered *a, const SxConsidered *b) {
    for (int k = 0; k < a->places; k++) {
        for (int l = 0; l < b->places; l++) {
            if (a->slot[k] == b->slot[l] || a->in[k] == b->in[l]) {
                return true;
            }
        }
    }
    return false;
}

static bool is_free(const Bench *bench, const SxConsidered *it, const SxConsidered *out,
                    int count) {
    for (int k = 0; k < count; k++) {
        if (shares_anything(it, &out[k])) {
            return false;
        }
    }
    for (int k = 0; k < bench->search->taken_count; k++) {
        if (shares_anything(it, &bench->search->taken[k])) {
            return false;
        }
    }
    return true;
}

/* Candidates stand in canonical order, so the first of equals wins. */
static void choose(const Bench *bench, int most, SxConsidered *out, int *count) {
    static const double same = 1e-12;
    for (*count = 0; *count < most; ++*count) {
        int best = -1;
        for (int c = 0; c < bench->count; c++) {
            if (is_free(bench, &bench->candidate[c].it, out, *count) &&
                (best < 0 || bench->candidate[c].gain > bench->candidate[best].gain + same)) {
                best = c;
            }
        }
        if (best < 0) {
            return;
        }
        out[*count] = bench->candidate[best].it;
    }
}

SxStatus sx_consider_bench_at(const SxProblem *problem, const SxLineup *lineup,
                              const SxFixture *fixture, const SxBenchSearch *search,
                              SxConsidered out[SX_MAX_EXCHANGES], int *count, SxError *err) {
    const size_t players = (size_t)problem->team->player_count;
    Bench bench = {.problem = problem,
                   .lineup = lineup,
                   .fixture = fixture,
                   .search = search,
                   .candidate = calloc(players * (SX_SLOTS + players), sizeof(Candidate))};
    *count = 0;
    if (!bench.candidate) {
        return sx_out_of_memory(err);
    }
    SxStatus status = try_singles(&bench, err);
    if (status == SX_OK) {
        status = try_pairs(&bench, err);
    }
    if (status == SX_OK) {
        choose(&bench, search->most < SX_MAX_EXCHANGES ? search->most : SX_MAX_EXCHANGES, out,
               count);
    }
    free(bench.candidate);
    return status;
}

SxStatus sx_consider_bench(const SxProblem *problem, const SxLineup *lineup,
                           const SxFixture *fixture, int most, double worth,
                           SxConsidered out[SX_MAX_EXCHANGES], int *count, SxError *err) {
    SxMoment start[SX_PHASES];
    SxBenchSearch search = {.from = start, .from_count = SX_PHASES, .most = most, .worth = worth};
    for (int phase = 0; phase < SX_PHASES; phase++) {
        start[phase] = (SxMoment){.serve = {lineup->start, 0, (SxPhase)phase},
                                  .left = problem->rules->substitutions};
    }
    *count = 0;
    SxStatus status = sx_set_rules_of(problem->rules, false, &search.rules, err);
    return status == SX_OK
               ? sx_consider_bench_at(problem, lineup, fixture, &search, out, count, err)
               : status;
}

/* --- what the coach names ---------------------------------------------------------------------
 */

static int place_of(const SxLineup *lineup, int player) {
    for (int s = 0; s < SX_SLOTS; s++) {
        if (lineup->order.front[s] == player || lineup->order.back[s] == player) {
            return s;
        }
    }
    return -1;
}

static SxStatus check_named(const SxProblem *problem, const SxLineup *lineup, int out, int in,
                            SxError *err) {
    const SxPlayer *players = problem->team->players;
    const int s = place_of(lineup, out);
    if (s < 0) {
        return sx_fail(err, SX_USAGE,
                       "#%d cannot go out: she does not start in a place of the order",
                       players[out].number);
    }
    if (lineup->order.front[s] != lineup->order.back[s]) {
        return sx_fail(err, SX_USAGE,
                       "#%d shares her place: the lineup itself changes #%d and #%d there",
                       players[out].number, players[lineup->order.front[s]].number,
                       players[lineup->order.back[s]].number);
    }
    return sx_lineup_has(lineup, in)
               ? sx_fail(err, SX_USAGE, "#%d cannot come in for #%d: the lineup has her already",
                         players[in].number, players[out].number)
               : SX_OK;
}

SxStatus sx_consider_named(const SxProblem *problem, const SxLineup *lineup,
                           const SxFixture *fixture, int places, const int out[2], const int in[2],
                           SxConsidered *considered, SxError *err) {
    const Bench bench = {.problem = problem, .lineup = lineup, .fixture = fixture};
    *considered = (SxConsidered){.places = places};
    for (int k = 0; k < places; k++) {
        SxStatus status = check_named(problem, lineup, out[k], in[k], err);
        if (status != SX_OK) {
            return status;
        }
        considered->slot[k] = place_of(lineup, out[k]);
        considered->out[k] = out[k];
        considered->in[k] = in[k];
    }
    if (places > 1) {
        const int setter = setting_place(problem->system);
        const bool both = setter >= 0 &&
                          (considered->slot[0] == setter || considered->slot[1] == setter) &&
                          considered->slot[0] == half_turn(considered->slot[1]);
        if (!both || in[0] == in[1] || !pair_may_change(problem->system)) {
            return sx_fail(err, SX_USAGE,
                           "two at once are the setter and the one opposite to her, for a hitter "
                           "and a setter, in a system with one setter; name others singly");
        }
    }
    considered->use = use_of(&bench, considered);
    return SX_OK;
}

char *sx_considered_text(const SxConsidered *considered, const SxTeam *team, char *text,
                         size_t size) {
    static const char *const uses[] = {[SX_FOR_SERVE] = "to serve",
                                       [SX_FOR_DEFENCE] = "in the back row",
                                       [SX_FOR_FRONT] = "in front",
                                       [SX_FOR_SETTING] = "to set",
                                       [SX_FOR_PAIR] = "the double substitution",
                                       [SX_AS_PLANNED] = "as planned"};
    const SxPlayer *players = team->players;
    if (considered->places > 1) {
        snprintf(text, size, "%d and %d for %d and %d, %s", players[considered->in[0]].number,
                 players[considered->in[1]].number, players[considered->out[0]].number,
                 players[considered->out[1]].number, uses[considered->use]);
    } else {
        snprintf(text, size, "%d for %d %s", players[considered->in[0]].number,
                 players[considered->out[0]].number, uses[considered->use]);
    }
    return text;
}
