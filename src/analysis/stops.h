/* The moments at which a lineup may stop substituting, and how it plays on. Internal. */
#ifndef SIXTURN_ANALYSIS_STOPS_H
#define SIXTURN_ANALYSIS_STOPS_H

#include "sixturn/forecast.h"

/* The plan of those who play on when the substitutions are used up: of the wishes only who sits and
 * who never passes. */
void sx_play_on_plan(const SxPlan *plan, SxPlan *out);

/* What is worth keeping between lineups of one problem: the systems in which a six may play on, and
 * the sixes seen so far. Free with sx_shelf_free. */
typedef struct Shelf Shelf;
SxStatus sx_shelf_new(const SxProblem *problem, const SxFixture *fixture, Shelf **shelf,
                      SxError *err);
void sx_shelf_free(Shelf *shelf);

typedef struct {
    int count;
    SxStop *stop;
    SxAfterLimit *after; /* of each stop */
    SxRates *rates;      /* that the stops point to */
} Stops;

/* All ways to play on of those on court whenever changes are due, in the shipped systems.
 * Free with sx_stops_free. */
SxStatus sx_stops_list(Shelf *shelf, const SxLineup *lineup, Stops *stops, SxError *err);
void sx_stops_free(Stops *stops);

/* The win of sx_lineup_outlook alone, which without substitutions is found a thousand times faster.
 */
SxStatus sx_lineup_odds(const SxProblem *problem, const SxLineup *lineup, const SxFixture *fixture,
                        double *win, SxError *err);

/* sx_lineup_outlook with a shelf for the problem at hand. */
SxStatus sx_outlook_from(Shelf *shelf, const SxProblem *problem, const SxLineup *lineup,
                         const SxFixture *fixture, SxOutlook *outlook, SxError *err);

#endif
