/* When the substitutions of a set are used up: with which six to stay, and how they play on. */
#ifndef SIXTURN_AFTERLIMIT_H
#define SIXTURN_AFTERLIMIT_H

#include "sixturn/api.h"
#include "sixturn/changes.h"
#include "sixturn/lineup.h"

SX_C_BEGIN

/* How a lineup plays on once the coach stops substituting. Found with the lineup's set odds
 * (sx_lineup_outlook): tried is every moment between two changes that the rules allow, none
 * included, and for the six who are then on court every shipped system without substitutions, in
 * every turn whose roles they can play, with the passers and the libero plan that win most whole
 * sets so; of the plan's wishes only who sits and who never passes
 * still binds. It is the one with the best odds of the set. Ties:
 * more changes, then the system listed first. A plain value. */
typedef struct {
    bool found;              /* false: the set needs no stop, or no shipped system fits the six */
    int changes;             /* planned substitutions to make before stopping */
    int six[SX_SLOTS];       /* who stays, by slot of the lineup's own order */
    char system[SX_ID_SIZE]; /* in which they play on */
    int turn;                /* slot of the order that is slot 0 of that system */
    double win;              /* of a set played by these six from the start, 0 to 1 */
} SxAfterLimit;

SX_C_END

#endif
