/* When the substitutions of a set are used up: with which six to stay, and how they play on. */
#ifndef SIXTURN_AFTERLIMIT_H
#define SIXTURN_AFTERLIMIT_H

#include "sixturn/api.h"
#include "sixturn/changes.h"
#include "sixturn/lineup.h"

SX_C_BEGIN

/* A plain value. */
typedef struct {
    bool found;              /* false: no shipped system fits the players who stay */
    int changes;             /* planned substitutions to make before stopping */
    int six[SX_SLOTS];       /* who stays, by slot of the lineup's own order */
    char system[SX_ID_SIZE]; /* the shipped system in which they score best */
    int turn;                /* slot of the order that is slot 0 of that system */
    double score;            /* points of that lineup, rotations weighed alike, wishes apart */
    double other;            /* points when stopping at the other moment; -INFINITY if it cannot */
} SxAfterLimit;

/* The two moments to stop are the last change that the rules allow and the one before it. For each
 * the six who then stay are tried in every shipped system without substitutions, in every turn in
 * which they can play its roles, with the best libero plan and passers; the best is taken, ties by
 * more changes, then the system listed first. Does nothing (found false) when changes->end is
 * SX_ENDS_NEVER. */
SX_API SxStatus sx_after_limit(const SxProblem *problem, const SxLineup *lineup,
                               const SxChanges *changes, SxAfterLimit *out, SxError *err);

SX_C_END

#endif
