/* Whole runs of sixturn import: a spreadsheet in, a team file out that plan accepts; mistakes end
 * with their exit status and leave nothing behind. */
#include "support.h"

#include <criterion/criterion.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

static const char roster[] =
    "number;name;roles;passing;setting;attacking;blocking;serving;digging\n"
    "1;Ada One;setter;5,5;8;4;4;6;5\n2;Bea Two;outside;6;3;7;5;6;6\n"
    "3;Cia Three;outside;7;3;6;4;5;7\n4;Dea Four;middle;3;2;7;8;5;3\n"
    "5;Eva Five;middle;3;2;6;7;6;3\n6;Fea Six;libero;8;4;1;0;4;8\n"
    "7;Gea Seven;opposite;4;3;8;7;7;5\n";

static char folder[] = "/tmp/sixturn-import-XXXXXX";
static char csv[64], json[64];

static void make_folder(void) {
    strcpy(folder, "/tmp/sixturn-import-XXXXXX");
    cr_assert_not_null(mkdtemp(folder));
    snprintf(csv, sizeof csv, "%s/roster.csv", folder);
    snprintf(json, sizeof json, "%s/team.json", folder);
}

static void remove_folder(void) {
    unlink(csv);
    unlink(json);
    cr_assert_eq(rmdir(folder), 0, "something else was left in the folder");
}

TestSuite(import, .init = make_folder, .fini = remove_folder);

static Run import(const char *text, const char *rest) {
    char words[512];
    FILE *out = fopen(csv, "w");
    fputs(text, out);
    fclose(out);
    snprintf(words, sizeof words, "import %s %s", csv, rest);
    return run_sixturn(words);
}

Test(import, the_team_file_can_be_planned_with) {
    char rest[128], words[128];
    snprintf(rest, sizeof rest, "-o %s --name 'Our seven'", json);
    Run made = import(roster, rest);
    cr_assert_eq(made.exit_status, 0, "%s", made.err);
    cr_assert_str_eq(made.out, "");
    run_free(&made);
    snprintf(words, sizeof words, "plan %s", json);
    Run planned = run_sixturn(words);
    cr_assert_eq(planned.exit_status, 0, "%s", planned.err);
    cr_assert_not_null(strstr(planned.out, "Our seven"));
    run_free(&planned);
}

Test(import, a_mistake_names_file_line_and_column_and_writes_nothing) {
    char rest[128], text[sizeof roster], said[128];
    strcpy(text, roster);
    memcpy(strstr(text, "8;4;4;6;5"), "x", 1); /* Ada's setting */
    snprintf(rest, sizeof rest, "-o %s", json);
    Run run = import(text, rest);
    cr_assert_eq(run.exit_status, 3);
    snprintf(said, sizeof said,
             "%s: row 2, column E (setting): expected a number from 0 to 10, found "
             "\"x\"",
             csv);
    cr_assert_not_null(strstr(run.err, said), "%s", run.err);
    cr_assert_neq(access(json, F_OK), 0);
    run_free(&run);
}

Test(import, statuses) {
    Run nowhere = import(roster, "-o /nowhere/team.json");
    cr_assert_eq(nowhere.exit_status, 4);
    run_free(&nowhere);
    Run option = import(roster, "--nmae x");
    cr_assert_eq(option.exit_status, 2);
    run_free(&option);
    char rest[128];
    snprintf(rest, sizeof rest, "-o %s", csv);
    Run itself = import(roster, rest);
    cr_assert_eq(itself.exit_status, 2, "the roster would be lost");
    run_free(&itself);
    Run missing = run_sixturn("import /nowhere/roster.csv");
    cr_assert_eq(missing.exit_status, 3);
    run_free(&missing);
}
