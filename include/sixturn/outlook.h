/* What the set odds tell a coach: where to start, serve or receive, how often each rotation is
 * played, will the substitutions last, and the match. */
#ifndef SIXTURN_OUTLOOK_H
#define SIXTURN_OUTLOOK_H

#include "sixturn/afterlimit.h"
#include "sixturn/api.h"
#include "sixturn/match.h"
#include "sixturn/rules.h"
#include "sixturn/setodds.h"

SX_C_BEGIN

/* Odds of one set for every start, by phase: [SX_RECEIVE] they serve first, [SX_SERVE] we do. */
typedef struct {
    double win[SX_PHASES][SX_ROTATIONS][SX_ROTATIONS]; /* [phase][our start][their start] */
    double mean[SX_PHASES][SX_ROTATIONS];  /* by our start, their starts being equally likely */
    double worst[SX_PHASES][SX_ROTATIONS]; /* by our start, against their best answer */
    int best[SX_PHASES];                   /* our start with the highest mean; ties: the lowest */
    int safe[SX_PHASES];                   /* our start with the highest worst case */
    int reply[SX_PHASES][SX_ROTATIONS];    /* our best start against each of theirs */
} SxStartOdds;

SX_API void sx_start_odds(const SxSetChain *chain, SxStartOdds *odds);

/* A set to our points or the deciding set, by the rule profile. SX_BAD_INPUT for a lead other than
 * 1 or 2 points, which the chain does not know. A lead of 1 is a cap at the target. */
SX_API SxStatus sx_set_rules_of(const SxRules *rules, bool deciding, SxSetRules *set, SxError *err);

/* A plain value. Where one number is given for both, either team serves first equally often (in a
 * match the first service alternates, and the toss decides the first and the deciding set); their
 * start is one of six, equally likely. Everything counts the limit of substitutions, and what
 * happens once the coach stops. */
typedef struct {
    SxStartOdds set, decider;
    int start[SX_PHASES]; /* our start in what follows: the given one, or the best of each phase */
    double win;           /* of a set */
    SxMatchOdds match;
    double rallies;
    double rallies_in[SX_ROTATIONS][SX_PHASES];
    double points_in[SX_ROTATIONS][SX_PHASES]; /* for us */
    double share[SX_ROTATIONS];                /* of all rallies, sums to 1 */
    bool unsettled;   /* the lineup's rotation weights are not these shares: the two never came to
                         agree (see sx_forecast, which fills it) */
    bool substitutes; /* the lineup makes counted substitutions */
    int substitution_limit; /* in a set: what the rules allow, and what their rule of return leaves
                               of it; SX_UNLIMITED */
    SxSubstitutionOdds substitutions[SX_PHASES]; /* by who serves first */
    int stop[SX_PHASES]; /* from start[]: which of the stops is best; -1: none was given */
    SxAfterLimit after[SX_PHASES]; /* how that lineup plays on; only sx_lineup_outlook fills it */
} SxOutlook;

/* A moment at which the coach may stop substituting, and how the six who are then on play on. */
typedef struct {
    int start;            /* rotation in which the set starts, 0 to 5 */
    int changes;          /* substitutions made before; the next planned one is not made */
    const SxRates *rates; /* from there on; NULL: as before */
} SxStop;

/* What the lineup asks for in substitutions, and where it may stop. */
typedef struct {
    int entering[SX_ROTATIONS]; /* substitutions on entering each rotation */
    int stop_count;             /* all that are to be compared; a start without any plays on as
                                   before when the rules stop it */
    const SxStop *stop;
} SxNeeds;

/* start: our start rotation, 0 to 5, or -1 for the best. Every start is valued with its best stop;
 * ties: more changes. A profile without a limit never stops. SX_USAGE for a stop that cannot be. */
SX_API SxStatus sx_outlook(const SxRates *rates, const SxRules *rules, int start,
                           const SxNeeds *needs, SxOutlook *outlook, SxError *err);

SX_C_END

#endif
