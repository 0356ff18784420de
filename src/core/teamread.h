/* Players as files refer to them. Internal. */
#ifndef SIXTURN_CORE_TEAMREAD_H
#define SIXTURN_CORE_TEAMREAD_H

#include "core/jsonread.h"
#include "sixturn/team.h"

/* The player whom a value names: an id, or a shirt number as "7", "#7" or 7. -1 after an error. */
int sx_team_read_player(const SxJsonAt *at, const SxTeam *team);
/* The same for a name that is not itself a value, such as the key of a map. */
int sx_team_read_player_name(const SxJsonAt *at, const char *who, const SxTeam *team);

#endif
