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
    for (int json = 0; json < 2; json++) {
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
    expect_same(session, &(SxAsk){.question = SX_ASK_PLAN, .plan = {.for_set = true}},
                "plan --goal set " JUNIORS);
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
    input.out = out;
    input.out_count = 1;
    SxSession *session = open_session(&input);
    expect_same(session, &(SxAsk){.question = SX_ASK_PLAN},
                "plan " CLUB
                " --system 6-2 --rules nfhs --passers 4 --start 3 --balance 0.5 --out 7");
    sx_session_free(session);
}

Test(same, rank) {
    SxSession *session = juniors();
    expect_same(session, &(SxAsk){.question = SX_ASK_RANK}, "rank " JUNIORS);
    const SxAsk doubt = {.question = SX_ASK_RANK,
                         .rank = {.top = 3, .doubt = {.size = 0.5, .draws = 20, .seed = 7}}};
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
    static const SxQuestion questions[] = {SX_ASK_PLAN, SX_ASK_RANK, SX_ASK_ODDS};
    for (size_t k = 0; k < sizeof questions / sizeof questions[0]; k++) {
        SxSessionInput input;
        SxError err = {.status = SX_OK};
        SxAnswer *answer = NULL;
        sx_session_input_default(&input);
        input.team = text_of(CLUB);
        input.time_limit = 1e-6;
        SxSession *session = open_session(&input);
        cr_expect_eq(sx_session_ask(session, &(SxAsk){.question = questions[k]}, &answer, &err),
                     SX_OUT_OF_TIME, "question %d: %s", (int)questions[k], err.message);
        cr_expect_null(answer);
        sx_session_free(session);
    }
}
