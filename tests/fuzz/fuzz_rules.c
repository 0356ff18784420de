/* Any bytes as a rule profile: what is accepted must be a set that can be played. */
#include "sixturn/rules.h"

#include <stdint.h>
#include <stdlib.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    SxRules rules;
    SxError err = {.status = SX_OK};
    char text[sizeof(SxError) + 64];
    if (sx_rules_parse((const char *)data, size, "fuzz.json", &rules, &err) != SX_OK) {
        if (err.message[0] == '\0') {
            abort();
        }
        sx_error_text(&err, text, sizeof text);
        return 0;
    }
    const bool limit = rules.substitutions == SX_UNLIMITED || rules.substitutions >= 0;
    const bool cap = rules.cap == 0 || rules.cap >= rules.set_points;
    if (!limit || !cap || rules.set_points < 1 || rules.deciding_points < 1 || rules.lead < 1 ||
        rules.liberos < 0 || rules.liberos > 2 || rules.best_of < 1) {
        abort();
    }
    return 0;
}
