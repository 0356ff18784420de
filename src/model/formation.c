/* The formation program: six spots at the service hit as a mixed integer program on GLPK.
 *
 * Lengths inside are centimetres. With the yes/no choices fixed what remains is a set of difference
 * constraints with an L1 cost, whose optimal corners are whole numbers when the data are; so spots
 * come out as whole centimetres and need no rounding.
 *
 * The disjunctions ('beside the passer, or well in front of her, or behind her') are added only
 * where a solution breaks them, and the program is solved again: every program solved is a
 * relaxation, so the first solution that breaks nothing is the optimum of the whole. */
#include "sixturn/formation.h"

#include "model/glpk.h"
#include "model/late.h"
#include "model/solver.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define CM 100.0 /* centimetres a metre */

/* Distances, common practice, no source, unless said otherwise. Centimetres. */
enum {
    DEFAULT_MARGIN = 30, /* about one foot's length between feet */
    LINE_GAP = 30,       /* nobody stands on a side line or the end line */
    NET_GAP = 50,        /* nor under the net */
    AREA_SEAM = 250,     /* a passer's working area: the seam to the next passer, */
    AREA_EDGE = 90,      /* an arm's length and a step on the side of the side line, */
    AREA_AHEAD = 270,    /* the ball's way in, */
    AREA_BEHIND = 100,   /* and a step back */
    ELBOW_ROOM = 70,     /* between any other two players */
    PATH_SIDE = 50,      /* beside the setter's way to the target */
    SERVER_DEPTH = 50    /* how far behind the end line a server is drawn */
};

/* Cost per metre along each axis. Passing comes first; then the first-tempo middle's run, the other
 * hitters', the setter's, the defenders'. */
#define COST_LANE 1.0
#define COST_MIDDLE_RUN 0.7
#define COST_HITTER_RUN 0.6
#define COST_SETTER_RUN 0.5
#define COST_PASSER_HITTER_RUN 0.4
#define COST_DEFENDER_RUN 0.3
#define COST_PASSER_RUN 0.1
#define COST_BASE_RUN 1.0 /* serve phase */
/* What goes beyond a long run costs as much again: two short runs are better than one long. */
#define LONG_RUN 250 /* cm along one axis */
/* A player in the setter's way costs as much as this many metres of her run. */
#define COST_IN_THE_WAY 1.0
/* Breaks ties, in order of position: a thousandth a metre. */
#define COST_TIE 0.001

static const double INTEGRAL_TOLERANCE = 1e-6;

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
    *options = (SxFormationOptions){.margin = DEFAULT_MARGIN / CM, .sides = SX_USUAL_SIDES};
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

/* One program under construction. Arrays run by position - 1. */
typedef struct {
    const SxSystem *system;
    int rotation;
    SxPhase phase;
    int sides;
    int margin;       /* cm */
    bool bound;       /* the order binds this team */
    bool free_server; /* the player in position 1 is exempt */
    bool keep_areas;  /* off only to find out why there is no formation */
    int slot[SX_POSITIONS];
    bool passer[SX_POSITIONS];
    int passer_count;
    SxSpot task[SX_POSITIONS]; /* cm */
    double run_cost[SX_POSITIONS];
    int setter; /* position - 1 of the setter on duty who must reach the target, -1 if none */
    glp_prob *mip;
    MipRow row;
    int x[SX_POSITIONS], y[SX_POSITIONS];
    int lane[SX_POSITIONS][SX_MAX_PASSERS];
    bool parted[SX_POSITIONS][SX_POSITIONS]; /* the disjunction of this pair is in */
    bool cleared[SX_POSITIONS];              /* the path disjunction of this player is in */
} Program;

static SxSpot spot_in_cm(SxSpot spot) {
    return (SxSpot){round(spot.x * CM), round(spot.y * CM)};
}

static const char *label(char *text, size_t size, const char *kind, int a, int b) {
    if (b >= 0) {
        snprintf(text, size, "%s_%d_%d", kind, a + 1, b + 1);
    } else {
        snprintf(text, size, "%s_%d", kind, a + 1);
    }
    return text;
}

static void add_spots(Program *p) {
    char name[32];
    for (int i = 0; i < SX_POSITIONS; i++) {
        double low = NET_GAP;
        double high = SX_COURT_DEPTH * CM - LINE_GAP;
        if (p->free_server && i == 0) {
            low = high = SX_COURT_DEPTH * CM + SERVER_DEPTH;
        }
        p->x[i] = mip_column(p->mip, label(name, sizeof name, "x", i, -1), LINE_GAP,
                             SX_COURT_WIDTH * CM - LINE_GAP, 0, false);
        p->y[i] = mip_column(p->mip, label(name, sizeof name, "y", i, -1), low, high, 0, false);
    }
}

static void add_order(Program *p) {
    if (!p->bound) {
        return;
    }
    char name[32];
    for (int k = 0; k < SX_ORDER_PAIRS; k++) {
        const SxOrderPair *pair = &sx_order_pairs[k];
        if (p->free_server && (pair->low == 1 || pair->high == 1)) {
            continue;
        }
        const int *at = pair->axis == SX_SIDEWAYS ? p->x : p->y;
        mip_row_add(&p->row, at[pair->high - 1], 1);
        mip_row_add(&p->row, at[pair->low - 1], -1);
        mip_row_put(p->mip, &p->row,
                    label(name, sizeof name, "order", pair->low - 1, pair->high - 1), p->margin,
                    HUGE_VAL);
    }
}

/* A new column that is at least |at - target|, at the given cost per metre, twice that beyond a
 * long run. */
static void add_distance(Program *p, const char *name, int at, double target, double cost) {
    int length = mip_column(p->mip, name, 0, HUGE_VAL, cost / CM, false);
    int beyond = mip_column(p->mip, NULL, 0, HUGE_VAL, cost / CM, false);
    mip_row_add(&p->row, beyond, 1);
    mip_row_add(&p->row, length, -1);
    mip_row_put(p->mip, &p->row, NULL, -LONG_RUN, HUGE_VAL);
    for (int sign = -1; sign <= 1; sign += 2) {
        mip_row_add(&p->row, length, 1);
        mip_row_add(&p->row, at, sign);
        mip_row_put(p->mip, &p->row, NULL, sign * target, HUGE_VAL);
    }
}

static void add_runs(Program *p) {
    char name[32];
    for (int i = 0; i < SX_POSITIONS; i++) {
        double cost = p->run_cost[i] + COST_TIE * (i + 1);
        add_distance(p, label(name, sizeof name, "runx", i, -1), p->x[i], p->task[i].x, cost);
        if (!(p->free_server && i == 0)) {
            add_distance(p, label(name, sizeof name, "runy", i, -1), p->y[i], p->task[i].y, cost);
        }
    }
}

/* The distance of passer i from the lane that is hers, at most the tolerance. */
static void add_lane_distance(Program *p, int i, bool sideways) {
    char name[32];
    const SxSpot *lanes = p->system->lanes[p->passer_count];
    double tolerance =
        round((sideways ? p->system->lane_tolerance_x : p->system->lane_tolerance_y) * CM);
    int off = mip_column(p->mip, label(name, sizeof name, sideways ? "lanex" : "laney", i, -1), 0,
                         tolerance, COST_LANE / CM, false);
    for (int sign = -1; sign <= 1; sign += 2) {
        mip_row_add(&p->row, off, 1);
        mip_row_add(&p->row, sideways ? p->x[i] : p->y[i], sign);
        for (int l = 0; l < p->passer_count; l++) {
            SxSpot at = spot_in_cm(lanes[l]);
            mip_row_add(&p->row, p->lane[i][l], -sign * (sideways ? at.x : at.y));
        }
        mip_row_put(p->mip, &p->row, NULL, 0, HUGE_VAL);
    }
}

static void add_lanes(Program *p) {
    char name[32];
    for (int i = 0; i < SX_POSITIONS; i++) {
        if (!p->passer[i]) {
            continue;
        }
        for (int l = 0; l < p->passer_count; l++) {
            p->lane[i][l] =
                mip_column(p->mip, label(name, sizeof name, "lane", i, l), 0, 1, 0, true);
            mip_row_add(&p->row, p->lane[i][l], 1);
        }
        mip_row_put(p->mip, &p->row, label(name, sizeof name, "onelane", i, -1), 1, 1);
        add_lane_distance(p, i, true);
        add_lane_distance(p, i, false);
    }
    for (int l = 0; l < p->passer_count; l++) {
        for (int i = 0; i < SX_POSITIONS; i++) {
            if (p->passer[i]) {
                mip_row_add(&p->row, p->lane[i][l], 1);
            }
        }
        mip_row_put(p->mip, &p->row, label(name, sizeof name, "taken", l, -1), 1, 1);
    }
}

/* One alternative of a disjunction: high - low >= gap. A column of 0 stands for the number 0. */
typedef struct {
    int high, low;
    double gap;
    const int *lane; /* if set, the lane columns of a passer: in lane `edge` the gap is AREA_EDGE */
    int edge;
} Apart;

/* Adds a binary that switches the alternative on, or adds to one that is there already. */
static int add_switch(Program *p, const Apart *apart, int switch_column) {
    double spread = 2 * SX_COURT_DEPTH * CM; /* more than any two spots differ, gap included */
    int column = switch_column ? switch_column : mip_column(p->mip, NULL, 0, 1, 0, true);
    if (apart->high) {
        mip_row_add(&p->row, apart->high, 1);
    }
    if (apart->low) {
        mip_row_add(&p->row, apart->low, -1);
    }
    if (apart->lane) {
        mip_row_add(&p->row, apart->lane[apart->edge], apart->gap - AREA_EDGE);
    }
    mip_row_add(&p->row, column, -spread);
    mip_row_put(p->mip, &p->row, NULL, apart->gap - spread, HUGE_VAL);
    return column;
}

/* What keeps player n out of the way of player i, as four alternatives: to the left, to the right,
 * in front, behind. */
static void part_alternatives(const Program *p, int n, int i, Apart out[4]) {
    if (p->passer[i] && !p->passer[n]) {
        out[0] = (Apart){p->x[i], p->x[n], AREA_SEAM, p->lane[i], 0};
        out[1] = (Apart){p->x[n], p->x[i], AREA_SEAM, p->lane[i], p->passer_count - 1};
        out[2] = (Apart){p->y[i], p->y[n], AREA_AHEAD, NULL, 0};
        out[3] = (Apart){p->y[n], p->y[i], AREA_BEHIND, NULL, 0};
        return;
    }
    out[0] = (Apart){p->x[i], p->x[n], ELBOW_ROOM, NULL, 0};
    out[1] = (Apart){p->x[n], p->x[i], ELBOW_ROOM, NULL, 0};
    out[2] = (Apart){p->y[i], p->y[n], ELBOW_ROOM, NULL, 0};
    out[3] = (Apart){p->y[n], p->y[i], ELBOW_ROOM, NULL, 0};
}

static void add_part(Program *p, int n, int i) {
    Apart alternative[4];
    int column[4];
    part_alternatives(p, n, i, alternative);
    for (int k = 0; k < 4; k++) {
        column[k] = add_switch(p, &alternative[k], 0);
    }
    for (int k = 0; k < 4; k++) {
        mip_row_add(&p->row, column[k], 1);
    }
    mip_row_put(p->mip, &p->row, NULL, 1, HUGE_VAL);
    p->parted[n][i] = p->parted[i][n] = true;
}

/* Player j is as deep as the setter, or to one side of her whole way to the target; or is in the
 * way, at a cost. */
static void add_clear_path(Program *p, int j) {
    int s = p->setter;
    double target = p->task[s].x;
    int behind = add_switch(p, &(Apart){p->y[j], p->y[s], 0, NULL, 0}, 0);
    int left = add_switch(p, &(Apart){p->x[s], p->x[j], PATH_SIDE, NULL, 0}, 0);
    add_switch(p, &(Apart){0, p->x[j], PATH_SIDE - target, NULL, 0}, left);
    int right = add_switch(p, &(Apart){p->x[j], p->x[s], PATH_SIDE, NULL, 0}, 0);
    add_switch(p, &(Apart){p->x[j], 0, PATH_SIDE + target, NULL, 0}, right);
    int in_the_way = mip_column(p->mip, NULL, 0, 1, COST_IN_THE_WAY, true);
    mip_row_add(&p->row, behind, 1);
    mip_row_add(&p->row, left, 1);
    mip_row_add(&p->row, right, 1);
    mip_row_add(&p->row, in_the_way, 1);
    mip_row_put(p->mip, &p->row, NULL, 1, HUGE_VAL);
    p->cleared[j] = true;
}

static SxSpot solved_spot(const Program *p, int i) {
    return (SxSpot){round(glp_mip_col_val(p->mip, p->x[i])),
                    round(glp_mip_col_val(p->mip, p->y[i]))};
}

static bool in_lane(const Program *p, int i, int lane) {
    return glp_mip_col_val(p->mip, p->lane[i][lane]) > 0.5;
}

static bool in_working_area(const Program *p, int n, int i) {
    SxSpot a = solved_spot(p, n);
    SxSpot b = solved_spot(p, i);
    int left = in_lane(p, i, 0) ? AREA_EDGE : AREA_SEAM;
    int right = in_lane(p, i, p->passer_count - 1) ? AREA_EDGE : AREA_SEAM;
    return b.x - a.x < left && a.x - b.x < right && b.y - a.y < AREA_AHEAD &&
           a.y - b.y < AREA_BEHIND;
}

static bool pair_is_crowded(const Program *p, int n, int i) {
    if (p->passer[n] && p->passer[i]) {
        return false; /* their lanes keep them apart */
    }
    if (p->passer[n] || p->passer[i]) {
        return p->keep_areas && in_working_area(p, p->passer[n] ? i : n, p->passer[n] ? n : i);
    }
    SxSpot a = solved_spot(p, n);
    SxSpot b = solved_spot(p, i);
    return fabs(a.x - b.x) < ELBOW_ROOM && fabs(a.y - b.y) < ELBOW_ROOM;
}

static bool path_is_blocked(const Program *p, int j) {
    int s = p->setter;
    SxSpot from = solved_spot(p, s);
    SxSpot other = solved_spot(p, j);
    return other.y < from.y && other.x > fmin(from.x, p->task[s].x) - PATH_SIDE &&
           other.x < fmax(from.x, p->task[s].x) + PATH_SIDE;
}

/* Adds the disjunctions that the solution breaks; returns how many. */
static int add_broken(Program *p) {
    int added = 0;
    for (int i = 0; i < SX_POSITIONS; i++) {
        for (int n = 0; n < i; n++) {
            if (!p->parted[n][i] && pair_is_crowded(p, n, i)) {
                int other = p->passer[n] ? i : n; /* who must keep out of whose way */
                add_part(p, other, other == n ? i : n);
                added++;
            }
        }
        if (p->setter >= 0 && i != p->setter && !p->cleared[i] && path_is_blocked(p, i)) {
            add_clear_path(p, i);
            added++;
        }
    }
    return added;
}

/* One solve of the program as it stands. SX_NO if it has no solution. */
static SxStatus solve_once(Program *p, SxError *err) {
    glp_smcp simplex;
    glp_init_smcp(&simplex);
    simplex.msg_lev = GLP_MSG_OFF;
    glp_adv_basis(p->mip, 0);
    int failed = glp_simplex(p->mip, &simplex);
    if (failed) {
        return sx_fail(err, SX_SOLVER_FAILED, "the formation program's relaxation failed (code %d)",
                       failed);
    }
    if (glp_get_status(p->mip) != GLP_OPT) {
        return SX_NO;
    }
    glp_iocp control;
    glp_init_iocp(&control);
    control.msg_lev = GLP_MSG_OFF;
    control.tol_int = INTEGRAL_TOLERANCE;
    control.mir_cuts = GLP_OFF;
    control.br_tech = GLP_BR_DTH;
    control.bt_tech = GLP_BT_BLB;
    failed = glp_intopt(p->mip, &control);
    if (failed) {
        return sx_fail(err, SX_SOLVER_FAILED, "the formation program failed (code %d)", failed);
    }
    int status = glp_mip_status(p->mip);
    return status == GLP_OPT ? SX_OK : SX_NO;
}

static SxStatus solve(Program *p, SxError *err) {
    memset(p->parted, 0, sizeof p->parted);
    memset(p->cleared, 0, sizeof p->cleared);
    glp_erase_prob(p->mip);
    glp_set_obj_dir(p->mip, GLP_MIN);
    mip_row_clear(&p->row);
    add_spots(p);
    add_order(p);
    add_runs(p);
    if (p->passer_count) {
        add_lanes(p);
    }
    SxStatus status;
    do {
        status = solve_once(p, err);
    } while (status == SX_OK && add_broken(p) > 0);
    return status;
}

static void set_up_receive(Program *p, unsigned passers) {
    p->phase = SX_RECEIVE;
    p->bound = true;
    p->setter = -1;
    for (int i = 0; i < SX_POSITIONS; i++) {
        int slot = p->slot[i];
        SxRow row = sx_row_of(i + 1);
        bool on_duty = slot == p->system->setter_slot[p->rotation];
        p->passer[i] = passers >> slot & 1;
        p->passer_count += p->passer[i];
        bool hits = row == SX_FRONT && p->system->duty[slot][row].attacks;
        if (on_duty) {
            p->run_cost[i] = COST_SETTER_RUN;
            p->setter = p->passer[i] ? -1 : i;
        } else if (p->passer[i]) {
            p->run_cost[i] = hits ? COST_PASSER_HITTER_RUN : COST_PASSER_RUN;
        } else {
            bool middle = p->system->duty[slot][row].role == SX_MIDDLE;
            double front = middle ? COST_MIDDLE_RUN : COST_HITTER_RUN;
            p->run_cost[i] = row == SX_FRONT ? front : COST_DEFENDER_RUN;
        }
    }
}

static void set_up_serve(Program *p, const SxRules *rules) {
    p->phase = SX_SERVE;
    p->bound = rules->serving_team_bound;
    p->free_server = true;
    p->setter = -1;
    for (int i = 0; i < SX_POSITIONS; i++) {
        p->run_cost[i] = COST_BASE_RUN;
    }
}

static SxSpot next_task(const Program *p, int slot, SxPhase phase) {
    return phase == SX_SERVE ? sx_task_spot(p->system, p->rotation, slot, phase)
                             : sx_receive_task(p->system, p->rotation, slot, p->sides);
}

static void set_up(Program *p, const SxSystem *system, int rotation,
                   const SxFormationOptions *options, SxPhase phase) {
    SxFormationOptions defaults;
    sx_formation_default(&defaults);
    const SxFormationOptions *asked = options ? options : &defaults;
    memset(p, 0, sizeof *p);
    p->system = system;
    p->rotation = rotation;
    p->sides = asked->sides == SX_USUAL_SIDES ? sx_usual_sides(system, rotation) : asked->sides;
    p->margin = (int)round(asked->margin * CM);
    p->keep_areas = true;
    for (int i = 0; i < SX_POSITIONS; i++) {
        p->slot[i] = sx_slot_at(i + 1, rotation);
        p->task[i] = spot_in_cm(next_task(p, p->slot[i], phase));
    }
}

static double pair_slack(const Program *p, const SxFormation *out, const SxOrderPair *pair) {
    if (!p->bound || (p->free_server && (pair->low == 1 || pair->high == 1))) {
        return INFINITY;
    }
    SxSpot low = out->spot[p->slot[pair->low - 1]];
    SxSpot high = out->spot[p->slot[pair->high - 1]];
    double slack = pair->axis == SX_SIDEWAYS ? high.x - low.x : high.y - low.y;
    return round(slack * CM) / CM;
}

static void read_solution(const Program *p, SxFormation *out) {
    out->feasible = true;
    out->optimal = true;
    out->sides = p->sides;
    out->cost = out->bound = glp_mip_obj_val(p->mip);
    for (int i = 0; i < SX_POSITIONS; i++) {
        int slot = p->slot[i];
        SxSpot at = solved_spot(p, i);
        out->spot[slot] = (SxSpot){at.x / CM, at.y / CM};
        out->lane[slot] = -1;
        for (int l = 0; p->passer[i] && l < p->passer_count; l++) {
            if (glp_mip_col_val(p->mip, p->lane[i][l]) > 0.5) {
                out->lane[slot] = l;
            }
        }
        out->run[slot] = sx_distance(out->spot[slot], next_task(p, slot, p->phase));
    }
    if (p->phase == SX_RECEIVE) {
        sx_formation_late(p->system, p->rotation, out);
    }
    out->margin = INFINITY;
    for (int k = 0; k < SX_ORDER_PAIRS; k++) {
        out->slack[k] = pair_slack(p, out, &sx_order_pairs[k]);
        out->margin = fmin(out->margin, out->slack[k]);
    }
}

/* The order keeps the lanes from being taken, or somebody would stand in a passer's way. */
static SxStatus explain(Program *p, SxFormation *out, SxError *err) {
    p->keep_areas = false;
    SxStatus status = solve(p, err);
    if (status == SX_OK) {
        snprintf(out->reason, sizeof out->reason,
                 "the order forces a player who does not pass into a passer's way");
    } else if (status == SX_NO) {
        snprintf(out->reason, sizeof out->reason,
                 "the order does not let these passers stand in their lanes");
    }
    return sx_is_failure(status) ? status : SX_OK;
}

typedef struct {
    Program *program;
    SxFormation *out;
} Job;

static SxStatus solve_job(void *data, SxError *err) {
    Program *p = ((Job *)data)->program;
    SxFormation *out = ((Job *)data)->out;
    p->mip = glp_create_prob();
    SxStatus status = solve(p, err);
    if (status == SX_OK) {
        read_solution(p, out);
    } else if (status == SX_NO) {
        status = explain(p, out, err);
    }
    glp_delete_prob(p->mip);
    return status;
}

static SxStatus run(Program *p, SxFormation *out, SxError *err) {
    Job job = {p, out};
    SxStatus status = sx_solver_run(solve_job, &job, &p->mip, err);
    mip_row_free(&p->row);
    return status;
}

SxStatus sx_formation_receive(const SxSystem *system, int rotation, unsigned passers,
                              const SxFormationOptions *options, SxFormation *out, SxError *err) {
    memset(out, 0, sizeof *out);
    Program *p = malloc(sizeof *p);
    if (!p) {
        return sx_out_of_memory(err);
    }
    set_up(p, system, rotation, options, SX_RECEIVE);
    set_up_receive(p, passers);
    out->passers = passers;
    SxStatus status =
        p->passer_count < SX_MIN_PASSERS || p->passer_count > SX_MAX_PASSERS
            ? sx_fail(err, SX_USAGE, "%d passers; 2 to 5 are allowed", p->passer_count)
            : run(p, out, err);
    free(p);
    return status;
}

SxStatus sx_formation_serve(const SxSystem *system, const SxRules *rules, int rotation,
                            const SxFormationOptions *options, SxFormation *out, SxError *err) {
    memset(out, 0, sizeof *out);
    Program *p = malloc(sizeof *p);
    if (!p) {
        return sx_out_of_memory(err);
    }
    set_up(p, system, rotation, options, SX_SERVE);
    set_up_serve(p, rules);
    SxStatus status = run(p, out, err);
    free(p);
    return status;
}
