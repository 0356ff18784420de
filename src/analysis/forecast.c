/* From a lineup to its set odds, and the fixed point between the two. */
#include "sixturn/forecast.h"

#include <string.h>

void sx_lineup_rates(const SxLineup *lineup, const SxFixture *fixture, SxRates *rates) {
    SxSide ours[SX_ROTATIONS];
    for (int r = 0; r < SX_ROTATIONS; r++) {
        ours[r] = sx_side_of_parts(fixture->model, lineup->rotation[r].part);
    }
    sx_rally_rates(fixture->model, ours, fixture->opponent->rotation, rates);
    if (fixture->measured) {
        SxOpponent average;
        SxRates against_average;
        sx_opponent_average(&average);
        sx_rally_rates(fixture->model, ours, average.rotation, &against_average);
        sx_rates_override(fixture->measured, &against_average, rates);
    }
}

void sx_lineup_entering(const SxLineup *lineup, int entering[SX_ROTATIONS]) {
    enum { LEFT_FRONT = 4, SERVER = 1 };
    for (int r = 0; r < SX_ROTATIONS; r++) {
        const int to_front = sx_slot_at(LEFT_FRONT, r), to_back = sx_slot_at(SERVER, r);
        entering[r] = (lineup->order.front[to_front] != lineup->order.back[to_front]) +
                      (lineup->order.front[to_back] != lineup->order.back[to_back]);
    }
}

SxStatus sx_lineup_outlook(const SxProblem *problem, const SxLineup *lineup,
                           const SxFixture *fixture, SxOutlook *outlook, SxError *err) {
    SxRates rates;
    int entering[SX_ROTATIONS];
    sx_lineup_rates(lineup, fixture, &rates);
    sx_lineup_entering(lineup, entering);
    return sx_outlook(&rates, problem->rules, problem->plan->start, entering, outlook, err);
}

static bool same_rotation(const SxRotation *a, const SxRotation *b) {
    return a->libero == b->libero && a->libero_slot == b->libero_slot &&
           a->libero_serves == b->libero_serves && a->passers == b->passers;
}

static bool same_lineup(const SxLineup *a, const SxLineup *b) {
    for (int s = 0; s < SX_SLOTS; s++) {
        if (a->order.front[s] != b->order.front[s] || a->order.back[s] != b->order.back[s] ||
            !same_rotation(&a->rotation[s], &b->rotation[s])) {
            return false;
        }
    }
    return true;
}

SxStatus sx_forecast(const SxProblem *problem, const SxSolveOptions *options,
                     const SxFixture *fixture, SxForecast *forecast, SxError *err) {
    SxPlan plan = *problem->plan;
    SxProblem weighed = *problem;
    SxForecast now;
    memset(&now, 0, sizeof now);
    weighed.plan = &plan;
    while (!now.settled && now.rounds < SX_SETTLE_ROUNDS) {
        const SxLineup before = now.lineup;
        SxStatus status = sx_lineup_solve(&weighed, options, &now.lineup, err);
        if (status == SX_OK) {
            status = sx_lineup_outlook(&weighed, &now.lineup, fixture, &now.outlook, err);
        }
        if (status != SX_OK) {
            return status;
        }
        now.settled =
            plan.rotation_weight_given || (now.rounds > 0 && same_lineup(&before, &now.lineup));
        now.rounds++;
        for (int r = 0; r < SX_ROTATIONS; r++) {
            now.weight[r] = now.lineup.rotation[r].weight;
            if (!plan.rotation_weight_given) {
                plan.rotation_weight[r] = now.outlook.share[r];
            }
        }
    }
    *forecast = now;
    return SX_OK;
}
