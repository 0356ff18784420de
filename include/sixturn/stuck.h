/* What it costs in set odds to play on when the substitutions have run out. */
#ifndef SIXTURN_STUCK_H
#define SIXTURN_STUCK_H

#include "sixturn/afterlimit.h"
#include "sixturn/api.h"
#include "sixturn/forecast.h"

SX_C_BEGIN

/* How the lineup plays on. A plain value. */
typedef struct {
    SxAfterLimit after; /* found: the six, their system, and after how many changes to stop */
    SxRates rates;      /* by the rotations of the lineup they come from; only if found */
} SxStuck;

/* How the lineup plays on as sx_after_limit says, if the set starts in rotation start (0 to 5).
 * Measured rates are moved as the model moves. */
SX_API SxStatus sx_stuck(const SxProblem *problem, const SxLineup *lineup, int start,
                         const SxFixture *fixture, SxStuck *stuck, SxError *err);

/* The lineup's outlook once more, now with what playing on without substitutions costs: *outlook
 * holds the one without. stuck[phase]: who plays on if that phase begins the set. */
SX_API SxStatus sx_outlook_with_limit(const SxProblem *problem, const SxFixture *fixture,
                                      const SxLineup *lineup, SxOutlook *outlook,
                                      SxStuck stuck[SX_PHASES], SxError *err);

SX_C_END

#endif
