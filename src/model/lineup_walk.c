/* The best order without branching: orders by falling bound, each scored exactly. */
#include "model/lineup_walk.h"

#include "sixturn/evaluate.h"
#include "sixturn/work.h"

#include <math.h>
#include <stdlib.h>

/* Of the relaxation's optimum, below which orders are listed at first; doubled while that is not
 * enough. */
static const double FIRST_DEPTH = 1.0 / 512;
/* Scored before the others are counted that may be as good as the best of these. */
enum { FIRST_TRIED = 50 };

typedef struct {
    SxOrder order;
    double score, plain;
} Scored;

typedef struct {
    const SxProblem *problem;
    const SxOrderBounds *bounds;
    const SxWork *work;
    int most, listed, tried, count;
    double best;    /* score; -INFINITY: none yet */
    double open;    /* bound of the orders that are left */
    double below;   /* bound of those that are not listed; -INFINITY: there are none */
    bool many;      /* too many may be as good as the best */
    bool over;      /* told to stop */
    Scored *scored; /* room for `most`: those as good as the best when they were met */
} Walk;

static SxStatus score_order(Walk *walk, const SxOrder *order, SxError *err) {
    SxLineup lineup;
    const int start = walk->problem->plan->start;
    const SxStatus status =
        sx_evaluate_order(walk->problem, order, start >= 0 ? start : 0, &lineup, err);
    walk->tried++;
    if (status == SX_OK && lineup.score >= walk->best - SX_SAME_SCORE) {
        walk->scored[walk->count++] = (Scored){*order, lineup.score, sx_plain_mean(&lineup)};
        walk->best = fmax(walk->best, lineup.score);
    }
    return status == SX_NO ? SX_OK : status;
}

/* Orders listed by falling bound, of which those before `next` are scored. */
typedef struct {
    SxBoundedOrder *order;
    int count, next;
} List;

static bool is_enough(const Walk *walk) {
    return walk->open < walk->best - SX_SAME_SCORE;
}

/* Scores those listed, as long as they may be as good as the best; at first, to have one to compare
 * with, no more than FIRST_TRIED. */
static SxStatus score_list(Walk *walk, List *list, bool first, SxError *err) {
    SxStatus status = SX_OK;
    for (; list->next < list->count && status == SX_OK; list->next++) {
        walk->open = list->order[list->next].bound;
        walk->over = sx_work_over(walk->work);
        if (is_enough(walk) || walk->over || (first && walk->tried == FIRST_TRIED)) {
            break;
        }
        status = score_order(walk, &list->order[list->next].order, err);
    }
    return status;
}

static bool goes_on(const Walk *walk, SxStatus status) {
    return status == SX_OK && !walk->many && !walk->over;
}

/* Those with bounds from low to below high. */
static SxStatus list_orders(Walk *walk, double low, double high, List *list, SxError *err) {
    bool more;
    *list = (List){.count = 0};
    const SxStatus status =
        sx_orders_between(walk->problem, walk->bounds, low, high, walk->most - walk->listed,
                          &list->order, &list->count, &more, err);
    walk->many = list->count < 0;
    walk->listed += list->count;
    walk->below = more ? low : -INFINITY;
    return status;
}

/* Scores down to where no order may be as good as the best, once it is known how many these are.
 * `rest` are those listed before. */
static SxStatus score_rest(Walk *walk, List *rest, double high, SxError *err) {
    List others = {.count = 0};
    const double low = walk->best - 2 * SX_SAME_SCORE;
    SxStatus status = low < high ? list_orders(walk, low, high, &others, err) : SX_OK;
    if (goes_on(walk, status)) {
        status = score_list(walk, rest, false, err);
    }
    if (goes_on(walk, status)) {
        status = score_list(walk, &others, false, err);
    }
    free(others.order);
    return status;
}

static SxStatus walk_down(Walk *walk, SxError *err) {
    const double top = walk->bounds->top;
    SxStatus status = SX_OK;
    double high = INFINITY;
    walk->below = top;
    for (double depth = FIRST_DEPTH * fmax(1, fabs(top));
         goes_on(walk, status) && !isfinite(walk->best) && isfinite(walk->below); depth *= 2) {
        const double low = top - depth;
        List list;
        status = list_orders(walk, low, high, &list, err);
        if (goes_on(walk, status)) {
            status = score_list(walk, &list, true, err);
        }
        if (goes_on(walk, status) && isfinite(walk->best)) {
            status = score_rest(walk, &list, low, err);
        } else if (goes_on(walk, status)) {
            walk->many = list.next < list.count; /* few keep the wishes */
        }
        free(list.order);
        high = low;
    }
    return status;
}

/* As good as the best; where the plain mean decides, with the best of these; then the smallest
 * shirt numbers. */
static const Scored *choose(const Walk *walk) {
    const bool plain = sx_plain_mean_decides(walk->problem->plan);
    const Scored *chosen = NULL;
    double best_plain = -INFINITY;
    for (int k = 0; k < walk->count && plain; k++) {
        if (walk->scored[k].score >= walk->best - SX_SAME_SCORE) {
            best_plain = fmax(best_plain, walk->scored[k].plain);
        }
    }
    for (int k = 0; k < walk->count; k++) {
        const Scored *now = &walk->scored[k];
        if (now->score >= walk->best - SX_SAME_SCORE && now->plain >= best_plain - SX_SAME_SCORE &&
            (!chosen || sx_order_compare(&now->order, &chosen->order) < 0)) {
            chosen = now;
        }
    }
    return chosen;
}

SxStatus sx_lineup_walk(const SxProblem *problem, const SxOrderBounds *bounds, int most,
                        const SxWork *work, LineupWalk *out, SxError *err) {
    Walk walk = {.problem = problem,
                 .bounds = bounds,
                 .work = work,
                 .most = most,
                 .best = -INFINITY,
                 .scored = malloc((size_t)most * sizeof *walk.scored)};
    if (!walk.scored) {
        return sx_out_of_memory(err);
    }
    SxStatus status = walk_down(&walk, err);
    out->ended = !walk.many;
    if (status == SX_OK && out->ended) {
        const Scored *chosen = choose(&walk);
        if (chosen) {
            out->order = chosen->order;
            out->score = chosen->score;
            out->proof = walk.over ? SX_FEASIBLE : SX_OPTIMAL;
            out->bound = walk.over ? fmax(walk.open, walk.best) : walk.best;
            out->tried = walk.tried;
        } else {
            status = walk.over ? SX_OUT_OF_TIME : SX_NO;
        }
    }
    free(walk.scored);
    return status;
}
