/* Opponent files: JSON or a sheet. */
#include "analysis/opponentsheet.h"
#include "core/text.h"

#include <stdlib.h>

SxStatus sx_opponent_parse(const char *text, size_t length, const char *file, SxOpponent *opponent,
                           SxError *err) {
    return sx_opponent_is_sheet(text, length, file)
               ? sx_opponent_sheet(text, length, file, opponent, err)
               : sx_opponent_parse_json(text, length, file, opponent, err);
}

SxStatus sx_opponent_read(const char *file, SxOpponent *opponent, SxError *err) {
    char *text = NULL;
    size_t length = 0;
    SxStatus status = sx_text_read_file(file, &text, &length, err);
    if (status == SX_OK) {
        status = sx_opponent_parse(text, length, file, opponent, err);
    }
    free(text);
    return status;
}
