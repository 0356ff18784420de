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

typedef struct {
    SxOrder order;
    double bound; /* no lineup with this order scores more */
} SxBoundedOrder;

/* All orders with low <= bound < high that keep the rules (wishes are not looked at), highest
 * bound first; *more tells whether there are orders below low. Gives up with *count = -1 where
 * there are more than limit, or a thousand steps for each of those did not find them all. Free
 * *list with free(). */
SX_API SxStatus sx_orders_between(const SxProblem *problem, const SxOrderBounds *bounds, double low,
                                  double high, int limit, SxBoundedOrder **list, int *count,
                                  bool *more, SxError *err);

/* The order half a turn on. */
SX_API void sx_order_turn(const SxOrder *order, SxOrder *out);

/* -1, 0, 1: shirt numbers in slots 0 to 5, front row first. */
SX_API int sx_order_compare(const SxOrder *a, const SxOrder *b);

/* The best sum of score and rewards. */
typedef struct {
    double value; /* the sum, proven */
    SxOrder order;
} SxRewarded;

SX_API SxStatus sx_lineup_rewarded(const SxProblem *problem, const SxRewards *rewards,
                                   const SxWork *work, SxRewarded *out, SxError *err);

SX_C_END

#endif
