/* Every setter, or every pair of setters, with the best lineup around them. */
#ifndef SIXTURN_SETTERS_H
#define SIXTURN_SETTERS_H

#include "sixturn/api.h"
#include "sixturn/makeup.h"
#include "sixturn/systems.h"

SX_C_BEGIN

typedef struct {
    int system;    /* index into the systems */
    int setter[2]; /* the second is -1 where one sets all six rotations */
    bool done;     /* false: the run was stopped before its lineup was proven */
    bool possible; /* there is a legal lineup; not done: one was found */
    SxLineup lineup;
    double value;                  /* sets of 100, or points, as the problem's goal is */
    double bound;                  /* no lineup has more: the value if done; infinity: not known */
    double column[SX_SUM_COLUMNS]; /* what makes it up, of a possible one */
} SxSetterChoice;

typedef struct {
    int count;
    SxSetterChoice *item; /* best first; then what is open, by its bound; impossible ones last */
} SxSetterChoices;

/* All systems of the set with one or two places that set; others are left out. Free with
 * sx_setters_free. Systems without planned substitutions are solved first, then what may be best by
 * its bound. */
SX_API SxStatus sx_setters(const SxProblem *problem, const SxSystemSet *systems, const SxWork *run,
                           SxSetterChoices *out, SxError *err);
SX_API void sx_setters_free(SxSetterChoices *choices);

SX_C_END

#endif
