/* What sheet and report share: the solved lineup with everything a drawing of it needs. */
#ifndef SIXTURN_CLI_DRAWING_H
#define SIXTURN_CLI_DRAWING_H

#include "cli/options.h"
#include "sixturn/report.h"
#include "sixturn/sheet.h"

/* sheet points into the rest. */
typedef struct {
    Workbench bench;
    SxForecast forecast;
    SxServeFormations serve;
    SxSheetOdds odds;
    SxSheet sheet;
} Drawing;

/* Loads, solves, and makes the sheet of the whole team. Free with drawing_free, also after a
 * failure. */
SxStatus drawing_make(const PlanOptions *options, const char *team_file, Drawing *drawing,
                      SxError *err);
void drawing_free(Drawing *drawing);

/* "receive", "serve" or "both"; NULL: both. Complains on stderr. */
SxStatus drawing_show(const char *word, SxShow *show);
/* Refuses the options that only make sense for text, and a missing -o. Complains on stderr. */
SxStatus drawing_check(const PlanOptions *options, const char *file);

#endif
