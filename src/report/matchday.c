/* The match-day part of a plan: slip, libero steps, substitutions, release runs. */
#include "report/matchday.h"

#include "report/lines.h"

#include "sixturn/slip.h"

#include <math.h>
#include <string.h>

enum { LINE = 200 };

bool matchday_make(const SxProblem *problem, const SxLineup *lineup, MatchDay *day) {
    SxError err;
    SxLiberoPlan plan;
    sx_libero_plan(lineup, problem->rules, &plan);
    sx_libero_steps(&plan, lineup->start, SX_RECEIVE, &day->steps);
    return sx_changes(&lineup->order, lineup->start, problem->rules, &day->changes, &err) ==
               SX_OK &&
           sx_after_limit(problem, lineup, &day->changes, &day->after, &err) == SX_OK;
}

/* --- runs ---------------------------------------------------------------------------------------
 */

/* The setter must be there when the pass is, everybody else when the set is; at our own serve all
 * must be at base when the ball comes back, which takes about as long. */
static double time_given(const SxProblem *problem, int rotation, SxPhase phase, int slot) {
    SxBallTimes times;
    sx_ball_times_default(&times);
    bool sets = phase == SX_RECEIVE && slot == problem->system->setter_slot[rotation];
    return times.serve + times.pass + (sets ? 0 : times.set);
}

Run matchday_run(const SxProblem *problem, int rotation, SxPhase phase,
                 const SxFormation *formation, int slot) {
    SxMovement movement;
    sx_movement_default(&movement);
    SxSpot task = sx_task_spot(problem->system, rotation, slot, phase);
    SxSpot base = sx_task_spot(problem->system, rotation, slot, SX_SERVE);
    Run run = {.task = formation->run[slot], .base = sx_distance(task, base)};
    run.task_time = sx_run_time(&movement, run.task);
    run.base_time = sx_run_time(&movement, run.base);
    run.given = time_given(problem, rotation, phase, slot);
    run.late = run.task_time > run.given;
    return run;
}

int matchday_crossings(const SxProblem *problem, int rotation, SxPhase phase,
                       const SxFormation *formation, SxCrossing out[SX_MAX_CROSSINGS]) {
    SxMovement movement;
    SxSpot to[SX_SLOTS];
    sx_movement_default(&movement);
    for (int s = 0; s < SX_SLOTS; s++) {
        to[s] = sx_task_spot(problem->system, rotation, s, phase);
    }
    return sx_run_crossings(&movement, formation->spot, to, SX_CROSSING_ROOM, out);
}

/* --- text ---------------------------------------------------------------------------------------
 */

static int shirt(const SxProblem *problem, int player) {
    return problem->team->players[player].number;
}

static void text_libero(FILE *out, const SxProblem *problem, const SxLineup *lineup,
                        const SxLiberoSteps *steps) {
    if (!steps->count) {
        return;
    }
    fputs("\nLibero, over one cycle (each change with a rally between)\n", out);
    for (int k = 0; k < steps->count; k++) {
        char line[LINE];
        lines_wrap(out, 2, 4,
                   sx_libero_step_text(&steps->step[k], lineup, problem->team, line, sizeof line));
    }
}

static void text_after(FILE *out, const SxProblem *problem, const SxAfterLimit *after) {
    if (!after->found) {
        return;
    }
    fprintf(out, "  Then stay with the six after substitution %d and play on as %s:\n   ",
            after->changes, after->system);
    for (int s = 0; s < SX_SLOTS; s++) {
        fprintf(out, " #%d", shirt(problem, after->six[(s + after->turn) % SX_SLOTS]));
    }
    fprintf(out, " (%.2f points%s", after->score, isfinite(after->other) ? "" : ").\n");
    if (isfinite(after->other)) {
        fprintf(out, "; %.2f at the other moment to stop).\n", after->other);
    }
}

static void text_changes(FILE *out, const SxProblem *problem, const MatchDay *day) {
    const SxChanges *changes = &day->changes;
    if (!changes->per_cycle) {
        return;
    }
    fprintf(out, "\nSubstitutions: %d a cycle of six rotations", changes->per_cycle);
    if (problem->rules->substitutions == SX_UNLIMITED) {
        fputs(", without limit\n", out);
    } else {
        fprintf(out, ", %d allowed in a set\n", problem->rules->substitutions);
    }
    for (int k = 0; k < changes->count && changes->change[k].cycle == 0; k++) {
        char line[LINE];
        fprintf(out, "  %d. %s\n", k + 1,
                sx_change_text(&changes->change[k], problem->team, line, sizeof line));
    }
    if (changes->count && changes->change[changes->count - 1].cycle > 0) {
        fprintf(out, "  and so on round, %d in all.\n", changes->count);
    }
    if (changes->end != SX_ENDS_NEVER) {
        fprintf(out, "  Cycle %d, into rotation %d: no more (%s).\n", changes->end_cycle + 1,
                changes->end_rotation + 1,
                changes->end == SX_ENDS_LIMIT ? "the limit of the set"
                                              : "a starter may come back only once");
        text_after(out, problem, &day->after);
    }
}

void matchday_text(FILE *out, const SxProblem *problem, const SxLineup *lineup,
                   const MatchDay *day) {
    SxSlip slip;
    char text[SX_SLIP_SIZE];
    sx_slip(lineup, problem->team, &slip);
    fprintf(out, "\n%s", sx_slip_text(&slip, problem->team->name, text, sizeof text));
    text_libero(out, problem, lineup, &day->steps);
    text_changes(out, problem, day);
}

/* --- JSON ---------------------------------------------------------------------------------------
 */

static const char *id_of(const SxProblem *problem, int player) {
    return problem->team->players[player].id;
}

static void json_slip(cJSON *root, const SxProblem *problem, const SxLineup *lineup) {
    SxSlip slip;
    sx_slip(lineup, problem->team, &slip);
    cJSON *object = cJSON_AddObjectToObject(root, "slip");
    for (int position = 1; position <= SX_POSITIONS; position++) {
        cJSON_AddNumberToObject(object, sx_roman(position), slip.number[position - 1]);
    }
    cJSON_AddItemToObject(object, "liberos", cJSON_CreateIntArray(slip.liberos, slip.libero_count));
}

static void json_steps(cJSON *root, const SxProblem *problem, const SxLineup *lineup,
                       const SxLiberoSteps *steps) {
    static const char *const kinds[] = {"in", "out", "change", "go"};
    cJSON *list = cJSON_AddArrayToObject(root, "libero_steps");
    for (int k = 0; k < steps->count; k++) {
        const SxLiberoStep *step = &steps->step[k];
        cJSON *item = cJSON_CreateObject();
        cJSON_AddItemToArray(list, item);
        cJSON_AddNumberToObject(item, "rotation", step->rotation + 1);
        cJSON_AddStringToObject(item, "phase", step->phase == SX_SERVE ? "serve" : "receive");
        cJSON_AddStringToObject(item, "step", kinds[step->kind]);
        cJSON_AddStringToObject(item, "libero", id_of(problem, lineup->liberos[step->libero]));
        cJSON_AddStringToObject(item, "player",
                                id_of(problem, sx_slot_player(lineup, step->rotation, step->slot)));
        cJSON_AddBoolToObject(item, "forced", step->forced);
        cJSON_AddBoolToObject(item, "serves", step->serves);
    }
}

static void json_changes(cJSON *root, const SxProblem *problem, const MatchDay *day) {
    const SxChanges *changes = &day->changes;
    cJSON *object = cJSON_AddObjectToObject(root, "substitutions");
    cJSON_AddNumberToObject(object, "per_cycle", changes->per_cycle);
    cJSON *list = cJSON_AddArrayToObject(object, "planned");
    for (int k = 0; k < changes->count; k++) {
        cJSON *item = cJSON_CreateObject();
        cJSON_AddItemToArray(list, item);
        cJSON_AddNumberToObject(item, "cycle", changes->change[k].cycle + 1);
        cJSON_AddNumberToObject(item, "rotation", changes->change[k].rotation + 1);
        cJSON_AddStringToObject(item, "out", id_of(problem, changes->change[k].out));
        cJSON_AddStringToObject(item, "in", id_of(problem, changes->change[k].in));
    }
    if (!day->after.found) {
        return;
    }
    cJSON *after = cJSON_AddObjectToObject(object, "after_the_limit");
    cJSON_AddNumberToObject(after, "substitutions_made", day->after.changes);
    cJSON_AddStringToObject(after, "system", day->after.system);
    cJSON_AddNumberToObject(after, "score", day->after.score);
    cJSON *order = cJSON_AddArrayToObject(after, "order");
    for (int s = 0; s < SX_SLOTS; s++) {
        int slot = (s + day->after.turn) % SX_SLOTS;
        cJSON_AddItemToArray(order, cJSON_CreateString(id_of(problem, day->after.six[slot])));
    }
}

void matchday_json(cJSON *root, const SxProblem *problem, const SxLineup *lineup,
                   const MatchDay *day) {
    json_slip(root, problem, lineup);
    json_steps(root, problem, lineup, &day->steps);
    json_changes(root, problem, day);
}
