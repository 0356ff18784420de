/* The lineup program as a GLPK problem: which columns stand for what. lineup_model.c opens with the
 * formula. */
#ifndef SIXTURN_MODEL_LINEUP_MODEL_H
#define SIXTURN_MODEL_LINEUP_MODEL_H

#include "sixturn/lineup.h"
#include "sixturn/program.h"
#include "solver/glpk.h"
#include "solver/solver.h"

/* Column indices; 0 where there is no such column. */
typedef struct {
    glp_prob *mip; /* NULL once the solver has given it up */
    const SxProblem *problem;
    MipRow row; /* memory of the row under construction */
    /* x: player p fills slot s in a row; both rows share one column unless they may differ. */
    int fills[SX_MAX_PLAYERS][SX_SLOTS][SX_ROWS];
    int shared[SX_SLOTS];      /* h: two players share the slot by the coach's leave */
    int named[SX_MAX_PLAYERS]; /* u: p is one of the liberos */
    /* v: libero p is in for slot s in rotation r, serving or receiving. */
    int in[SX_MAX_PLAYERS][SX_SLOTS][SX_ROTATIONS][SX_PHASES];
    /* y: player p herself is on court for back-row slot s in rotation r, serving or receiving. */
    int self[SX_MAX_PLAYERS][SX_SLOTS][SX_ROTATIONS][SX_PHASES];
    /* q: p passes from slot s in rotation r, as one of n. */
    int passes[SX_MAX_PLAYERS][SX_SLOTS][SX_ROTATIONS][SX_MAX_PASSERS + 1];
    /* a: p attacks from slot s in rotation r, the first of so many columns side by side, one for
     * each attack class; 0 where the place's own column serves. */
    int attacks[SX_MAX_PLAYERS][SX_SLOTS][SX_ROTATIONS];
    int attack_classes[SX_SLOTS][SX_ROTATIONS];
    int counted[SX_MAX_PLAYERS]; /* n: p's rotations in reception that are rewarded */
    int weakest;                 /* w: the least rotation score; 0 when it does not count */
    MipRow score[SX_ROTATIONS];  /* z: the terms of the rotation scores */
    int wish_row[SX_MAX_WISHES]; /* the first row of each wish of the plan; they may have none */
    int rows_of_wishes_end;      /* behind the last */
} LineupModel;

/* Builds the whole program. Free with sx_lineup_model_free. */
SxStatus sx_lineup_model_build(const SxProblem *problem, LineupModel **model, SxError *err);
void sx_lineup_model_free(LineupModel *model);

/* Builds the program, works on it under sx_solver_run and frees it. */
typedef SxStatus (*LineupWork)(LineupModel *model, void *data, SxError *err);
SxStatus sx_lineup_model_run(const SxProblem *problem, LineupWork work, void *data, SxError *err);

/* The rest is for work under sx_solver_run. */

/* Forbids an order (and nothing else). */
void sx_lineup_model_cut(LineupModel *model, const SxOrder *order);
/* Adds points to the objective for each rotation in which the player is on court in reception, up
 * to `most` of them. */
void sx_lineup_model_reward(LineupModel *model, int player, double points, int most);
/* Makes the plain mean of the rotation scores the objective. */
void sx_lineup_model_plain(LineupModel *model);
/* Reads the bounds of all orders out of the relaxation's optimum. */
void sx_lineup_model_bounds(const LineupModel *model, SxOrderBounds *out);
/* Reads the order out of the MIP solution. */
void sx_lineup_model_order(const LineupModel *model, SxOrder *order);

#endif
