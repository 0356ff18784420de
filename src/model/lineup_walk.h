/* The best order without branching: orders by falling bound. Internal. */
#ifndef SIXTURN_MODEL_LINEUP_WALK_H
#define SIXTURN_MODEL_LINEUP_WALK_H

#include "sixturn/program.h"

typedef struct {
    bool ended;    /* false: gave up, and nothing else is filled */
    SxProof proof; /* SX_FEASIBLE: told to stop */
    double score;
    double bound; /* no lineup scores more */
    long tried;   /* orders that were scored */
    SxOrder order;
} LineupWalk;

/* The order that sx_lineup_solve is to find, ties as there: orders are scored by falling bound
 * until no other can score as much. Gives up where more than `most` may score as much as the best
 * of the first fifty, or none of these keeps the wishes. Without a message SX_NO if no order keeps
 * them, SX_OUT_OF_TIME if told to stop before the first. */
SxStatus sx_lineup_walk(const SxProblem *problem, const SxOrderBounds *bounds, int most,
                        const SxWork *work, LineupWalk *out, SxError *err);

/* sx_lineup_solve with another number for `most`; 0: by branching alone. For tests. */
SxStatus sx_lineup_solve_within(const SxProblem *problem, const SxSolveOptions *options, int most,
                                SxLineup *out, SxError *err);

#endif
