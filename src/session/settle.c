/* Where a lineup is settled: which weights its rotations have, and which lineup is the answer. */
#include "session/session.h"
#include "sixturn/bestset.h"

#include <string.h>

static void leave_out_wishes(SxPlan *plan, int last, bool shares) {
    int kept = 0;
    for (int k = 0; k < plan->wish_count - last; k++) {
        if (!shares || plan->wishes[k].kind != SX_MIN_ROTATIONS) {
            plan->wishes[kept++] = plan->wishes[k];
        }
    }
    plan->wish_count = kept;
}

/* The best lineup for the problem's goal, with its set odds. Where winning sets is the goal, the
 * rotations' weights decide nothing: they stay as the plan has them. */
static SxStatus best(SxSession *session, const SxProblem *problem, const SxSolveOptions *options,
                     SxForecast *out, SxError *err) {
    if (!problem->against) {
        return sx_forecast(problem, options, &session->fixture, out, err);
    }
    SxLineup by_score;
    memset(out, 0, sizeof *out);
    SxStatus status = SX_OK;
    if (options->write_model) { /* the program is that of the score */
        status = sx_lineup_solve(problem, options, &by_score, err);
    }
    if (status == SX_OK) {
        status = sx_best_lineup(problem, options->work, &out->lineup, err);
    }
    if (status == SX_OK) {
        status = sx_lineup_outlook(problem, &out->lineup, &session->fixture, &out->outlook, err);
    }
    for (int r = 0; r < SX_ROTATIONS; r++) {
        out->weight[r] = out->lineup.rotation[r].weight;
    }
    out->rounds = 1;
    out->settled = true;
    return status;
}

SxStatus sx_session_settle(SxSession *session, Bench *bench, bool shares, SxError *err) {
    if (bench->settled || bench->plan.rotation_weight_given) {
        return SX_OK;
    }
    SxPlan everybody = bench->plan;
    SxProblem problem = bench->problem;
    leave_out_wishes(&everybody, bench->out_count, shares);
    problem.plan = &everybody;
    const SxSolveOptions options = {.work = &session->work};
    SxStatus status = best(session, &problem, &options, &bench->everybody, err);
    if (status == SX_OK) {
        memcpy(bench->plan.rotation_weight, bench->everybody.weight,
               sizeof bench->everybody.weight);
        bench->everybody_known = everybody.wish_count == bench->plan.wish_count;
        bench->settled = true;
    }
    /* why there is no lineup is told when it is asked for */
    return status == SX_NO ? SX_OK : status;
}

/* Solves with the weights as they are in the plan. */
static SxStatus solve(SxSession *session, Bench *bench, const char *write_model, SxError *err) {
    SxPlan settled = bench->plan;
    SxProblem problem = bench->problem;
    settled.rotation_weight_given = true;
    problem.plan = &settled;
    const SxSolveOptions options = {.work = &session->work, .write_model = write_model};
    SxStatus status = best(session, &problem, &options, &bench->forecast, err);
    if (status == SX_OK && bench->settled) {
        bench->forecast.settled = bench->everybody.settled;
        bench->forecast.rounds = bench->everybody.rounds;
    }
    return status;
}

SxStatus sx_session_lineup(SxSession *session, Bench *bench, const char *write_model,
                           SxError *err) {
    if (bench->known && !write_model) {
        return SX_OK;
    }
    SxStatus status = sx_session_settle(session, bench, false, err);
    if (status != SX_OK) {
        return status;
    }
    if (bench->everybody_known && !write_model) {
        bench->forecast = bench->everybody;
    } else {
        status = solve(session, bench, write_model, err);
    }
    if (status == SX_OK && bench->plan.start < 0) {
        bench->forecast.lineup.start = bench->forecast.outlook.start[SX_RECEIVE];
    }
    bench->known = status == SX_OK;
    return status;
}
