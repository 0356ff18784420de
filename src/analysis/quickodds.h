/* The odds of a set by the rates alone, in a few microseconds: what a search asks for. Internal. */
#ifndef SIXTURN_ANALYSIS_QUICKODDS_H
#define SIXTURN_ANALYSIS_QUICKODDS_H

#include "analysis/setchain.h"

/* An opponent whose six rotations are alike needs one track only: the
 * six are then the same. */
typedef struct {
    SxSetRules rules;
    int tracks; /* 1 or SX_TRACKS */
    int start;  /* our start 0 to 5, or -1: the best of each phase */
} QuickOdds;

/* Something for every step of every track: rally odds, or derivatives. */
typedef struct {
    double of[SX_TRACKS][SX_STEPS]; /* with one track only the first is used */
} StepRates;

/* Set odds, either team serving first equally often, their start one of six equally likely. Rises
 * with every rate. The same as sx_start_odds tells, to rounding; a rate of 1 counts as a little
 * less, so that every set ends. */
double quick_odds(const QuickOdds *quick, const StepRates *win);

/* The same, and how much the odds rise with each rate (where the best start changes, one of the two
 * answers). */
double quick_gradient(const QuickOdds *quick, const StepRates *win, StepRates *gradient);

#endif
