/* The order with the best set odds, instead of the best score. */
#ifndef SIXTURN_GOALSET_H
#define SIXTURN_GOALSET_H

#include "sixturn/api.h"
#include "sixturn/forecast.h"
#include "sixturn/work.h"

SX_C_BEGIN

enum { SX_GOAL_SET_ORDERS = 60000 }; /* most that are compared, some ten to twenty seconds */

typedef struct {
    SxLineup lineup; /* proof SX_CHOSEN; gap is what the best score has more */
    SxOutlook outlook;
    double win; /* set odds of the chosen order: either team serves first equally often,
                   our start the best of each phase (or the plan's), theirs unknown */
    double win_of_best_score; /* the same for the lineup with the best score */
    int place;  /* of the lineup with the best score among all orders by set odds, 1 is the
                   best; equal odds share a place */
    int orders; /* compared: all that keep the rules and the wishes */
} SxGoalSet;

/* Compares every order that the rules and the plan's wishes allow, so nothing unseen can be better
 * (in a system of two equal halves an order and its half turn are one, unless the start is fixed).
 * Passers and the libero's replacements of each order are those of its best score. best is the
 * forecast of the best score: its weights hold for all. Equal odds: the smallest shirt numbers in
 * slots 0 to 5, front row first. SX_NO with an explanation if there are more than
 * SX_GOAL_SET_ORDERS orders. */
SX_API SxStatus sx_goal_set(const SxProblem *problem, const SxFixture *fixture,
                            const SxForecast *best, const SxWork *run, SxGoalSet *goal,
                            SxError *err);

SX_C_END

#endif
