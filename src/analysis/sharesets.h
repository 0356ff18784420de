/* The best choice of several sets among the ways to play one, so that everyone gets her rotations.
 * Internal. */
#ifndef SIXTURN_ANALYSIS_SHARESETS_H
#define SIXTURN_ANALYSIS_SHARESETS_H

#include "analysis/shareways.h"
#include "sixturn/shares.h"

typedef struct {
    const ShareWays *ways;
    const SxRewards *rewards; /* prices that bound what is left: no way is worth more than best */
    double best;
    double depth; /* only ways that are worth more than best - depth are looked at */
    int sets;
    const int *need; /* rotations over all sets, by player */
    long most_nodes; /* looked at; 0: all */
} ShareTask;

typedef struct {
    bool found;
    double total;                /* in: only a larger sum of scores is looked for; out: the sum */
    int way[SX_MAX_SHARED_SETS]; /* indices of ways->item */
    bool complete;               /* nothing better can be made of the ways looked at */
} ShareChoice;

/* Leaves *choice as it is, but for complete, where there is nothing better. */
SxStatus sx_share_choose(const ShareTask *task, ShareChoice *choice, SxError *err);

/* Wishes for at least so many rotations, by player. */
SxStatus sx_shares_ask(SxPlan *plan, const signed char *rotations, int players, SxError *err);
/* Fills got by who is on court in the sets' lineups. */
void sx_shares_count(SxShares *shares);

#endif
