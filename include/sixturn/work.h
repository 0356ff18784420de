/* How a long analysis runs: on how many threads, who is told, and how it is stopped. */
#ifndef SIXTURN_WORK_H
#define SIXTURN_WORK_H

#include "sixturn/api.h"

#include <signal.h>

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
} SxWork;

/* The number of threads that a run uses, at least 1. */
SX_API int sx_work_threads(const SxWork *run);

SX_C_END

#endif
