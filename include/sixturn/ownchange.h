/* The substitutions that a lineup plans for itself, as one exchange that the coach may make or take
 * back between any two rallies, for advice.h. */
#ifndef SIXTURN_OWNCHANGE_H
#define SIXTURN_OWNCHANGE_H

#include "sixturn/exchange.h"

SX_C_BEGIN

/* One side of it: the six on court, and how they play the rotations that the lineup plans for the
 * other six. */
typedef struct {
    bool planned[SX_ROTATIONS]; /* the lineup has this six on court in the rotation */
    SxRates rates;              /* by the rotations of the lineup: as it plans in the planned ones,
                                   else in the way to play on (see afterlimit.h) that wins most sets
                                   if nobody changes */
    char system[SX_ID_SIZE];    /* of that way */
} SxOwnSix;

/* A plain value. */
typedef struct {
    bool found; /* false: the lineup substitutes nobody, or not all of its places at once, or one of
                   the sixes cannot play on, or the rules never end its changes */
    SxConsidered exchange; /* out: who starts */
    SxOwnSix stay, come;   /* with those who start there, and with those who come in for them */
} SxOwnChange;

/* start: the rotation that the set starts in, 0 to 5. Errors as sx_lineup_outlook. */
SX_API SxStatus sx_own_change(const SxProblem *problem, const SxLineup *lineup,
                              const SxFixture *fixture, int start, SxOwnChange *own, SxError *err);

/* Of a set that starts with the other six. */
SX_API void sx_own_change_turn(SxOwnChange *own);

/* As sx_consider_these, with the lineup's own as one more exchange, number `count`, if it is found
 * (NULL: none): then 1 << (count + 1) tables of rates. */
SX_API SxStatus sx_consider_with_own(const SxProblem *problem, const SxLineup *lineup,
                                     const SxFixture *fixture, const SxConsidered *considered,
                                     int count, const SxOwnChange *own, SxExchanges *exchanges,
                                     SxRates *rates, SxError *err);

SX_C_END

#endif
