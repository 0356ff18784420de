/* Why there is no lineup: shortages of players, or the smallest set of wishes in conflict. */
#ifndef SIXTURN_MODEL_CONFLICT_H
#define SIXTURN_MODEL_CONFLICT_H

#include "sixturn/lineup.h"

/* Call when the problem is known to have no lineup. Fills err with status SX_NO and the
 * explanation, which says so if the time was up before it was complete; returns SX_NO, or
 * SX_INTERNAL. work may be NULL. */
SxStatus sx_conflict_explain(const SxProblem *problem, const SxWork *work, SxError *err);

#endif
