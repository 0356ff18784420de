/* Upper bounds for every order, by the reduced costs of the lineup program's relaxation.
 *
 * A nonbasic column at its lower bound costs its reduced cost when it is taken; one at its upper
 * bound costs it when it is left. Both are at most 0 for a maximum, and so is all that is left out
 * here: the sum stays an upper bound. With a place come others of which one must be taken: in each
 * situation of the back row the player herself or a libero, and where she attacks, one of the
 * attack classes. */
#include "model/lineup_model.h"

#include <math.h>
#include <string.h>

/* What the simplex method's tolerances may cost over all columns. */
static const double BOUND_SLACK = 1e-4;

/* What taking a column adds, where the base is that of leaving it. */
static double taken(const LineupModel *model, int column) {
    return column ? glp_get_col_dual(model->mip, column) : 0;
}

/* What leaving it takes from the optimum of the relaxation. */
static double left(const LineupModel *model, int column) {
    return column && glp_get_col_stat(model->mip, column) == GLP_NU
               ? glp_get_col_dual(model->mip, column)
               : 0;
}

static double attack_taken(const LineupModel *model, int p, int s, int r) {
    const int first = model->attacks[p][s][r];
    double most = first ? taken(model, first) : 0;
    for (int g = 1; first && g < model->attack_classes[s][r]; g++) {
        most = fmax(most, taken(model, first + g));
    }
    return most;
}

static double attack_left(const LineupModel *model, int p, int s, int r) {
    const int first = model->attacks[p][s][r];
    double sum = 0;
    for (int g = 0; first && g < model->attack_classes[s][r]; g++) {
        sum += left(model, first + g);
    }
    return sum;
}

/* Her own column in a situation, where it is not that of the place. */
static int own_column(const LineupModel *model, int p, int s, int r, int phase) {
    const int column = model->self[p][s][r][phase];
    return column == model->fills[p][s][SX_BACK] ? 0 : column;
}

/* She or a libero, whoever costs less. */
static double situation_taken(const LineupModel *model, int p, int s, int r, int phase) {
    double most = taken(model, own_column(model, p, s, r, phase));
    most += phase == SX_RECEIVE ? attack_taken(model, p, s, r) : 0;
    for (int l = 0; l < model->problem->team->player_count; l++) {
        const int column = model->in[l][s][r][phase];
        most = column ? fmax(most, taken(model, column)) : most;
    }
    return most;
}

/* What comes with a row of a slot. */
static double row_taken(const LineupModel *model, int p, int s, SxRow row) {
    double sum = 0;
    for (int r = 0; r < SX_ROTATIONS; r++) {
        if (sx_slot_row(s, r) != row) {
            continue;
        }
        if (row == SX_FRONT) {
            sum += attack_taken(model, p, s, r);
        }
        for (int phase = 0; row == SX_BACK && phase < SX_PHASES; phase++) {
            sum += situation_taken(model, p, s, r, phase);
        }
    }
    return sum;
}

static double slot_left(const LineupModel *model, int p, int s) {
    double sum = 0;
    for (int r = 0; r < SX_ROTATIONS; r++) {
        sum += attack_left(model, p, s, r);
        for (int phase = 0; phase < SX_PHASES; phase++) {
            sum += left(model, own_column(model, p, s, r, phase));
            sum += left(model, model->in[p][s][r][phase]);
        }
    }
    return sum;
}

/* The rewards that a place may bring; a player who may be a libero may have hers without. */
static double reward_taken(const LineupModel *model, int p, int room) {
    const int column = model->named[p] ? 0 : model->counted[p];
    const double most = column ? glp_get_col_ub(model->mip, column) : 0;
    return left(model, column) * fmin(most, room);
}

static void read_player(const LineupModel *model, int p, SxOrderBounds *out) {
    out->base -= reward_taken(model, p, SX_ROTATIONS);
    for (int s = 0; s < SX_SLOTS; s++) {
        const int *fills = model->fills[p][s];
        const bool one = fills[SX_FRONT] == fills[SX_BACK];
        out->base -= slot_left(model, p, s);
        for (int row = 0; row < SX_ROWS; row++) {
            const int column = fills[row];
            out->can[p][s][row] = column != 0;
            if (!column || (row == SX_BACK && one)) {
                continue;
            }
            out->base -= left(model, column);
            out->value[p][s][row] = taken(model, column) + row_taken(model, p, s, (SxRow)row) +
                                    (one ? row_taken(model, p, s, SX_BACK) : 0) +
                                    reward_taken(model, p, one ? SX_ROTATIONS : SX_BACK_TURNS);
        }
    }
}

void sx_lineup_model_bounds(const LineupModel *model, SxOrderBounds *out) {
    memset(out, 0, sizeof *out);
    out->top = out->base = glp_get_obj_val(model->mip) + BOUND_SLACK;
    for (int p = 0; p < model->problem->team->player_count; p++) {
        read_player(model, p, out);
    }
}
