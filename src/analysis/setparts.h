/* What each part of each rotation contributes to the odds of a set. Internal. */
#ifndef SIXTURN_ANALYSIS_SETPARTS_H
#define SIXTURN_ANALYSIS_SETPARTS_H

#include "sixturn/forecast.h"

void sx_set_sides(const SxRallyModel *model, const SxLineup *lineup, SxSide side[SX_ROTATIONS]);

/* How fast the odds of a set rise with one rating (an SxSkill; the last and one: attackers in
 * front) of our side in rotation r, slope being that of the odds by every rally. */
double sx_rates_rise(const SxFixture *fixture, SxSide side, int k, int r, const SxRates *slope);

/* Sets of 100 more, when our side goes from one to the other against problem->against, by rotation
 * and part; more attackers in front count as attack. The sum is the whole difference but for
 * rounding (some 1e-6 of it), the limit of substitutions apart. */
SxStatus sx_set_parts(const SxProblem *problem, const SxSide from[SX_ROTATIONS],
                      const SxSide to[SX_ROTATIONS], double out[SX_ROTATIONS][SX_PARTS],
                      SxError *err);

#endif
