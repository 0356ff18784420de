/* The k best different orders, proven: the k-th is truly the k-th best. */
#ifndef SIXTURN_RANK_H
#define SIXTURN_RANK_H

#include "sixturn/api.h"
#include "sixturn/difference.h"
#include "sixturn/lineup.h"
#include "sixturn/work.h"

SX_C_BEGIN

enum { SX_MAX_TOP = 1000 };

typedef struct {
    int count;      /* at most as many as asked; fewer if no more orders exist or the run stopped */
    int proven;     /* the first so many are proven to be the best ones, in this order */
    bool exhausted; /* no further order exists */
    SxLineup *item; /* best first; equal ones by the shirt numbers in slots 0 to 5, front row first
                     */
    long tried;     /* orders that were scored */
    int explained;  /* of how many `difference` tells */
    SxDifference *difference; /* of each from the first, once sx_rank_explain was asked for it */
} SxRanking;

/* Two orders that are turns of each other count once unless the plan fixes the start. SX_NO with
 * an explanation when there is no lineup at all. Free with sx_ranking_free.
 *
 * Where winning sets is the goal the list is that of sx_best_orders. For the score:
 * the linear relaxation of the lineup program gives every order an upper bound (its
 * optimum plus the reduced costs of the places that the order takes); orders are listed by falling
 * bound and scored exactly until the bound falls under the score of the last one kept. */
SX_API SxStatus sx_rank(const SxProblem *problem, int top, const SxWork *run, SxRanking *out,
                        SxError *err);

/* The same by cutting off each order found and solving again; slower, kept as a check and for
 * programs whose relaxation bounds too loosely. */
SX_API SxStatus sx_rank_by_cuts(const SxProblem *problem, int top, const SxWork *run,
                                SxRanking *out, SxError *err);

/* What sets each order apart from the first. At the deadline it ends with those done so far; only
 * memory makes it fail. */
SX_API SxStatus sx_rank_explain(const SxProblem *problem, SxRanking *ranking, const SxWork *run,
                                SxError *err);

SX_API void sx_ranking_free(SxRanking *ranking);

SX_C_END

#endif
