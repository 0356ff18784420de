/* One start of a set, followed rally by rally through the chain. Internal. */
#ifndef SIXTURN_ANALYSIS_SETCOURSE_H
#define SIXTURN_ANALYSIS_SETCOURSE_H

#include "analysis/setchain.h"

enum { SX_MAX_SIDE_OUTS = 2 * SX_MAX_POINTS + 2 }; /* told apart; enough for any tie reached */

/* A start, and where the rally odds change. */
typedef struct {
    const SxSetChain *chain;
    int track, step;
    SxPhase first;
    int stop; /* once this many side-outs are made the set is played by after; 0: never. A side-out
                 of ours. */
    const SxSetChain *after;
} SxCourse;

/* What was met on the way. All are probabilities or sums weighted by them. */
typedef struct {
    double rallies[SX_STEPS];           /* expected */
    double points[SX_STEPS];            /* of them won by us */
    double ended[SX_MAX_SIDE_OUTS + 1]; /* the set ended after that many; the last: or more */
    double won_to[SX_MAX_POINTS], lost_to[SX_MAX_POINTS];
    double won, tie;
    double stopped, our_score, their_score; /* sets that got to the stop, and the scores there */
} SxTrace;

/* The whole set, without a stop. */
SxCourse sx_course_from(const SxSetChain *chain, SxServeState start);
void sx_course_follow(const SxCourse *course, SxTrace *trace);
/* The trace as the odds of a set. */
void sx_course_odds(const SxCourse *course, const SxTrace *trace, SxSetOdds *odds);

/* The course of a plan of substitutions, from its start to where the limit stops it.
 * rotation: of ours in the set (1 is the first) at which it does, 0 for never. */
SxCourse sx_course_of_plan(const SxSetChain *chain, SxServeState start,
                           const SxSubstitutionPlan *plan, int *rotation);

#endif
