/* From a lineup to its set odds, and back: how often each rotation is played weighs the rotations
 * of the lineup program. */
#ifndef SIXTURN_FORECAST_H
#define SIXTURN_FORECAST_H

#include "sixturn/api.h"
#include "sixturn/lineup.h"
#include "sixturn/opponent.h"
#include "sixturn/outlook.h"
#include "sixturn/ratesfile.h"

SX_C_BEGIN

/* Whom we play, and what is known of our rallies. Borrowed pointers. */
struct SxFixture {
    const SxRallyModel *model;
    const SxOpponent *opponent; /* the usual choice is sx_even_opponent; never NULL */
    const SxOwnRates *measured; /* NULL: ratings only. They hold against an average opponent;
                                   against an even one they stand as they are. */
};

/* Rally odds by the parts of the lineup's rotations, or as measured. */
SX_API void sx_lineup_rates(const SxLineup *lineup, const SxFixture *fixture, SxRates *rates);

/* Counted substitutions on entering each rotation: a slot changes players when it comes to the
 * front row (position 4) and when it goes back to serve (position 1). */
SX_API void sx_lineup_entering(const SxLineup *lineup, int entering[SX_ROTATIONS]);

/* The set odds of a lineup, the limit of its substitutions counted with the best moment to stop
 * (see afterlimit.h). */
SX_API SxStatus sx_lineup_outlook(const SxProblem *problem, const SxLineup *lineup,
                                  const SxFixture *fixture, SxOutlook *outlook, SxError *err);

enum { SX_SETTLE_ROUNDS = 20 };

typedef struct {
    SxLineup lineup;
    SxOutlook outlook;
    double weight[SX_ROTATIONS]; /* the rotation weights of the lineup, summing to 1 */
    int rounds;                  /* lineups solved */
    bool settled; /* the weights lead to the lineup and the lineup to the weights; always true if
                     the plan gives the weights itself */
} SxForecast;

/* Solves the lineup, takes the share of rallies in each rotation as weights, and solves again until
 * the same lineup comes back at once (with a free start, if need be with the two halves of a
 * mirrored system numbered the other way; both halves then weigh alike). If an older one comes back
 * it would go round for ever, and after SX_SETTLE_ROUNDS, or with the time up after the first, it
 * is enough: then the lineup with the best set odds of those seen, not settled. With weights in the
 * plan they stay. */
SX_API SxStatus sx_forecast(const SxProblem *problem, const SxSolveOptions *options,
                            const SxFixture *fixture, SxForecast *forecast, SxError *err);

SX_C_END

#endif
