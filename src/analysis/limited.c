/* The best lineup of a system that substitutes, the limit of substitutions counted. */
#include "analysis/stops.h"

#include "sixturn/bestset.h"

bool sx_limit_counts(const SxProblem *problem) {
    bool splits = problem->plan->specialists > 0;
    for (int s = 0; s < SX_SLOTS; s++) {
        splits = splits || problem->system->split[s];
    }
    return splits && (problem->rules->substitutions != SX_UNLIMITED ||
                      problem->rules->reentry == SX_REENTRY_ONCE_SAME_SUBSTITUTE);
}

/* The set odds with the limit take the place of those without. */
static SxStatus count_limit(Shelf *shelf, const SxProblem *problem, const SxFixture *fixture,
                            SxLineup *lineup, SxError *err) {
    SxOutlook outlook;
    if (sx_substitutions_per_cycle(lineup) == 0) {
        return SX_OK;
    }
    const SxStatus status = sx_outlook_from(shelf, problem, lineup, fixture, &outlook, err);
    if (status == SX_OK) {
        lineup->win = outlook.win;
        lineup->proof = SX_CHOSEN;
    }
    return status;
}

SxStatus sx_best_with_limit(const SxProblem *problem, const SxWork *work, SxLineup *out,
                            SxError *err) {
    const SxFixture known = {problem->against->model, problem->against->opponent, NULL};
    SxBestOrders best;
    Shelf *shelf = NULL;
    int chosen = 0;
    SxStatus status = sx_best_orders(problem, LIMIT_LOOKED_AT, work, &best, err);
    if (status != SX_OK) {
        return status;
    }
    status = sx_shelf_new(problem, &known, &shelf, err);
    for (int k = 0; k < best.count && status == SX_OK; k++) {
        status = count_limit(shelf, problem, &known, &best.item[k], err);
        if (status == SX_OK && best.item[k].win > best.item[chosen].win + SX_SAME_SET_ODDS) {
            chosen = k;
        }
    }
    if (status == SX_OK) {
        *out = best.item[chosen];
    }
    sx_shelf_free(shelf);
    sx_best_orders_free(&best);
    return status;
}
