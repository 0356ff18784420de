/* The analyses as text for the terminal (80 columns) and as JSON. All functions return text to be
 * freed with free(), or NULL when memory runs out. */
#ifndef SIXTURN_ANALYSIS_REPORT_H
#define SIXTURN_ANALYSIS_REPORT_H

#include "sixturn/absent.h"
#include "sixturn/doubt.h"
#include "sixturn/rank.h"

/* doubt and doubt_options may be NULL. JSON: "sixturn-rank-1". */
char *sx_rank_text(const SxProblem *problem, const SxRanking *ranking, const SxDoubt *doubt,
                   const SxDoubtOptions *doubt_options);
char *sx_rank_json(const SxProblem *problem, const SxRanking *ranking, const SxDoubt *doubt,
                   const SxDoubtOptions *doubt_options);

/* most: rows to print; the rest is told as a number. JSON holds all: "sixturn-absent-1". */
char *sx_absent_text(const SxProblem *problem, const SxSystemSet *systems,
                     const SxAbsences *absences, int most);
char *sx_absent_json(const SxProblem *problem, const SxSystemSet *systems,
                     const SxAbsences *absences);

#endif
