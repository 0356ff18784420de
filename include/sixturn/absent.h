/* How much the team loses without each player, or without two of them. */
#ifndef SIXTURN_ABSENT_H
#define SIXTURN_ABSENT_H

#include "sixturn/api.h"
#include "sixturn/difference.h"
#include "sixturn/legality.h" /* SX_NOBODY */
#include "sixturn/systems.h"

SX_C_BEGIN

enum { SX_TOGETHER = 6 }; /* players who are absent at the same time, at most */

typedef struct {
    int player[SX_TOGETHER]; /* who is absent; SX_NOBODY after the last */
    bool done;               /* false: the run was stopped before */
    bool lifted;             /* wishes that ask for an absent player were left out */
    bool possible;           /* there is a legal lineup without them */
    SxLineup lineup;         /* the best one */
    double loss;             /* points; infinity if there is none */
    SxDifference difference; /* from the best lineup of all to this one */
    unsigned only_cover; /* roles of the best lineup, a bit for each SxRole, that nobody else on the
                            bench can play; for one player alone, else 0 */
    bool apart_known;    /* of two: the list holds each of them alone as well, and then */
    double beyond;       /* the loss of both beyond what each alone costs */
    int better_system;   /* index into the systems, or -1: none is better then */
    double system_score; /* under that system, see sx_absent */
    double system_gain;  /* more than under the problem's system; infinity if that has none */
} SxAbsence;

typedef struct {
    SxLineup best; /* with everybody; if that is not proven, for lack of time, no item is done */
    int count;
    SxAbsence *item;   /* the largest loss first, then by shirt number */
    int better_system; /* index of a system that is better with everybody; -1: none */
    double system_gain;
    int solved; /* programs solved */
} SxAbsences;

/* A case holds players up to the first SX_NOBODY. Wishes that ask for an absent player (must play,
 * must set, a fixed slot, an opposite pair, at least so many rotations, the libero for her) are
 * left out; all others stand. systems (may be NULL): those to compare with; as rotation weights
 * belong to one system, systems are compared with all rotations counting alike, unless the plan
 * gives the weights. A system is tried if with everybody it is better than the problem's system
 * without the absent. Free with sx_absences_free.
 */
SX_API SxStatus sx_absent(const SxProblem *problem, const SxSystemSet *systems,
                          int (*cases)[SX_TOGETHER], int count, const SxWork *run, SxAbsences *out,
                          SxError *err);
SX_API void sx_absences_free(SxAbsences *absences);

SX_C_END

#endif
