/* Two lineups side by side, valued with the same weights. */
#include "sixturn/versus.h"

#include "sixturn/bestset.h"

#include <stdlib.h>
#include <string.h>

static SxStatus measure(const SxPlan *yardstick, const SxContender *side, SxLineup *out,
                        SxError *err) {
    SxProblem problem = side->problem;
    problem.plan = yardstick;
    *out = side->lineup;
    sx_lineup_score(&problem, out);
    SxStatus status = problem.against ? sx_lineup_win(&problem, out, err) : SX_OK;
    out->win_bound = out->win;
    out->bound = out->score;
    out->gap = 0;
    return status;
}

static void count_receptions(const SxLineup *lineup, int *count) {
    for (int r = 0; r < SX_ROTATIONS; r++) {
        for (int s = 0; s < SX_SLOTS; s++) {
            count[sx_on_court(lineup, r, SX_RECEIVE, s)]++;
        }
    }
}

SxStatus sx_versus(const SxPlan *yardstick, const SxContender *first, const SxContender *second,
                   SxVersus *out, SxError *err) {
    memset(out, 0, sizeof *out);
    SxStatus status = measure(yardstick, first, &out->side[0], err);
    if (status == SX_OK) {
        status = measure(yardstick, second, &out->side[1], err);
    }
    if (status != SX_OK) {
        return status;
    }
    for (int k = 0; k < 2; k++) {
        count_receptions(&out->side[k], out->receptions[k]);
    }
    SxPlan *plan = malloc(sizeof *plan);
    if (!plan) {
        return sx_out_of_memory(err);
    }
    *plan = *yardstick;
    plan->start = 0; /* compared as they stand, never turned */
    SxProblem problem = first->problem;
    problem.plan = plan;
    status = sx_difference(&problem, &out->side[0], &out->side[1], &out->difference, err);
    free(plan);
    return status;
}
