/* Finding a shipped file by its id, or a coach's own by its name. */
#include "core/embedded.h"

#include "core/jsonread.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static SxStatus copy_shipped(const SxEmbedded *entry, char **text, size_t *length, SxError *err) {
    *text = malloc(entry->length + 1);
    if (!*text) {
        return sx_fail(err, SX_INTERNAL, "out of memory");
    }
    memcpy(*text, entry->text, entry->length);
    (*text)[entry->length] = '\0';
    *length = entry->length;
    return SX_OK;
}

static SxStatus no_such_id(const SxEmbedded *table, int count, const char *what, const char *id,
                           SxError *err) {
    SxNearest nearest = {id, NULL, 0};
    char hint[SX_QUOTE_SIZE], cut[SX_QUOTE_SIZE], list[512] = "";
    size_t used = 0;
    for (int i = 0; i < count; i++) {
        sx_text_consider(&nearest, table[i].id);
        used +=
            (size_t)snprintf(list + used, sizeof list - used, "%s%s", i ? ", " : "", table[i].id);
        used = used < sizeof list ? used : sizeof list - 1;
    }
    sx_text_blame(err, "");
    return sx_fail(err, SX_BAD_INPUT,
                   "there is no %s '%s'%s; there are %s, or name a file that ends in .json", what,
                   sx_text_cut(id, cut, sizeof cut), sx_json_hint(nearest.best, hint, sizeof hint),
                   list);
}

SxStatus sx_embedded_find(const SxEmbedded *table, int count, const char *what,
                          const char *id_or_file, char **text, size_t *length, char *shown,
                          size_t shown_size, SxError *err) {
    snprintf(shown, shown_size, "%s", id_or_file);
    if (sx_text_is_file_name(id_or_file)) {
        return sx_text_read_file(id_or_file, text, length, err);
    }
    for (int i = 0; i < count; i++) {
        if (strcmp(table[i].id, id_or_file) == 0) {
            snprintf(shown, shown_size, "built-in %s %s", what, id_or_file);
            return copy_shipped(&table[i], text, length, err);
        }
    }
    return no_such_id(table, count, what, id_or_file, err);
}
