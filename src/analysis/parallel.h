/* A loop whose rounds run on several threads, each with a solver environment of its own. Internal.
 */
#ifndef SIXTURN_ANALYSIS_PARALLEL_H
#define SIXTURN_ANALYSIS_PARALLEL_H

#include "sixturn/error.h"
#include "sixturn/lineup.h"
#include "sixturn/work.h"

#include <stdbool.h>

/* One round; rounds share nothing but what context gives them. */
typedef SxStatus (*ParallelWork)(void *context, int index, SxError *err);

/* For an analysis that must know its answers proven: SX_OUT_OF_TIME in place of SX_OK for the best
 * lineup so far when the time was up before it was proven. */
SxStatus sx_only_proven(SxStatus status, const SxLineup *lineup, SxError *err);

/* Runs work for index 0 to count - 1 in any order. A failed round ends the loop; the error of the
 * lowest failed index is returned. A round that ran out of time is none that failed: it stops the
 * run. done[index] (may be NULL) tells which rounds ran: all of them unless the run was stopped. */
SxStatus sx_parallel_for(const SxWork *run, int count, ParallelWork work, void *context, bool *done,
                         SxError *err);

bool sx_parallel_stopped(const SxWork *run);

/* The same stop and deadline, on one thread and without a word: for work inside a round. */
SxWork sx_work_alone(const SxWork *run);

#endif
