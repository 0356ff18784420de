/* Playing time over several sets: lineups that together give everyone her share, at the least
 * loss. */
#ifndef SIXTURN_SHARES_H
#define SIXTURN_SHARES_H

#include "sixturn/api.h"
#include "sixturn/lineup.h"
#include "sixturn/outlook.h"
#include "sixturn/work.h"

SX_C_BEGIN

enum { SX_MAX_SHARED_SETS = 5 };

typedef struct {
    int sets;
    SxLineup set[SX_MAX_SHARED_SETS]; /* the best first */
    double total;                     /* sum of the scores of the lineups that sx_shares chose */
    double bound;                     /* proven: no choice of lineups has a larger sum */
    SxProof proof;                    /* SX_OPTIMAL if both are the same */
    double free_score;                /* the best lineup of one set if nobody had a share */
    bool by_sets;                     /* sx_shares_to_win chose every set's lineup anew */
    SxLineup free;            /* then: the lineup that wins most sets if nobody had a share */
    double win;               /* and the odds of a set, mean over the sets */
    double win_bound;         /* no lineups with that time in each set have more */
    int need[SX_MAX_PLAYERS]; /* rotations of reception asked for, over all sets */
    int got[SX_MAX_PLAYERS][SX_MAX_SHARED_SETS];
    int solved;                            /* lineup programs solved */
    bool valued;                           /* the outlooks are filled, which only a session does */
    SxOutlook outlook[SX_MAX_SHARED_SETS]; /* set odds and starts of each set's lineup */
} SxShares;

/* The plan's wishes for a minimum of rotations count over all sets together, as many as six times
 * the sets; all other wishes hold in every set. SX_NO if no such lineups are found; the message
 * tells whether that is proven.
 *
 * Method: prices of playing time are found by a linear program over the ways to play a set, of
 * which the best by those prices is added until none pays; they bound the sum of all choices. A
 * choice that is better than the best known uses only ways that are worth nearly as much as the
 * best: all these are listed, and the best choice among them is found by branch and bound. Where
 * there are too many, or time is up, the bound tells what is missing to a proof. */
SX_API SxStatus sx_shares(const SxProblem *problem, int sets, const SxWork *run, SxShares *out,
                          SxError *err);

/* Lets every set win as many sets as the time allows that sx_shares gave out in it: in each the
 * lineup that wins most of those in which everybody has at least that time, up to her share. Its
 * proof is SX_OPTIMAL if none wins more; where the work was stopped it is SX_FEASIBLE, and the
 * lineup the better one known. SX_OUT_OF_TIME, with *shares as it was, if it was stopped before
 * free was found. problem: as for sx_shares, but with `against`. */
SX_API SxStatus sx_shares_to_win(const SxProblem *problem, const SxWork *run, SxShares *shares,
                                 SxError *err);

SX_C_END

#endif
