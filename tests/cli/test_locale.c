/* A caller may have set a locale that writes 7,5: nothing that sixturn reads or writes changes. The
 * locale is made on the spot from its source (Debian: package locales) by localedef, which POSIX
 * specifies, and set in the program before its main by a preloaded library. */
#include "support.h"

#include <criterion/criterion.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static char folder[] = "/tmp/sixturn-locale-XXXXXX";

static void make_locale(void) {
    char line[256];
    strcpy(folder, "/tmp/sixturn-locale-XXXXXX");
    cr_assert_not_null(mkdtemp(folder));
    snprintf(line, sizeof line, "localedef -i de_DE -f UTF-8 %s/de_DE.UTF-8", folder);
    Run made = run_shell(line);
    cr_assert_eq(made.exit_status, 0, "install the package locales: %s", made.err);
    run_free(&made);
}

static void remove_locale(void) {
    char line[128];
    snprintf(line, sizeof line, "rm -r %s", folder);
    Run gone = run_shell(line);
    run_free(&gone);
}

TestSuite(locale, .init = make_locale, .fini = remove_locale);

/* words: what follows the program's name; $D is the folder. */
static Run run(const char *words, bool commas) {
    char line[2048];
    /* A preloaded library comes before the sanitizer's, which it would else refuse. */
    snprintf(
        line, sizeof line,
        "D=%s; env LOCPATH=$D ASAN_OPTIONS=verify_asan_link_order=0:$ASAN_OPTIONS %s%s '%s' %s",
        folder, commas ? "LD_PRELOAD=" : "", commas ? getenv("COMMA_LOCALE") : "",
        getenv("SIXTURN"), words);
    return run_shell(line);
}

/* What the run wrote: its output, or the file that it made. */
static char *result(const char *words, const char *file, bool commas) {
    Run done = run(words, commas);
    cr_assert(done.exit_status <= 1, "%s: %s", words, done.err);
    char path[128], *text = strdup(done.out);
    if (file) {
        snprintf(path, sizeof path, "%s/%s", folder, file);
        free(text);
        text = slurp(path);
        remove(path);
    }
    run_free(&done);
    return text;
}

static void check_same(const char *words, const char *file) {
    char *plain = result(words, file, false), *commas = result(words, file, true);
    cr_expect(strlen(plain) > 20, "%s printed next to nothing", words);
    if (strcmp(plain, commas) != 0) {
        size_t at = 0;
        while (plain[at] == commas[at]) {
            at++;
        }
        at = at > 20 ? at - 20 : 0;
        cr_expect_fail("%s: '%.40s' became '%.40s'", words, plain + at, commas + at);
    }
    free(plain);
    free(commas);
}

#define TEAM "datasets/junior-12.json"

static void every_answer_is_the_same(void) {
    static const char *const words[] = {
        "plan " TEAM " --balance 0.5",
        "plan " TEAM " --json",
        "plan " TEAM " --goal set",
        "rank " TEAM " --top 3 --doubt 0.5 --draws 20",
        "absent " TEAM " 1",
        "setters " TEAM,
        "versus " TEAM " datasets/junior-12-plan.json datasets/junior-12-plan.json",
        "worth " TEAM " 5",
        "check datasets/junior-12-formations.json",
        "check datasets/junior-12-formations.json --json",
        "mend datasets/junior-12-formations.json --margin 0.2",
        "mend datasets/junior-12-formations.json --json",
        "odds " TEAM " --opponent datasets/opponent.json",
        "odds " TEAM " --json",
        "fit datasets/club-16.json datasets/club-16-log.csv",
        "fit datasets/club-16.json datasets/club-16-log.csv --json",
        "receive " TEAM " --rotation 2 --top 2",
        "receive " TEAM " --rotation 2 --top 2 --json --keep 1 -o /dev/null",
        "moment datasets/club-16.json --rallies '3 receive wlwwl lwlll 4-6'",
    };
    for (size_t i = 0; i < sizeof words / sizeof words[0]; i++) {
        check_same(words[i], NULL);
    }
}

static void every_file_is_the_same(void) {
    check_same("sheet " TEAM " -o $D/sheet.svg", "sheet.svg");
    check_same("report " TEAM " -o $D/page.html", "page.html");
    check_same("plan " TEAM " --write-model $D/model.lp >/dev/null", "model.lp");
    check_same("plan " TEAM " --write-model $D/model.mps >/dev/null", "model.mps");
    check_same("receive " TEAM " --plan datasets/junior-12-own.json --keep 1 -o $D/plan.json "
               ">/dev/null",
               "plan.json");
    check_same("fit datasets/club-16.json datasets/club-16-log.csv --write-rates $D/r.json "
               ">/dev/null",
               "r.json");
}

static void a_roster_keeps_its_decimals(void) {
    char path[128];
    snprintf(path, sizeof path, "%s/roster.csv", folder);
    FILE *out = fopen(path, "w");
    fputs("number,name,roles,passing,setting,attacking,blocking,serving,digging\n", out);
    for (int i = 1; i <= 6; i++) {
        fprintf(out, "%d,Ada %d,setter,7.5,1.25,3,4,5,6\n", i, i);
    }
    fclose(out);
    check_same("import $D/roster.csv", NULL);
    char *made = result("import $D/roster.csv", NULL, true);
    cr_assert_not_null(strstr(made, "\"passing\": 7.5, \"setting\": 1.25"), "%s", made);
    free(made);
}

/* Without this nothing here could fail: the preloaded library is in the program, and does not go on
 * without its locale, which is removed. */
static void the_program_did_run_with_commas(void) {
    Run with = run("--version", true);
    cr_assert_eq(with.exit_status, 0, "%s", with.err);
    run_free(&with);
    char line[128];
    snprintf(line, sizeof line, "rm -r %s/de_DE.UTF-8", folder);
    Run removed = run_shell(line), without = run("--version", true);
    cr_assert(without.exit_status == 0 || without.exit_status == 99);
    if (without.exit_status == 0) { /* the machine itself has the locale */
        Run listed = run_shell("locale -a | grep -q de_DE");
        cr_assert_eq(listed.exit_status, 0);
        run_free(&listed);
    }
    run_free(&removed);
    run_free(&without);
}

/* One test, for to make the locale takes as long as all that is asked in it. */
Test(locale, changes_nothing) {
    every_answer_is_the_same();
    every_file_is_the_same();
    a_roster_keeps_its_decimals();
    the_program_did_run_with_commas();
}
