/* The few GLPK calls that the integer programs share. */
#include "model/glpk.h"

#include <assert.h>
#include <math.h>

static int bound_kind(double low, double high) {
    if (isinf(low)) {
        return isinf(high) ? GLP_FR : GLP_UP;
    }
    if (isinf(high)) {
        return GLP_LO;
    }
    return low < high ? GLP_DB : GLP_FX;
}

int mip_column(glp_prob *mip, const char *name, double low, double high, double cost,
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

void mip_row_clear(MipRow *row) {
    row->count = 0;
}

void mip_row_add(MipRow *row, int column, double value) {
    for (int k = 1; k <= row->count; k++) {
        if (row->column[k] == column) {
            row->value[k] += value;
            return;
        }
    }
    assert(row->count < MIP_ROW_TERMS);
    row->count++;
    row->column[row->count] = column;
    row->value[row->count] = value;
}

int mip_row_put(glp_prob *mip, MipRow *row, const char *name, double low, double high) {
    int index = glp_add_rows(mip, 1);
    glp_set_row_name(mip, index, name);
    glp_set_row_bnds(mip, index, bound_kind(low, high), low, high);
    glp_set_mat_row(mip, index, row->count, row->column, row->value);
    mip_row_clear(row);
    return index;
}
