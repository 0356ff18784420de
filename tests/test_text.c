/* Reading files whole, UTF-8, spelling. */
#include "core/text.h"
#include "core/write.h"
#include "input_help.h"

#include <signal.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <unistd.h>

static bool utf8(const char *text) {
    return sx_text_is_utf8(text, strlen(text), NULL);
}

/* The Unicode Standard, table 3-7 'Well-Formed UTF-8 Byte Sequences': the first and the last
 * sequence of each row. */
Test(text, well_formed_utf8) {
    static const char *const good[] = {
        "",
        "\x01",
        "\x7f",
        "\xc2\x80",
        "\xdf\xbf",
        "\xe0\xa0\x80",
        "\xe0\xbf\xbf",
        "\xe1\x80\x80",
        "\xec\xbf\xbf",
        "\xed\x80\x80",
        "\xed\x9f\xbf",
        "\xee\x80\x80",
        "\xef\xbf\xbf",
        "\xf0\x90\x80\x80",
        "\xf0\xbf\xbf\xbf",
        "\xf1\x80\x80\x80",
        "\xf3\xbf\xbf\xbf",
        "\xf4\x80\x80\x80",
        "\xf4\x8f\xbf\xbf",
    };
    for (size_t i = 0; i < sizeof good / sizeof good[0]; i++) {
        cr_expect(utf8(good[i]), "row %zu", i);
    }
}

/* The same table: the nearest sequences outside each row; among them overlong forms, surrogates
 * and what lies above U+10FFFF. The first four are the standard's own examples (D92). */
Test(text, ill_formed_utf8) {
    static const char *const bad[] = {
        "\xc0\xaf",
        "\xe0\x9f\x80",
        "\xf4\x90\x80\x80",
        "\xed\xa0\x80",
        "\x80",
        "\xbf",
        "\xc1\xbf",
        "\xc2",
        "\xc2\x7f",
        "\xc2\xc0",
        "\xe0\x80\x80",
        "\xe1\x80",
        "\xe1\x80\x7f",
        "\xe1\xc0\x80",
        "\xed\xbf\xbf",
        "\xf0\x8f\xbf\xbf",
        "\xf0\x90\x80",
        "\xf1\x80\x80\xc0",
        "\xf5\x80\x80\x80",
        "\xff",
        "\xf8\x88\x80\x80",
        "\xfe",
    };
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        cr_expect(!utf8(bad[i]), "row %zu", i);
    }
    size_t where = 0;
    cr_assert(!sx_text_is_utf8("ab\xffgh", 5, &where));
    cr_assert_eq(where, 2);
}

Test(text, control_characters_of_both_sets) {
    cr_assert(sx_text_has_control("a\tb"));
    cr_assert(sx_text_has_control("\x7f"));
    cr_assert(sx_text_has_control("\xc2\x85"));
    cr_assert(!sx_text_has_control("Dörte \xc2\xa0"));
}

Test(text, column_counts_characters) {
    int line = 0, column = 0;
    const char *text = "one\nDörte!";
    sx_text_position(text, strlen(text) - 1, &line, &column);
    cr_assert_eq(line, 2);
    cr_assert_eq(column, 6);
}

/* The classic pairs of the literature on edit distance: kitten, sitting 3; flaw, lawn 2; and one
 * swap of neighbours, which counts as one. */
Test(text, distance) {
    cr_expect_eq(sx_text_distance("kitten", "sitting"), 3);
    cr_expect_eq(sx_text_distance("flaw", "lawn"), 2);
    cr_expect_eq(sx_text_distance("passing", "pasisng"), 1);
    cr_expect_eq(sx_text_distance("", "abc"), 3);
    cr_expect_eq(sx_text_distance("Same", "same"), 0);
}

Test(text, nearest_only_if_near) {
    SxNearest typo = {"blokcing", NULL, 0}, far = {"weight", NULL, 0}, begun = {"5-1", NULL, 0};
    sx_text_consider(&typo, "attacking");
    sx_text_consider(&typo, "blocking");
    cr_assert_str_eq(typo.best, "blocking");
    sx_text_consider(&far, "blocking");
    cr_assert_null(far.best);
    sx_text_consider(&begun, "5-1-outside");
    cr_assert_str_eq(begun.best, "5-1-outside");
}

Test(text, cut_keeps_whole_characters) {
    char out[8];
    cr_assert_str_eq(sx_text_cut("abc", out, sizeof out), "abc");
    cr_assert_str_eq(sx_text_cut("abcdefgh", out, sizeof out), "abcd...");
    cr_assert_str_eq(sx_text_cut("abcöefgh", out, sizeof out), "abc...");
}

/* A terminal acts on ESC and the C1 controls; broken UTF-8 and marks that turn the direction of
 * writing make it show something else than was found. */
Test(text, what_a_terminal_would_act_on_is_shown_as_an_escape) {
    static const struct {
        const char *text, *shown;
    } some[] = {
        {"Jürgen 7,5 \xe2\x82\xac", "Jürgen 7,5 \xe2\x82\xac"},
        {"\x1b[31mred", "\\x1b[31mred"},
        {"a\tb\nc\x7f", "a\\x09b\nc\\x7f"},
        {"\xc2\x9b", "\\xc2\\x9b"},
        {"\xff\xfe", "\\xff\\xfe"},
        {"cut \xe2\x82", "cut \\xe2\\x82"},
        {"\xe2\x80\xaegpj", "\\xe2\\x80\\xaegpj"},
    };
    char out[64];
    for (size_t i = 0; i < sizeof some / sizeof some[0]; i++) {
        cr_expect_str_eq(sx_text_show(some[i].text, true, out, sizeof out), some[i].shown);
    }
    cr_expect_str_eq(sx_text_show("a\nb", false, out, sizeof out), "a\\x0ab");
    cr_expect_str_eq(sx_text_show("ab\x1b", true, out, 6), "ab", "no half escape");
    cr_expect_str_eq(sx_text_cut("\x1b\x1b\x1b", out, 12), "\\x1b\\x1b...");
}

Test(text, errors_show_their_control_characters) {
    SxError err = {.line = 2, .column = 3};
    char text[256];
    strcpy(err.file, "a\nb.csv");
    strcpy(err.path, "\x1b]0;x\x07");
    sx_fail(&err, SX_BAD_INPUT, "found \"%s\"\nsecond line", "\xff\x1b[2J");
    cr_assert_str_eq(sx_error_text(&err, text, sizeof text),
                     "a\\x0ab.csv:2:3: \\x1b]0;x\\x07: found \"\\xff\\x1b[2J\"\nsecond line");
}

Test(text, unreadable_files) {
    char *text = NULL;
    size_t length = 0;
    SxError err = {0};
    cr_assert_eq(sx_text_read_file("/nowhere/team.json", &text, &length, &err), SX_BAD_INPUT);
    cr_assert_str_eq(err.file, "/nowhere/team.json");
    cr_assert_eq(sx_text_read_file("/", &text, &length, &err), SX_BAD_INPUT);
    cr_assert_not_null(strstr(err.message, "directory"));
}

Test(text, file_size_limit) {
    char *text = NULL, *big = calloc(SX_FILE_LIMIT + 1, 1);
    char name[] = "/tmp/sixturn-test-XXXXXX";
    size_t length = 0;
    SxError err = {0};
    close(mkstemp(name));
    cr_assert_eq(sx_write_file(name, big, SX_FILE_LIMIT, &err), SX_OK);
    cr_assert_eq(sx_text_read_file(name, &text, &length, &err), SX_OK);
    cr_assert_eq(length, SX_FILE_LIMIT);
    free(text);
    cr_assert_eq(sx_write_file(name, big, SX_FILE_LIMIT + 1, &err), SX_OK);
    cr_assert_eq(sx_text_read_file(name, &text, &length, &err), SX_BAD_INPUT);
    cr_assert_not_null(strstr(err.message, "4 MiB"));
    unlink(name);
    free(big);
}

/* Writing: the whole file or nothing. */

Test(write, replaces_and_leaves_nothing_else) {
    char folder[] = "/tmp/sixturn-test-XXXXXX", file[64];
    SxError err = {0};
    size_t length = 0;
    cr_assert_not_null(mkdtemp(folder));
    snprintf(file, sizeof file, "%s/out.json", folder);
    cr_assert_eq(sx_write_file(file, "first", 5, &err), SX_OK);
    cr_assert_eq(chmod(file, 0640), 0);
    cr_assert_eq(sx_write_file(file, "second", 6, &err), SX_OK);
    char *text = read_whole(file, &length);
    cr_assert_str_eq(text, "second");
    free(text);
    struct stat about;
    cr_assert_eq(stat(file, &about), 0);
    cr_assert_eq(about.st_mode & 0777, 0640);
    cr_assert_eq(unlink(file), 0);
    cr_assert_eq(rmdir(folder), 0, "something was left beside the file");
}

Test(write, failure_names_file_and_reason) {
    char folder[] = "/tmp/sixturn-test-XXXXXX", file[64];
    SxError err = {0};
    cr_assert_eq(sx_write_file("/nowhere/out.json", "x", 1, &err), SX_NO_WRITE);
    cr_assert_str_eq(err.file, "/nowhere/out.json");
    cr_assert_not_null(strstr(err.message, "No such file"));
    cr_assert_not_null(mkdtemp(folder));
    cr_assert_eq(sx_write_file(folder, "x", 1, &err), SX_NO_WRITE);
    snprintf(file, sizeof file, "%s/out.json/", folder);
    cr_assert_eq(sx_write_file(file, "x", 1, &err), SX_NO_WRITE);
    cr_assert_eq(rmdir(folder), 0, "something was left in the folder");
}

/* A limit on file sizes stops the writing half-way, as a full disk would. */
Test(write, half_written_files_are_removed) {
    char folder[] = "/tmp/sixturn-test-XXXXXX", file[64], big[4096] = {0};
    const struct rlimit small = {1024, 1024};
    size_t length = 0;
    SxError err = {0};
    cr_assert_not_null(mkdtemp(folder));
    snprintf(file, sizeof file, "%s/out.json", folder);
    cr_assert_eq(sx_write_file(file, "old", 3, &err), SX_OK);
    signal(SIGXFSZ, SIG_IGN);
    cr_assert_eq(setrlimit(RLIMIT_FSIZE, &small), 0);
    cr_assert_eq(sx_write_file(file, big, sizeof big, &err), SX_NO_WRITE);
    char *text = read_whole(file, &length);
    cr_assert_str_eq(text, "old");
    free(text);
    cr_assert_eq(unlink(file), 0);
    cr_assert_eq(rmdir(folder), 0, "something was left beside the file");
}

/* /dev/full takes nothing: the kernel's own way to test a full disk. */
Test(write, full_disk) {
    SxError err = {0};
    cr_assert_eq(sx_write_file("/dev/full", "x", 1, &err), SX_NO_WRITE);
    cr_assert_not_null(strstr(err.message, "No space left"));
}
