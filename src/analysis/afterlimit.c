/* When the substitutions of a set are used up: with which six to stay, and how they play on. */
#include "sixturn/afterlimit.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static const double BETTER = 1e-9;

static bool has_split(const SxSystem *system) {
    for (int s = 0; s < SX_SLOTS; s++) {
        if (system->split[s]) {
            return true;
        }
    }
    return false;
}

/* Can the six, with slot `turn` of theirs as slot 0, play the system's roles? */
static bool fits(const SxTeam *team, const SxSystem *system, const int six[SX_SLOTS], int turn) {
    for (int s = 0; s < SX_SLOTS; s++) {
        const SxPlayer *who = &team->players[six[(s + turn) % SX_SLOTS]];
        for (int row = 0; row < SX_ROWS; row++) {
            if (who->fitness[system->duty[s][row].role] <= 0) {
                return false;
            }
        }
    }
    return true;
}

/* The plan without what can no longer bind, all rotations alike. */
static SxPlan bare_plan(const SxPlan *plan) {
    SxPlan bare = *plan;
    bare.wish_count = 0;
    bare.start = -1;
    for (int r = 0; r < SX_ROTATIONS; r++) {
        bare.rotation_weight[r] = 1;
    }
    return bare;
}

/* Scores the six in one turn of the system and keeps it if it is the best. */
static SxStatus try_turn(const SxProblem *problem, int turn, SxAfterLimit *best, SxError *err) {
    SxOrder order;
    SxLineup lineup;
    for (int s = 0; s < SX_SLOTS; s++) {
        order.front[s] = order.back[s] = best->six[(s + turn) % SX_SLOTS];
    }
    const SxSolveOptions options = {.fixed = &order};
    SxStatus status = sx_lineup_solve(problem, &options, &lineup, err);
    if (status == SX_OK && lineup.score > best->score + BETTER) {
        best->found = true;
        best->score = lineup.score;
        best->turn = turn;
        snprintf(best->system, sizeof best->system, "%s", problem->system->id);
    }
    return sx_is_failure(status) ? status : SX_OK;
}

/* Tries every stop in every turn of one system; its formations are made when first needed. */
static SxStatus try_system(const SxProblem *problem, const SxSystem *system, SxAfterLimit stops[2],
                           SxError *err) {
    SxPlan plan = bare_plan(problem->plan);
    SxFormationTable *table = NULL;
    SxProblem now = *problem;
    SxStatus status = SX_OK;
    now.plan = &plan;
    now.system = system;
    for (int k = 0; k < 2 * SX_SLOTS && status == SX_OK; k++) {
        SxAfterLimit *stop = &stops[k / SX_SLOTS];
        const int turn = k % SX_SLOTS;
        if (!fits(problem->team, system, stop->six, turn)) {
            continue;
        }
        if (!table) {
            status = sx_formation_table_build(system, plan.passers, plan.setter_passes, NULL,
                                              &table, err);
            now.table = table;
        }
        if (status == SX_OK) {
            status = try_turn(&now, turn, stop, err);
        }
    }
    sx_formation_table_free(table);
    return status;
}

/* How many changes remain when those of the last rotation are left out. */
static int without_last(const SxChanges *changes) {
    int n = changes->count;
    while (n > 0 && changes->change[n - 1].cycle == changes->change[changes->count - 1].cycle &&
           changes->change[n - 1].rotation == changes->change[changes->count - 1].rotation) {
        n--;
    }
    return n;
}

SxStatus sx_after_limit(const SxProblem *problem, const SxLineup *lineup, const SxChanges *changes,
                        SxAfterLimit *out, SxError *err) {
    memset(out, 0, sizeof *out);
    if (changes->end == SX_ENDS_NEVER || changes->count == 0) {
        return SX_OK;
    }
    SxAfterLimit stops[2] = {{.changes = changes->count}, {.changes = without_last(changes)}};
    for (int k = 0; k < 2; k++) {
        stops[k].score = -INFINITY;
        sx_changes_six(&lineup->order, lineup->start, changes, stops[k].changes, stops[k].six);
    }
    for (int k = 0; k < sx_system_count(); k++) {
        SxSystem system;
        SxStatus status = sx_system_load(sx_system_id(k), &system, err);
        if (status == SX_OK && !has_split(&system)) {
            status = try_system(problem, &system, stops, err);
        }
        if (status != SX_OK) {
            return status;
        }
    }
    int best = stops[1].score > stops[0].score + BETTER;
    *out = stops[best];
    out->other = stops[!best].score;
    return SX_OK;
}
