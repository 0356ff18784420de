/* A coach's own formation: legal or not, and what it costs and asks of legs. */
#include "model/formation_job.h"

#include "sixturn/legality.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static SxStatus refuse(const SxFinding *finding, int rotation, SxError *err) {
    const char *who = sx_position_name(finding->position);
    int centimetres = (int)fmax(1, round(finding->amount * CENTIMETRES));
    if (finding->kind == SX_ORDER_FAULT) {
        const SxOrderPair *pair = &sx_order_pairs[finding->pair];
        const char *wrong = pair->axis == SX_DEPTH           ? "nearer the net than"
                            : finding->position == pair->low ? "to the right of"
                                                             : "to the left of";
        return sx_fail(err, SX_NO, "rotation %d: %s is %d cm %s %s", rotation + 1, who, centimetres,
                       wrong, sx_position_name(finding->other));
    }
    if (finding->kind == SX_OFF_COURT) {
        return sx_fail(err, SX_NO, "rotation %d: %s is %d cm outside the court", rotation + 1, who,
                       centimetres);
    }
    return sx_fail(err, SX_NO, "rotation %d: %s and %s stand in one place", rotation + 1, who,
                   sx_position_name(finding->other));
}

static SxStatus check(const SxRules *rules, int rotation, const SxSpot spot[SX_SLOTS],
                      SxError *err) {
    SxStance stance;
    SxLegality found;
    sx_stance_default(&stance);
    for (int position = 1; position <= SX_POSITIONS; position++) {
        stance.spot[position - 1] = spot[sx_slot_at(position, rotation)];
    }
    sx_legality(&stance, rules, 0, &found);
    return found.legal ? SX_OK : refuse(&found.finding[0], rotation, err);
}

/* Prices the request as it stands, and keeps it if it is the best so far. */
static void price(Job *job) {
    int64_t term[SX_COST_COUNT];
    sx_program_make(&job->request, &job->program);
    int64_t cost = sx_program_price(&job->program, job->spot, term) + job->away;
    if (!job->found || cost < job->cost) {
        job->found = true;
        job->cost = cost;
        job->won_away = job->away;
        job->of = job->request;
    }
}

static SxStatus value(Job *job, unsigned passers, const SxSpot spot[SX_SLOTS], SxFormation *out,
                      SxError *err) {
    SxStatus status = sx_job_passers(job, passers, err);
    if (status != SX_OK) {
        return status;
    }
    job->each = price;
    job->request.areas_may_pay = true;
    sx_job_spots(spot, job->request.rotation, job->spot);
    sx_job_try_all(job);
    if (!job->found) {
        return sx_fail(err, SX_NO, "rotation %d: a hitter would attack from where the setter sets",
                       job->request.rotation + 1);
    }
    sx_job_describe(&job->of, job->spot, out);
    out->cost = (double)(job->cost - job->won_away) / GRAINS_A_METRE;
    return SX_OK;
}

SxStatus sx_formation_given(const SxSystem *system, const SxRules *rules, int rotation,
                            unsigned passers, const SxSpot spot[SX_SLOTS],
                            const SxFormationOptions *options, SxFormation *out, SxError *err) {
    memset(out, 0, sizeof *out);
    out->passers = passers;
    SxStatus status = check(rules, rotation, spot, err);
    if (status != SX_OK) {
        return status;
    }
    Job *job = malloc(sizeof *job);
    if (!job) {
        return sx_out_of_memory(err);
    }
    status = sx_job_open(job, system, rotation, SX_RECEIVE, options, err);
    if (status == SX_OK) {
        status = value(job, passers, spot, out, err);
    }
    free(job);
    return status;
}
