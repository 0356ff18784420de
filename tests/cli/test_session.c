/* A session gives every answer that the command line gives, from texts instead of files. */
#define _POSIX_C_SOURCE 200809L
#include "sixturn/session.h"
#include "support.h"

#include <cjson/cJSON.h>
#include <criterion/criterion.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#define JUNIORS "datasets/junior-12.json"
#define JUNIOR_PLAN "datasets/junior-12-plan.json"
#define CLUB "datasets/club-16.json"

static SxSource text_of(const char *file) {
    char *text = slurp(file);
    return (SxSource){text, strlen(text), file};
}

static SxSession *open_session(const SxSessionInput *input) {
    SxError err = {.status = SX_OK};
    SxSession *session = NULL;
    SxStatus status = sx_session_new(input, &session, &err);
    cr_assert_eq(status, SX_OK, "%s: %s", err.path, err.message);
    return session;
}

static SxAsk question(SxQuestion question) {
    SxAsk ask;
    sx_ask_default(question, &ask);
    return ask;
}

static SxAnswer *answer_of(SxSession *session, const SxAsk *ask) {
    SxError err = {.status = SX_OK};
    SxAnswer *answer = NULL;
    SxStatus status = sx_session_ask(session, ask, &answer, &err);
    cr_assert_eq(status, SX_OK, "question %d: %s", (int)ask->question, err.message);
    return answer;
}

/* The command prints just what the session says. */
static void expect_same(SxSession *session, const SxAsk *ask, const char *words) {
    SxAnswer *answer = answer_of(session, ask);
    for (int json = SANITIZED; json < 2; json++) {
        char line[512];
        snprintf(line, sizeof line, "%s%s", words, json ? " --json" : "");
        Run run = run_sixturn(line);
        char *text = json ? sx_answer_json(answer) : sx_answer_text(answer);
        const size_t length = strlen(text);
        cr_expect_eq(run.exit_status, 0, "'%s' ends with %d: %s", line, run.exit_status, run.err);
        cr_expect(strncmp(run.out, text, length) == 0, "'%s' says something else", line);
        cr_expect(strlen(run.out) - length <= 1, "'%s' says more", line);
        free(text);
        run_free(&run);
    }
    sx_answer_free(answer);
}

static SxSession *juniors(void) {
    SxSessionInput input;
    sx_session_input_default(&input);
    input.team = text_of(JUNIORS);
    SxSession *session = open_session(&input);
    free((char *)input.team.text); /* borrowed only until the session stands */
    return session;
}

/* --- the same answers ---------------------------------------------------------------------------
 */

Test(same, plan) {
    SxSession *session = juniors();
    expect_same(session, &(SxAsk){.question = SX_ASK_PLAN}, "plan " JUNIORS);
    expect_same(session, &(SxAsk){.question = SX_ASK_PLAN}, "plan --goal set " JUNIORS);
    sx_session_free(session);
}

Test(same, plan_with_everything_given) {
    static const char *const out[] = {"7"};
    SxSessionInput input;
    sx_session_input_default(&input);
    input.team = text_of(CLUB);
    input.system.name = "6-2";
    input.rules.name = "nfhs";
    input.passers = 4;
    input.start = 2;
    input.balance = 0.5;
    input.goal = SX_GOAL_SCORE;
    input.out = out;
    input.out_count = 1;
    SxSession *session = open_session(&input);
    expect_same(
        session, &(SxAsk){.question = SX_ASK_PLAN},
        "plan " CLUB
        " --system 6-2 --rules nfhs --passers 4 --start 3 --goal score --balance 0.5 --out 7");
    sx_session_free(session);
}

Test(same, rank) {
    SxSession *session = juniors();
    expect_same(session, &(SxAsk[]){question(SX_ASK_RANK)}[0], "rank " JUNIORS);
    SxAsk doubt = question(SX_ASK_RANK);
    doubt.rank = (SxRankAsk){.top = 3, .doubt = {.size = 0.5, .draws = 20, .seed = 7}};
    expect_same(session, &doubt, "rank " JUNIORS " --top 3 --doubt 0.5 --draws 20 --seed 7");
    sx_session_free(session);
}

Test(same, odds) {
    SxSessionInput input;
    sx_session_input_default(&input);
    input.team = text_of(JUNIORS);
    input.plan = text_of(JUNIOR_PLAN);
    input.opponent = text_of("datasets/opponent.json");
    SxSession *session = open_session(&input);
    expect_same(session, &(SxAsk){.question = SX_ASK_ODDS},
                "odds " JUNIORS " --plan " JUNIOR_PLAN " --opponent datasets/opponent.json");
    sx_session_free(session);
}

Test(same, moment) {
    static const char *const made[] = {"9:12"}, *const consider[] = {"4:10", "1:8+7:6"};
    SxSession *session = juniors();
    SxAsk ask = question(SX_ASK_MOMENT);
    expect_same(session, &ask, "moment " JUNIORS);
    ask.moment.score = "14-12";
    ask.moment.rotation = 2;
    ask.moment.serving = SX_SERVE;
    ask.moment.used = 2;
    ask.moment.made = (SxExchangeNames){made, 1};
    ask.moment.consider = (SxExchangeNames){consider, 2};
    expect_same(session, &ask,
                "moment " JUNIORS " --score 14-12 --rotation 3 --serving us --used 2 --made 9:12 "
                "--consider 4:10 --consider 1:8+7:6");
    sx_session_free(session);
}

Test(same, receive) {
    SxSession *session = juniors();
    SxAsk ask = question(SX_ASK_RECEIVE);
    expect_same(session, &ask, "receive " JUNIORS);
    ask.receive.rotation = 1;
    ask.receive.top = 3;
    expect_same(session, &ask, "receive " JUNIORS " --rotation 2 --top 3");
    sx_session_free(session);
}

Test(same, shares) {
    SxSession *session = juniors();
    SxAsk ask = question(SX_ASK_SHARES);
    ask.shares.sets = 2;
    expect_same(session, &ask, "plan --sets 2 " JUNIORS);
    sx_session_free(session);
}

/* Sharing time weighs rotations as if nobody had a share, other questions with all wishes. */
Test(same, plan_by_score_before_and_after_sharing_time) {
    const char *plan =
        "{\"format\": \"sixturn-plan-1\", \"wishes\": {\"min_rotations\": {\"12\": 6}}}";
    char folder[] = "/tmp/sixturn-session-XXXXXX", file[64], words[160];
    cr_assert_not_null(mkdtemp(folder));
    snprintf(file, sizeof file, "%s/plan.json", folder);
    FILE *out = fopen(file, "w");
    fputs(plan, out);
    fclose(out);
    for (int turn = 0; turn < 2; turn++) {
        SxSessionInput input;
        SxSession *session;
        SxAsk lineup = question(SX_ASK_PLAN), shares = question(SX_ASK_SHARES);
        sx_session_input_default(&input);
        input.team.name = JUNIORS;
        input.plan.name = file;
        input.goal = SX_GOAL_SCORE;
        shares.shares.sets = 2;
        cr_assert_eq(sx_session_new(&input, &session, NULL), SX_OK);
        for (int k = 0; k < 3; k++) {
            const bool sharing = k % 2 == turn;
            snprintf(words, sizeof words, "plan --goal score %s --plan %s%s", JUNIORS, file,
                     sharing ? " --sets 2" : "");
            expect_same(session, sharing ? &shares : &lineup, words);
        }
        sx_session_free(session);
    }
    remove(file);
    rmdir(folder);
}

Test(same, absent_and_worth_of_some) {
    static const char *const players[] = {"7", "#4"};
    SxSession *session = juniors();
    SxAsk absent = question(SX_ASK_ABSENT), worth = question(SX_ASK_WORTH);
    absent.absent.players = worth.worth.players = players;
    absent.absent.count = worth.worth.count = 2;
    absent.absent.pairs = true;
    expect_same(session, &absent, "absent --pairs " JUNIORS " 7 4");
    expect_same(session, &worth, "worth " JUNIORS " 7 4");
    sx_session_free(session);
}

Test(same, setters_and_systems) {
    SxSession *session = juniors();
    expect_same(session, &(SxAsk[]){question(SX_ASK_SETTERS)}[0], "setters " JUNIORS);
    expect_same(session, &(SxAsk[]){question(SX_ASK_SYSTEMS)}[0], "systems " JUNIORS);
    sx_session_free(session);
}

/* A lineup as the session gives it can be set against a plan. */
Test(same, versus) {
    SxSession *session = juniors();
    char *lineup;
    SxAnswer *plan = answer_of(session, &(SxAsk[]){question(SX_ASK_PLAN)}[0]);
    cr_assert_not_null(lineup = sx_answer_json(plan));
    FILE *out = fopen("/tmp/sixturn-session-lineup.json", "w");
    fputs(lineup, out);
    fclose(out);
    SxAsk ask = question(SX_ASK_VERSUS);
    ask.versus.side[0] = text_of(JUNIOR_PLAN);
    ask.versus.side[1] = (SxSource){lineup, strlen(lineup), "/tmp/sixturn-session-lineup.json"};
    expect_same(session, &ask,
                "versus " JUNIORS " " JUNIOR_PLAN " /tmp/sixturn-session-lineup.json");
    remove("/tmp/sixturn-session-lineup.json");
    free(lineup);
    sx_answer_free(plan);
    sx_session_free(session);
}

/* What the answer's file holds, and what the command writes. */
static void expect_same_file(SxSession *session, const SxAsk *ask, const char *words,
                             const char *file) {
    char line[512], *bytes = NULL;
    size_t size = 0;
    SxError err = {.status = SX_OK};
    SxAnswer *answer = answer_of(session, ask);
    cr_assert_eq(sx_answer_file(answer, &bytes, &size, &err), SX_OK, "%s", err.message);
    snprintf(line, sizeof line, "%s %s", words, file);
    Run run = run_sixturn(line);
    cr_assert_eq(run.exit_status, 0, "'%s': %s", line, run.err);
    char *written = slurp(file);
    cr_expect_eq(memcmp(written, bytes, size), 0, "'%s' writes something else", line);
    remove(file);
    free(written);
    free(bytes);
    run_free(&run);
    sx_answer_free(answer);
}

Test(same, fit_and_its_rates) {
    SxSessionInput input;
    sx_session_input_default(&input);
    input.team = text_of(CLUB);
    SxSession *session = open_session(&input);
    SxAsk ask = question(SX_ASK_FIT);
    ask.fit.day.log = text_of("datasets/club-16-log.csv");
    expect_same(session, &ask, "fit " CLUB " datasets/club-16-log.csv");
    expect_same_file(session, &ask, "fit " CLUB " datasets/club-16-log.csv --write-rates",
                     "/tmp/sixturn-session-rates.json");
    sx_session_free(session);
}

Test(same, drawings) {
    if (!sx_has_drawings()) {
        cr_skip_test("built without drawings");
    }
    SxSession *session = juniors();
    SxAsk sheet = question(SX_ASK_SHEET), report = question(SX_ASK_REPORT);
    sheet.sheet.kind = SX_FILE_SVG;
    report.report.brief = true;
    expect_same_file(session, &sheet, "sheet " JUNIORS " -o", "/tmp/sixturn-session.svg");
    expect_same_file(session, &report, "report --brief " JUNIORS " -o",
                     "/tmp/sixturn-session.html");
    sx_session_free(session);
}

#define DRAWN "datasets/junior-12-formations.json"

/* Drawn formations need no team. */
Test(same, check_and_mend) {
    SxSessionInput input;
    sx_session_input_default(&input);
    SxSession *session = open_session(&input);
    SxAsk check = question(SX_ASK_CHECK), mend = question(SX_ASK_MEND);
    check.drawn.formations = mend.drawn.formations = text_of(DRAWN);
    SxAnswer *answer = answer_of(session, &check);
    Run text = run_sixturn("check " DRAWN), json = run_sixturn("check --json " DRAWN);
    char *said[2] = {sx_answer_text(answer), sx_answer_json(answer)};
    cr_expect_not(answer->drawn.legal, "one of them has a fault");
    cr_expect_eq(text.exit_status, SX_NO);
    cr_expect_str_eq(text.out, said[0]);
    cr_expect(strncmp(json.out, said[1], strlen(said[1])) == 0);
    sx_answer_free(answer);
    free(said[0]);
    free(said[1]);
    run_free(&text);
    run_free(&json);
    expect_same(session, &mend, "mend " DRAWN);
    expect_same_file(session, &mend, "mend " DRAWN " -o", "/tmp/sixturn-session-mended.json");
    sx_session_free(session);
}

/* --- one lineup ---------------------------------------------------------------------------------
 */

static double score_printed(const char *words) {
    Run run = run_sixturn(words);
    cJSON *root = cJSON_Parse(run.out);
    const cJSON *score = cJSON_GetObjectItem(root, "score");
    cr_assert(cJSON_IsNumber(score), "'%s' prints no score: %s", words, run.err);
    const double value = score->valuedouble;
    cJSON_Delete(root);
    run_free(&run);
    return value;
}

/* Solving with the plan's defaults is not what a coach sees: there the rotations weigh by how often
 * they are played. */
Test(one_lineup, a_program_gets_the_score_that_the_command_prints) {
    SxSession *session = juniors();
    SxAnswer *answer = answer_of(session, &(SxAsk){.question = SX_ASK_PLAN});
    cr_expect_float_eq(answer->plan.forecast.lineup.score, score_printed("plan --json " JUNIORS),
                       1e-9);
    sx_answer_free(answer);
    sx_session_free(session);
}

/* Whatever is asked first, plan and odds speak of one order. */
Test(one_lineup, plan_and_odds_speak_of_the_same) {
    SxSession *session = juniors();
    SxAnswer *odds = answer_of(session, &(SxAsk){.question = SX_ASK_ODDS});
    SxAnswer *plan = answer_of(session, &(SxAsk){.question = SX_ASK_PLAN});
    cr_expect_eq(memcmp(&plan->plan.forecast.lineup.order, &odds->odds.forecast.lineup.order,
                        sizeof(SxOrder)),
                 0);
    cr_expect_eq(plan->plan.forecast.lineup.score, odds->odds.forecast.lineup.score);
    sx_answer_free(plan);
    sx_answer_free(odds);
    sx_session_free(session);
}

/* Points with and without a player compare: the rotations weigh as with everybody. */
Test(one_lineup, who_is_out_does_not_change_the_weights) {
    static const char *const out[] = {"7"};
    SxSessionInput input;
    sx_session_input_default(&input);
    input.team = text_of(JUNIORS);
    input.goal = SX_GOAL_SCORE;
    SxSession *whole = open_session(&input);
    input.out = out;
    input.out_count = 1;
    SxSession *less = open_session(&input);
    const SxAsk questions[] = {{.question = SX_ASK_PLAN}, {.question = SX_ASK_ODDS}};
    SxAnswer *with = answer_of(whole, &questions[0]);
    SxAnswer *plan = answer_of(less, &questions[0]), *odds = answer_of(less, &questions[1]);
    for (int r = 0; r < SX_ROTATIONS; r++) {
        const double weight = with->plan.forecast.lineup.rotation[r].weight;
        cr_expect_float_eq(plan->plan.forecast.lineup.rotation[r].weight, weight, 1e-12);
        cr_expect_float_eq(odds->odds.forecast.lineup.rotation[r].weight, weight, 1e-12);
    }
    sx_answer_free(with);
    sx_answer_free(plan);
    sx_answer_free(odds);
    sx_session_free(whole);
    sx_session_free(less);
}

/* --- another goal -------------------------------------------------------------------------------
 */

/* Plan and rank name the same order, and no order that the score would choose wins more sets. */
Test(goal, most_sets_is_the_default) {
    SxSessionInput input;
    sx_session_input_default(&input);
    input.team = text_of(JUNIORS);
    SxSession *by_sets = open_session(&input);
    input.goal = SX_GOAL_SCORE;
    SxSession *by_score = open_session(&input);
    SxAsk plan = question(SX_ASK_PLAN);
    SxAnswer *scored = answer_of(by_score, &plan), *found = answer_of(by_sets, &plan);
    cr_expect_geq(found->plan.forecast.outlook.win, scored->plan.forecast.outlook.win - 1e-9);
    cr_expect_float_eq(found->plan.forecast.lineup.win, found->plan.forecast.outlook.win, 1e-12);
    cr_expect_eq(found->plan.forecast.lineup.proof, SX_OPTIMAL);
    SxAnswer *ranked = answer_of(by_sets, &(SxAsk[]){question(SX_ASK_RANK)}[0]);
    cr_expect_eq(memcmp(&ranked->rank.ranking.item[0].order, &found->plan.forecast.lineup.order,
                        sizeof(SxOrder)),
                 0, "rank and plan differ on the best order");
    sx_answer_free(ranked);
    sx_answer_free(scored);
    sx_answer_free(found);
    sx_session_free(by_score);
    sx_session_free(by_sets);
}

/* --- refusals -----------------------------------------------------------------------------------
 */

static void expect_refused(const SxSessionInput *input, SxStatus expected, const char *says) {
    SxError err = {.status = SX_OK};
    SxSession *session = (SxSession *)&err; /* anything but NULL */
    cr_expect_eq(sx_session_new(input, &session, &err), expected, "%s", err.message);
    cr_expect_null(session);
    cr_expect(strstr(err.message, says) != NULL, "'%s' does not say '%s'", err.message, says);
}

Test(refusals, what_is_wrong_is_told_and_no_session_made) {
    static const char *const nobody[] = {"77"};
    SxSessionInput input;
    sx_session_input_default(&input);
    input.team = (SxSource){"[]", 2, "team.json"};
    expect_refused(&input, SX_BAD_INPUT, "");
    input.team = text_of(JUNIORS);
    input.out = nobody;
    input.out_count = 1;
    expect_refused(&input, SX_USAGE, "no player '77'");
    input.out_count = 0;
    input.rules.name = "fivb-2023";
    expect_refused(&input, SX_USAGE, "fivb-2023");
    input.rules.name = NULL;
    input.passers = 6;
    expect_refused(&input, SX_USAGE, "passers");
}

Test(refusals, a_question_about_nobody) {
    SxSessionInput input;
    SxError err = {.status = SX_OK};
    SxAnswer *answer = NULL;
    sx_session_input_default(&input);
    SxSession *session = open_session(&input);
    cr_expect_eq(sx_session_ask(session, &(SxAsk){.question = SX_ASK_PLAN}, &answer, &err),
                 SX_USAGE);
    cr_expect_null(answer);
    cr_expect_eq(sx_session_ask(session, &(SxAsk){.question = SX_QUESTIONS}, &answer, &err),
                 SX_USAGE);
    sx_session_free(session);
}

/* --- time ---------------------------------------------------------------------------------------
 */

/* A limit that has passed before the first program is no 'no'. */
Test(time, none_left_is_told_as_that) {
    static const SxQuestion questions[] = {
        SX_ASK_PLAN,    SX_ASK_SHARES, SX_ASK_RANK, SX_ASK_ABSENT, SX_ASK_SETTERS,
        SX_ASK_SYSTEMS, SX_ASK_WORTH,  SX_ASK_ODDS, SX_ASK_SHEET,  SX_ASK_REPORT};
    for (size_t k = 0; k < sizeof questions / sizeof questions[0]; k++) {
        SxSessionInput input;
        SxError err = {.status = SX_OK};
        SxAnswer *answer = NULL;
        sx_session_input_default(&input);
        input.team = text_of(CLUB);
        input.time_limit = 1e-6;
        SxSession *session = open_session(&input);
        cr_expect_eq(sx_session_ask(session, &(SxAsk[]){question(questions[k])}[0], &answer, &err),
                     SX_OUT_OF_TIME, "question %d: %s", (int)questions[k], err.message);
        cr_expect_null(answer);
        sx_session_free(session);
    }
}
