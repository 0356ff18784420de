/* Any bytes as a lineup for our junior team: what is accepted names players of the team, each once.
 * Run from the project's root, so that the team is found. */
#include "sixturn/orderfile.h"
#include "sixturn/team.h"

#include <stdint.h>
#include <stdlib.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

/* A player may hold a place in both rows of her own slot, and nowhere else. */
static void hold_place(const SxTeam *team, int *slot_of, int player, int slot) {
    if (player < 0 || player >= team->player_count ||
        (slot_of[player] && slot_of[player] != slot + 1)) {
        abort();
    }
    slot_of[player] = slot + 1;
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    static SxTeam team;
    const char *bytes = (const char *)data;
    SxError err = {.status = SX_OK};
    bool result = false;
    if (team.player_count == 0 && sx_team_read("datasets/junior-12.json", &team, &err)) {
        abort();
    }
    SxOrderFile file;
    sx_order_file_is_result(bytes, size, "fuzz.json", &result, &err);
    const SxStatus status = sx_order_file_parse(bytes, size, "fuzz.json", &team, &file, &err);
    if (status != SX_OK) {
        if (err.message[0] == '\0') {
            abort();
        }
        return 0;
    }
    int slot_of[SX_MAX_PLAYERS] = {0};
    for (int slot = 0; slot < SX_SLOTS; slot++) {
        hold_place(&team, slot_of, file.order.front[slot], slot);
        hold_place(&team, slot_of, file.order.back[slot], slot);
    }
    if (file.start < 0 || file.start >= SX_ROTATIONS) {
        abort();
    }
    return 0;
}
