/* Set odds, the best move at a moment and fitted rates as text for the terminal (80 columns) and as
 * JSON ("sixturn-odds-result-1", "sixturn-moment-1", "sixturn-fit-result-1"). */
#ifndef SIXTURN_ODDSREPORT_H
#define SIXTURN_ODDSREPORT_H

#include "sixturn/advice.h"
#include "sixturn/api.h"
#include "sixturn/forecast.h"
#include "sixturn/prices.h"
#include "sixturn/starts.h"
#include "sixturn/thumb.h"

SX_C_BEGIN

/* All return text to be freed with free(), or NULL when memory runs out. prices: of the kept
 * formations. */
SX_API char *sx_odds_text(const SxProblem *problem, const SxFixture *fixture,
                          const SxForecast *forecast, const SxPrices *prices);
SX_API char *sx_odds_json(const SxProblem *problem, const SxFixture *fixture,
                          const SxForecast *forecast, const SxPrices *prices);

/* starts: where to start by theirs, at the beginning of a set; NULL: not told. card: rules of thumb
 * instead of the one move; NULL: none asked for. planned: of a lineup that substitutes by itself,
 * for which its own card tells when to stop; NULL: it does not. */
SX_API char *sx_moment_text(const SxProblem *problem, const SxLineup *lineup,
                            const SxFixture *fixture, const SxAdvice *advice,
                            const SxStarts *starts, const SxThumb *card, const SxOutlook *planned);
SX_API char *sx_moment_json(const SxProblem *problem, const SxFixture *fixture,
                            const SxAdvice *advice, const SxStarts *starts, const SxThumb *card);

/* A fit, with how well the model's rates explain the log (against an even opponent).
 * predicted[phase][rotation] as given to sx_fit_check. */
typedef struct {
    const char *team;
    const SxRallyLog *log;
    SxFit fit;
    double predicted[SX_PHASES][SX_ROTATIONS];
    SxFitCheck check;
} SxFitReport;

SX_API char *sx_fit_text(const SxFitReport *report);
SX_API char *sx_fit_json(const SxFitReport *report);

SX_C_END

#endif
