/* Least cost under difference constraints: steepest descent over sets of numbers, by long steps
 * first, then ever shorter ones. See spots.h for why the end is the optimum. */
#include "model/spots.h"

#include <string.h>

enum { FREE = -100000, FIRST_STEP = 64, STEP_SHRINKS = 4, SETS = 1 << SX_POSITIONS };

void sx_distances_open(Distances *distances, const int low[SX_POSITIONS],
                       const int high[SX_POSITIONS]) {
    for (int a = 0; a < SPOTS_NODES; a++) {
        for (int b = 0; b < SPOTS_NODES; b++) {
            distances->least[a][b] = a == b ? 0 : FREE;
        }
    }
    for (int i = 0; i < SX_POSITIONS; i++) {
        distances->least[i][SPOTS_ZERO] = low[i];
        distances->least[SPOTS_ZERO][i] = -high[i];
    }
    for (int a = 0; a < SX_POSITIONS; a++) {
        for (int b = 0; b < SX_POSITIONS; b++) {
            if (a != b) {
                distances->least[a][b] = low[a] - high[b];
            }
        }
    }
}

bool sx_distances_add(Distances *distances, int high, int low, int gap) {
    int(*least)[SPOTS_NODES] = distances->least;
    if (gap <= least[high][low]) {
        return true;
    }
    if (gap + least[low][high] > 0) {
        return false;
    }
    for (int i = 0; i < SPOTS_NODES; i++) {
        for (int j = 0; j < SPOTS_NODES; j++) {
            int by_way = least[i][high] + gap + least[low][j];
            if (by_way > least[i][j]) {
                least[i][j] = by_way;
            }
        }
    }
    return true;
}

int64_t sx_pull_cost(const Pull *pull, int v) {
    int off = v - pull->at;
    return off < 0 ? -off * pull->below : off * pull->above;
}

int64_t sx_push_cost(const Push *push, int difference) {
    return difference < push->gap ? (push->gap - difference) * push->cost : 0;
}

int64_t sx_spots_cost(const Costs *costs, const int v[SX_POSITIONS]) {
    int64_t sum = 0;
    for (int k = 0; k < costs->pulls; k++) {
        sum += sx_pull_cost(&costs->pull[k], v[costs->pull[k].place]);
    }
    for (int k = 0; k < costs->pushes; k++) {
        const Push *push = &costs->push[k];
        sum += sx_push_cost(push, v[push->high] - v[push->low]);
    }
    return sum;
}

/* The nearest point above that keeps the distances, cut down to the highest one that does: of two
 * points that keep them the larger and the smaller of each number keep them too. */
static void make_feasible(const Distances *distances, int v[SX_POSITIONS]) {
    int up[SX_POSITIONS];
    for (int i = 0; i < SX_POSITIONS; i++) {
        up[i] = distances->least[i][SPOTS_ZERO];
        for (int j = 0; j < SX_POSITIONS; j++) {
            int pushed = v[j] + distances->least[i][j];
            up[i] = pushed > up[i] ? pushed : up[i];
        }
    }
    for (int i = 0; i < SX_POSITIONS; i++) {
        int high = -distances->least[SPOTS_ZERO][i];
        v[i] = up[i] < high ? up[i] : high;
    }
}

/* Moves of all numbers of a set by the same step. */
typedef struct {
    int64_t alone[SX_POSITIONS];  /* what each number's own cost changes by */
    unsigned needs[SX_POSITIONS]; /* who must move with her */
    unsigned stuck;               /* who cannot */
    int64_t apart[SPOTS_PUSHES];  /* what a push costs more if only its high one moves, */
    int64_t nearer[SPOTS_PUSHES]; /* or only its low one */
} Moves;

static void find_moves(const Costs *costs, const Distances *distances, const int v[SX_POSITIONS],
                       int by, Moves *moves) {
    int size = by < 0 ? -by : by;
    memset(moves, 0, sizeof *moves);
    for (int k = 0; k < costs->pulls; k++) {
        const Pull *pull = &costs->pull[k];
        moves->alone[pull->place] +=
            sx_pull_cost(pull, v[pull->place] + by) - sx_pull_cost(pull, v[pull->place]);
    }
    for (int k = 0; k < costs->pushes; k++) {
        const Push *push = &costs->push[k];
        int now = v[push->high] - v[push->low];
        moves->apart[k] = sx_push_cost(push, now + by) - sx_push_cost(push, now);
        moves->nearer[k] = sx_push_cost(push, now - by) - sx_push_cost(push, now);
    }
    for (int a = 0; a < SX_POSITIONS; a++) {
        int room = by < 0 ? v[a] - distances->least[a][SPOTS_ZERO]
                          : -distances->least[SPOTS_ZERO][a] - v[a];
        if (room < size) {
            moves->stuck |= 1u << a;
        }
        for (int b = 0; b < SX_POSITIONS; b++) {
            if (a != b && v[a] - v[b] - distances->least[a][b] < size) {
                /* b may not come nearer to a: up, b takes a along; down, a takes b along */
                moves->needs[by < 0 ? a : b] |= 1u << (by < 0 ? b : a);
            }
        }
    }
}

static int64_t pushes_of_set(const Costs *costs, const Moves *moves, unsigned set) {
    int64_t change = 0;
    for (int k = 0; k < costs->pushes; k++) {
        unsigned high = set >> costs->push[k].high & 1, low = set >> costs->push[k].low & 1;
        if (high != low) {
            change += high ? moves->apart[k] : moves->nearer[k];
        }
    }
    return change;
}

/* The best move by this step; false if none gains. A set's sums come from those of the set without
 * its first member. */
static bool step(const Costs *costs, const Distances *distances, int v[SX_POSITIONS], int by) {
    Moves moves;
    int64_t best = 0, alone[SETS] = {0};
    unsigned chosen = 0, needs[SETS] = {0};
    find_moves(costs, distances, v, by, &moves);
    for (unsigned set = 1; set < SETS; set++) {
        unsigned rest = set & (set - 1);
        int first = 0;
        while (!(set >> first & 1)) {
            first++;
        }
        alone[set] = alone[rest] + moves.alone[first];
        needs[set] = needs[rest] | moves.needs[first];
        if (set & moves.stuck || needs[set] & ~set) {
            continue;
        }
        int64_t change = alone[set] + pushes_of_set(costs, &moves, set);
        if (change < best) {
            best = change;
            chosen = set;
        }
    }
    for (int i = 0; i < SX_POSITIONS; i++) {
        v[i] += chosen >> i & 1 ? by : 0;
    }
    return chosen != 0;
}

int64_t sx_spots_best(const Costs *costs, const Distances *distances, int v[SX_POSITIONS]) {
    make_feasible(distances, v);
    for (int size = FIRST_STEP; size; size /= STEP_SHRINKS) {
        /* the other way, until neither gains any more */
        for (int idle = 0, by = size; idle < 2; by = -by) {
            idle = step(costs, distances, v, by) ? 0 : idle + 1;
        }
    }
    return sx_spots_cost(costs, v);
}
