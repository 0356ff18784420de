/* What each wish costs: the lineup without it, everything else as it is, planned anew. */
#ifndef SIXTURN_PRICES_H
#define SIXTURN_PRICES_H

#include "sixturn/api.h"
#include "sixturn/forecast.h"
#include "sixturn/work.h"

SX_C_BEGIN

enum { SX_MAX_PRICED = 64, SX_MOST_SITTING = SX_ROWS * SX_SLOTS + 2 };

/* Of one wish, or of what is kept of one rotation. */
typedef struct {
    int wish;     /* index in the plan's wishes; -1: of a rotation */
    int rotation; /* 0 to 5 whose formation is kept; -1: of a wish */
    bool known;   /* false: stopped before */
    bool binds;   /* the lineup would be better without it */
    double sets; /* of 100 that it costs; below 0 (it wins some) only where the score is the goal */
    double points; /* of score that it costs, by the settled weights; where the score is the goal */
    double run;    /* of a rotation: metres that the six run more after the hit than without */
    int sit_count;
    int sits[SX_MOST_SITTING]; /* players who would play without it and do not, by shirt number */
} SxPrice;

/* A plain value. */
typedef struct {
    int count;
    int left_out; /* wishes beyond SX_MAX_PRICED */
    SxPrice price[SX_MAX_PRICED];
} SxPrices;

/* lineup, win: the best one with everything, and its odds of a set. The plan's weights must be
 * settled. Prices of several wishes do not add up. */
SX_API SxStatus sx_prices(const SxProblem *problem, const SxFixture *fixture,
                          const SxLineup *lineup, double win, const SxWork *work, SxPrices *out,
                          SxError *err);

/* Of the kept formations alone. */
SX_API SxStatus sx_kept_prices(const SxProblem *problem, const SxFixture *fixture,
                               const SxLineup *lineup, double win, const SxWork *work,
                               SxPrices *out, SxError *err);

/* Who sits: available, not in the lineup, no wish that she sits. Fills players by shirt number;
 * returns how many. */
SX_API int sx_bench_of(const SxProblem *problem, const SxLineup *lineup,
                       int players[SX_MAX_PLAYERS]);

SX_C_END

#endif
