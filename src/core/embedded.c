/* Finding a shipped file by its id, or a coach's own by its name. */
#include "core/embedded.h"

#include "core/text.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static SxStatus copy_shipped(const SxEmbedded *entry, char **text, size_t *length, SxError *err) {
    *text = malloc(entry->length + 1);
    if (!*text) {
        return sx_out_of_memory(err);
    }
    memcpy(*text, entry->text, entry->length);
    (*text)[entry->length] = '\0';
    *length = entry->length;
    return SX_OK;
}

static bool is_shipped(const SxEmbedded *table, int count, const char *id) {
    for (int i = 0; i < count; i++) {
        if (strcmp(table[i].id, id) == 0) {
            return true;
        }
    }
    return false;
}

static char *no_such_id(const SxEmbedded *table, int count, const char *what, const char *id,
                        char *text, size_t size) {
    SxNearest nearest = {id, NULL, 0};
    char hint[SX_QUOTE_SIZE], cut[SX_QUOTE_SIZE], list[512] = "";
    size_t used = 0;
    for (int i = 0; i < count; i++) {
        sx_text_consider(&nearest, table[i].id);
        used +=
            (size_t)snprintf(list + used, sizeof list - used, "%s%s", i ? ", " : "", table[i].id);
        used = used < sizeof list ? used : sizeof list - 1;
    }
    snprintf(text, size,
             "there is no %s '%s'%s; there are %s, or name a file: with a '/' or ending in .json",
             what, sx_text_cut(id, cut, sizeof cut), sx_json_hint(nearest.best, hint, sizeof hint),
             list);
    return text;
}

void sx_embedded_read_name(const SxEmbedded *table, int count, const char *what, const SxJsonAt *at,
                           char *out, size_t size) {
    sx_json_text(at, out, size);
    if (sx_json_given(at) && !is_shipped(table, count, out) && !sx_text_is_file_name(out)) {
        char text[SX_ERROR_MESSAGE];
        sx_json_fail(at, "%s", no_such_id(table, count, what, out, text, sizeof text));
    }
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
    char text_of_error[SX_ERROR_MESSAGE];
    sx_text_blame(err, "");
    return sx_fail(err, SX_BAD_INPUT, "%s",
                   no_such_id(table, count, what, id_or_file, text_of_error, sizeof text_of_error));
}
