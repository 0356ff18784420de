/* Other formations of one rotation as text for the terminal (80 columns) and as JSON
 * ("sixturn-receive-1"). Text to be freed with free(), NULL when memory runs out. */
#ifndef SIXTURN_RECEIVEREPORT_H
#define SIXTURN_RECEIVEREPORT_H

#include "sixturn/alternatives.h"
#include "sixturn/api.h"

SX_C_BEGIN

/* kept: number of the one that goes into the plan, whose text is `plan`; 0 and NULL: none. */
SX_API char *sx_receive_text(const SxProblem *problem, const SxLineup *lineup,
                             const SxAlternatives *others, int kept);
SX_API char *sx_receive_json(const SxProblem *problem, const SxLineup *lineup,
                             const SxAlternatives *others, int kept, const char *plan);

SX_C_END

#endif
