/* The lineups that win most sets, proven.
 *
 * The yardstick: the odds of a set against a fixed opponent, either team serving first equally
 * often, their start one of six equally likely, ours the best of each phase or the plan's. They
 * rise with each of our twelve rally odds (side-out and break point by rotation). So an order whose
 * open places are filled with the best of every skill wins at least as much as any real one: orders
 * are built up place by place, and a part of them is left as soon as even that wins no more than
 * what has been found. */
#ifndef SIXTURN_BESTSET_H
#define SIXTURN_BESTSET_H

#include "sixturn/api.h"
#include "sixturn/forecast.h"
#include "sixturn/work.h"

SX_C_BEGIN

/* Odds closer than this are equal, and the smaller shirt numbers decide. */
#define SX_SAME_SET_ODDS 1e-10
/* Odds are told in sets of so many. */
#define SX_SETS 100.0

/* Best first. Free with sx_best_orders_free. */
typedef struct {
    int count;      /* as many as were asked for, fewer if no more exist or the run was stopped */
    int proven;     /* the first so many are the best there are, in this order */
    bool exhausted; /* no further order exists */
    double bound;   /* nothing wins more than this: item[0].win if that is proven */
    long orders;    /* complete orders looked at; depends on threads and time */
    SxLineup *item; /* win is filled; proof is SX_OPTIMAL or SX_FEASIBLE */
} SxBestOrders;

/* The top different orders, each with its best passers and libero plan. An order and its half turn
 * count once where a system has two equal halves, unless the start is fixed. Equal odds: the
 * smallest shirt numbers in slots 0 to 5, front row first. SX_NO with an explanation when there is
 * no lineup; SX_OUT_OF_TIME if the work was stopped before the first. problem->against must be
 * there; its measured rates do not count. */
SX_API SxStatus sx_best_orders(const SxProblem *problem, int top, const SxWork *work,
                               SxBestOrders *out, SxError *err);
SX_API void sx_best_orders_free(SxBestOrders *best);

/* The best lineup of a given order. SX_NO if it cannot keep the plan's wishes. */
SX_API SxStatus sx_order_best(const SxProblem *problem, const SxOrder *order, SxLineup *out,
                              SxError *err);

/* Set odds of a complete lineup as it is; fills lineup->win. */
SX_API SxStatus sx_lineup_win(const SxProblem *problem, SxLineup *lineup, SxError *err);

/* Weights of the parts of the score that make its unit points won in 100 rallies, half of them at
 * our serve, between two sides as good as the opponent's rotation 1: the score's order then agrees
 * with the set odds to first order. run: 0. */
SX_API void sx_natural_weights(const SxRallyModel *model, const SxOpponent *opponent,
                               double weight[SX_PARTS]);

/* What each part gives the lineup in sets of 100, against playing with the opponent's own ratings
 * in all rotations: the even chance and these add up to its sets, but for what the limit of
 * substitutions costs. */
SX_API SxStatus sx_sets_by_part(const SxProblem *problem, const SxLineup *lineup,
                                double out[SX_PARTS], SxError *err);

/* --- either goal --------------------------------------------------------------------------------
 */

/* The best lineup for the problem's goal: by set odds where problem->against is set, else by score,
 * as sx_lineup_solve. Statuses as those. */
SX_API SxStatus sx_best_lineup(const SxProblem *problem, const SxWork *work, SxLineup *out,
                               SxError *err);
/* The same when only its value matters: of equally good orders any. */
SX_API SxStatus sx_best_value(const SxProblem *problem, const SxWork *work, SxLineup *out,
                              SxError *err);
/* What no lineup of the problem exceeds, in the goal's unit, found without a search: where winning
 * sets is the goal by filling the open places of every small part of an order with the best there
 * are. Infinity where the score is the goal; negative where already this shows that there is no
 * lineup. */
SX_API SxStatus sx_value_bound(const SxProblem *problem, double *bound, SxError *err);
/* The value that no lineup exceeds, as far as a search came that was stopped at this one. */
SX_API double sx_value_open(const SxProblem *problem, const SxLineup *lineup);
/* What the goal makes of a lineup: sets won of 100, or points of score. */
SX_API double sx_value(const SxProblem *problem, const SxLineup *lineup);
/* Values closer than this are equal. */
SX_API double sx_value_tie(const SxProblem *problem);

SX_C_END

#endif
