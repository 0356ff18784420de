/* The libero plan and the receive formations with which a complete order wins most sets. Internal.
 *
 * A plan is a way round the twelve situations of a cycle (see libero.h): in each the libero is in
 * for one slot or for nobody, and what may follow what is a matter of two neighbours. The odds rise
 * with each situation's rally odds, so a way that is no better than another anywhere is dropped as
 * soon as both are in the same place, and what is left at the end is compared exactly. */
#ifndef SIXTURN_ANALYSIS_STAYS_H
#define SIXTURN_ANALYSIS_STAYS_H

#include "analysis/setfacts.h"

/* Who stands in for which slot; SX_NOBODY and -1 for nobody. */
typedef struct {
    int libero, slot;
} Stay;

typedef struct {
    double win;
    Stay stay[SX_ROTATIONS][SX_PHASES];
    const Choice *choice[SX_ROTATIONS];
    StepRates rates;
} StayPlan;

/* Room to work in, for one thread at a time. */
typedef struct Stays Stays;
/* Stops with the work, which may be NULL. */
SxStatus sx_stays_new(const SetFacts *facts, const SxWork *work, Stays **out, SxError *err);
void sx_stays_free(Stays *stays);

/* STAYS_STOPPED: not all ways were walked; the plan is the best of those, its win negative if there
 * was none. */
typedef enum { STAYS_NONE, STAYS_FOUND, STAYS_NO_MEMORY, STAYS_STOPPED } StaysEnd;

/* What values the rally odds of a whole plan instead of sx_quick_odds; it must rise with each. */
typedef double (*StaysValue)(void *context, const StepRates *rates);
void sx_stays_value(Stays *stays, StaysValue value, void *context);

/* The most that any plan gives in each situation, all at once. */
StaysEnd sx_stays_most(Stays *stays, const Seating *seating, StepRates *most);

/* The rest of sx_stays_best, straight after sx_stays_most. */
StaysEnd sx_stays_within(Stays *stays, const StepRates *most, double floor, StayPlan *out);

/* STAYS_NONE: no plan keeps the wishes, or none wins more than `floor`. Of equally good plans the
 * one that comes first: nobody before a libero, lower slots first. */
StaysEnd sx_stays_best(Stays *stays, const Seating *seating, double floor, StayPlan *out);

/* Writes a plan into a lineup and scores it. */
void sx_stays_lineup(const SetFacts *facts, const Seating *seating, const StayPlan *plan,
                     SxLineup *out);

#endif
