/* Puts a team into the page's own place for one. */
#include "sixturn/page.h"

#include <stdlib.h>
#include <string.h>

static const char place[] = "<script id=\"given-team\" type=\"application/json\">";
static const char less_than[] = "\\u003c"; /* inside a script element no tag may seem to begin */

/* '<' stands only in the strings of a JSON text, where it may be written as a code. */
static char *put_escaped(char *at, const char *text, size_t length) {
    for (size_t k = 0; k < length; k++) {
        if (text[k] == '<') {
            memcpy(at, less_than, sizeof less_than - 1);
            at += sizeof less_than - 1;
        } else {
            *at++ = text[k];
        }
    }
    return at;
}

static size_t escaped_length(const char *text, size_t length) {
    size_t sum = length;
    for (size_t k = 0; k < length; k++) {
        sum += text[k] == '<' ? sizeof less_than - 2 : 0;
    }
    return sum;
}

SxStatus sx_page_with_team(const char *page, size_t page_length, const char *team,
                           size_t team_length, char **out, size_t *length, SxError *err) {
    const char *found = strstr(page, place);
    *out = NULL;
    *length = 0;
    if (!found) {
        return sx_fail(err, SX_BAD_INPUT, "this is not the page of sixturn");
    }
    const size_t before = (size_t)(found - page) + sizeof place - 1;
    char *text = malloc(page_length + escaped_length(team, team_length) + 1);
    if (!text) {
        return sx_out_of_memory(err);
    }
    memcpy(text, page, before);
    char *at = put_escaped(text + before, team, team_length);
    memcpy(at, page + before, page_length - before);
    at += page_length - before;
    *at = '\0';
    *out = text;
    *length = (size_t)(at - text);
    return SX_OK;
}
