/* Set odds of a lineup that stops substituting after so many changes, for every number of changes
 * at once: what a search asks for. Internal. */
#ifndef SIXTURN_ANALYSIS_LIMITODDS_H
#define SIXTURN_ANALYSIS_LIMITODDS_H

#include "analysis/quickodds.h"

enum { MOST_STOPS = 64 }; /* moments of change in a set that are told apart */

typedef double StartOdds[SX_PHASES][SX_ROTATIONS]; /* by who serves first and our start */

/* Room to work in, for one thread at a time; NULL if there is no memory. */
typedef struct LimitRoom LimitRoom;
LimitRoom *sx_limit_room(const SxSetRules *rules);
void sx_limit_room_free(LimitRoom *room);

/* out[n]: the team changes as planned on entering the rotations in `entering` n times; from when it
 * would the next time it plays with the odds `after`. n = 0 to most. */
void sx_limit_odds(LimitRoom *room, const QuickOdds *quick, const StepRates *before,
                   const StepRates *after, const bool entering[SX_ROTATIONS], int most,
                   StartOdds *out);

#endif
