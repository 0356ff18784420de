/* The yardstick in one fast call: the odds of a set for one table of rally odds, either team
 * serving first equally often, their start one of six equally likely, our start the best of each
 * phase or a given one; and how these odds move with every rally odds.
 *
 * The same chain as setodds.h, and the same numbers to rounding, kept to what a search needs. An
 * opponent whose rotations are all alike (rates that do not depend on theirs) costs a sixth of a
 * general one. For the limit of substitutions see outlook.h: here it does not count. */
#ifndef SIXTURN_SETVALUE_H
#define SIXTURN_SETVALUE_H

#include "sixturn/api.h"
#include "sixturn/setodds.h"

SX_C_BEGIN

/* A plain value. */
typedef struct {
    double win;                               /* mean of the two phases, from start[] */
    int start[SX_PHASES];                     /* ours, 0 to 5; ties: the lowest */
    double by_start[SX_PHASES][SX_ROTATIONS]; /* [who serves first][our start] */
} SxSetValue;

/* start: 0 to 5, or -1 for the best of each phase. Refused (SX_BAD_INPUT) is what sx_set_chain_new
 * refuses; SX_USAGE for a start that does not exist.
 *
 * slope (NULL: not wanted) gets the derivative of win by each rally odds with value->start held:
 * the expected number of such rallies times what winning one is worth, exact like the odds. Where
 * the best start is unique this is the derivative of the best odds too. Against an opponent whose
 * rotations are all alike the slope by our rotation alone is the sum over theirs. */
SX_API SxStatus sx_set_value(const SxRates *rates, const SxSetRules *rules, int start,
                             SxSetValue *value, SxRates *slope, SxError *err);

SX_C_END

#endif
