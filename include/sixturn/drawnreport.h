/* Verdicts on drawn formations, and their mending, as text for the terminal (80 columns) and as
 * JSON
 * ("sixturn-check-1", "sixturn-mend-1"). */
#ifndef SIXTURN_DRAWNREPORT_H
#define SIXTURN_DRAWNREPORT_H

#include "sixturn/api.h"
#include "sixturn/drawn.h"
#include "sixturn/mend.h"

SX_C_BEGIN

/* All return text to be freed with free(), or NULL when memory runs out. rules, results and mends
 * are by formation of the file. */
SX_API char *sx_check_text(const SxDrawnFile *file, const SxRules *rules, double margin,
                           const SxLegality *results);
SX_API char *sx_check_json(const SxDrawnFile *file, const SxRules *rules, double margin,
                           const SxLegality *results);
SX_API char *sx_mend_text(const SxDrawnFile *file, const SxRules *rules, double margin,
                          const SxMend *mends);
SX_API char *sx_mend_json(const SxDrawnFile *file, const SxRules *rules, double margin,
                          const SxMend *mends);

SX_C_END

#endif
