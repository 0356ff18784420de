/* The strict JSON reader: what RFC 8259 calls no JSON is refused with line and column, and so is
 * what a coach cannot have meant. */
#include "core/jsonread.h"
#include "core/text.h"
#include "input_help.h"

static SxStatus open_only(const char *text, size_t length, SxError *err) {
    SxJson document;
    SxStatus status = sx_json_open(&document, text, length, "given.json", err);
    sx_json_close(&document);
    return status;
}

typedef struct {
    const char *text;
    int line, column;
} BadText;

/* RFC 8259: sections 2 (white space), 6 (numbers), 7 (strings). */
Test(jsonread, no_json) {
    static const BadText bad[] = {
        {"", 1, 1},
        {" ", 1, 2},
        {"{", 1, 2},
        {"{\"a\": 1,}", 1, 9},
        {"{\n \"a\": 1\n \"b\": 2}", 3, 2},
        {"[1, 2", 1, 6},
        {"[1] [2]", 1, 5},
        {"[1]x", 1, 4},
        {"[nan]", 1, 2},
        {"[NaN]", 1, 2},
        {"[Infinity]", 1, 2},
        {"[-Infinity]", 1, 2},
        {"[+1]", 1, 2},
        {"[01]", 1, 2},
        {"[1.]", 1, 2},
        {"[.5]", 1, 2},
        {"[1e]", 1, 2},
        {"[-]", 1, 2},
        {"[0x10]", 1, 3},
        {"['a']", 1, 2},
        {"[\"a]", 1, 5},
        {"[\"a\nb\"]", 1, 4},
        {"[\"a\\u0000\"]", 1, 4},
        {"[\"\\ud800\"]", 1, 3},
        {"[\"\\x\"]", 1, 3},
        {"[1\f]", 1, 3},
        {"// note\n[1]", 1, 1},
        {"[\"\xff\"]", 1, 3},
        {"[\"\xed\xa0\x80\"]", 1, 3},
        {"[1111111111111111111111111111111111111111111111111111111111111]", 1, 2},
    };
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        SxError err = {0};
        cr_expect_eq(open_only(bad[i].text, strlen(bad[i].text), &err), SX_BAD_INPUT, "%s",
                     bad[i].text);
        cr_expect_eq(err.line, bad[i].line, "%s: line %d", bad[i].text, err.line);
        cr_expect_eq(err.column, bad[i].column, "%s: column %d (%s)", bad[i].text, err.column,
                     err.message);
        cr_expect_str_eq(err.file, "given.json");
        cr_expect_neq(err.message[0], '\0');
    }
}

Test(jsonread, zero_bytes_and_sizes) {
    SxError err = {0};
    cr_assert_eq(open_only("[1]\0", 4, &err), SX_BAD_INPUT);
    cr_assert_eq(err.column, 4);
    cr_assert_eq(open_only("[1]x", 3, &err), SX_OK, "the text need not end with a zero");
    char *big = malloc(SX_FILE_LIMIT + 1);
    memset(big, ' ', SX_FILE_LIMIT + 1);
    big[0] = '1';
    cr_assert_eq(open_only(big, SX_FILE_LIMIT, &err), SX_OK);
    cr_assert_eq(open_only(big, SX_FILE_LIMIT + 1, &err), SX_BAD_INPUT);
    cr_assert_not_null(strstr(err.message, "4 MiB"));
    free(big);
}

Test(jsonread, white_space_and_byte_order_mark_are_fine) {
    static const char text[] = "\xef\xbb\xbf \t\r\n[1, -0.5e+2, \"\\u00f6\\ud83d\\ude00\"] \n";
    cr_assert_eq(open_only(text, strlen(text), NULL), SX_OK);
}

Test(jsonread, deep_nesting) {
    enum { DEPTH = 100000 };
    char *deep = malloc(DEPTH);
    SxError err = {0};
    memset(deep, '[', DEPTH);
    cr_assert_eq(open_only(deep, DEPTH, &err), SX_BAD_INPUT);
    cr_assert_eq(err.column, SX_JSON_MAX_DEPTH + 1);
    for (int i = 0; i < DEPTH / 5; i++) {
        memcpy(deep + (size_t)i * 5, "{\"a\":", 5);
    }
    cr_assert_eq(open_only(deep, DEPTH, &err), SX_BAD_INPUT);
    free(deep);
}

/* A small format to try the readers on. */
typedef struct {
    double share;
    int count;
    bool on;
    char word[8], id[8];
    int colour;
} Sample;

static SxStatus read_sample(const char *text, size_t length, SxError *err) {
    enum { FORMAT, SHARE, COUNT, ON, WORD, ID, COLOUR, LIST, MAP, FIELDS };
    static const char *const keys[FIELDS] = {"format", "share",  "count", "on", "word",
                                             "id",     "colour", "list",  "map"};
    static const char *const colours[] = {"red", "green"};
    SxJson document;
    Sample sample = {0};
    SxJsonAt at[FIELDS];
    sx_json_open(&document, text, length, "given.json", err);
    SxJsonAt root = sx_json_root(&document);
    sx_json_format(&root, "sample-1");
    sx_json_members(&root, keys, FIELDS, at);
    sx_json_number(&at[SHARE], 0, 10, &sample.share);
    sx_json_integer(&at[COUNT], -3, 5, &sample.count);
    sx_json_bool(&at[ON], &sample.on);
    sx_json_text(&at[WORD], sample.word, sizeof sample.word);
    sx_json_id(&at[ID], sample.id, sizeof sample.id);
    sample.colour = sx_json_word(&at[COLOUR], "colour", colours, 2);
    if (sx_json_array(&at[LIST], 1, 2)) {
        for (SxJsonAt e = sx_json_first(&at[LIST]); e.item; sx_json_next(&e)) {
            sx_json_integer(&e, 0, 9, &sample.count);
        }
    }
    if (sx_json_map(&at[MAP], 1, 2)) {
        for (SxJsonAt e = sx_json_first(&at[MAP]); e.item; sx_json_next(&e)) {
            sx_json_integer(&e, 0, 9, &sample.count);
        }
    }
    sx_json_close(&document);
    return document.status;
}

static const char sample_file[] =
    "{\"format\": \"sample-1\", \"share\": 2.5, \"count\": 3, \"on\": true, \"word\": \"abc\", "
    "\"id\": \"x-1\", \"colour\": \"red\", \"list\": [7], \"map\": {\"one.two\": 4, \"k\": 5}}";

Test(jsonread, every_mistake_is_told_with_its_place) {
    static const Mistake mistakes[] = {
        {"sample-1", "sample-2", "format", "expected \"sample-1\", found the text \"sample-2\""},
        {"\"format\": \"sample-1\", ", "", "format", "is missing"},
        {"\"share\"", "\"shaer\"", "shaer", "did you mean 'share'?"},
        {"\"share\"", "\"zzz\"", "zzz", "allowed: format, share, count"},
        {"\"on\"", "\"share\"", "share", "twice"},
        {"2.5", "\"high\"", "share", "expected a number from 0 to 10, found the text \"high\""},
        {"2.5", "11", "share", "found the number 11"},
        {"2.5", "-0.1", "share", "found the number -0.1"},
        {"2.5", "null", "share", "found null"},
        {"2.5", "1e999", "share", "too large"},
        {"2.5", "-1e999", "share", "too large"},
        {"2.5", "[]", "share", "an empty list"},
        {"\"share\": 2.5, ", "", "share", "is missing; expected a number from 0 to 10"},
        {"3,", "3.5,", "count", "a whole number from -3 to 5, found the number 3.5"},
        {"3,", "1e300,", "count", "a whole number from -3 to 5"},
        {"3,", "true,", "count", "found true"},
        {"true", "1", "on", "expected true or false, found the number 1"},
        {"\"abc\"", "\"\"", "word", "expected a text"},
        {"\"abc\"", "{\"a\": 1}", "word", "an object"},
        {"\"abc\"", "\"abcdefgh\"", "word", "at most 7 bytes, found 8"},
        {"\"abc\"", "\"a\\nb\"", "word", "control characters"},
        {"\"abc\"", "\"a\\u0085\"", "word", "control characters"},
        {"x-1", "x 1", "id", "an id of letters"},
        {"x-1", "-x", "id", "an id of letters"},
        {"x-1", "x,y", "id", "an id of letters"},
        {"\"red\"", "\"gren\"", "colour",
         "a colour (red, green), found the text \"gren\" (did you"},
        {"\"red\"", "2", "colour", "expected a colour (red, green), found the number 2"},
        {"[7]", "[]", "list", "at least 1 entry, found 0"},
        {"[7]", "[7,7,7]", "list", "at most 2"},
        {"[7]", "7", "list", "a list in square brackets"},
        {"[7]", "[7,10]", "list[1]", "a whole number from 0 to 9"},
        {"4,", "14,", "map[\"one.two\"]", "a whole number from 0 to 9"},
        {"\"k\": 5", "\"k\": 15", "map.k", "a whole number from 0 to 9"},
        {"\"k\"", "\"one.two\"", "map[\"one.two\"]", "twice"},
        {"{\"one.two\": 4, \"k\": 5}", "[]", "map", "an object in braces"},
    };
    check_mistakes(sample_file, mistakes, sizeof mistakes / sizeof mistakes[0], read_sample);
}

/* Editors look for it at the top of a file and nowhere else. */
Test(jsonread, the_root_may_name_its_schema) {
    SxError err = {0};
    char *named = changed(sample_file, "{", "{\"$schema\": \"../schema/sample.json\", ");
    cr_assert_eq(read_sample(named, strlen(named), &err), SX_OK, "%s: %s", err.path, err.message);
    free(named);
    char *number = changed(sample_file, "{", "{\"$schema\": 7, ");
    cr_assert_eq(read_sample(number, strlen(number), &err), SX_BAD_INPUT);
    cr_assert_str_eq(err.path, "$schema");
    free(number);
}

Test(jsonread, root_must_be_an_object) {
    SxError err = {0};
    cr_assert_eq(read_sample("[]", 2, &err), SX_BAD_INPUT);
    cr_assert_str_eq(err.path, "");
    cr_assert_not_null(strstr(err.message, "expected an object in braces, found an empty list"));
}

Test(jsonread, truncated_anywhere) {
    check_truncated(sample_file, strlen(sample_file), read_sample);
}

/* RFC 8259 section 7; section 8.2 leaves half a surrogate pair open, a reader of UTF-8 cannot. */
Test(jsonread, wrong_escapes) {
    static const char *const bad[] = {"[\"\\q\"]",     "[\"\\u12\"]",          "[\"\\u12g4\"]",
                                      "[\"\\udc00\"]", "[\"\\ud800\"]",        "[\"\\ud800\\n\"]",
                                      "[\"\\\"]",      "[\"\\ud800\\u0041\"]", "[\"\\"};
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        SxError err = {0};
        cr_expect_eq(open_only(bad[i], strlen(bad[i]), &err), SX_BAD_INPUT, "%s", bad[i]);
    }
    const char *good = "[\"\\\"\\\\\\/\\b\\f\\n\\r\\t\\u00e4\\ud83c\\udfd0\"]";
    SxJson document;
    cr_assert_eq(sx_json_open(&document, good, strlen(good), "given.json", NULL), SX_OK);
    cr_assert_str_eq(document.tree->child->valuestring, "\"\\/\b\f\n\r\tä\xf0\x9f\x8f\x90");
    sx_json_close(&document);
}

static int allocations_left;

static void *failing_malloc(size_t size) {
    return allocations_left-- > 0 ? malloc(size) : NULL;
}

/* The tree of [true, "x"] takes several allocations; each of them fails in turn. */
Test(jsonread, no_memory_for_the_tree_is_out_of_memory) {
    cJSON_Hooks hooks = {failing_malloc, free};
    cJSON_InitHooks(&hooks);
    int tries = 0;
    SxStatus status = SX_NO_MEMORY;
    for (; status == SX_NO_MEMORY && tries < 100; tries++) {
        SxError err = {0};
        allocations_left = tries;
        status = open_only("[true, \"x\"]", strlen("[true, \"x\"]"), &err);
        cr_expect(status == SX_OK || strcmp(err.message, "out of memory") == 0, "%s", err.message);
    }
    cr_assert_eq(status, SX_OK);
    cr_assert_geq(tries, 4);
    cJSON_InitHooks(NULL);
}

Test(jsonread, a_long_key_does_not_overrun_the_path) {
    enum { LONG = 5000 };
    char *text = malloc(LONG + 16);
    SxError err = {0};
    snprintf(text, LONG + 16, "{\"format\": \"sample-1\", \"");
    size_t used = strlen(text);
    memset(text + used, 'k', LONG - used);
    strcpy(text + LONG, "\": 1}");
    cr_assert_eq(read_sample(text, strlen(text), &err), SX_BAD_INPUT);
    cr_assert_lt(strlen(err.path), 100);
    free(text);
}
