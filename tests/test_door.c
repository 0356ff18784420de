/* The one door: every question through it answers as the session does, and whatever comes in, an
 * answer in JSON comes out. */
#include "sixturn/door.h"
#include "sixturn/sixturn.h"
#include "support.h"

#include <cjson/cJSON.h>
#include <criterion/criterion.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define JUNIORS "datasets/junior-12.json"

static cJSON *ask(const char *request) {
    char *text = sx_door(request, strlen(request), NULL);
    cr_assert_not_null(text);
    cJSON *answer = cJSON_Parse(text);
    cr_assert_not_null(answer, "%s", text);
    free(text);
    cr_assert_str_eq(cJSON_GetObjectItem(answer, "format")->valuestring, "sixturn-answer-1");
    return answer;
}

static const char *status_of(const cJSON *answer) {
    return cJSON_GetObjectItem(answer, "status")->valuestring;
}

/* A request with the team as an object or as a text. */
static char *request_with(const char *question, bool as_text, const char *more) {
    char *team = slurp(JUNIORS);
    cJSON *text = cJSON_CreateString(team);
    char *quoted = cJSON_PrintUnformatted(text);
    const char *given = as_text ? quoted : team;
    const size_t room = strlen(given) + strlen(more) + 256;
    char *request = malloc(room);
    snprintf(request, room,
             "{\"format\": \"sixturn-request-1\", \"question\": \"%s\", \"team\": %s%s}", question,
             given, more);
    free(quoted);
    cJSON_Delete(text);
    free(team);
    return request;
}

/* The same question of a session, as JSON. */
static cJSON *of_session(SxQuestion question) {
    SxSessionInput input;
    SxSession *session;
    SxAsk asked;
    SxAnswer *answer;
    SxError err = {0};
    sx_session_input_default(&input);
    input.team.name = JUNIORS;
    sx_ask_default(question, &asked);
    cr_assert_eq(sx_session_new(&input, &session, &err), SX_OK, "%s", err.message);
    cr_assert_eq(sx_session_ask(session, &asked, &answer, &err), SX_OK, "%s", err.message);
    char *text = sx_answer_json(answer);
    cJSON *json = cJSON_Parse(text);
    free(text);
    sx_answer_free(answer);
    sx_session_free(session);
    return json;
}

Test(door, answers_as_the_session_does) {
    static const struct {
        const char *word;
        SxQuestion question;
    } questions[] = {{"plan", SX_ASK_PLAN},
                     {"rank", SX_ASK_RANK},
                     {"odds", SX_ASK_ODDS},
                     {"systems", SX_ASK_SYSTEMS},
                     {"setters", SX_ASK_SETTERS}};
    for (size_t k = 0; k < sizeof questions / sizeof *questions; k++) {
        char *request = request_with(questions[k].word, k % 2, "");
        cJSON *answer = ask(request), *expected = of_session(questions[k].question);
        cr_assert_str_eq(status_of(answer), "done");
        cr_assert(cJSON_Compare(cJSON_GetObjectItem(answer, "answer"), expected, true),
                  "%s differs", questions[k].word);
        cr_assert_null(cJSON_GetObjectItem(answer, "text"));
        cJSON_Delete(expected);
        cJSON_Delete(answer);
        free(request);
    }
}

Test(door, options_are_those_of_the_command_line) {
    char *request =
        request_with("plan", false,
                     ", \"want_text\": true, \"options\": {\"out\": [7, \"tabea-korten\"], "
                     "\"passers\": 4, \"start\": 3, \"balance\": 0.5}");
    cJSON *answer = ask(request);
    cr_assert_str_eq(status_of(answer), "done");
    const cJSON *plan = cJSON_GetObjectItem(answer, "answer");
    cr_assert_eq(cJSON_GetObjectItem(plan, "start_rotation")->valueint, 3);
    char *whole = cJSON_PrintUnformatted(cJSON_GetObjectItem(plan, "order"));
    cr_assert_null(strstr(whole, "frida-holtwisch")); /* number 7 */
    cr_assert_null(strstr(whole, "tabea-korten"));
    cr_assert_not_null(strstr(cJSON_GetObjectItem(answer, "text")->valuestring, "VC Lindenfurt"));
    free(whole);
    cJSON_Delete(answer);
    free(request);
}

Test(door, a_formation_is_checked_and_mended) {
    char *formations = slurp("datasets/junior-12-formations.json");
    for (int mend = 0; mend < 2; mend++) {
        const size_t room = strlen(formations) + 256;
        char *request = malloc(room);
        snprintf(request, room,
                 "{\"format\": \"sixturn-request-1\", \"question\": \"%s\", \"formation\": %s}",
                 mend ? "mend" : "check", formations);
        cJSON *answer = ask(request);
        cr_assert_str_eq(status_of(answer), "done");
        const cJSON *list =
            cJSON_GetObjectItem(cJSON_GetObjectItem(answer, "answer"), "formations");
        cr_assert_eq(cJSON_GetArraySize(list), 3);
        if (!mend) {
            cr_assert(cJSON_IsFalse(cJSON_GetObjectItem(cJSON_GetArrayItem(list, 1), "legal")));
        }
        cJSON_Delete(answer);
        free(request);
    }
    free(formations);
}

Test(door, mistakes_are_told_with_their_place) {
    static const struct {
        const char *request, *status, *path;
    } cases[] = {
        {"", "bad-input", NULL},
        {"[]", "bad-input", NULL},
        {"{\"format\": \"sixturn-team-1\"}", "bad-input", "format"},
        {"{\"format\": \"sixturn-request-1\", \"question\": \"plam\"}", "bad-input", "question"},
        {"{\"format\": \"sixturn-request-1\", \"question\": \"plan\"}", "usage", NULL},
        {"{\"format\": \"sixturn-request-1\", \"question\": \"plan\", \"team\": 3}", "bad-input",
         "team"},
        {"{\"format\": \"sixturn-request-1\", \"question\": \"read\", \"team\": {\"format\": "
         "\"sixturn-team-1\", \"name\": \"A\", \"players\": []}}",
         "bad-input", "players"},
        {"{\"format\": \"sixturn-request-1\", \"question\": \"check\", \"options\": {\"margin\": "
         "-1}}",
         "bad-input", "options.margin"},
    };
    for (size_t k = 0; k < sizeof cases / sizeof *cases; k++) {
        cJSON *answer = ask(cases[k].request);
        const cJSON *error = cJSON_GetObjectItem(answer, "error");
        cr_assert_str_eq(status_of(answer), cases[k].status, "%s", cases[k].request);
        cr_assert_gt(strlen(cJSON_GetObjectItem(error, "text")->valuestring), 10);
        if (cases[k].path) {
            cr_assert_str_eq(cJSON_GetObjectItem(error, "path")->valuestring, cases[k].path);
        }
        cJSON_Delete(answer);
    }
}

Test(door, an_infeasible_plan_is_a_no_with_its_reason) {
    char *request =
        request_with("plan", false, ", \"options\": {\"out\": [1, 6]}"); /* both setters */
    cJSON *answer = ask(request);
    cr_assert_str_eq(status_of(answer), "no");
    cr_assert_not_null(strstr(
        cJSON_GetObjectItem(cJSON_GetObjectItem(answer, "error"), "text")->valuestring, "setter"));
    cJSON_Delete(answer);
    free(request);
}

Test(door, only_the_team_can_be_asked_whether_it_is_right) {
    char *request = request_with("read", true, "");
    cJSON *answer = ask(request);
    cr_assert_str_eq(status_of(answer), "done");
    cr_assert_null(cJSON_GetObjectItem(answer, "answer"));
    cJSON_Delete(answer);
    free(request);
}
