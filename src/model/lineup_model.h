/* The lineup program as a GLPK problem: which columns stand for what. */
#ifndef SIXTURN_MODEL_LINEUP_MODEL_H
#define SIXTURN_MODEL_LINEUP_MODEL_H

#include "model/glpk.h"
#include "model/solver.h"
#include "sixturn/lineup.h"

/* Column indices; 0 where there is no such column. */
typedef struct {
    glp_prob *mip; /* NULL once the solver has given it up */
    const SxProblem *problem;
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
 * lineup_model_free. */
SxStatus lineup_model_build(const SxProblem *problem, const bool *wishes, LineupModel **model,
                            SxError *err);
void lineup_model_free(LineupModel *model);

/* Can this player fill the slot in this row? */
bool lineup_can_fill(const SxProblem *problem, int player, int slot, SxRow row);
/* A skill as it counts for the duty of a slot: scaled by the fitness for its role. */
double lineup_fit(const SxProblem *problem, int player, int slot, SxRow row, SxSkill skill);
/* May the two rows of a slot hold different players? */
bool lineup_rows_differ(const SxProblem *problem, int slot);
/* May the libero come in for this slot at this back turn (it never sets from then on)? */
bool lineup_libero_allowed(const SxSystem *system, int slot, int turn);
bool lineup_is_libero(const SxProblem *problem, int player);
/* An order and its half-turn are one: the system is mirrored, the start is free, and no wish tells
 * the halves apart. */
bool lineup_turn_counts_once(const SxProblem *problem);
/* They also score the same: no weight tells the halves apart either. Only the one with the smaller
 * shirt number in slot 0, front row, then counts. */
bool lineup_halves_alike(const SxProblem *problem);

/* The rest is for work under solver_run. */

/* Forbids an order (and nothing else). */
void lineup_model_cut(LineupModel *model, const SxOrder *order);
/* Adds points to the objective for each rotation in which the player is on court in reception. */
void lineup_model_reward(LineupModel *model, int player, double points);
/* In how many rotations she is, in the MIP solution. */
int lineup_model_receptions(const LineupModel *model, int player);
/* Demands an order. */
void lineup_model_fix(LineupModel *model, const SxOrder *order);
/* Reads the order out of the MIP solution. */
void lineup_model_order(const LineupModel *model, SxOrder *order);

#endif
