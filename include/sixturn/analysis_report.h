/* The analyses as text for the terminal (80 columns) and as JSON. All functions return text to be
 * freed with free(), or NULL when memory runs out. */
#ifndef SIXTURN_ANALYSIS_REPORT_H
#define SIXTURN_ANALYSIS_REPORT_H

#include "sixturn/absent.h"
#include "sixturn/api.h"
#include "sixturn/doubt.h"
#include "sixturn/rank.h"
#include "sixturn/setters.h"
#include "sixturn/shares.h"
#include "sixturn/versus.h"
#include "sixturn/worth.h"

SX_C_BEGIN

/* doubt and doubt_options may be NULL. JSON: "sixturn-rank-1". */
SX_API char *sx_rank_text(const SxProblem *problem, const SxRanking *ranking, const SxDoubt *doubt,
                          const SxDoubtOptions *doubt_options);
SX_API char *sx_rank_json(const SxProblem *problem, const SxRanking *ranking, const SxDoubt *doubt,
                          const SxDoubtOptions *doubt_options);

/* most: rows to print; the rest is told as a number. JSON holds all: "sixturn-absent-1". */
SX_API char *sx_absent_text(const SxProblem *problem, const SxSystemSet *systems,
                            const SxAbsences *absences, int most);
SX_API char *sx_absent_json(const SxProblem *problem, const SxSystemSet *systems,
                            const SxAbsences *absences);

/* JSON: "sixturn-setters-1". */
SX_API char *sx_setters_text(const SxProblem *problem, const SxSystemSet *systems,
                             const SxSetterChoices *choices);
SX_API char *sx_setters_json(const SxProblem *problem, const SxSystemSet *systems,
                             const SxSetterChoices *choices);

/* best: one for each system of the set. JSON: "sixturn-systems-1". */
SX_API char *sx_systems_text(const SxProblem *problem, const SxSystemSet *systems,
                             const SxSystemBest *best);
SX_API char *sx_systems_json(const SxProblem *problem, const SxSystemSet *systems,
                             const SxSystemBest *best);

/* JSON: "sixturn-shares-1". */
SX_API char *sx_shares_text(const SxProblem *problem, const SxShares *shares);
SX_API char *sx_shares_json(const SxProblem *problem, const SxShares *shares);

/* name: how the two sides are called, file names as a rule. JSON: "sixturn-versus-1". */
SX_API char *sx_versus_text(const SxPlan *yardstick, const SxContender *first,
                            const SxContender *second, const char *const name[2],
                            const SxVersus *versus);
SX_API char *sx_versus_json(const SxPlan *yardstick, const SxContender *first,
                            const SxContender *second, const char *const name[2],
                            const SxVersus *versus);

/* worth: `count` players, may be none. JSON: "sixturn-worth-1". */
SX_API char *sx_worth_text(const SxProblem *problem, const SxWorth *worth, int count,
                           const SxPointValues *values);
SX_API char *sx_worth_json(const SxProblem *problem, const SxWorth *worth, int count,
                           const SxPointValues *values);

SX_C_END

#endif
