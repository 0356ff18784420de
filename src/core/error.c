/* Errors as values: filling and printing an SxError. */
#include "sixturn/error.h"

#include <stdarg.h>
#include <stdio.h>

SxStatus sx_fail(SxError *err, SxStatus status, const char *format, ...) {
    if (err) {
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

/* A file's own bytes may reach a message; a terminal must not act on them. */
static void blunt_control_characters(char *text) {
    for (char *c = text; *c; c++) {
        unsigned char byte = (unsigned char)*c;
        if ((byte < ' ' && byte != '\n') || byte == 0x7f) {
            *c = '?';
        }
    }
}

char *sx_error_text(const SxError *err, char *text, size_t size) {
    size_t used = 0;
    if (size == 0) {
        return text;
    }
    text[0] = '\0';
#define APPEND(...)                                                                                \
    do {                                                                                           \
        if (used < size) {                                                                         \
            int wrote = snprintf(text + used, size - used, __VA_ARGS__);                           \
            used += wrote > 0 ? (size_t)wrote : 0;                                                 \
        }                                                                                          \
    } while (0)
    if (err->file[0]) {
        APPEND("%s:", err->file);
        if (err->line > 0) {
            APPEND("%d:%d:", err->line, err->column);
        }
        APPEND(" ");
    }
    if (err->path[0]) {
        APPEND("%s: ", err->path);
    }
    APPEND("%s", err->message);
#undef APPEND
    blunt_control_characters(text);
    return text;
}
