/* What a coach keeps of single rotations (SxPlan.kept): her own formation takes the place of the
 * program's, and her wishes bind it. A rotation's entries in the formation table are replaced, so
 * that the lineup, its odds and all drawings follow. */
#ifndef SIXTURN_KEPT_H
#define SIXTURN_KEPT_H

#include "sixturn/api.h"
#include "sixturn/lineup.h"

SX_C_BEGIN

/* The defaults, with the plan's terms. */
SX_API void sx_plan_formation_options(const SxPlan *plan, SxFormationOptions *options);
/* The table of all formations that the plan allows, before what it keeps. Free with
 * sx_formation_table_free. SX_OUT_OF_TIME at the deadline of work, which may be NULL. */
SX_API SxStatus sx_plan_formation_table(const SxPlan *plan, const SxSystem *system,
                                        const SxWork *work, SxFormationTable **table, SxError *err);

/* Is anything kept of this rotation when we receive? */
SX_API bool sx_is_kept(const SxPlan *plan, int rotation);
/* Is the position of everybody known of whom something is kept? */
SX_API bool sx_kept_is_placed(const SxKept *kept);

/* Gives those who are kept by player the positions that they have in a lineup when we receive.
 * SX_NO if one of them is not on court in her rotation, or if two claims meet. */
SX_API SxStatus sx_kept_place(const SxTeam *team, const SxLineup *lineup, SxPlan *plan,
                              SxError *err);
/* Do those who are kept by player stand so in this lineup? SX_NO with who does not. */
SX_API SxStatus sx_kept_stands(const SxTeam *team, const SxPlan *plan, const SxLineup *lineup,
                               SxError *err);

/* Replaces the formations of every rotation that is kept and placed. SX_NO for a formation that is
 * not legal, with the fault and the smallest change that mends it, for wishes that cannot hold, and
 * for a number of passers that the plan does not allow. After a failure the table is of no use. */
SX_API SxStatus sx_kept_apply(const SxPlan *plan, const SxRules *rules, const SxSystem *system,
                              SxFormationTable *table, SxError *err);

SX_C_END

#endif
