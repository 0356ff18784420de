/* Who can fill which place of the order, who can be a libero, and when two orders are one. */
#ifndef SIXTURN_ELIGIBLE_H
#define SIXTURN_ELIGIBLE_H

#include "sixturn/lineup.h"

SX_C_BEGIN

/* Can this player fill the slot in this row? In a slot whose rows may differ she must fit that
 * row's role, or be a specialist in the back row; in any other she must fit both. */
SX_API bool sx_can_fill(const SxProblem *problem, int player, int slot, SxRow row);
/* A skill as it counts for the duty of a slot, 0 to 10: scaled by the fitness for its role. */
SX_API double sx_fit_skill(const SxProblem *problem, int player, int slot, SxRow row,
                           SxSkill skill);
/* May the two rows of a slot hold different players? */
SX_API bool sx_rows_differ(const SxProblem *problem, int slot);
/* Can she be named as a libero under these rules? */
SX_API bool sx_can_be_libero(const SxProblem *problem, int player);
/* May a libero stand in for this slot in this rotation? It is in the back row and not on duty as
 * the setter. */
SX_API bool sx_libero_may_replace(const SxSystem *system, int slot, int rotation);

/* The lanes from which she usually attacks, bit SxLane: as the team file says, else by her roles
 * (outside left, middle centre, opposite and setter right); all if that leaves none. Common
 * practice, no source. */
SX_API unsigned sx_usual_lanes(const SxPlayer *player);
/* An order and its half-turn are one: the system is mirrored, the start is free, and no wish tells
 * the halves apart. */
SX_API bool sx_turn_counts_once(const SxProblem *problem);
/* They also score the same: no weight tells the halves apart either. Only the one with the smaller
 * shirt number in slot 0, front row, then counts. */
SX_API bool sx_halves_alike(const SxProblem *problem);

SX_C_END

#endif
