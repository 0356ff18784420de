/* One start of a set, followed rally by rally through the chain. Internal. */
#ifndef SIXTURN_ANALYSIS_SETCOURSE_H
#define SIXTURN_ANALYSIS_SETCOURSE_H

#include "analysis/setchain.h"

enum { SX_MAX_SIDE_OUTS = 2 * SX_MAX_POINTS + 2 }; /* told apart; enough for any tie reached */

/* A start, and how far it is followed. */
typedef struct {
    const SxSetChain *chain;
    int track, step;
    SxPhase first;
    int stop; /* leave the set once this many side-outs are made; 0: never. A side-out
                 of ours. */
    const SxSetChain *after; /* what is played from the stop on */
} SxCourse;

/* What was met on the way. All are probabilities or sums weighted by them. */
typedef struct {
    double rallies[SX_STEPS];            /* expected, up to the tie */
    double tie_at[SX_MAX_SIDE_OUTS + 1]; /* the tie reached after that many side-outs */
    double ended[SX_MAX_SIDE_OUTS + 1];  /* the set ended after that many; the last: or more */
    double won_to[SX_MAX_POINTS], lost_to[SX_MAX_POINTS];
    double won, tie;
    double stopped, our_score, their_score, won_after; /* sets that got to the stop */
} SxTrace;

/* The whole set, without a stop. */
SxCourse sx_course_from(const SxSetChain *chain, SxServeState start);
void sx_course_follow(const SxCourse *course, SxTrace *trace);

#endif
