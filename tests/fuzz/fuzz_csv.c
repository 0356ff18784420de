/* Any bytes as a spreadsheet's roster: an error, or a team file that sixturn itself reads. */
#include "sixturn/csv.h"
#include "sixturn/team.h"

#include <stdint.h>
#include <stdlib.h>
#include <string.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    static SxTeam team;
    char *json = NULL;
    SxError err = {.status = SX_OK};
    if (sx_team_from_csv((const char *)data, size, "fuzz.csv", "Fuzz", &json, &err) == SX_OK) {
        if (sx_team_parse(json, strlen(json), "made.json", &team, &err)) {
            abort();
        }
    } else if (err.message[0] == '\0' || json) {
        abort();
    }
    free(json);
    return 0;
}
