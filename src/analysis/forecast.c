/* From a lineup to its set odds, and the fixed point between the two. */
#include "sixturn/forecast.h"

#include "analysis/stops.h"
#include "sixturn/setvalue.h"

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

SxStatus sx_outlook_from(Shelf *shelf, const SxProblem *problem, const SxLineup *lineup,
                         const SxFixture *fixture, SxOutlook *outlook, SxError *err) {
    SxRates rates;
    SxNeeds needs = {.stop_count = 0};
    Stops stops = {.count = 0};
    SxStatus status = SX_OK;
    sx_lineup_rates(lineup, fixture, &rates);
    sx_lineup_entering(lineup, needs.entering);
    if (sx_substitutions_per_cycle(lineup) > 0) {
        status = sx_stops_list(shelf, lineup, &stops, err);
        needs.stop = stops.stop;
        needs.stop_count = stops.count;
    }
    if (status == SX_OK) {
        status = sx_outlook(&rates, problem->rules, problem->plan->start, &needs, outlook, err);
    }
    for (int phase = 0; phase < SX_PHASES && status == SX_OK; phase++) {
        const SxStopping *stopping = &outlook->stopping[phase];
        if (stops.after && stopping->count > 0) {
            outlook->after[phase] = stops.after[stopping->fixed_stop];
            outlook->after[phase].changes = stopping->fixed_changes;
        }
    }
    sx_stops_free(&stops);
    return status;
}

SxStatus sx_lineup_outlook(const SxProblem *problem, const SxLineup *lineup,
                           const SxFixture *fixture, SxOutlook *outlook, SxError *err) {
    Shelf *shelf;
    SxStatus status = sx_shelf_new(problem, fixture, &shelf, err);
    if (status == SX_OK) {
        status = sx_outlook_from(shelf, problem, lineup, fixture, outlook, err);
    }
    sx_shelf_free(shelf);
    return status;
}

SxStatus sx_lineup_odds(const SxProblem *problem, const SxLineup *lineup, const SxFixture *fixture,
                        double *win, SxError *err) {
    if (sx_substitutions_per_cycle(lineup) > 0) { /* they may run out */
        SxOutlook outlook;
        SxStatus status = sx_lineup_outlook(problem, lineup, fixture, &outlook, err);
        *win = status == SX_OK ? outlook.win : 0;
        return status;
    }
    SxSetRules rules;
    SxRates rates;
    SxSetValue value;
    SxStatus status = sx_set_rules_of(problem->rules, false, &rules, err);
    if (status == SX_OK) {
        sx_lineup_rates(lineup, fixture, &rates);
        status = sx_set_value(&rates, &rules, problem->plan->start, &value, NULL, err);
    }
    *win = status == SX_OK ? value.win : 0;
    return status;
}

static unsigned turned_mask(unsigned slots, int by) {
    unsigned turned = 0;
    for (int s = 0; s < SX_SLOTS; s++) {
        turned |= (slots >> s & 1) << (s + by) % SX_SLOTS;
    }
    return turned;
}

static int turned_slot(int slot, int by) {
    return slot < 0 ? slot : (slot + by) % SX_SLOTS;
}

static bool same_rotation(const SxRotation *a, const SxRotation *b, int by) {
    return a->libero == b->libero && turned_slot(a->libero_slot, by) == b->libero_slot &&
           a->serve_libero == b->serve_libero &&
           turned_slot(a->serve_libero_slot, by) == b->serve_libero_slot && a->sides == b->sides &&
           turned_mask(a->passers, by) == b->passers;
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
    const bool halves_alike = problem->plan->start < 0 && sx_system_is_mirrored(problem->system);
    return same_lineup(before, now, 0) || (halves_alike && same_lineup(before, now, SX_SLOTS / 2));
}

/* In a mirrored system half a turn on is the same lineup, started elsewhere: with a free start
 * nothing tells the halves apart. */
static double mean_of_halves(const double share[SX_ROTATIONS], int r) {
    return (share[r] + share[(r + SX_ROTATIONS / 2) % SX_ROTATIONS]) / 2;
}

/* One round: the lineup for the plan's weights, and its outlook. */
static SxStatus solve_round(Shelf *shelf, const SxProblem *problem, const SxSolveOptions *options,
                            const SxFixture *fixture, SxForecast *now, SxError *err) {
    SxStatus status = sx_lineup_solve(problem, options, &now->lineup, err);
    if (status == SX_OK) {
        status = sx_outlook_from(shelf, problem, &now->lineup, fixture, &now->outlook, err);
    }
    for (int r = 0; r < SX_ROTATIONS && status == SX_OK; r++) {
        now->weight[r] = now->lineup.rotation[r].weight;
    }
    return status;
}

static SxStatus settle(Shelf *shelf, const SxProblem *problem, const SxSolveOptions *options,
                       const SxFixture *fixture, SxForecast *best, SxError *err) {
    SxPlan plan = *problem->plan;
    SxProblem weighed = *problem;
    SxLineup seen[SX_SETTLE_ROUNDS];
    SxForecast now;
    bool going_round = false;
    memset(&now, 0, sizeof now);
    memset(seen, 0, sizeof seen);
    memset(best, 0, sizeof *best);
    weighed.plan = &plan;
    const bool halves_alike = plan.start < 0 && sx_system_is_mirrored(problem->system);
    while (!now.settled && !going_round && now.rounds < SX_SETTLE_ROUNDS) {
        SxStatus status = solve_round(shelf, &weighed, options, fixture, &now, err);
        if (status == SX_OUT_OF_TIME && best->rounds > 0) {
            break; /* the best so far, whose weights did not settle */
        }
        if (status != SX_OK) {
            return status;
        }
        now.settled = plan.rotation_weight_given ||
                      (now.rounds > 0 && came_back(problem, &seen[now.rounds - 1], &now.lineup));
        for (int n = 0; n < now.rounds && !now.settled; n++) {
            going_round = going_round || came_back(problem, &seen[n], &now.lineup);
        }
        seen[now.rounds++] = now.lineup;
        if (now.settled || best->rounds == 0 || now.outlook.win > best->outlook.win) {
            *best = now;
        }
        for (int r = 0; r < SX_ROTATIONS && !plan.rotation_weight_given; r++) {
            plan.rotation_weight[r] =
                halves_alike ? mean_of_halves(now.outlook.share, r) : now.outlook.share[r];
        }
    }
    best->rounds = now.rounds;
    best->outlook.unsettled = !best->settled;
    return SX_OK;
}

SxStatus sx_forecast(const SxProblem *problem, const SxSolveOptions *options,
                     const SxFixture *fixture, SxForecast *forecast, SxError *err) {
    Shelf *shelf;
    SxForecast made;
    SxStatus status = sx_shelf_new(problem, fixture, &shelf, err);
    if (status == SX_OK) {
        status = settle(shelf, problem, options, fixture, &made, err);
    }
    sx_shelf_free(shelf);
    if (status == SX_OK) {
        *forecast = made;
    }
    return status;
}
