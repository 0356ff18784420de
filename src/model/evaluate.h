/* Plain arithmetic on a given order: the best libero plan and passers, the score, the wishes. */
#ifndef SIXTURN_MODEL_EVALUATE_H
#define SIXTURN_MODEL_EVALUATE_H

#include "sixturn/lineup.h"

/* Chooses the libero's replacements and the passers that make a given order score best, by trying
 * them all; fills everything but proof, bound and gap. Ties: no libero before a libero, later entry
 * before earlier, smaller passer mask. False if no choice keeps the wishes. */
bool evaluate_order(const SxProblem *problem, const SxOrder *order, int start, SxLineup *out);

/* Does the complete lineup keep this wish? */
bool evaluate_wish(const SxProblem *problem, const SxLineup *lineup, const SxWish *wish);

#endif
