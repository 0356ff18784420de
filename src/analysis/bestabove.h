/* The best lineup where only one worth more than what is known matters, what a given order is
 * worth, and why a search found nothing. Internal. */
#ifndef SIXTURN_ANALYSIS_BESTABOVE_H
#define SIXTURN_ANALYSIS_BESTABOVE_H

#include "sixturn/bestset.h"

/* As sx_best_lineup if that is worth more than `beat`, in the goal's unit; SX_NO if it is not,
 * which is proven much sooner, or if there is no lineup. -INFINITY: every lineup is worth more. */
SxStatus sx_best_above(const SxProblem *problem, double beat, const SxWork *work, SxLineup *out,
                       SxError *err);
/* The same when only its value matters: of equally good orders any. */
SxStatus sx_value_above(const SxProblem *problem, double beat, const SxWork *work, SxLineup *out,
                        SxError *err);

/* What an order is worth at its best, in the goal's unit; -INFINITY if it cannot keep the wishes.
 */
SxStatus sx_order_value(const SxProblem *problem, const SxOrder *order, double *value,
                        SxError *err);

/* For a search that ended without a lineup: SX_NO with the reason, which the plain solver knows how
 * to tell; SX_INTERNAL if that finds one. */
SxStatus sx_none_there(const SxProblem *problem, const SxWork *work, SxError *err);

#endif
