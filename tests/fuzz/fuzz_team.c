/* Any bytes as a team file (and as a rule profile and a system): an answer or an error, no crash.
 */
#include "sixturn/rules.h"
#include "sixturn/system.h"
#include "sixturn/team.h"

#include <stdint.h>
#include <stdlib.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    static SxTeam team;
    SxRules rules;
    SxSystem system;
    SxError err = {.status = SX_OK};
    char text[sizeof(SxError) + 64];
    const char *bytes = (const char *)data;
    if (sx_team_parse(bytes, size, "fuzz.json", &team, &err) == SX_OK) {
        for (int p = 1; p < team.player_count; p++) {
            if (team.players[p - 1].number >= team.players[p].number) {
                abort(); /* not in the canonical order, or a number given twice */
            }
        }
    } else if (err.message[0] == '\0') {
        abort(); /* an error that says nothing */
    }
    sx_error_text(&err, text, sizeof text);
    sx_rules_parse(bytes, size, "fuzz.json", &rules, &err);
    sx_system_parse(bytes, size, "fuzz.json", &system, &err);
    return 0;
}
