/* What it costs in set odds to play on when the substitutions have run out. */
#include "sixturn/stuck.h"

#include <string.h>

/* The lineup of the six who stay, in the system and the turn in which they play on. */
static SxStatus solve_six(const SxProblem *problem, const SxAfterLimit *after, SxLineup *lineup,
                          SxError *err) {
    SxSystem system;
    SxFormationTable *table = NULL;
    SxPlan plan = *problem->plan;
    SxOrder order;
    plan.wish_count = 0; /* they can no longer bind */
    plan.start = -1;
    for (int s = 0; s < SX_SLOTS; s++) {
        plan.rotation_weight[s] = 1;
        order.front[s] = order.back[s] = after->six[(s + after->turn) % SX_SLOTS];
    }
    SxStatus status = sx_system_load(after->system, &system, err);
    if (status == SX_OK) {
        status =
            sx_formation_table_build(&system, plan.passers, plan.setter_passes, NULL, &table, err);
    }
    if (status == SX_OK) {
        const SxProblem now = {problem->team, problem->rules,   &system,         &plan,
                               table,         problem->scoring, problem->against};
        const SxSolveOptions options = {.fixed = &order};
        status = sx_lineup_solve(&now, &options, lineup, err);
        for (int r = 0; r < SX_ROTATIONS; r++) {
            lineup->rotation[r].receive = NULL; /* the table ends here */
        }
    }
    sx_formation_table_free(table);
    return status;
}

static void rates_of(const SxLineup *six, int turn, const SxLineup *old, const SxFixture *fixture,
                     SxRates *rates) {
    SxOpponent average;
    SxRates own, usual;
    const SxFixture against = {fixture->model, fixture->opponent, NULL};
    sx_lineup_rates(six, &against, &own);
    for (int r = 0; r < SX_ROTATIONS; r++) {
        const int theirs = (r + turn) % SX_ROTATIONS; /* the old lineup's number of rotation r */
        memcpy(rates->receive[theirs], own.receive[r], sizeof own.receive[r]);
        memcpy(rates->serve[theirs], own.serve[r], sizeof own.serve[r]);
    }
    if (fixture->measured) {
        /* measured rates hold against an average opponent, or as they are against an even one */
        sx_opponent_average(&average);
        const SxFixture then = {fixture->model,
                                fixture->opponent->even ? fixture->opponent : &average, NULL};
        sx_lineup_rates(old, &then, &usual);
        sx_rates_override(fixture->measured, &usual, rates);
    }
}

SxStatus sx_stuck(const SxProblem *problem, const SxLineup *lineup, int start,
                  const SxFixture *fixture, SxStuck *stuck, SxError *err) {
    SxLineup from = *lineup, six;
    SxChanges changes;
    memset(stuck, 0, sizeof *stuck);
    from.start = start;
    SxStatus status = sx_changes(&lineup->order, start, problem->rules, &changes, err);
    if (status == SX_OK) {
        status = sx_after_limit(problem, &from, &changes, &stuck->after, err);
    }
    if (status != SX_OK || !stuck->after.found) {
        return status;
    }
    status = solve_six(problem, &stuck->after, &six, err);
    if (status == SX_OK) {
        rates_of(&six, stuck->after.turn, lineup, fixture, &stuck->rates);
    }
    return status;
}

SxStatus sx_outlook_with_limit(const SxProblem *problem, const SxFixture *fixture,
                               const SxLineup *lineup, SxOutlook *outlook, SxStuck stuck[SX_PHASES],
                               SxError *err) {
    SxRates rates;
    SxNeeds needs = {.stop_after = {-1, -1}};
    memset(stuck, 0, SX_PHASES * sizeof *stuck);
    for (int phase = 0; phase < SX_PHASES && outlook->substitutes; phase++) {
        SxStatus status =
            sx_stuck(problem, lineup, outlook->start[phase], fixture, &stuck[phase], err);
        if (status != SX_OK) {
            return status;
        }
        if (stuck[phase].after.found) {
            needs.stop_after[phase] = stuck[phase].after.changes;
            needs.without[phase] = &stuck[phase].rates;
        }
    }
    sx_lineup_rates(lineup, fixture, &rates);
    sx_lineup_entering(lineup, needs.entering);
    return sx_outlook(&rates, problem->rules, problem->plan->start, &needs, outlook, err);
}
