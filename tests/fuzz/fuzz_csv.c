/* No sheet, however broken, crashes the reader, and what it makes is a team that sixturn reads. */
#include "sixturn/import.h"
#include "sixturn/team.h"

#include <stdint.h>
#include <stdlib.h>
#include <string.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    static SxTeam team;
    const SxImportOptions options = {.team_name = "Fuzzed", .strict = size % 2};
    SxImported made;
    SxError err = {.status = SX_OK};
    SxStatus status = sx_import_roster((const char *)data, size, "input", &options, &made, &err);
    if (status == SX_OK && sx_team_parse(made.json, strlen(made.json), "made", &team, &err)) {
        abort(); /* it wrote a team file that sixturn refuses */
    }
    if (status != SX_OK && (err.message[0] == '\0' || made.json)) {
        abort();
    }
    sx_imported_free(&made);
    return 0;
}
