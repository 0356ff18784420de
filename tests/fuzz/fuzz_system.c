/* Any bytes as a playing system: what is accepted must put everybody somewhere in each rotation. */
#include "sixturn/court.h"
#include "sixturn/system.h"

#include <math.h>
#include <stdint.h>
#include <stdlib.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static bool on_paper(SxSpot spot) {
    return isfinite(spot.x) && isfinite(spot.y);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    SxSystem system;
    SxError err = {.status = SX_OK};
    char text[sizeof(SxError) + 64];
    if (sx_system_parse((const char *)data, size, "fuzz.json", &system, &err) != SX_OK) {
        if (err.message[0] == '\0') {
            abort();
        }
        sx_error_text(&err, text, sizeof text);
        return 0;
    }
    for (int r = 0; r < SX_ROTATIONS; r++) {
        const int setter = system.setter_slot[r];
        if (setter < 0 || setter >= SX_SLOTS) {
            abort();
        }
        for (int slot = 0; slot < SX_SLOTS; slot++) {
            const SxDuty *duty = &system.duty[slot][sx_slot_row(slot, r)];
            if (duty->role < 0 || duty->role >= SX_ROLE_COUNT || !on_paper(duty->base) ||
                !on_paper(duty->task)) {
                abort();
            }
        }
    }
    if (sx_system_is_mirrored(&system) &&
        sx_front_attackers(&system, 0) != sx_front_attackers(&system, SX_ROTATIONS / 2)) {
        abort();
    }
    return 0;
}
