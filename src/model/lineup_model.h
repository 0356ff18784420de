/* The lineup program as a GLPK problem: which columns stand for what. */
#ifndef SIXTURN_MODEL_LINEUP_MODEL_H
#define SIXTURN_MODEL_LINEUP_MODEL_H

#include "sixturn/lineup.h"
#include "solver/glpk.h"
#include "solver/solver.h"

/* Column indices; 0 where there is no such column. */
typedef struct {
    glp_prob *mip; /* NULL once the solver has given it up */
    const SxProblem *problem;
    MipRow row; /* scratch */
    /* Player p fills slot s in a row; both rows share one column unless they may differ. */
    int fills[SX_MAX_PLAYERS][SX_SLOTS][SX_ROWS];
    int nominated[SX_MAX_PLAYERS];
    /* Libero p comes in for slot s at back turn k and stays until the slot reaches the front row.
     */
    int enters[SX_MAX_PLAYERS][SX_SLOTS][SX_BACK_TURNS];
    int libero_serves[SX_MAX_PLAYERS][SX_SLOTS];
    /* Player p herself (no libero) is on court for slot s in reception at back turn k. */
    int stays[SX_MAX_PLAYERS][SX_SLOTS][SX_BACK_TURNS];
    int own_serve[SX_MAX_PLAYERS][SX_SLOTS];
    int passes[SX_MAX_PLAYERS][SX_SLOTS][SX_ROTATIONS][SX_MAX_PASSERS + 1];
    int specialist_in[SX_SLOTS]; /* a back-row specialist is planned in this slot */
    int weakest;                 /* the least rotation score */
} LineupModel;

/* Builds the whole program. `wishes` tells which of the plan's wishes count (NULL: all). Free with
 * sx_lineup_model_free. */
SxStatus sx_lineup_model_build(const SxProblem *problem, const bool *wishes, LineupModel **model,
                               SxError *err);
void sx_lineup_model_free(LineupModel *model);

/* The rest is for work under sx_solver_run. */

/* Forbids an order (and nothing else). */
void sx_lineup_model_cut(LineupModel *model, const SxOrder *order);
/* Adds points to the objective for each rotation in which the player is on court in reception. */
void sx_lineup_model_reward(LineupModel *model, int player, double points);
/* In how many rotations she is, in the MIP solution. */
int sx_lineup_model_receptions(const LineupModel *model, int player);
/* Demands an order. */
void sx_lineup_model_fix(LineupModel *model, const SxOrder *order);
/* Reads the order out of the MIP solution. */
void sx_lineup_model_order(const LineupModel *model, SxOrder *order);

#endif
