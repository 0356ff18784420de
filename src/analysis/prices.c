/* What wishes and kept formations cost: each is left out alone, and the lineup planned anew. */
#include "sixturn/prices.h"

#include "analysis/parallel.h"
#include "analysis/stops.h"
#include "sixturn/alternatives.h"
#include "sixturn/bestset.h"
#include "sixturn/kept.h"

#include <math.h>
#include <string.h>

typedef struct {
    const SxProblem *problem;
    const SxFixture *fixture;
    const SxLineup *lineup;
    double win;
    const SxFormationTable *own; /* sixturn's formations in all rotations; only if some are kept */
    bool none_binds;             /* no wish does */
    SxWork alone;
    SxPrice *price;
} Pricing;

static double metres_run(const SxLineup *lineup, int rotation) {
    const SxFormation *formation = lineup->rotation[rotation].receive;
    return formation ? sx_formation_metres(formation) : 0;
}

static void compare(const Pricing *pricing, const SxProblem *problem, const SxLineup *without,
                    SxPrice *price) {
    const SxLineup *with = pricing->lineup;
    for (int p = 0; p < problem->team->player_count; p++) {
        if (sx_lineup_has(without, p) && !sx_lineup_has(with, p) &&
            price->sit_count < SX_MOST_SITTING) {
            price->sits[price->sit_count++] = p;
        }
    }
    const double gain = sx_value(problem, without) - sx_value(problem, with);
    price->binds = fabs(gain) > 10 * sx_value_tie(problem);
    price->points = problem->against ? 0 : gain;
    if (price->rotation >= 0) {
        price->run = metres_run(with, price->rotation) - metres_run(without, price->rotation);
    }
}

static SxStatus plan_without(const Pricing *pricing, const SxProblem *problem, SxPrice *price,
                             SxError *err) {
    SxLineup without;
    double win;
    SxStatus status =
        sx_only_proven(sx_best_lineup(problem, &pricing->alone, &without, err), &without, err);
    if (status == SX_OK) {
        compare(pricing, problem, &without, price);
        status = sx_lineup_odds(problem, &without, pricing->fixture, &win, err);
    }
    if (status == SX_OK) {
        const double more = win - pricing->win; /* found in another way: equal to rounding */
        price->sets = fabs(more) > SX_SAME_SET_ODDS ? SX_SETS * more : 0;
        price->known = true;
    }
    return status;
}

/* The rotation's own formations again. */
static SxStatus without_kept(const Pricing *pricing, SxProblem *problem, SxPlan *plan,
                             SxPrice *price, SxError *err) {
    SxFormationTable *table = NULL;
    plan->kept[price->rotation].count = 0;
    SxStatus status = sx_formation_table_copy(pricing->own, &table, err);
    if (status == SX_OK) {
        status = sx_kept_apply(plan, problem->rules, problem->system, table, err);
    }
    if (status == SX_OK) {
        problem->table = table;
        status = plan_without(pricing, problem, price, err);
    }
    sx_formation_table_free(table);
    return status;
}

static SxStatus price_one(void *context, int index, SxError *err) {
    const Pricing *pricing = context;
    SxPrice *price = &pricing->price[index];
    SxProblem problem = *pricing->problem;
    SxPlan plan = *problem.plan;
    problem.plan = &plan;
    plan.rotation_weight_given = true;
    if (price->rotation >= 0) {
        return without_kept(pricing, &problem, &plan, price, err);
    }
    if (pricing->none_binds) {
        price->known = true;
        return SX_OK;
    }
    plan.wish_count--;
    memmove(&plan.wishes[price->wish], &plan.wishes[price->wish + 1],
            (size_t)(plan.wish_count - price->wish) * sizeof plan.wishes[0]);
    return plan_without(pricing, &problem, price, err);
}

static void add(SxPrices *out, int wish, int rotation) {
    if (out->count < SX_MAX_PRICED) {
        out->price[out->count++] = (SxPrice){.wish = wish, .rotation = rotation};
    } else {
        out->left_out++;
    }
}

/* Without all wishes at once no lineup is worse than without one of them: if it is no better than
 * what is planned, none binds, and nothing more has to be solved. False if that is not known. */
static bool none_binds(const SxProblem *problem, const SxLineup *lineup, const SxWork *work) {
    SxLineup without;
    SxProblem other = *problem;
    SxPlan plan = *problem->plan;
    SxError err = {.status = SX_OK};
    plan.wish_count = 0;
    plan.rotation_weight_given = true;
    other.plan = &plan;
    return problem->plan->wish_count > 0 && sx_best_value(&other, work, &without, &err) == SX_OK &&
           without.proof == SX_OPTIMAL &&
           sx_value(problem, &without) - sx_value(problem, lineup) <= 10 * sx_value_tie(problem);
}

/* Fills what was added to out. */
static SxStatus price_all(const SxProblem *problem, const SxFixture *fixture,
                          const SxLineup *lineup, double win, const SxWork *work, SxPrices *out,
                          SxError *err) {
    SxFormationTable *own = NULL;
    bool kept = false;
    for (int k = 0; k < out->count; k++) {
        kept |= out->price[k].rotation >= 0;
    }
    SxStatus status =
        kept ? sx_plan_formation_table(problem->plan, problem->system, work, &own, err) : SX_OK;
    if (status == SX_OK) {
        Pricing pricing = {.problem = problem,
                           .fixture = fixture,
                           .lineup = lineup,
                           .win = win,
                           .own = own,
                           .alone = sx_work_alone(work),
                           .price = out->price};
        pricing.none_binds = out->count > 1 && none_binds(problem, lineup, work);
        status = sx_parallel_for(work, out->count, price_one, &pricing, NULL, err);
    }
    sx_formation_table_free(own);
    return status;
}

static void add_kept(const SxPlan *plan, SxPrices *out) {
    memset(out, 0, sizeof *out);
    for (int r = 0; r < SX_ROTATIONS; r++) {
        if (sx_is_kept(plan, r)) {
            add(out, -1, r);
        }
    }
}

SxStatus sx_prices(const SxProblem *problem, const SxFixture *fixture, const SxLineup *lineup,
                   double win, const SxWork *work, SxPrices *out, SxError *err) {
    add_kept(problem->plan, out);
    for (int k = 0; k < problem->plan->wish_count; k++) {
        add(out, k, -1);
    }
    return price_all(problem, fixture, lineup, win, work, out, err);
}

SxStatus sx_kept_prices(const SxProblem *problem, const SxFixture *fixture, const SxLineup *lineup,
                        double win, const SxWork *work, SxPrices *out, SxError *err) {
    add_kept(problem->plan, out);
    return price_all(problem, fixture, lineup, win, work, out, err);
}

int sx_bench_of(const SxProblem *problem, const SxLineup *lineup, int players[SX_MAX_PLAYERS]) {
    int count = 0;
    for (int p = 0; p < problem->team->player_count; p++) {
        bool may = problem->team->players[p].available && !sx_lineup_has(lineup, p);
        for (int k = 0; k < problem->plan->wish_count; k++) {
            const SxWish *wish = &problem->plan->wishes[k];
            may &= wish->kind != SX_MUST_SIT || wish->player != p;
        }
        if (may) {
            players[count++] = p;
        }
    }
    return count;
}
