/* The score by plain arithmetic, without a solver: of one rotation, and of a given order with the
 * libero plan and the passers that suit it best. */
#ifndef SIXTURN_EVALUATE_H
#define SIXTURN_EVALUATE_H

#include "sixturn/lineup.h"

SX_C_BEGIN

/* Who is on court in one rotation and what they do there. */
typedef struct {
    int player[SX_SLOTS];       /* each slot's own player, in the row that the slot is in */
    int libero[SX_PHASES];      /* player index, SX_NOBODY for none */
    int libero_slot[SX_PHASES]; /* the slot she stands in for; read only if there is one */
    const SxFormation *receive; /* tells passers, sides, run and who is late */
} SxSix;

/* Fills the seven parts of rotation 0 to 5. Nothing is checked: sx_can_fill and
 * sx_libero_may_replace tell what is allowed. */
SX_API void sx_rotation_parts(const SxProblem *problem, int rotation, const SxSix *six,
                              double part[SX_PARTS]);
/* Sum of weight times part, run subtracted. */
SX_API double sx_rotation_score(const SxPlan *plan, const double part[SX_PARTS]);
/* The six of a complete lineup. */
SX_API void sx_lineup_six(const SxLineup *lineup, int rotation, SxSix *six);

/* Chooses the libero's replacements and the passers that make a given order score best, by trying
 * them all; fills everything but proof, bound and gap. SX_NO, without a message, if no choice keeps
 * the wishes. Ties: no libero before a libero, later entry before earlier, smaller passer mask. */
SX_API SxStatus sx_evaluate_order(const SxProblem *problem, const SxOrder *order, int start,
                                  SxLineup *out, SxError *err);

/* Does the complete lineup keep this wish? */
SX_API bool sx_wish_holds(const SxProblem *problem, const SxLineup *lineup, const SxWish *wish);

SX_C_END

#endif
