/* Bounds for every order by the relaxation's reduced costs, and the program with rewards. */
#include "sixturn/program.h"

#include "model/lineup_model.h"

#include <math.h>
#include <string.h>

/* What the simplex method's tolerances may cost over all columns. */
static const double BOUND_SLACK = 1e-4;

static SxStatus out_of_time(SxError *err) {
    return sx_fail(err, SX_OUT_OF_TIME, "the time was up before a lineup program was solved");
}

/* --- bounds for every order ---------------------------------------------------------------------
 *
 * A nonbasic column at its lower bound costs its reduced cost when it is taken; one at its upper
 * bound costs it when it is left. Both are at most 0 for a maximum, and so is all that is left out
 * here: the sum stays an upper bound. With a place come others of which one must be taken: in each
 * situation of the back row the player herself or a libero, and where she attacks, one of the
 * attack classes. */

/* What taking a column adds, where the base is that of leaving it. */
static double taken(const LineupModel *model, int column) {
    return column ? glp_get_col_dual(model->mip, column) : 0;
}

/* What leaving it takes from the optimum of the relaxation. */
static double left(const LineupModel *model, int column) {
    return column && glp_get_col_stat(model->mip, column) == GLP_NU
               ? glp_get_col_dual(model->mip, column)
               : 0;
}

static double attack_taken(const LineupModel *model, int p, int s, int r) {
    const int first = model->attacks[p][s][r];
    double most = first ? taken(model, first) : 0;
    for (int g = 1; first && g < model->attack_classes[s][r]; g++) {
        most = fmax(most, taken(model, first + g));
    }
    return most;
}

static double attack_left(const LineupModel *model, int p, int s, int r) {
    const int first = model->attacks[p][s][r];
    double sum = 0;
    for (int g = 0; first && g < model->attack_classes[s][r]; g++) {
        sum += left(model, first + g);
    }
    return sum;
}

/* Her own column in a situation, where it is not that of the place. */
static int own_column(const LineupModel *model, int p, int s, int r, int phase) {
    const int column = model->self[p][s][r][phase];
    return column == model->fills[p][s][SX_BACK] ? 0 : column;
}

/* She or a libero, whoever costs less. */
static double situation_taken(const LineupModel *model, int p, int s, int r, int phase) {
    double most = taken(model, own_column(model, p, s, r, phase));
    most += phase == SX_RECEIVE ? attack_taken(model, p, s, r) : 0;
    for (int l = 0; l < model->problem->team->player_count; l++) {
        const int column = model->in[l][s][r][phase];
        most = column ? fmax(most, taken(model, column)) : most;
    }
    return most;
}

/* What comes with a row of a slot. */
static double row_taken(const LineupModel *model, int p, int s, SxRow row) {
    double sum = 0;
    for (int r = 0; r < SX_ROTATIONS; r++) {
        if (sx_slot_row(s, r) != row) {
            continue;
        }
        if (row == SX_FRONT) {
            sum += attack_taken(model, p, s, r);
        }
        for (int phase = 0; row == SX_BACK && phase < SX_PHASES; phase++) {
            sum += situation_taken(model, p, s, r, phase);
        }
    }
    return sum;
}

static double slot_left(const LineupModel *model, int p, int s) {
    double sum = 0;
    for (int r = 0; r < SX_ROTATIONS; r++) {
        sum += attack_left(model, p, s, r);
        for (int phase = 0; phase < SX_PHASES; phase++) {
            sum += left(model, own_column(model, p, s, r, phase));
            sum += left(model, model->in[p][s][r][phase]);
        }
    }
    return sum;
}

/* The rewards that a place may bring; a player who may be a libero may have hers without. */
static double reward_taken(const LineupModel *model, int p, int room) {
    const int column = model->named[p] ? 0 : model->counted[p];
    const double most = column ? glp_get_col_ub(model->mip, column) : 0;
    return left(model, column) * fmin(most, room);
}

static void read_player(const LineupModel *model, int p, SxOrderBounds *out) {
    out->base -= reward_taken(model, p, SX_ROTATIONS);
    for (int s = 0; s < SX_SLOTS; s++) {
        const int *fills = model->fills[p][s];
        const bool one = fills[SX_FRONT] == fills[SX_BACK];
        out->base -= slot_left(model, p, s);
        for (int row = 0; row < SX_ROWS; row++) {
            const int column = fills[row];
            out->can[p][s][row] = column != 0;
            if (!column || (row == SX_BACK && one)) {
                continue;
            }
            out->base -= left(model, column);
            out->value[p][s][row] = taken(model, column) + row_taken(model, p, s, (SxRow)row) +
                                    (one ? row_taken(model, p, s, SX_BACK) : 0) +
                                    reward_taken(model, p, one ? SX_ROTATIONS : SX_BACK_TURNS);
        }
    }
}

static void read_bounds(const LineupModel *model, SxOrderBounds *out) {
    out->top = out->base = glp_get_obj_val(model->mip) + BOUND_SLACK;
    for (int p = 0; p < model->problem->team->player_count; p++) {
        read_player(model, p, out);
    }
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
        read_bounds(model, job->out);
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
