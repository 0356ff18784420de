/* What the lineup program tells beside its optimum: bounds for every order, and the best lineup
 * when playing time is paid for. For analyses that solve it many times. */
#ifndef SIXTURN_PROGRAM_H
#define SIXTURN_PROGRAM_H

#include "sixturn/lineup.h"

SX_C_BEGIN

/* Points for playing time, on top of the score: `points` (>= 0) for each rotation in which the
 * player is on court in reception, up to `most` of them. */
typedef struct {
    double points[SX_MAX_PLAYERS];
    int most[SX_MAX_PLAYERS];
} SxRewards;

/* Upper bounds for every order of a problem: base plus the values of the places taken, by the
 * reduced costs of the program's relaxation. A player who has both rows of a slot counts once,
 * in the front row, unless the rows may differ. */
typedef struct {
    double top; /* no lineup scores more, rewards included */
    double base;
    double value[SX_MAX_PLAYERS][SX_SLOTS][SX_ROWS];
    bool can[SX_MAX_PLAYERS][SX_SLOTS][SX_ROWS];
} SxOrderBounds;

/* SX_NO without a message when the relaxation already has no solution; SX_OUT_OF_TIME
 * at the deadline of work. Rewards and work may be NULL. */
SX_API SxStatus sx_order_bounds(const SxProblem *problem, const SxRewards *rewards,
                                const SxWork *work, SxOrderBounds *out, SxError *err);

/* The best sum of score and rewards. */
typedef struct {
    double value; /* the sum, proven */
    SxOrder order;
} SxRewarded;

SX_API SxStatus sx_lineup_rewarded(const SxProblem *problem, const SxRewards *rewards,
                                   const SxWork *work, SxRewarded *out, SxError *err);

SX_C_END

#endif
