/* Least cost under difference constraints: steepest descent over sets of numbers, by long steps
 * first, then ever shorter ones. See spots.h for why the end is the optimum. */
#include "model/spots.h"

#include <string.h>

enum {
    FREE = -100000,
    FIRST_STEP = 64,
    STEP_SHRINKS = 4,
    SETS = 1 << SX_POSITIONS,
    PAIRS = SX_POSITIONS * (SX_POSITIONS - 1) / 2
};

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

/* The dearer of the two slopes is the one that holds, which is quicker than to ask. */
int64_t sx_pull_cost(const Pull *pull, int v) {
    const int64_t below = (pull->at - v) * pull->below, above = (v - pull->at) * pull->above;
    return below > above ? below : above;
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

/* Moves of all numbers of a set by the same step. What a set costs is a sum over its numbers and
 * its pairs: a push costs more if only its high number moves or only its low one, and neither if
 * both do. */
typedef struct {
    int64_t alone[SX_POSITIONS];
    int64_t pair[PAIRS]; /* as pair_of counts them */
    uint64_t sets;       /* that may move: bit by bit, set by set */
} Moves;

static int pair_of(int a, int b) {
    return a > b ? a * (a - 1) / 2 + b : b * (b - 1) / 2 + a;
}

/* The sets that hold a number, bit by bit. */
static const uint64_t sets_with[SX_POSITIONS] = {0xaaaaaaaaaaaaaaaa, 0xcccccccccccccccc,
                                                 0xf0f0f0f0f0f0f0f0, 0xff00ff00ff00ff00,
                                                 0xffff0000ffff0000, 0xffffffff00000000};

static void add_push(const Push *push, int now, int by, Moves *moves) {
    const int64_t cost = sx_push_cost(push, now);
    const int64_t apart = sx_push_cost(push, now + by) - cost;
    const int64_t nearer = sx_push_cost(push, now - by) - cost;
    moves->alone[push->high] += apart;
    moves->alone[push->low] += nearer;
    moves->pair[pair_of(push->high, push->low)] -= apart + nearer;
}

/* All sets but those that hold a number which cannot move, or one without another that it takes
 * along: up, b takes a along to which it may not come nearer; down, a takes b along. */
static uint64_t sets_that_may(const Distances *distances, const int v[SX_POSITIONS], int by) {
    const int size = by < 0 ? -by : by;
    uint64_t sets = ~UINT64_C(0);
    for (int a = 0; a < SX_POSITIONS; a++) {
        const int room = by < 0 ? v[a] - distances->least[a][SPOTS_ZERO]
                                : -distances->least[SPOTS_ZERO][a] - v[a];
        sets &= room < size ? ~sets_with[a] : ~UINT64_C(0);
        for (int b = 0; b < SX_POSITIONS; b++) {
            const bool near = v[a] - v[b] - distances->least[a][b] < size;
            const uint64_t apart = by < 0 ? sets_with[a] & ~sets_with[b]
                                          : sets_with[b] & ~sets_with[a]; /* none if a is b */
            sets &= near ? ~apart : ~UINT64_C(0);
        }
    }
    return sets;
}

static void find_moves(const Costs *costs, const Distances *distances, const int v[SX_POSITIONS],
                       int by, Moves *moves) {
    *moves = (Moves){.sets = sets_that_may(distances, v, by)};
    for (int k = 0; k < costs->pulls; k++) {
        const Pull *pull = &costs->pull[k];
        moves->alone[pull->place] +=
            sx_pull_cost(pull, v[pull->place] + by) - sx_pull_cost(pull, v[pull->place]);
    }
    for (int k = 0; k < costs->pushes; k++) {
        const Push *push = &costs->push[k];
        add_push(push, v[push->high] - v[push->low], by, moves);
    }
}

/* What every set would change: those whose highest number is k from those of the sets below. */
static void sum_sets(const Moves *moves, int64_t change[SETS]) {
    change[0] = 0;
    for (int k = 0; k < SX_POSITIONS; k++) {
        int64_t *with = change + (1 << k);
        with[0] = moves->alone[k];
        for (int j = 0; j < k; j++) {
            for (int rest = 0; rest < 1 << j; rest++) {
                with[1 << j | rest] = with[rest] + moves->pair[pair_of(k, j)];
            }
        }
        for (int rest = 0; rest < 1 << k; rest++) {
            with[rest] += change[rest];
        }
    }
}

/* The best move by this step; false if none gains. */
static bool step(const Costs *costs, const Distances *distances, int v[SX_POSITIONS], int by) {
    Moves moves;
    int64_t best = 0, change[SETS];
    int chosen = 0;
    find_moves(costs, distances, v, by, &moves);
    sum_sets(&moves, change);
    for (int set = 1; set < SETS; set++) {
        const bool better = moves.sets >> set & (change[set] < best);
        best = better ? change[set] : best;
        chosen = better ? set : chosen;
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
