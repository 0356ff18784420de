/* Who comes late to her first task in a receive formation. Internal. */
#ifndef SIXTURN_MODEL_LATE_H
#define SIXTURN_MODEL_LATE_H

#include "sixturn/formation.h"

/* The front-row duty whose lane of attack this is in the system; its task is where an approach from
 * there starts, its base where it ends. */
const SxDuty *sx_lane_duty(const SxSystem *system, SxLane lane);

/* Fills late[] from spots, passers and sides. */
void sx_formation_late(const SxSystem *system, int rotation, SxFormation *formation);

#endif
