/* Any bytes as a formation file: an answer or an error, no crash; what is read can be judged, told
 * and written, and reads the same again. */
#include "sixturn/drawn.h"
#include "sixturn/sentences.h"

#include <stdint.h>
#include <stdlib.h>
#include <string.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void tell(const SxDrawn *drawn) {
    SxRules rules = {.serving_team_bound = true, .level_is_fault = true};
    SxLegality result;
    char text[512];
    sx_legality(&drawn->stance, &rules, SX_NEAR_MARGIN, &result);
    for (int i = 0; i < result.finding_count; i++) {
        sx_finding_text(&result.finding[i], drawn, SX_NEAR_MARGIN, text, sizeof text);
    }
    sx_drawn_title(drawn, text, sizeof text);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    SxDrawnFile file = {0, false, NULL}, again = {0, false, NULL};
    SxError err = {.status = SX_OK};
    if (sx_drawn_parse((const char *)data, size, "fuzz.json", &file, &err) != SX_OK) {
        if (err.message[0] == '\0') {
            abort(); /* an error that says nothing */
        }
        return 0;
    }
    for (int i = 0; i < file.count; i++) {
        tell(&file.formation[i]);
    }
    char *text = sx_drawn_write(&file);
    if (text && (sx_drawn_parse(text, strlen(text), "again.json", &again, &err) != SX_OK ||
                 again.count != file.count)) {
        abort();
    }
    free(text);
    sx_drawn_free(&file);
    sx_drawn_free(&again);
    return 0;
}
