/* What to do at a moment of a set: the exchanges at hand, the best of them or to hold, what it
 * gains, and until when; and the few lines of a card that are nearly as good. */
#ifndef SIXTURN_ADVICE_H
#define SIXTURN_ADVICE_H

#include "sixturn/api.h"
#include "sixturn/exchange.h"
#include "sixturn/ownchange.h"
#include "sixturn/thumb.h"

SX_C_BEGIN

enum { SX_NOT_SAID = -1 };

/* How the set stands, as far as the coach says. */
typedef struct {
    int our_points, their_points;
    int ours;    /* our rotation, 0 to 5; SX_NOT_SAID (only at 0-0): as the lineup starts */
    int serving; /* SxPhase; SX_NOT_SAID (only at 0-0): they serve */
    int theirs;  /* their rotation; SX_NOT_SAID: each of six is equally likely now, and is seen
                    from the next rally on */
    int used;    /* counted substitutions so far; SX_NOT_SAID: those of the states and no others */
    bool deciding; /* the deciding set */
    /* The exchanges that the coach names, and where each stands. */
    int count;
    SxConsidered named[SX_MAX_EXCHANGES];
    SxExchangeState state[SX_MAX_EXCHANGES];
    bool from_bench; /* also the most useful ones that the bench allows, see sx_consider_bench */
    const SxOwnChange *own; /* the lineup's own, one more exchange; NULL: not looked at */
    int own_state; /* SxExchangeState; SX_NOT_SAID: as the lineup plans for our rotation and
                      `used` allows */
} SxStanding;

/* A plain value. All odds are those of the set, 0 to 1. */
typedef struct {
    int our_points, their_points;
    SxServeState serve; /* theirs: 0 if it is not known */
    bool theirs_known;  /* or makes no difference */
    bool serving_known; /* else they serve, and a card is for both ways to begin */
    bool deciding;
    int used, left;   /* counted substitutions; left SX_UNLIMITED without a limit */
    bool used_told;   /* else `used` are those of the states */
    bool planned;     /* the lineup's own substitutions go on beside these and are not counted */
    int count, named; /* exchanges; the first `named` are the coach's, the others of the bench, but
                         for the last where own.found */
    SxOwnChange own;
    bool own_told; /* its state was said */
    SxConsidered exchange[SX_MAX_EXCHANGES];
    SxExchangeState state[SX_MAX_EXCHANGES];
    bool may_make[SX_MAX_EXCHANGES]; /* before the next service, */
    bool may_undo[SX_MAX_EXCHANGES]; /* by the rules of the game */
    int moves;
    SxChoice move[SX_MAX_CHOICES]; /* masks of `exchange`; odds are means over their rotations if
                                      that is not said; in the order of sx_policy_choices */
    double hold;                   /* nobody changes before the next rally, best play afterwards */
    double without;                /* nobody changes any more */
    SxNextChange next; /* only if the best is to hold. With their rotation not said: by the first
                          changes that are most likely against each */
} SxAdvice;

/* SX_USAGE for a standing that cannot be, in words of the coach; else as sx_policy_new. */
SX_API SxStatus sx_advice(const SxProblem *problem, const SxLineup *lineup,
                          const SxFixture *fixture, const SxStanding *standing, SxAdvice *advice,
                          SxError *err);

/* The rules of thumb from where `advice` stands to the end of the set, in lines that each are worth
 * at least `worth`. Exact odds; means over what is not known. */
SX_API SxStatus sx_advice_card(const SxProblem *problem, const SxLineup *lineup,
                               const SxFixture *fixture, const SxAdvice *advice, double worth,
                               SxThumb *card, SxError *err);

SX_C_END

#endif
