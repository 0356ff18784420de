/* What the limit of substitutions makes of an order, complete or not, in a search. Internal.
 *
 * A complete order is valued as sx_lineup_outlook does: every moment to stop, every way to play on
 * (see afterlimit.h), the best of them. For an order in the making every six that may stay is
 * filled with the best who may still come to its places, and the odds of playing on are then at
 * most the best that any system and turn gives, situation by situation. */
#ifndef SIXTURN_ANALYSIS_STOPPING_H
#define SIXTURN_ANALYSIS_STOPPING_H

#include "analysis/setfacts.h"

/* Shared by threads. NULL where no order is ever stopped. */
typedef struct Stopping Stopping;
SxStatus sx_stopping_new(const SetFacts *facts, Stopping **out, SxError *err);
void sx_stopping_free(Stopping *stopping);

/* For one thread at a time. Stops with the work, which may be NULL. */
typedef struct StopRoom StopRoom;
SxStatus sx_stop_room_new(const Stopping *stopping, const SxWork *work, StopRoom **out,
                          SxError *err);
void sx_stop_room_free(StopRoom *room);

/* No way to complete the order wins more, `rates` being its bounds while it substitutes. */
double sx_stopping_bound(StopRoom *room, const Seating *seating, const StepRates *rates);

/* Finds how a complete order may stop, `most` being what it may win at most in every situation
 * while it substitutes; *hopeless: it wins no more than floor. sx_stopping_value then values its
 * rally odds, exactly if they win more than floor. SX_OUT_OF_TIME if the work was stopped before.
 */
SxStatus sx_stopping_order(StopRoom *room, const Seating *seating, const StepRates *most,
                           double floor, bool *hopeless, SxError *err);
double sx_stopping_value(StopRoom *room, const StepRates *rates);

#endif
