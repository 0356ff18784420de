/* How much the team loses without each player, or without two of them.
 *
 * A lineup that is best without some players and does not use others either is also best without
 * those: so most cases need no program of their own. */
#include "sixturn/absent.h"

#include "analysis/bestabove.h"
#include "analysis/parallel.h"
#include "sixturn/bestset.h"
#include "sixturn/prices.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* A system must be better by more than this to be named. */
static const double CLEARLY = 1e-6;

typedef struct {
    bool known, possible;
    SxLineup lineup;
} Answer;

typedef struct {
    const SxProblem *problem;
    const SxSystemSet *systems;
    SxWork alone; /* for what runs on one of several threads */
    SxAbsence *item;
    int count;
    Answer *single; /* [SX_MAX_PLAYERS]: the best lineup without one player */
    SxLineup best;
    SxProblem even;      /* the problem with all rotations counting alike */
    bool same_weights;   /* they do already */
    SxSystemBest *under; /* the best lineup with everybody, by system */
    int *todo;           /* cases, or players, to be solved in parallel */
    int better_system;   /* with everybody */
    double system_gain;
    int solved;
} Work;

typedef struct {
    int player[SX_TOGETHER];
} Group;

/* Players up to the first nobody, and nobody after them. */
static Group group_of(const int *players) {
    Group group;
    bool more = true;
    for (int k = 0; k < SX_TOGETHER; k++) {
        more = more && players[k] >= 0;
        group.player[k] = more ? players[k] : SX_NOBODY;
    }
    return group;
}

static Group alone(int player) {
    return group_of((int[SX_TOGETHER]){player, SX_NOBODY});
}

static bool is_out(const int *players, int player) {
    for (int k = 0; k < SX_TOGETHER && player >= 0; k++) {
        if (players[k] == player) {
            return true;
        }
    }
    return false;
}

static bool asks_for(const SxWish *wish, const int *players) {
    switch (wish->kind) {
    case SX_MUST_PLAY:
    case SX_MUST_SET:
    case SX_FIXED_SLOT:
    case SX_MIN_ROTATIONS:
    case SX_LIBERO_FOR:
        return is_out(players, wish->player);
    case SX_OPPOSITE_PAIR:
        return is_out(players, wish->player) || is_out(players, wish->other);
    case SX_MUST_SIT:
    case SX_NOT_ADJACENT:
    case SX_NEVER_PASSES:
    case SX_ALWAYS_PASSES:
    case SX_NOT_FRONT_ROW:
    case SX_NOT_BACK_ROW:
    case SX_MAX_SUBSTITUTIONS:
    case SX_WISH_KINDS:
        break;
    }
    return false;
}

/* Would the plan without these players be another one than with them sitting? */
static bool must_lift(const SxPlan *plan, const int *players) {
    for (int k = 0; k < plan->wish_count; k++) {
        if (asks_for(&plan->wishes[k], players)) {
            return true;
        }
    }
    return false;
}

static SxStatus plan_without(const SxPlan *plan, const int *players, SxPlan *out, SxError *err) {
    *out = *plan;
    out->wish_count = 0;
    for (int k = 0; k < plan->wish_count; k++) {
        if (!asks_for(&plan->wishes[k], players)) {
            out->wishes[out->wish_count++] = plan->wishes[k];
        }
    }
    for (int k = 0; k < SX_TOGETHER; k++) {
        if (players[k] < 0) {
            continue;
        }
        SxStatus status = sx_plan_wish(out, SX_MUST_SIT, players[k], -1, 0, "absent", err);
        if (status != SX_OK) {
            return status;
        }
    }
    return SX_OK;
}

/* Only a lineup worth more than `beat` counts. */
static SxStatus solve_without(const SxProblem *problem, const SxWork *work, const int *players,
                              double beat, bool *possible, SxLineup *lineup, SxError *err) {
    SxPlan *plan = malloc(sizeof *plan);
    if (!plan) {
        return sx_out_of_memory(err);
    }
    SxStatus status = plan_without(problem->plan, players, plan, err);
    if (status == SX_OK) {
        SxProblem without = *problem;
        without.plan = plan;
        status = sx_only_proven(sx_best_above(&without, beat, work, lineup, err), lineup, err);
        *possible = status == SX_OK;
        status = status == SX_NO ? SX_OK : status;
    }
    free(plan);
    return status;
}

/* --- one player out -----------------------------------------------------------------------------
 */

static SxStatus solve_single(void *context, int index, SxError *err) {
    Work *work = context;
    int p = work->todo[index];
    Answer *answer = &work->single[p];
    SxStatus status = solve_without(work->problem, &work->alone, alone(p).player, -INFINITY,
                                    &answer->possible, &answer->lineup, err);
    answer->known = status == SX_OK;
    return status;
}

static SxStatus solve_singles(Work *work, const SxWork *run, SxError *err) {
    bool wanted[SX_MAX_PLAYERS] = {false};
    for (int k = 0; k < work->count; k++) {
        for (int side = 0; side < SX_TOGETHER; side++) {
            if (work->item[k].player[side] >= 0) {
                wanted[work->item[k].player[side]] = true;
            }
        }
    }
    int count = 0;
    for (int p = 0; p < work->problem->team->player_count; p++) {
        if (!wanted[p]) {
            continue;
        }
        if (sx_lineup_has(&work->best, p) || must_lift(work->problem->plan, alone(p).player)) {
            work->todo[count++] = p;
        } else {
            work->single[p] = (Answer){true, true, work->best};
        }
    }
    work->solved += count;
    return sx_parallel_for(run, count, solve_single, work, NULL, err);
}

/* --- cases --------------------------------------------------------------------------------------
 */

static SxStatus take(Work *work, SxAbsence *item, bool possible, const SxLineup *lineup,
                     SxError *err) {
    item->possible = possible;
    item->loss = INFINITY;
    if (possible) {
        item->lineup = *lineup;
        item->loss = sx_value(work->problem, &work->best) - sx_value(work->problem, lineup);
        SxStatus status =
            sx_difference(work->problem, &work->best, &item->lineup, &item->difference, err);
        if (status != SX_OK) {
            return status;
        }
    }
    item->done = true;
    return SX_OK;
}

static SxStatus solve_together(void *context, int index, SxError *err) {
    Work *work = context;
    SxAbsence *item = &work->item[work->todo[index]];
    SxLineup lineup;
    bool possible = false;
    SxStatus status = solve_without(work->problem, &work->alone, item->player, -INFINITY, &possible,
                                    &lineup, err);
    return status == SX_OK ? take(work, item, possible, &lineup, err) : status;
}

/* Whether the answer without one of a group holds without all of them. */
static bool holds_for(const Work *work, const Answer *answer, int gone, const int *players) {
    for (int k = 0; k < SX_TOGETHER; k++) {
        int also = players[k];
        if (also >= 0 && also != gone &&
            ((answer->possible && sx_lineup_has(&answer->lineup, also)) ||
             must_lift(work->problem->plan, alone(also).player))) {
            return false;
        }
    }
    return true;
}

/* The answer to a case that follows from single players; *open if it needs a program. */
static SxStatus follow(Work *work, SxAbsence *item, bool *open, SxError *err) {
    *open = false;
    for (int side = 0; side < SX_TOGETHER; side++) {
        int gone = item->player[side];
        if (gone < 0) {
            continue;
        }
        const Answer *answer = &work->single[gone];
        if (!answer->known) {
            return SX_OK; /* stopped: left undone */
        }
        if (holds_for(work, answer, gone, item->player)) {
            return take(work, item, answer->possible, &answer->lineup, err);
        }
    }
    *open = true;
    return SX_OK;
}

static SxStatus solve_cases(Work *work, const SxWork *run, SxError *err) {
    int count = 0;
    SxStatus status = SX_OK;
    for (int k = 0; k < work->count && status == SX_OK; k++) {
        bool open;
        work->item[k].lifted = must_lift(work->problem->plan, work->item[k].player);
        status = follow(work, &work->item[k], &open, err);
        if (open) {
            work->todo[count++] = k;
        }
    }
    work->solved += count;
    return status == SX_OK ? sx_parallel_for(run, count, solve_together, work, NULL, err) : status;
}

/* What two cost together beyond each of them alone. */
static void set_apart(Work *work) {
    for (int k = 0; k < work->count; k++) {
        SxAbsence *pair = &work->item[k];
        if (!pair->done || pair->player[1] < 0 || pair->player[2] >= 0) {
            continue;
        }
        int found = 0;
        pair->beyond = pair->loss;
        for (int j = 0; j < work->count; j++) {
            const SxAbsence *one = &work->item[j];
            if (one->done && one->possible && one->player[1] < 0 &&
                is_out(pair->player, one->player[0])) {
                pair->beyond -= one->loss;
                found++;
            }
        }
        pair->apart_known = pair->possible && found == 2;
    }
}

/* --- other systems ------------------------------------------------------------------------------
 */

/* -INFINITY unless it is more than `beat`. */
static double value_without(const SxProblem *problem, const SxWork *work, const int *players,
                            double beat, SxError *err, SxStatus *status) {
    bool possible = false;
    SxLineup lineup;
    *status = solve_without(problem, work, players, beat, &possible, &lineup, err);
    return *status == SX_OK && possible ? sx_value(problem, &lineup) : -INFINITY;
}

/* With fixed weights a system that is not better with everybody cannot be better with fewer, unless
 * wishes were lifted. */
static SxStatus try_systems(void *context, int index, SxError *err) {
    Work *work = context;
    SxAbsence *item = &work->item[index];
    if (!item->done) {
        return SX_OK;
    }
    SxStatus status = SX_OK;
    double own = item->possible ? sx_value(work->problem, &item->lineup) : -INFINITY;
    if (!work->same_weights && item->possible) {
        own = value_without(&work->even, &work->alone, item->player, -INFINITY, err, &status);
    }
    double beat = own + CLEARLY;
    for (int k = 0; status == SX_OK && k < work->systems->count; k++) {
        const SxSystemEntry *entry = &work->systems->entry[k];
        const SxSystemBest *with = &work->under[k];
        bool hopeless = !with->possible || sx_value(work->problem, &with->lineup) <= beat;
        if (strcmp(entry->system.id, work->problem->system->id) == 0 || !with->done ||
            (hopeless && !item->lifted)) {
            continue;
        }
        bool same = !item->lifted;
        for (int side = 0; side < SX_TOGETHER; side++) {
            same = same &&
                   (item->player[side] < 0 || !sx_lineup_has(&with->lineup, item->player[side]));
        }
        SxProblem problem = sx_problem_under(&work->even, entry);
        double score =
            same ? sx_value(work->problem, &with->lineup)
                 : value_without(&problem, &work->alone, item->player, beat, err, &status);
        if (score > beat) {
            beat = score;
            item->better_system = k;
            item->system_score = score;
            item->system_gain = score - own;
        }
    }
    return status;
}

static void find_better_with_all(Work *work) {
    double own = -INFINITY;
    for (int k = 0; k < work->systems->count; k++) {
        if (work->under[k].done && work->under[k].possible &&
            strcmp(work->systems->entry[k].system.id, work->problem->system->id) == 0) {
            own = sx_value(work->problem, &work->under[k].lineup);
        }
    }
    double beat = own + CLEARLY;
    for (int k = 0; isfinite(own) && k < work->systems->count; k++) {
        if (work->under[k].done && work->under[k].possible &&
            sx_value(work->problem, &work->under[k].lineup) > beat) {
            beat = sx_value(work->problem, &work->under[k].lineup);
            work->better_system = k;
            work->system_gain = beat - own;
        }
    }
}

static SxStatus try_all_systems(Work *work, SxPlan *even, const SxWork *run, SxError *err) {
    *even = *work->problem->plan;
    work->even = *work->problem;
    work->even.plan = even;
    work->same_weights = true;
    const bool weighed = !even->rotation_weight_given && !work->problem->against;
    for (int r = 0; weighed && r < SX_ROTATIONS; r++) {
        work->same_weights &= even->rotation_weight[r] == even->rotation_weight[0];
        even->rotation_weight[r] = 1;
    }
    SxWork quiet = sx_work_alone(run);
    quiet.threads = run ? run->threads : 0;
    SxStatus status = sx_systems_compare(&work->even, work->systems, &quiet, work->under, err);
    if (status == SX_OK) {
        find_better_with_all(work);
        status = sx_parallel_for(run, work->count, try_systems, work, NULL, err);
    }
    return status;
}

static SxStatus compare_systems(Work *work, const SxWork *run, SxError *err) {
    if (!work->systems || work->systems->count == 0) {
        return SX_OK;
    }
    SxPlan *even = malloc(sizeof *even);
    work->under = calloc((size_t)work->systems->count, sizeof *work->under);
    SxStatus status =
        even && work->under ? try_all_systems(work, even, run, err) : sx_out_of_memory(err);
    free(even);
    return status;
}

/* --- the whole ----------------------------------------------------------------------------------
 */

static int larger_loss(const void *a, const void *b) {
    const SxAbsence *left = a, *right = b;
    if (left->done != right->done) {
        return left->done ? -1 : 1;
    }
    if (left->done && left->loss != right->loss) {
        return left->loss > right->loss ? -1 : 1;
    }
    for (int k = 0; k < SX_TOGETHER; k++) {
        if (left->player[k] != right->player[k]) {
            return left->player[k] - right->player[k];
        }
    }
    return 0;
}

void sx_absences_free(SxAbsences *absences) {
    free(absences->item);
    absences->item = NULL;
    absences->count = 0;
}

static SxStatus run_all(Work *work, const SxWork *run, SxError *err) {
    SxWork first = run ? *run : (SxWork){.threads = 0};
    first.stop = NULL; /* nothing can be told without it */
    first.progress = NULL;
    for (int k = 0; k < work->count; k++) {
        work->item[k].better_system = -1;
    }
    SxStatus status = sx_best_lineup(work->problem, &first, &work->best, err);
    work->solved = 1;
    if (status == SX_OK && work->best.proof == SX_FEASIBLE) {
        return SX_OK; /* what others lose against it is not known */
    }
    if (status == SX_OK) {
        status = solve_singles(work, run, err);
    }
    if (status == SX_OK) {
        status = solve_cases(work, run, err);
    }
    set_apart(work);
    return status == SX_OK ? compare_systems(work, run, err) : status;
}

/* The roles that the lineup needs. */
static unsigned roles_needed(const SxProblem *problem, const SxLineup *lineup) {
    unsigned roles = lineup->libero_count > 0 ? 1u << SX_LIBERO : 0;
    for (int s = 0; s < SX_SLOTS; s++) {
        for (int row = 0; row < SX_ROWS; row++) {
            roles |= 1u << problem->system->duty[s][row].role;
        }
    }
    return roles;
}

/* What would have no cover left on the bench of the best lineup without her. */
static unsigned only_cover(const SxProblem *problem, const SxLineup *lineup, int player) {
    int bench[SX_MAX_PLAYERS];
    const int count = sx_bench_of(problem, lineup, bench);
    unsigned hers = 0, others = 0;
    for (int k = 0; k < count; k++) {
        for (int role = 0; role < SX_ROLE_COUNT; role++) {
            const unsigned bit =
                problem->team->players[bench[k]].fitness[role] > 0 ? 1u << role : 0;
            hers |= bench[k] == player ? bit : 0;
            others |= bench[k] == player ? 0 : bit;
        }
    }
    return hers & ~others & roles_needed(problem, lineup);
}

SxStatus sx_absent(const SxProblem *problem, const SxSystemSet *systems, int (*cases)[SX_TOGETHER],
                   int count, const SxWork *run, SxAbsences *out, SxError *err) {
    memset(out, 0, sizeof *out);
    Work work = {.problem = problem,
                 .systems = systems,
                 .alone = sx_work_alone(run),
                 .count = count,
                 .better_system = -1};
    work.alone.unexplained = true;
    int todo = count > SX_MAX_PLAYERS ? count : SX_MAX_PLAYERS;
    work.item = calloc((size_t)count + 1, sizeof *work.item);
    work.single = calloc(SX_MAX_PLAYERS, sizeof *work.single);
    work.todo = calloc((size_t)todo, sizeof *work.todo);
    SxStatus status = SX_OK;
    if (!work.item || !work.single || !work.todo) {
        status = sx_out_of_memory(err);
    }
    if (status == SX_OK) {
        for (int k = 0; k < count; k++) {
            const Group group = group_of(cases[k]);
            memcpy(work.item[k].player, group.player, sizeof group.player);
        }
        status = run_all(&work, run, err);
    }
    free(work.single);
    free(work.todo);
    free(work.under);
    if (status != SX_OK) {
        free(work.item);
        return status;
    }
    for (int k = 0; k < count; k++) {
        SxAbsence *item = &work.item[k];
        item->only_cover =
            item->player[1] < 0 ? only_cover(problem, &work.best, item->player[0]) : 0;
    }
    qsort(work.item, (size_t)count, sizeof *work.item, larger_loss);
    out->best = work.best;
    out->item = work.item;
    out->count = count;
    out->solved = work.solved;
    out->better_system = work.better_system;
    out->system_gain = work.system_gain;
    return SX_OK;
}
