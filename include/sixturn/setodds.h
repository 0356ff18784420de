/* The odds of a set, exactly: a Markov chain over the score, both teams' rotations and the server.
 *
 * Every rally is won by us with a probability that depends on the two rotations and on who serves.
 * A receiver who wins rotates (her rotation goes up by one) and serves; a server who wins keeps her
 * rotation. A set goes to a target, two points clear (FIVB 6.2, 6.3.2), or to a cap where a code
 * has one. Nothing is simulated: below the target the chain is a finite recursion, and the play
 * from target - 1 all, which could go on for ever, is a linear system solved in closed form.
 *
 * The model (scoring probabilities by rotation, rallies otherwise independent) is that of
 * Gonzalez-Cabrera, Herrera, Gonzalez, Generalized model for scores in volleyball matches,
 * J. Quant. Anal. Sports 2020, doi 10.1515/jqas-2019-0060. */
#ifndef SIXTURN_SETODDS_H
#define SIXTURN_SETODDS_H

#include "sixturn/api.h"
#include "sixturn/court.h"
#include "sixturn/error.h"

SX_C_BEGIN

enum {
    SX_SET_TARGET = 25,     /* FIVB 6.2 */
    SX_DECIDER_TARGET = 15, /* FIVB 6.3.2 */
    SX_MAX_POINTS = 99,     /* largest target or cap */
    SX_MAX_ADVANCES = 64,   /* rotations of ours in a set that are told apart */
    SX_MOST_SUBSTITUTIONS = 99
};

/* Probability, 0 to 1, that we win the rally; [our rotation][their rotation]. */
typedef struct {
    double receive[SX_ROTATIONS][SX_ROTATIONS]; /* they serve: our side-out */
    double serve[SX_ROTATIONS][SX_ROTATIONS];   /* we serve: our break point */
} SxRates;

typedef struct {
    int target; /* 1 to SX_MAX_POINTS */
    int cap;    /* the set ends at this many points at the latest, target to SX_MAX_POINTS;
                   0 for none */
} SxSetRules;

/* A moment before a service hit: both rotations (0 to 5), and whether we serve. */
typedef struct {
    int ours, theirs;
    SxPhase phase;
} SxServeState;

/* What a set holds, seen from its start. A plain value. */
typedef struct {
    double win;                                 /* probability that we win the set */
    double tie;                                 /* probability of reaching target - 1 all */
    double points_for, points_against;          /* expected */
    double rallies;                             /* expected, the sum of the two above */
    double rallies_in[SX_ROTATIONS][SX_PHASES]; /* expected, by our rotation */
    double points_in[SX_ROTATIONS][SX_PHASES];  /* points for us in those rallies, expected */
    /* Probability that the set ends after n rotations of ours (none follows the last point); the
     * last entry: that many or more */
    double advances[SX_MAX_ADVANCES + 1];
    /* Probability that we win (lose) while the loser has n points. Without a cap only sets that
     * miss target - 1 all are told apart, n up to target - 2. */
    double won_to[SX_MAX_POINTS], lost_to[SX_MAX_POINTS];
} SxSetOdds;

/* The solved chain: the odds of the set from every score and serve state. Free with one call. */
typedef struct SxSetChain SxSetChain;

/* Rates by our rotation alone, whatever rotation they are in. */
SX_API void sx_rates_by_rotation(const double side_out[SX_ROTATIONS],
                                 const double break_point[SX_ROTATIONS], SxRates *rates);
/* The same rallies as the other team sees them. */
SX_API void sx_rates_mirror(const SxRates *rates, SxRates *theirs);

/* SX_BAD_INPUT for a rate outside 0 to 1 (path names it) or impossible set rules; and when, without
 * a cap, some pairing of rotations makes every side-out of both teams certain: such a set never
 * ends. Rates of exactly 0 and 1 are otherwise fine. On failure *chain is NULL. */
SX_API SxStatus sx_set_chain_new(const SxRates *rates, const SxSetRules *rules, SxSetChain **chain,
                                 SxError *err);
SX_API void sx_set_chain_free(SxSetChain *chain);

/* Probability that we win the set from a score. Both scores are at least 0; scores past the end of
 * the set give 0 or 1. */
SX_API double sx_set_chain_win(const SxSetChain *chain, int our_points, int their_points,
                               SxServeState state);

/* Everything about the set that starts at 0-0 in this state. SX_USAGE for an impossible state. */
SX_API SxStatus sx_set_odds(const SxSetChain *chain, SxServeState start, SxSetOdds *odds,
                            SxError *err);

/* Counted substitutions against the limit of the rules. entering[r] is how many the plan makes when
 * our team rotates into rotation r (each at least 0); limit is what the rules allow in a set. */
typedef struct {
    int entering[SX_ROTATIONS];
    int limit;
    /* The set as it is played once the next substitution is no longer allowed; NULL: as before. */
    const SxSetChain *after;
} SxSubstitutionPlan;

typedef struct {
    /* Probability that the plan asks for n substitutions; the last entry: that many or more. */
    double needed[SX_MAX_ADVANCES + 1];
    double expected_needed; /* with the last entry counted as just that many */
    double runs_out;        /* probability that the limit stops a planned substitution */
    int runs_out_after;     /* rotation of ours in the set (1 is the first) at which it does, 0 if
                               the plan makes none */
    double our_score, their_score; /* expected score at that moment, given that it comes; else 0 */
    double win;                    /* set odds with the limit */
    double win_unlimited;          /* set odds if the plan could go on */
    SxSetOdds set;                 /* everything about the set with the limit */
} SxSubstitutionOdds;

/* The substitutions made before the start count for nothing. SX_USAGE for negative numbers or for
 * an after chain with other set rules. */
SX_API SxStatus sx_substitution_odds(const SxSetChain *chain, SxServeState start,
                                     const SxSubstitutionPlan *plan, SxSubstitutionOdds *odds,
                                     SxError *err);

SX_C_END

#endif
