/* What makes up a lineup's score, in parts that add up to it. */
#ifndef SIXTURN_MAKEUP_H
#define SIXTURN_MAKEUP_H

#include "sixturn/api.h"
#include "sixturn/lineup.h"

SX_C_BEGIN

/* The parts, the connections' share taken out of the attack, and what the weak rotation adds. */
enum {
    SX_SUM_PASS,
    SX_SUM_ATTACK,
    SX_SUM_CONNECTIONS,
    SX_SUM_BLOCK,
    SX_SUM_SET,
    SX_SUM_SERVE,
    SX_SUM_DIG,
    SX_SUM_RUN,
    SX_SUM_WEAK,
    SX_SUM_COLUMNS
};

/* score = the sum of all columns, in points of score. Where winning sets is the goal all is in sets
 * of 100 and adds up to the sets won: SX_SUM_WEAK is then the even chance, SX_SUM_RUN what running
 * out of substitutions costs. */
SX_API SxStatus sx_makeup(const SxProblem *problem, const SxLineup *lineup,
                          double out[SX_SUM_COLUMNS], SxError *err);

SX_C_END

#endif
