/* Six numbers on a line that keep distances from each other, at least cost. Internal.
 *
 * Whole centimetres; costs are whole grains (a hundred-thousandth of a weighted metre), so that
 * nothing is lost and equal is equal. The constraints are differences, the costs convex in one
 * number or in a difference: an L-natural-convex function, for which a point is the best of all if
 * no set of the numbers gains by one step up or down together (Murota, Discrete Convex Analysis,
 * 2003, theorem 7.14; from memory). */
#ifndef SIXTURN_MODEL_SPOTS_H
#define SIXTURN_MODEL_SPOTS_H

#include "sixturn/court.h"

#include <stdint.h>

enum { SPOTS_ZERO = SX_POSITIONS, SPOTS_NODES = SX_POSITIONS + 1 };

/* The sharpest known v[a] - v[b] >= least[a][b], node SPOTS_ZERO standing for the number 0; closed
 * under going by way of a third. */
typedef struct {
    int least[SPOTS_NODES][SPOTS_NODES];
} Distances;

/* below a centimetre for each that v is less than `at`, above for each that it is more; neither is
 * negative. */
typedef struct {
    int place, at;
    int64_t below, above;
    int term; /* SxFormationCost */
} Pull;

/* cost a centimetre for each that v[high] - v[low] is less than gap. */
typedef struct {
    int high, low, gap;
    int64_t cost;
} Push;

enum { SPOTS_PULLS = 64, SPOTS_PUSHES = 16 };

typedef struct {
    int pulls, pushes;
    Pull pull[SPOTS_PULLS];
    Push push[SPOTS_PUSHES];
} Costs;

void sx_distances_open(Distances *distances, const int low[SX_POSITIONS],
                       const int high[SX_POSITIONS]);
/* v[high] - v[low] >= gap; false if nothing is left. */
bool sx_distances_add(Distances *distances, int high, int low, int gap);

int64_t sx_pull_cost(const Pull *pull, int v);
int64_t sx_push_cost(const Push *push, int difference);
int64_t sx_spots_cost(const Costs *costs, const int v[SX_POSITIONS]);
/* The least cost; v holds a starting point of any kind, then the best. The distances must allow
 * one. */
int64_t sx_spots_best(const Costs *costs, const Distances *distances, int v[SX_POSITIONS]);

#endif
