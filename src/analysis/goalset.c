/* The order with the best set odds: all of them, one by one. */
#include "sixturn/goalset.h"

#include "analysis/orders.h"
#include "analysis/parallel.h"
#include "sixturn/evaluate.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Closer than this, odds are equal: far above rounding, far below anything that matters. */
static const double SAME_ODDS = 1e-10;

typedef struct {
    const SxProblem *problem;
    const SxFixture *fixture;
    SxSetRules rules;
    const BoundedOrder *orders;
    double *win; /* by order; negative: the order does not keep the wishes */
} Contest;

/* Set odds, either team serving first equally often, from the best start of each phase. */
static SxStatus odds_of(const SxLineup *lineup, const SxFixture *fixture, const SxSetRules *rules,
                        int start, double *win, SxError *err) {
    SxRates rates;
    SxSetChain *chain = NULL;
    SxStartOdds odds;
    sx_lineup_rates(lineup, fixture, &rates);
    SxStatus status = sx_set_chain_new(&rates, rules, &chain, err);
    if (status != SX_OK) {
        return status;
    }
    sx_start_odds(chain, &odds);
    sx_set_chain_free(chain);
    *win = 0;
    for (int phase = 0; phase < SX_PHASES; phase++) {
        *win += odds.mean[phase][start >= 0 ? start : odds.best[phase]] / SX_PHASES;
    }
    return SX_OK;
}

static SxStatus judge(void *context, int index, SxError *err) {
    const Contest *contest = context;
    const int start = contest->problem->plan->start;
    SxLineup lineup;
    contest->win[index] = -1;
    SxStatus status = sx_evaluate_order(contest->problem, &contest->orders[index].order,
                                        start < 0 ? 0 : start, &lineup, err);
    if (status != SX_OK) {
        return status == SX_NO ? SX_OK : status;
    }
    return odds_of(&lineup, contest->fixture, &contest->rules, start, &contest->win[index], err);
}

/* The best order's index, -1 if none keeps the wishes; counts what was compared. */
static int pick(const Contest *contest, int count, SxGoalSet *goal) {
    int best = -1;
    for (int k = 0; k < count; k++) {
        const double win = contest->win[k];
        if (win < 0) {
            continue;
        }
        goal->orders++;
        goal->place += win > goal->win_of_best_score + SAME_ODDS;
        const double lead = best < 0 ? INFINITY : win - contest->win[best];
        if (lead > SAME_ODDS ||
            (lead >= -SAME_ODDS &&
             sx_order_compare(&contest->orders[k].order, &contest->orders[best].order) < 0)) {
            best = k;
        }
    }
    goal->place++;
    return best;
}

static SxStatus finish(const Contest *contest, int chosen, const SxForecast *best, SxGoalSet *goal,
                       SxError *err) {
    const SxPlan *plan = contest->problem->plan;
    SxStatus status = sx_evaluate_order(contest->problem, &contest->orders[chosen].order,
                                        plan->start < 0 ? 0 : plan->start, &goal->lineup, err);
    if (status != SX_OK) {
        return status;
    }
    goal->lineup.proof = SX_CHOSEN;
    goal->lineup.bound = best->lineup.score;
    goal->lineup.gap = fmax(0, best->lineup.score - goal->lineup.score);
    goal->win = contest->win[chosen];
    return sx_lineup_outlook(contest->problem, &goal->lineup, contest->fixture, &goal->outlook,
                             err);
}

static SxStatus list_orders(const SxProblem *problem, BoundedOrder **list, int *count,
                            SxError *err) {
    static const double everything = 1e9; /* points: beyond every bound */
    SxOrderBounds bounds;
    bool more;
    SxStatus status = sx_order_bounds(problem, &bounds, err);
    if (status == SX_OK) {
        status = sx_orders_between(problem, &bounds, -everything, everything, SX_GOAL_SET_ORDERS,
                                   list, count, &more, err);
    }
    if (status == SX_OK && *count < 0) {
        return sx_fail(err, SX_NO,
                       "more than %d orders are possible, too many to compare one by one; narrow "
                       "them with wishes (must_play, must_sit, slots)",
                       SX_GOAL_SET_ORDERS);
    }
    return status;
}

SxStatus sx_goal_set(const SxProblem *problem, const SxFixture *fixture, const SxForecast *best,
                     const SxWork *run, SxGoalSet *goal, SxError *err) {
    SxPlan plan = *problem->plan;
    SxProblem weighed = *problem;
    BoundedOrder *list = NULL;
    int count = 0;
    memset(goal, 0, sizeof *goal);
    memcpy(plan.rotation_weight, best->weight, sizeof best->weight);
    weighed.plan = &plan;
    const SxFixture same = {fixture->model, fixture->opponent, NULL};
    Contest contest = {.problem = &weighed, .fixture = &same};
    SxStatus status = sx_set_rules_of(problem->rules, false, &contest.rules, err);
    if (status == SX_OK) {
        status = odds_of(&best->lineup, &same, &contest.rules, plan.start, &goal->win_of_best_score,
                         err);
    }
    if (status == SX_OK) {
        status = list_orders(&weighed, &list, &count, err);
    }
    if (status == SX_OK) {
        contest.orders = list;
        contest.win = malloc(((size_t)count + 1) * sizeof *contest.win);
        status = contest.win ? sx_parallel_for(run, count, judge, &contest, NULL, err)
                             : sx_out_of_memory(err);
    }
    if (status == SX_OK) {
        const int chosen = pick(&contest, count, goal);
        status = chosen < 0 ? sx_fail(err, SX_NO, "no order keeps all wishes")
                            : finish(&contest, chosen, best, goal, err);
    }
    free(contest.win);
    free(list);
    return status;
}
