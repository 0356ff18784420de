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
static SxStatus sets_makeup(const SxProblem *problem, const SxLineup *lineup,
                            double out[SX_SUM_COLUMNS], SxError *err) {
    double part[SX_PARTS];
    SxStatus status = sx_sets_by_part(problem, lineup, part, err);
    double rest = sx_value(problem, lineup) - SX_SETS / 2;
    for (int k = 0; status == SX_OK && k < SX_PARTS; k++) {
        out[column[k]] = part[k];
        rest -= part[k];
    }
    out[SX_SUM_RUN] = rest;
    out[SX_SUM_WEAK] = SX_SETS / 2;
    return status;
}

static void score_makeup(const SxProblem *problem, const SxLineup *lineup,
                         double out[SX_SUM_COLUMNS]) {
    const double balance = problem->plan->balance;
    for (int k = 0; k < SX_PARTS; k++) {
        const double sign = k == SX_PART_RUN ? -1 : 1;
        out[column[k]] = (1 - balance) * sign * problem->plan->weight[k] * mean(lineup, (SxPart)k);
    }
    out[SX_SUM_WEAK] = balance * lineup->rotation[sx_weak_rotation(lineup)].score;
}

/* What would be missing without them. */
static SxStatus connections(const SxProblem *problem, const SxLineup *lineup, double *out,
                            SxError *err) {
    *out = 0;
    if (problem->team->connection_count == 0) {
        return SX_OK;
    }
    SxTeam *team = malloc(sizeof *team);
    if (!team) {
        return sx_out_of_memory(err);
    }
    *team = *problem->team;
    team->connection_count = 0;
    SxProblem apart = *problem;
    apart.team = team;
    SxLineup alone = *lineup;
    sx_lineup_score(&apart, &alone);
    SxStatus status = SX_OK;
    if (problem->against) {
        status = sx_lineup_win(&apart, &alone, err);
        *out = sx_value(problem, lineup) - sx_value(problem, &alone);
    } else {
        *out = (1 - problem->plan->balance) * problem->plan->weight[SX_PART_ATTACK] *
               (mean(lineup, SX_PART_ATTACK) - mean(&alone, SX_PART_ATTACK));
    }
    free(team);
    return status;
}

SxStatus sx_makeup(const SxProblem *problem, const SxLineup *lineup, double out[SX_SUM_COLUMNS],
                   SxError *err) {
    SxStatus status = SX_OK;
    if (problem->against) {
        status = sets_makeup(problem, lineup, out, err);
    } else {
        score_makeup(problem, lineup, out);
    }
    if (status == SX_OK) {
        status = connections(problem, lineup, &out[SX_SUM_CONNECTIONS], err);
        out[SX_SUM_ATTACK] -= out[SX_SUM_CONNECTIONS];
    }
    return status;
}
