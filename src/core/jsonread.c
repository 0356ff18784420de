/* A strict reader of JSON files: this module checks the grammar, so that it can say what is missing
 * where, and what cJSON lets pass (control characters, loose numbers, keys given twice); cJSON
 * builds the tree. */
#include "core/jsonread.h"

#include "core/numbers.h"
#include "core/text.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum {
    FIRST_BEYOND_ASCII = 0x80,
    HEX_DIGITS = 4,
    FIRST_SURROGATE = 0xd800,
    FIRST_LOW_SURROGATE = 0xdc00,
    LAST_SURROGATE = 0xdfff
};

static const char schema_key[] = "$schema"; /* names the schema, for editors */
static const char byte_order_mark[] = "\xef\xbb\xbf";

/* Errors of the text as a whole, by line and column. */

static SxStatus fail_in_text(SxJson *document, const char *text, size_t offset,
                             const char *message) {
    document->status = SX_BAD_INPUT;
    if (document->err) {
        sx_text_blame(document->err, document->file);
        sx_text_position(text, offset, &document->err->line, &document->err->column);
    }
    return sx_fail(document->err, SX_BAD_INPUT, "%s", message);
}

static bool is_digit(char c) {
    return c >= '0' && c <= '9';
}

static size_t digits(const char *text, size_t at) {
    size_t start = at;
    while (is_digit(text[at])) {
        at++;
    }
    return at - start;
}

/* Length of the number at the start of text by RFC 8259 section 6, 0 if it is none. */
static size_t number_length(const char *text) {
    size_t at = text[0] == '-' ? 1 : 0;
    size_t whole = digits(text, at);
    if (whole == 0 || (whole > 1 && text[at] == '0')) {
        return 0;
    }
    at += whole;
    if (text[at] == '.') {
        size_t part = digits(text, at + 1);
        if (part == 0) {
            return 0;
        }
        at += 1 + part;
    }
    if (text[at] == 'e' || text[at] == 'E') {
        at++;
        at += text[at] == '+' || text[at] == '-' ? 1 : 0;
        size_t power = digits(text, at);
        if (power == 0) {
            return 0;
        }
        at += power;
    }
    return at;
}

/* The code unit of an escape "\\u" and four hexadecimal digits, -1 if it is none. */
static int escaped_unit(const char *text) {
    int unit = 0;
    if (text[0] != '\\' || text[1] != 'u') {
        return -1;
    }
    for (int i = 2; i < 2 + HEX_DIGITS; i++) {
        char c = text[i];
        int digit = is_digit(c)            ? c - '0'
                    : c >= 'a' && c <= 'f' ? c - 'a' + 10
                    : c >= 'A' && c <= 'F' ? c - 'A' + 10
                                           : -1;
        if (digit < 0) {
            return -1;
        }
        unit = unit * 16 + digit;
    }
    return unit;
}

/* Length of the escape that starts here, 0 if it is none by RFC 8259 section 7. Half a surrogate
 * pair is no character. */
static size_t escape_length(const char *text) {
    enum { UNIT = 2 + HEX_DIGITS };
    if (text[1] != 'u') {
        return text[1] && strchr("\"\\/bfnrt", text[1]) ? 2 : 0;
    }
    int unit = escaped_unit(text);
    if (unit < 0 || (unit >= FIRST_LOW_SURROGATE && unit <= LAST_SURROGATE)) {
        return 0;
    }
    if (unit < FIRST_SURROGATE || unit > LAST_SURROGATE) {
        return UNIT;
    }
    int low = escaped_unit(text + UNIT);
    return low >= FIRST_LOW_SURROGATE && low <= LAST_SURROGATE ? (size_t)2 * UNIT : 0;
}

/* Passes over a string that starts at text[*at]; a message if it is wrong at *at. */
static const char *pass_string(const char *text, size_t length, size_t *at) {
    for (++*at; *at < length; ++*at) {
        unsigned char c = (unsigned char)text[*at];
        if (c == '"') {
            ++*at;
            return NULL;
        }
        if (c < ' ') {
            return "a control character inside a text; is its closing quote missing?";
        }
        if (c == '\\') {
            if (strncmp(text + *at, "\\u0000", 6) == 0) {
                return "the character U+0000 is not allowed in a text";
            }
            size_t size = escape_length(text + *at);
            if (size == 0) {
                return "a wrong escape in this text; a backslash is written \\\\";
            }
            *at += size - 1;
        }
    }
    return "the file ends inside a text; its closing quote is missing";
}

/* The grammar of RFC 8259, so that a coach reads what is missing where. */
typedef enum {
    WANT_VALUE,
    WANT_VALUE_OR_CLOSE,
    WANT_KEY,
    WANT_KEY_OR_CLOSE,
    WANT_COLON,
    WANT_COMMA_OR_CLOSE,
    WANT_END
} Want;

static const char *const wants[] = {
    [WANT_VALUE] = "expected a value: a text in double quotes, a number, true, false, [ or {",
    [WANT_VALUE_OR_CLOSE] = "expected a value or the closing ]",
    [WANT_KEY] = "expected a field name in double quotes (is the comma before it one too many?)",
    [WANT_KEY_OR_CLOSE] = "expected a field name in double quotes or the closing }",
    [WANT_COLON] = "expected a colon after the field name",
    [WANT_COMMA_OR_CLOSE] = "expected a comma or the closing bracket",
    [WANT_END] = "expected nothing more after the closing bracket",
};

typedef struct {
    const char *text;
    size_t at, length;
    Want want;
    int depth;
    char closers[SX_JSON_MAX_DEPTH]; /* of the open brackets */
} Scanner;

static void after_value(Scanner *scan) {
    scan->want = scan->depth > 0 ? WANT_COMMA_OR_CLOSE : WANT_END;
}

static bool takes_value(const Scanner *scan) {
    return scan->want == WANT_VALUE || scan->want == WANT_VALUE_OR_CLOSE;
}

static bool takes_key(const Scanner *scan) {
    return scan->want == WANT_KEY || scan->want == WANT_KEY_OR_CLOSE;
}

static const char *scan_open(Scanner *scan, char c) {
    if (scan->depth == SX_JSON_MAX_DEPTH) {
        return "brackets nested too deep";
    }
    scan->closers[scan->depth++] = c == '[' ? ']' : '}';
    scan->want = c == '[' ? WANT_VALUE_OR_CLOSE : WANT_KEY_OR_CLOSE;
    scan->at++;
    return NULL;
}

static bool scan_close(Scanner *scan, char c) {
    bool may = scan->want == WANT_COMMA_OR_CLOSE || scan->want == WANT_VALUE_OR_CLOSE ||
               scan->want == WANT_KEY_OR_CLOSE;
    if (!may || scan->closers[scan->depth - 1] != c) {
        return false;
    }
    scan->depth--;
    scan->at++;
    after_value(scan);
    return true;
}

static const char *scan_number(Scanner *scan) {
    size_t size = number_length(scan->text + scan->at);
    if (size == 0) {
        return "this is no number as JSON writes them";
    }
    if (size > SX_JSON_NUMBER_SIZE) {
        return "a number of too many characters";
    }
    scan->at += size;
    after_value(scan);
    return NULL;
}

static bool scan_word(Scanner *scan) {
    static const char *const words[] = {"true", "false", "null"};
    for (size_t i = 0; i < sizeof words / sizeof words[0]; i++) {
        size_t size = strlen(words[i]);
        if (strncmp(scan->text + scan->at, words[i], size) == 0) {
            scan->at += size;
            after_value(scan);
            return true;
        }
    }
    return false;
}

static const char *scan_string(Scanner *scan) {
    bool key = takes_key(scan);
    const char *wrong = pass_string(scan->text, scan->length, &scan->at);
    if (key) {
        scan->want = WANT_COLON;
    } else {
        after_value(scan);
    }
    return wrong;
}

/* One token; a message if it is wrong where the scanner stands. */
static const char *scan_token(Scanner *scan) {
    char c = scan->text[scan->at];
    if (c == '"' && (takes_value(scan) || takes_key(scan))) {
        return scan_string(scan);
    }
    if ((c == '[' || c == '{') && takes_value(scan)) {
        return scan_open(scan, c);
    }
    if ((c == ']' || c == '}') && scan_close(scan, c)) {
        return NULL;
    }
    if ((is_digit(c) || c == '-') && takes_value(scan)) {
        return scan_number(scan);
    }
    if (c == ',' && scan->want == WANT_COMMA_OR_CLOSE) {
        scan->want = scan->closers[scan->depth - 1] == ']' ? WANT_VALUE : WANT_KEY;
        scan->at++;
        return NULL;
    }
    if (c == ':' && scan->want == WANT_COLON) {
        scan->want = WANT_VALUE;
        scan->at++;
        return NULL;
    }
    return takes_value(scan) && scan_word(scan) ? NULL : wants[scan->want];
}

static SxStatus check_grammar(SxJson *document, const char *text, size_t start, size_t length) {
    Scanner scan = {.text = text, .at = start, .length = length, .want = WANT_VALUE};
    for (;;) {
        scan.at += strspn(text + scan.at, " \t\n\r");
        if (scan.at == length) {
            break;
        }
        const char *wrong = scan_token(&scan);
        if (wrong) {
            return fail_in_text(document, text, scan.at < length ? scan.at : length, wrong);
        }
    }
    if (scan.want != WANT_END) {
        char message[SX_QUOTE_SIZE * 2];
        snprintf(message, sizeof message, "the file ends too early: %s", wants[scan.want]);
        return fail_in_text(document, text, length, message);
    }
    return SX_OK;
}

static SxStatus parse(SxJson *document, const char *text, size_t length) {
    size_t bad = 0;
    const char *zero = memchr(text, '\0', length);
    if (zero) {
        return fail_in_text(document, text, (size_t)(zero - text),
                            "a zero byte; this is no text file");
    }
    if (!sx_text_is_utf8(text, length, &bad)) {
        return fail_in_text(document, text, bad,
                            "not UTF-8 text; save the file with the encoding UTF-8");
    }
    size_t start = strncmp(text, byte_order_mark, 3) == 0 ? 3 : 0;
    if (check_grammar(document, text, start, length)) {
        return document->status;
    }
    SX_PLAIN_NUMBERS;
    /* The length includes the closing zero, which cJSON wants to see. The grammar being right, only
     * memory can fail. */
    document->tree = cJSON_ParseWithLengthOpts(text + start, length - start + 1, NULL, true);
    if (!document->tree) {
        sx_text_blame(document->err, document->file);
        document->status = sx_out_of_memory(document->err);
    }
    return document->status;
}

SxStatus sx_json_open(SxJson *document, const char *text, size_t length, const char *file,
                      SxError *err) {
    *document = (SxJson){file ? file : "", err, SX_OK, NULL};
    if (length > SX_FILE_LIMIT) {
        sx_text_blame(err, document->file);
        return document->status =
                   sx_fail(err, SX_BAD_INPUT, "the text is larger than the %d MiB allowed",
                           SX_FILE_LIMIT / (1024 * 1024));
    }
    /* The caller's text need not end with a zero. */
    char *copy = malloc(length + 1);
    if (!copy) {
        return document->status = sx_out_of_memory(err);
    }
    if (length > 0) {
        memcpy(copy, text, length);
    }
    copy[length] = '\0';
    parse(document, copy, length);
    free(copy);
    return document->status;
}

void sx_json_close(SxJson *document) {
    cJSON_Delete(document->tree);
    document->tree = NULL;
}

SxJsonAt sx_json_root(SxJson *document) {
    return (SxJsonAt){document, NULL, NULL, 0, document->status ? NULL : document->tree};
}

/* Errors at a value. */

static bool is_plain_key(const char *key) {
    for (const char *c = key; *c; c++) {
        if (*c == '.' || *c == '[' || *c == ' ' || *c == '"') {
            return false;
        }
    }
    return key[0] != '\0';
}

static size_t write_path(const SxJsonAt *at, char *path, size_t size) {
    if (!at->parent) {
        path[0] = '\0';
        return 0;
    }
    size_t used = write_path(at->parent, path, size);
    if (used + 1 >= size) {
        return used;
    }
    char key[SX_QUOTE_SIZE];
    int wrote = 0;
    if (!at->key) {
        wrote = snprintf(path + used, size - used, "[%d]", at->index);
    } else {
        sx_text_cut(at->key, key, sizeof key);
        wrote = is_plain_key(key)
                    ? snprintf(path + used, size - used, "%s%s", used > 0 ? "." : "", key)
                    : snprintf(path + used, size - used, "[\"%s\"]", key);
    }
    used += (size_t)wrote;
    return used < size ? used : size - 1;
}

char *sx_json_path(const SxJsonAt *at, char *path, size_t size) {
    write_path(at, path, size);
    return path;
}

bool sx_json_failed(const SxJsonAt *at) {
    return at->document->status != SX_OK;
}

bool sx_json_given(const SxJsonAt *at) {
    return at->item && !sx_json_failed(at);
}

void sx_json_fail(const SxJsonAt *at, const char *format, ...) {
    SxJson *document = at->document;
    if (document->status) {
        return;
    }
    document->status = SX_BAD_INPUT;
    SxError *err = document->err;
    if (!err) {
        return;
    }
    SX_PLAIN_NUMBERS;
    sx_text_blame(err, document->file);
    write_path(at, err->path, sizeof err->path);
    err->status = SX_BAD_INPUT;
    va_list args;
    va_start(args, format);
    vsnprintf(err->message, sizeof err->message, format, args);
    va_end(args);
}

static const char *describe(const cJSON *item, char *text, size_t size) {
    char cut[SX_QUOTE_SIZE];
    if (cJSON_IsString(item)) {
        snprintf(text, size, "the text \"%s\"", sx_text_cut(item->valuestring, cut, sizeof cut));
        return text;
    }
    if (cJSON_IsNumber(item)) {
        if (!isfinite(item->valuedouble)) {
            return "a number too large for this machine";
        }
        snprintf(text, size, "the number %.10g", item->valuedouble);
        return text;
    }
    if (cJSON_IsArray(item)) {
        return item->child ? "a list" : "an empty list";
    }
    if (cJSON_IsObject(item)) {
        return "an object in braces";
    }
    return cJSON_IsNull(item) ? "null" : cJSON_IsTrue(item) ? "true" : "false";
}

void sx_json_wrong(const SxJsonAt *at, const char *wanted) {
    SX_PLAIN_NUMBERS;
    char text[SX_QUOTE_SIZE + 32];
    if (at->item) {
        sx_json_fail(at, "expected %s, found %s", wanted, describe(at->item, text, sizeof text));
    } else {
        sx_json_fail(at, "is missing; expected %s", wanted);
    }
}

const char *sx_json_hint(const char *nearest, char *text, size_t size) {
    if (!nearest) {
        return "";
    }
    snprintf(text, size, " (did you mean '%s'?)", nearest);
    return text;
}

/* Objects and arrays. */

static SxJsonAt child_at(const SxJsonAt *at, const cJSON *item, int index) {
    const char *key = cJSON_IsObject(at->item) && item ? item->string : NULL;
    return (SxJsonAt){at->document, at, key, index, item};
}

static int key_index(const char *const *keys, int count, const char *key) {
    for (int k = 0; k < count; k++) {
        if (strcmp(keys[k], key) == 0) {
            return k;
        }
    }
    return -1;
}

static void unknown_key(const SxJsonAt *at, const char *const *keys, int count) {
    SxNearest nearest = {at->key, NULL, 0};
    char hint[SX_QUOTE_SIZE], list[512] = "";
    size_t used = 0;
    for (int k = 0; k < count; k++) {
        sx_text_consider(&nearest, keys[k]);
        int wrote = snprintf(list + used, sizeof list - used, "%s%s", k ? ", " : "", keys[k]);
        used += (size_t)wrote;
        used = used < sizeof list ? used : sizeof list - 1;
    }
    sx_json_fail(at, "there is no such field%s; allowed: %s",
                 sx_json_hint(nearest.best, hint, sizeof hint), list);
}

void sx_json_members(const SxJsonAt *at, const char *const *keys, int count, SxJsonAt *members) {
    for (int k = 0; k < count; k++) {
        members[k] = (SxJsonAt){at->document, at, keys[k], k, NULL};
    }
    if (sx_json_failed(at)) {
        return;
    }
    if (!cJSON_IsObject(at->item)) {
        sx_json_wrong(at, "an object in braces");
        return;
    }
    int index = 0;
    for (const cJSON *item = at->item->child; item; item = item->next) {
        SxJsonAt member = child_at(at, item, index++);
        if (!at->parent && strcmp(item->string, schema_key) == 0 && cJSON_IsString(item)) {
            continue;
        }
        int k = key_index(keys, count, item->string);
        if (k < 0) {
            unknown_key(&member, keys, count);
            return;
        }
        if (members[k].item) {
            sx_json_fail(&member, "this field is given twice");
            return;
        }
        members[k].item = item;
    }
}

SxJsonAt sx_json_first(const SxJsonAt *at) {
    bool open = sx_json_given(at) && (cJSON_IsArray(at->item) || cJSON_IsObject(at->item));
    return child_at(at, open ? at->item->child : NULL, 0);
}

void sx_json_next(SxJsonAt *element) {
    const cJSON *next = sx_json_failed(element) ? NULL : element->item->next;
    *element = child_at(element->parent, next, element->index + 1);
}

/* Counts no further than one beyond the limit. */
static int count_children(const cJSON *item, int limit) {
    int count = 0;
    for (const cJSON *child = item->child; child && count <= limit; child = child->next) {
        count++;
    }
    return count;
}

static bool right_count(const SxJsonAt *at, int least, int most) {
    int count = count_children(at->item, most);
    if (count >= least && count <= most) {
        return true;
    }
    char wanted[SX_QUOTE_SIZE], found[SX_QUOTE_SIZE];
    int limit = count < least ? least : most;
    snprintf(wanted, sizeof wanted, "%s %d %s",
             least == most   ? "exactly"
             : count < least ? "at least"
                             : "at most",
             limit, limit == 1 ? "entry" : "entries");
    if (count > most) {
        snprintf(found, sizeof found, "more");
    } else {
        snprintf(found, sizeof found, "%d", count);
    }
    sx_json_fail(at, "expected %s, found %s", wanted, found);
    return false;
}

bool sx_json_array(const SxJsonAt *at, int least, int most) {
    if (sx_json_failed(at)) {
        return false;
    }
    if (!cJSON_IsArray(at->item)) {
        sx_json_wrong(at, "a list in square brackets");
        return false;
    }
    return right_count(at, least, most);
}

bool sx_json_map(const SxJsonAt *at, int least, int most) {
    if (sx_json_failed(at)) {
        return false;
    }
    if (!cJSON_IsObject(at->item)) {
        sx_json_wrong(at, "an object in braces");
        return false;
    }
    if (!right_count(at, least, most)) {
        return false;
    }
    for (SxJsonAt member = sx_json_first(at); member.item; sx_json_next(&member)) {
        for (const cJSON *seen = at->item->child; seen != member.item; seen = seen->next) {
            if (strcmp(seen->string, member.item->string) == 0) {
                sx_json_fail(&member, "this field is given twice");
                return false;
            }
        }
    }
    return true;
}

/* Values. */

void sx_json_number(const SxJsonAt *at, double low, double high, double *out) {
    SX_PLAIN_NUMBERS;
    if (sx_json_failed(at)) {
        return;
    }
    double value = cJSON_IsNumber(at->item) ? at->item->valuedouble : NAN;
    if (value >= low && value <= high) {
        *out = value + 0.0; /* no negative zero */
        return;
    }
    char wanted[SX_QUOTE_SIZE];
    snprintf(wanted, sizeof wanted, "a number from %g to %g", low, high);
    sx_json_wrong(at, wanted);
}

void sx_json_integer(const SxJsonAt *at, int low, int high, int *out) {
    if (sx_json_failed(at)) {
        return;
    }
    double value = cJSON_IsNumber(at->item) ? at->item->valuedouble : NAN;
    if (value >= low && value <= high && value == floor(value)) {
        *out = (int)value;
        return;
    }
    char wanted[SX_QUOTE_SIZE];
    snprintf(wanted, sizeof wanted, "a whole number from %d to %d", low, high);
    sx_json_wrong(at, wanted);
}

void sx_json_bool(const SxJsonAt *at, bool *out) {
    if (sx_json_failed(at)) {
        return;
    }
    if (cJSON_IsBool(at->item)) {
        *out = cJSON_IsTrue(at->item);
    } else {
        sx_json_wrong(at, "true or false");
    }
}

void sx_json_text(const SxJsonAt *at, char *out, size_t size) {
    if (sx_json_failed(at)) {
        return;
    }
    if (!cJSON_IsString(at->item) || at->item->valuestring[0] == '\0') {
        sx_json_wrong(at, "a text");
        return;
    }
    const char *text = at->item->valuestring;
    if (strlen(text) >= size) {
        char cut[SX_QUOTE_SIZE];
        sx_json_fail(at, "expected a text of at most %zu bytes, found %zu: \"%s\"", size - 1,
                     strlen(text), sx_text_cut(text, cut, sizeof cut));
        return;
    }
    if (sx_text_has_control(text)) {
        sx_json_fail(at, "expected a text without control characters (line ends, tabs and such)");
        return;
    }
    memset(out, 0, size);
    memcpy(out, text, strlen(text) + 1);
}

bool sx_id_is_word(const char *text) {
    for (const char *c = text; *c; c++) {
        bool letter = (*c >= 'a' && *c <= 'z') || (*c >= 'A' && *c <= 'Z');
        bool beyond_ascii = (unsigned char)*c >= FIRST_BEYOND_ASCII;
        if (!letter && !is_digit(*c) && !beyond_ascii && !strchr("-_.", *c)) {
            return false;
        }
    }
    return text[0] != '-';
}

void sx_json_id(const SxJsonAt *at, char *out, size_t size) {
    if (!sx_json_failed(at) && cJSON_IsString(at->item) && !sx_id_is_word(at->item->valuestring)) {
        sx_json_wrong(at, "an id of letters, digits, '-', '_' and '.', not starting with '-'");
    }
    sx_json_text(at, out, size);
}

int sx_json_word(const SxJsonAt *at, const char *what, const char *const *words, int count) {
    if (sx_json_failed(at)) {
        return -1;
    }
    char wanted[512], hint[SX_QUOTE_SIZE], found[SX_QUOTE_SIZE + 32];
    size_t used = (size_t)snprintf(wanted, sizeof wanted, "a %s (", what);
    for (int i = 0; i < count && used < sizeof wanted; i++) {
        used += (size_t)snprintf(wanted + used, sizeof wanted - used, "%s%s%s", i ? ", " : "",
                                 words[i], i + 1 == count ? ")" : "");
    }
    if (!cJSON_IsString(at->item)) {
        sx_json_wrong(at, wanted);
        return -1;
    }
    SxNearest nearest = {at->item->valuestring, NULL, 0};
    for (int i = 0; i < count; i++) {
        if (strcmp(words[i], at->item->valuestring) == 0) {
            return i;
        }
        sx_text_consider(&nearest, words[i]);
    }
    sx_json_fail(at, "expected %s, found %s%s", wanted, describe(at->item, found, sizeof found),
                 sx_json_hint(nearest.best, hint, sizeof hint));
    return -1;
}

void sx_json_format(const SxJsonAt *root, const char *format) {
    if (sx_json_failed(root)) {
        return;
    }
    if (!cJSON_IsObject(root->item)) {
        sx_json_wrong(root, "an object in braces");
        return;
    }
    SxJsonAt at = {root->document, root, "format", 0,
                   cJSON_GetObjectItemCaseSensitive(root->item, "format")};
    if (!cJSON_IsString(at.item) || strcmp(at.item->valuestring, format) != 0) {
        char wanted[SX_QUOTE_SIZE];
        snprintf(wanted, sizeof wanted, "\"%s\"", format);
        sx_json_wrong(&at, wanted);
    }
}

SxStatus sx_json_parse(const SxJsonKind *kind, const char *text, size_t length, const char *file,
                       const void *context, void *value, SxError *err) {
    char *own = NULL;
    SxStatus status = text ? SX_OK : sx_text_read_file(file, &own, &length, err);
    void *fresh = status == SX_OK ? calloc(1, kind->size) : NULL;
    if (status == SX_OK && !fresh) {
        status = sx_out_of_memory(err);
    }
    if (status == SX_OK) {
        SxJson document;
        sx_json_open(&document, text ? text : own, length, file, err);
        SxJsonAt root = sx_json_root(&document);
        if (kind->format) {
            sx_json_format(&root, kind->format);
        }
        kind->read(&root, fresh, context);
        sx_json_close(&document);
        status = document.status;
    }
    if (status == SX_OK) {
        memcpy(value, fresh, kind->size);
    }
    free(fresh);
    free(own);
    return status;
}
