/* The questions before a season, as whole runs: text that fits 80 columns, clear errors, and a
 * clean end when the coach has waited long enough. */
#include "support.h"

#include <cjson/cJSON.h>
#include <criterion/criterion.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { COLUMNS = 80 };

static const char *const questions[] = {
    "rank datasets/club-16.json --top 6 --doubt 0.3 --draws 10",
    "rank datasets/junior-12.json --plan datasets/junior-12-plan.json",
    "absent datasets/club-16.json 2 5 11 --pairs",
    "absent datasets/junior-12.json --plan datasets/junior-12-plan.json",
    "setters datasets/club-16.json",
    "setters datasets/junior-12.json --system 6-2",
    "systems datasets/club-16.json --rules usav",
    "systems datasets/junior-12.json --plan datasets/junior-12-plan.json",
    "worth datasets/club-16.json 12",
    "worth datasets/junior-12.json 6 1",
    "versus datasets/junior-12.json datasets/junior-12-plan.json datasets/junior-12-plan.json",
    "plan datasets/junior-12.json --plan datasets/junior-12-plan.json --sets 2",
};
enum { QUESTIONS = sizeof questions / sizeof questions[0] };

/* Characters, not bytes. */
static int columns(const char *line, size_t length) {
    int count = 0;
    for (size_t k = 0; k < length; k++) {
        count += ((unsigned char)line[k] & 0xC0) != 0x80;
    }
    return count;
}

static void expect_narrow(const char *text, const char *words) {
    for (const char *line = text; *line;) {
        size_t length = strcspn(line, "\n");
        cr_expect_leq(columns(line, length), COLUMNS, "%s: %.*s", words, (int)length, line);
        line += length + (line[length] == '\n');
    }
}

Test(analysis, text_fits_eighty_columns) {
    for (int k = SANITIZED; k < QUESTIONS; k += SANITIZED ? 2 : 1) {
        Run run = run_sixturn(questions[k]);
        cr_assert_eq(run.exit_status, 0, "%s: %s", questions[k], run.err);
        cr_expect_str_eq(run.err, "", "no progress in a pipe");
        expect_narrow(run.out, questions[k]);
        run_free(&run);
    }
}

Test(analysis, same_input_same_bytes) {
    Run one = run_sixturn("rank datasets/club-16.json --system 6-2 --doubt 0.3 --draws 12 --json");
    Run other =
        run_sixturn("rank datasets/club-16.json --system 6-2 --doubt 0.3 --draws 12 --json");
    cr_expect_str_eq(one.out, other.out);
    run_free(&one);
    run_free(&other);
}

static void expect_refused(const char *words, int status, const char *said) {
    Run run = run_sixturn(words);
    cr_expect_eq(run.exit_status, status, "%s: %d, %s", words, run.exit_status, run.err);
    cr_expect(strstr(run.err, said), "%s: %s", words, run.err);
    cr_expect_str_eq(run.out, "", "nothing half said");
    run_free(&run);
}

/* 'absent TEAM 1 3' is without both at once, a comma or --each without each alone. */
Test(analysis, absent_together_or_each_alone) {
    static const struct {
        const char *players;
        int cases, absent;
    } asked[] = {
        {"1 3", 1, 2}, {"1, 3", 2, 1}, {"1,3", 2, 1}, {"1 3 --each", 2, 1}, {"1 3 5", 1, 3}};
    for (size_t k = 0; k < sizeof asked / sizeof asked[0]; k++) {
        char words[128];
        snprintf(words, sizeof words, "absent datasets/junior-12.json %s --json", asked[k].players);
        Run run = run_sixturn(words);
        cr_assert_eq(run.exit_status, 0, "%s: %s", words, run.err);
        cJSON *json = cJSON_Parse(run.out), *list = cJSON_GetObjectItem(json, "absences");
        cr_expect_eq(cJSON_GetArraySize(list), asked[k].cases, "%s", words);
        cJSON *absent = cJSON_GetObjectItem(cJSON_GetArrayItem(list, 0), "absent");
        cr_expect_eq(cJSON_GetArraySize(absent), asked[k].absent, "%s", words);
        cJSON_Delete(json);
        run_free(&run);
    }
    expect_refused("absent datasets/junior-12.json 1 2 3 4 5 6 7", 2, "at most 6");
}

Test(analysis, bad_questions_are_told) {
    expect_refused("rank datasets/club-16.json --top 0", 2, "--top");
    expect_refused("rank datasets/club-16.json --doubt 1 --spread wide", 2, "normal or uniform");
    expect_refused("rank datasets/club-16.json --write-model x.lp", 2, "--write-model");
    expect_refused("rank", 2, "team file");
    expect_refused("absent datasets/club-16.json selma-quest", 2, "selma-quast");
    expect_refused("worth datasets/club-16.json 77", 2, "77");
    expect_refused("versus datasets/club-16.json datasets/club-16.json", 2, "two plans");
    expect_refused("versus datasets/club-16.json nothing.json datasets/club-16.json", 3,
                   "nothing.json");
    expect_refused("versus datasets/club-16.json datasets/club-16.json datasets/club-16.json", 3,
                   "datasets/club-16.json");
    expect_refused("setters datasets/junior-12.json --out 1 --out 6", 1, "sixturn plan");
    expect_refused("plan datasets/club-16.json --sets 9", 2, "--sets");
}

/* Seconds in which at least one draw is done on a busy machine. */
#if defined(__SANITIZE_ADDRESS__)
#define ENOUGH "5"
#else
#define ENOUGH "1.5"
#endif

Test(analysis, the_time_limit_stops_with_what_is_done) {
    Run run = run_sixturn(
        "rank datasets/junior-12.json --doubt 0.5 --draws 1000000 --time-limit " ENOUGH " --json");
    cr_assert_eq(run.exit_status, 0, "%s", run.err);
    cJSON *json = cJSON_Parse(run.out);
    cJSON *doubt = cJSON_GetObjectItem(json, "doubt");
    cr_assert_not_null(doubt);
    double draws = cJSON_GetObjectItem(doubt, "draws")->valuedouble;
    cr_expect_gt(draws, 0);
    cr_expect_lt(draws, 1000000);
    cJSON_Delete(json);
    run_free(&run);
}

Test(analysis, ctrl_c_stops_with_what_is_done) {
    Run run = run_shell("\"$SIXTURN\" rank datasets/junior-12.json --doubt 0.5 --draws 1000000 & "
                        "pid=$!; sleep " ENOUGH "; kill -INT $pid; wait $pid");
    cr_expect_eq(run.exit_status, 0, "%s", run.err);
    cr_expect(strstr(run.out, "known to about 0.5 points"), "%s", run.out);
    run_free(&run);
}

/* By the roles in the team file: besides the best six and the libero only 6 can set and only 10 is
 * a middle, while two others each can play outside and opposite. */
Test(analysis, no_loss_without_her_says_of_what_she_is_the_only_cover) {
    Run run = run_sixturn("absent datasets/junior-12.json 6 8 10 --each");
    cr_assert_eq(run.exit_status, 0, "%s", run.err);
    for (char *c = run.out; *c; c++) {
        *c = *c == '\n' ? ' ' : *c;
    }
    cr_expect_not_null(strstr(run.out, "#6 Pia Osterloh (the only cover as setter)"), "%s",
                       run.out);
    cr_expect_not_null(strstr(run.out, "#8 Juna Redeker, "), "%s", run.out);
    cr_expect_not_null(strstr(run.out, "(the only cover as middle)"), "%s", run.out);
    run_free(&run);
}
