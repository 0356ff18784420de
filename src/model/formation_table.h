/* Changing single rotations of a formation table. Internal. */
#ifndef SIXTURN_MODEL_FORMATION_TABLE_H
#define SIXTURN_MODEL_FORMATION_TABLE_H

#include "sixturn/formation.h"

/* Has any formation of this rotation these sides? */
bool sx_table_holds(const SxFormationTable *table, int rotation, int sides);
/* Drops all formations of a rotation. */
void sx_table_clear(SxFormationTable *table, int rotation);
/* Adds one, under its own passers and sides. Pointers into the table become invalid. */
SxStatus sx_table_put(SxFormationTable *table, int rotation, const SxFormation *formation,
                      SxError *err);

#endif
