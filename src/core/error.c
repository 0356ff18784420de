/* Errors as values: filling and printing an SxError. */
#include "sixturn/error.h"

#include "core/numbers.h"
#include "core/text.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

SxStatus sx_fail(SxError *err, SxStatus status, const char *format, ...) {
    if (err) {
        SX_PLAIN_NUMBERS;
        err->status = status;
        va_list args;
        va_start(args, format);
        vsnprintf(err->message, sizeof err->message, format, args);
        va_end(args);
    }
    return status;
}

SxStatus sx_out_of_memory(SxError *err) {
    return sx_fail(err, SX_NO_MEMORY, "out of memory");
}

int sx_exit_status(SxStatus status) {
    return status > SX_OUT_OF_TIME ? SX_INTERNAL : (int)status;
}

bool sx_is_failure(SxStatus status) {
    return status != SX_OK && status != SX_NO;
}

/* Adds text at out + *used, made fit for a terminal: a file's own bytes may be in it. */
static void add_shown(const char *text, bool line_ends, char *out, size_t size, size_t *used) {
    sx_text_show(text, line_ends, out + *used, size - *used);
    *used += strlen(out + *used);
}

char *sx_error_text(const SxError *err, char *text, size_t size) {
    size_t used = 0;
    if (size == 0) {
        return text;
    }
    text[0] = '\0';
    if (err->file[0]) {
        char line[32] = "";
        if (err->line > 0) {
            snprintf(line, sizeof line, "%d:%d:", err->line, err->column);
        }
        add_shown(err->file, false, text, size, &used);
        add_shown(":", false, text, size, &used);
        add_shown(line, false, text, size, &used);
        add_shown(" ", false, text, size, &used);
    }
    if (err->path[0]) {
        add_shown(err->path, false, text, size, &used);
        add_shown(": ", false, text, size, &used);
    }
    add_shown(err->message, true, text, size, &used);
    return text;
}
