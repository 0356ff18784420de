/* The k best different orders, proven. */
#include "sixturn/rank.h"

#include "sixturn/bestset.h"

#include "analysis/bestabove.h"
#include "analysis/parallel.h"
#include "sixturn/eligible.h"
#include "sixturn/evaluate.h"
#include "sixturn/program.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Points below the relaxation's optimum to list at first; doubled while that is not enough. */
static const double FIRST_DEPTH = 0.25;
enum {
    MOST_LISTED = 15000, /* orders; beyond that the relaxation is too loose to rank by */
    BATCH = 128          /* orders scored between two looks at the bound */
};

void sx_ranking_free(SxRanking *ranking) {
    free(ranking->item);
    free(ranking->difference);
    ranking->item = NULL;
    ranking->difference = NULL;
    ranking->count = ranking->proven = ranking->explained = 0;
}

SxStatus sx_rank_explain(const SxProblem *problem, SxRanking *ranking, const SxWork *run,
                         SxError *err) {
    ranking->explained = 0;
    free(ranking->difference);
    ranking->difference = calloc((size_t)ranking->count + 1, sizeof *ranking->difference);
    if (!ranking->difference) {
        return sx_out_of_memory(err);
    }
    SxStatus status = SX_OK;
    for (int k = 0; k < ranking->count && !sx_parallel_stopped(run) && status == SX_OK; k++) {
        status = sx_difference(problem, &ranking->item[0], &ranking->item[k],
                               &ranking->difference[k], err);
        ranking->explained += status == SX_OK;
    }
    return status;
}

/* --- the best so far ----------------------------------------------------------------------------
 */

typedef struct {
    int top, count, room;
    bool once;       /* of an order and its half-turn only the better one is kept */
    bool plain_mean; /* decides between equal scores */
    SxLineup *item; /* sorted by score alone; may hold more than top items that tie with the last */
} Best;

static double worst_kept(const Best *best) {
    return best->count >= best->top ? best->item[best->top - 1].score - SX_SAME_SCORE : -INFINITY;
}

static int by_score(const void *a, const void *b) {
    const SxLineup *left = a, *right = b;
    if (left->score != right->score) {
        return left->score > right->score ? -1 : 1;
    }
    return sx_order_compare(&left->order, &right->order);
}

static int by_order(const void *a, const void *b) {
    const SxLineup *left = a, *right = b;
    return sx_order_compare(&left->order, &right->order);
}

static bool best_reserve(Best *best, int more) {
    if (best->count + more <= best->room) {
        return true;
    }
    int room = 2 * (best->count + more);
    SxLineup *grown = realloc(best->item, (size_t)room * sizeof *grown);
    if (!grown) {
        return false;
    }
    best->item = grown;
    best->room = room;
    return true;
}

/* Keeps the better of an order and its half-turn, of equal ones that with the smaller numbers; the
 * list is sorted. */
static void drop_turns(Best *best) {
    int kept = 0;
    for (int k = 0; k < best->count; k++) {
        const SxLineup *now = &best->item[k];
        SxOrder turned;
        sx_order_turn(&now->order, &turned);
        int j = 0;
        while (j < kept && sx_order_compare(&best->item[j].order, &turned) != 0) {
            j++;
        }
        if (j == kept) {
            best->item[kept++] = *now;
        } else if (best->item[j].score - now->score <= SX_SAME_SCORE &&
                   sx_order_compare(&now->order, &turned) < 0) {
            best->item[j] = *now;
        }
    }
    best->count = kept;
    qsort(best->item, (size_t)best->count, sizeof *best->item, by_score);
}

static void best_trim(Best *best) {
    if (best->count == 0) {
        return;
    }
    qsort(best->item, (size_t)best->count, sizeof *best->item, by_score);
    if (best->once) {
        drop_turns(best);
    }
    double least = worst_kept(best);
    while (best->item[best->count - 1].score < least) {
        best->count--;
    }
}

static int by_plain_mean(const void *a, const void *b) {
    const double left = sx_plain_mean(a), right = sx_plain_mean(b);
    return fabs(left - right) > SX_SAME_SCORE ? (left > right ? -1 : 1) : by_order(a, b);
}

/* Puts equal scores into canonical order and drops what is too much. Where the score leaves
 * rotations without a weight the best plain mean comes first, as in sx_lineup_solve. */
static void best_finish(Best *best) {
    for (int from = 0, to; from < best->count; from = to) {
        for (to = from + 1;
             to < best->count && best->item[from].score - best->item[to].score <= SX_SAME_SCORE;
             to++) {
        }
        qsort(best->item + from, (size_t)(to - from), sizeof *best->item,
              best->plain_mean ? by_plain_mean : by_order);
    }
    best->count = best->count < best->top ? best->count : best->top;
}

/* --- scoring in batches -------------------------------------------------------------------------
 */

typedef struct {
    const SxProblem *problem;
    const SxBoundedOrder *order;
    SxLineup lineup[BATCH];
    bool holds[BATCH], done[BATCH];
} Batch;

static SxStatus score_one(void *context, int index, SxError *err) {
    Batch *batch = context;
    int start = batch->problem->plan->start;
    SxStatus status = sx_evaluate_order(batch->problem, &batch->order[index].order,
                                        start >= 0 ? start : 0, &batch->lineup[index], err);
    batch->holds[index] = status == SX_OK;
    return status == SX_NO ? SX_OK : status;
}

static SxStatus score_batch(const SxProblem *problem, const SxWork *run,
                            const SxBoundedOrder *order, int count, Batch *batch, Best *best,
                            SxError *err) {
    SxWork quiet = {.threads = run ? run->threads : 0}; /* a batch is over in milliseconds */
    batch->problem = problem;
    batch->order = order;
    SxStatus status = sx_parallel_for(&quiet, count, score_one, batch, batch->done, err);
    if (status != SX_OK) {
        return status;
    }
    if (!best_reserve(best, count)) {
        return sx_out_of_memory(err);
    }
    for (int k = 0; k < count; k++) {
        if (batch->holds[k]) {
            SxLineup *lineup = &best->item[best->count++];
            *lineup = batch->lineup[k];
            lineup->proof = SX_OPTIMAL;
            lineup->bound = lineup->score;
            lineup->gap = 0;
        }
    }
    best_trim(best);
    return SX_OK;
}

typedef enum { LIST_USED_UP, LIST_ENOUGH, LIST_STOPPED } ListEnd;

/* Scores the listed orders until no further one can enter; *open is the best bound left. */
static SxStatus score_list(const SxProblem *problem, const SxWork *run, const SxBoundedOrder *list,
                           int count, Best *best, long *tried, double *open, ListEnd *end,
                           SxError *err) {
    Batch *batch = malloc(sizeof *batch);
    if (!batch) {
        return sx_out_of_memory(err);
    }
    SxStatus status = SX_OK;
    *end = LIST_USED_UP;
    for (int at = 0; at < count && status == SX_OK; at += BATCH) {
        *open = list[at].bound;
        if (list[at].bound < worst_kept(best)) {
            *end = LIST_ENOUGH;
            break;
        }
        if (sx_parallel_stopped(run)) {
            *end = LIST_STOPPED;
            break;
        }
        int size = count - at < BATCH ? count - at : BATCH;
        status = score_batch(problem, run, list + at, size, batch, best, err);
        *tried += size;
        if (run && run->progress) {
            run->progress(run->context, *tried, 0);
        }
    }
    free(batch);
    return status;
}

/* --- the whole ----------------------------------------------------------------------------------
 */

static SxStatus hand_over(Best *best, double open, bool exhausted, SxRanking *out) {
    best_finish(best);
    out->item = best->item;
    out->count = best->count;
    out->exhausted = exhausted && best->count < best->top;
    for (out->proven = 0; out->proven < out->count; out->proven++) {
        if (out->item[out->proven].score < open - SX_SAME_SCORE) {
            break;
        }
    }
    return SX_OK;
}

static SxStatus rank_by_sets(const SxProblem *problem, int top, const SxWork *run, SxRanking *out,
                             SxError *err) {
    SxBestOrders best;
    SxStatus status = sx_best_orders(problem, top, run, &best, err);
    if (status == SX_OK) {
        *out = (SxRanking){.count = best.count,
                           .proven = best.proven,
                           .exhausted = best.exhausted,
                           .item = best.item,
                           .tried = best.orders};
    }
    return status;
}

SxStatus sx_rank(const SxProblem *problem, int top, const SxWork *run, SxRanking *out,
                 SxError *err) {
    memset(out, 0, sizeof *out);
    if (top < 1 || top > SX_MAX_TOP) {
        return sx_fail(err, SX_USAGE, "a ranking holds 1 to %d orders, not %d", SX_MAX_TOP, top);
    }
    if (problem->against) {
        return rank_by_sets(problem, top, run, out, err);
    }
    SxOrderBounds bounds;
    SxStatus status = sx_order_bounds(problem, NULL, run, &bounds, err);
    if (status != SX_OK) {
        return status == SX_NO ? sx_none_there(problem, run, err) : status;
    }
    Best best = {.top = top,
                 .once = sx_turn_counts_once(problem),
                 .plain_mean = sx_plain_mean_decides(problem->plan)};
    double high = INFINITY;
    double open = bounds.top;
    ListEnd end = LIST_USED_UP;
    bool more = true;
    for (double depth = FIRST_DEPTH; status == SX_OK && end == LIST_USED_UP && more; depth *= 2) {
        double low = bounds.top - depth;
        SxBoundedOrder *list = NULL;
        int count = 0;
        status =
            sx_orders_between(problem, &bounds, low, high, MOST_LISTED, &list, &count, &more, err);
        if (status == SX_OK && count < 0) {
            sx_ranking_free(&(SxRanking){.item = best.item});
            return sx_rank_by_cuts(problem, top, run, out, err);
        }
        if (status == SX_OK) {
            status = score_list(problem, run, list, count, &best, &out->tried, &open, &end, err);
        }
        free(list);
        if (end == LIST_USED_UP) {
            open = more ? low : -INFINITY;
            end = more && low >= worst_kept(&best) ? LIST_USED_UP : LIST_ENOUGH;
        }
        high = low;
    }
    if (status == SX_OK && best.count == 0 && end != LIST_STOPPED) {
        status = sx_none_there(problem, run, err);
    }
    if (status != SX_OK) {
        free(best.item);
        return status;
    }
    return hand_over(&best, open, end != LIST_STOPPED, out);
}

SxStatus sx_rank_by_cuts(const SxProblem *problem, int top, const SxWork *run, SxRanking *out,
                         SxError *err) {
    memset(out, 0, sizeof *out);
    Best best = {.top = top, .plain_mean = sx_plain_mean_decides(problem->plan)};
    SxOrder *cut = NULL;
    int room = 0, cuts = 0;
    bool once = sx_turn_counts_once(problem);
    double open = INFINITY;
    bool exhausted = false;
    SxStatus status = SX_OK;
    /* Orders that tie with the last one are found too, so that canonical order can choose. */
    while (status == SX_OK && !sx_parallel_stopped(run)) {
        if (!best_reserve(&best, 1)) {
            status = sx_out_of_memory(err);
            break;
        }
        if (cuts + 2 > room) {
            room = room ? 2 * room : 64;
            SxOrder *grown = realloc(cut, (size_t)room * sizeof *cut);
            if (!grown) {
                status = sx_out_of_memory(err);
                break;
            }
            cut = grown;
        }
        SxSolveOptions options = {.cut = cut, .cut_count = cuts, .any_tie = true, .work = run};
        SxLineup next;
        SxError why = {.status = SX_OK};
        status = sx_lineup_solve(problem, &options, &next, &why);
        if (status == SX_OK && next.proof == SX_FEASIBLE) {
            status = SX_OUT_OF_TIME; /* not known to be the next */
        }
        if (status == SX_OUT_OF_TIME && best.count > 0) {
            status = SX_OK;
            break;
        }
        if (status == SX_NO && best.count > 0) {
            exhausted = true;
            open = -INFINITY;
            status = SX_OK;
            break;
        }
        if (status != SX_OK) {
            if (err) {
                *err = why;
            }
            break;
        }
        open = next.score;
        if (next.score < worst_kept(&best)) {
            break;
        }
        cut[cuts++] = next.order;
        if (once) {
            sx_order_turn(&next.order, &cut[cuts++]);
        }
        best.item[best.count++] = next;
        out->tried++;
        if (run && run->progress) {
            run->progress(run->context, best.count < top ? best.count : top, top);
        }
    }
    free(cut);
    if (status != SX_OK) {
        free(best.item);
        return status;
    }
    return hand_over(&best, open, exhausted, out);
}
