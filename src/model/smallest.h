/* The smallest set of a plan's wishes that cannot hold together. */
#ifndef SIXTURN_MODEL_SMALLEST_H
#define SIXTURN_MODEL_SMALLEST_H

#include "sixturn/lineup.h"

/* How much is known of a conflict when the time or the effort allowed is over. */
typedef enum {
    SX_SMALLEST,    /* no smaller set of wishes is in conflict */
    SX_IRREDUCIBLE, /* without any one of them the others can hold */
    SX_SOME         /* perhaps some of them can go */
} SxConflictKind;

typedef struct {
    int count; /* 0: even without a wish there is no lineup */
    bool wish[SX_MAX_WISHES];
    SxConflictKind kind;
} SxConflict;

/* For a problem that has no lineup. SX_OK; SX_OUT_OF_TIME, SX_NO_MEMORY, SX_SOLVER_FAILED. */
SxStatus sx_smallest_conflict(const SxProblem *problem, const SxWork *work, SxConflict *out,
                              SxError *err);

/* Sets *ruled_out if the wishes cannot hold even with fractions of players, which takes
 * milliseconds. */
SxStatus sx_wishes_ruled_out(const SxProblem *problem, const SxWork *work, bool *ruled_out,
                             SxError *err);

#endif
