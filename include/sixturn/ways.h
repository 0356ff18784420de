/* All ways to play an order that may matter where playing time counts beside the score. */
#ifndef SIXTURN_WAYS_H
#define SIXTURN_WAYS_H

#include "sixturn/api.h"
#include "sixturn/program.h"

SX_C_BEGIN

/* A choice of liberos, replacements, passers and sides, told by what it gives. */
typedef struct {
    double score;
    double plain;                    /* plain mean of the rotations where the score leaves something
                                        open that it decides, else 0 */
    signed char got[SX_MAX_PLAYERS]; /* rotations in reception, at most those asked about */
} SxWay;

/* Free item with free(). */
typedef struct {
    SxWay *item;
    int count, room;
} SxWays;

/* Does a give every player as much as b, with as good a score? */
SX_API bool sx_way_beats(const SxWay *a, const SxWay *b);

/* What score and rewards of a way come to. */
SX_API double sx_way_worth(const SxWay *way, const SxRewards *rewards);

/* Fills *ways with those that no other beats and that are worth at least `floor` and at most
 * `depth` less than the order's best (-INFINITY, INFINITY: all). The plan must not ask for
 * rotations itself. SX_NO, without a message, if there are none. */
SX_API SxStatus sx_order_ways(const SxProblem *problem, const SxOrder *order,
                              const SxRewards *rewards, double floor, double depth, SxWays *ways,
                              SxError *err);

SX_C_END

#endif
