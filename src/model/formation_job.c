/* One question to the formation program: sides and lanes are tried one after the other, each with
 * what the best so far leaves to beat, so that the result is the proven optimum of them all. */
#include "model/formation_job.h"

#include "model/late.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

const char *const sx_job_reasons[JOB_REASONS] = {
    [JOB_NO_LANES] = "the order does not let these passers stand in their lanes",
    [JOB_NO_ROOM] = "the order forces a player who does not pass into a passer's way",
    [JOB_NO_SIDE] = "a hitter would attack from where the setter sets",
};

SxStatus sx_job_open(Job *job, const SxSystem *system, int rotation, SxPhase phase,
                     const SxFormationOptions *options, SxError *err) {
    SxFormationOptions defaults;
    sx_formation_default(&defaults);
    const SxFormationOptions *asked = options ? options : &defaults;
    memset(job, 0, sizeof *job);
    if (asked->terms) {
        job->terms = *asked->terms;
    } else {
        SxStatus status = sx_formation_terms_load(NULL, &job->terms, err);
        if (status != SX_OK) {
            return status;
        }
    }
    job->sides = asked->sides == SX_USUAL_SIDES ? sx_usual_sides(system, rotation) : asked->sides;
    job->request = (Request){.system = system,
                             .terms = &job->terms,
                             .wishes = asked->wishes,
                             .rotation = rotation,
                             .phase = phase,
                             .sides = job->sides == SX_BEST_SIDES ? 0 : job->sides,
                             .margin = (int)lround(asked->margin * CENTIMETRES),
                             .bound = true,
                             .hides = HIDES_FREE};
    for (int i = 0; i < SX_POSITIONS; i++) {
        job->request.lane[i] = -1;
    }
    job->cost = INT64_MAX;
    job->each = sx_job_solve;
    return SX_OK;
}

void sx_job_solve(Job *job) {
    int64_t cost = 0;
    int spot[AXES][SX_POSITIONS];
    sx_program_make(&job->request, &job->program);
    int64_t cutoff = job->found ? job->cost - job->away : INT64_MAX;
    if (sx_program_solve(&job->program, cutoff, spot, &cost)) {
        job->found = true;
        job->cost = cost + job->away;
        job->won_away = job->away;
        job->of = job->request;
        memcpy(job->spot, spot, sizeof spot);
    }
}

SxStatus sx_job_passers(Job *job, unsigned passers, SxError *err) {
    job->passers = passers;
    job->passer_count = sx_count_members(passers);
    return job->passer_count < SX_MIN_PASSERS || job->passer_count > SX_MAX_PASSERS
               ? sx_fail(err, SX_USAGE, "%d passers; 2 to 5 are allowed", job->passer_count)
               : SX_OK;
}

static bool lane_is_wished(const Job *job, int place, int lane) {
    const SxFormationWishes *wishes = job->request.wishes;
    int slot = sx_slot_at(place + 1, job->request.rotation);
    return !wishes ||
           (!wishes->no_pass[slot] && (wishes->lane[slot] < 0 || wishes->lane[slot] == lane));
}

/* Gives every passer from this place on a lane of those left, in all ways. */
static void solve_lanes(Job *job, int place, unsigned taken) {
    const SxFormationWishes *wishes = job->request.wishes;
    while (place < SX_POSITIONS &&
           !(job->passers >> sx_slot_at(place + 1, job->request.rotation) & 1)) {
        if (wishes && wishes->lane[sx_slot_at(place + 1, job->request.rotation)] >= 0) {
            return; /* she must pass, but is not in the set */
        }
        job->request.lane[place++] = -1;
    }
    if (place == SX_POSITIONS) {
        job->each(job);
        return;
    }
    for (int lane = 0; lane < job->passer_count; lane++) {
        if (!(taken >> lane & 1) && lane_is_wished(job, place, lane)) {
            job->request.lane[place] = lane;
            solve_lanes(job, place + 1, taken | 1u << lane);
        }
    }
}

static SxFormationCost away_term(SxRole role) {
    switch (role) {
    case SX_OUTSIDE:
        return SX_COST_AWAY_OUTSIDE;
    case SX_MIDDLE:
        return SX_COST_AWAY_MIDDLE;
    case SX_OPPOSITE:
        return SX_COST_AWAY_OPPOSITE;
    default:
        return SX_COST_AWAY_OTHER;
    }
}

double sx_formation_away(const SxSystem *system, int rotation, int sides,
                         const SxFormationTerms *terms) {
    double sum = 0;
    for (int position = 2; position <= 4; position++) {
        int slot = sx_slot_at(position, rotation);
        const SxDuty *duty = &system->duty[slot][SX_FRONT];
        if (duty->attacks && slot != system->setter_slot[rotation] &&
            duty->lane != sx_side_lane(sides, position)) {
            sum += terms->cost[away_term(duty->role)];
        }
    }
    return sum;
}

bool sx_sides_are_open(const SxSystem *system, int rotation, int sides,
                       const SxFormationTerms *terms) {
    for (int position = 2; position <= 4; position++) {
        int slot = sx_slot_at(position, rotation);
        SxSpot jump = sx_lane_duty(system, sx_side_lane(sides, position))->base;
        if (system->duty[slot][SX_FRONT].attacks && slot != system->setter_slot[rotation] &&
            sx_distance(jump, system->setting_target) < terms->room[SX_ROOM_TARGET]) {
            return false;
        }
    }
    return true;
}

static bool sides_are_wished(const Job *job, int sides) {
    const SxFormationWishes *wishes = job->request.wishes;
    for (int position = 2; wishes && position <= 4; position++) {
        int lane = wishes->attacks_from[sx_slot_at(position, job->request.rotation)];
        if (lane >= 0 && lane != (int)sx_side_lane(sides, position)) {
            return false;
        }
    }
    return true;
}

int64_t sx_job_away(const Job *job) {
    return llround(sx_formation_away(job->request.system, job->request.rotation, job->request.sides,
                                     &job->terms) *
                   GRAINS_A_METRE);
}

void sx_job_try_all(Job *job) {
    for (int sides = 0; sides < SX_SIDES; sides++) {
        if ((job->sides == SX_BEST_SIDES || job->sides == sides) && sides_are_wished(job, sides) &&
            sx_sides_are_open(job->request.system, job->request.rotation, sides, &job->terms)) {
            job->request.sides = sides;
            job->away = job->sides == SX_BEST_SIDES ? sx_job_away(job) : 0;
            solve_lanes(job, 0, 0);
        }
    }
}

/* --- the answer ---------------------------------------------------------------------------------
 */

static double pair_slack(const Request *request, const SxFormation *out, const SxOrderPair *pair) {
    if (!request->bound || (request->free_server && (pair->low == 1 || pair->high == 1))) {
        return INFINITY;
    }
    SxSpot low = out->spot[sx_slot_at(pair->low, request->rotation)];
    SxSpot high = out->spot[sx_slot_at(pair->high, request->rotation)];
    double slack = pair->axis == SX_SIDEWAYS ? high.x - low.x : high.y - low.y;
    return round(slack * CENTIMETRES) / CENTIMETRES;
}

/* Everything that follows from request and spots. */
void sx_job_describe(const Request *request, int spot[AXES][SX_POSITIONS], SxFormation *out) {
    out->feasible = true;
    out->sides = request->sides;
    for (int i = 0; i < SX_POSITIONS; i++) {
        int slot = sx_slot_at(i + 1, request->rotation);
        out->spot[slot] =
            (SxSpot){spot[AXIS_X][i] / (double)CENTIMETRES, spot[AXIS_Y][i] / (double)CENTIMETRES};
        out->lane[slot] = request->lane[i];
        out->run[slot] = sx_distance(out->spot[slot], sx_request_task(request, i));
    }
    if (request->phase == SX_RECEIVE) {
        sx_formation_late(request->system, request->rotation, out);
    }
    out->margin = INFINITY;
    for (int k = 0; k < SX_ORDER_PAIRS; k++) {
        out->slack[k] = pair_slack(request, out, &sx_order_pairs[k]);
        out->margin = fmin(out->margin, out->slack[k]);
    }
}

void sx_job_spots(const SxSpot at[SX_SLOTS], int rotation, int spot[AXES][SX_POSITIONS]) {
    for (int i = 0; i < SX_POSITIONS; i++) {
        SxSpot spot_here = at[sx_slot_at(i + 1, rotation)];
        spot[AXIS_X][i] = (int)lround(spot_here.x * CENTIMETRES);
        spot[AXIS_Y][i] = (int)lround(spot_here.y * CENTIMETRES);
    }
}
