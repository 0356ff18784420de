/* Text files in the encodings that spreadsheets write, as UTF-8. */
#include "core/encoding.h"

#include "core/text.h"

#include <stdbool.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

enum {
    MOST_UTF8 = 4, /* bytes of a character */
    FIRST_BEYOND_ASCII = 0x80,
    FIRST_HIGH_SURROGATE = 0xd800,
    FIRST_LOW_SURROGATE = 0xdc00,
    LAST_SURROGATE = 0xdfff,
    FIRST_1252 = 0x80,
    LAST_1252 = 0x9f
};

/* Where Windows-1252 differs from Latin-1: bytes 0x80 to 0x9f (Unicode's own table CP1252.TXT; from
 * memory). 0: the byte stands for nothing. */
static const uint16_t windows_1252[LAST_1252 - FIRST_1252 + 1] = {
    0x20ac, 0,      0x201a, 0x0192, 0x201e, 0x2026, 0x2020, 0x2021, 0x02c6, 0x2030, 0x0160,
    0x2039, 0x0152, 0,      0x017d, 0,      0,      0x2018, 0x2019, 0x201c, 0x201d, 0x2022,
    0x2013, 0x2014, 0x02dc, 0x2122, 0x0161, 0x203a, 0x0153, 0,      0x017e, 0x0178};

/* RFC 3629, section 3. Returns the bytes used. */
static size_t put_utf8(uint32_t code, char *out) {
    if (code < 0x80) {
        out[0] = (char)code;
        return 1;
    }
    if (code < 0x800) {
        out[0] = (char)(0xc0 | code >> 6);
        out[1] = (char)(0x80 | (code & 0x3f));
        return 2;
    }
    if (code < 0x10000) {
        out[0] = (char)(0xe0 | code >> 12);
        out[1] = (char)(0x80 | (code >> 6 & 0x3f));
        out[2] = (char)(0x80 | (code & 0x3f));
        return 3;
    }
    out[0] = (char)(0xf0 | code >> 18);
    out[1] = (char)(0x80 | (code >> 12 & 0x3f));
    out[2] = (char)(0x80 | (code >> 6 & 0x3f));
    out[3] = (char)(0x80 | (code & 0x3f));
    return 4;
}

typedef enum { NARROW, LITTLE, BIG } Width;

static Width width_of(const unsigned char *byte, size_t length) {
    if (length < 2 || length % 2) {
        return NARROW;
    }
    if (byte[0] == 0xff && byte[1] == 0xfe) {
        return LITTLE;
    }
    if (byte[0] == 0xfe && byte[1] == 0xff) {
        return BIG;
    }
    /* Without a mark: the first character of a sheet is an ASCII letter, sign or quote. */
    if (byte[0] && !byte[1]) {
        return LITTLE;
    }
    return !byte[0] && byte[1] ? BIG : NARROW;
}

static uint32_t unit_at(const unsigned char *byte, size_t at, Width width) {
    return width == LITTLE ? byte[at] | (uint32_t)byte[at + 1] << 8
                           : byte[at + 1] | (uint32_t)byte[at] << 8;
}

/* RFC 2781, section 2.2. False where half a surrogate pair or a zero stands. */
static bool from_utf16(const unsigned char *byte, size_t length, Width width, char *out,
                       size_t *used) {
    for (size_t at = 0; at < length; at += 2) {
        uint32_t code = unit_at(byte, at, width);
        if (at == 0 && code == 0xfeff) {
            continue;
        }
        if (code >= FIRST_HIGH_SURROGATE && code <= LAST_SURROGATE) {
            uint32_t low = at + 3 < length ? unit_at(byte, at + 2, width) : 0;
            if (code >= FIRST_LOW_SURROGATE || low < FIRST_LOW_SURROGATE || low > LAST_SURROGATE) {
                return false;
            }
            code = 0x10000 + ((code - FIRST_HIGH_SURROGATE) << 10) + (low - FIRST_LOW_SURROGATE);
            at += 2;
        }
        if (code == 0) {
            return false;
        }
        *used += put_utf8(code, out + *used);
    }
    return true;
}

static bool from_windows_1252(const unsigned char *byte, size_t length, char *out, size_t *used) {
    for (size_t at = 0; at < length; at++) {
        bool special = byte[at] >= FIRST_1252 && byte[at] <= LAST_1252;
        uint32_t code = special ? windows_1252[byte[at] - FIRST_1252] : byte[at];
        if (code == 0) {
            return false;
        }
        *used += put_utf8(code, out + *used);
    }
    return true;
}

static bool from_utf8(const char *data, size_t length, char *out, size_t *used) {
    static const char mark[] = "\xef\xbb\xbf";
    size_t skip = length >= 3 && memcmp(data, mark, 3) == 0 ? 3 : 0;
    if (!sx_text_is_utf8(data, length, NULL) || memchr(data, '\0', length)) {
        return false;
    }
    memcpy(out, data + skip, length - skip);
    *used = length - skip;
    return true;
}

/* Whether data is text in any of the encodings; *used bytes of UTF-8 then. */
static bool decode(const char *data, size_t length, char *out, size_t *used,
                   const char **encoding) {
    const unsigned char *byte = (const unsigned char *)data;
    Width width = width_of(byte, length);
    *used = 0;
    if (width != NARROW) {
        *encoding = "UTF-16";
        return from_utf16(byte, length, width, out, used);
    }
    *encoding = "UTF-8";
    if (from_utf8(data, length, out, used)) {
        return true;
    }
    *encoding = "Windows-1252";
    *used = 0;
    return from_windows_1252(byte, length, out, used);
}

SxStatus sx_text_decode(const char *data, size_t length, const char *file, char **text,
                        size_t *out_length, const char **encoding, SxError *err) {
    char *out = malloc(MOST_UTF8 * length + 1); /* no encoding needs more a byte */
    if (!out) {
        return sx_out_of_memory(err);
    }
    if (length > 0 && !decode(data, length, out, out_length, encoding)) {
        free(out);
        sx_text_blame(err, file);
        return sx_fail(err, SX_BAD_INPUT,
                       "this is no text file; expected CSV in UTF-8, UTF-16 or Windows-1252");
    }
    if (length == 0) {
        *out_length = 0;
        *encoding = "UTF-8";
    }
    out[*out_length] = '\0';
    *text = out;
    return SX_OK;
}
