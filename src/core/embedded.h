/* The rule profiles, systems and the rally model of datasets/, compiled in. Internal. */
#ifndef SIXTURN_CORE_EMBEDDED_H
#define SIXTURN_CORE_EMBEDDED_H

#include "core/jsonread.h"

#include <stddef.h>

typedef struct {
    const char *id; /* the file's name without its ending */
    const char *text;
    size_t length;
} SxEmbedded;

extern const SxEmbedded sx_embedded_rules[];
extern const int sx_embedded_rules_count;
extern const SxEmbedded sx_embedded_systems[];
extern const int sx_embedded_systems_count;
extern const SxEmbedded sx_embedded_rally[]; /* the one rally model */
extern const int sx_embedded_rally_count;
extern const SxEmbedded sx_embedded_terms[]; /* the one file of formation terms */
extern const int sx_embedded_terms_count;

/* The text of the shipped file with this id, or of a file of the coach's, copied into *text (free
 * it), with the name to use in errors in shown[]. what: "rule profile", "system", "rally model". */
SxStatus sx_embedded_find(const SxEmbedded *table, int count, const char *what,
                          const char *id_or_file, char **text, size_t *length, char *shown,
                          size_t shown_size, SxError *err);

/* Reads a text that names a shipped file or a file of the coach's; says if it is neither. */
void sx_embedded_read_name(const SxEmbedded *table, int count, const char *what, const SxJsonAt *at,
                           char *out, size_t size);

#endif
