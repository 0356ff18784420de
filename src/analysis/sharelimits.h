/* How much sharing playing time may go through, and sharing within other limits than the usual
 * ones: with small ones a test comes to what happens beyond them. Internal. */
#ifndef SIXTURN_ANALYSIS_SHARELIMITS_H
#define SIXTURN_ANALYSIS_SHARELIMITS_H

#include "sixturn/shares.h"

/* Counted, not timed, so that every machine chooses the same. */
typedef struct {
    int listed;       /* orders at a time */
    int ways;         /* to play a set */
    long first_nodes; /* of a first choice */
    long nodes;       /* of one that proves */
} ShareLimits;

/* sx_shares within these limits. */
SxStatus sx_shares_within(const SxProblem *problem, int sets, const SxWork *run,
                          const ShareLimits *limits, SxShares *out, SxError *err);

#endif
