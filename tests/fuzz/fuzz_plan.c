/* Any bytes as a plan for our junior team: an answer or an error, no crash. Run from the project's
 * root, so that the team is found. */
#include "sixturn/plan.h"

#include <stdint.h>
#include <stdlib.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    static SxTeam team;
    static SxPlan plan;
    SxError err = {.status = SX_OK};
    char text[sizeof(SxError) + 64];
    if (team.player_count == 0 && sx_team_read("datasets/junior-12.json", &team, &err)) {
        abort();
    }
    if (sx_plan_parse((const char *)data, size, "fuzz.json", &team, &plan, &err) == SX_OK) {
        for (int i = 0; i < plan.wish_count; i++) {
            sx_wish_text(&plan.wishes[i], &team, text, sizeof text);
            if (text[0] == '\0' || plan.wishes[i].player >= team.player_count) {
                abort();
            }
        }
    } else if (err.message[0] == '\0') {
        abort();
    }
    sx_error_text(&err, text, sizeof text);
    return 0;
}
