/* Where to start a set against each of their starts, if the exchanges of an advice are played as
 * well as can be from 0-0 on: what to answer when they turn their order between two sets. */
#ifndef SIXTURN_STARTS_H
#define SIXTURN_STARTS_H

#include "sixturn/advice.h"
#include "sixturn/api.h"

SX_C_BEGIN

/* A plain value; rotations 0 to 5, phases by who serves first. */
typedef struct {
    double win[SX_PHASES][SX_ROTATIONS][SX_ROTATIONS]; /* odds of the set by our start and theirs */
    int start[SX_PHASES]; /* the plan's start, else the best while theirs is not known: each of six
                             equally likely; of equals the lowest, as below */
    int reply[SX_PHASES][SX_ROTATIONS]; /* the best against each start of theirs */
} SxStarts;

/* For an advice at 0-0 with every exchange fresh, SX_USAGE otherwise; else as sx_policy_new. */
SX_API SxStatus sx_starts(const SxProblem *problem, const SxLineup *lineup,
                          const SxFixture *fixture, const SxAdvice *advice, SxStarts *starts,
                          SxError *err);

SX_C_END

#endif
