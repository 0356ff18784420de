/* Calling GLPK so that it cannot end the program. */
#include "solver/solver.h"

#include <setjmp.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

/* What GLPK 5.0 says of an allocation that failed (alloc.c). */
static const char NO_MEMORY[] = "no memory available";

enum { NO_ENVIRONMENT = 2 /* glp_init_env: out of memory */ };

typedef struct {
    jmp_buf back;
    volatile bool no_memory;
} Guard;

/* Reads GLPK's last words and keeps them from the terminal. */
static int hear(void *info, const char *words) {
    Guard *guard = info;
    guard->no_memory = guard->no_memory || strstr(words, NO_MEMORY);
    return 1;
}

static void give_up(void *info) {
    Guard *guard = info;
    longjmp(guard->back, 1);
}

noreturn void sx_solver_out_of_memory(void) {
    glp_error("%s\n", NO_MEMORY);
    abort(); /* not reached: the hook does not return */
}

SxStatus sx_solver_run(SolverWork work, void *data, glp_prob **program, SxError *err) {
    if (glp_init_env() == NO_ENVIRONMENT) {
        return sx_out_of_memory(err);
    }
    Guard guard = {.no_memory = false};
    int spoke = glp_term_out(GLP_OFF); /* a library does not print */
    glp_term_hook(hear, &guard);
    glp_error_hook(give_up, &guard);
    SxStatus status;
    if (setjmp(guard.back) == 0) {
        status = work(data, err);
    } else {
        *program = NULL;
        status = guard.no_memory ? sx_out_of_memory(err)
                                 : sx_fail(err, SX_SOLVER_FAILED, "the solver broke off a program");
    }
    glp_error_hook(NULL, NULL);
    glp_term_hook(NULL, NULL);
    glp_term_out(spoke);
    return status;
}
