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
    asked.plan.quick = true; /* as the door asks: a page plans at every touch */
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

static cJSON *ask_to_import(const char *sheet, const char *more) {
    cJSON *text = cJSON_CreateString(sheet);
    char *quoted = cJSON_PrintUnformatted(text), request[8192];
    snprintf(request, sizeof request,
             "{\"format\": \"sixturn-request-1\", \"question\": \"import\", \"sheet\": %s%s}",
             quoted, more);
    free(quoted);
    cJSON_Delete(text);
    return ask(request);
}

#define HEADINGS "No.\tName\tRoles\tpassing\tsetting\tattacking\tblocking\tserving\tdigging\n"

Test(door, cells_pasted_from_a_spreadsheet_become_a_team) {
    char sheet[2048] = HEADINGS;
    static const char *const roles[] = {"S", "OH", "OH", "MB", "MB", "OPP", "L"};
    for (int k = 0; k < 7; k++) {
        char row[128];
        snprintf(row, sizeof row, "%d\tPlayer %c\t%s\t5\t5\t5\t5\t5\t%s\n", k + 1, 'A' + k,
                 roles[k], k == 6 ? "" : "5");
        strcat(sheet, row);
    }
    cJSON *answer = ask_to_import(sheet, "");
    cr_assert_str_eq(status_of(answer), "done");
    const cJSON *made = cJSON_GetObjectItem(answer, "answer");
    const cJSON *players = cJSON_GetObjectItem(cJSON_GetObjectItem(made, "team"), "players");
    cr_assert_eq(cJSON_GetArraySize(players), 7);
    cr_assert_eq(cJSON_GetArraySize(cJSON_GetObjectItem(made, "problems")), 0);
    cr_assert_gt(cJSON_GetArraySize(cJSON_GetObjectItem(made, "notes")), 0); /* one is estimated */
    cJSON_Delete(answer);
}

Test(door, everything_wrong_with_a_sheet_is_told_with_its_place) {
    cJSON *answer = ask_to_import(HEADINGS "1\tAda\tS\t5\t5\t11\t5\t5\t5\n"
                                           "2\tBea\tgoalkeeper\t5\t5\t5\t5\t5\t5\n",
                                  "");
    cr_assert_str_eq(status_of(answer), "bad-input");
    const cJSON *made = cJSON_GetObjectItem(answer, "answer");
    cr_assert_null(cJSON_GetObjectItem(made, "team"));
    static const int places[][2] = {{2, 6}, {3, 3}}; /* rows and columns count from 1 */
    const cJSON *problems = cJSON_GetObjectItem(made, "problems");
    cr_assert_eq(cJSON_GetArraySize(problems), 2);
    for (int k = 0; k < 2; k++) {
        const cJSON *problem = cJSON_GetArrayItem(problems, k);
        cr_assert_eq(cJSON_GetObjectItem(problem, "row")->valueint, places[k][0]);
        cr_assert_eq(cJSON_GetObjectItem(problem, "column")->valueint, places[k][1]);
        cr_assert_not_null(
            strstr(cJSON_GetObjectItem(problem, "message")->valuestring, k ? "goalkeeper" : "11"));
    }
    cJSON_Delete(answer);
}

/* FIVB 15.6, six substitutions a set; the setters are 1 and 6. */
Test(door, the_bench_tells_what_is_allowed_who_may_return_and_the_price) {
    char *request = request_with("bench", false, ", \"swap\": {\"out\": 1, \"in\": 6}");
    cJSON *answer = ask(request);
    cr_assert_str_eq(status_of(answer), "done");
    const cJSON *bench = cJSON_GetObjectItem(answer, "answer");
    cr_assert(cJSON_IsTrue(cJSON_GetObjectItem(bench, "allowed")));
    cr_assert_eq(cJSON_GetObjectItem(bench, "left")->valueint, 5);
    const cJSON *back = cJSON_GetArrayItem(cJSON_GetObjectItem(bench, "may_return"), 0);
    cr_assert_str_eq(cJSON_GetObjectItem(back, "player")->valuestring, "nele-brandahl");
    cr_assert_str_eq(cJSON_GetObjectItem(back, "for")->valuestring, "pia-osterloh");
    const cJSON *sets = cJSON_GetObjectItem(bench, "sets_of_100");
    cr_assert_lt(cJSON_GetObjectItem(sets, "after")->valuedouble,
                 cJSON_GetObjectItem(sets, "before")->valuedouble);
    cJSON_Delete(answer);
    free(request);
    static const struct {
        const char *made, *swap;
        bool allowed;
    } cases[] = {
        {"{\"out\": 1, \"in\": 6}", "{\"out\": 6, \"in\": 1}", true},
        {"{\"out\": 1, \"in\": 6}", "{\"out\": 6, \"in\": 8}", false},
        {"{\"out\": 1, \"in\": 6}, {\"out\": 6, \"in\": 1}", "{\"out\": 1, \"in\": 6}", false},
        {"", "{\"out\": 6, \"in\": 1}", false},
        {"", "{\"out\": 2, \"in\": 6}", false}, /* the libero */
    };
    for (size_t k = 0; k < sizeof cases / sizeof *cases; k++) {
        char more[256];
        snprintf(more, sizeof more, ", \"made\": [%s], \"swap\": %s", cases[k].made, cases[k].swap);
        request = request_with("bench", false, more);
        answer = ask(request);
        cr_assert_str_eq(status_of(answer), "done");
        bench = cJSON_GetObjectItem(answer, "answer");
        cr_assert_eq(cJSON_IsTrue(cJSON_GetObjectItem(bench, "allowed")), cases[k].allowed, "%s",
                     more);
        cr_assert_eq(strlen(cJSON_GetObjectItem(bench, "reason")->valuestring) > 0,
                     !cases[k].allowed);
        cJSON_Delete(answer);
        free(request);
    }
}

Test(door, only_the_team_can_be_asked_whether_it_is_right) {
    char *request = request_with("read", true, "");
    cJSON *answer = ask(request);
    cr_assert_str_eq(status_of(answer), "done");
    cr_assert_null(cJSON_GetObjectItem(answer, "answer"));
    cJSON_Delete(answer);
    free(request);
}

/* A coach's own formation comes through as she drew it, and at the same price for all who ask. */
Test(door, a_kept_formation_comes_through_as_it_was_drawn) {
    static const double x[6] = {7.2, 8, 6, 2, 0.8, 4.5}, y[6] = {6, 1, 1.2, 4.5, 6.5, 6.5};
    char plan[1024];
    size_t used = (size_t)snprintf(plan, sizeof plan,
                                   ", \"plan\": {\"format\": \"sixturn-plan-1\", \"formations\": "
                                   "[{\"rotation\": 3, \"spots\": [");
    for (int k = 0; k < 6; k++) {
        used += (size_t)snprintf(plan + used, sizeof plan - used,
                                 "%s{\"position\": %d, \"x\": %.1f, \"y\": %.1f, \"passes\": %s}",
                                 k ? "," : "", k + 1, x[k], y[k],
                                 k == 0 || k == 3 || k == 5 ? "true" : "false");
    }
    snprintf(plan + used, sizeof plan - used, "]}]}, \"options\": {\"rotation\": 3}");
    double price[2];
    static const char *const questions[] = {"plan", "odds", "receive"};
    for (int q = 0; q < 3; q++) {
        char *request = request_with(questions[q], q, plan);
        cJSON *whole = ask(request);
        cr_assert_str_eq(status_of(whole), "done");
        const cJSON *answer = cJSON_GetObjectItem(whole, "answer");
        const cJSON *spots =
            q == 0 ? cJSON_GetObjectItem(
                         cJSON_GetObjectItem(
                             cJSON_GetArrayItem(cJSON_GetObjectItem(answer, "rotations"), 2),
                             "receive"),
                         "spots")
            : q == 2 ? cJSON_GetObjectItem(cJSON_GetObjectItem(answer, "planned"), "spots")
                     : NULL;
        for (int k = 0; spots && k < 6; k++) {
            const cJSON *spot = cJSON_GetArrayItem(spots, k);
            cr_expect_float_eq(cJSON_GetObjectItem(spot, "x")->valuedouble, x[k], 1e-9);
            cr_expect_float_eq(cJSON_GetObjectItem(spot, "y")->valuedouble, y[k], 1e-9);
        }
        if (q < 2) {
            const cJSON *list = cJSON_GetObjectItem(answer, "prices");
            cr_assert_eq(cJSON_GetArraySize(list), 1);
            price[q] = cJSON_GetObjectItem(cJSON_GetArrayItem(list, 0), "sets")->valuedouble;
        }
        cJSON_Delete(whole);
        free(request);
    }
    cr_expect_float_eq(price[0], price[1], 1e-9);
}
