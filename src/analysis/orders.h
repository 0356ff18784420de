/* All orders whose upper bound, by the relaxation's reduced costs, is high enough. Internal. */
#ifndef SIXTURN_ANALYSIS_ORDERS_H
#define SIXTURN_ANALYSIS_ORDERS_H

#include "sixturn/program.h"

typedef struct {
    SxOrder order;
    double bound; /* no lineup with this order scores more */
} BoundedOrder;

/* All orders with low <= bound < high that keep the rules (wishes are not looked at), highest
 * bound first; *more tells whether there are orders below low. Gives up with *count = -1 beyond
 * limit orders. Free *list with free(). */
SxStatus sx_orders_between(const SxProblem *problem, const SxOrderBounds *bounds, double low,
                           double high, int limit, BoundedOrder **list, int *count, bool *more,
                           SxError *err);

/* The order half a turn on. */
void sx_order_turn(const SxOrder *order, SxOrder *out);

/* -1, 0, 1: shirt numbers in slots 0 to 5, front row first. */
int sx_order_compare(const SxOrder *a, const SxOrder *b);

#endif
