/* Whole runs of sixturn plan, as somebody at a terminal meets them. */
#define _POSIX_C_SOURCE 200809L
#include "support.h"

#include <cjson/cJSON.h>
#include <criterion/criterion.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#define JUNIORS "datasets/junior-12.json"
#define CLUB "datasets/club-16.json"

enum { TERMINAL_COLUMNS = 80 };

static void expect(const char *words, int exit_status, const char *in_err) {
    Run run = run_sixturn(words);
    cr_expect_eq(run.exit_status, exit_status, "'%s' ends with %d: %s", words, run.exit_status,
                 run.err);
    cr_expect(strstr(run.err, in_err) != NULL, "'%s' says '%s', not '%s'", words, run.err, in_err);
    if (exit_status != 0) {
        cr_expect_str_empty(run.out, "'%s' fails but prints '%s'", words, run.out);
    }
    run_free(&run);
}

/* --- usage --------------------------------------------------------------------------------------
 */

Test(usage, no_command_or_an_unknown_one) {
    expect("", 2, "usage: sixturn COMMAND");
    expect("plam", 2, "there is no command 'plam'");
}

Test(usage, help_goes_to_standard_output) {
    Run run = run_sixturn("--help");
    cr_assert_eq(run.exit_status, 0);
    cr_assert(strstr(run.out, "plan") != NULL);
    cr_assert_str_empty(run.err);
    run_free(&run);
}

Test(usage, plan_help_lists_systems_profiles_and_options) {
    static const char *const options[] = {"--plan",    "--system",      "--rules",     "--passers",
                                          "--balance", "--brief",       "--start",     "--out",
                                          "--json",    "--write-model", "--time-limit"};
    Run run = run_sixturn("plan --help");
    cr_assert_eq(run.exit_status, 0);
    for (int k = 0; k < 5; k++) {
        cr_expect(strstr(run.out, all_systems[k]) != NULL, "no %s", all_systems[k]);
    }
    for (int k = 0; k < 6; k++) {
        cr_expect(strstr(run.out, all_rules[k]) != NULL, "no %s", all_rules[k]);
    }
    for (size_t k = 0; k < sizeof options / sizeof options[0]; k++) {
        cr_expect(strstr(run.out, options[k]) != NULL, "no %s", options[k]);
    }
    run_free(&run);
}

/* What a command would refuse is not in its help. */
Test(usage, help_lists_only_what_is_taken) {
    static const struct {
        const char *command;
        bool json;
    } cases[] = {{"rank", true},    {"absent", true}, {"systems", true}, {"moment", true},
                 {"receive", true}, {"sheet", false}, {"report", false}};
    for (size_t k = 0; k < sizeof cases / sizeof *cases; k++) {
        char words[32];
        snprintf(words, sizeof words, "%s --help", cases[k].command);
        Run run = run_sixturn(words);
        cr_expect_null(strstr(run.out, "--write-model"), "%s", words);
        cr_expect_eq(strstr(run.out, "--json") != NULL, cases[k].json, "%s", words);
        cr_expect_not_null(strstr(run.out, "--time-limit"), "%s", words);
        run_free(&run);
    }
}

Test(usage, wrong_words_are_refused) {
    expect("plan", 2, "one team file is needed");
    expect("plan " JUNIORS " " CLUB, 2, "one team file is needed");
    expect("plan " JUNIORS " --sistem 6-2", 2, "--sistem is not an option");
    expect("plan " JUNIORS " --system", 2, "--system needs a value");
    expect("plan " JUNIORS " --json=yes", 2, "takes no value");
    expect("plan " JUNIORS " -j", 2, "-j");
}

Test(usage, values_out_of_range_are_refused) {
    expect("plan " JUNIORS " --passers 6", 2, "from 2 to 5, found '6'");
    expect("plan " JUNIORS " --passers 2.5", 2, "whole number");
    expect("plan " JUNIORS " --passers three", 2, "found 'three'");
    expect("plan " JUNIORS " --balance 1.1", 2, "from 0 to 1");
    expect("plan " JUNIORS " --balance nan", 2, "from 0 to 1");
    expect("plan " JUNIORS " --start 0", 2, "from 1 to 6");
    expect("plan " JUNIORS " --time-limit -1", 2, "found '-1'");
    expect("plan " JUNIORS " --balance ''", 2, "found ''");
}

Test(usage, unknown_names_get_the_nearest_known_one) {
    expect("plan " JUNIORS " --out tabea-kortn", 2, "did you mean 'tabea-korten'");
    expect("plan " JUNIORS " --out 77", 2, "no player '77'");
    expect("plan " JUNIORS " --system 6-3", 2, "6-3");
    expect("plan " JUNIORS " --rules fivb-2023", 2, "fivb-2023");
}

/* --- files --------------------------------------------------------------------------------------
 */

Test(files, missing_or_broken_ones_are_bad_input) {
    expect("plan nowhere/team.json", 3, "nowhere/team.json");
    expect("plan datasets", 3, "datasets");
    expect("plan meson.build", 3, "meson.build:1");
    expect("plan datasets/systems/6-2.json", 3, "format");
    expect("plan " JUNIORS " --plan nowhere.json", 3, "nowhere.json");
    expect("plan " JUNIORS " --plan " JUNIORS, 3, "format");
    expect("plan " JUNIORS " --system nowhere/own.json", 3, "nowhere/own.json");
    expect("plan " JUNIORS " --rules ./nowhere.json", 3, "nowhere.json");
}

Test(files, a_model_that_cannot_be_written) {
    expect("plan " JUNIORS " --write-model /nonexistent/m.lp", 4, "/nonexistent/m.lp");
    expect("plan " JUNIORS " --write-model /nonexistent/m.mps", 4, "cannot write");
    expect("plan " JUNIORS " --write-model model.txt", 2, "end it in .lp or .mps");
}

Test(files, a_result_that_cannot_be_written) {
    Run run = run_sixturn("plan " JUNIORS " >/dev/full");
    cr_assert_eq(run.exit_status, 4, "%s", run.err);
    cr_assert(strstr(run.err, "cannot write") != NULL);
    run_free(&run);
}

/* --- answers ------------------------------------------------------------------------------------
 */

Test(answers, a_shortage_is_told_with_names) {
    expect("plan " JUNIORS " --out 1 --out 6", 1, "setter");
    expect("plan " JUNIORS " --system 6-2 --out 6", 1, "needs 2 setters, 1 available: #1 Nele");
}

Test(answers, options_override_the_plan_file) {
    Run run =
        run_sixturn("plan " JUNIORS " --plan datasets/junior-12-plan.json --system 4-2 --json");
    cr_assert_eq(run.exit_status, 0, "%s", run.err);
    cr_assert(strstr(run.out, "\"4-2\"") != NULL);
    run_free(&run);
}

Test(answers, who_is_out_does_not_play) {
    Run run = run_sixturn("plan " CLUB " --out 5 --out henrike-vossmann --json");
    cr_assert_eq(run.exit_status, 0, "%s", run.err);
    cJSON *root = cJSON_Parse(run.out);
    cJSON_DeleteItemFromObject(root, "prices"); /* there they sit, for --out */
    char *rest = cJSON_Print(root);
    cr_assert_null(strstr(rest, "jorun-dettmer"));
    cr_assert_null(strstr(rest, "henrike-vossmann"));
    free(rest);
    cJSON_Delete(root);
    run_free(&run);
}

Test(answers, the_start_is_the_one_asked_for) {
    Run run = run_sixturn("plan " JUNIORS " --start 4 --json");
    cJSON *root = cJSON_Parse(run.out);
    cr_assert_eq(cJSON_GetObjectItem(root, "start_rotation")->valueint, 4);
    cJSON_Delete(root);
    run_free(&run);
}

Test(answers, two_runs_print_the_same_bytes) {
    static const char *const runs[] = {"plan " JUNIORS, "plan " CLUB " --system 6-2 --json"};
    for (int k = 0; k < 2; k++) {
        Run a = run_sixturn(runs[k]);
        Run b = run_sixturn(runs[k]);
        cr_assert_eq(a.exit_status, 0, "%s", a.err);
        cr_assert_str_eq(a.out, b.out);
        run_free(&a);
        run_free(&b);
    }
}

/* Out of time: either the best so far with a gap, or a plain word that there is none yet. */
Test(answers, a_tiny_time_limit_is_honest) {
    static const char *const limits[] = {"0.001", "0.02", "0.05"};
    for (int k = 0; k < 3; k++) {
        char words[128];
        snprintf(words, sizeof words, "plan " CLUB " --json --time-limit %s", limits[k]);
        Run run = run_sixturn(words);
        if (run.exit_status != 0) {
            cr_assert_eq(run.exit_status, 6, "%s", run.err);
            cr_assert(strstr(run.err, "within the time limit") != NULL, "%s", run.err);
            run_free(&run);
            continue;
        }
        cJSON *root = cJSON_Parse(run.out);
        const cJSON *gap = cJSON_GetObjectItem(root, "sets_gap");
        const cJSON *score = cJSON_GetObjectItem(root, "sets");
        const cJSON *bound = cJSON_GetObjectItem(root, "sets_bound");
        cr_assert(cJSON_IsNumber(gap) && cJSON_IsNumber(bound), "%s: no gap", limits[k]);
        cr_assert_geq(gap->valuedouble, 0);
        cr_assert_float_eq(bound->valuedouble - score->valuedouble, gap->valuedouble, 1e-9);
        const char *status = cJSON_GetStringValue(cJSON_GetObjectItem(root, "status"));
        cr_assert(strcmp(status, "feasible") == 0 || gap->valuedouble == 0, "%s", status);
        cJSON_Delete(root);
        run_free(&run);
    }
}

/* --- the page -----------------------------------------------------------------------------------
 */

/* Headline and slips for either first serve are on the first screen of a terminal, and --brief is
 * that screen and the names. */
Test(page, the_first_screen_holds_headline_and_slips) {
    enum { SCREEN = 24, RUNS = 4 };
    static const char *const runs[RUNS] = {JUNIORS, CLUB, CLUB " --system 6-2-double",
                                           JUNIORS " --start 3 --goal score"};
    for (int k = 0; k < RUNS; k++) {
        char words[160];
        snprintf(words, sizeof words, "plan %s", runs[k]);
        Run whole = run_sixturn(words);
        snprintf(words, sizeof words, "plan %s --brief", runs[k]);
        Run brief = run_sixturn(words);
        cr_assert_eq(brief.exit_status, 0, "%s", brief.err);
        char *end = whole.out;
        for (int line = 0; line < SCREEN && end; line++) {
            end = strchr(end + 1, '\n');
        }
        cr_assert_not_null(end);
        cr_expect_eq(strncmp(whole.out, brief.out, strlen(brief.out)), 0, "%s", words);
        *end = '\0';
        cr_expect(strstr(whole.out, "of 100 sets") || strstr(whole.out, "Score "), "%s", words);
        cr_expect_not_null(strstr(whole.out, "Line-up slip"), "%s", words);
        cr_expect(
            strstr(whole.out, "Whoever serves first") ||
                (strstr(whole.out, "They serve first") && strstr(whole.out, "We serve first")),
            "%s", words);
        cr_expect_not_null(strstr(whole.out, "libero: "), "the slips end on another screen");
        cr_expect_null(strstr(brief.out, "\nRotation"));
        run_free(&whole);
        run_free(&brief);
    }
}

Test(page, fits_eighty_columns) {
    static const char *const files[] = {JUNIORS, CLUB};
    for (int t = SANITIZED; t < 2; t++) {
        for (int k = 0; k < 5; k++) {
            for (int r = 0; r < (SANITIZED ? 1 : 6); r += 5) { /* serving team free, and bound */
                char words[160];
                snprintf(words, sizeof words, "plan %s --system %s --rules %s", files[t],
                         all_systems[k], all_rules[r]);
                Run run = run_sixturn(words);
                int line = 0;
                cr_assert_eq(run.exit_status, 0, "%s", run.err);
                int widest = widest_line(run.out, &line);
                cr_expect_leq(widest, TERMINAL_COLUMNS, "%s: line %d has %d", words, line, widest);
                cr_expect(strstr(run.out, "Rotation 6") != NULL);
                run_free(&run);
            }
        }
    }
    static const char *const commands[] = {
        "plan",    "import",  "check",  "mend",  "odds",  "fit",    "rank",   "absent",
        "setters", "systems", "versus", "worth", "sheet", "report", "moment", "receive"};
    for (unsigned k = 0; k < sizeof commands / sizeof *commands; k++) {
        char words[32];
        snprintf(words, sizeof words, "%s --help", commands[k]);
        Run run = run_sixturn(words);
        int line = 0;
        cr_expect_eq(run.exit_status, 0, "%s", words);
        cr_expect_leq(widest_line(run.out, &line), TERMINAL_COLUMNS, "%s, line %d", words, line);
        run_free(&run);
    }
}

Test(page, explanations_fit_eighty_columns) {
    static const char *const words[] = {"explain team", "explain wishes"};
    for (int k = 0; k < 2; k++) {
        Run run = run_sixturn(words[k]);
        int line = 0;
        cr_expect_eq(run.exit_status, 0);
        cr_expect_leq(widest_line(run.out, &line), TERMINAL_COLUMNS, "%s, line %d", words[k], line);
        run_free(&run);
    }
}

/* Whoever is listed first serves first, if we begin. */
Test(page, the_serving_order_begins_with_the_first_server) {
    static const char *const runs[] = {JUNIORS, CLUB};
    for (size_t k = 0; k < sizeof runs / sizeof *runs; k++) {
        char words[128], receiving[8], serving[8];
        snprintf(words, sizeof words, "plan %s --brief", runs[k]);
        Run run = run_sixturn(words);
        const char *table =
            strstr(run.out, "\nServing order: her place if they serve first, if we");
        cr_assert_not_null(table, "%s", run.out);
        cr_assert_eq(sscanf(strchr(table + 1, '\n'), "%7s %7s", receiving, serving), 2);
        cr_expect_str_eq(serving, "I", "%s", run.out);
        run_free(&run);
    }
}

/* The row of metres is the sum of those beside the court. */
Test(page, the_metres_add_up) {
    static const char *const runs[] = {JUNIORS, CLUB " --system 6-2-double"};
    for (size_t k = 0; k < sizeof runs / sizeof *runs; k++) {
        char words[128];
        snprintf(words, sizeof words, "plan %s", runs[k]);
        Run run = run_sixturn(words);
        const char *at = strstr(run.out, "\n  metres ");
        cr_assert_not_null(at);
        at += strlen("\n  metres ");
        for (int r = 0; r < 6; r++) {
            char title[24], *end;
            const double told = strtod(at, &end);
            at = end;
            snprintf(title, sizeof title, "\nRotation %d", r + 1);
            const char *line = strstr(strstr(run.out, "\nThe courts"), title);
            cr_assert_not_null(line);
            line = strstr(line, "P passes");
            cr_assert_not_null(line);
            double sum = 0;
            for (int place = 0; place < 6; place++) {
                line = strchr(line, '\n') + 1;
                const char *unit = strchr(line, '\n');
                while (strncmp(unit, " m", 2) != 0) {
                    unit--;
                }
                while (unit[-1] != ' ') {
                    unit--;
                }
                sum += strtod(unit, NULL);
            }
            cr_expect_float_eq(told, sum, 0.051, "%s, rotation %d: %g, not %g", runs[k], r + 1,
                               told, sum);
        }
        run_free(&run);
    }
}

/* A back-row setter who runs more than 6 m is explained by the neighbour in the order, or the
 * passers, who hold her. */
Test(page, a_long_release_names_who_holds_the_setter) {
    for (int k = 0; k < 5; k += SANITIZED ? 4 : 1) {
        for (int passers = 2; passers <= 5; passers += SANITIZED ? 3 : 1) {
            char words[160];
            snprintf(words, sizeof words, "plan " CLUB " --system %s --passers %d", all_systems[k],
                     passers);
            Run run = run_sixturn(words);
            const char *at = run.out;
            while ((at = strstr(at, "run is long"))) {
                const char *end = strstr(at, "\nRotation");
                const char *who = strchr(at, '#');
                cr_expect(who && (!end || who < end), "%s: nobody is named", words);
                at += 1;
            }
            run_free(&run);
        }
    }
}
