/* How long a run takes, who comes late, and which runs meet.
 *
 * The model: after a reaction time a player runs straight at a steady acceleration until she has
 * her top speed, and then holds it. She is not slowed down at the end, for a run often goes on into
 * the next action. Distance s after t seconds of running: a t^2 / 2 up to v / a seconds, then
 * v t - v^2 / (2 a). The default figures give 5 m in 1.15 s and 10 m in 1.98 s after the reaction,
 * as sprint tests of women and girls who train do (from memory: 1.1 to 1.2 s for 5 m); the reaction
 * is invented. No measure of anybody's fitness and no training advice. */
#ifndef SIXTURN_MOVEMENT_H
#define SIXTURN_MOVEMENT_H

#include "sixturn/api.h"
#include "sixturn/court.h"

SX_C_BEGIN

typedef struct {
    double reaction;     /* seconds before the first step, >= 0 */
    double acceleration; /* metres a second squared, > 0 */
    double top_speed;    /* metres a second, > 0 */
} SxMovement;

/* Seconds that the ball takes. */
typedef struct {
    double serve; /* service hit to the pass: 15 m at the 13.2 m/s of collegiate women's jump serves
                     (Tant et al. 1993, second hand), no drag */
    double pass;  /* pass to the set (invented, of the usual size) */
    double set;   /* set to the attack, a high ball (invented, of the usual size) */
    double quick; /* set to the attack of a first-tempo hitter (invented) */
    double rise;  /* take-off to the attack: 0.40 m up take sqrt(2 * 0.40 / 9.81) */
    double lead;  /* how long before the set a first-tempo hitter starts her approach (invented) */
} SxBallTimes;

enum { SX_MAX_CROSSINGS = SX_SLOTS * (SX_SLOTS - 1) / 2 };

#define SX_CROSSING_ROOM 0.60 /* metres: nearer than this two runners touch (our choice) */

SX_API void sx_movement_default(SxMovement *movement);
SX_API void sx_ball_times_default(SxBallTimes *times);

/* Seconds from the start signal to the end of a run of so many metres; 0 for no run. */
SX_API double sx_run_time(const SxMovement *movement, double distance);
/* Seconds by which a run that starts at `start` misses `due`; 0 if she is in time. */
SX_API double sx_late(const SxMovement *movement, SxSpot from, SxSpot to, double start, double due);
/* Metres run after so many seconds, with no end to the run: the inverse of sx_run_time. */
SX_API double sx_run_length(const SxMovement *movement, double time);
/* Where a runner is; at `to` once she has arrived. */
SX_API SxSpot sx_run_at(const SxMovement *movement, SxSpot from, SxSpot to, double time);

typedef struct {
    int a, b;        /* a < b */
    double time;     /* seconds after the start signal: when they are nearest */
    double distance; /* metres, then */
} SxCrossing;

/* The pairs of six runs that start together and come within `room` metres of each other on the way:
 * nearer than at both the start and the end. A pair that only starts or ends close is not one.
 * Returns how many, sorted by a, then b. */
SX_API int sx_run_crossings(const SxMovement *movement, const SxSpot from[SX_SLOTS],
                            const SxSpot to[SX_SLOTS], double room,
                            SxCrossing out[SX_MAX_CROSSINGS]);

SX_C_END

#endif
