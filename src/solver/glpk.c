/* The few GLPK calls that the integer programs share. */
#include "solver/glpk.h"

#include "solver/solver.h"

#include <limits.h>
#include <math.h>
#include <stdlib.h>

static int bound_kind(double low, double high) {
    if (isinf(low)) {
        return isinf(high) ? GLP_FR : GLP_UP;
    }
    if (isinf(high)) {
        return GLP_LO;
    }
    return low < high ? GLP_DB : GLP_FX;
}

int sx_mip_column(glp_prob *mip, const char *name, double low, double high, double cost,
                  bool integer) {
    int column = glp_add_cols(mip, 1);
    glp_set_col_name(mip, column, name);
    if (integer) {
        glp_set_col_kind(mip, column, GLP_IV);
    }
    glp_set_col_bnds(mip, column, bound_kind(low, high), low, high);
    glp_set_obj_coef(mip, column, cost);
    return column;
}

void sx_mip_row_clear(MipRow *row) {
    row->count = 0;
}

void sx_mip_row_free(MipRow *row) {
    free(row->column);
    free(row->value);
    *row = (MipRow){.count = 0};
}

static void *grow(void *memory, size_t size) {
    void *grown = realloc(memory, size);
    if (!grown) {
        sx_solver_out_of_memory();
    }
    return grown;
}

void sx_mip_row_add(MipRow *row, int column, double value) {
    enum { FIRST_ROOM = 64 };
    if (row->count + 1 >= row->room) { /* entry 0 is not used */
        size_t room = row->room ? 2 * (size_t)row->room : FIRST_ROOM;
        row->column = grow(row->column, room * sizeof *row->column);
        row->value = grow(row->value, room * sizeof *row->value);
        row->room = (int)room;
    }
    row->count++;
    row->column[row->count] = column;
    row->value[row->count] = value;
}

typedef struct {
    int column, at;
    double value;
} Term;

static int by_column(const void *a, const void *b) {
    const Term *left = a, *right = b;
    if (left->column != right->column) {
        return left->column < right->column ? -1 : 1;
    }
    return left->at < right->at ? -1 : left->at > right->at;
}

void sx_mip_row_merge(MipRow *row) {
    bool sorted = true;
    for (int k = 2; k <= row->count; k++) {
        sorted &= row->column[k - 1] < row->column[k];
    }
    if (sorted) {
        return;
    }
    Term *term = malloc((size_t)row->count * sizeof *term);
    if (!term) {
        sx_solver_out_of_memory();
    }
    for (int k = 0; k < row->count; k++) {
        term[k] = (Term){row->column[k + 1], k, row->value[k + 1]};
    }
    qsort(term, (size_t)row->count, sizeof *term, by_column);
    int count = 0;
    for (int k = 0; k < row->count; k++) {
        if (count > 0 && row->column[count] == term[k].column) {
            row->value[count] += term[k].value;
            continue;
        }
        count++;
        row->column[count] = term[k].column;
        row->value[count] = term[k].value;
    }
    row->count = count;
    free(term);
}

int sx_mip_row_put(glp_prob *mip, MipRow *row, const char *name, double low, double high) {
    sx_mip_row_merge(row);
    int index = glp_add_rows(mip, 1);
    glp_set_row_name(mip, index, name);
    glp_set_row_bnds(mip, index, bound_kind(low, high), low, high);
    glp_set_mat_row(mip, index, row->count, row->column, row->value);
    sx_mip_row_clear(row);
    return index;
}

int sx_mip_milliseconds(double seconds) {
    static const double milliseconds = 1000.0;
    return seconds * milliseconds < INT_MAX ? (int)fmax(seconds * milliseconds, 1) : INT_MAX;
}

int sx_mip_relax(glp_prob *mip, int milliseconds) {
    glp_smcp simplex;
    glp_init_smcp(&simplex);
    simplex.msg_lev = GLP_MSG_OFF;
    simplex.meth = GLP_DUALP;
    simplex.r_test = GLP_RT_FLIP;
    simplex.tm_lim = milliseconds;
    glp_adv_basis(mip, 0);
    return glp_simplex(mip, &simplex);
}
