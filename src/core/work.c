/* How a long analysis runs: threads, stop flag, deadline. */
#define _POSIX_C_SOURCE 200809L
#include "sixturn/work.h"

#include <math.h>
#include <stddef.h>
#include <time.h>
#include <unistd.h>

enum { MOST_THREADS = 64 };

int sx_work_threads(const SxWork *work) {
    long threads = work && work->threads > 0 ? work->threads : sysconf(_SC_NPROCESSORS_ONLN);
    return threads < 1 ? 1 : threads > MOST_THREADS ? MOST_THREADS : (int)threads;
}

double sx_clock(void) {
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

double sx_work_left(const SxWork *work) {
    return work && work->deadline > 0 ? fmax(work->deadline - sx_clock(), 0) : INFINITY;
}

bool sx_work_over(const SxWork *work) {
    return work && ((work->stop && *work->stop) || sx_work_left(work) <= 0);
}
