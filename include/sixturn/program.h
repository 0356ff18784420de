/* What the lineup program tells beside its optimum: bounds for every order, and the best lineup
 * when playing time is paid for. For analyses that solve it many times. */
#ifndef SIXTURN_PROGRAM_H
#define SIXTURN_PROGRAM_H

#include "sixturn/lineup.h"

SX_C_BEGIN

/* Upper bounds for every order of a problem: base plus the values of the places taken, by the
 * reduced costs of the program's relaxation. A player who has both rows of a slot counts once,
 * in the front row, unless the rows may differ. */
typedef struct {
    double top; /* no lineup scores more */
    double base;
    double value[SX_MAX_PLAYERS][SX_SLOTS][SX_ROWS];
    bool can[SX_MAX_PLAYERS][SX_SLOTS][SX_ROWS];
} SxOrderBounds;

/* SX_NO without a message when the relaxation already has no solution; SX_OUT_OF_TIME
 * at the deadline of work, which may be NULL. */
SX_API SxStatus sx_order_bounds(const SxProblem *problem, const SxWork *work, SxOrderBounds *out,
                                SxError *err);

/* The best sum of score and rewards: reward[p] points (>= 0) for each rotation in which player p
 * is on court in reception. */
typedef struct {
    double value; /* the sum, proven */
    SxOrder order;
    int receptions[SX_MAX_PLAYERS]; /* of the players with a reward, in that optimum */
} SxRewarded;

SX_API SxStatus sx_lineup_rewarded(const SxProblem *problem, const double reward[SX_MAX_PLAYERS],
                                   const SxWork *work, SxRewarded *out, SxError *err);

SX_C_END

#endif
