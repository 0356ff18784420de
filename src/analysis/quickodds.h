/* Set odds as sx_set_value tells them, for one track if that is enough, nothing checked and nothing
 * allocated: a search asks a million times. Internal. */
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

/* Our rally odds in every step of every track. */
typedef struct {
    double of[SX_TRACKS][SX_STEPS]; /* with one track only the first is used */
} StepRates;

/* Set odds, either team serving first equally often, their start one of six equally likely. Rises
 * with every rate. The same as sx_start_odds tells, to rounding; a rate of 1 counts as a little
 * less, so that every set ends. */
double sx_quick_odds(const QuickOdds *quick, const StepRates *win);

typedef double StartOdds[SX_PHASES][SX_ROTATIONS]; /* by who serves first and our start */

/* Their start one of six equally likely. */
void sx_quick_starts(const QuickOdds *quick, const StepRates *win, StartOdds mean);
/* From these the odds, with our best start of each phase or the given one. */
double sx_quick_best(const QuickOdds *quick, StartOdds mean);

#endif
