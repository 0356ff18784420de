/* The libero over a whole cycle: which stays are legal together, and the steps to call out.
 *
 * A team goes through twelve situations: rotation r serving, rotation r receiving, rotation r + 1
 * serving, and so on round. Between two rallies it stays in one or goes to the next, so the twelve
 * changes from one to the next are all there are.
 *
 * FIVB 19: only for back-row players; a completed rally between two replacements (of whichever
 * libero); one libero on court. FIVB 19.3.1.3: no serve; where the profile lets a libero serve, it
 * is in one place of the order, and a libero may come in to serve with no rally after the stay
 * before (this exception is from memory). */
#ifndef SIXTURN_LIBERO_H
#define SIXTURN_LIBERO_H

#include "sixturn/api.h"
#include "sixturn/lineup.h"
#include "sixturn/rules.h"

SX_C_BEGIN

enum { SX_NO_LIBERO = -1, SX_LIBERO_FAULTS = 64, SX_LIBERO_STEPS = 24 };

/* Who is in: which of the named liberos (0 or 1, or SX_NO_LIBERO) stands in for which slot. */
typedef struct {
    int libero, slot;
} SxLiberoStay;

/* A plain value. Serving in rotation r while standing in for slot r means that she serves. */
typedef struct {
    SxLiberoStay at[SX_ROTATIONS][SX_PHASES];
} SxLiberoPlan;

/* The plan of a lineup (see SxRotation). */
SX_API void sx_libero_plan(const SxLineup *lineup, SxLiberoPlan *out);

typedef enum {
    SX_STAY_FRONT_ROW,  /* for a front-row player */
    SX_STAY_UNNAMED,    /* more liberos than the rules let a team name */
    SX_STAY_SERVES,     /* a libero may not serve */
    SX_STAY_TWO_SERVES, /* a libero serves in a second place of the order */
    SX_STAY_NO_RALLY    /* no rally between two replacements */
} SxLiberoFaultKind;

typedef struct {
    SxLiberoFaultKind kind;
    int rotation; /* 0 to 5 */
    SxPhase phase;
    int libero, slot; /* the stay that breaks the rule */
} SxLiberoFault;

/* Writes at most SX_LIBERO_FAULTS faults, in the order of the rotations, serve before receive;
 * returns how many. */
SX_API int sx_libero_check(const SxLiberoPlan *plan, const SxRules *rules,
                           SxLiberoFault faults[SX_LIBERO_FAULTS]);

typedef enum {
    SX_STEP_IN,     /* the libero comes in for the slot's player */
    SX_STEP_OUT,    /* the slot's player comes back */
    SX_STEP_CHANGE, /* one libero for the other, same slot */
    SX_STEP_GO      /* out for one slot, in for another at once */
} SxLiberoStepKind;

typedef struct {
    SxLiberoStepKind kind;
    int rotation; /* before a rally in this rotation and phase */
    SxPhase phase;
    int libero, slot;         /* who comes or goes, for which slot */
    int old_libero, old_slot; /* CHANGE and GO: who was in, for which slot */
    bool forced;              /* the slot left has reached the front row */
    bool serves;              /* she comes in to serve */
} SxLiberoStep;

typedef struct {
    int count;
    SxLiberoStep step[SX_LIBERO_STEPS];
} SxLiberoSteps;

/* The steps of one cycle, from a set that starts in this rotation and phase until the situation
 * before it comes round. Who is in at the start is the first step. */
SX_API void sx_libero_steps(const SxLiberoPlan *plan, int start, SxPhase first, SxLiberoSteps *out);

SX_C_END

#endif
