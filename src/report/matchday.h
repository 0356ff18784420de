/* The match-day part of a plan: slip, libero steps, substitutions, release runs. Internal. */
#ifndef SIXTURN_REPORT_MATCHDAY_H
#define SIXTURN_REPORT_MATCHDAY_H

#include "sixturn/afterlimit.h"
#include "sixturn/libero.h"
#include "sixturn/movement.h"
#include "sixturn/report.h"

#include <cjson/cJSON.h>
#include <stdio.h>

typedef struct {
    SxLiberoSteps steps;
    SxChanges changes;
    SxAfterLimit after;
} MatchDay;

/* False when memory or the solver fails. */
bool matchday_make(const SxProblem *problem, const SxLineup *lineup, MatchDay *day);

void matchday_text(FILE *out, const SxProblem *problem, const SxLineup *lineup,
                   const MatchDay *day);
void matchday_json(cJSON *root, const SxProblem *problem, const SxLineup *lineup,
                   const MatchDay *day);

/* A player's run in a rotation and phase: from her spot to the next task, and in reception from
 * there to base. */
typedef struct {
    double task, base;           /* metres */
    double task_time, base_time; /* seconds, by the movement model */
    double given;                /* seconds that the ball gives until the task */
    bool late;                   /* task_time > given */
} Run;

Run matchday_run(const SxProblem *problem, int rotation, SxPhase phase,
                 const SxFormation *formation, int slot);
/* Pairs of slots whose runs meet on the way. */
int matchday_crossings(const SxProblem *problem, int rotation, SxPhase phase,
                       const SxFormation *formation, SxCrossing out[SX_MAX_CROSSINGS]);

#endif
