/* The odds of a match from the odds of its sets, taken as independent. */
#ifndef SIXTURN_MATCH_H
#define SIXTURN_MATCH_H

#include "sixturn/api.h"
#include "sixturn/error.h"

SX_C_BEGIN

enum { SX_MAX_SETS = 5 };

typedef struct {
    double win;                         /* probability that we win the match */
    double won_to[SX_MAX_SETS / 2 + 1]; /* ... with the loser having won 0, 1 or 2 sets */
    double lost_to[SX_MAX_SETS / 2 + 1];
    double sets; /* expected number of sets */
} SxMatchOdds;

/* set_win[k] is our probability of winning set k + 1, should it be played; there are best_of of
 * them (1, 3 or 5), the last being the deciding set. SX_USAGE for another best_of, SX_BAD_INPUT for
 * a probability outside 0 to 1. */
SX_API SxStatus sx_match_odds(const double *set_win, int best_of, SxMatchOdds *odds, SxError *err);

SX_C_END

#endif
