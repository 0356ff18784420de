/* Formations: the questions that are answered by the formation program.
 *
 * The program itself (formation_program.c) holds for one lane for every passer and one set of
 * attack sides; here all that are allowed are tried, each with what the best so far leaves to beat,
 * so that the result is the proven optimum of the whole. Spots come out as whole centimetres. */
#include "sixturn/formation.h"

#include "model/formation_program.h"
#include "model/late.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const double default_margin = 0.30; /* metres, about a foot's length (our choice) */

enum { CM = 100 };

SxLane sx_side_lane(int sides, int position) {
    static const SxLane lanes[SX_SIDES][SX_LANES] = {
        {SX_LEFT, SX_CENTRE, SX_RIGHT}, {SX_LEFT, SX_RIGHT, SX_CENTRE},
        {SX_CENTRE, SX_LEFT, SX_RIGHT}, {SX_CENTRE, SX_RIGHT, SX_LEFT},
        {SX_RIGHT, SX_LEFT, SX_CENTRE}, {SX_RIGHT, SX_CENTRE, SX_LEFT},
    };
    enum { LEFT_FRONT = 4 };
    return lanes[sides][LEFT_FRONT - position];
}

int sx_usual_sides(const SxSystem *system, int rotation) {
    for (int sides = 0; sides < SX_SIDES; sides++) {
        bool usual = true;
        for (int position = 2; position <= 4; position++) {
            int slot = sx_slot_at(position, rotation);
            usual &= system->duty[slot][SX_FRONT].lane == sx_side_lane(sides, position);
        }
        if (usual) {
            return sides;
        }
    }
    return 0; /* a system's three lanes differ in every rotation, so this is never reached */
}

void sx_formation_default(SxFormationOptions *options) {
    *options = (SxFormationOptions){.margin = default_margin, .sides = SX_USUAL_SIDES};
}

void sx_formation_no_wishes(SxFormationWishes *wishes) {
    memset(wishes, 0, sizeof *wishes);
    for (int slot = 0; slot < SX_SLOTS; slot++) {
        wishes->lane[slot] = wishes->attacks_from[slot] = wishes->behind[slot] = -1;
    }
}

SxSpot sx_receive_task(const SxSystem *system, int rotation, int slot, int sides) {
    int position = sx_position(slot, rotation);
    const SxDuty *duty = &system->duty[slot][sx_row_of(position)];
    if (slot == system->setter_slot[rotation]) {
        return system->setting_target;
    }
    if (sx_row_of(position) == SX_BACK || duty->lane == sx_side_lane(sides, position)) {
        return duty->task;
    }
    return sx_lane_duty(system, sx_side_lane(sides, position))->task;
}

SxSpot sx_task_spot(const SxSystem *system, int rotation, int slot, SxPhase phase) {
    const SxDuty *duty = &system->duty[slot][sx_slot_row(slot, rotation)];
    if (phase == SX_SERVE) {
        return duty->base;
    }
    return slot == system->setter_slot[rotation] ? system->setting_target : duty->task;
}

/* --- one request --------------------------------------------------------------------------------
 */

/* A request, the program under work, and the best so far. */
typedef struct {
    Request request;
    SxFormationTerms terms;
    unsigned passers;
    int passer_count;
    int sides; /* as asked */
    Program program;
    bool found;
    int64_t cost; /* grains, being away included; with `found` */
    int64_t away; /* grains, of the request's sides */
    int spot[AXES][SX_POSITIONS];
    Request of;
} Job;

static SxStatus job_open(Job *job, const SxSystem *system, int rotation, SxPhase phase,
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
                             .margin = (int)lround(asked->margin * CM),
                             .bound = true};
    for (int i = 0; i < SX_POSITIONS; i++) {
        job->request.lane[i] = -1;
    }
    job->cost = INT64_MAX;
    return SX_OK;
}

static void solve(Job *job) {
    int64_t cost = 0;
    int spot[AXES][SX_POSITIONS];
    program_make(&job->request, &job->program);
    int64_t cutoff = job->found ? job->cost - job->away : INT64_MAX;
    if (program_solve(&job->program, cutoff, spot, &cost)) {
        job->found = true;
        job->cost = cost + job->away;
        job->of = job->request;
        memcpy(job->spot, spot, sizeof spot);
    }
}

static bool lane_is_wished(const Job *job, int place, int lane) {
    const SxFormationWishes *wishes = job->request.wishes;
    int wish = wishes ? wishes->lane[sx_slot_at(place + 1, job->request.rotation)] : -1;
    return wish < 0 || wish == lane;
}

/* Gives every passer from this place on a lane of those left, in all ways. */
static void solve_lanes(Job *job, int place, unsigned taken) {
    while (place < SX_POSITIONS &&
           !(job->passers >> sx_slot_at(place + 1, job->request.rotation) & 1)) {
        job->request.lane[place++] = -1;
    }
    if (place == SX_POSITIONS) {
        solve(job);
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

static void solve_sides(Job *job) {
    for (int sides = 0; sides < SX_SIDES; sides++) {
        if ((job->sides == SX_BEST_SIDES || job->sides == sides) && sides_are_wished(job, sides) &&
            sx_sides_are_open(job->request.system, job->request.rotation, sides, &job->terms)) {
            job->request.sides = sides;
            if (job->sides == SX_BEST_SIDES) {
                job->away = llround(sx_formation_away(job->request.system, job->request.rotation,
                                                      sides, &job->terms) *
                                    GRAINS_A_METRE);
            }
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
    return round(slack * CM) / CM;
}

/* Everything that follows from request and spots. */
static void describe(const Request *request, int spot[AXES][SX_POSITIONS], SxFormation *out) {
    out->feasible = true;
    out->sides = request->sides;
    for (int i = 0; i < SX_POSITIONS; i++) {
        int slot = sx_slot_at(i + 1, request->rotation);
        out->spot[slot] = (SxSpot){spot[AXIS_X][i] / (double)CM, spot[AXIS_Y][i] / (double)CM};
        out->lane[slot] = request->lane[i];
        out->run[slot] = sx_distance(out->spot[slot], request_task(request, i));
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

/* Why there is none. */
static void explain(Job *job, SxFormation *out) {
    static const char no_lanes[] = "the order does not let these passers stand in their lanes";
    static const char no_room[] = "the order forces a player who does not pass into a passer's way";
    static const char no_side[] = "a hitter would attack from where the setter sets";
    if (job->sides >= 0 &&
        !sx_sides_are_open(job->request.system, job->request.rotation, job->sides, &job->terms)) {
        memcpy(out->reason, no_side, sizeof no_side);
        return;
    }
    job->request.only_hard = true;
    solve_sides(job);
    if (job->found) {
        memcpy(out->reason, no_room, sizeof no_room);
    } else {
        memcpy(out->reason, no_lanes, sizeof no_lanes);
    }
}

static void answer(Job *job, SxFormation *out) {
    describe(&job->of, job->spot, out);
    out->optimal = true;
    int64_t away = job->sides == SX_BEST_SIDES
                       ? llround(sx_formation_away(job->of.system, job->of.rotation, job->of.sides,
                                                   &job->terms) *
                                 GRAINS_A_METRE)
                       : 0;
    out->cost = out->bound = (double)(job->cost - away) / GRAINS_A_METRE;
}

static SxStatus receive(Job *job, SxFormation *out, SxError *err) {
    job->passers = out->passers;
    job->passer_count = sx_count_members(out->passers);
    if (job->passer_count < SX_MIN_PASSERS || job->passer_count > SX_MAX_PASSERS) {
        return sx_fail(err, SX_USAGE, "%d passers; 2 to 5 are allowed", job->passer_count);
    }
    solve_sides(job);
    if (!job->found && job->request.wishes) {
        job->request.areas_may_pay = true;
        solve_sides(job);
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
    SxStatus status = job_open(job, system, rotation, SX_RECEIVE, options, err);
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
    SxStatus status = job_open(job, system, rotation, SX_SERVE, options, err);
    if (status == SX_OK) {
        job->request.wishes = NULL;
        job->request.bound = rules->serving_team_bound;
        job->request.free_server = true;
        solve(job);
        if (job->found) {
            answer(job, out);
        } else {
            explain(job, out);
        }
    }
    free(job);
    return status;
}

static void spots_of(const SxFormation *formation, int rotation, int spot[AXES][SX_POSITIONS]) {
    for (int i = 0; i < SX_POSITIONS; i++) {
        SxSpot at = formation->spot[sx_slot_at(i + 1, rotation)];
        spot[AXIS_X][i] = (int)lround(at.x * CM);
        spot[AXIS_Y][i] = (int)lround(at.y * CM);
    }
}

SxStatus sx_formation_price(const SxSystem *system, int rotation, const SxFormation *formation,
                            const SxFormationOptions *options, double term[SX_COST_COUNT],
                            SxError *err) {
    Job *job = malloc(sizeof *job);
    if (!job) {
        return sx_out_of_memory(err);
    }
    SxStatus status = job_open(job, system, rotation, SX_RECEIVE, options, err);
    if (status == SX_OK) {
        int64_t grains[SX_COST_COUNT];
        job->request.sides = formation->sides;
        for (int i = 0; i < SX_POSITIONS; i++) {
            job->request.lane[i] = formation->lane[sx_slot_at(i + 1, rotation)];
        }
        job->request.areas_may_pay = true;
        spots_of(formation, rotation, job->spot);
        program_make(&job->request, &job->program);
        program_price(&job->program, job->spot, grains);
        for (int k = 0; k < SX_COST_COUNT; k++) {
            term[k] = (double)grains[k] / GRAINS_A_METRE;
        }
    }
    free(job);
    return status;
}
