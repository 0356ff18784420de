/* The planned substitutions of a starting order: who goes for whom at which rotation, and how long
 * the rules let it go on.
 *
 * A slot whose front-row and back-row player differ changes when it comes into the front row
 * (position 4) and into the back row (position 1). Changes that fall on one rotation (a double
 * substitution) are made together or not at all: one setter more or less would be left. */
#ifndef SIXTURN_CHANGES_H
#define SIXTURN_CHANGES_H

#include "sixturn/api.h"
#include "sixturn/lineup.h"
#include "sixturn/rules.h"

SX_C_BEGIN

enum { SX_MAX_CHANGES = 128 };

typedef struct {
    int cycle;    /* 0: the first time round */
    int rotation; /* 0 to 5: made as the team comes into it */
    int slot;
    int out, in; /* players, as in the order */
} SxChange;

typedef enum {
    SX_ENDS_NEVER,  /* no limit (or nothing to change): the first cycle is listed */
    SX_ENDS_LIMIT,  /* the substitutions of the set are used up */
    SX_ENDS_REENTRY /* FIVB 15.6: a starter has left and come back once already */
} SxChangesEnd;

/* A plain value. */
typedef struct {
    int per_cycle;    /* substitutions a cycle of six rotations */
    int whole_cycles; /* that can be played as planned; SX_UNLIMITED */
    int count;
    SxChange change[SX_MAX_CHANGES]; /* that can be made, in order */
    SxChangesEnd end;
    int end_cycle, end_rotation; /* where the first change is due that cannot be made; -1 if none */
    int left;                    /* substitutions of the limit left then; SX_UNLIMITED */
    int stays[SX_SLOTS];         /* by slot: the players who stay on from then, whatever the row */
} SxChanges;

/* start: the rotation (0 to 5) in which the set starts. SX_USAGE if a player stands in two slots.
 */
SX_API SxStatus sx_changes(const SxOrder *order, int start, const SxRules *rules, SxChanges *out,
                           SxError *err);

/* May the coach stop after n of them? Those of one rotation are made together or not at all. */
SX_API bool sx_changes_may_end(const SxChanges *changes, int n);
/* The six by slot after the first n of the changes: what is left if the coach stops there. */
SX_API void sx_changes_six(const SxOrder *order, int start, const SxChanges *changes, int n,
                           int six[SX_SLOTS]);

SX_C_END

#endif
