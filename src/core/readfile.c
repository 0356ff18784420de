/* Reading a file whole. */
#include "core/text.h"

#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { READ_CHUNK = 64 * 1024 };

void sx_text_blame(SxError *err, const char *file) {
    if (err) {
        snprintf(err->file, sizeof err->file, "%s", file ? file : "");
        err->path[0] = '\0';
        err->line = err->column = 0;
    }
}

static SxStatus read_stream(FILE *stream, char **text, size_t *length, SxError *err) {
    char *buffer = NULL;
    size_t used = 0, room = 0;
    for (;;) {
        if (room - used < READ_CHUNK + 1) {
            room = room ? room * 2 : (size_t)READ_CHUNK * 2;
            char *grown = realloc(buffer, room);
            if (!grown) {
                free(buffer);
                return sx_out_of_memory(err);
            }
            buffer = grown;
        }
        size_t got = fread(buffer + used, 1, READ_CHUNK, stream);
        used += got;
        if (used > SX_FILE_LIMIT) {
            free(buffer);
            return sx_fail(err, SX_BAD_INPUT, "the file is larger than the %d MiB allowed",
                           SX_FILE_LIMIT / (1024 * 1024));
        }
        if (got == 0) {
            break;
        }
    }
    if (ferror(stream)) {
        int reason = errno;
        free(buffer);
        return sx_fail(err, SX_BAD_INPUT, "cannot read: %s", strerror(reason));
    }
    buffer[used] = '\0';
    *text = buffer;
    *length = used;
    return SX_OK;
}

SxStatus sx_text_read_file(const char *file, char **text, size_t *length, SxError *err) {
    sx_text_blame(err, file);
    FILE *stream = fopen(file, "rb");
    if (!stream) {
        return errno == ENOMEM ? sx_out_of_memory(err)
                               : sx_fail(err, SX_BAD_INPUT, "cannot open: %s", strerror(errno));
    }
    SxStatus status = read_stream(stream, text, length, err);
    fclose(stream);
    return status;
}
