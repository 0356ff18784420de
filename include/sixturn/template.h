/* A team to start from, and a guide to filling it in. */
#ifndef SIXTURN_TEMPLATE_H
#define SIXTURN_TEMPLATE_H

#include "sixturn/api.h"
#include "sixturn/error.h"

SX_C_BEGIN

/* Twelve players without names of their own, every rating 5: as a sheet (CSV) that sx_import_roster
 * reads, or as a team file ("sixturn-team-1"). Free *text with free(). */
SX_API SxStatus sx_template_sheet(char **text, SxError *err);
SX_API SxStatus sx_template_team(char **text, SxError *err);
/* How to fill them in. */
SX_API SxStatus sx_template_guide(char **text, SxError *err);

SX_C_END

#endif
