/* What a lineup means on the day of the match. */
#include "sixturn/matchday.h"

#include "sixturn/kept.h"

/* The server stands where the plan says. */
static SxStatus keep_server(const SxProblem *problem, int rotation,
                            const SxFormationOptions *options, SxFormation *out, SxError *err) {
    const SxKept *kept = &problem->plan->kept[rotation];
    SxFormationOptions with;
    SxFormationWishes wishes;
    if (!kept->server_given) {
        return SX_OK;
    }
    sx_formation_default(&with);
    with = options ? *options : with;
    sx_formation_no_wishes(&wishes);
    wishes.fixed[rotation] = true; /* slot r serves in rotation r */
    wishes.spot[rotation] = (SxSpot){kept->server_x, out->spot[rotation].y};
    with.wishes = &wishes;
    return sx_formation_serve(problem->system, problem->rules, rotation, &with, out, err);
}

SxStatus sx_serve_formations(const SxProblem *problem, const SxFormationOptions *options,
                             SxServeFormations *out, SxError *err) {
    for (int r = 0; r < SX_ROTATIONS; r++) {
        SxStatus status =
            sx_formation_serve(problem->system, problem->rules, r, options, &out->at[r], err);
        if (status == SX_OK) {
            status = keep_server(problem, r, options, &out->at[r], err);
        }
        if (status != SX_OK) {
            return status;
        }
    }
    return SX_OK;
}

SxStatus sx_match_day(const SxProblem *problem, const SxLineup *lineup, const SxOutlook *outlook,
                      SxMatchDay *day, SxError *err) {
    SxFormationOptions options;
    SxLiberoPlan plan;
    sx_plan_formation_options(problem->plan, &options);
    sx_libero_plan(lineup, &plan);
    sx_libero_steps(&plan, lineup->start, SX_RECEIVE, &day->steps);
    day->after = outlook->after[SX_RECEIVE];
    day->prices = NULL;
    day->sure = NULL;
    const SxStatus status = sx_serve_formations(problem, &options, &day->serve, err);
    return status == SX_OK
               ? sx_changes(&lineup->order, lineup->start, problem->rules, &day->changes, err)
               : status;
}

/* The setter must be there when the pass is, everybody else when the set is; at our own serve all
 * must be at base when the ball comes back, which takes about as long. */
static double time_given(const SxProblem *problem, int rotation, SxPhase phase, int slot) {
    SxBallTimes times;
    sx_ball_times_default(&times);
    bool sets = phase == SX_RECEIVE && slot == problem->system->setter_slot[rotation];
    return times.serve + times.pass + (sets ? 0 : times.set);
}

SxRun sx_player_run(const SxProblem *problem, int rotation, SxPhase phase,
                    const SxFormation *formation, int slot) {
    SxMovement movement;
    sx_movement_default(&movement);
    SxSpot task = sx_task_spot(problem->system, rotation, slot, phase);
    SxSpot base = sx_task_spot(problem->system, rotation, slot, SX_SERVE);
    SxRun run = {.task = formation->run[slot], .base = sx_distance(task, base)};
    run.task_time = sx_run_time(&movement, run.task);
    run.base_time = sx_run_time(&movement, run.base);
    run.given = time_given(problem, rotation, phase, slot);
    run.late = run.task_time > run.given;
    return run;
}

int sx_meeting_runs(const SxProblem *problem, int rotation, SxPhase phase,
                    const SxFormation *formation, SxCrossing out[SX_MAX_CROSSINGS]) {
    SxMovement movement;
    SxSpot to[SX_SLOTS];
    sx_movement_default(&movement);
    for (int s = 0; s < SX_SLOTS; s++) {
        to[s] = sx_task_spot(problem->system, rotation, s, phase);
    }
    return sx_run_crossings(&movement, formation->spot, to, SX_CROSSING_ROOM, out);
}
