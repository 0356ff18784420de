/* What exchanges do to rates that are not the model's. Internal. */
#ifndef SIXTURN_ANALYSIS_EXCHANGERATES_H
#define SIXTURN_ANALYSIS_EXCHANGERATES_H

#include "sixturn/setodds.h"

/* Moves `own`, in odds, as the model moves from `from` to *rates, which it then overwrites. */
void sx_move_rates(const SxRates *own, const SxRates *from, SxRates *rates);

#endif
