/* The member "formations" of a plan file. Internal. */
#ifndef SIXTURN_CORE_KEPTREAD_H
#define SIXTURN_CORE_KEPTREAD_H

#include "core/jsonread.h"
#include "sixturn/plan.h"

void sx_plan_read_kept(const SxJsonAt *at, const SxTeam *team, SxKept kept[SX_ROTATIONS]);

#endif
