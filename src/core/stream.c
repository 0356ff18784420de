/* A stream that writes into memory. The standard's open_memstream does the same, but glibc's drops
 * what an allocation that failed had no room for and does not tell. */
#define _GNU_SOURCE
#include "core/stream.h"

#include <stdlib.h>
#include <string.h>

enum { FIRST_ROOM = 4096 };

static ssize_t keep(void *cookie, const char *data, size_t length) {
    SxStream *stream = cookie;
    if (stream->failed) {
        return 0;
    }
    if (stream->room - stream->size <= length) {
        size_t room = 2 * stream->room + length + FIRST_ROOM;
        char *grown = realloc(stream->text, room);
        if (!grown) {
            stream->failed = true;
            return 0;
        }
        stream->text = grown;
        stream->room = room;
    }
    memcpy(stream->text + stream->size, data, length);
    stream->size += length;
    return (ssize_t)length;
}

bool sx_stream_open(SxStream *stream) {
    *stream = (SxStream){.text = NULL};
    stream->out = fopencookie(stream, "w", (cookie_io_functions_t){.write = keep});
    return stream->out != NULL;
}

char *sx_stream_close(SxStream *stream) {
    bool failed = fclose(stream->out) != 0;
    if (failed || stream->failed || (!stream->text && !(stream->text = malloc(1)))) {
        free(stream->text);
        stream->text = NULL;
        return NULL;
    }
    stream->text[stream->size] = '\0';
    return stream->text;
}
