/* A step of the libero plan as a coach calls it. */
#include "sixturn/sentences.h"

#include <stdio.h>

static int libero_shirt(const SxLineup *lineup, const SxTeam *team, int index) {
    int player = index >= 0 && index < lineup->libero_count ? lineup->liberos[index] : -1;
    return player >= 0 ? team->players[player].number : -1;
}

static int slot_shirt(const SxLineup *lineup, const SxTeam *team, int rotation, int slot) {
    return team->players[sx_slot_player(lineup, rotation, slot)].number;
}

char *sx_libero_step_text(const SxLiberoStep *step, const SxLineup *lineup, const SxTeam *team,
                          char *text, size_t size) {
    int r = step->rotation;
    int who = libero_shirt(lineup, team, step->libero);
    int player = slot_shirt(lineup, team, r, step->slot);
    const char *place = sx_position_name(sx_position(step->slot, r));
    const char *serves = step->serves ? ", to serve" : "";
    const char *forced = step->forced ? ", now in the front row" : "";
    char head[64];
    snprintf(head, sizeof head, "Rotation %d, %s:", r + 1,
             step->phase == SX_SERVE ? "serving" : "receiving");
    switch (step->kind) {
    case SX_STEP_IN:
        snprintf(text, size, "%s libero #%d comes in for #%d (%s)%s", head, who, player, place,
                 serves);
        break;
    case SX_STEP_OUT:
        snprintf(text, size, "%s #%d comes back for libero #%d (%s%s)", head, player, who, place,
                 step->slot == r && step->phase == SX_SERVE ? ", to serve" : forced);
        break;
    case SX_STEP_CHANGE:
        snprintf(text, size, "%s libero #%d comes in for libero #%d (%s)%s", head, who,
                 libero_shirt(lineup, team, step->old_libero), place, serves);
        break;
    case SX_STEP_GO:
        snprintf(text, size, "%s #%d comes back%s; libero #%d comes in for #%d (%s)%s", head,
                 slot_shirt(lineup, team, r, step->old_slot), forced, who, player, place, serves);
        break;
    }
    return text;
}
