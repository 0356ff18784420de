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

enum { SX_MOST_HALTS = 24, SX_MOST_STOPS = 256 };

/* When planned changes that are due are made, boiled down to the lead: ours less theirs, counting
 * the side-out that brings the changes. Of all such rules the one that the fewest sets go against.
 */
typedef enum {
    SX_CHANGE_MADE,       /* always */
    SX_CHANGE_MADE_FROM,  /* made if the lead is at least `lead`, else they end */
    SX_CHANGE_MADE_UP_TO, /* made if the lead is at most `lead`, else they end */
    SX_CHANGE_NOT_MADE    /* they end here if not before */
} SxChangeRule;

/* Planned changes that are due. */
typedef struct {
    int changes;    /* substitutions made before */
    int rotation;   /* on entering which they are due, 0 to 5 */
    double due;     /* share of the sets that come here */
    double stopped; /* of all sets: the changes end here */
    SxChangeRule rule;
    int lead;
    int stop; /* the likeliest way to play on if they end here; -1: they never do */
} SxHalt;

/* When planned substitutions end. The plain value of a start. */
typedef struct {
    int count;                  /* 0: the set needs no stop, or there is no way to play on */
    SxHalt halt[SX_MOST_HALTS]; /* in the order of the set, as far as told apart */
    double win;                 /* of a set, with the best choice at every score */
    double rule_win;            /* with the rules of halt[] */
    bool by_score;              /* they win something to speak of on fixed_win: 0.05 sets of 100 */
    double fixed_win; /* of a set with the best end that is settled before it, whatever the score */
    int fixed_changes; /* substitutions made till then; of equal ends the latest */
    int fixed_stop;    /* the way to play on then */
} SxStopping;

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
    SxSubstitutionOdds substitutions[SX_PHASES]; /* by who serves first; runs_out: the changes end,
                                                    by choice or at the limit; runs_out_after: not
                                                    told where it follows the score */
    SxStopping stopping[SX_PHASES];              /* from start[] */
    SxAfterLimit after[SX_PHASES]; /* the best end that is settled before the set, and how that
                                      lineup plays on; only sx_lineup_outlook fills it */
} SxOutlook;

/* A way to play on for those who are on court when planned changes are due. */
typedef struct {
    int rotation;         /* on entering which they are due, 0 to 5 */
    const SxRates *rates; /* from there on */
} SxStop;

/* What the lineup asks for in substitutions, and where it may stop. */
typedef struct {
    int entering[SX_ROTATIONS]; /* substitutions on entering each rotation */
    int stop_count;             /* at most SX_MOST_STOPS; a start from which none can be taken plays
                                   on as before when the rules stop it */
    const SxStop *stop;
} SxNeeds;

/* start: our start rotation, 0 to 5, or -1 for the best. Every start is valued with the best of all
 * rules for when to stop, which may look at the score: each time changes are due they are made, or
 * all that are left are given up for one of the ways to play on, whichever wins more. Equally good:
 * they are made. A profile without a limit never stops. SX_USAGE for a stop that cannot be. */
SX_API SxStatus sx_outlook(const SxRates *rates, const SxRules *rules, int start,
                           const SxNeeds *needs, SxOutlook *outlook, SxError *err);

/* It is best to make none of the planned substitutions, whoever serves first; sx_lineup_outlook has
 * told how to play on instead. */
SX_API bool sx_makes_none(const SxOutlook *outlook);
/* Tells a lineup what its outlook says of that: fills plays_on_as. */
SX_API void sx_tell_plays_on(const SxOutlook *outlook, SxLineup *lineup);

SX_C_END

#endif
