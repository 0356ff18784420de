/* Set odds of a lineup whose planned substitutions follow the score: each time a change of rotation
 * is due it is made, or given up for good and the set played on in one of the ways at hand,
 * whichever wins more from that score. For every number of changes that the rules still allow at
 * once: what a search asks for. Internal. */
#ifndef SIXTURN_ANALYSIS_LIMITODDS_H
#define SIXTURN_ANALYSIS_LIMITODDS_H

#include "analysis/quickodds.h"

enum {
    MOST_STOPS = 64, /* moments of change in a set that are told apart */
    MAKE_CHANGE = -1 /* instead of a way to play on */
};

/* Room to work in, for one thread at a time; NULL if there is no memory. */
typedef struct LimitRoom LimitRoom;
LimitRoom *sx_limit_room(const QuickOdds *quick);
void sx_limit_room_free(LimitRoom *room);

/* Forgets all ways to play on. */
void sx_limit_clear(LimitRoom *room);
/* A way to play on instead of the change that is due on entering any of the rotations (bit by
 * rotation); numbered from 0 as they are added. */
void sx_limit_way(LimitRoom *room, const StepRates *rates, unsigned rotations);

/* What a plan of changes asks for. */
typedef struct {
    const StepRates *rates;      /* while the team changes as planned */
    bool entering[SX_ROTATIONS]; /* a change is due on entering them */
    int most;                    /* changes that may be made */
    bool fixed;                  /* all of them are made, whatever the score */
} LimitPlan;

/* out[n], n = 0 to most: with n changes still allowed. A change that may no longer be made and that
 * no way stands in for counts as the set lost, so a start must not lead there. */
void sx_limit_odds(LimitRoom *room, const LimitPlan *plan, StartOdds *out);

/* What is done at every score when a change is due, after sx_limit_odds: the better, a change if
 * they are equal. */
typedef struct LimitChoices LimitChoices;
/* NULL if there is no memory. Holds what the next sx_limit_odds decide, until NULL is given. */
LimitChoices *sx_limit_choices(const QuickOdds *quick, int most);
void sx_limit_choices_free(LimitChoices *choices);
void sx_limit_note(LimitRoom *room, LimitChoices *choices);
/* The way played on in, or MAKE_CHANGE, `left` changes being allowed; the score counts the side-out
 * just made. From target - 1 all on only the lead counts. */
int sx_limit_choice(const LimitChoices *choices, int track, int left, int rotation, int ours,
                    int theirs);

#endif
