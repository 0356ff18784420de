/* Text as files and coaches give it: reading a file whole, UTF-8, spelling. Internal. */
#ifndef SIXTURN_CORE_TEXT_H
#define SIXTURN_CORE_TEXT_H

#include "sixturn/error.h"

#include <stdbool.h>
#include <stddef.h>

enum { SX_FILE_LIMIT = 4 * 1024 * 1024, SX_QUOTE_SIZE = 80 };

/* Reads a whole file of at most SX_FILE_LIMIT bytes. *text ends with a zero byte that *length does
 * not count; free it with free(). */
SxStatus sx_text_read_file(const char *file, char **text, size_t *length, SxError *err);

/* True if all bytes are well-formed UTF-8; else *bad (may be NULL) is the offset of the first byte
 * that is not. The Unicode Standard, table 3-7 'Well-Formed UTF-8 Byte Sequences'. */
bool sx_text_is_utf8(const char *text, size_t length, size_t *bad);

/* True if the (well-formed) text holds a control character: U+0000 to 1F, U+007F to 9F. */
bool sx_text_has_control(const char *text);

/* Copies text so that a terminal shows it and never acts on it: control characters (Unicode's C0
 * and C1), marks that turn the direction of writing and bytes that are no UTF-8 become visible
 * escapes such as \x1b; line ends stay if they may. Never half a character or half an escape.
 * Returns out. */
char *sx_text_show(const char *text, bool line_ends, char *out, size_t size);

/* 1-based line and column (in characters, not bytes) of a byte offset. */
void sx_text_position(const char *text, size_t offset, int *line, int *column);

/* The same without line ends, for quoting what was found; ends with "..." if it had to cut. */
char *sx_text_cut(const char *text, char *out, size_t size);

/* Fewest insertions, deletions, replacements and swaps of neighbours (bytes, ASCII case ignored)
 * that turn one word into the other. */
int sx_text_distance(const char *a, const char *b);

/* Keeps the nearest of the candidates it is shown: start with {word, NULL, 0}. */
typedef struct {
    const char *word;
    const char *best; /* NULL while nothing is near enough to be meant */
    int distance;
} SxNearest;
void sx_text_consider(SxNearest *nearest, const char *candidate);

/* A file rather than the id of a shipped one: holds a '/' or ends in ".json". */
bool sx_text_is_file_name(const char *id_or_file);

/* Sets err's file (err may be NULL) and clears its path and line. */
void sx_text_blame(SxError *err, const char *file);

#endif
