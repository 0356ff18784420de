/* The best play from any moment of a set: when to make which of a few considered substitutions.
 *
 * The coach considers up to SX_MAX_EXCHANGES exchanges of players in one or two places
 * of the order (a server for one turn, a defender for a back-row turn, the double substitution,
 * ...). Each can be made, and undone when the players go back. Between any two rallies she may make
 * or undo as many as the rules let her; then a rally is played at the odds of those who are on
 * court. On the set chain of setodds.h this is a Markov decision process; it is solved exactly,
 * backwards over the score and over the changes still possible, with the play from target - 1 all,
 * which could go on for ever, solved by policy iteration on a small linear system. No simulation,
 * no horizon.
 *
 * What the rules count: an exchange and its undoing cost `cost` substitutions each. Under FIVB 15.6
 * a starter leaves and comes back once and a substitute comes in once, so each exchange is made
 * once and two exchanges that share a place or a player exclude each other for the set. Where
 * players may return any number of times to the same place (USA Volleyball 15.6), an exchange may
 * be made again, exchanges in one place only exclude each other while made, and a substitute who
 * was used in one place cannot be used in another. */
#ifndef SIXTURN_MOMENT_H
#define SIXTURN_MOMENT_H

#include "sixturn/api.h"
#include "sixturn/rules.h"
#include "sixturn/setodds.h"

#include <stdint.h>

SX_C_BEGIN

enum {
    SX_MAX_EXCHANGES = 6,
    SX_EXCHANGE_MASKS = 1 << SX_MAX_EXCHANGES,
    SX_MAX_CHOICES = 64,
    SX_MANY_CHANGES = 40
};

/* What the chain needs to know of an exchange. */
typedef struct {
    int cost;         /* counted substitutions to make it, and again to undo it; 1 to 6 */
    unsigned slots;   /* bit s: place s of the order changes; not empty */
    uint64_t players; /* bit p: player p comes in */
} SxExchange;

/* A plain value, but for the borrowed rates. */
typedef struct {
    int count; /* 0 to SX_MAX_EXCHANGES */
    SxExchange exchange[SX_MAX_EXCHANGES];
    /* Rally odds by who is on court: rates[mask], bit m set when exchange m is made. Masks of
     * exchanges that exclude each other are never read. 1 << count of them. */
    const SxRates *rates;
    SxReentry reentry;
} SxExchanges;

typedef enum {
    SX_EXCHANGE_FRESH, /* not made in this set */
    SX_EXCHANGE_MADE,  /* the substitutes are on court */
    SX_EXCHANGE_UNDONE /* made and undone; may be made again only where the rules let players return
                        */
} SxExchangeState;

/* Before a service hit. */
typedef struct {
    int our_points, their_points;
    SxServeState serve;
    int left; /* counted substitutions that we may still make, 0 to 99; SX_UNLIMITED counts as
                 SX_MANY_CHANGES, more than a set of usual length can use */
    SxExchangeState exchange[SX_MAX_EXCHANGES];
} SxMoment;

/* The solved process. Free with sx_policy_free. */
typedef struct SxPolicy SxPolicy;

/* Solves all moments that can follow `from`. SX_USAGE for exchanges, or a moment, that cannot be;
 * SX_BAD_INPUT as sx_set_chain_new for rates or set rules; SX_NO_MEMORY. */
SX_API SxStatus sx_policy_new(const SxExchanges *exchanges, const SxSetRules *rules,
                              const SxMoment *from, SxPolicy **policy, SxError *err);
SX_API void sx_policy_free(SxPolicy *policy);

/* Bytes that the tables take, and moments that were solved: for benchmarks. */
SX_API size_t sx_policy_states(const SxPolicy *policy);

/* What may be done before the next service hit. */
typedef struct {
    unsigned make, undo; /* masks of exchanges; both 0: hold */
    int changes;         /* counted substitutions */
    double win;          /* odds of the set if this is done now, with best play afterwards */
} SxChoice;

/* The odds of the set with best play. moment must be one that can follow the solved one: SX_USAGE
 * otherwise. */
SX_API SxStatus sx_policy_win(const SxPolicy *policy, const SxMoment *moment, double *win,
                              SxError *err);

/* All choices at a moment, the best first; equal odds (to 1e-12): fewer changes, then smaller
 * masks. At most SX_MAX_CHOICES, the best ones; *count tells how many. Errors as sx_policy_win. */
SX_API SxStatus sx_policy_choices(const SxPolicy *policy, const SxMoment *moment,
                                  SxChoice choice[SX_MAX_CHOICES], int *count, SxError *err);

/* The moment that follows when a choice has been carried out and the rally has been won or lost.
 * Past the end of the set only the score has a meaning. */
SX_API SxMoment sx_moment_after(const SxExchanges *exchanges, const SxMoment *moment,
                                const SxChoice *choice, bool won);

/* When best play will next change somebody, seen from a moment in which it holds. */
typedef struct {
    double ever; /* chance that it does before the set ends */
    unsigned make, undo;
    int ours;      /* in which of our rotations, 0 to 5, */
    SxPhase phase; /* serving or receiving, */
    double chance; /* the most likely of all such first changes: its chance; 0 if ever is 0 */
    double our_points, their_points; /* expected score then, given that it comes */
} SxNextChange;

SX_API SxStatus sx_policy_next(const SxPolicy *policy, const SxMoment *moment, SxNextChange *next,
                               SxError *err);

/* The odds of the set from a moment when nobody is changed any more. */
SX_API SxStatus sx_policy_win_without(const SxPolicy *policy, const SxMoment *moment, double *win,
                                      SxError *err);

SX_C_END

#endif
