/* JSON as a coach can read and change it: two spaces a level, and on one line what fits there. */
#include "core/jsontidy.h"

#include "core/numbers.h"
#include "core/stream.h"

#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { LINE = 120, STEP = 2 };

typedef struct {
    FILE *out;
    bool failed;
} Writer;

static void write_string(Writer *writer, const char *text) {
    const cJSON item = {.type = cJSON_String, .valuestring = (char *)text};
    char *quoted = cJSON_PrintUnformatted(&item);
    writer->failed = writer->failed || !quoted;
    fputs(quoted ? quoted : "", writer->out);
    cJSON_free(quoted);
}

static void write_scalar(Writer *writer, const cJSON *item) {
    if (cJSON_IsString(item)) {
        write_string(writer, item->valuestring);
    } else if (cJSON_IsNumber(item)) {
        fprintf(writer->out, "%.10g", item->valuedouble);
    } else {
        fputs(cJSON_IsTrue(item) ? "true" : cJSON_IsFalse(item) ? "false" : "null", writer->out);
    }
}

static bool holds_more(const cJSON *item) {
    return (cJSON_IsArray(item) || cJSON_IsObject(item)) && item->child;
}

/* Objects of objects never share a line; lists of plain values and flat objects may. */
static bool is_flat(const cJSON *item) {
    for (const cJSON *child = item->child; child; child = child->next) {
        if (holds_more(child)) {
            return false;
        }
    }
    return true;
}

static size_t flat_width(Writer *writer, const cJSON *item) {
    char *text = cJSON_PrintUnformatted(item);
    writer->failed = writer->failed || !text;
    size_t width = text ? strlen(text) : LINE;
    for (const cJSON *child = item->child; child; child = child->next) {
        width += 2; /* the spaces after comma and colon */
    }
    cJSON_free(text);
    return width;
}

static void write_item(Writer *writer, const cJSON *item, int indent);

static void write_members(Writer *writer, const cJSON *item, bool one_line, int indent) {
    for (const cJSON *child = item->child; child; child = child->next) {
        if (!one_line) {
            fprintf(writer->out, "\n%*s", indent, "");
        }
        if (cJSON_IsObject(item)) {
            write_string(writer, child->string);
            fputs(": ", writer->out);
        }
        write_item(writer, child, indent);
        fputs(!child->next ? "" : one_line ? ", " : ",", writer->out);
    }
}

static void write_item(Writer *writer, const cJSON *item, int indent) {
    if (!cJSON_IsArray(item) && !cJSON_IsObject(item)) {
        write_scalar(writer, item);
        return;
    }
    bool one_line = is_flat(item) && flat_width(writer, item) + (size_t)indent <= LINE;
    fputc(cJSON_IsArray(item) ? '[' : '{', writer->out);
    write_members(writer, item, one_line, indent + STEP);
    if (!one_line) {
        fprintf(writer->out, "\n%*s", indent, "");
    }
    fputc(cJSON_IsArray(item) ? ']' : '}', writer->out);
}

char *sx_json_print(const cJSON *item) {
    SX_PLAIN_NUMBERS;
    SxStream stream;
    if (!sx_stream_open(&stream)) {
        return NULL;
    }
    Writer writer = {stream.out, false};
    write_item(&writer, item, 0);
    fputc('\n', writer.out);
    char *text = sx_stream_close(&stream);
    if (writer.failed) {
        free(text);
        return NULL;
    }
    return text;
}
