/* Calling GLPK so that it cannot end the program.
 *
 * GLPK prints a message and aborts when an allocation fails or when it finds itself in a state that
 * it holds to be impossible. Its error hook, which belongs to the thread, is told before; from
 * there the guard jumps back. GLPK then keeps what the broken-off call had allocated until
 * glp_free_env() frees the thread's environment; other programs of the thread are not touched. */
#ifndef SIXTURN_SOLVER_SOLVER_H
#define SIXTURN_SOLVER_SOLVER_H

#include "sixturn/error.h"

#include <glpk.h>
#include <stdnoreturn.h>

/* Builds, solves or reads a program. It may be left at any call of GLPK, so that what it allocates
 * itself must be reachable from `data`; it must not call sx_solver_run again. */
typedef SxStatus (*SolverWork)(void *data, SxError *err);

/* Runs the work with GLPK silenced and returns its status; SX_NO_MEMORY or SX_SOLVER_FAILED if
 * GLPK gave up. `program` is the one worked on, given up and set to NULL in that case. A hook of
 * the caller's own in this thread's GLPK environment is lost. */
SxStatus sx_solver_run(SolverWork work, void *data, glp_prob **program, SxError *err);

/* Leaves the work: an allocation beside GLPK's has failed. */
noreturn void sx_solver_out_of_memory(void);

#endif
