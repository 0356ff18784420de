/* Marks that would overlap, pulled apart without ever lying about who stands where.
 *
 * Six boxes go from their true centres to the nearest centres at which no two overlap. In x and in
 * y every pair keeps its order or becomes level, and a pair that the rules order keeps at least
 * `least` in that axis, so that no drawing shows a fault that is none or hides one. */
#ifndef SIXTURN_CORE_SPREAD_H
#define SIXTURN_CORE_SPREAD_H

#include "sixturn/court.h"

typedef struct {
    SxSpot centre[SX_SLOTS]; /* true, in the drawing's unit; by slot */
    double wide[SX_SLOTS], high[SX_SLOTS];
    double air;      /* between two boxes */
    double least;    /* between the centres of a pair of the rules */
    SxSpot from, to; /* where the boxes should stay; order and room come first */
    SxSpot unit;     /* centres fall on whole multiples of it; 0: anywhere */
    int rotation;    /* which says whom the rules order */
} SxSpread;

void sx_spread(const SxSpread *spread, SxSpot out[SX_SLOTS]);

#endif
