/* From a lineup to its set odds, and the fixed point between the two. */
#include "sixturn/forecast.h"

#include <string.h>

static void our_sides(const SxLineup *lineup, const SxRallyModel *model,
                      SxSide ours[SX_ROTATIONS]) {
    for (int r = 0; r < SX_ROTATIONS; r++) {
        ours[r] =
            sx_side_of_parts(model, lineup->rotation[r].part, lineup->rotation[r].front_attackers);
    }
}

void sx_lineup_rates(const SxLineup *lineup, const SxFixture *fixture, SxRates *rates) {
    SxSide ours[SX_ROTATIONS];
    SxOpponent average;
    our_sides(lineup, fixture->model, ours);
    sx_rally_rates(fixture->model, ours, fixture->opponent->rotation, rates);
    if (fixture->measured && !fixture->opponent->even) {
        SxRates usual;
        sx_opponent_average(&average);
        sx_rally_rates(fixture->model, ours, average.rotation, &usual);
        sx_rates_override(fixture->measured, &usual, rates);
    } else if (fixture->measured) {
        sx_rates_by_rotation(fixture->measured->rate[SX_RECEIVE], fixture->measured->rate[SX_SERVE],
                             rates);
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
    SxNeeds needs = {.stop_after = {-1, -1}};
    sx_lineup_rates(lineup, fixture, &rates);
    sx_lineup_entering(lineup, needs.entering);
    return sx_outlook(&rates, problem->rules, problem->plan->start, &needs, outlook, err);
}

static unsigned turned_mask(unsigned slots, int by) {
    unsigned turned = 0;
    for (int s = 0; s < SX_SLOTS; s++) {
        turned |= (slots >> s & 1) << (s + by) % SX_SLOTS;
    }
    return turned;
}

static bool same_rotation(const SxRotation *a, const SxRotation *b, int by) {
    const int slot = a->libero_slot < 0 ? -1 : (a->libero_slot + by) % SX_SLOTS;
    return a->libero == b->libero && slot == b->libero_slot &&
           a->libero_serves == b->libero_serves && turned_mask(a->passers, by) == b->passers;
}

/* Is b the lineup a with slots and rotations numbered on by so many? */
static bool same_lineup(const SxLineup *a, const SxLineup *b, int by) {
    for (int s = 0; s < SX_SLOTS; s++) {
        const int t = (s + by) % SX_SLOTS;
        if (a->order.front[s] != b->order.front[t] || a->order.back[s] != b->order.back[t] ||
            !same_rotation(&a->rotation[s], &b->rotation[t], by)) {
            return false;
        }
    }
    return true;
}

/* In a system of two equal halves a lineup may come back with the halves numbered the other way. */
static bool came_back(const SxProblem *problem, const SxLineup *before, const SxLineup *now) {
    return same_lineup(before, now, 0) ||
           (sx_system_is_mirrored(problem->system) && same_lineup(before, now, SX_SLOTS / 2));
}

/* In a mirrored system half a turn on is the same lineup, started elsewhere: with a free start
 * nothing tells the halves apart. */
static double mean_of_halves(const double share[SX_ROTATIONS], int r) {
    return (share[r] + share[(r + SX_ROTATIONS / 2) % SX_ROTATIONS]) / 2;
}

SxStatus sx_forecast(const SxProblem *problem, const SxSolveOptions *options,
                     const SxFixture *fixture, SxForecast *forecast, SxError *err) {
    SxPlan plan = *problem->plan;
    SxProblem weighed = *problem;
    SxForecast now;
    memset(&now, 0, sizeof now);
    weighed.plan = &plan;
    const bool halves_alike = plan.start < 0 && sx_system_is_mirrored(problem->system);
    while (!now.settled && now.rounds < SX_SETTLE_ROUNDS) {
        const SxLineup before = now.lineup;
        SxStatus status = sx_lineup_solve(&weighed, options, &now.lineup, err);
        if (status == SX_OK) {
            status = sx_lineup_outlook(&weighed, &now.lineup, fixture, &now.outlook, err);
        }
        if (status != SX_OK) {
            return status;
        }
        now.settled = plan.rotation_weight_given ||
                      (now.rounds > 0 && came_back(problem, &before, &now.lineup));
        now.rounds++;
        for (int r = 0; r < SX_ROTATIONS; r++) {
            now.weight[r] = now.lineup.rotation[r].weight;
            if (!plan.rotation_weight_given) {
                plan.rotation_weight[r] =
                    halves_alike ? mean_of_halves(now.outlook.share, r) : now.outlook.share[r];
            }
        }
    }
    *forecast = now;
    return SX_OK;
}
