/* Where a lineup is settled: which weights its rotations have, and which lineup is the answer. */
#include "session/session.h"
#include "sixturn/bestset.h"
#include "sixturn/kept.h"

#include <string.h>

/* The tables in which what is kept has to be. */
static SxStatus apply_kept(SxSession *session, Bench *bench, SxError *err) {
    SxStatus status = SX_OK;
    if (bench->table) {
        status = sx_kept_apply(&bench->plan, &bench->rules, &bench->system, bench->table, err);
    }
    for (int k = 0; k < 2 && bench == &session->bench && status == SX_OK; k++) {
        SxSystemSet *set = &session->systems[k];
        if (session->systems_ready[k]) {
            status = sx_kept_apply(&bench->plan, &bench->rules, &set->entry[set->own].system,
                                   set->entry[set->own].table, err);
        }
    }
    return status;
}

/* Where those stand whose place is kept by player: as in the best lineup without that. */
static SxStatus place_kept(SxSession *session, Bench *bench, SxError *err) {
    bool open = false;
    for (int r = 0; r < SX_ROTATIONS; r++) {
        open |= !sx_kept_is_placed(&bench->plan.kept[r]);
    }
    if (bench->placed || !open) {
        return SX_OK;
    }
    SxForecast before;
    const SxSolveOptions options = {.work = &session->work};
    SxStatus status = bench->problem.against
                          ? sx_best_lineup(&bench->problem, &session->work, &before.lineup, err)
                          : sx_forecast(&bench->problem, &options, &session->fixture, &before, err);
    if (status == SX_OK) {
        status = sx_kept_place(&session->team, &before.lineup, &bench->plan, err);
    }
    if (status == SX_OK) {
        status = apply_kept(session, bench, err);
        bench->placed = status == SX_OK;
    }
    return status;
}

SxStatus sx_session_settle(SxSession *session, Bench *bench, bool shares, SxError *err) {
    SxStatus status = place_kept(session, bench, err);
    if (status != SX_OK) {
        return status;
    }
    if (bench->plan.rotation_weight_given || bench->problem.against ||
        (bench->settled && bench->without_shares == shares)) {
        return SX_OK; /* the chance of a set weighs rotations by itself */
    }
    for (int r = 0; bench->settled && r < SX_ROTATIONS; r++) {
        bench->plan.rotation_weight[r] = 1; /* as before they were settled for another question */
    }
    bench->settled = false;
    SxPlan everybody = bench->plan;
    SxProblem problem = bench->problem;
    everybody.wish_count -= bench->out_count;
    if (shares) {
        sx_plan_drop_wishes(&everybody, SX_MIN_ROTATIONS);
    }
    problem.plan = &everybody;
    const SxSolveOptions options = {.work = &session->work};
    status = sx_forecast(&problem, &options, &session->fixture, &bench->everybody, err);
    if (status == SX_OK) {
        memcpy(bench->plan.rotation_weight, bench->everybody.weight,
               sizeof bench->everybody.weight);
        bench->everybody_known = everybody.wish_count == bench->plan.wish_count;
        bench->settled = true;
        bench->without_shares = shares;
    }
    /* why there is no lineup is told when it is asked for */
    return status == SX_NO ? SX_OK : status;
}

/* Solves with the weights as they are in the plan. */
static SxStatus solve(SxSession *session, Bench *bench, SxError *err) {
    SxPlan settled = bench->plan;
    SxProblem problem = bench->problem;
    settled.rotation_weight_given = true;
    problem.plan = &settled;
    const SxSolveOptions options = {.work = &session->work};
    SxStatus status = sx_forecast(&problem, &options, &session->fixture, &bench->forecast, err);
    if (status == SX_OK && bench->settled) {
        bench->forecast.settled = bench->everybody.settled;
        bench->forecast.rounds = bench->everybody.rounds;
    }
    return status;
}

SxStatus sx_session_foresee(const SxSession *session, const Bench *bench, SxLineup *lineup,
                            SxOutlook *outlook, SxError *err) {
    SxStatus status = sx_lineup_outlook(&bench->problem, lineup, &session->fixture, outlook, err);
    if (status != SX_OK) {
        return status;
    }
    if (lineup->plays_on_open) { /* the search had no time to look at that */
        sx_tell_plays_on(outlook, lineup);
    }
    SxPlan weighed = bench->plan; /* only this lineup: other questions keep the plan's weights */
    SxProblem problem = bench->problem;
    problem.plan = &weighed;
    if (!weighed.rotation_weight_given) {
        memcpy(weighed.rotation_weight, outlook->share, sizeof weighed.rotation_weight);
    }
    sx_lineup_score(&problem, lineup);
    lineup->bound = lineup->score;
    return SX_OK;
}

/* The lineup that wins most sets. */
static SxStatus aim_at_sets(SxSession *session, Bench *bench, SxError *err) {
    SxForecast *forecast = &bench->forecast;
    memset(forecast, 0, sizeof *forecast);
    SxStatus status = sx_best_lineup(&bench->problem, &session->work, &forecast->lineup, err);
    if (status == SX_OK) {
        status = sx_session_foresee(session, bench, &forecast->lineup, &forecast->outlook, err);
    }
    if (status != SX_OK) {
        return status;
    }
    for (int r = 0; r < SX_ROTATIONS; r++) {
        forecast->weight[r] = forecast->lineup.rotation[r].weight;
    }
    forecast->rounds = 1;
    forecast->settled = true;
    return SX_OK;
}

SxStatus sx_session_lineup(SxSession *session, Bench *bench, SxError *err) {
    SxStatus status = sx_session_settle(session, bench, false, err);
    if (status != SX_OK || bench->known) {
        return status;
    }
    if (bench->problem.against) {
        status = aim_at_sets(session, bench, err);
    } else if (bench->everybody_known) {
        bench->forecast = bench->everybody;
    } else {
        status = solve(session, bench, err);
    }
    if (status == SX_OK && bench->plan.start < 0) {
        bench->forecast.lineup.start = bench->forecast.outlook.start[SX_RECEIVE];
    }
    if (status == SX_OK) {
        status = sx_kept_stands(&session->team, &bench->plan, &bench->forecast.lineup, err);
    }
    bench->known = status == SX_OK;
    return status;
}
