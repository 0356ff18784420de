/* Two lineups side by side, valued with the same weights. */
#include "sixturn/versus.h"

#include "sixturn/bestset.h"

#include <stdlib.h>
#include <string.h>

static void measure(const SxPlan *yardstick, const SxContender *side, SxLineup *out) {
    SxProblem problem = side->problem;
    problem.plan = yardstick;
    *out = side->lineup;
    sx_lineup_score(&problem, out);
    if (problem.against) {
        SxError ignored = {.status = SX_OK};
        sx_lineup_win(&problem, out, &ignored); /* both lineups were won with before */
        out->win_bound = out->win;
    }
    out->bound = out->score;
    out->gap = 0;
}

static void count_receptions(const SxLineup *lineup, int *count) {
    for (int r = 0; r < SX_ROTATIONS; r++) {
        for (int s = 0; s < SX_SLOTS; s++) {
            count[sx_on_court(lineup, r, SX_RECEIVE, s)]++;
        }
    }
}

void sx_versus(const SxPlan *yardstick, const SxContender *first, const SxContender *second,
               SxVersus *out) {
    memset(out, 0, sizeof *out);
    measure(yardstick, first, &out->side[0]);
    measure(yardstick, second, &out->side[1]);
    for (int k = 0; k < 2; k++) {
        count_receptions(&out->side[k], out->receptions[k]);
    }
    SxPlan *plan = malloc(sizeof *plan);
    if (!plan) {
        return;
    }
    *plan = *yardstick;
    plan->start = 0; /* compared as they stand, never turned */
    SxProblem problem = first->problem;
    problem.plan = plan;
    sx_difference(&problem, &out->side[0], &out->side[1], &out->difference);
    free(plan);
}
