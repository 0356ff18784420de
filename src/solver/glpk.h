/* The few GLPK calls that the integer programs share. */
#ifndef SIXTURN_SOLVER_GLPK_H
#define SIXTURN_SOLVER_GLPK_H

#include <glpk.h>
#include <stdbool.h>

/* Adds a column with bounds and objective coefficient; binary if `integer`. Returns its index. */
int sx_mip_column(glp_prob *mip, const char *name, double low, double high, double cost,
                  bool integer);

/* A row under construction: terms are gathered, then put into the problem in one go. Starts as
 * {0}; sx_mip_row_free gives its memory back. It grows under sx_solver_run only, which is left when
 * there is no memory, so the row must be reachable from the work's data. */
typedef struct {
    int count, room;
    int *column; /* 1-based, as GLPK wants it */
    double *value;
} MipRow;

void sx_mip_row_clear(MipRow *row);
void sx_mip_row_free(MipRow *row);
/* Adds value * column; a column may come again. */
void sx_mip_row_add(MipRow *row, int column, double value);
/* Sums what comes again. sx_mip_row_put does so first. */
void sx_mip_row_merge(MipRow *row);
/* Puts low <= row <= high into the problem (use -HUGE_VAL / HUGE_VAL for open sides) and clears the
 * row. Returns the row's index. */
int sx_mip_row_put(glp_prob *mip, MipRow *row, const char *name, double low, double high);

/* Seconds as GLPK's limit of time: at least one millisecond; infinity is no limit. */
int sx_mip_milliseconds(double seconds);

/* Solves the relaxation of a program as it was built, and returns what glp_simplex does. From a
 * basis of what is nearly triangular, by the dual method, which lets many columns go from one bound
 * to the other in a step: nearly all of ours lie between 0 and 1. On lineup programs of 10 to 14
 * players that takes two thirds of the primal method's time. */
int sx_mip_relax(glp_prob *mip, int milliseconds);

#endif
