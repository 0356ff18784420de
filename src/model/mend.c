/* The smallest change that makes a formation legal: a linear program in whole centimetres. */
#include "sixturn/mend.h"

#include "solver/glpk.h"
#include "solver/solver.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum {
    CENTIMETRES = 100,
    COORDINATES = 2 * SX_POSITIONS, /* 2 * (position - 1) for x, one more for y */
    COUPLES = SX_POSITIONS * (SX_POSITIONS - 1) / 2,
    SIDES = 4,           /* left of, right of, before, behind */
    DISTANCE_CAP = 4000, /* centimetres: further apart no two drawn players are */
    STRICT_STEP = 1      /* centimetres by which 'not level' is kept */
};

static const double most_margin = 3.0; /* metres: more leaves a row of three no room */
static const double snap = 1e-5;       /* centimetres: rounding of binary fractions */
/* Centimetres that one player more is worth: above any sum of moves. */
static const double player_worth = 50000;
/* Makes equal choices of players or sides differ; below the grain of whole centimetres. */
static const double preference = 1e-3;
/* Pairwise far enough from each other's sums that equally short ways rarely tie again. */
static const double weight[COORDINATES] = {101, 103, 107, 109, 113, 127,
                                           131, 137, 139, 149, 151, 157};

/* One program. Columns are GLPK's, 1-based. */
typedef struct {
    const SxStance *stance;
    const SxRules *rules;
    const SxMendOptions *options;
    const bool *locked;
    glp_prob *lp;
    MipRow *row;
    double start[COORDINATES];                 /* centimetres */
    int plus[COORDINATES], minus[COORDINATES]; /* columns */
    int moves[SX_POSITIONS];                   /* binary columns, 0 if none */
    int side[COUPLES][SIDES];                  /* binary columns, 0 if none */
    bool apart[COUPLES];                       /* couples between whom room is kept */
    bool integer;                              /* has binaries */
    double at[COORDINATES];                    /* the solution, centimetres */
} Program;

void sx_mend_default(SxMendOptions *options) {
    *options = (SxMendOptions){.margin = SX_NEAR_MARGIN};
}

static double snapped(double centimetres) {
    double whole = round(centimetres);
    return fabs(centimetres - whole) < snap ? whole : centimetres;
}

static double to_cm(double metres) {
    return snapped(metres * CENTIMETRES);
}

static int coordinate(int position, SxAxis axis) {
    return 2 * (position - 1) + (axis == SX_DEPTH);
}

/* Puts sign * (value of the coordinate - its start) into the row. */
static void add_shift(Program *program, int c, double sign) {
    sx_mip_row_add(program->row, program->plus[c], sign);
    sx_mip_row_add(program->row, program->minus[c], -sign);
}

/* False if a locked player stands outside her box. */
static bool add_coordinate(Program *program, int c, double low, double high, bool locked) {
    double start = program->start[c];
    bool inside = start >= low - snap && start <= high + snap;
    double up_least = fmax(low - start, 0), up_most = fmax(high - start, 0);
    double down_least = fmax(start - high, 0), down_most = fmax(start - low, 0);
    if (locked) {
        up_least = up_most = down_least = down_most = 0;
    }
    program->plus[c] = sx_mip_column(program->lp, NULL, up_least, up_most, 1, false);
    program->minus[c] = sx_mip_column(program->lp, NULL, down_least, down_most, 1, false);
    return inside || !locked;
}

static bool add_players(Program *program) {
    bool ok = true;
    for (int p = 1; p <= SX_POSITIONS; p++) {
        SxStanceBox box = sx_stance_box(program->stance, p);
        bool locked = program->locked[p - 1];
        ok &= add_coordinate(program, coordinate(p, SX_SIDEWAYS), to_cm(box.low.x),
                             to_cm(box.high.x), locked);
        ok &= add_coordinate(program, coordinate(p, SX_DEPTH), to_cm(box.low.y),
                             isinf(box.high.y) ? HUGE_VAL : to_cm(box.high.y), locked);
    }
    return ok;
}

static void add_pairs(Program *program) {
    double need = to_cm(program->options->margin);
    if (program->rules->level_is_fault) {
        need = fmax(need, STRICT_STEP);
    }
    for (int k = 0; k < SX_ORDER_PAIRS; k++) {
        if (!sx_pair_binds(program->stance, program->rules, k)) {
            continue;
        }
        const SxOrderPair *pair = &sx_order_pairs[k];
        int low = coordinate(pair->low, pair->axis), high = coordinate(pair->high, pair->axis);
        double allowance =
            to_cm(sx_order_allowance(program->rules, k, program->stance->reach[pair->low - 1],
                                     program->stance->reach[pair->high - 1]));
        double slack = program->start[high] - program->start[low] + allowance;
        add_shift(program, high, 1);
        add_shift(program, low, -1);
        sx_mip_row_put(program->lp, program->row, NULL, need - slack, HUGE_VAL);
    }
}

/* A binary for each player: she may move only if it is 1. */
static void add_fewest(Program *program) {
    program->integer = true;
    for (int p = 1; p <= SX_POSITIONS; p++) {
        if (program->locked[p - 1]) {
            continue;
        }
        double cost = player_worth + preference * (1 << p) / (1 << (SX_POSITIONS + 1));
        int z = sx_mip_column(program->lp, NULL, 0, 1, cost, true);
        program->moves[p - 1] = z;
        for (int axis = SX_SIDEWAYS; axis <= SX_DEPTH; axis++) {
            int c = coordinate(p, (SxAxis)axis);
            sx_mip_row_add(program->row, program->plus[c], 1);
            sx_mip_row_add(program->row, program->minus[c], 1);
        }
        sx_mip_row_add(program->row, z, -DISTANCE_CAP);
        sx_mip_row_put(program->lp, program->row, NULL, -HUGE_VAL, 0);
    }
}

/* Two players a body apart: to the one side or the other, before or behind. */
static void add_room(Program *program, int couple, int a, int b) {
    double room = to_cm(SX_BODY_ROOM);
    program->integer = true;
    for (int side = 0; side < SIDES; side++) {
        SxAxis axis = side < 2 ? SX_SIDEWAYS : SX_DEPTH;
        int low = coordinate(side % 2 ? a : b, axis), high = coordinate(side % 2 ? b : a, axis);
        int chosen = sx_mip_column(program->lp, NULL, 0, 1, preference * side / SIDES, true);
        program->side[couple][side] = chosen;
        add_shift(program, high, 1);
        add_shift(program, low, -1);
        sx_mip_row_add(program->row, chosen, -DISTANCE_CAP);
        sx_mip_row_put(program->lp, program->row, NULL,
                       room - (program->start[high] - program->start[low]) - DISTANCE_CAP,
                       HUGE_VAL);
    }
    for (int side = 0; side < SIDES; side++) {
        sx_mip_row_add(program->row, program->side[couple][side], 1);
    }
    sx_mip_row_put(program->lp, program->row, NULL, 1, SIDES);
}

static SxStatus simplex(Program *program, SxError *err) {
    glp_smcp control;
    glp_init_smcp(&control);
    control.msg_lev = GLP_MSG_OFF;
    /* A basis left by an earlier stage may be singular for the changed program. */
    if (glp_simplex(program->lp, &control) != 0) {
        glp_adv_basis(program->lp, 0);
        if (glp_simplex(program->lp, &control) != 0) {
            return sx_fail(err, SX_SOLVER_FAILED,
                           "the simplex method failed on the mending program");
        }
    }
    int status = glp_get_status(program->lp);
    if (status == GLP_NOFEAS || status == GLP_INFEAS) {
        return SX_NO;
    }
    return status == GLP_OPT ? SX_OK
                             : sx_fail(err, SX_SOLVER_FAILED, "the mending program has no optimum");
}

/* Fixes a binary where the integer optimum has it, so that what follows is a plain LP. */
static void fix(Program *program, int column) {
    if (column) {
        double value = glp_mip_col_val(program->lp, column) > 0.5 ? 1 : 0;
        glp_set_col_bnds(program->lp, column, GLP_FX, value, value);
    }
}

static SxStatus choose(Program *program, SxError *err) {
    glp_iocp control;
    glp_init_iocp(&control);
    control.msg_lev = GLP_MSG_OFF;
    if (glp_intopt(program->lp, &control) != 0) {
        return sx_fail(err, SX_SOLVER_FAILED, "branch and bound failed on the mending program");
    }
    int status = glp_mip_status(program->lp);
    if (status == GLP_NOFEAS) {
        return SX_NO;
    }
    if (status != GLP_OPT) {
        return sx_fail(err, SX_SOLVER_FAILED, "the mending program has no integer optimum");
    }
    for (int i = 0; i < SX_POSITIONS; i++) {
        fix(program, program->moves[i]);
    }
    for (int couple = 0; couple < COUPLES; couple++) {
        for (int side = 0; side < SIDES; side++) {
            fix(program, program->side[couple][side]);
        }
    }
    return simplex(program, err);
}

/* Among the shortest ways, the one of least weight. */
static SxStatus break_ties(Program *program, SxError *err) {
    double total = 0;
    for (int c = 0; c < COORDINATES; c++) {
        total += glp_get_col_prim(program->lp, program->plus[c]) +
                 glp_get_col_prim(program->lp, program->minus[c]);
        sx_mip_row_add(program->row, program->plus[c], 1);
        sx_mip_row_add(program->row, program->minus[c], 1);
        glp_set_obj_coef(program->lp, program->plus[c], weight[c]);
        glp_set_obj_coef(program->lp, program->minus[c], weight[c]);
    }
    sx_mip_row_put(program->lp, program->row, NULL, -HUGE_VAL, snapped(total));
    return simplex(program, err);
}

static void read_solution(Program *program) {
    for (int c = 0; c < COORDINATES; c++) {
        program->at[c] =
            snapped(program->start[c] + glp_get_col_prim(program->lp, program->plus[c]) -
                    glp_get_col_prim(program->lp, program->minus[c]));
    }
}

static SxStatus solve_built(Program *program, SxError *err) {
    SxStatus status = simplex(program, err);
    if (status == SX_OK && program->integer) {
        status = choose(program, err);
    }
    double total = 0;
    for (int c = 0; status == SX_OK && c < COORDINATES; c++) {
        total += glp_get_col_prim(program->lp, program->plus[c]) +
                 glp_get_col_prim(program->lp, program->minus[c]);
    }
    if (status == SX_OK && total > snap) {
        status = break_ties(program, err);
    }
    if (status == SX_OK) {
        read_solution(program);
    }
    return status;
}

/* Builds and solves with room kept between the couples marked. */
static SxStatus solve_with_room(void *data, SxError *err) {
    Program *program = data;
    memset(program->moves, 0, sizeof program->moves);
    memset(program->side, 0, sizeof program->side);
    program->integer = false;
    program->lp = glp_create_prob();
    glp_set_obj_dir(program->lp, GLP_MIN);
    SxStatus status = add_players(program) ? SX_OK : SX_NO;
    if (status == SX_OK) {
        add_pairs(program);
        if (program->options->fewest) {
            add_fewest(program);
        }
        int couple = 0;
        for (int a = 1; a <= SX_POSITIONS; a++) {
            for (int b = a + 1; b <= SX_POSITIONS; b++, couple++) {
                if (program->apart[couple]) {
                    add_room(program, couple, a, b);
                }
            }
        }
        status = solve_built(program, err);
    }
    glp_delete_prob(program->lp);
    return status;
}

/* Marks the couples in one place; true if there is a new one. */
static bool mark_crowded(Program *program) {
    int couple = 0;
    bool found = false;
    double room = to_cm(SX_BODY_ROOM) - snap;
    for (int a = 1; a <= SX_POSITIONS; a++) {
        for (int b = a + 1; b <= SX_POSITIONS; b++, couple++) {
            double x = fabs(program->at[coordinate(a, SX_SIDEWAYS)] -
                            program->at[coordinate(b, SX_SIDEWAYS)]);
            double y =
                fabs(program->at[coordinate(a, SX_DEPTH)] - program->at[coordinate(b, SX_DEPTH)]);
            if (fmax(x, y) < room && !program->apart[couple]) {
                program->apart[couple] = found = true;
            }
        }
    }
    return found;
}

static SxStatus solve(const SxStance *stance, const SxRules *rules, const SxMendOptions *options,
                      const bool *locked, double *at, SxError *err) {
    MipRow row = {0};
    Program program = {
        .stance = stance, .rules = rules, .options = options, .locked = locked, .row = &row};
    SxStatus status;
    for (int i = 0; i < SX_POSITIONS; i++) {
        program.start[2 * i] = to_cm(stance->spot[i].x);
        program.start[2 * i + 1] = to_cm(stance->spot[i].y);
    }
    do {
        status = sx_solver_run(solve_with_room, &program, &program.lp, err);
    } while (status == SX_OK && mark_crowded(&program));
    sx_mip_row_free(&row);
    memcpy(at, program.at, sizeof program.at);
    return status;
}

/* Which locks cannot all hold: those that are left when each one that is not needed for the
 * contradiction has been opened. */
static SxStatus explain_locks(const SxStance *stance, const SxRules *rules,
                              const SxMendOptions *options, SxMend *out, SxError *err) {
    bool locked[SX_POSITIONS] = {false};
    double at[COORDINATES];
    SxStatus status = solve(stance, rules, options, locked, at, err);
    if (status == SX_NO) {
        return sx_fail(err, SX_NO,
                       "no legal formation has a margin of %g m: the court is too small",
                       options->margin);
    }
    memcpy(locked, options->locked, sizeof locked);
    for (int i = 0; i < SX_POSITIONS && status <= SX_NO; i++) {
        bool was = locked[i];
        locked[i] = false;
        if (was && (status = solve(stance, rules, options, locked, at, err)) == SX_OK) {
            locked[i] = true;
        }
    }
    if (status > SX_NO) {
        return status;
    }
    char list[SX_POSITIONS * 32] = "";
    size_t used = 0;
    for (int i = 0; i < SX_POSITIONS; i++) {
        out->conflict[i] = locked[i];
        if (locked[i]) {
            used += (size_t)snprintf(list + used, sizeof list - used, "%s%s", used ? " and " : "",
                                     sx_position_name(i + 1));
        }
    }
    return sx_fail(err, SX_NO,
                   "with %s locked where drawn, no legal formation has a margin of %g m", list,
                   options->margin);
}

/* Faults of persons, which no movement mends. */
static SxStatus refuse_persons(const SxStance *stance, const SxRules *rules, SxError *err) {
    SxLegality result;
    sx_legality(stance, rules, 0, &result);
    for (int i = 0; i < result.fault_count; i++) {
        switch (result.finding[i].kind) {
        case SX_WRONG_ORDER:
        case SX_WRONG_SERVER:
        case SX_LIBERO_FRONT:
        case SX_LIBERO_SERVES:
        case SX_LIBERO_SECOND:
        case SX_LIBERO_FORBIDDEN:
            return sx_fail(err, SX_NO,
                           "moving does not help: the wrong player is in %s (see sixturn check)",
                           sx_position_name(result.finding[i].position));
        default:
            break;
        }
    }
    return SX_OK;
}

static void measure(const SxStance *stance, const double *at, SxMend *out) {
    for (int i = 0; i < SX_POSITIONS; i++) {
        double dx = at[2 * i] - to_cm(stance->spot[i].x);
        double dy = at[2 * i + 1] - to_cm(stance->spot[i].y);
        double step = snapped(fabs(dx) + fabs(dy));
        out->spot[i] = step > 0 ? (SxSpot){at[2 * i] / CENTIMETRES, at[2 * i + 1] / CENTIMETRES}
                                : stance->spot[i];
        out->total += step;
        out->moved += step > 0;
    }
    out->total = snapped(out->total) / CENTIMETRES;
}

SxStatus sx_mend(const SxStance *stance, const SxRules *rules, const SxMendOptions *options,
                 SxMend *out, SxError *err) {
    SxMendOptions standard;
    double at[COORDINATES];
    sx_mend_default(&standard);
    options = options ? options : &standard;
    *out = (SxMend){.total = 0};
    memcpy(out->spot, stance->spot, sizeof out->spot);
    if (!(options->margin >= 0 && options->margin <= most_margin)) {
        return sx_fail(err, SX_USAGE, "the margin must be from 0 to %g m", most_margin);
    }
    SxStatus status = refuse_persons(stance, rules, err);
    if (status == SX_OK) {
        status = solve(stance, rules, options, options->locked, at, err);
        if (status == SX_NO) {
            return explain_locks(stance, rules, options, out, err);
        }
    }
    if (status == SX_OK) {
        measure(stance, at, out);
    }
    return status;
}
