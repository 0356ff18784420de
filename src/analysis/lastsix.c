/* The six who play on when the substitutions are used up: every stop, system and turn is tried. */
#include "sixturn/lastsix.h"

#include "model/evaluate.h"
#include "model/lineup_model.h"

#include <stdlib.h>
#include <string.h>

static const double better = 1e-9;

static bool outlives_the_plan(SxWishKind kind) {
    return kind == SX_NEVER_PASSES || kind == SX_ALWAYS_PASSES || kind == SX_NOT_FRONT_ROW ||
           kind == SX_NOT_BACK_ROW;
}

/* The plan for what is left of the set. */
static void plan_of_the_rest(const SxPlan *plan, SxPlan *rest) {
    *rest = *plan;
    rest->wish_count = 0;
    for (int k = 0; k < plan->wish_count; k++) {
        if (outlives_the_plan(plan->wishes[k].kind)) {
            rest->wishes[rest->wish_count++] = plan->wishes[k];
        }
    }
    for (int r = 0; r < SX_ROTATIONS; r++) {
        rest->rotation_weight[r] = 1;
    }
    rest->start = -1;
}

static SxOrder lay_out(const int *six, int turn) {
    SxOrder order;
    for (int k = 0; k < SX_SLOTS; k++) {
        order.front[k] = order.back[k] = six[(k + turn) % SX_SLOTS];
    }
    return order;
}

static bool can_play(const SxProblem *problem, const SxOrder *order) {
    for (int s = 0; s < SX_SLOTS; s++) {
        if (!lineup_can_fill(problem, order->front[s], s, SX_FRONT) ||
            !lineup_can_fill(problem, order->back[s], s, SX_BACK)) {
            return false;
        }
    }
    return true;
}

static void try_six(const SxProblem *rest, const SxSystemSet *set, const int *six, int changes,
                    SxLastSix *out) {
    for (int k = 0; k < set->count; k++) {
        SxProblem problem = sx_problem_under(rest, &set->entry[k]);
        for (int turn = 0; turn < SX_SLOTS; turn++) {
            SxOrder order = lay_out(six, turn);
            SxLineup lineup;
            if (can_play(&problem, &order) && evaluate_order(&problem, &order, 0, &lineup) &&
                (!out->possible || lineup.score > out->lineup.score + better)) {
                out->possible = true;
                out->changes = changes;
                memcpy(out->six, six, sizeof out->six);
                out->system = k;
                out->turn = turn;
                out->lineup = lineup;
            }
        }
    }
}

/* Changes on one rotation belong together: a stop is only between them. */
static bool is_stop(const SxChanges *changes, int n) {
    if (n == 0 || n == changes->count) {
        return true;
    }
    const SxChange *last = &changes->change[n - 1], *next = &changes->change[n];
    return last->rotation != next->rotation || last->cycle != next->cycle;
}

SxStatus sx_last_six(const SxProblem *problem, const SxLineup *planned, const SxChanges *changes,
                     const SxSystemSet *set, SxLastSix *out, SxError *err) {
    SxPlan *plan = malloc(sizeof *plan);
    int(*seen)[SX_SLOTS] = malloc(sizeof *seen * (SX_MAX_CHANGES + 1));
    int seen_count = 0;
    memset(out, 0, sizeof *out);
    out->cycle = out->rotation = -1;
    if (!plan || !seen) {
        free(plan);
        free(seen);
        return sx_fail(err, SX_INTERNAL, "out of memory");
    }
    plan_of_the_rest(problem->plan, plan);
    SxProblem rest = *problem;
    rest.plan = plan;
    for (int n = changes->count; n >= 0; n--) { /* the latest stop with each six */
        int six[SX_SLOTS];
        bool known = !is_stop(changes, n);
        sx_changes_six(&planned->order, planned->start, changes, n, six);
        for (int k = 0; k < seen_count && !known; k++) {
            known = memcmp(seen[k], six, sizeof six) == 0;
        }
        if (!known) {
            memcpy(seen[seen_count++], six, sizeof six);
            try_six(&rest, set, six, n, out);
        }
    }
    if (out->possible && out->changes > 0) {
        out->cycle = changes->change[out->changes - 1].cycle;
        out->rotation = changes->change[out->changes - 1].rotation;
    }
    free(plan);
    free(seen);
    return SX_OK;
}
