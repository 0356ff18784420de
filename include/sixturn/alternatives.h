/* What else a lineup could do in one rotation when we receive: other formations, each with its
 * price. Order, liberos and the other five rotations stay as they are. */
#ifndef SIXTURN_ALTERNATIVES_H
#define SIXTURN_ALTERNATIVES_H

#include "sixturn/api.h"
#include "sixturn/forecast.h"
#include "sixturn/work.h"

SX_C_BEGIN

enum { SX_MAX_ALTERNATIVES = 20 };

/* Formations of one shape (see SxFormationShape) are different if somebody stands at least so far
 * elsewhere, in metres; invented. */
#define SX_ELSEWHERE 1.0
/* So many of the choices may have the same passers and attack sides, so that the others are seen.
 */
enum { SX_ALIKE = 2 };

typedef struct {
    SxFormation formation; /* the cheapest of its shape */
    int hides_behind;      /* front-row slot that hides a back-row setter; -1: none */
    double sets;           /* of 100 that it costs against what is planned; below 0: it wins some */
    double run;            /* metres that the six run after the hit */
} SxAlternative;

typedef struct {
    int rotation;     /* 0 to 5 */
    double win;       /* odds of a set as planned */
    double run;       /* metres that the six run as planned */
    int hides_behind; /* as planned, if that is the program's own formation */
    int choices;      /* sets of passers with sides of attack that the plan's wishes allow */
    bool whole;       /* all of them were looked at; false: stopped before */
    int count;
    SxAlternative item[SX_MAX_ALTERNATIVES]; /* the fewest sets first, then the least cost */
} SxAlternatives;

/* The `most` best different formations of the rotation other than the lineup's own: of every set of
 * passers and every side of attack that the plan allows the cheapest shapes by the plan's terms,
 * proven, valued in this lineup; at most SX_ALIKE of them with the same passers and sides. What the
 * plan keeps of this rotation is left aside. win: odds of a set of the lineup. SX_USAGE for a
 * number out of range. */
SX_API SxStatus sx_alternatives(const SxProblem *problem, const SxFixture *fixture,
                                const SxLineup *lineup, double win, int rotation, int most,
                                const SxWork *work, SxAlternatives *out, SxError *err);

/* Metres that the six run from where they stand to their tasks. */
SX_API double sx_formation_metres(const SxFormation *formation);

/* The formation as a coach keeps it in a plan: six spots by position. */
SX_API void sx_keep_formation(const SxSystem *system, int rotation, const SxFormation *formation,
                              SxKept *kept);

SX_C_END

#endif
