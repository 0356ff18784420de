/* All orders whose upper bound, by the relaxation's reduced costs, is high enough. */
#include "sixturn/program.h"

#include "sixturn/eligible.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum {
    PLACES = SX_SLOTS * SX_ROWS,
    STEPS_AN_ORDER = 1000 /* that listing may take, for each order that it may list */
};

int sx_order_compare(const SxOrder *a, const SxOrder *b) {
    for (int place = 0; place < PLACES; place++) {
        int s = place % SX_SLOTS;
        int left = place < SX_SLOTS ? a->front[s] : a->back[s];
        int right = place < SX_SLOTS ? b->front[s] : b->back[s];
        if (left != right) {
            return left < right ? -1 : 1;
        }
    }
    return 0;
}

void sx_order_turn(const SxOrder *order, SxOrder *out) {
    for (int s = 0; s < SX_SLOTS; s++) {
        out->front[s] = order->front[sx_opposite_slot(s)];
        out->back[s] = order->back[sx_opposite_slot(s)];
    }
}

/* --- listing ------------------------------------------------------------------------------------
 */

typedef struct {
    const SxProblem *problem;
    const SxOrderBounds *bounds;
    double low, high;
    int limit;
    SxBoundedOrder *list;
    int count, room;
    long steps;
    bool failed, full, more;
    bool alike; /* the halves of the order are alike: list one of two turns */
    bool differ[SX_SLOTS];
    double rest[SX_SLOTS + 1]; /* most that slots s.. can still add */
    int shared_left;           /* slots that may still take a specialist */
    bool used[SX_MAX_PLAYERS];
    SxOrder now;
} Lister;

static void keep(Lister *lister, double bound) {
    if (bound >= lister->high) {
        return;
    }
    if (lister->count == lister->limit) {
        lister->full = true;
        return;
    }
    if (lister->count == lister->room) {
        int room = lister->room ? 2 * lister->room : 256;
        SxBoundedOrder *grown = realloc(lister->list, (size_t)room * sizeof *grown);
        if (!grown) {
            lister->failed = true;
            return;
        }
        lister->list = grown;
        lister->room = room;
    }
    lister->list[lister->count++] = (SxBoundedOrder){lister->now, bound};
}

static void list_slot(Lister *lister, int s, double bound);

static void list_pair(Lister *lister, int s, int front, int back, double bound) {
    lister->now.front[s] = front;
    lister->now.back[s] = back;
    lister->used[front] = lister->used[back] = true;
    list_slot(lister, s + 1, bound);
    lister->used[front] = lister->used[back] = false;
}

static void list_back(Lister *lister, int s, int front, double bound) {
    bool split = lister->problem->system->split[s];
    for (int p = 0; p < lister->problem->team->player_count; p++) {
        if (!lister->bounds->can[p][s][SX_BACK] || lister->used[p] || (split && p == front)) {
            continue;
        }
        bool specialist = !split && p != front;
        if (specialist && lister->shared_left == 0) {
            continue;
        }
        lister->shared_left -= specialist;
        list_pair(lister, s, front, p, bound + lister->bounds->value[p][s][SX_BACK]);
        lister->shared_left += specialist;
    }
}

static void list_slot(Lister *lister, int s, double bound) {
    lister->full |= ++lister->steps / STEPS_AN_ORDER > lister->limit;
    if (lister->failed || lister->full) {
        return;
    }
    if (bound + lister->rest[s] < lister->low) {
        lister->more = true;
        return;
    }
    if (s == SX_SLOTS) {
        keep(lister, bound);
        return;
    }
    for (int p = 0; p < lister->problem->team->player_count; p++) {
        bool turned = lister->alike && s == SX_SLOTS / 2 && p < lister->now.front[0];
        if (!lister->bounds->can[p][s][SX_FRONT] || lister->used[p] || turned) {
            continue;
        }
        double next = bound + lister->bounds->value[p][s][SX_FRONT];
        if (lister->differ[s]) {
            list_back(lister, s, p, next);
        } else {
            list_pair(lister, s, p, p, next);
        }
    }
}

static void find_rest(Lister *lister) {
    for (int s = SX_SLOTS - 1; s >= 0; s--) {
        double best[SX_ROWS] = {-HUGE_VAL, -HUGE_VAL};
        for (int p = 0; p < lister->problem->team->player_count; p++) {
            for (int row = 0; row < SX_ROWS; row++) {
                if (lister->bounds->can[p][s][row]) {
                    best[row] = fmax(best[row], lister->bounds->value[p][s][row]);
                }
            }
        }
        lister->rest[s] =
            lister->rest[s + 1] + best[SX_FRONT] + (lister->differ[s] ? best[SX_BACK] : 0);
    }
}

/* How many slots may share two players beyond those that the system splits; -1: too many split. */
static int shared_allowed(const SxProblem *problem) {
    int split = 0;
    for (int s = 0; s < SX_SLOTS; s++) {
        split += problem->system->split[s];
    }
    int most = problem->plan->specialists;
    if (problem->rules->substitutions != SX_UNLIMITED) {
        int left = problem->rules->substitutions / 2 - split;
        most = left < most ? left : most;
    }
    return most;
}

static int by_bound(const void *a, const void *b) {
    const SxBoundedOrder *left = a, *right = b;
    if (left->bound != right->bound) {
        return left->bound > right->bound ? -1 : 1;
    }
    return sx_order_compare(&left->order, &right->order);
}

SxStatus sx_orders_between(const SxProblem *problem, const SxOrderBounds *bounds, double low,
                           double high, int limit, SxBoundedOrder **list, int *count, bool *more,
                           SxError *err) {
    Lister lister = {.problem = problem,
                     .bounds = bounds,
                     .low = low,
                     .high = high,
                     .limit = limit,
                     .alike = sx_halves_alike(problem),
                     .shared_left = shared_allowed(problem)};
    for (int s = 0; s < SX_SLOTS; s++) {
        lister.differ[s] = sx_rows_differ(problem, s);
    }
    find_rest(&lister);
    if (lister.shared_left >= 0) {
        list_slot(&lister, 0, bounds->base);
    }
    *list = NULL;
    *count = -1;
    *more = lister.more;
    if (lister.failed || lister.full) {
        free(lister.list);
        return lister.failed ? sx_out_of_memory(err) : SX_OK;
    }
    if (lister.count) {
        qsort(lister.list, (size_t)lister.count, sizeof *lister.list, by_bound);
    }
    *list = lister.list;
    *count = lister.count;
    return SX_OK;
}
