/* Where a lineup is settled: which weights its rotations have, and which lineup is the answer. */
#include "session/session.h"

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

SxStatus sx_session_settle(SxSession *session, Bench *bench, bool shares, SxError *err) {
    if (bench->settled || bench->plan.rotation_weight_given) {
        return SX_OK;
    }
    SxPlan everybody = bench->plan;
    SxProblem problem = bench->problem;
    leave_out_wishes(&everybody, bench->out_count, shares);
    problem.plan = &everybody;
    const SxSolveOptions options = {.work = &session->work};
    SxStatus status = sx_forecast(&problem, &options, &session->fixture, &bench->everybody, err);
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
    SxStatus status = sx_forecast(&problem, &options, &session->fixture, &bench->forecast, err);
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
