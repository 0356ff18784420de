/* A strict reader of JSON files (RFC 8259) on cJSON that says what is wrong, where, and what is
 * allowed. Internal.
 *
 * The first error sticks to the document: after it every reader does nothing and loops end, so a
 * format's parser is written straight down and asks for the status once, at the end. */
#ifndef SIXTURN_CORE_JSONREAD_H
#define SIXTURN_CORE_JSONREAD_H

#include "sixturn/error.h"

#include <cjson/cJSON.h>
#include <stdbool.h>
#include <stddef.h>

enum { SX_JSON_MAX_DEPTH = 64, SX_JSON_MAX_KEYS = 32, SX_JSON_NUMBER_SIZE = 60 };

typedef struct {
    const char *file;
    SxError *err; /* may be NULL */
    SxStatus status;
    cJSON *tree;
} SxJson;

/* A value and the way to it. Borrows its parent, which must live as long. */
typedef struct SxJsonAt {
    SxJson *document;
    const struct SxJsonAt *parent;
    const char *key;   /* name in an object, NULL for an element or the root */
    int index;         /* in an array or a map */
    const cJSON *item; /* NULL if the file does not give it */
} SxJsonAt;

/* Parses; free with sx_json_close whatever it returned. */
SxStatus sx_json_open(SxJson *document, const char *text, size_t length, const char *file,
                      SxError *err);
void sx_json_close(SxJson *document);
SxJsonAt sx_json_root(SxJson *document);

/* How a kind of file becomes a value. */
typedef struct {
    const char *format; /* what its member "format" says; NULL if read checks that itself */
    size_t size;        /* of the value */
    /* Fills a value that starts as zeros. context: whatever the reader needs besides. */
    void (*read)(const SxJsonAt *root, void *value, const void *context);
} SxJsonKind;

/* Opens the text (the file itself if text is NULL), reads it into *value and closes. On failure
 * *value is left as it was. */
SxStatus sx_json_parse(const SxJsonKind *kind, const char *text, size_t length, const char *file,
                       const void *context, void *value, SxError *err);

/* The first error at a value: its path, and a message. Ignored if there was one before. */
void sx_json_fail(const SxJsonAt *at, const char *format, ...)
    __attribute__((format(printf, 2, 3)));
/* "expected WANTED, found ...". */
void sx_json_wrong(const SxJsonAt *at, const char *wanted);
bool sx_json_failed(const SxJsonAt *at);
/* given: in the file, and no error so far. */
bool sx_json_given(const SxJsonAt *at);

/* Opens an object whose keys are all in keys[0..count-1]; members[i] is the one of keys[i]. Keys
 * that are unknown or come twice are errors. The root may also name its "$schema", for editors. */
void sx_json_members(const SxJsonAt *at, const char *const *keys, int count, SxJsonAt *members);

/* Walks an array or an object with free keys (a map):
 * `for (SxJsonAt e = sx_json_first(&at); e.item; sx_json_next(&e))`. */
SxJsonAt sx_json_first(const SxJsonAt *at);
void sx_json_next(SxJsonAt *element);
/* True (and no error) if the value is an array of least to most elements. */
bool sx_json_array(const SxJsonAt *at, int least, int most);
/* True (and no error) if the value is an object of least to most members, none twice. */
bool sx_json_map(const SxJsonAt *at, int least, int most);

/* Each writes *out only if the value is there and right. */
void sx_json_number(const SxJsonAt *at, double low, double high, double *out);
void sx_json_integer(const SxJsonAt *at, int low, int high, int *out);
void sx_json_bool(const SxJsonAt *at, bool *out);
/* A text of 1 to size - 1 bytes without control characters. */
void sx_json_text(const SxJsonAt *at, char *out, size_t size);
/* A short word: letters, digits, '-', '_', '.' and anything beyond ASCII; not starting with '-'. */
bool sx_id_is_word(const char *text);
void sx_json_id(const SxJsonAt *at, char *out, size_t size);
/* The index of the text among words[0..count-1]; -1 after an error. what: "role", "lane". */
int sx_json_word(const SxJsonAt *at, const char *what, const char *const *words, int count);
/* Checks the root's member "format", before anything else is read: a file of another kind is told
 * as such. */
void sx_json_format(const SxJsonAt *root, const char *format);
/* The path of the value, "players[3].skills.passing". Returns path. */
char *sx_json_path(const SxJsonAt *at, char *path, size_t size);

/* " (did you mean 'x'?)" or "". */
const char *sx_json_hint(const char *nearest, char *text, size_t size);

#endif
