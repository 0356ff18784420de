/* A stream that writes into memory. Internal. */
#ifndef SIXTURN_CORE_STREAM_H
#define SIXTURN_CORE_STREAM_H

#include <stdbool.h>
#include <stdio.h>

/* Must stay where it is between opening and closing. */
typedef struct {
    FILE *out; /* NULL when memory ran out */
    char *text;
    size_t size, room;
    bool failed;
} SxStream;

bool sx_stream_open(SxStream *stream);
/* The text, ending in a zero, to be freed with free(); NULL when memory ran out on the way. */
char *sx_stream_close(SxStream *stream);

#endif
