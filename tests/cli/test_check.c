/* Whole runs of sixturn check and sixturn mend, as somebody at a terminal meets them. */
#include "support.h"

#include <cjson/cJSON.h>
#include <criterion/criterion.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define DRAWN "datasets/junior-12-formations.json"

enum { TERMINAL_COLUMNS = 80 };

static void expect(const char *words, int exit_status, const char *in_out, const char *in_err) {
    Run run = run_sixturn(words);
    cr_expect_eq(run.exit_status, exit_status, "'%s' ends with %d: %s", words, run.exit_status,
                 run.err);
    cr_expect_not_null(strstr(run.out, in_out), "'%s' prints '%s'", words, run.out);
    cr_expect_not_null(strstr(run.err, in_err), "'%s' says '%s'", words, run.err);
    run_free(&run);
}

Test(check, a_fault_is_told_in_a_sentence_and_ends_with_1) {
    expect("check " DRAWN, 1,
           "number 1, middle back, is 12 cm nearer the net than number 7, middle", "");
}

Test(check, other_rules_bind_the_serving_team) {
    expect("check " DRAWN " --rules fivb-2024", 1,
           "number 3, right front, is 3.00 m further left than", "");
}

Test(check, usage_and_input_errors_have_their_status) {
    expect("check", 2, "", "expected one formation file");
    expect("check " DRAWN " " DRAWN, 2, "", "expected one formation file");
    expect("check " DRAWN " --margin 4", 2, "", "from 0 to 3");
    expect("check " DRAWN " --fewest", 2, "", "--fewest");
    expect("check " DRAWN " --rules fivb", 2, "", "no rule profile 'fivb'");
    expect("check no-such-file.json", 3, "", "no-such-file.json");
    expect("check datasets/junior-12.json", 3, "", "sixturn-formation-1");
    expect("mend " DRAWN " --lock x", 2, "", "shirt number");
    expect("mend " DRAWN " --lock 77", 2, "", "nobody in the file");
    expect("mend " DRAWN " -o /no/such/folder/out.json", 4, "", "/no/such/folder/out.json");
}

static cJSON *parse(const char *text) {
    cJSON *root = cJSON_Parse(text);
    cr_assert_not_null(root, "no JSON: %s", text);
    return root;
}

Test(check, json_says_the_same) {
    Run run = run_sixturn("check " DRAWN " --json");
    cJSON *root = parse(run.out);
    cr_assert_eq(run.exit_status, 1);
    cr_assert(cJSON_IsFalse(cJSON_GetObjectItem(root, "legal")));
    const cJSON *second = cJSON_GetArrayItem(cJSON_GetObjectItem(root, "formations"), 1);
    const cJSON *finding = cJSON_GetArrayItem(cJSON_GetObjectItem(second, "findings"), 0);
    cr_assert_str_eq(cJSON_GetStringValue(cJSON_GetObjectItem(finding, "fivb_rule")), "7.4.3.1");
    cr_assert_float_eq(cJSON_GetObjectItem(finding, "metres")->valuedouble, 0.12, 1e-12);
    cJSON_Delete(root);
    run_free(&run);
}

static void no_line_is_too_long(const char *words) {
    Run run = run_sixturn(words);
    for (const char *line = run.out; *line;) {
        size_t length = strcspn(line, "\n");
        cr_expect_leq(length, TERMINAL_COLUMNS, "%s: '%.*s'", words, (int)length, line);
        line += length + (line[length] == '\n');
    }
    run_free(&run);
}

Test(check, the_text_fits_a_terminal) {
    no_line_is_too_long("check " DRAWN " --rules fivb-2024");
    no_line_is_too_long("check --help");
    no_line_is_too_long("mend " DRAWN " --rules fivb-2024");
    no_line_is_too_long("mend --help");
}

Test(mend, what_is_written_is_legal_and_stays_as_it_is) {
    static const char out[] = "/tmp/sixturn-mend-test.json";
    char words[256];
    snprintf(words, sizeof words, "mend " DRAWN " --rules fivb-2024 -o %s", out);
    expect(words, 0, "1 player moves", "");
    snprintf(words, sizeof words, "check %s --rules fivb-2024", out);
    expect(words, 0, "legal", "");
    snprintf(words, sizeof words, "mend %s --rules fivb-2024 --fewest", out);
    expect(words, 0, "nobody moves", "");
    remove(out);
}

Test(mend, locks_that_conflict_are_told_by_number_and_nothing_is_printed) {
    Run run = run_sixturn("mend " DRAWN " --lock 1 --lock 7 --lock 3");
    cr_assert_eq(run.exit_status, 1);
    cr_assert_str_empty(run.out);
    cr_assert_not_null(strstr(run.err, "(numbers 7, 1); unlock one of them"), "%s", run.err);
    run_free(&run);
}

Test(mend, fewest_moves_one_where_one_is_enough) {
    Run run = run_sixturn("mend " DRAWN " --fewest --lock 7 --json");
    cJSON *root = parse(run.out);
    const cJSON *second = cJSON_GetArrayItem(cJSON_GetObjectItem(root, "formations"), 1);
    const cJSON *moves = cJSON_GetObjectItem(second, "moves");
    cr_assert_eq(cJSON_GetArraySize(moves), 1);
    cr_assert_eq(cJSON_GetObjectItem(cJSON_GetArrayItem(moves, 0), "number")->valueint, 1);
    cr_assert_float_eq(cJSON_GetObjectItem(second, "total")->valuedouble, 0.42, 1e-12);
    cJSON_Delete(root);
    run_free(&run);
}
