/* Solves the lineup program: proven optimum, canonical tie-break, and the result in plain values.
 */
#include "sixturn/lineup.h"

#include "model/conflict.h"
#include "model/lineup_model.h"
#include "model/lineup_walk.h"
#include "sixturn/evaluate.h"

#include <limits.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

/* The solver and our own arithmetic must agree to this. */
static const double AGREE = 1e-5;
/* What rounding may do to a price or to the optimum of a relaxation, and far more. */
static const double PRICE_SLACK = 1e-5;

/* Orders that may be as good as the best and are scored one by one; where there are more, branching
 * is as quick. Of random rosters of 10 to 14 that was left for 24 of 1176; where wishes leave much
 * open, mostly. */
enum { MOST_SCORED = 500 };

typedef struct {
    double bound;
    long nodes;
} Progress;

/* Keeps the best bound that is still open, for an honest gap when time runs out. */
static void watch(glp_tree *tree, void *info) {
    Progress *progress = info;
    int best = glp_ios_best_node(tree);
    if (best) {
        progress->bound = glp_ios_node_bound(tree, best);
    }
    int active, all, total;
    glp_ios_tree_size(tree, &active, &all, &total);
    progress->nodes = total;
}

/* Seconds left for a program: the options' own limit or the work's deadline, whichever is sooner.
 */
static double seconds_left(const SxSolveOptions *options) {
    const double own = options->time_limit > 0 ? options->time_limit : INFINITY;
    return fmin(own, sx_work_left(options->work));
}

static SxStatus out_of_time(SxError *err) {
    return sx_fail(err, SX_OUT_OF_TIME, "no lineup found within the time limit");
}

/* time_limit: seconds, infinity for none. The columns of the order come first, so branching on the
 * first fractional one settles who plays where before all else, which a fifth to a half of the time
 * suffices for. Clique and cover cuts cost little. Rounding and Gomory cuts do not pay here:
 * without them the program solved about three times faster on random rosters of 12 to 40. */
static void set_controls(glp_iocp *control, double time_limit) {
    glp_init_iocp(control);
    control->msg_lev = GLP_MSG_OFF;
    control->br_tech = GLP_BR_FFV;
    control->clq_cuts = GLP_ON;
    control->cov_cuts = GLP_ON;
    control->tm_lim = sx_mip_milliseconds(time_limit);
}

/* By the relaxation's bounds, which mostly leave a few dozen orders; SX_NO if there is none. */
static SxStatus walk(LineupModel *model, int most, const SxSolveOptions *options, SxLineup *out,
                     bool *ended, SxError *err) {
    SxOrderBounds bounds;
    LineupWalk found = {.ended = false};
    SxWork work = options->work ? *options->work : (SxWork){.deadline = 0};
    if (isfinite(seconds_left(options))) {
        work.deadline = sx_clock() + seconds_left(options);
    }
    sx_lineup_model_bounds(model, &bounds);
    const SxStatus status = sx_lineup_walk(model->problem, &bounds, most, &work, &found, err);
    *ended = found.ended;
    if (status == SX_OK && found.ended) {
        out->proof = found.proof;
        out->score = found.score;
        out->bound = found.bound;
        out->nodes = found.tried;
        out->order = found.order;
    }
    return status == SX_OUT_OF_TIME ? out_of_time(err) : status;
}

/* By branching. SX_OK with an order, SX_NO if there is none. */
static SxStatus branch(LineupModel *model, const SxSolveOptions *options, bool relaxed,
                       SxLineup *out, SxError *err) {
    Progress progress = {INFINITY, 0};
    glp_iocp control;
    set_controls(&control, seconds_left(options));
    control.presolve = relaxed ? GLP_OFF : GLP_ON; /* which solves it in its own way */
    control.cb_func = watch;
    control.cb_info = &progress;
    const int failed = glp_intopt(model->mip, &control);
    int status = glp_mip_status(model->mip);
    if (failed == GLP_ENOPFS || failed == GLP_ENODFS || (!failed && status == GLP_NOFEAS)) {
        return SX_NO;
    }
    if (status != GLP_OPT && status != GLP_FEAS) {
        return failed == GLP_ETMLIM
                   ? out_of_time(err)
                   : sx_fail(err, SX_SOLVER_FAILED,
                             "the solver failed on the lineup program (code %d)", failed);
    }
    out->proof = status == GLP_OPT ? SX_OPTIMAL : SX_FEASIBLE;
    out->score = glp_mip_obj_val(model->mip);
    out->bound = status == GLP_OPT ? out->score : progress.bound;
    out->nodes = progress.nodes;
    sx_lineup_model_order(model, &out->order);
    return SX_OK;
}

/* The relaxation first: its prices bound every order, its basis is where branching starts. *ended:
 * the order is the one that ties fall to. */
static SxStatus search(LineupModel *model, int most, const SxSolveOptions *options, SxLineup *out,
                       bool *ended, SxError *err) {
    *ended = false;
    const int failed = sx_mip_relax(model->mip, sx_mip_milliseconds(seconds_left(options)));
    if (failed == GLP_ETMLIM) {
        return out_of_time(err);
    }
    const int relaxed = failed ? GLP_UNDEF : glp_get_status(model->mip);
    if (relaxed == GLP_NOFEAS) {
        return SX_NO;
    }
    SxStatus status = SX_OK;
    if (relaxed == GLP_OPT && most > 0 && options->cut_count == 0) {
        status = walk(model, most, options, out, ended, err);
    }
    return status == SX_OK && !*ended ? branch(model, options, relaxed == GLP_OPT, out, err)
                                      : status;
}

/* --- canonical tie-break -------------------------------------------------------------------------
 */

/* Sets what is so in every lineup as good as the best: a player whom the relaxation leaves out at a
 * price that it cannot afford is out, and likewise in. */
static void settle_by_price(glp_prob *mip, double best) {
    if (glp_get_status(mip) != GLP_OPT) {
        return;
    }
    const double spare = glp_get_obj_val(mip) - best + SX_SAME_SCORE + PRICE_SLACK;
    for (int j = 1; j <= glp_get_num_cols(mip); j++) {
        const int at = glp_get_col_stat(mip, j);
        if (glp_get_col_kind(mip, j) == GLP_CV || (at != GLP_NL && at != GLP_NU)) {
            continue;
        }
        if (fabs(glp_get_col_dual(mip, j)) > spare) {
            const double value = glp_get_col_prim(mip, j);
            glp_set_col_bnds(mip, j, GLP_FX, value, value);
        }
    }
}

/* From now on only lineups as good as the optimum of the objective are feasible. */
static void keep_optimal_only(LineupModel *model, const char *name, double best) {
    MipRow *row = &model->row;
    for (int j = 1; j <= glp_get_num_cols(model->mip); j++) {
        double cost = glp_get_obj_coef(model->mip, j);
        if (cost != 0) {
            sx_mip_row_add(row, j, cost);
        }
    }
    if (row->count) {
        sx_mip_row_put(model->mip, row, name, best - SX_SAME_SCORE, HUGE_VAL);
    }
}

/* May an order with what is fixed be as good as the best? The dual simplex goes on from where it
 * was, and stops as soon as the bound falls below. */
static bool relaxation_reaches(glp_prob *mip, double best, const SxSolveOptions *options) {
    glp_smcp simplex;
    glp_init_smcp(&simplex);
    simplex.msg_lev = GLP_MSG_OFF;
    simplex.meth = GLP_DUALP;
    simplex.obj_ll = best - 2 * SX_SAME_SCORE; /* below what is equal: a bound is only so exact */
    simplex.tm_lim = sx_mip_milliseconds(seconds_left(options));
    return glp_simplex(mip, &simplex) == 0 && glp_get_status(mip) == GLP_OPT &&
           glp_get_obj_val(mip) >= best - 2 * SX_SAME_SCORE;
}

/* Ends a search once it has a lineup as good as the best, or cannot have one any more. */
static void until_equal(glp_tree *tree, void *info) {
    const double *best = info;
    const int node = glp_ios_best_node(tree);
    const bool found = glp_ios_reason(tree) == GLP_IBINGO &&
                       glp_mip_obj_val(glp_ios_get_prob(tree)) >= *best - SX_SAME_SCORE;
    if (found || (node && glp_ios_node_bound(tree, node) < *best - 2 * SX_SAME_SCORE)) {
        glp_ios_terminate(tree);
    }
}

/* Is there an equally good order with this player in this place? If so it becomes *order. */
static bool try_place(LineupModel *model, int column, double best, const SxSolveOptions *options,
                      SxOrder *order) {
    if (glp_get_col_type(model->mip, column) == GLP_FX) { /* settled, and not so */
        return false;
    }
    glp_set_col_bnds(model->mip, column, GLP_FX, 1, 1);
    if (relaxation_reaches(model->mip, best, options)) {
        glp_iocp control;
        set_controls(&control, seconds_left(options));
        control.cb_func = until_equal;
        control.cb_info = &best;
        (void)glp_intopt(model->mip, &control);
        const int status = glp_mip_status(model->mip);
        if ((status == GLP_OPT || status == GLP_FEAS) &&
            glp_mip_obj_val(model->mip) >= best - SX_SAME_SCORE) {
            sx_lineup_model_order(model, order);
            return true;
        }
    }
    glp_set_col_bnds(model->mip, column, GLP_DB, 0, 1);
    return false;
}

/* Among equal scores the best plain mean of the rotations, which becomes *best; false if there was
 * no time for it. */
static bool prefer_plain_mean(LineupModel *model, const SxSolveOptions *options, double *best,
                              SxOrder *order) {
    keep_optimal_only(model, "as_good", *best);
    sx_lineup_model_plain(model);
    glp_smcp simplex;
    glp_init_smcp(&simplex);
    simplex.msg_lev = GLP_MSG_OFF;
    simplex.tm_lim = sx_mip_milliseconds(seconds_left(options));
    glp_iocp control;
    set_controls(&control, seconds_left(options));
    if (glp_simplex(model->mip, &simplex) != 0 || glp_intopt(model->mip, &control) != 0 ||
        glp_mip_status(model->mip) != GLP_OPT) {
        return false;
    }
    sx_lineup_model_order(model, order);
    *best = glp_mip_obj_val(model->mip);
    settle_by_price(model->mip, *best);
    return true;
}

/* Place by place, the smallest shirt number that an equally good order allows. */
static void break_ties(LineupModel *model, double best, const SxSolveOptions *options,
                       SxOrder *order) {
    settle_by_price(model->mip, best);
    if (sx_plain_mean_decides(model->problem->plan) &&
        !prefer_plain_mean(model, options, &best, order)) {
        return;
    }
    for (int place = 0; place < SX_SLOTS * SX_ROWS; place++) {
        SxRow row = place < SX_SLOTS ? SX_FRONT : SX_BACK;
        int s = place % SX_SLOTS;
        for (int p = 0;; p++) {
            int now = row == SX_FRONT ? order->front[s] : order->back[s];
            int column = model->fills[p][s][row];
            if (p >= now) {
                glp_set_col_bnds(model->mip, model->fills[now][s][row], GLP_FX, 1, 1);
                break;
            }
            if (column && try_place(model, column, best, options, order)) {
                break;
            }
        }
    }
}

/* --- the whole ----------------------------------------------------------------------------------
 */

static int start_of(const SxPlan *plan) {
    return plan->start >= 0 ? plan->start : 0;
}

static SxStatus finish(const SxProblem *problem, SxLineup *out, SxError *err) {
    SxLineup found;
    SxStatus status = sx_evaluate_order(problem, &out->order, start_of(problem->plan), &found, err);
    if (status != SX_OK) {
        return status == SX_NO ? sx_fail(err, SX_INTERNAL, "the solver's order breaks a wish")
                               : status;
    }
    bool proven = out->proof == SX_OPTIMAL;
    if (proven && fabs(found.score - out->score) > AGREE) {
        return sx_fail(err, SX_INTERNAL, "solver and evaluation disagree: %.9g and %.9g",
                       out->score, found.score);
    }
    found.proof = out->proof;
    found.bound = proven ? found.score : fmax(out->bound, found.score);
    found.gap = found.bound - found.score;
    found.nodes = out->nodes;
    *out = found;
    return SX_OK;
}

static SxStatus solve_fixed(const SxProblem *problem, const SxOrder *order, SxLineup *out,
                            SxError *err) {
    SxLineup found;
    SxStatus status = sx_evaluate_order(problem, order, start_of(problem->plan), &found, err);
    if (status != SX_OK) {
        return status == SX_NO ? sx_fail(err, SX_NO, "this order cannot keep the plan's wishes")
                               : status;
    }
    found.proof = SX_OPTIMAL;
    found.bound = found.score;
    *out = found;
    return SX_OK;
}

typedef struct {
    const SxSolveOptions *options;
    int most;
    SxLineup found;
} Job;

static SxStatus solve_built(LineupModel *model, void *data, SxError *err) {
    Job *job = data;
    const SxSolveOptions *options = job->options;
    SxLineup *found = &job->found;
    for (int k = 0; k < options->cut_count; k++) {
        sx_lineup_model_cut(model, &options->cut[k]);
    }
    bool ended;
    const SxStatus status = search(model, job->most, options, found, &ended, err);
    if (status == SX_OK && !ended && found->proof == SX_OPTIMAL && !options->any_tie) {
        break_ties(model, found->score, options, &found->order);
    }
    return status;
}

static SxStatus solve_order(const SxProblem *problem, const SxSolveOptions *options, int most,
                            SxLineup *out, SxError *err) {
    Job job = {.options = options, .most = most};
    err->message[0] = '\0';
    SxStatus status = sx_lineup_model_run(problem, solve_built, &job, err);
    if (status == SX_OK) {
        status = finish(problem, &job.found, err);
    } else if (status == SX_NO && !err->message[0]) {
        status = options->cut_count ? sx_fail(err, SX_NO, "there is no further order")
                                    : sx_conflict_explain(problem, options->work, err);
    }
    if (status == SX_OK) {
        *out = job.found;
    }
    return status;
}

SxStatus sx_lineup_solve(const SxProblem *problem, const SxSolveOptions *options, SxLineup *out,
                         SxError *err) {
    return sx_lineup_solve_within(problem, options, MOST_SCORED, out, err);
}

SxStatus sx_lineup_solve_within(const SxProblem *problem, const SxSolveOptions *options, int most,
                                SxLineup *out, SxError *err) {
    static const SxSolveOptions none;
    options = options ? options : &none;
    SxError spare = {.status = SX_OK};
    err = err ? err : &spare;
    if (options->fixed) {
        return solve_fixed(problem, options->fixed, out, err);
    }
    if (sx_work_over(options->work)) {
        return out_of_time(err);
    }
    return solve_order(problem, options, most, out, err);
}
