/* A planned substitution as a coach calls it. */
#include "sixturn/sentences.h"

#include <stdio.h>

char *sx_change_text(const SxChange *change, const SxTeam *team, char *text, size_t size) {
    snprintf(text, size, "Cycle %d, into rotation %d: #%d for #%d (%s)", change->cycle + 1,
             change->rotation + 1, team->players[change->in].number,
             team->players[change->out].number,
             sx_position_name(sx_position(change->slot, change->rotation)));
    return text;
}
