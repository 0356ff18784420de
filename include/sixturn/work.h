/* How a long analysis runs: on how many threads, who is told, and how it is stopped. */
#ifndef SIXTURN_WORK_H
#define SIXTURN_WORK_H

#include "sixturn/api.h"

#include <signal.h>
#include <stdbool.h>

SX_C_BEGIN

/* A plain value; NULL instead of a pointer to one means all defaults. Results never depend on the
 * number of threads. */
typedef struct {
    int threads;                       /* 0: one for each processor */
    const volatile sig_atomic_t *stop; /* becomes nonzero: stop soon and keep what is done; or NULL
                                        */
    void (*progress)(void *context, long done, long total); /* from one thread at a time; or NULL.
                                                               total 0: unknown */
    void *context;
    double deadline; /* on sx_clock(): stop then as if told to; 0: none. Bounds everything that runs
                        by this, each program solved included. */
    bool unexplained; /* SX_NO is answer enough: why there is no lineup is not worked out */
} SxWork;

/* The number of threads that a run uses, at least 1. */
SX_API int sx_work_threads(const SxWork *work);

/* Seconds on a clock that only goes forward. */
SX_API double sx_clock(void);
/* Told to stop, or past the deadline. */
SX_API bool sx_work_over(const SxWork *work);
/* Seconds left to the deadline, at least 0; infinity if there is none. */
SX_API double sx_work_left(const SxWork *work);

SX_C_END

#endif
