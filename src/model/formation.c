/* Formations: the questions that are answered by the formation program.
 *
 * The program itself (formation_program.c) holds for one lane for every passer and one set of
 * attack sides; formation_job.c tries all that are allowed. Spots come out as whole centimetres. */
#include "sixturn/formation.h"

#include "model/formation_job.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* --- the answer ---------------------------------------------------------------------------------
 */

static void give_reason(SxFormation *out, int reason) {
    snprintf(out->reason, sizeof out->reason, "%s", sx_job_reasons[reason]);
}

/* Why there is none. */
static void explain(Job *job, SxFormation *out) {
    if (job->sides >= 0 &&
        !sx_sides_are_open(job->request.system, job->request.rotation, job->sides, &job->terms)) {
        give_reason(out, JOB_NO_SIDE);
        return;
    }
    job->request.only_hard = true;
    sx_job_try_all(job);
    if (job->found) {
        give_reason(out, JOB_NO_ROOM);
    } else {
        give_reason(out, JOB_NO_LANES);
    }
}

static void answer(Job *job, SxFormation *out) {
    sx_job_describe(&job->of, job->spot, out);
    out->optimal = true;
    out->cost = out->bound = (double)(job->cost - job->won_away) / GRAINS_A_METRE;
}

static SxStatus receive(Job *job, SxFormation *out, SxError *err) {
    SxStatus status = sx_job_passers(job, out->passers, err);
    if (status != SX_OK) {
        return status;
    }
    sx_job_try_all(job);
    if (!job->found && job->request.wishes) {
        job->request.areas_may_pay = true;
        sx_job_try_all(job);
    }
    if (job->found) {
        answer(job, out);
        return SX_OK;
    }
    explain(job, out);
    return job->request.wishes ? sx_fail(err, SX_NO, "rotation %d: the wishes cannot all hold: %s",
                                         job->request.rotation + 1, out->reason)
                               : SX_OK;
}

SxStatus sx_formation_receive(const SxSystem *system, int rotation, unsigned passers,
                              const SxFormationOptions *options, SxFormation *out, SxError *err) {
    memset(out, 0, sizeof *out);
    out->passers = passers;
    Job *job = malloc(sizeof *job);
    if (!job) {
        return sx_out_of_memory(err);
    }
    SxStatus status = sx_job_open(job, system, rotation, SX_RECEIVE, options, err);
    if (status == SX_OK) {
        status = receive(job, out, err);
    }
    free(job);
    return status;
}

SxStatus sx_formation_serve(const SxSystem *system, const SxRules *rules, int rotation,
                            const SxFormationOptions *options, SxFormation *out, SxError *err) {
    memset(out, 0, sizeof *out);
    Job *job = malloc(sizeof *job);
    if (!job) {
        return sx_out_of_memory(err);
    }
    SxStatus status = sx_job_open(job, system, rotation, SX_SERVE, options, err);
    if (status == SX_OK) {
        job->request.bound = rules->serving_team_bound;
        job->request.free_server = true;
        sx_job_solve(job);
        if (job->found) {
            answer(job, out);
        } else {
            explain(job, out);
        }
    }
    free(job);
    return status;
}

SxStatus sx_formation_price(const SxSystem *system, int rotation, const SxFormation *formation,
                            const SxFormationOptions *options, double term[SX_COST_COUNT],
                            SxError *err) {
    Job *job = malloc(sizeof *job);
    if (!job) {
        return sx_out_of_memory(err);
    }
    SxStatus status = sx_job_open(job, system, rotation, SX_RECEIVE, options, err);
    if (status == SX_OK) {
        int64_t grains[SX_COST_COUNT];
        job->request.sides = formation->sides;
        for (int i = 0; i < SX_POSITIONS; i++) {
            job->request.lane[i] = formation->lane[sx_slot_at(i + 1, rotation)];
        }
        job->request.areas_may_pay = true;
        sx_job_spots(formation->spot, rotation, job->spot);
        sx_program_make(&job->request, &job->program);
        sx_program_price(&job->program, job->spot, grains);
        for (int k = 0; k < SX_COST_COUNT; k++) {
            term[k] = (double)grains[k] / GRAINS_A_METRE;
        }
    }
    free(job);
    return status;
}

static bool permutes_lanes(const Job *job, const int lane[SX_SLOTS]) {
    unsigned taken = 0;
    for (int slot = 0; slot < SX_SLOTS; slot++) {
        bool passes = job->passers >> slot & 1;
        if (passes ? lane[slot] < 0 || lane[slot] >= job->passer_count : lane[slot] >= 0) {
            return false;
        }
        taken |= passes ? 1u << lane[slot] : 0;
    }
    return taken == (1u << job->passer_count) - 1;
}

SxStatus sx_formation_write_model(const SxSystem *system, int rotation, unsigned passers,
                                  const int lane[SX_SLOTS], const SxFormationOptions *options,
                                  const char *file, SxError *err) {
    Job *job = malloc(sizeof *job);
    if (!job) {
        return sx_out_of_memory(err);
    }
    SxStatus status = sx_job_open(job, system, rotation, SX_RECEIVE, options, err);
    if (status == SX_OK) {
        status = sx_job_passers(job, passers, err);
    }
    if (status == SX_OK && (job->sides < 0 || !permutes_lanes(job, lane))) {
        status = sx_fail(err, SX_USAGE, "a model is written for one lane a passer and given sides");
    }
    if (status == SX_OK) {
        for (int i = 0; i < SX_POSITIONS; i++) {
            job->request.lane[i] = lane[sx_slot_at(i + 1, rotation)];
        }
        sx_program_make(&job->request, &job->program);
        FILE *out = fopen(file, "w");
        if (out) {
            sx_program_write(&job->program, out);
        }
        bool failed = !out || ferror(out);
        failed |= out && fclose(out) != 0;
        status = failed ? sx_fail(err, SX_NO_WRITE, "cannot write %s", file) : SX_OK;
    }
    free(job);
    return status;
}
