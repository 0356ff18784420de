/* The smallest change that makes a drawn formation legal, as a linear program.
 *
 * Every player p moves from (x0, y0) to (x, y). Minimise the sum of |x - x0| + |y - y0| subject to
 * slack >= margin for each pair that binds (see legality.h), everybody inside her box, and no two
 * players in one place: a choice of four sides for a pair, with binaries, added only where the
 * optimum without it breaks it. The pairs are difference constraints, so whole centimetres in give
 * whole centimetres out. Among equally short ways the one with the least weighted sum is taken, the
 * weights growing with the position number, x before y. */
#ifndef SIXTURN_MEND_H
#define SIXTURN_MEND_H

#include "sixturn/api.h"
#include "sixturn/legality.h"

SX_C_BEGIN

typedef struct {
    double margin;             /* metres, 0 to 3; if level is a fault, at least 1 cm is kept */
    bool fewest;               /* move as few players as possible, then as little as possible */
    bool locked[SX_POSITIONS]; /* by position - 1: stays */
} SxMendOptions;

/* Margin SX_NEAR_MARGIN, nobody locked, least movement. */
SX_API void sx_mend_default(SxMendOptions *options);

/* A plain value. */
typedef struct {
    SxSpot spot[SX_POSITIONS];   /* metres, by position - 1 */
    int moved;                   /* players who move */
    double total;                /* metres, sum of the moves along x and y */
    bool conflict[SX_POSITIONS]; /* after SX_NO: a smallest set of locks that cannot all hold; all
                                    false if it is no matter of locks */
} SxMend;

/* SX_NO with an explanation when no movement helps: a fault of persons (libero in the front row,
 * wrong server or order), locks that conflict, or a margin for which the court is too small.
 * SX_USAGE for a margin out of range. options may be NULL. */
SX_API SxStatus sx_mend(const SxStance *stance, const SxRules *rules, const SxMendOptions *options,
                        SxMend *out, SxError *err);

SX_C_END

#endif
