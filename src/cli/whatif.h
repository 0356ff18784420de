/* The what-if tables of the report: absences, setters, systems. */
#ifndef SIXTURN_CLI_WHATIF_H
#define SIXTURN_CLI_WHATIF_H

#include "cli/drawing.h"

enum { WHAT_IF_TABLES = 3 };

typedef struct {
    int count;
    SxReportTable table[WHAT_IF_TABLES];
    char **cell[WHAT_IF_TABLES]; /* owned */
} WhatIf;

/* Solves the lineup anew for each question. Ctrl-C stops with what is done. Free with what_if_free,
 * also after a failure. */
SxStatus what_if_make(const PlanOptions *options, const Drawing *drawing, WhatIf *what_if,
                      SxError *err);
void what_if_free(WhatIf *what_if);

#endif
