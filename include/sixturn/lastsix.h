/* The six who play on when the planned substitutions are used up.
 *
 * A plan of substitutions leaves one of a few sixes on court, by where the coach stops. For each of
 * them, every system of a set and every way to lay the system's slots on the six, the lineup with
 * the best libero and passers is scored by the plan's weights, all rotations alike; the best is
 * returned. Only wishes about passing and rows are kept: the others speak of the whole set. */
#ifndef SIXTURN_LASTSIX_H
#define SIXTURN_LASTSIX_H

#include "sixturn/changes.h"
#include "sixturn/systems.h"

typedef struct {
    bool possible;       /* false: none of the sixes fits a system of the set */
    int changes;         /* make this many of the planned changes, then no more */
    int cycle, rotation; /* when the last of them is made; -1 if none is */
    int six[SX_SLOTS];   /* players by slot of the planned order */
    int system;          /* index into the set */
    int turn;            /* slot (k + turn) mod 6 of the planned order plays slot k of the system */
    SxLineup lineup; /* in the system's slots, starting in rotation 0; borrows the set's table */
} SxLastSix;

/* Among equally good ones the latest stop, then the first system and the smallest turn. */
SxStatus sx_last_six(const SxProblem *problem, const SxLineup *planned, const SxChanges *changes,
                     const SxSystemSet *set, SxLastSix *out, SxError *err);

#endif
