/* Two lineups side by side, valued with the same weights. */
#ifndef SIXTURN_VERSUS_H
#define SIXTURN_VERSUS_H

#include "sixturn/api.h"
#include "sixturn/difference.h"

SX_C_BEGIN

/* A lineup and the problem (system, rules, plan) that it answers. Borrowed pointers. */
typedef struct {
    SxProblem problem;
    SxLineup lineup;
} SxContender;

typedef struct {
    SxLineup side[2];                  /* both valued with the yardstick's weights */
    SxDifference difference;           /* from the first to the second, rotation by rotation */
    int receptions[2][SX_MAX_PLAYERS]; /* rotations (of six) on court in reception */
} SxVersus;

/* yardstick gives weights, balance and rotation weights; both sides are of one team. Orders,
 * liberos and passers stay as they are. Fails only when memory runs out. */
SX_API SxStatus sx_versus(const SxPlan *yardstick, const SxContender *first,
                          const SxContender *second, SxVersus *out, SxError *err);

SX_C_END

#endif
