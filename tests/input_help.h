/* What the tests of the input side share: a good file as text, one change, the error it gives. */
#ifndef SIXTURN_TESTS_INPUT_HELP_H
#define SIXTURN_TESTS_INPUT_HELP_H

#include "sixturn/error.h"

#include <criterion/criterion.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static inline char *read_whole(const char *file, size_t *length) {
    FILE *in = fopen(file, "rb");
    cr_assert_not_null(in, "%s", file);
    fseek(in, 0, SEEK_END);
    *length = (size_t)ftell(in);
    rewind(in);
    char *text = calloc(*length + 1, 1);
    cr_assert_eq(fread(text, 1, *length, in), *length);
    fclose(in);
    return text;
}

/* A copy of text with the first `from` replaced by `to`; free it. */
static inline char *changed(const char *text, const char *from, const char *to) {
    const char *at = strstr(text, from);
    char *out = malloc(strlen(text) + strlen(to) + 1);
    cr_assert(at && out, "the good file has no '%s'", from);
    int before = at && out ? (int)(at - text) : 0;
    sprintf(out, "%.*s%s%s", before, text, to, text + before + strlen(from));
    return out;
}

/* One mistake in a good file: where it is reported, and words the message must hold. */
typedef struct {
    const char *from, *to;
    const char *path;
    const char *says;
} Mistake;

typedef SxStatus (*Parser)(const char *text, size_t length, SxError *err);

static inline void check_mistakes(const char *good, const Mistake *mistakes, size_t count,
                                  Parser parser) {
    cr_assert_eq(parser(good, strlen(good), NULL), SX_OK, "the good file itself");
    for (size_t i = 0; i < count; i++) {
        const Mistake *m = &mistakes[i];
        char *bad = changed(good, m->from, m->to);
        SxError err = {0};
        cr_expect_eq(parser(bad, strlen(bad), &err), SX_BAD_INPUT, "accepted: %s", m->to);
        cr_expect_eq(parser(bad, strlen(bad), NULL), SX_BAD_INPUT, "without an SxError");
        cr_expect_str_eq(err.path, m->path, "%s: path '%s', message '%s'", m->to, err.path,
                         err.message);
        cr_expect_not_null(strstr(err.message, m->says), "%s: '%s' lacks '%s'", m->to, err.message,
                           m->says);
        cr_expect_str_eq(err.file, "given.json");
        free(bad);
    }
}

/* Cut off after every byte, a file is an error with a place, never a crash. The file's last bytes
 * may be white space that nobody misses. */
static inline void check_truncated(const char *good, size_t length, Parser parser) {
    size_t needed = length;
    while (needed > 0 && strchr(" \n", good[needed - 1])) {
        needed--;
    }
    for (size_t cut = 0; cut < needed; cut++) {
        SxError err = {0};
        cr_assert_eq(parser(good, cut, &err), SX_BAD_INPUT, "cut after byte %zu", cut);
        cr_assert_neq(err.line, 0);
    }
}

#endif
