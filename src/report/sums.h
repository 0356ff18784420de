/* Tables whose columns add up to the score. Internal. */
#ifndef SIXTURN_REPORT_SUMS_H
#define SIXTURN_REPORT_SUMS_H

#include "sixturn/lineup.h"

#include <stdio.h>

/* The parts, the connections' share taken out of the attack, and what the weak rotation adds. */
enum {
    SUM_PASS,
    SUM_ATTACK,
    SUM_CONNECTIONS,
    SUM_BLOCK,
    SUM_SET,
    SUM_SERVE,
    SUM_DIG,
    SUM_RUN,
    SUM_WEAK,
    SUM_COLUMNS
};

/* score = the sum of all columns. connections: weighted points, mean over rotations. */
void sx_sums_of(const SxProblem *problem, const SxLineup *lineup, double connections,
                double out[SUM_COLUMNS]);
/* The connections' weighted points in a lineup's attack; false when memory ran out. */
bool sx_sums_connections(const SxProblem *problem, const SxLineup *lineup, double *points);

/* Nine columns, 55 characters in all, and what they mean below. */
void sx_sums_head(FILE *out);
void sx_sums_row(FILE *out, const double *value, const double *against); /* against may be NULL */
void sx_sums_legend(FILE *out);

#endif
