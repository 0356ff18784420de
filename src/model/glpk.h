/* The few GLPK calls that the integer programs share. */
#ifndef SIXTURN_MODEL_GLPK_H
#define SIXTURN_MODEL_GLPK_H

#include <glpk.h>
#include <stdbool.h>

/* Adds a column with bounds and objective coefficient; binary if `integer`. Returns its index. */
int mip_column(glp_prob *mip, const char *name, double low, double high, double cost, bool integer);

/* A row under construction: terms are gathered, then put into the problem in one go. */
enum { MIP_ROW_TERMS = 2048 };

typedef struct {
    int count;
    int column[MIP_ROW_TERMS + 1]; /* 1-based, as GLPK wants it */
    double value[MIP_ROW_TERMS + 1];
} MipRow;

void mip_row_clear(MipRow *row);
/* Adds value * column; repeated columns are summed. */
void mip_row_add(MipRow *row, int column, double value);
/* Puts low <= row <= high into the problem (use -HUGE_VAL / HUGE_VAL for open sides) and clears the
 * row. Returns the row's index. */
int mip_row_put(glp_prob *mip, MipRow *row, const char *name, double low, double high);

#endif
