/* The odds of a match from the odds of its sets: a walk over the sets won by either side. */
#include "sixturn/match.h"

#include <string.h>

SxStatus sx_match_odds(const double *set_win, int best_of, SxMatchOdds *odds, SxError *err) {
    if (best_of != 1 && best_of != 3 && best_of != SX_MAX_SETS) {
        return sx_fail(err, SX_USAGE, "a match is best of 1, 3 or 5 sets, not of %d", best_of);
    }
    for (int k = 0; k < best_of; k++) {
        if (!(set_win[k] >= 0 && set_win[k] <= 1)) {
            return sx_fail(err, SX_BAD_INPUT, "the odds of set %d are %g, not from 0 to 1", k + 1,
                           set_win[k]);
        }
    }
    memset(odds, 0, sizeof *odds);
    const int needed = best_of / 2 + 1;
    double reach[SX_MAX_SETS / 2 + 2][SX_MAX_SETS / 2 + 2] = {{1.0}};
    for (int won = 0; won < needed; won++) {
        for (int lost = 0; lost < needed; lost++) {
            double here = reach[won][lost];
            double win = set_win[won + lost];
            odds->sets += here;
            reach[won + 1][lost] += here * win;
            reach[won][lost + 1] += here * (1 - win);
        }
    }
    for (int other = 0; other < needed; other++) {
        odds->won_to[other] = reach[needed][other];
        odds->lost_to[other] = reach[other][needed];
        odds->win += reach[needed][other];
    }
    return SX_OK;
}
