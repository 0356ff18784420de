/* What a lineup means on the day of the match: where all stand at our own serve, when the libero
 * comes and goes, the planned substitutions and how to play on after them, and who runs how far. */
#ifndef SIXTURN_MATCHDAY_H
#define SIXTURN_MATCHDAY_H

#include "sixturn/api.h"
#include "sixturn/libero.h"
#include "sixturn/movement.h"
#include "sixturn/outlook.h"
#include "sixturn/prices.h"
#include "sixturn/sure.h"

SX_C_BEGIN

/* The formations at our own service, by rotation. */
typedef struct {
    SxFormation at[SX_ROTATIONS];
} SxServeFormations;

/* options may be NULL. */
SX_API SxStatus sx_serve_formations(const SxProblem *problem, const SxFormationOptions *options,
                                    SxServeFormations *out, SxError *err);

/* A plain value. */
typedef struct {
    SxServeFormations serve;
    SxLiberoSteps steps; /* from the lineup's start, receiving first */
    SxChanges changes;
    SxAfterLimit after;
    const SxPrices *prices; /* what the wishes cost; sx_match_day leaves it NULL: not asked */
    const SxSure *sure;     /* how sure it is the best; likewise */
} SxMatchDay;

/* outlook: of this lineup; it says when to stop substituting if they serve first. */
SX_API SxStatus sx_match_day(const SxProblem *problem, const SxLineup *lineup,
                             const SxOutlook *outlook, SxMatchDay *day, SxError *err);

/* A player's run in a rotation and phase: from her spot to the next task, and in reception from
 * there to base. */
typedef struct {
    double task, base;           /* metres */
    double task_time, base_time; /* seconds, by the movement model */
    double given;                /* seconds that the ball gives until the task */
    bool late;                   /* task_time > given */
} SxRun;

SX_API SxRun sx_player_run(const SxProblem *problem, int rotation, SxPhase phase,
                           const SxFormation *formation, int slot);
/* Pairs of slots whose runs meet on the way; returns how many. */
SX_API int sx_meeting_runs(const SxProblem *problem, int rotation, SxPhase phase,
                           const SxFormation *formation, SxCrossing out[SX_MAX_CROSSINGS]);

SX_C_END

#endif
