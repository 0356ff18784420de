/* The cheapest different shapes of a rotation. Every shape is a request of its own (its lanes, its
 * sides, and whom the setter hides behind), solved against what the last of the list so far leaves
 * to beat. */
#include "model/formation_job.h"

#include <stdlib.h>
#include <string.h>

typedef struct {
    Job job; /* first, so that a job leads back to its list */
    SxFormationShape *shape;
    int most, count;
} List;

static int64_t to_beat(const List *list) {
    return list->count < list->most
               ? INT64_MAX
               : (int64_t)(list->shape[list->most - 1].total * GRAINS_A_METRE + 0.5);
}

static void enter(List *list, const SxFormationShape *shape) {
    int k = list->count < list->most ? list->count++ : list->most - 1;
    while (k > 0 && list->shape[k - 1].total > shape->total) {
        list->shape[k] = list->shape[k - 1];
        k--;
    }
    list->shape[k] = *shape;
}

static void solve_shape(List *list, int hides) {
    Job *job = &list->job;
    int64_t cost = 0, away = sx_job_away(job), limit = to_beat(list);
    int spot[AXES][SX_POSITIONS];
    job->request.hides = hides;
    sx_program_make(&job->request, &job->program);
    int64_t cutoff = limit == INT64_MAX ? INT64_MAX : limit - away;
    if (cutoff > 0 && sx_program_solve(&job->program, cutoff, spot, &cost)) {
        SxFormationShape shape;
        memset(&shape, 0, sizeof shape);
        shape.formation.passers = job->passers;
        sx_job_describe(&job->request, spot, &shape.formation);
        shape.formation.optimal = true;
        shape.formation.cost = shape.formation.bound = (double)cost / GRAINS_A_METRE;
        shape.total = (double)(cost + away) / GRAINS_A_METRE;
        shape.hides_behind = hides >= 0 ? sx_slot_at(hides + 1, job->request.rotation) : -1;
        enter(list, &shape);
    }
}

/* All ways in which the setter can hide, for one set of lanes and sides. */
static void solve_hidings(Job *job) {
    List *list = (List *)job;
    int setter = job->request.system->setter_slot[job->request.rotation];
    bool may_hide =
        sx_slot_row(setter, job->request.rotation) == SX_BACK && !(job->passers >> setter & 1);
    solve_shape(list, may_hide ? HIDES_OPEN : HIDES_FREE);
    for (int place = 1; may_hide && place < SX_POSITIONS; place++) {
        if (sx_row_of(place + 1) == SX_FRONT && job->request.lane[place] < 0) {
            solve_shape(list, place);
        }
    }
}

static SxStatus solve_all(List *list, unsigned sizes, unsigned may_pass, SxError *err) {
    SxStatus status = SX_OK;
    for (unsigned mask = 1; mask < SX_MASKS && status == SX_OK; mask++) {
        if ((mask & ~may_pass) == 0 && sizes >> sx_count_members(mask) & 1) {
            status = sx_job_passers(&list->job, mask, err);
            if (status == SX_OK) {
                sx_job_try_all(&list->job);
            }
        }
    }
    return status;
}

SxStatus sx_formation_alternatives(const SxSystem *system, int rotation, unsigned sizes,
                                   unsigned may_pass, const SxFormationOptions *options,
                                   SxFormationShape shapes[], int most, int *count, SxError *err) {
    *count = 0;
    if (most < 1 || most > SX_MAX_SHAPES) {
        return sx_fail(err, SX_USAGE, "%d shapes; 1 to %d are allowed", most, SX_MAX_SHAPES);
    }
    List *list = malloc(sizeof *list);
    if (!list) {
        return sx_out_of_memory(err);
    }
    SxStatus status = sx_job_open(&list->job, system, rotation, SX_RECEIVE, options, err);
    if (status == SX_OK) {
        list->job.each = solve_hidings;
        list->shape = shapes;
        list->most = most;
        list->count = 0;
        status = solve_all(list, sizes, may_pass, err);
        *count = status == SX_OK ? list->count : 0;
    }
    free(list);
    return status;
}
