/* The best order without branching: orders by falling bound, each scored exactly. */
#include "model/lineup_walk.h"

#include "sixturn/evaluate.h"
#include "sixturn/work.h"

#include <math.h>
#include <stdlib.h>

/* Of the relaxation's optimum, below which orders are listed at first; doubled while that is not
 * enough. */
static const double FIRST_DEPTH = 1.0 / 512;

typedef struct {
    SxOrder order;
    double score, plain;
} Scored;

typedef struct {
    const SxProblem *problem;
    const SxWork *work;
    int most, tried, count;
    double best;    /* score; -INFINITY: none yet */
    double open;    /* bound of the orders that are left */
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

static bool is_enough(const Walk *walk) {
    return walk->open < walk->best - SX_SAME_SCORE;
}

/* Scores those listed, as long as they may be as good as the best. */
static SxStatus score_list(Walk *walk, const SxBoundedOrder *list, int count, SxError *err) {
    SxStatus status = SX_OK;
    for (int k = 0; k < count && status == SX_OK; k++) {
        walk->open = list[k].bound;
        walk->over = sx_work_over(walk->work);
        if (is_enough(walk) || walk->over) {
            break;
        }
        status = score_order(walk, &list[k].order, err);
    }
    return status;
}

/* False: too many. */
static SxStatus walk_down(Walk *walk, const SxOrderBounds *bounds, bool *ended, SxError *err) {
    SxStatus status = SX_OK;
    double high = INFINITY;
    bool more = true;
    *ended = true;
    walk->open = bounds->top;
    for (double depth = FIRST_DEPTH * fmax(1, fabs(bounds->top));
         status == SX_OK && *ended && more && !is_enough(walk) && !walk->over; depth *= 2) {
        SxBoundedOrder *list = NULL;
        int count;
        const double low = bounds->top - depth;
        status = sx_orders_between(walk->problem, bounds, low, high, walk->most - walk->tried,
                                   &list, &count, &more, err);
        *ended = count >= 0;
        if (status == SX_OK && *ended) {
            status = score_list(walk, list, count, err);
        }
        free(list);
        if (!walk->over && !is_enough(walk)) {
            walk->open = more ? low : -INFINITY;
        }
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
                 .work = work,
                 .most = most,
                 .best = -INFINITY,
                 .scored = malloc((size_t)most * sizeof *walk.scored)};
    if (!walk.scored) {
        return sx_out_of_memory(err);
    }
    SxStatus status = walk_down(&walk, bounds, &out->ended, err);
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
