/* The ways to play a set that sharing playing time may choose from: one for each distribution of
 * the rotations that count, with the order that scores most by it. Internal. */
#ifndef SIXTURN_ANALYSIS_SHAREWAYS_H
#define SIXTURN_ANALYSIS_SHAREWAYS_H

#include "analysis/sharelimits.h"
#include "sixturn/program.h"
#include "sixturn/ways.h"
#include "sixturn/work.h"

typedef struct {
    SxWay way;
    SxOrder order;
} ShareWay;

/* Starts as {0} with problem, run, limits and many filled in; sx_share_ways_free gives its memory
 * back. */
typedef struct {
    const SxProblem *problem; /* without wishes for rotations */
    const SxWork *run;
    ShareLimits limits;
    bool many; /* orders have so many ways that only those worth enough are made, each time anew */
    ShareWay *item;
    int count, room;
    int *slot; /* by what everybody gets: index + 1 of the item; 0: none */
    int slots;
    SxOrder *seen; /* orders valued, as a table that is at most half full */
    bool *taken;
    int seen_room, seen_count;
} ShareWays;

void sx_share_ways_free(ShareWays *ways);

typedef struct {
    double best;   /* worth of the best way known */
    double open;   /* no way that is not known is worth more */
    bool all;      /* and so all are known that were asked for */
    bool too_many; /* more orders or ways than can be gone through */
} ShareSearch;

/* Adds the ways of one order that are worth at least `floor`. */
SxStatus sx_share_ways_add(ShareWays *ways, const SxOrder *order, const SxRewards *rewards,
                           double floor, SxError *err);

/* Adds all ways that are worth more than the best less `depth`. Ends early when told to stop or
 * when there are too many. */
SxStatus sx_share_ways_find(ShareWays *ways, const SxRewards *rewards, double depth,
                            ShareSearch *out, SxError *err);

#endif
