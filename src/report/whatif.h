/* What-if answers as tables of words: kept formations, absences, setters, systems. Internal. */
#ifndef SIXTURN_REPORT_WHATIF_H
#define SIXTURN_REPORT_WHATIF_H

#include "sixturn/absent.h"
#include "sixturn/prices.h"
#include "sixturn/setters.h"
#include "sixturn/table.h"

enum { WHAT_IF_TABLES = 4 };

typedef struct {
    bool failed; /* memory ran out */
    int count;
    SxTable table[WHAT_IF_TABLES];
    char **cell[WHAT_IF_TABLES]; /* owned */
} WhatIf;

/* prices: of the kept formations; none: no table. stopped: some answers are missing, which the
 * tables say. lineup: what setters are set against. Free with sx_what_if_free, also after a
 * failure. */
SxStatus sx_what_if_tell(const SxProblem *problem, const SxSystemSet *systems,
                         const SxLineup *lineup, const SxPrices *prices, const SxAbsences *absences,
                         const SxSetterChoices *setters, const SxSystemBest *best, bool stopped,
                         WhatIf *what_if, SxError *err);
void sx_what_if_free(WhatIf *what_if);

#endif
