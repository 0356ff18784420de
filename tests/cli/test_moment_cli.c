/* sixturn moment as whole runs: what a coach asks on the bench, and what she is told. */
#include "support.h"

#include <cjson/cJSON.h>
#include <criterion/criterion.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#define JUNIORS "datasets/junior-12.json"
#define CLUB "datasets/club-16.json"

static cJSON *json_of(const char *words) {
    char line[512];
    snprintf(line, sizeof line, "%s --json", words);
    Run run = run_sixturn(line);
    cr_assert_eq(run.exit_status, 0, "%s: %s", line, run.err);
    cJSON *root = cJSON_Parse(run.out);
    cr_assert_not_null(root);
    run_free(&run);
    return root;
}

static bool is_true(const cJSON *item, const char *key) {
    return cJSON_IsTrue(cJSON_GetObjectItem(item, key));
}

static const cJSON *exchange(const cJSON *root, int which) {
    return cJSON_GetArrayItem(cJSON_GetObjectItem(root, "exchanges"), which);
}

/* At 0-0, against the mean of their starts, with nobody to exchange, the odds are those that odds
 * tells for our start when they serve first. */
Test(moment_cli, with_nobody_on_the_bench_it_is_the_plain_set) {
    static const char team[] =
        JUNIORS " --opponent datasets/opponent.json --rules fivb-2025 --start 2";
    char words[256];
    snprintf(words, sizeof words, "odds %s", team);
    cJSON *odds = json_of(words);
    snprintf(words, sizeof words, "moment %s --used 6", team);
    cJSON *moment = json_of(words);
    const cJSON *mean = cJSON_GetObjectItem(
        cJSON_GetObjectItem(cJSON_GetObjectItem(odds, "set"), "receive"), "mean");
    const double expected = cJSON_GetArrayItem(mean, 1)->valuedouble;
    cr_assert_float_eq(json_number(moment, "win"), expected, 1e-9);
    cr_assert_float_eq(json_number(moment, "win_without"), expected, 1e-9);
    cr_assert_eq(cJSON_GetArraySize(cJSON_GetObjectItem(moment, "moves")), 1);
    cJSON_Delete(odds);
    cJSON_Delete(moment);
}

/* The first move is the best, holding is among them, and the gains are against it. */
Test(moment_cli, moves_stand_by_their_odds) {
    cJSON *root = json_of("moment " CLUB " --score 14-17 --rotation 3 --serving them --used 2");
    const cJSON *move, *moves = cJSON_GetObjectItem(root, "moves");
    double last = 1;
    bool hold = false;
    cJSON_ArrayForEach(move, moves) {
        const double win = json_number(move, "win");
        cr_assert_leq(win, last + 1e-9);
        cr_assert_float_eq(json_number(move, "gain"), win - json_number(root, "win_if_held"), 1e-9);
        cr_assert_leq(json_number(move, "substitutions"), 4);
        hold |= json_number(move, "substitutions") == 0 && fabs(json_number(move, "gain")) < 1e-9;
        last = win;
    }
    cr_assert(hold);
    cr_assert_geq(json_number(root, "win"), json_number(root, "win_without"));
    cr_assert_eq(json_number(root, "left"), 4);
    cJSON_Delete(root);
}

/* FIVB 15.6: a starter leaves once and comes back once, in exchange with the same substitute. */
Test(moment_cli, who_may_come_back_follows_the_rules) {
    static const char at[] = "--score 14-12 --rotation 3 --serving us --consider 4:12";
    static const struct {
        const char *rules, *said;
        bool make, undo;
    } cases[] = {
        {"fivb-2025", "--made 9:12", false, true},
        {"fivb-2025", "--made 9:12 --used 6", false, false},
        {"fivb-2025", "--back 9:12", false, false},
        {"usav", "--back 9:12", true, false},
        {"usav", "--back 9:12 --used 12", false, false},
    };
    for (size_t n = 0; n < sizeof cases / sizeof *cases; n++) {
        char words[256];
        snprintf(words, sizeof words, "moment " JUNIORS " %s --rules %s %s", at, cases[n].rules,
                 cases[n].said);
        cJSON *root = json_of(words);
        cr_expect_eq(is_true(exchange(root, 0), "may_make"), cases[n].make, "%s", words);
        cr_expect_eq(is_true(exchange(root, 0), "may_undo"), cases[n].undo, "%s", words);
        cr_expect_not(is_true(exchange(root, 1), "may_make"), "%s: 12 is bound to 9's place",
                      words);
        cJSON_Delete(root);
    }
}

/* Who came in, was hurt and has gone back may be out now. */
Test(moment_cli, who_went_back_may_be_out) {
    cJSON *root = json_of("moment " JUNIORS " --out 12 --back 9:12 --score 9-9 --rotation 2 "
                          "--serving us");
    cr_expect_not(is_true(exchange(root, 0), "may_make"));
    cr_expect_eq(json_number(root, "used"), 2);
    cJSON_Delete(root);
    root = json_of("moment " JUNIORS " --rules usav --out 12 --back 9:12 --consider 4:11 --score "
                   "9-9 --rotation 2 --serving us");
    cr_expect_eq(json_number(root, "used"), 2);
    cr_expect_eq(cJSON_GetArraySize(cJSON_GetObjectItem(root, "exchanges")), 1,
                 "by rules that let players return she still may not");
    cJSON_Delete(root);
}

/* One more exchange to think of never lowers the odds. */
Test(moment_cli, another_idea_does_no_harm) {
    static const char at[] =
        "moment " JUNIORS " --score 18-19 --rotation 2 --serving them --consider 9:12";
    char words[256];
    cJSON *one = json_of(at);
    snprintf(words, sizeof words, "%s --consider 4:10", at);
    cJSON *two = json_of(words);
    cr_assert_geq(json_number(two, "win"), json_number(one, "win") - 1e-10);
    cr_assert_float_eq(json_number(two, "win_without"), json_number(one, "win_without"), 1e-10);
    cJSON_Delete(one);
    cJSON_Delete(two);
}

/* The rates of the day are what fit makes of the log: they move the odds of every exchange. */
Test(moment_cli, a_log_feeds_the_day) {
    char file[] = "/tmp/sixturn-rates-XXXXXX", words[256];
    cr_assert(close(mkstemp(file)) == 0);
    snprintf(words, sizeof words, "fit " CLUB " datasets/club-16-log.csv --write-rates %s", file);
    Run run = run_sixturn(words);
    cr_assert_eq(run.exit_status, 0, "%s", run.err);
    run_free(&run);
    static const char at[] = "moment " CLUB " --used 6 --start 4";
    snprintf(words, sizeof words, "%s --rates %s", at, file);
    cJSON *measured = json_of(words), *rated = json_of(at);
    snprintf(words, sizeof words, "odds " CLUB " --start 4 --rates %s", file);
    cJSON *odds = json_of(words);
    const cJSON *mean = cJSON_GetObjectItem(
        cJSON_GetObjectItem(cJSON_GetObjectItem(odds, "set"), "receive"), "mean");
    cr_assert_float_eq(json_number(measured, "win"), cJSON_GetArrayItem(mean, 3)->valuedouble,
                       1e-9);
    cr_assert(is_true(measured, "measured") && !is_true(rated, "measured"));
    cr_assert_gt(fabs(json_number(measured, "win") - json_number(rated, "win")), 1e-6);
    cJSON_Delete(measured);
    cJSON_Delete(rated);
    cJSON_Delete(odds);
    remove(file);
}

/* A log given to moment or odds is what fit and --rates make of it in two steps; sets in letters
 * are rows of the same log. */
Test(moment_cli, a_log_is_fitted_and_used_at_once) {
    char rates[] = "/tmp/sixturn-rates-XXXXXX", words[512];
    cr_assert(close(mkstemp(rates)) == 0);
    static const char letters[] = " --rallies '3 receive wlwwl lwlll 4-6' --rallies '1s wl'";
    static const char day[] = "datasets/club-16-log.csv";
    snprintf(words, sizeof words, "fit " CLUB " %s%s --write-rates %s", day, letters, rates);
    Run run = run_sixturn(words);
    cr_assert_eq(run.exit_status, 0, "%s", run.err);
    cr_assert_not_null(strstr(run.out, "399 rallies of 10 sets"), "%s", run.out);
    run_free(&run);
    static const char *const asked[] = {
        "odds " CLUB, "moment " CLUB " --score 14-17 --rotation 3 --serving them --used 2"};
    for (int k = 0; k < 2; k++) {
        snprintf(words, sizeof words, "%s --json --rates %s", asked[k], rates);
        Run two = run_sixturn(words);
        snprintf(words, sizeof words, "%s --json --log %s%s", asked[k], day, letters);
        Run one = run_sixturn(words);
        cr_expect_eq(one.exit_status, 0, "%s", one.err);
        cr_expect_str_eq(one.out, two.out);
        run_free(&one);
        run_free(&two);
    }
    remove(rates);
}

Test(moment_cli, a_day_may_be_letters_alone_and_its_gaps_are_told) {
    Run run = run_sixturn("moment " CLUB " --rallies '3 receive ww 5 serve l'");
    cr_expect_eq(run.exit_status, 0, "%s", run.err);
    cr_expect_not_null(strstr(run.out, "our own log of 3 rallies"), "%s", run.out);
    cr_expect_not_null(strstr(run.err, "row 1, character 14"), "%s", run.err);
    cr_expect_not_null(strstr(run.err, "expected rotation 4, we serve"), "%s", run.err);
    columns_within_80(run.out);
    run_free(&run);
    static const struct {
        const char *words, *said;
        int exit_status;
    } cases[] = {
        {"moment " CLUB " --rallies '3 wlw'", "rallies of set 1: row 1, character 1", 3},
        {"odds " CLUB " --rallies '3 r, wlw'", "found ', wlw'", 3},
        {"odds " CLUB " --log datasets/none.csv", "none.csv", 3},
        {"moment " CLUB " --rallies '3r w' --rates datasets/none.json", "none.json", 3},
        {"fit " CLUB, "a team file and a rally log are needed", 2},
    };
    for (size_t n = 0; n < sizeof cases / sizeof *cases; n++) {
        run = run_sixturn(cases[n].words);
        cr_expect_eq(run.exit_status, cases[n].exit_status, "%s: %d %s", cases[n].words,
                     run.exit_status, run.err);
        cr_expect_not_null(strstr(run.err, cases[n].said), "%s: %s", cases[n].words, run.err);
        run_free(&run);
    }
    char rates[] = "/tmp/sixturn-rates-XXXXXX", words[512];
    cr_assert(close(mkstemp(rates)) == 0);
    snprintf(words, sizeof words, "fit " CLUB " --rallies '3r w' --write-rates %s", rates);
    run = run_sixturn(words);
    cr_expect_eq(run.exit_status, 0, "%s", run.err);
    run_free(&run);
    snprintf(words, sizeof words, "odds " CLUB " --rallies '3r w' --rates %s", rates);
    run = run_sixturn(words);
    cr_expect_eq(run.exit_status, 2, "%s", run.err);
    cr_expect_not_null(strstr(run.err, "give one of the two"), "%s", run.err);
    run_free(&run);
    remove(rates);
}

/* Their rotation not said: each figure is the mean of those with each of the six said. */
Test(moment_cli, an_unknown_rotation_of_theirs_is_the_mean_of_six) {
    static const char at[] = "moment " CLUB " --opponent datasets/opponent.json --score 20-21 "
                             "--rotation 3 --serving us --consider 9:11 --consider 4:15";
    static const char *const figures[] = {"win_if_held", "win_without"};
    cJSON *mean = json_of(at);
    const cJSON *moves = cJSON_GetObjectItem(mean, "moves");
    double sum[2] = {0}, best = 0;
    for (int theirs = 1; theirs <= 6; theirs++) {
        char words[256];
        snprintf(words, sizeof words, "%s --their-rotation %d", at, theirs);
        cJSON *one = json_of(words);
        for (int k = 0; k < 2; k++) {
            sum[k] += json_number(one, figures[k]) / 6;
        }
        best += json_number(one, "win") / 6;
        cr_assert_eq(cJSON_GetArraySize(cJSON_GetObjectItem(one, "moves")),
                     cJSON_GetArraySize(moves));
        cJSON_Delete(one);
    }
    for (int k = 0; k < 2; k++) {
        cr_expect_float_eq(json_number(mean, figures[k]), sum[k], 1e-9);
    }
    cr_expect_leq(json_number(mean, "win"), best + 1e-9, "knowing theirs never does harm");
    cJSON_Delete(mean);
}

/* A deciding set is to 15 (FIVB 6.3.2): the odds of a start are those that odds tells of it. */
Test(moment_cli, the_deciding_set_is_the_shorter_one) {
    static const char team[] = CLUB " --opponent datasets/opponent.json --start 2";
    char words[256];
    snprintf(words, sizeof words, "odds %s", team);
    cJSON *odds = json_of(words);
    snprintf(words, sizeof words, "moment %s --deciding --used 6", team);
    cJSON *moment = json_of(words);
    const cJSON *set = cJSON_GetObjectItem(cJSON_GetObjectItem(odds, "deciding_set"), "receive");
    const double expected = cJSON_GetArrayItem(cJSON_GetObjectItem(set, "mean"), 1)->valuedouble;
    cr_expect_float_eq(json_number(moment, "win"), expected, 1e-9);
    cr_expect(is_true(moment, "deciding"));
    cJSON_Delete(moment);
    snprintf(words, sizeof words, "moment %s --deciding --score 14-3 --rotation 1 --serving us",
             team);
    moment = json_of(words);
    cr_expect_gt(json_number(moment, "win"), 0.99);
    cJSON_Delete(moment);
    cJSON_Delete(odds);
}

#define BOTH_SETTERS                                                                               \
    "moment " CLUB " --system 6-2-double --score 14-17 --rotation 3 --serving them "

/* Shirt numbers of the lineup's own substitution, as an exchange is told. */
static void own_words(const cJSON *root, bool turned, int places, char words[64]) {
    const int which = (int)json_number(cJSON_GetObjectItem(root, "own"), "exchange");
    const cJSON *item = exchange(root, which);
    words[0] = '\0';
    for (int k = 0; k < places; k++) {
        const cJSON *out = cJSON_GetArrayItem(cJSON_GetObjectItem(item, "out"), k);
        const cJSON *in = cJSON_GetArrayItem(cJSON_GetObjectItem(item, "in"), k);
        snprintf(words + strlen(words), 64 - strlen(words), "%s%s:%s", k ? "+" : "",
                 (turned ? in : out)->valuestring, (turned ? out : in)->valuestring);
    }
}

static const char *own_state(const cJSON *root) {
    const int which = (int)json_number(cJSON_GetObjectItem(root, "own"), "exchange");
    return cJSON_GetObjectItem(exchange(root, which), "state")->valuestring;
}

/* A lineup that changes two places by itself: that is one more exchange, the last, whose state
 * follows from the rotation, the count or what is told. */
Test(moment_cli, a_lineup_that_substitutes_by_itself) {
    char told[64], words[512];
    cJSON *root = json_of(BOTH_SETTERS "--rules usav");
    const cJSON *own = cJSON_GetObjectItem(root, "own");
    cr_assert(cJSON_IsObject(own));
    cr_expect_not(is_true(root, "planned_besides"));
    const int last = cJSON_GetArraySize(cJSON_GetObjectItem(root, "exchanges")) - 1;
    cr_expect_eq((int)json_number(own, "exchange"), last);
    cr_expect_str_eq(cJSON_GetObjectItem(exchange(root, last), "use")->valuestring, "planned");
    cr_expect_eq(cJSON_GetArraySize(cJSON_GetObjectItem(exchange(root, last), "out")), 2);
    cr_expect_str_eq(own_state(root), "made");
    cr_expect_eq((int)json_number(root, "used"), 2);
    own_words(root, false, 2, told);
    const double made = json_number(root, "win");

    static const struct {
        const char *option;
        bool turned;
        const char *state;
    } tellings[] = {{"--used 0 --consider", false, "fresh"},
                    {"--made", false, "made"},
                    {"--back", false, "fresh"}, /* who may return at will is as before */
                    {"--started 3 --made", true, "made"},
                    {"--made", true, "made"}};
    for (size_t k = 0; k < sizeof tellings / sizeof *tellings; k += SANITIZED ? 2 : 1) {
        own_words(root, tellings[k].turned, 2, told);
        snprintf(words, sizeof words, BOTH_SETTERS "--rules usav %s %s", tellings[k].option, told);
        cJSON *one = json_of(words);
        cr_expect(strcmp(own_state(one), tellings[k].state) == 0 ||
                      (k == 2 && strcmp(own_state(one), "back") == 0),
                  "%s: %s", words, own_state(one));
        if (k == 1) {
            cr_expect_float_eq(json_number(one, "win"), made, 1e-12);
        }
        cJSON_Delete(one);
    }
    cJSON_Delete(root);
}

/* It may be told place by place, but not by half; other exchanges of its players cannot be. */
Test(moment_cli, of_a_planned_substitution_all_places_are_told) {
    char told[64], words[512];
    cJSON *root = json_of(BOTH_SETTERS);
    own_words(root, false, 1, told);
    snprintf(words, sizeof words, BOTH_SETTERS "--made %s", told);
    Run half = run_sixturn(words);
    cr_expect_eq(half.exit_status, 2);
    cr_expect_not_null(strstr(half.err, "changes two places at once"), "%s", half.err);
    run_free(&half);
    char both[64];
    own_words(root, false, 2, both);
    snprintf(words, sizeof words, BOTH_SETTERS "--made %s --made %s", told, strchr(both, '+') + 1);
    cJSON *whole = json_of(words);
    cr_expect_str_eq(own_state(whole), "made");
    cJSON_Delete(whole);
    *strchr(told, ':') = '\0';
    snprintf(words, sizeof words, BOTH_SETTERS "--consider %s:3", told);
    Run refused = run_sixturn(words);
    cr_expect_eq(refused.exit_status, 2, "%s", refused.err);
    cr_expect_not_null(strstr(refused.err, "shares her place"), "%s", refused.err);
    run_free(&refused);
    cJSON_Delete(root);
    Run text = run_sixturn(BOTH_SETTERS);
    cr_expect_not_null(strstr(text.out, "as planned"), "%s", text.out);
    cr_expect_not_null(strstr(text.out, "On court: "), "%s", text.out);
    cr_expect_not_null(strstr(text.out, "--used"), "%s", text.out);
    cr_expect_null(strstr(text.out, "are not counted here"), "%s", text.out);
    columns_within_80(text.out);
    run_free(&text);
    text = run_sixturn(BOTH_SETTERS "--used 4");
    cr_expect_null(strstr(text.out, "--used"), "%s", text.out);
    run_free(&text);
    text = run_sixturn(BOTH_SETTERS "--card");
    cr_expect_not_null(strstr(text.out, "Rules of thumb"), "%s", text.out);
    columns_within_80(text.out);
    run_free(&text);
}

#define AGAINST " --opponent datasets/opponent.json --rules fivb-2025"

static const char *const first_serve[] = {"receive", "serve"};

/* With nobody on the bench to exchange, where to start is what odds tells of the same lineup. */
Test(moment_cli, without_exchanges_the_answers_to_their_starts_are_those_of_odds) {
    cJSON *odds = json_of("odds " CLUB AGAINST);
    cJSON *moment = json_of("moment " CLUB AGAINST " --out 1 --out 3 --out 10 --out 11 --out 13 "
                            "--out 14 --out 15 --out 17 --out 12");
    cr_assert_eq(cJSON_GetArraySize(cJSON_GetObjectItem(moment, "exchanges")), 0);
    for (int phase = 0; phase < 2; phase++) {
        const cJSON *set =
            cJSON_GetObjectItem(cJSON_GetObjectItem(odds, "set"), first_serve[phase]);
        const cJSON *rows = cJSON_GetObjectItem(set, "by_start_and_their_start");
        const cJSON *starts =
            cJSON_GetObjectItem(cJSON_GetObjectItem(moment, "starts"), first_serve[phase]);
        for (int theirs = 0; theirs < 6; theirs++) {
            const cJSON *line = cJSON_GetArrayItem(cJSON_GetObjectItem(starts, "against"), theirs);
            double best = 0;
            for (int ours = 0; ours < 6; ours++) {
                const double win =
                    cJSON_GetArrayItem(cJSON_GetArrayItem(rows, ours), theirs)->valuedouble;
                best = win > best ? win : best;
            }
            cr_expect_eq(json_number(line, "their_start"), theirs + 1);
            cr_expect_float_eq(json_number(line, "win"), best, 1e-9);
        }
    }
    cJSON_Delete(odds);
    cJSON_Delete(moment);
}

/* Each answer is the best of the six starts, asked one by one, and gains on the one start. */
Test(moment_cli, each_answer_to_their_start_is_the_best_of_six) {
    static const char team[] = JUNIORS AGAINST " --start 2 --consider 9:12 --consider 4:10";
    char words[256];
    snprintf(words, sizeof words, "moment %s", team);
    cJSON *moment = json_of(words);
    for (int theirs = 1; theirs <= 6; theirs += SANITIZED ? 5 : 2) {
        const int phase = theirs % 4 == 1;
        const cJSON *starts =
            cJSON_GetObjectItem(cJSON_GetObjectItem(moment, "starts"), first_serve[phase]);
        const cJSON *line = cJSON_GetArrayItem(cJSON_GetObjectItem(starts, "against"), theirs - 1);
        double best = 0, by_plan = 0;
        int start = 0;
        for (int ours = 1; ours <= 6; ours++) {
            snprintf(words, sizeof words,
                     "moment %s --rotation %d --their-rotation %d --serving %s", team, ours, theirs,
                     phase ? "us" : "them");
            cJSON *one = json_of(words);
            const double win = json_number(one, "win");
            start = win > best + 1e-9 ? ours : start;
            best = win > best ? win : best;
            by_plan = ours == 2 ? win : by_plan;
            cJSON_Delete(one);
        }
        cr_expect_eq(json_number(starts, "start"), 2, "as the plan says");
        cr_expect_eq(json_number(line, "start"), start);
        cr_expect_float_eq(json_number(line, "win"), best, 1e-9);
        cr_expect_float_eq(json_number(line, "gain"), best - by_plan, 1e-9);
    }
    cJSON_Delete(moment);
}

Test(moment_cli, where_to_start_is_told_between_sets_only) {
    static const struct {
        const char *words;
        bool told;
    } cases[] = {{"", false},
                 {AGAINST, true},
                 {AGAINST " --their-rotation 4 --deciding", true},
                 {AGAINST " --used 1", false},
                 {AGAINST " --score 3-3 --rotation 1 --serving us", false}};
    for (size_t n = 0; n < sizeof cases / sizeof *cases; n++) {
        char words[256];
        snprintf(words, sizeof words, "moment " CLUB "%s", cases[n].words);
        cJSON *root = json_of(words);
        Run run = run_sixturn(words);
        cr_expect_eq(cJSON_IsNull(cJSON_GetObjectItem(root, "starts")), !cases[n].told, "%s",
                     words);
        cr_expect_eq(strstr(run.out, "\nStart  ") != NULL, cases[n].told, "%s", words);
        run_free(&run);
        cJSON_Delete(root);
    }
    Run run = run_sixturn("moment " CLUB AGAINST " --start 3 --their-rotation 4");
    cr_expect_not_null(strstr(run.out, "as they start in 4"), "%s", run.out);
    cr_expect_not_null(strstr(run.out, "If they turn on to 5:"), "%s", run.out);
    columns_within_80(run.out);
    run_free(&run);
    run = run_sixturn("moment " CLUB AGAINST " --start 3 --card");
    const char *start = strstr(run.out, "\nStart  "), *rules = strstr(run.out, "\nRules of thumb");
    cr_expect(start && rules && start < rules, "%s", run.out);
    columns_within_80(run.out);
    run_free(&run);
}

Test(moment_cli, text_fits_and_tells_the_most_important_first) {
    static const char *const cases[] = {
        "",
        "--score 14-17 --rotation 3 --serving them --used 2",
        "--score 14-17 --rotation 3 --serving them --used 6",
        "--rules nfhs --score 24-24 --rotation 6 --serving us",
        "--opponent datasets/opponent.json --score 9-12 --rotation 1 --serving us",
        "--opponent datasets/opponent.json --their-rotation 4 --deciding",
        "--system 6-2-double",
    };
    for (size_t n = 0; n < sizeof cases / sizeof *cases; n++) {
        char words[256];
        snprintf(words, sizeof words, "moment " CLUB " %s", cases[n]);
        Run run = run_sixturn(words);
        cr_assert_eq(run.exit_status, 0, "%s: %s", words, run.err);
        columns_within_80(run.out);
        const char *first = strstr(run.out, "\nDo now ");
        const char *table = strstr(run.out, "\nExchanges considered");
        cr_assert(first && (!table || table > first), "%s: %s", words, run.out);
        run_free(&run);
    }
}

/* What the card keeps is never more than what best play gains. */
Test(moment_cli, a_card_says_what_it_loses) {
    cJSON *root = json_of("moment " JUNIORS " --card --score 16-16 --rotation 2 --serving us");
    const cJSON *card = cJSON_GetObjectItem(root, "card");
    cr_assert_leq(json_number(card, "win"), json_number(card, "win_best") + 1e-9);
    cr_assert_geq(json_number(card, "win"), json_number(card, "win_without") - 1e-9);
    cr_assert_float_eq(json_number(card, "win_best"), json_number(root, "win"), 1e-9);
    cJSON_Delete(root);
    Run run = run_sixturn("moment " JUNIORS " --card --score 16-16 --rotation 2 --serving us");
    columns_within_80(run.out);
    cr_assert(strstr(run.out, "Rules of thumb") && strstr(run.out, "that best play gains"));
    run_free(&run);
}

static bool has_spot(const cJSON *plan, int rotation, const char *phase, const char *id) {
    const cJSON *six = cJSON_GetArrayItem(cJSON_GetObjectItem(plan, "rotations"), rotation - 1);
    const cJSON *spot;
    cJSON_ArrayForEach(spot, cJSON_GetObjectItem(cJSON_GetObjectItem(six, phase), "spots")) {
        if (strcmp(cJSON_GetObjectItem(spot, "player")->valuestring, id) == 0) {
            return true;
        }
    }
    return false;
}

static const char *id_of(const cJSON *team, int number) {
    const cJSON *player;
    cJSON_ArrayForEach(player, cJSON_GetObjectItem(team, "players")) {
        if ((int)json_number(player, "number") == number) {
            return cJSON_GetObjectItem(player, "id")->valuestring;
        }
    }
    cr_assert_fail("no #%d", number);
    return NULL;
}

/* Who comes back stands on court then, or the libero does for her and the rule says so: by the
 * spots that the plan gives. */
Test(moment_cli, a_card_says_where_the_libero_follows) {
    char *file = slurp("datasets/club-16.json");
    cJSON *plan = json_of("plan datasets/club-16.json"), *team = cJSON_Parse(file);
    Run run = run_sixturn("moment datasets/club-16.json --card");
    int back = 0, followed = 0;
    for (char *line = strtok(run.out, "\n"); line; line = strtok(NULL, "\n")) {
        const char *place = strstr(line, "in rotation ");
        if (!place || !strstr(line, " back for ")) {
            continue;
        }
        const int number = atoi(strstr(line, ". ") + 2);
        const int rotation = atoi(place + strlen("in rotation "));
        const bool libero = strstr(line, ", then the libero for ") != NULL;
        const char *phase = strstr(line, "when we serve") ? "serve" : "receive";
        cr_expect_neq(libero, has_spot(plan, rotation, phase, id_of(team, number)), "%s", line);
        back++;
        followed += libero;
    }
    cr_expect(followed > 0 && back > followed, "%d of %d", followed, back);
    cJSON_Delete(plan);
    cJSON_Delete(team);
    free(file);
    run_free(&run);
}

Test(moment_cli, mistakes_have_their_status) {
    static const struct {
        const char *words;
        const char *said;
    } cases[] = {
        {"moment", "one team file"},
        {"moment " JUNIORS " --score 14", "14-17, ours first"},
        {"moment " JUNIORS " --score 14-", "14-17, ours first"},
        {"moment " JUNIORS " --score 14-17x", "14-17, ours first"},
        {"moment " JUNIORS " --score 14-17", "our rotation must be said"},
        {"moment " JUNIORS " --score 25-17 --rotation 1 --serving us", "is over"},
        {"moment " JUNIORS " --score 15-3 --rotation 1 --serving us --deciding", "is over"},
        {"moment " JUNIORS " --serving me", "'us' or 'them'"},
        {"moment " JUNIORS " --used 7", "more than the 6 allowed"},
        {"moment " JUNIORS " --made 9:12 --used 0", "counts 1 substitutions"},
        {"moment " JUNIORS " --consider 9", "written as 9:12"},
        {"moment " JUNIORS " --consider 9:12+", "written as 9:12"},
        {"moment " JUNIORS " --consider 9:12+4:3+1:2", "written as 9:12"},
        {"moment " JUNIORS " --consider 9:77", "no player '77'"},
        {"moment " JUNIORS " --consider 12:9", "does not start"},
        {"moment " JUNIORS " --consider 9:9", "the lineup has her already"},
        {"moment " JUNIORS " --consider 9:12+4:10", "setter and the one opposite"},
        {"moment " JUNIORS " --made 9:12 --back 9:12", "told twice"},
        {"moment " JUNIORS " --out 12 --consider 9:12", "she is away, or the plan has her sit"},
        {"moment " JUNIORS " --out 12 --made 9:12", "she is away, or the plan has her sit"},
        {"moment " JUNIORS " --made 9:12 --made 4:12", "cannot both be made"},
    };
    for (size_t n = 0; n < sizeof cases / sizeof *cases; n++) {
        Run run = run_sixturn(cases[n].words);
        cr_expect_eq(run.exit_status, 2, "%s: %d %s", cases[n].words, run.exit_status, run.err);
        cr_expect_not_null(strstr(run.err, cases[n].said), "%s: %s", cases[n].words, run.err);
        cr_expect_str_empty(run.out, "%s", cases[n].words);
        run_free(&run);
    }
}
