/* The ways to play a set that sharing playing time may choose from. */
#include "analysis/shareways.h"

#include "analysis/parallel.h"
#include "core/hash.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum {
    FIRST_ROOM = 1024,
    BATCH = 128 /* orders valued between two looks at the bound */
};
/* Worth below the relaxation's optimum to list at first; doubled while that is not enough. */
static const double FIRST_DEPTH = 0.25;

void sx_share_ways_free(ShareWays *ways) {
    free(ways->item);
    free(ways->slot);
    free(ways->seen);
    free(ways->taken);
}

/* --- tables -------------------------------------------------------------------------------------
 */

static int seen_place(const ShareWays *ways, const SxOrder *order) {
    int at = (int)(sx_hash(order, sizeof *order) % (unsigned)ways->seen_room);
    while (ways->taken[at] && sx_order_compare(&ways->seen[at], order) != 0) {
        at = (at + 1) % ways->seen_room;
    }
    return at;
}

static bool is_seen(const ShareWays *ways, const SxOrder *order) {
    return ways->seen_room > 0 && ways->taken[seen_place(ways, order)];
}

static SxStatus grow_seen(ShareWays *ways, SxError *err) {
    ShareWays grown = {.seen_room = ways->seen_room ? 2 * ways->seen_room : 2 * FIRST_ROOM};
    grown.seen = malloc((size_t)grown.seen_room * sizeof *grown.seen);
    grown.taken = calloc((size_t)grown.seen_room, sizeof *grown.taken);
    if (!grown.seen || !grown.taken) {
        sx_share_ways_free(&grown);
        return sx_out_of_memory(err);
    }
    for (int k = 0; k < ways->seen_room; k++) {
        if (ways->taken[k]) {
            const int at = seen_place(&grown, &ways->seen[k]);
            grown.seen[at] = ways->seen[k];
            grown.taken[at] = true;
        }
    }
    free(ways->seen);
    free(ways->taken);
    ways->seen = grown.seen;
    ways->taken = grown.taken;
    ways->seen_room = grown.seen_room;
    return SX_OK;
}

static SxStatus see(ShareWays *ways, const SxOrder *order, SxError *err) {
    if (2 * (ways->seen_count + 1) > ways->seen_room) {
        const SxStatus status = grow_seen(ways, err);
        if (status != SX_OK) {
            return status;
        }
    }
    const int at = seen_place(ways, order);
    ways->seen[at] = *order;
    ways->taken[at] = true;
    ways->seen_count++;
    return SX_OK;
}

/* Where the way with these rotations is in the table, or would be. */
static int way_place(const ShareWays *ways, const signed char *got) {
    int at = (int)(sx_hash(got, SX_MAX_PLAYERS) % (unsigned)ways->slots);
    while (ways->slot[at] &&
           memcmp(ways->item[ways->slot[at] - 1].way.got, got, SX_MAX_PLAYERS) != 0) {
        at = (at + 1) % ways->slots;
    }
    return at;
}

static SxStatus grow(ShareWays *ways, SxError *err) {
    const int room = ways->room ? 2 * ways->room : FIRST_ROOM;
    ShareWay *item = realloc(ways->item, (size_t)room * sizeof *item);
    if (!item) {
        return sx_out_of_memory(err);
    }
    ways->item = item;
    int *slot = calloc((size_t)room * 2, sizeof *slot);
    if (!slot) {
        return sx_out_of_memory(err);
    }
    free(ways->slot);
    ways->slot = slot;
    ways->room = room;
    ways->slots = 2 * room;
    for (int k = 0; k < ways->count; k++) {
        ways->slot[way_place(ways, ways->item[k].way.got)] = k + 1;
    }
    return SX_OK;
}

/* Of equal scores the best plain mean, then the smaller shirt numbers, as in sx_lineup_solve. */
static bool is_better(const ShareWay *a, const ShareWay *b) {
    if (fabs(a->way.score - b->way.score) > SX_SAME_SCORE) {
        return a->way.score > b->way.score;
    }
    if (fabs(a->way.plain - b->way.plain) > SX_SAME_SCORE) {
        return a->way.plain > b->way.plain;
    }
    return sx_order_compare(&a->order, &b->order) < 0;
}

static SxStatus add_way(ShareWays *ways, const ShareWay *fresh, SxError *err) {
    if (ways->count == ways->room) {
        const SxStatus status = grow(ways, err);
        if (status != SX_OK) {
            return status;
        }
    }
    const int at = way_place(ways, fresh->way.got);
    if (!ways->slot[at]) {
        ways->item[ways->count] = *fresh;
        ways->slot[at] = ++ways->count;
    } else if (is_better(fresh, &ways->item[ways->slot[at] - 1])) {
        ways->item[ways->slot[at] - 1] = *fresh;
    }
    return SX_OK;
}

static SxStatus add_order(ShareWays *ways, const SxOrder *order, const SxWays *found,
                          SxError *err) {
    SxStatus status = SX_OK;
    for (int k = 0; status == SX_OK && k < found->count; k++) {
        const ShareWay fresh = {found->item[k], *order};
        status = add_way(ways, &fresh, err);
    }
    return status;
}

/* --- valuing in batches -------------------------------------------------------------------------
 */

typedef struct {
    const SxProblem *problem;
    const SxRewards *rewards;
    double floor, depth;
    int count;
    SxOrder order[BATCH];
    SxWays found[BATCH];
} Batch;

static SxStatus value_one(void *context, int index, SxError *err) {
    Batch *batch = context;
    const SxStatus status = sx_order_ways(batch->problem, &batch->order[index], batch->rewards,
                                          batch->floor, batch->depth, &batch->found[index], err);
    return status == SX_NO ? SX_OK : status;
}

static SxStatus value_batch(ShareWays *ways, Batch *batch, double *best, SxError *err) {
    SxWork quiet = sx_work_alone(ways->run); /* no word of a batch, but told to stop it does */
    quiet.threads = ways->run ? ways->run->threads : 0;
    for (int k = 0; k < batch->count; k++) {
        batch->found[k].count = 0;
    }
    SxStatus status = sx_parallel_for(&quiet, batch->count, value_one, batch, NULL, err);
    for (int k = 0; status == SX_OK && k < batch->count; k++) {
        const SxWays *found = &batch->found[k];
        for (int j = 0; j < found->count; j++) {
            *best = fmax(*best, sx_way_worth(&found->item[j], batch->rewards));
        }
        status = add_order(ways, &batch->order[k], found, err);
        if (status == SX_OK && !ways->many) {
            status = see(ways, &batch->order[k], err);
        }
    }
    if (ways->run && ways->run->progress) {
        ways->run->progress(ways->run->context, ways->seen_count, 0);
    }
    return status;
}

/* Values what is new in a list until no further order is worth enough; out->open is the bound of
 * what is left. */
static SxStatus value_list(ShareWays *ways, Batch *batch, const SxBoundedOrder *list, int count,
                           double depth, ShareSearch *out, bool *stopped, SxError *err) {
    SxStatus status = SX_OK;
    for (int at = 0; at < count && status == SX_OK && !*stopped;) {
        out->open = list[at].bound;
        *stopped = sx_parallel_stopped(ways->run) || ways->count > ways->limits.ways;
        if (list[at].bound <= out->best - depth || *stopped) {
            break;
        }
        for (batch->count = 0; at < count && batch->count < BATCH; at++) {
            if (!is_seen(ways, &list[at].order)) {
                batch->order[batch->count++] = list[at].order;
            }
        }
        batch->floor = ways->many ? out->best - depth : -INFINITY;
        batch->depth = ways->many ? depth : INFINITY;
        status = value_batch(ways, batch, &out->best, err);
        *stopped = sx_parallel_stopped(ways->run);
    }
    return status;
}

SxStatus sx_share_ways_add(ShareWays *ways, const SxOrder *order, const SxRewards *rewards,
                           double floor, SxError *err) {
    SxWays found = {0};
    SxStatus status = sx_order_ways(ways->problem, order, rewards, floor, 0, &found, err);
    status = status == SX_OK || status == SX_NO ? add_order(ways, order, &found, err) : status;
    free(found.item);
    return status;
}

/* --- the whole ----------------------------------------------------------------------------------
 */

static double best_known(const ShareWays *ways, const SxRewards *rewards) {
    double best = -INFINITY;
    for (int k = 0; k < ways->count; k++) {
        best = fmax(best, sx_way_worth(&ways->item[k].way, rewards));
    }
    return best;
}

static SxStatus find(ShareWays *ways, Batch *batch, const SxOrderBounds *bounds, double depth,
                     ShareSearch *out, SxError *err) {
    SxStatus status = SX_OK;
    double high = INFINITY;
    bool more = true, stopped = false;
    out->open = bounds->top;
    for (double step = FIRST_DEPTH; status == SX_OK && more && !stopped; step *= 2) {
        const double enough = out->best - depth;
        const double low = fmax(bounds->top - step, enough);
        if (out->open <= enough) {
            break;
        }
        SxBoundedOrder *list = NULL;
        int count = 0;
        status = sx_orders_between(ways->problem, bounds, low, high, ways->limits.listed, &list,
                                   &count, &more, err);
        out->too_many = status == SX_OK && count < 0;
        if (out->too_many) {
            break;
        }
        if (status == SX_OK) {
            status = value_list(ways, batch, list, count, depth, out, &stopped, err);
        }
        free(list);
        if (!stopped && out->open > out->best - depth) {
            out->open = more ? low : -INFINITY;
        }
        high = low;
    }
    out->all = status == SX_OK && out->open <= out->best - depth;
    out->too_many |= ways->count > ways->limits.ways;
    return status;
}

SxStatus sx_share_ways_find(ShareWays *ways, const SxRewards *rewards, double depth,
                            ShareSearch *out, SxError *err) {
    *out = (ShareSearch){.best = best_known(ways, rewards), .open = INFINITY};
    SxOrderBounds bounds;
    SxStatus status = sx_order_bounds(ways->problem, rewards, ways->run, &bounds, err);
    if (status != SX_OK) {
        return status;
    }
    Batch *batch = calloc(1, sizeof *batch);
    if (!batch) {
        return sx_out_of_memory(err);
    }
    batch->problem = ways->problem;
    batch->rewards = rewards;
    status = find(ways, batch, &bounds, depth, out, err);
    for (int k = 0; k < BATCH; k++) {
        free(batch->found[k].item);
    }
    free(batch);
    return status;
}
