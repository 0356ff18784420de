/* The relaxation's bounds for every order, and the program with rewards. */
#include "sixturn/program.h"

#include "model/lineup_model.h"

#include <string.h>

static SxStatus out_of_time(SxError *err) {
    return sx_fail(err, SX_OUT_OF_TIME, "the time was up before a lineup program was solved");
}

static void add_rewards(LineupModel *model, const SxRewards *rewards) {
    for (int p = 0; rewards && p < model->problem->team->player_count; p++) {
        if (rewards->points[p] > 0) {
            sx_lineup_model_reward(model, p, rewards->points[p], rewards->most[p]);
        }
    }
}

typedef struct {
    const SxRewards *rewards;
    const SxWork *work;
    SxOrderBounds *out;
} BoundsJob;

static SxStatus solve_relaxation(LineupModel *model, void *data, SxError *err) {
    const BoundsJob *job = data;
    glp_prob *mip = model->mip;
    memset(job->out, 0, sizeof *job->out);
    add_rewards(model, job->rewards);
    int failed = sx_mip_relax(mip, sx_mip_milliseconds(sx_work_left(job->work)));
    int found = glp_get_status(mip);
    if (!failed && found == GLP_OPT) {
        sx_lineup_model_bounds(model, job->out);
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

SxStatus sx_order_bounds(const SxProblem *problem, const SxRewards *rewards, const SxWork *work,
                         SxOrderBounds *out, SxError *err) {
    BoundsJob job = {.rewards = rewards, .work = work, .out = out};
    return sx_lineup_model_run(problem, solve_relaxation, &job, err);
}

typedef struct {
    const SxWork *work;
    const SxRewards *rewards;
    SxRewarded *out;
} RewardedJob;

static SxStatus solve_rewarded(LineupModel *model, void *data, SxError *err) {
    const RewardedJob *job = data;
    memset(job->out, 0, sizeof *job->out);
    add_rewards(model, job->rewards);
    glp_iocp control;
    glp_init_iocp(&control);
    control.msg_lev = GLP_MSG_OFF;
    control.presolve = GLP_ON;
    control.tm_lim = sx_mip_milliseconds(sx_work_left(job->work));
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
    return SX_OK;
}

SxStatus sx_lineup_rewarded(const SxProblem *problem, const SxRewards *rewards, const SxWork *work,
                            SxRewarded *out, SxError *err) {
    RewardedJob job = {.work = work, .rewards = rewards, .out = out};
    return sx_lineup_model_run(problem, solve_rewarded, &job, err);
}
