/* The match-day part of a plan: slip, libero steps, substitutions. */
#include "report/matchday.h"

#include "core/jsonwrite.h"
#include "report/lines.h"

#include "sixturn/sentences.h"
#include "sixturn/slip.h"

#include <math.h>
#include <string.h>

enum { LINE = 200 };

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
    fputs("\nLibero, once round the six rotations (each change with a rally between)\n", out);
    for (int k = 0; k < steps->count; k++) {
        char line[LINE];
        sx_lines_wrap(
            out, 2, 4,
            sx_libero_step_text(&steps->step[k], lineup, problem->team, line, sizeof line));
    }
}

/* Who plays on once the changes end. */
static void text_after(FILE *out, const SxProblem *problem, const SxAfterLimit *after) {
    if (!after->found) {
        return;
    }
    fputs("  Once they end these play on, in their serving order:", out);
    for (int s = 0; s < SX_SLOTS; s++) {
        fprintf(out, " #%d", shirt(problem, after->six[(s + after->turn) % SX_SLOTS]));
    }
    fprintf(out, "\n  (these six alone win %.1f sets of 100)\n", 100 * after->win);
}

static void text_changes(FILE *out, const SxProblem *problem, const SxMatchDay *day) {
    const SxChanges *changes = &day->changes;
    if (!changes->per_cycle) {
        return;
    }
    fprintf(out, "\nSubstitutions: %d in six rotations", changes->per_cycle);
    if (problem->rules->substitutions == SX_UNLIMITED) {
        fputs(", without limit\n", out);
    } else {
        fprintf(out, ", %d allowed in a set\n", problem->rules->substitutions);
    }
    if (day->after.found) {
        fputs("  Which of these to make is said below the serving order.\n", out);
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
        char times[SX_ORDINAL_SIZE];
        fprintf(out, "  Into rotation %d, %s time round: no more (%s).\n",
                changes->end_rotation + 1, sx_ordinal(changes->end_cycle + 1, times, sizeof times),
                changes->end == SX_ENDS_LIMIT ? "the limit of the set"
                                              : "a starter may return once");
        text_after(out, problem, &day->after);
    }
}

void sx_matchday_text(FILE *out, const SxProblem *problem, const SxLineup *lineup,
                      const SxMatchDay *day) {
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
    cJSON *object = sx_put_object(root, "slip");
    for (int position = 1; position <= SX_POSITIONS; position++) {
        sx_put_number(object, sx_roman(position), slip.number[position - 1]);
    }
    sx_put(object, "liberos", cJSON_CreateIntArray(slip.liberos, slip.libero_count));
}

static void json_steps(cJSON *root, const SxProblem *problem, const SxLineup *lineup,
                       const SxLiberoSteps *steps) {
    static const char *const kinds[] = {"in", "out", "change", "go"};
    cJSON *list = sx_put_array(root, "libero_steps");
    for (int k = 0; k < steps->count; k++) {
        const SxLiberoStep *step = &steps->step[k];
        cJSON *item = sx_push_object(list);
        sx_put_number(item, "rotation", step->rotation + 1);
        sx_put_text(item, "phase", step->phase == SX_SERVE ? "serve" : "receive");
        sx_put_text(item, "step", kinds[step->kind]);
        sx_put_text(item, "libero", id_of(problem, lineup->liberos[step->libero]));
        sx_put_text(item, "player",
                    id_of(problem, sx_slot_player(lineup, step->rotation, step->slot)));
        sx_put_bool(item, "forced", step->forced);
        sx_put_bool(item, "serves", step->serves);
    }
}

static void json_changes(cJSON *root, const SxProblem *problem, const SxMatchDay *day) {
    const SxChanges *changes = &day->changes;
    cJSON *object = sx_put_object(root, "substitutions");
    sx_put_number(object, "per_cycle", changes->per_cycle);
    cJSON *list = sx_put_array(object, "planned");
    for (int k = 0; k < changes->count; k++) {
        cJSON *item = sx_push_object(list);
        sx_put_number(item, "cycle", changes->change[k].cycle + 1);
        sx_put_number(item, "rotation", changes->change[k].rotation + 1);
        sx_put_text(item, "out", id_of(problem, changes->change[k].out));
        sx_put_text(item, "in", id_of(problem, changes->change[k].in));
    }
    if (!day->after.found) {
        return;
    }
    cJSON *after = sx_put_object(object, "after_the_limit");
    sx_put_number(after, "substitutions_made", day->after.changes);
    sx_put_text(after, "system", day->after.system);
    sx_put_number(after, "win", day->after.win);
    cJSON *order = sx_put_array(after, "order");
    for (int s = 0; s < SX_SLOTS; s++) {
        int slot = (s + day->after.turn) % SX_SLOTS;
        sx_push(order, cJSON_CreateString(id_of(problem, day->after.six[slot])));
    }
}

void sx_matchday_json(cJSON *root, const SxProblem *problem, const SxLineup *lineup,
                      const SxMatchDay *day) {
    json_slip(root, problem, lineup);
    json_steps(root, problem, lineup, &day->steps);
    json_changes(root, problem, day);
}
