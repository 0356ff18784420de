/* The exchanges that a coach may consider during a set: which there are on the bench, and the rally
 * odds with each of them made, for moment.h. */
#ifndef SIXTURN_EXCHANGE_H
#define SIXTURN_EXCHANGE_H

#include "sixturn/forecast.h"
#include "sixturn/moment.h"

SX_C_BEGIN

/* What an exchange is mainly good for. */
typedef enum {
    SX_FOR_SERVE,   /* a server for her turn */
    SX_FOR_DEFENCE, /* a defender or passer while the place is in the back row */
    SX_FOR_FRONT,   /* a hitter or blocker while the place is in front */
    SX_FOR_SETTING, /* the other setter */
    SX_FOR_PAIR,    /* the double substitution: setter and opposite leave for the other pair, and
                       the place of the opposite sets from then on */
    SX_AS_PLANNED   /* the lineup's own, see ownchange.h; never one of sx_consider_these */
} SxExchangeUse;

typedef struct {
    SxExchangeUse use;
    int places;  /* 1; 2 for a pair */
    int slot[2]; /* places of the order */
    int out[2];  /* who starts there, player indices */
    int in[2];   /* who comes in for her */
} SxConsidered;

/* Fills the exchanges as the chain needs them; rates: 1 << count tables, by the mask of exchanges
 * that are made, borrowed by *exchanges. Formations, passers and the libero's stays remain those of
 * the lineup. Table 0 holds the lineup's own rates; measured rates are moved as the model moves.
 * SX_USAGE for a place with two players already, a player who is on court, or a pair in a system
 * whose other places are not opposite to their like. */
SX_API SxStatus sx_consider_these(const SxProblem *problem, const SxLineup *lineup,
                                  const SxFixture *fixture, const SxConsidered *considered,
                                  int count, SxExchanges *exchanges, SxRates *rates, SxError *err);

/* The most useful exchanges that the bench allows, at most `most` of them and SX_MAX_EXCHANGES:
 * each alone gains at least `worth` (in odds) in a set that starts at 0-0 as the lineup does; the
 * best first, then the best of those that share no place and no player with the ones before.
 * Players who must sit are left out, and those with whom a wish about them (passing, rows,
 * neighbours, the libero) would be broken if they stayed. Ties: the smaller place, then the smaller
 * shirt number. */
SX_API SxStatus sx_consider_bench(const SxProblem *problem, const SxLineup *lineup,
                                  const SxFixture *fixture, int most, double worth,
                                  SxConsidered out[SX_MAX_EXCHANGES], int *count, SxError *err);

/* Where and for which moments the bench is looked at. */
typedef struct {
    SxSetRules rules;
    const SxMoment *from;      /* each equally likely; their exchange[] are not read */
    int from_count;            /* at least 1 */
    const SxConsidered *taken; /* nobody of these and no place of theirs is proposed */
    int taken_count;
    int most;
    double worth;
} SxBenchSearch;

/* The same from given moments on. */
SX_API SxStatus sx_consider_bench_at(const SxProblem *problem, const SxLineup *lineup,
                                     const SxFixture *fixture, const SxBenchSearch *search,
                                     SxConsidered out[SX_MAX_EXCHANGES], int *count, SxError *err);

/* Fills an exchange from one or two players out and in, in the order of out: the places, and what
 * it is good for. SX_USAGE, with shirt numbers, for players out who do not hold a place alone,
 * players in who are on court, and two pairs that are not setter and opposite. */
SX_API SxStatus sx_consider_named(const SxProblem *problem, const SxLineup *lineup,
                                  const SxFixture *fixture, int places, const int out[2],
                                  const int in[2], SxConsidered *considered, SxError *err);

/* "12 for 9 to serve", "12 and 3 for 6 and 7, both pairs change", shirt numbers. Returns text. */
SX_API char *sx_considered_text(const SxConsidered *considered, const SxTeam *team, char *text,
                                size_t size);

SX_C_END

#endif
