/* Real sets, counted, and the chain fitted to them: one side-out and a normal spread of strengths.
 */
#ifndef SIXTURN_TESTS_REALSETS_H
#define SIXTURN_TESTS_REALSETS_H

#include "sixturn/setodds.h"

enum { MOST = SX_MAX_POINTS, TO_15 = 0, TO_25 = 1 };

/* How many sets to 15 and to 25 ended with so many points of the loser. */
typedef struct {
    int sets[2][MOST];
} Scores;

/* league: a name in the file's first column, or NULL if it has no such column. */
Scores read_scores(const char *file, const char *league);
int count_sets(const Scores *scores, int to);

SxSetChain *chain_of(const SxRates *rates, SxSetRules rules);
SxRates plain(double side_out, double break_point);
SxSetOdds odds_of(const SxSetChain *chain, SxServeState start);

/* A published table: chi-square passed with chance 1 % at 1, 2, ... degrees of freedom. */
double chi_square_1_percent(int freedom);

/* One fitted rate: of the sets still level, a share 1 - s ends at the next chance, because a pair
 * of rallies between equal teams with side-out s ends with s (1 - s) + (1 - s)^2 = 1 - s. The most
 * likely s is then one minus ends by chances. */
double fit_side_out(const Scores *scores);

/* Teams of unequal strength: in a match our side-out is logit(s) + d, theirs logit(s) - d, on the
 * log-odds scale, and d is normal with mean 0 and the spread fitted. Over d by the trapezoid rule.
 */
enum { GRID = 121 };

typedef struct {
    double loser[2]
                [MOST + 1]; /* share of the sets by the loser's points; all ties under target-1 */
    double rallies[2];
    double odds_25, odds_15; /* of the set, whoever serves first */
} Pairing;

typedef struct {
    Pairing at[GRID];
} Pairings;

/* Of all strengths, for one side-out. */
void pair_up(double side_out, Pairings *pairings);

/* Sets to be expected when teams spread so far. A match is best of five: the better the teams are
 * matched, the more sets they play, and only at 2-2 one to 15. */
Pairing expected_sets(const Pairings *pairings, double spread, double *deciders);
/* The most likely spread of the sets to 25. */
double fit_spread(const Pairings *pairings, const Scores *scores);

/* Chi-square of the loser's points against shares foretold without these sets; classes of fewer
 * than five sets expected are joined to the next. Must not be passed with chance 1 %. */
void check_final_scores(const Scores *scores, int to, const Pairing *foretold, const char *name);
/* Ties at target - 1 all and points a set, within what chance passes once in a hundred times. */
void check_foretold(const Scores *scores, int to, const Pairing *foretold, const char *name);

#endif
