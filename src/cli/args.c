/* Options on the command line, read from a table. */
#include "cli/args.h"

#include "core/numbers.h"

#include <errno.h>
#include <limits.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const Arg *find(const Arg *table, const char *name, size_t length) {
    for (; table && table->name; table++) {
        if (strlen(table->name) == length && strncmp(table->name, name, length) == 0) {
            return table;
        }
    }
    return NULL;
}

static SxStatus misuse(const char *option, const char *text) {
    fprintf(stderr, "sixturn: %s %s\n", option, text);
    return SX_USAGE;
}

static SxStatus take_number(const Arg *arg, const char *text) {
    SX_PLAIN_NUMBERS;
    char *end;
    errno = 0;
    double value = strtod(text, &end);
    bool whole = arg->kind == ARG_REAL || (isfinite(value) && value == floor(value));
    if (end == text || *end || errno || !isfinite(value) || !whole || value < arg->low ||
        value > arg->high) {
        fprintf(stderr, "sixturn: %s takes a %s from %g to %g, found '%s'\n", arg->name,
                arg->kind == ARG_INT ? "whole number" : "number", arg->low, arg->high, text);
        return SX_USAGE;
    }
    if (arg->kind == ARG_INT) {
        *(int *)arg->target = (int)value;
    } else {
        *(double *)arg->target = value;
    }
    return SX_OK;
}

static SxStatus take(const Arg *arg, const char *text) {
    ArgList *list = arg->target;
    switch (arg->kind) {
    case ARG_FLAG:
        *(bool *)arg->target = true;
        return SX_OK;
    case ARG_TEXT:
        *(const char **)arg->target = text;
        return SX_OK;
    case ARG_LIST:
        if (list->count == ARG_LIST_MAX) {
            return misuse(arg->name, "is given too often");
        }
        list->item[list->count++] = text;
        return SX_OK;
    case ARG_INT:
    case ARG_REAL:
        break;
    }
    return take_number(arg, text);
}

SxStatus args_read(int argc, char **argv, const Arg *first, const Arg *second, ArgList *words) {
    words->count = 0;
    for (int k = 0; k < argc; k++) {
        const char *word = argv[k];
        if (word[0] != '-' || word[1] == '\0') { /* a lone '-' is a file name */
            if (words->count == ARG_LIST_MAX) {
                return misuse(word, "is one word too many");
            }
            words->item[words->count++] = word;
            continue;
        }
        const char *equals = strchr(word, '=');
        size_t length = equals ? (size_t)(equals - word) : strlen(word);
        const Arg *arg = find(first, word, length);
        arg = arg ? arg : find(second, word, length);
        if (!arg) {
            return misuse(word, "is not an option of this command (see --help)");
        }
        if (arg->kind == ARG_FLAG && equals) {
            return misuse(arg->name, "takes no value");
        }
        const char *value = equals ? equals + 1 : NULL;
        if (arg->kind != ARG_FLAG && !value) {
            if (k + 1 == argc) {
                return misuse(arg->name, "needs a value");
            }
            value = argv[++k];
        }
        SxStatus status = take(arg, value);
        if (status != SX_OK) {
            return status;
        }
    }
    return SX_OK;
}

bool args_ask_help(int argc, char **argv) {
    for (int k = 0; k < argc; k++) {
        if (strcmp(argv[k], "--help") == 0) {
            return true;
        }
    }
    return false;
}

void args_help(const Arg *table) {
    enum { WIDTH = 24 };
    for (; table->name; table++) {
        int used = printf("  %s%s%s", table->name, table->value ? " " : "",
                          table->value ? table->value : "");
        printf("%*s%s\n", used < WIDTH ? WIDTH - used : 2, "", table->brief);
    }
}

SxStatus args_complain(const SxError *err) {
    char text[sizeof(SxError) + 64];
    fprintf(stderr, "sixturn: %s\n", sx_error_text(err, text, sizeof text));
    return err->status;
}
