/* Text as files and coaches give it: UTF-8, spelling. */
#include "core/text.h"

#include <stdio.h>
#include <string.h>

enum {
    SHORTEST_BEGINNING = 2, /* the first letters of a longer word, from so many on, are near */
    LONGEST_WORD = 127,     /* longer words are compared by their beginning only */
    LETTERS_PER_SLIP = 3,   /* one slip of the keys in so many letters still counts as near */
    FIRST_CONTINUATION = 0x80,
    LAST_CONTINUATION = 0xbf,
    SHOWN_SIZE = 4 * 4 + 1 /* four bytes, each as an escape */
};

/* A row of the Unicode Standard's table 3-7: lead bytes and what their second byte may be; any
 * third and fourth byte is an ordinary continuation byte. */
typedef struct {
    unsigned char lead_low, lead_high, second_low, second_high;
    int length;
} Utf8Row;

static const Utf8Row utf8_rows[] = {
    {0x00, 0x7f, 0x00, 0x00, 1}, {0xc2, 0xdf, 0x80, 0xbf, 2}, {0xe0, 0xe0, 0xa0, 0xbf, 3},
    {0xe1, 0xec, 0x80, 0xbf, 3}, {0xed, 0xed, 0x80, 0x9f, 3}, {0xee, 0xef, 0x80, 0xbf, 3},
    {0xf0, 0xf0, 0x90, 0xbf, 4}, {0xf1, 0xf3, 0x80, 0xbf, 4}, {0xf4, 0xf4, 0x80, 0x8f, 4},
};

/* Bytes of the character that starts here, 0 if it is ill-formed. */
static size_t utf8_length(const unsigned char *byte, size_t left) {
    for (size_t i = 0; i < sizeof utf8_rows / sizeof utf8_rows[0]; i++) {
        const Utf8Row *row = &utf8_rows[i];
        if (byte[0] < row->lead_low || byte[0] > row->lead_high) {
            continue;
        }
        size_t length = (size_t)row->length;
        if (length > left) {
            return 0;
        }
        if (length > 1 && (byte[1] < row->second_low || byte[1] > row->second_high)) {
            return 0;
        }
        for (size_t k = 2; k < length; k++) {
            if (byte[k] < FIRST_CONTINUATION || byte[k] > LAST_CONTINUATION) {
                return 0;
            }
        }
        return length;
    }
    return 0;
}

bool sx_text_is_utf8(const char *text, size_t length, size_t *bad) {
    for (size_t at = 0; at < length;) {
        size_t step = utf8_length((const unsigned char *)text + at, length - at);
        if (step == 0) {
            if (bad) {
                *bad = at;
            }
            return false;
        }
        at += step;
    }
    return true;
}

static bool is_control(const unsigned char *c) {
    bool c0 = *c < ' ' || *c == 0x7f;
    return c0 || (*c == 0xc2 && c[1] >= 0x80 && c[1] <= 0x9f); /* U+0080 to U+009F */
}

bool sx_text_has_control(const char *text) {
    for (const unsigned char *c = (const unsigned char *)text; *c; c++) {
        if (is_control(c)) {
            return true;
        }
    }
    return false;
}

static bool is_continuation(char c) {
    unsigned char byte = (unsigned char)c;
    return byte >= FIRST_CONTINUATION && byte <= LAST_CONTINUATION;
}

void sx_text_position(const char *text, size_t offset, int *line, int *column) {
    *line = *column = 1;
    for (size_t i = 0; i < offset; i++) {
        if (text[i] == '\n') {
            ++*line;
            *column = 1;
        } else if (!is_continuation(text[i])) {
            ++*column;
        }
    }
}

/* Marks that turn the direction of writing: U+200E, 200F, 202A to 202E, 2066 to 2069. */
static bool turns_direction(const unsigned char *c) {
    if (c[0] != 0xe2) {
        return false;
    }
    bool general = c[1] == 0x80 && (c[2] == 0x8e || c[2] == 0x8f || (c[2] >= 0xaa && c[2] <= 0xae));
    return general || (c[1] == 0x81 && c[2] >= 0xa6 && c[2] <= 0xa9);
}

/* The next character as it is shown; returns how many bytes of text it took. */
static size_t show_next(const char *text, size_t left, bool line_ends, char *shown, size_t size) {
    const unsigned char *byte = (const unsigned char *)text;
    size_t step = utf8_length(byte, left);
    bool plain = step > 0 && !is_control(byte) && !turns_direction(byte);
    if (plain || (line_ends && *byte == '\n')) {
        memcpy(shown, text, step);
        shown[step] = '\0';
        return step;
    }
    step = step > 0 ? step : 1;
    size_t used = 0;
    for (size_t i = 0; i < step; i++) {
        used += (size_t)snprintf(shown + used, size - used, "\\x%02x", byte[i]);
    }
    return step;
}

/* Shows what fits in size - 1 bytes; returns how many bytes of text that was. */
static size_t show(const char *text, bool line_ends, char *out, size_t size) {
    char shown[SHOWN_SIZE];
    size_t length = strlen(text), at = 0, used = 0;
    while (at < length) {
        size_t step = show_next(text + at, length - at, line_ends, shown, sizeof shown);
        size_t room = strlen(shown);
        if (used + room >= size) {
            break;
        }
        memcpy(out + used, shown, room);
        used += room;
        at += step;
    }
    if (size > 0) {
        out[used] = '\0';
    }
    return at;
}

char *sx_text_show(const char *text, bool line_ends, char *out, size_t size) {
    show(text, line_ends, out, size);
    return out;
}

char *sx_text_cut(const char *text, char *out, size_t size) {
    static const char ellipsis[] = "...";
    if (show(text, false, out, size) < strlen(text)) {
        show(text, false, out, size > sizeof ellipsis ? size - sizeof ellipsis + 1 : 1);
        size_t used = strlen(out);
        snprintf(out + used, size - used, "%s", ellipsis);
    }
    return out;
}

static char lower(char c) {
    return (char)(c >= 'A' && c <= 'Z' ? c - 'A' + 'a' : c);
}

static int least(int a, int b) {
    return a < b ? a : b;
}

static size_t shown_length(const char *word) {
    size_t length = strlen(word);
    return length < LONGEST_WORD ? length : LONGEST_WORD;
}

/* Optimal string alignment, three rows of its table at a time. */
int sx_text_distance(const char *a, const char *b) {
    int table[3][LONGEST_WORD + 1];
    int *before = table[0], *above = table[1], *row = table[2];
    size_t rows = shown_length(a), columns = shown_length(b);
    for (size_t j = 0; j <= columns; j++) {
        above[j] = (int)j;
        before[j] = 0;
    }
    for (size_t i = 1; i <= rows; i++) {
        row[0] = (int)i;
        for (size_t j = 1; j <= columns; j++) {
            char ca = lower(a[i - 1]), cb = lower(b[j - 1]);
            row[j] = least(least(above[j] + 1, row[j - 1] + 1), above[j - 1] + (ca != cb));
            if (i > 1 && j > 1 && ca == lower(b[j - 2]) && cb == lower(a[i - 2])) {
                row[j] = least(row[j], before[j - 2] + 1);
            }
        }
        int *spare = before;
        before = above;
        above = row;
        row = spare;
    }
    return above[columns];
}

void sx_text_consider(SxNearest *nearest, const char *candidate) {
    int letters = (int)strlen(nearest->word), others = (int)strlen(candidate);
    int longer = letters > others ? letters : others;
    int allowed = (longer + LETTERS_PER_SLIP - 1) / LETTERS_PER_SLIP;
    int distance = sx_text_distance(nearest->word, candidate);
    if (letters >= SHORTEST_BEGINNING && strncmp(nearest->word, candidate, (size_t)letters) == 0) {
        distance = distance > 0 ? 1 : 0; /* only begun: as good as one slip */
    }
    bool near = distance <= allowed && distance < longer;
    if (near && (!nearest->best || distance < nearest->distance)) {
        nearest->best = candidate;
        nearest->distance = distance;
    }
}

bool sx_text_is_file_name(const char *id_or_file) {
    static const char ending[] = ".json";
    size_t length = strlen(id_or_file), tail = sizeof ending - 1;
    return strchr(id_or_file, '/') != NULL ||
           (length >= tail && strcmp(id_or_file + length - tail, ending) == 0);
}
