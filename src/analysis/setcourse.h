/* One start of a set, followed rally by rally through the chain. Internal. */
#ifndef SIXTURN_ANALYSIS_SETCOURSE_H
#define SIXTURN_ANALYSIS_SETCOURSE_H

#include "analysis/setchain.h"

enum { SX_MAX_SIDE_OUTS = 2 * SX_MAX_POINTS + 2 }; /* told apart; enough for any tie reached */

/* Asked after each side-out of ours but a last point, with its number in the set and the score, and
 * the share of the sets that come there: the way by which they go on to their end, or SX_GO_ON.
 * From target - 1 all on the score is that of the first points there. The share is 0 when asked
 * again. */
typedef int (*SxTurn)(void *context, int side_outs, int ours, int theirs, double share);
enum { SX_GO_ON = -1, SX_MOST_WAYS = 512 };

/* A start, and where the rally odds change. */
typedef struct {
    const SxSetChain *chain;
    int track, step;
    SxPhase first;
    int last; /* side-out after which no set goes on as before; 0: all do, and halt is not asked */
    SxTurn halt;
    void *context;
    const SxSetChain *const *way; /* at most SX_MOST_WAYS */
} SxCourse;

/* What was met on the way. All are probabilities or sums weighted by them. */
typedef struct {
    double rallies[SX_STEPS];           /* expected */
    double points[SX_STEPS];            /* of them won by us */
    double ended[SX_MAX_SIDE_OUTS + 1]; /* the set ended after that many; the last: or more */
    double won_to[SX_MAX_POINTS], lost_to[SX_MAX_POINTS];
    double won, tie;
    double stopped, our_score, their_score; /* sets that went another way, and the scores there */
} SxTrace;

/* The whole set, without a stop. */
SxCourse sx_course_from(const SxSetChain *chain, SxServeState start);
void sx_course_follow(const SxCourse *course, SxTrace *trace);
/* The trace as the odds of a set. */
void sx_course_odds(const SxCourse *course, const SxTrace *trace, SxSetOdds *odds);

#endif
