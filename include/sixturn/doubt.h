/* Ratings are opinions: how often each of the top orders comes out best when they are off. */
#ifndef SIXTURN_DOUBT_H
#define SIXTURN_DOUBT_H

#include "sixturn/api.h"
#include "sixturn/rank.h"

#include <stdint.h>

SX_C_BEGIN

typedef enum {
    SX_SPREAD_NORMAL, /* each skill off by a normal amount, standard deviation `size` */
    SX_SPREAD_UNIFORM /* by an even amount from -size to size */
} SxSpread;

/* Skills stay within 0 to 10: what falls outside is set to the end. */
typedef struct {
    double size; /* points, > 0 */
    SxSpread spread;
    int draws; /* 1 or more */
    uint64_t seed;
} SxDoubtOptions;

typedef struct {
    int count;        /* out of the draws made */
    double low, high; /* share, 95 % interval */
} SxShare;

typedef struct {
    int draws;         /* made: fewer than asked if the run was stopped */
    SxShare *best;     /* by place in the ranking: draws in which it is the best of all orders */
    SxShare other;     /* draws in which an order outside the ranking is the best */
    SxShare reversed;  /* draws in which the second scores more than the first */
    bool within_doubt; /* not shown to happen in less than one draw in twenty */
} SxDoubt;

/* The same seed gives the same draws, whatever the number of threads. ranking: of the same problem.
 * Free with sx_doubt_free. */
SX_API SxStatus sx_doubt(const SxProblem *problem, const SxRanking *ranking,
                         const SxDoubtOptions *options, const SxWork *run, SxDoubt *out,
                         SxError *err);
SX_API void sx_doubt_free(SxDoubt *doubt);

/* The score interval of a share at 95 %: Wilson, Journal of the American Statistical Association 22
 * (1927). trials >= 1. */
SX_API SxShare sx_wilson(int count, int trials);

/* SplitMix64: Steele, Lea and Flood, 'Fast splittable pseudorandom number generators' (2014). */
SX_API uint64_t sx_random(uint64_t *state);

SX_C_END

#endif
