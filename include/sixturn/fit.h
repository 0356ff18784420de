/* Rates by rotation from a rally log, drawn towards the team's own rate.
 *
 * A beta-binomial model, for each phase apart: the rates of the six rotations are drawn from a beta
 * distribution with mean m (the team's rate) and strength K (as if K rallies had been seen before);
 * the rallies won are binomial. m has a beta prior worth SX_FIT_PRIOR_RALLIES rallies at the rate
 * expected beforehand, log K a normal prior around log SX_FIT_STRENGTH. Both are integrated out on
 * a grid, so a short log gives wide intervals and a long one its own rates. Intervals are those of
 * the beta distribution with the posterior's mean and variance. */
#ifndef SIXTURN_FIT_H
#define SIXTURN_FIT_H

#include "sixturn/api.h"
#include "sixturn/rallylog.h"

SX_C_BEGIN

#define SX_FIT_PRIOR_RALLIES                                                                       \
    10.0 /* invented: ten rallies' worth of belief in the level of play                            \
          */
/* Invented; with it rates of one team differ by some 0.06 (standard deviation) between rotations.
 * A coaching article's team ranged from 0.48 to 0.73, sampling noise included. */
#define SX_FIT_STRENGTH 60.0
#define SX_FIT_STRENGTH_SPREAD 1.0 /* invented: standard deviation of log K */
#define SX_FIT_INTERVAL 0.9        /* probability inside low to high, equal tails */

typedef struct {
    SxTally seen;
    double rate, low, high;
} SxMeasured;

/* A plain value. */
typedef struct {
    SxMeasured team[SX_PHASES];
    SxMeasured rotation[SX_PHASES][SX_ROTATIONS];
    double strength[SX_PHASES]; /* K, geometric mean of its posterior: rallies at which a rotation's
                                   own share counts as much as the team's rate */
} SxFit;

/* expected[phase] is the rate believed in before the log, in 0 to 1 (both excluded): the side-out
 * of the level of play, and one minus it. SX_USAGE for another value. */
SX_API SxStatus sx_fit(const SxRallyLog *log, const double expected[SX_PHASES], SxFit *fit,
                       SxError *err);

enum { SX_FIT_MOST_MORE = 200 };

/* What a fit says in short, for each phase. */
typedef struct {
    unsigned
        below[SX_PHASES]; /* rotations, bit by bit, whose interval lies below the team's rate */
    unsigned above[SX_PHASES]; /* and above it */
    int weakest[SX_PHASES];    /* the rotation with the lowest rate */
    /* About how many more rallies in the weakest rotation would put it below, if its share of
     * rallies won stayed: 0 if it is below, -1 if SX_FIT_MOST_MORE would not do. */
    int more[SX_PHASES];
} SxFitVerdict;

SX_API void sx_fit_verdict(const SxFit *fit, SxFitVerdict *verdict);

/* How well rates by ratings explain the log. Ratings tell rotations apart, not how strong the
 * opponents of the log were: in each phase the given rates are first moved together, on the
 * log-odds scale, until they foretell as many rallies won as were won. Deviance: twice the
 * log-likelihood by which every rotation's own share of rallies won is better; about a chi-square
 * variable if the rates are true. */
typedef struct {
    double deviance;      /* of the given rates, moved */
    double team_deviance; /* of one rate for all rotations in each phase */
    int freedom;          /* rotations and phases with rallies, less one for each phase moved */
    double p_value;       /* chance of so large a deviance if the given rates were true */
} SxFitCheck;

/* predicted[phase][rotation], strictly between 0 and 1. */
SX_API void sx_fit_check(const SxRallyLog *log, double predicted[SX_PHASES][SX_ROTATIONS],
                         SxFitCheck *check);

SX_C_END

#endif
