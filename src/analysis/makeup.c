/* What makes up a lineup's score. */
#include "sixturn/makeup.h"

#include "sixturn/bestset.h"

#include <stdlib.h>

static double mean(const SxLineup *lineup, SxPart part) {
    double sum = 0;
    for (int r = 0; r < SX_ROTATIONS; r++) {
        sum += lineup->rotation[r].weight * lineup->rotation[r].part[part];
    }
    return sum;
}

static const int column[SX_PARTS] = {
    [SX_PART_PASS] = SX_SUM_PASS, [SX_PART_ATTACK] = SX_SUM_ATTACK, [SX_PART_BLOCK] = SX_SUM_BLOCK,
    [SX_PART_SET] = SX_SUM_SET,   [SX_PART_SERVE] = SX_SUM_SERVE,   [SX_PART_DIG] = SX_SUM_DIG,
    [SX_PART_RUN] = SX_SUM_RUN,
};

/* Sets of 100: the parts, the even chance in place of the weak rotation, and in place of the run
 * what is left, the limit of substitutions. */
static bool sets_makeup(const SxProblem *problem, const SxLineup *lineup, double connections,
                        double out[SX_SUM_COLUMNS]) {
    double part[SX_PARTS];
    SxError ignored = {.status = SX_OK}; /* the lineup was valued by the same rules before */
    const bool known = sx_sets_by_part(problem, lineup, part, &ignored) != SX_NO_MEMORY;
    double rest = sx_value(problem, lineup) - SX_SETS / 2;
    for (int k = 0; k < SX_PARTS; k++) {
        out[column[k]] = part[k];
        rest -= part[k];
    }
    out[SX_SUM_CONNECTIONS] = connections;
    out[SX_SUM_ATTACK] -= connections;
    out[SX_SUM_RUN] = rest;
    out[SX_SUM_WEAK] = SX_SETS / 2;
    return known;
}

bool sx_makeup(const SxProblem *problem, const SxLineup *lineup, double connections,
               double out[SX_SUM_COLUMNS]) {
    if (problem->against) {
        return sets_makeup(problem, lineup, connections, out);
    }
    double balance = problem->plan->balance;
    for (int k = 0; k < SX_PARTS; k++) {
        double sign = k == SX_PART_RUN ? -1 : 1;
        out[column[k]] = (1 - balance) * sign * problem->plan->weight[k] * mean(lineup, (SxPart)k);
    }
    out[SX_SUM_CONNECTIONS] = (1 - balance) * connections;
    out[SX_SUM_ATTACK] -= out[SX_SUM_CONNECTIONS];
    out[SX_SUM_WEAK] = balance * lineup->rotation[sx_weak_rotation(lineup)].score;
    return true;
}

bool sx_makeup_connections(const SxProblem *problem, const SxLineup *lineup, double *points) {
    SxTeam *team = malloc(sizeof *team);
    if (!team) {
        return false;
    }
    *team = *problem->team;
    team->connection_count = 0;
    SxProblem apart = *problem;
    apart.team = team;
    SxLineup alone = *lineup;
    sx_lineup_score(&apart, &alone);
    bool known = true;
    if (problem->against) {
        SxError ignored = {.status = SX_OK};
        known = sx_lineup_win(&apart, &alone, &ignored) != SX_NO_MEMORY;
        *points = sx_value(problem, lineup) - sx_value(problem, &alone);
    } else {
        *points = problem->plan->weight[SX_PART_ATTACK] *
                  (mean(lineup, SX_PART_ATTACK) - mean(&alone, SX_PART_ATTACK));
    }
    free(team);
    return known;
}
