/* How sure the best lineup is when ratings are opinions: an estimate, quick enough for every plan.
 *
 * The orders that win most are listed, each with its best lineup, and how much each would win with
 * slightly other ratings is taken from the slope of its odds by every rating (the parts of a lineup
 * are linear in the ratings; the odds of a set are taken as linear near by). Then ratings are drawn
 * as sx_doubt draws them, and who is first is counted. Against planning every draw anew (sx_doubt)
 * this is too sure of the first by what other orders than those listed would win. */
#ifndef SIXTURN_SURE_H
#define SIXTURN_SURE_H

#include "sixturn/api.h"
#include "sixturn/lineup.h"
#include "sixturn/work.h"

SX_C_BEGIN

enum {
    SX_SURE_ORDERS = 25, /* looked at; a choice of ours between time and how much is missed */
    SX_SURE_DRAWS = 400, /* as rank --doubt */
    SX_SURE_RIVALS = 5   /* told */
};
/* Rating points, a standard deviation: what two who rate the same player are easily apart. A choice
 * of ours. */
#define SX_SURE_POINTS 0.5

/* An order that is as good within the doubt: its lead or lag is less than the standard deviation
 * that the doubt gives it. */
typedef struct {
    SxLineup lineup;
    double first; /* share of the draws in which it is first of all orders looked at */
    int unusual;  /* players off their usual role or attack side in some rotation */
} SxRival;

/* A plain value. */
typedef struct {
    bool known; /* else nothing was estimated: the goal is a score, the lineup may substitute, or
                   the time was up */
    int draws;
    int orders;   /* looked at */
    double first; /* share of the draws in which the best one is first of them */
    int as_good;  /* orders as good within the doubt, the best one included */
    int count;    /* of them, the best first, at most SX_SURE_RIVALS: the simplest is among them */
    SxRival rival[SX_SURE_RIVALS];
    int simplest; /* index in rival: fewest players off their usual role or side; ties: wins most */
} SxSure;

/* Of the problem's best orders, the first of which is the best lineup. draws: 1 or more, those of
 * sx_doubt with a normal spread and seed 1. */
SX_API SxStatus sx_how_sure(const SxProblem *problem, int draws, const SxWork *work, SxSure *out,
                            SxError *err);

SX_C_END

#endif
