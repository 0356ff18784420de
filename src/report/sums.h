/* Tables whose columns add up to the score. Internal. */
#ifndef SIXTURN_REPORT_SUMS_H
#define SIXTURN_REPORT_SUMS_H

#include "sixturn/makeup.h"

#include <stdio.h>

/* Nine columns, 55 characters in all, and what they mean below. */
void sx_sums_head(FILE *out, const SxProblem *problem);
void sx_sums_row(FILE *out, const double *value, const double *against); /* against may be NULL */
void sx_sums_legend(FILE *out, const SxProblem *problem);

#endif
