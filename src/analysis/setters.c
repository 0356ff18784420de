/* Every setter, or every pair of setters, with the best lineup around them. */
#include "sixturn/setters.h"

#include "analysis/parallel.h"
#include "sixturn/bestset.h"
#include "sixturn/eligible.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { MOST_SETTERS = 2 };
/* Of a time limit: where everybody can set there are hundreds of pairs to bound, and a bound is no
 * lineup. */
static const double TIME_TO_BOUND = 1.0 / 3;

typedef struct {
    const SxProblem *problem;
    const SxSystemSet *systems;
    SxSetterChoice *item;
    int count, room;
    SxWork alone;
    int *turn; /* the order in which the choices are solved */
} Work;

/* The places that set in some rotation. */
static int setting_slots(const SxSystem *system, int *slots) {
    int count = 0;
    for (int s = 0; s < SX_SLOTS; s++) {
        for (int r = 0; r < SX_ROTATIONS; r++) {
            if (system->setter_slot[r] == s) {
                slots[count++] = s;
                break;
            }
        }
    }
    return count;
}

static bool can_set(const SxProblem *problem, int player) {
    for (int r = 0; r < SX_ROTATIONS; r++) {
        int slot = problem->system->setter_slot[r];
        if (sx_can_fill(problem, player, slot, sx_slot_row(slot, r))) {
            return true;
        }
    }
    return false;
}

static bool add_choice(Work *work, int system, int one, int other) {
    if (work->count == work->room) {
        int room = work->room ? 2 * work->room : 64;
        SxSetterChoice *grown = realloc(work->item, (size_t)room * sizeof *grown);
        if (!grown) {
            return false;
        }
        work->item = grown;
        work->room = room;
    }
    SxSetterChoice *item = &work->item[work->count++];
    memset(item, 0, sizeof *item);
    item->system = system;
    item->setter[0] = one;
    item->setter[1] = other;
    return true;
}

static bool add_system(Work *work, int index) {
    const SxSystemEntry *entry = &work->systems->entry[index];
    SxProblem problem = sx_problem_under(work->problem, entry);
    int slots[SX_SLOTS];
    int needed = setting_slots(&entry->system, slots);
    int players = work->problem->team->player_count;
    for (int p = 0; needed <= MOST_SETTERS && p < players; p++) {
        if (!can_set(&problem, p)) {
            continue;
        }
        if (needed == 1 && !add_choice(work, index, p, -1)) {
            return false;
        }
        for (int q = p + 1; needed == 2 && q < players; q++) {
            if (can_set(&problem, q) && !add_choice(work, index, p, q)) {
                return false;
            }
        }
    }
    return true;
}

typedef SxStatus Step(const Work *work, const SxProblem *problem, SxSetterChoice *item,
                      SxError *err);

static SxStatus bound(const Work *work, const SxProblem *problem, SxSetterChoice *item,
                      SxError *err) {
    (void)work;
    return sx_value_bound(problem, &item->bound, err);
}

static SxStatus solve(const Work *work, const SxProblem *problem, SxSetterChoice *item,
                      SxError *err) {
    SxStatus status = sx_best_lineup(problem, &work->alone, &item->lineup, err);
    item->possible = status == SX_OK;
    item->done = status == SX_NO || (item->possible && item->lineup.proof != SX_FEASIBLE);
    if (item->possible) {
        item->value = sx_value(problem, &item->lineup);
        item->bound =
            item->done ? item->value : fmin(item->bound, sx_value_open(problem, &item->lineup));
        status = sx_makeup(problem, &item->lineup, item->column, err);
    }
    return status == SX_NO ? SX_OK : status;
}

/* With the wishes that make them the setters. */
static SxStatus take_step(const Work *work, Step *step, SxSetterChoice *item, SxError *err) {
    SxPlan *plan = malloc(sizeof *plan);
    SxStatus status = plan ? SX_OK : sx_out_of_memory(err);
    if (status == SX_OK) {
        *plan = *work->problem->plan;
    }
    for (int k = 0; status == SX_OK && k < MOST_SETTERS && item->setter[k] >= 0; k++) {
        status = sx_plan_wish(plan, SX_MUST_SET, item->setter[k], -1, 0, "setters", err);
    }
    if (status == SX_OK) {
        SxProblem problem = sx_problem_under(work->problem, &work->systems->entry[item->system]);
        problem.plan = plan;
        status = step(work, &problem, item, err);
    }
    free(plan);
    return status;
}

static SxStatus bound_choice(void *context, int index, SxError *err) {
    Work *work = context;
    return take_step(work, bound, &work->item[index], err);
}

static SxStatus solve_choice(void *context, int index, SxError *err) {
    Work *work = context;
    return take_step(work, solve, &work->item[work->turn[index]], err);
}

static bool substitutes(const Work *work, int index) {
    return sx_system_splits(&work->systems->entry[work->item[index].system].system);
}

/* Systems without planned substitutions come first: they take a small part of the time. Then what
 * may be best; what was not bounded in the time comes last. */
static bool comes_before(const Work *work, int a, int b) {
    const bool later = substitutes(work, a);
    const double one = work->item[a].bound, other = work->item[b].bound;
    return later != substitutes(work, b) ? !later
           : isinf(one) || isinf(other)  ? isfinite(one)
                                         : one > other;
}

static SxStatus bound_then_solve(Work *work, const SxWork *run, SxError *err) {
    work->turn = malloc(((size_t)work->count + 1) * sizeof *work->turn);
    if (!work->turn) {
        return sx_out_of_memory(err);
    }
    SxWork quiet = sx_work_alone(run);
    quiet.threads = run ? run->threads : 0;
    if (quiet.deadline > 0) {
        quiet.deadline = sx_clock() + TIME_TO_BOUND * sx_work_left(run);
    }
    for (int k = 0; k < work->count; k++) {
        work->item[k].bound = INFINITY;
    }
    SxStatus status = sx_parallel_for(&quiet, work->count, bound_choice, work, NULL, err);
    for (int k = 0; k < work->count; k++) {
        int at = k;
        while (at > 0 && comes_before(work, k, work->turn[at - 1])) {
            work->turn[at] = work->turn[at - 1];
            at--;
        }
        work->turn[at] = k;
    }
    if (status == SX_OK) {
        status = sx_parallel_for(run, work->count, solve_choice, work, NULL, err);
    }
    free(work->turn);
    return status;
}

static int better_first(const void *a, const void *b) {
    const SxSetterChoice *left = a, *right = b;
    if (left->possible != right->possible) {
        return left->possible ? -1 : 1;
    }
    if (left->possible && left->value != right->value) {
        return left->value > right->value ? -1 : 1;
    }
    if (!left->possible && left->done != right->done) {
        return left->done ? 1 : -1;
    }
    if (!left->done && !right->done && left->bound != right->bound) {
        return left->bound > right->bound ? -1 : 1;
    }
    if (left->system != right->system) {
        return left->system - right->system;
    }
    return left->setter[0] != right->setter[0] ? left->setter[0] - right->setter[0]
                                               : left->setter[1] - right->setter[1];
}

void sx_setters_free(SxSetterChoices *choices) {
    free(choices->item);
    choices->item = NULL;
    choices->count = 0;
}

SxStatus sx_setters(const SxProblem *problem, const SxSystemSet *systems, const SxWork *run,
                    SxSetterChoices *out, SxError *err) {
    memset(out, 0, sizeof *out);
    Work work = {.problem = problem, .systems = systems, .alone = sx_work_alone(run)};
    work.alone.unexplained = true;
    SxStatus status = SX_OK;
    for (int k = 0; status == SX_OK && k < systems->count; k++) {
        status = add_system(&work, k) ? SX_OK : sx_out_of_memory(err);
    }
    if (status == SX_OK && work.count == 0) {
        status = sx_fail(err, SX_NO, "nobody who is available can set");
    }
    if (status == SX_OK) {
        status = bound_then_solve(&work, run, err);
    }
    if (status != SX_OK) {
        free(work.item);
        return status;
    }
    qsort(work.item, (size_t)work.count, sizeof *work.item, better_first);
    out->item = work.item;
    out->count = work.count;
    return SX_OK;
}
