/* sixturn odds and sixturn fit as whole runs. */
#include "support.h"

#include <cjson/cJSON.h>
#include <criterion/criterion.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#define CLUB "datasets/club-16.json"
#define JUNIORS "datasets/junior-12.json"

Test(odds, text_for_every_system_fits_the_terminal) {
    static const char *const more[] = {"", "--opponent datasets/opponent.json",
                                       "--rules ncaa-women", "--level juniors --start 3"};
    char words[256];
    for (int k = 0; k < 5; k++) {
        for (int m = SANITIZED ? k % 4 : 0; m < 4; m += SANITIZED ? 4 : 1) {
            snprintf(words, sizeof words, "odds " CLUB " --system %s %s", all_systems[k], more[m]);
            Run run = run_sixturn(words);
            cr_assert_eq(run.exit_status, 0, "%s: %s", words, run.err);
            cr_assert_str_empty(run.err);
            columns_within_80(run.out);
            cr_assert(strstr(run.out, m == 3 ? "plan starts in rotation 3" : "Start in rotation"));
            cr_assert_eq(strstr(run.out, "Substitutions") != NULL,
                         strcmp(all_systems[k], "6-2-double") == 0);
            run_free(&run);
        }
    }
}

/* Blanks and line ends are alike. */
static bool says(const char *text, const char *words) {
    for (; *text; text++) {
        const char *at = text, *word = words;
        while (*word && (*at == *word || (*word == ' ' && *at == '\n'))) {
            at++;
            at += at[-1] == '\n' ? strspn(at, " ") : 0;
            word++;
        }
        if (!*word) {
            return true;
        }
    }
    return false;
}

/* Where it is best to make none of the planned substitutions, every command says so. */
Test(odds, all_say_not_to_substitute) {
    static const char *const words[][2] = {
        {"plan " CLUB " --system 6-2-double --brief",
         "Do not make these substitutions: play on as 5-1-outside."},
        {"plan " CLUB " --system 6-2-double",
         "Do not make these substitutions: play on as 5-1-outside."},
        {"odds " CLUB " --system 6-2-double",
         "Do not make these substitutions: play on as 5-1-outside."},
        {"moment " CLUB " --system 6-2-double", ", as planned"},
        {"absent " JUNIORS " --system 6-2-double",
         "Do not make its substitutions: it wins these by playing on as 5-1-outside."},
        {"worth " JUNIORS " --system 6-2-double --out 8",
         "Do not make its substitutions: it wins these by playing on as 5-1-outside."},
        {"setters " CLUB,
         "Do not make its substitutions: it wins these by playing on as 5-1-outside."},
        {"systems " CLUB,
         "Do not make them: it wins so many only by playing on as 5-1-outside from the first"},
        {"rank " CLUB " --system 6-2-double",
         "Do not make its substitutions: it wins these by playing on as 5-1-outside."},
    };
    /* the sanitizers see the long searches behind the others in their own tests */
    const size_t count = SANITIZED ? 4 : sizeof words / sizeof words[0];
    for (size_t k = 0; k < count; k++) {
        Run run = run_sixturn(words[k][0]);
        cr_assert_eq(run.exit_status, 0, "%s: %s", words[k][0], run.err);
        cr_assert(says(run.out, words[k][1]), "%s: %s", words[k][0], run.out);
        columns_within_80(run.out);
        run_free(&run);
    }
}

/* Where the score decides, leads are told. */
Test(odds, planned_substitutions_follow_the_score) {
    static const char *const commands[] = {"odds", "plan"};
    for (int k = 0; k < 2; k++) {
        char words[128];
        snprintf(words, sizeof words, "%s " CLUB " --system 6-2-double --rules usav", commands[k]);
        Run run = run_sixturn(words);
        cr_assert_eq(run.exit_status, 0, "%s: %s", words, run.err);
        cr_assert(says(run.out, "unless you lead by"), "%s: %s", words, run.out);
        run_free(&run);
    }
}

/* What JSON says hangs together: shares, match, the best start. */
Test(odds, json_adds_up) {
    Run run = run_sixturn("odds " CLUB " --system 6-2-double --opponent datasets/opponent.json "
                          "--json");
    cr_assert_eq(run.exit_status, 0);
    cJSON *root = cJSON_Parse(run.out);
    cr_assert_str_eq(cJSON_GetObjectItem(root, "format")->valuestring, "sixturn-odds-result-1");
    const cJSON *set = cJSON_GetObjectItem(cJSON_GetObjectItem(root, "set"), "serve");
    const cJSON *mean = cJSON_GetObjectItem(set, "mean");
    const int best = (int)json_number(set, "best_start") - 1;
    const cJSON *value;
    cJSON_ArrayForEach(value, mean) {
        cr_assert_leq(value->valuedouble, cJSON_GetArrayItem(mean, best)->valuedouble);
    }
    double share = 0, points = 0, rallies = 0;
    cJSON_ArrayForEach(value, cJSON_GetObjectItem(root, "rotations")) {
        share += json_number(value, "share");
        for (int phase = 0; phase < 2; phase++) {
            const cJSON *part = cJSON_GetObjectItem(value, phase ? "serve" : "receive");
            rallies += json_number(part, "rallies");
            points += json_number(part, "points");
        }
    }
    cr_assert_float_eq(share, 1, 1e-8);
    cr_assert_float_eq(rallies, json_number(root, "rallies"), 1e-8);
    cr_assert(points > 15 && points < 30);
    const cJSON *match = cJSON_GetObjectItem(root, "match");
    double sum = 0;
    cJSON_ArrayForEach(value, cJSON_GetObjectItem(match, "won_to")) {
        sum += value->valuedouble;
    }
    cr_assert_float_eq(sum, json_number(match, "win"), 1e-9);
    const cJSON *lasting = cJSON_GetObjectItem(cJSON_GetObjectItem(root, "substitutions"), "serve");
    sum = 0;
    cJSON_ArrayForEach(value, cJSON_GetObjectItem(lasting, "needed")) {
        sum += value->valuedouble;
    }
    cr_assert_float_eq(sum, 1, 1e-8);
    cJSON_Delete(root);
    run_free(&run);
}

Test(odds, same_input_same_bytes) {
    Run one = run_sixturn("odds " CLUB " --json"), two = run_sixturn("odds " CLUB " --json");
    cr_assert_str_eq(one.out, two.out);
    run_free(&one);
    run_free(&two);
}

Test(odds, mistakes_have_their_status) {
    static const struct {
        const char *words;
        int status;
        const char *said;
    } cases[] = {
        {"odds", 2, "one team file"},
        {"odds " CLUB " --opponent datasets/no-such.json", 3, "no-such.json"},
        {"odds " CLUB " --opponent datasets/club-16.json", 3, "sixturn-opponent-1"},
        {"odds " CLUB " --rates datasets/opponent.json", 3, "sixturn-rates-1"},
        {"odds " CLUB " --level moon", 3, "no level of play 'moon'"},
        {"odds " CLUB " --rally-model datasets/opponent.json", 3, "sixturn-rally-2"},
        {"fit " CLUB, 2, "a team file and a rally log"},
        {"fit " CLUB " datasets/opponent.json", 3, "opponent.json:2"},
        {"fit " CLUB " datasets/club-16-log.csv --write-rates /no/such/place.json", 4, "/no/such"},
    };
    for (size_t n = 0; n < sizeof cases / sizeof *cases; n++) {
        Run run = run_sixturn(cases[n].words);
        cr_assert_eq(run.exit_status, cases[n].status, "%s: %d %s", cases[n].words, run.exit_status,
                     run.err);
        cr_assert_not_null(strstr(run.err, cases[n].said), "%s: %s", cases[n].words, run.err);
        cr_assert_str_empty(run.out, "%s", cases[n].words);
        run_free(&run);
    }
}

/* The goal is the set unless told. */
Test(odds, plan_for_the_set) {
    Run run = run_sixturn("plan datasets/junior-12.json --system 4-2 --json");
    cJSON *root = cJSON_Parse(run.out);
    cr_assert_str_eq(cJSON_GetObjectItem(root, "status")->valuestring, "optimal");
    cr_assert_str_eq(cJSON_GetObjectItem(root, "goal")->valuestring, "set");
    cr_assert(json_number(root, "sets") > 0 && json_number(root, "sets") < 100);
    cr_assert_eq(json_number(root, "sets_gap"), 0);
    cJSON_Delete(root);
    run_free(&run);
    static const char *const commands[] = {"plan datasets/junior-12.json",
                                           "sheet datasets/junior-12.json -o /dev/null.svg",
                                           "report datasets/junior-12.json -o /dev/null.html"};
    for (size_t k = 0; k < sizeof commands / sizeof *commands; k++) {
        char words[96];
        snprintf(words, sizeof words, "%s --goal match", commands[k]);
        run = run_sixturn(words);
        cr_assert_eq(run.exit_status, 2, "%s", words);
        cr_assert_not_null(strstr(run.err, "--goal is set or score, not 'match'"), "%s", run.err);
        run_free(&run);
    }
}

/* A coach's sheet of the other team: the odds know their rotations, and where to start by theirs.
 */
Test(odds, an_opponent_from_a_sheet) {
    Run run = run_sixturn("odds " CLUB " --opponent datasets/opponent.csv");
    cr_assert_eq(run.exit_status, 0, "%s", run.err);
    columns_within_80(run.out);
    cr_assert_not_null(strstr(run.out, "against TSV Falkenau (invented)"));
    cr_assert_not_null(strstr(run.out, "Start so against any start of theirs"));
    run_free(&run);
    run = run_sixturn("odds " CLUB " --opponent datasets/opponent.csv --start 4");
    columns_within_80(run.out);
    cr_assert_not_null(strstr(run.out, "Where to start if their start is known"));
    cr_assert_not_null(strstr(run.out, "  we serve first           1 "));
    run_free(&run);
}

/* A log becomes rates, and the rates become the odds' rallies. */
Test(fit, a_log_becomes_rates_becomes_odds) {
    char file[] = "/tmp/sixturn-rates-XXXXXX", words[256];
    cr_assert(close(mkstemp(file)) == 0);
    snprintf(words, sizeof words, "fit " CLUB " datasets/club-16-log.csv --write-rates %s", file);
    Run run = run_sixturn(words);
    cr_assert_eq(run.exit_status, 0, "%s", run.err);
    columns_within_80(run.out);
    cr_assert_not_null(strstr(run.out, "387 rallies of 8 sets"));
    run_free(&run);
    char *text = slurp(file);
    cJSON *rates = cJSON_Parse(text);
    const cJSON *third = cJSON_GetArrayItem(cJSON_GetObjectItem(rates, "receive"), 2);
    const double rate = json_number(third, "rate");
    cr_assert_eq(json_number(third, "won"), 20);
    cr_assert_eq(json_number(third, "played"), 27);
    snprintf(words, sizeof words, "odds " CLUB " --json --rates %s", file);
    run = run_sixturn(words);
    cr_assert_eq(run.exit_status, 0, "%s", run.err);
    cJSON *odds = cJSON_Parse(run.out);
    const cJSON *receive = cJSON_GetObjectItem(
        cJSON_GetArrayItem(cJSON_GetObjectItem(odds, "rotations"), 2), "receive");
    cr_assert_float_eq(json_number(receive, "points") / json_number(receive, "rallies"), rate,
                       1e-8);
    cJSON_Delete(odds);
    cJSON_Delete(rates);
    run_free(&run);
    free(text);
    remove(file);
}
