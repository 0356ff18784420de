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

typedef struct {
    double score;
    int turn;
} Fit;

/* The best turn of the six in one system; -INFINITY if none fits. */
static SxStatus try_system(const SxProblem *problem, const SxSystem *system,
                           const int six[SX_SLOTS], Fit *best, SxError *err) {
    SxPlan plan = *problem->plan;
    plan.wish_count = 0;
    plan.start = -1;
    for (int r = 0; r < SX_ROTATIONS; r++) {
        plan.rotation_weight[r] = 1;
    }
    SxProblem now = *problem;
    SxFormationTable *table = NULL;
    now.plan = &plan;
    now.system = system;
    *best = (Fit){-INFINITY, 0};
    for (int turn = 0; turn < SX_SLOTS; turn++) {
        if (!fits(problem->team, system, six, turn)) {
            continue;
        }
        SxStatus status = table ? SX_OK
                                : sx_formation_table_build(system, plan.passers, plan.setter_passes,
                                                           NULL, &table, err);
        if (status != SX_OK) {
            return status;
        }
        now.table = table;
        SxOrder order;
        for (int s = 0; s < SX_SLOTS; s++) {
            order.front[s] = order.back[s] = six[(s + turn) % SX_SLOTS];
        }
        const SxSolveOptions options = {.fixed = &order};
        SxLineup lineup;
        status = sx_lineup_solve(&now, &options, &lineup, err);
        if (status == SX_OK && lineup.score > best->score + BETTER) {
            *best = (Fit){lineup.score, turn};
        } else if (status == SX_INTERNAL) {
            sx_formation_table_free(table);
            return status;
        }
    }
    sx_formation_table_free(table);
    return SX_OK;
}

static SxStatus try_six(const SxProblem *problem, int changes, const int six[SX_SLOTS],
                        SxAfterLimit *out, SxError *err) {
    out->changes = changes;
    out->score = -INFINITY;
    memcpy(out->six, six, sizeof out->six);
    for (int k = 0; k < sx_system_count(); k++) {
        SxSystem system;
        Fit fit;
        SxStatus status = sx_system_load(sx_system_id(k), &system, err);
        if (status != SX_OK) {
            return status;
        }
        if (has_split(&system)) {
            continue;
        }
        status = try_system(problem, &system, six, &fit, err);
        if (status != SX_OK) {
            return status;
        }
        if (fit.score > out->score + BETTER) {
            out->found = true;
            out->score = fit.score;
            out->turn = fit.turn;
            snprintf(out->system, sizeof out->system, "%s", system.id);
        }
    }
    return SX_OK;
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
    const int stops[2] = {changes->count, without_last(changes)};
    SxAfterLimit tried[2];
    for (int k = 0; k < 2; k++) {
        int six[SX_SLOTS];
        memset(&tried[k], 0, sizeof tried[k]);
        sx_changes_six(&lineup->order, lineup->start, changes, stops[k], six);
        SxStatus status = try_six(problem, stops[k], six, &tried[k], err);
        if (status != SX_OK) {
            return status;
        }
    }
    int best = tried[1].found && tried[1].score > tried[0].score + BETTER;
    *out = tried[best];
    out->other = tried[!best].score;
    return SX_OK;
}
