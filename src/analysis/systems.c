/* The same team under several playing systems: the best lineup of each, side by side. */
#include "sixturn/systems.h"

#include "analysis/parallel.h"
#include "sixturn/bestset.h"
#include "sixturn/kept.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

typedef struct {
    const SxPlan *plan;
    const SxWork *work;
    SxSystemSet *set;
} Building;

static SxStatus build_table(void *context, int index, SxError *err) {
    Building *building = context;
    SxSystemEntry *entry = &building->set->entry[index];
    return sx_plan_formation_table(building->plan, &entry->system, building->work, &entry->table,
                                   err);
}

SxStatus sx_systems_load(const SxPlan *plan, const char *own, bool only_own, const SxWork *run,
                         SxSystemSet *out, SxError *err) {
    memset(out, 0, sizeof *out);
    out->entry = calloc((size_t)sx_system_count() + 1, sizeof *out->entry);
    if (!out->entry) {
        return sx_out_of_memory(err);
    }
    int shipped = -1;
    for (int k = 0; own && k < sx_system_count(); k++) {
        shipped = strcmp(own, sx_system_id(k)) == 0 ? k : shipped;
    }
    SxStatus status = SX_OK;
    if (own && own[0] && (shipped < 0 || only_own)) {
        status = sx_system_load(own, &out->entry[out->count++].system, err);
    } else if (shipped >= 0) {
        out->own = shipped;
    }
    for (int k = 0; status == SX_OK && !only_own && k < sx_system_count(); k++) {
        status = sx_system_load(sx_system_id(k), &out->entry[out->count++].system, err);
    }
    if (status != SX_OK) {
        return status;
    }
    Building building = {plan, run, out};
    SxWork quiet = {.threads = run ? run->threads : 0};
    status = sx_parallel_for(&quiet, out->count, build_table, &building, NULL, err);
    for (int k = 0; k < out->count && status == SX_OK; k++) {
        if (!out->entry[k].table) {
            status = sx_fail(err, SX_OUT_OF_TIME,
                             "not all formations were worked out within the time limit");
        }
    }
    return status;
}

void sx_systems_free(SxSystemSet *set) {
    for (int k = 0; k < set->count; k++) {
        sx_formation_table_free(set->entry[k].table);
    }
    free(set->entry);
    set->entry = NULL;
    set->count = 0;
}

SxProblem sx_problem_under(const SxProblem *problem, const SxSystemEntry *entry) {
    SxProblem other = *problem;
    other.system = &entry->system;
    other.table = entry->table;
    return other;
}

SxSubstitutionNeed sx_substitution_need(const SxRules *rules, const SxLineup *lineup) {
    SxSubstitutionNeed need = {.a_cycle = sx_substitutions_per_cycle(lineup),
                               .allowed = rules->substitutions,
                               .cycles = INFINITY};
    if (need.a_cycle == 0) {
        return need;
    }
    if (rules->substitutions != SX_UNLIMITED) {
        need.cycles = (double)rules->substitutions / need.a_cycle;
    }
    /* Each pair changes out and back once only. */
    if (rules->reentry == SX_REENTRY_ONCE_SAME_SUBSTITUTE) {
        need.cycles = fmin(need.cycles, 1);
    }
    return need;
}

typedef struct {
    const SxProblem *problem;
    const SxSystemSet *set;
    SxSystemBest *out;
    SxWork alone;
} Comparing;

static SxStatus solve_one(void *context, int index, SxError *err) {
    Comparing *c = context;
    SxSystemBest *best = &c->out[index];
    SxProblem problem = sx_problem_under(c->problem, &c->set->entry[index]);
    SxStatus status = sx_best_lineup(&problem, &c->alone, &best->lineup, err);
    best->possible = status == SX_OK;
    best->done = status == SX_NO || (best->possible && best->lineup.proof != SX_FEASIBLE);
    if (status == SX_NO) {
        snprintf(best->why, sizeof best->why, "%s", err->message);
        return SX_OK;
    }
    if (status == SX_OK) {
        best->bound = best->done ? sx_value(&problem, &best->lineup)
                                 : fmin(best->bound, sx_value_open(&problem, &best->lineup));
        best->need = sx_substitution_need(problem.rules, &best->lineup);
        status = sx_makeup(&problem, &best->lineup, best->column, err);
    }
    return status;
}

static SxStatus bound_one(void *context, int index, SxError *err) {
    const Comparing *c = context;
    const SxProblem problem = sx_problem_under(c->problem, &c->set->entry[index]);
    return sx_value_bound(&problem, &c->out[index].bound, err);
}

SxStatus sx_systems_compare(const SxProblem *problem, const SxSystemSet *set, const SxWork *run,
                            SxSystemBest *out, SxError *err) {
    memset(out, 0, (size_t)set->count * sizeof *out);
    Comparing comparing = {problem, set, out, sx_work_alone(run)};
    SxWork quiet = comparing.alone;
    quiet.threads = run ? run->threads : 0;
    for (int k = 0; k < set->count; k++) {
        out[k].bound = INFINITY;
    }
    SxStatus status = sx_parallel_for(&quiet, set->count, bound_one, &comparing, NULL, err);
    return status == SX_OK ? sx_parallel_for(run, set->count, solve_one, &comparing, NULL, err)
                           : status;
}
