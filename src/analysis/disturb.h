/* Ratings drawn anew. Internal. */
#ifndef SIXTURN_ANALYSIS_DISTURB_H
#define SIXTURN_ANALYSIS_DISTURB_H

#include "sixturn/doubt.h"

/* Moves every rating of the team. Each draw has its own stream, so that draws may run in any order.
 */
void sx_disturb(const SxDoubtOptions *options, int draw, SxTeam *team);

#endif
