/* Bounds for every order by the relaxation's reduced costs, and the program with rewards. */
#include "sixturn/program.h"

#include "model/lineup_model.h"

#include <limits.h>
#include <math.h>
#include <string.h>

/* What the simplex method's tolerances may cost over all columns. */
static const double BOUND_SLACK = 1e-4;
static const double MILLISECONDS = 1000.0;

static int milliseconds_left(const SxWork *work) {
    const double left = MILLISECONDS * sx_work_left(work);
    return left < INT_MAX ? (int)fmax(left, 1) : INT_MAX;
}

static SxStatus out_of_time(SxError *err) {
    return sx_fail(err, SX_OUT_OF_TIME, "the time was up before a lineup program was solved");
}

/* A nonbasic column at its lower bound costs its reduced cost when it is taken; one at its upper
 * bound costs it when it is left. Both are at most 0 for a maximum, and so is all that is left
 * out here: the sum stays an upper bound. */
static void read_bounds(const LineupModel *model, SxOrderBounds *out) {
    out->top = out->base = glp_get_obj_val(model->mip) + BOUND_SLACK;
    for (int p = 0; p < model->problem->team->player_count; p++) {
        for (int s = 0; s < SX_SLOTS; s++) {
            for (int row = 0; row < SX_ROWS; row++) {
                int column = model->fills[p][s][row];
                out->can[p][s][row] = column != 0;
                if (!column || (row == SX_BACK && column == model->fills[p][s][SX_FRONT])) {
                    continue;
                }
                double cost = glp_get_col_dual(model->mip, column);
                out->value[p][s][row] = cost;
                if (glp_get_col_stat(model->mip, column) == GLP_NU) {
                    out->base -= cost;
                }
            }
        }
    }
}

typedef struct {
    LineupModel *model;
    const SxWork *work;
    SxOrderBounds *out;
} BoundsJob;

static SxStatus solve_relaxation(void *data, SxError *err) {
    const BoundsJob *job = data;
    glp_prob *mip = job->model->mip;
    glp_smcp simplex;
    glp_init_smcp(&simplex);
    simplex.msg_lev = GLP_MSG_OFF;
    simplex.tm_lim = milliseconds_left(job->work);
    int failed = glp_simplex(mip, &simplex);
    int found = glp_get_status(mip);
    if (!failed && found == GLP_OPT) {
        read_bounds(job->model, job->out);
        return SX_OK;
    }
    if (failed == GLP_ETMLIM) {
        return out_of_time(err);
    }
    return !failed && (found == GLP_NOFEAS || found == GLP_INFEAS)
               ? SX_NO
               : sx_fail(err, SX_SOLVER_FAILED, "the solver failed on the relaxation (code %d)",
                         failed);
}

SxStatus sx_order_bounds(const SxProblem *problem, const SxWork *work, SxOrderBounds *out,
                         SxError *err) {
    BoundsJob job = {.work = work, .out = out};
    SxStatus status = sx_lineup_model_build(problem, NULL, &job.model, err);
    if (status != SX_OK) {
        return status;
    }
    memset(out, 0, sizeof *out);
    status = sx_solver_run(solve_relaxation, &job, &job.model->mip, err);
    sx_lineup_model_free(job.model);
    return status;
}

typedef struct {
    LineupModel *model;
    const SxWork *work;
    const double *reward;
    SxRewarded *out;
} RewardedJob;

static SxStatus solve_rewarded(void *data, SxError *err) {
    const RewardedJob *job = data;
    LineupModel *model = job->model;
    int count = model->problem->team->player_count;
    for (int p = 0; p < count; p++) {
        if (job->reward[p] > 0) {
            sx_lineup_model_reward(model, p, job->reward[p]);
        }
    }
    glp_iocp control;
    glp_init_iocp(&control);
    control.msg_lev = GLP_MSG_OFF;
    control.presolve = GLP_ON;
    control.tm_lim = milliseconds_left(job->work);
    control.clq_cuts = control.cov_cuts = control.mir_cuts = control.gmi_cuts = GLP_ON;
    int failed = glp_intopt(model->mip, &control);
    if (failed == GLP_ETMLIM) {
        return out_of_time(err);
    }
    if (failed || glp_mip_status(model->mip) != GLP_OPT) {
        return sx_fail(err, SX_SOLVER_FAILED,
                       "the solver failed on a lineup with rewards (code %d)", failed);
    }
    job->out->value = glp_mip_obj_val(model->mip);
    sx_lineup_model_order(model, &job->out->order);
    for (int p = 0; p < count; p++) {
        job->out->receptions[p] = job->reward[p] > 0 ? sx_lineup_model_receptions(model, p) : 0;
    }
    return SX_OK;
}

SxStatus sx_lineup_rewarded(const SxProblem *problem, const double reward[SX_MAX_PLAYERS],
                            const SxWork *work, SxRewarded *out, SxError *err) {
    RewardedJob job = {.work = work, .reward = reward, .out = out};
    SxStatus status = sx_lineup_model_build(problem, NULL, &job.model, err);
    if (status != SX_OK) {
        return status;
    }
    memset(out, 0, sizeof *out);
    status = sx_solver_run(solve_rewarded, &job, &job.model->mip, err);
    sx_lineup_model_free(job.model);
    return status;
}
