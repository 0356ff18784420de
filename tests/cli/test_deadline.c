/* A limit of time holds for every question, also for the hardest kind of team: twelve players who
 * all play everything. What was found is told as not proven; without anything it is 'out of time'.
 */
#define _POSIX_C_SOURCE 200809L
#include "sixturn/bestset.h"
#include "sixturn/session.h"
#include "support.h"

#include <cjson/cJSON.h>
#include <criterion/criterion.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

enum { PLAYERS = 12 };

/* Seconds for each question. Looks at the clock lie close together, but a loaded machine under a
 * sanitizer may hold a thread up for long. */
static const double limit = 0.4, patience = 20;

static const SxQuestion asked[] = {SX_ASK_PLAN,    SX_ASK_SHARES,  SX_ASK_RANK,   SX_ASK_ABSENT,
                                   SX_ASK_SETTERS, SX_ASK_SYSTEMS, SX_ASK_WORTH,  SX_ASK_ODDS,
                                   SX_ASK_MOMENT,  SX_ASK_SHEET,   SX_ASK_REPORT, SX_ASK_RECEIVE};
enum { ASKED = sizeof asked / sizeof asked[0] };

static void put(char *text, size_t size, const char *words) {
    const size_t used = strlen(text);
    snprintf(text + used, size - used, "%s", words);
}

static char *everybody_plays_everything(void) {
    static const char *const skills[] = {"passing",  "setting", "attacking",
                                         "blocking", "serving", "digging"};
    enum { SIZE = 8192 };
    char *text = calloc(1, SIZE), part[256];
    Rng rng = {12};
    put(text, SIZE, "{\"format\":\"sixturn-team-1\",\"name\":\"All for all\",\"players\":[");
    for (int p = 0; p < PLAYERS; p++) {
        snprintf(part, sizeof part,
                 "%s{\"id\":\"p%d\",\"name\":\"P %d\",\"number\":%d,\"roles\":", p ? "," : "",
                 p + 1, p + 1, p + 1);
        put(text, SIZE, part);
        put(text, SIZE,
            "[\"setter\",\"outside\",\"middle\",\"opposite\",\"libero\",\"specialist\"],");
        for (int k = 0; k < SX_SKILL_COUNT; k++) {
            snprintf(part, sizeof part, "%s\"%s\":%.1f", k ? "," : "\"skills\":{", skills[k],
                     rng_rating(&rng));
            put(text, SIZE, part);
        }
        put(text, SIZE, "}}");
    }
    put(text, SIZE, "]}");
    return text;
}

static SxSession *open_session(const char *team, SxGoal goal, double seconds) {
    SxError err = {.status = SX_OK};
    SxSessionInput input;
    SxSession *session = NULL;
    sx_session_input_default(&input);
    input.team = (SxSource){team, strlen(team), "team"};
    input.goal = goal;
    input.time_limit = seconds;
    input.work.threads = 1;
    cr_assert_eq(sx_session_new(&input, &session, &err), SX_OK, "%s: %s", err.path, err.message);
    return session;
}

/* What the answer itself says in JSON of how far it came. */
static bool is_whole(const SxAnswer *answer) {
    char *text = sx_answer_json(answer);
    cJSON *root = cJSON_Parse(text);
    cr_assert_not_null(root);
    const cJSON *complete = cJSON_GetObjectItem(root, "complete");
    const cJSON *status = cJSON_GetObjectItem(root, "status");
    const bool whole = !cJSON_IsFalse(complete) &&
                       !(cJSON_IsString(status) && strcmp(status->valuestring, "feasible") == 0);
    cJSON_Delete(root);
    free(text);
    return whole;
}

static bool admits(const char *text) {
    static const char *const words[] = {"so far", "in the time", "topped early"};
    for (size_t k = 0; k < sizeof words / sizeof words[0]; k++) {
        if (strstr(text, words[k])) {
            return true;
        }
    }
    return false;
}

/* Ends near the limit, as an answer that says how far it came or as out of time. */
static SxStatus ask_in_time(const char *team, SxGoal goal, SxQuestion question) {
    SxError err = {.status = SX_OK};
    SxAnswer *answer = NULL;
    SxAsk ask;
    sx_ask_default(question, &ask);
    ask.shares.sets = 2;
    ask.rank.top = 20;
    const double begun = sx_clock();
    SxSession *session = open_session(team, goal, limit);
    const SxStatus status = sx_session_ask(session, &ask, &answer, &err);
    const double took = sx_clock() - begun;
    cr_expect(status == SX_OK || status == SX_OUT_OF_TIME, "question %d: status %d, %s",
              (int)question, (int)status, err.message);
    cr_expect_lt(took, limit + patience, "question %d took %.1f s", (int)question, took);
    if (status == SX_OK && !is_whole(answer)) {
        char *text = sx_answer_text(answer);
        cr_expect(admits(text), "question %d does not say that it is not whole: %.300s",
                  (int)question, text);
        free(text);
    }
    sx_answer_free(answer);
    sx_session_free(session);
    return status;
}

Test(deadline, holds_where_everybody_plays_everything) {
    char *team = everybody_plays_everything();
    int answered = 0;
    for (int k = 0; k < ASKED; k++) {
        answered += ask_in_time(team, SX_GOAL_SETS, asked[k]) == SX_OK;
    }
    ask_in_time(team, SX_GOAL_SCORE, SX_ASK_PLAN);
    ask_in_time(team, SX_GOAL_SCORE, SX_ASK_RANK);
#if !defined(__SANITIZE_ADDRESS__) /* which leaves no time to find anything */
    cr_expect_gt(answered, ASKED / 2, "%d of %d questions had an answer", answered, ASKED);
#endif
    free(team);
}

/* With time enough the same team has a proven answer to the first question. */
Test(deadline, is_not_needed_for_the_lineup) {
    char *team = everybody_plays_everything();
    SxError err = {.status = SX_OK};
    SxAnswer *answer = NULL;
    SxAsk ask;
    sx_ask_default(SX_ASK_ODDS, &ask);
    SxSession *session = open_session(team, SX_GOAL_SETS, 0);
    cr_assert_eq(sx_session_ask(session, &ask, &answer, &err), SX_OK, "%s", err.message);
    cr_expect_eq(answer->odds.forecast.lineup.proof, SX_OPTIMAL);
    sx_answer_free(answer);
    sx_session_free(session);
    free(team);
}

/* After the time nobody works out how each of many orders plays on when its changes end, which
 * takes as long for each; the odds that the search gave them hold, and what is not known is said.
 */
Test(deadline, ends_with_the_orders_found) {
    enum { MANY = 400, VALUED = 3 };
    static Evening evening;
    evening_read(&evening, "datasets/junior-12.json", "6-2-double", "fivb-2025");
    SxProblem *problem = &evening.desk.problem;
    problem->against = &evening.fixture;
    SxBestOrders best;
    SxError err = {.status = SX_OK};
    const clock_t begun = clock();
    const SxWork work = {.threads = 1, .deadline = sx_clock() + limit};
    const SxStatus status = sx_best_orders(problem, MANY, &work, &best, &err);
    const double took = (double)(clock() - begun) / CLOCKS_PER_SEC;
    cr_assert_eq(status, SX_OK, "%d, %s", (int)status, err.message);
    cr_expect_gt(best.count, VALUED);
    cr_expect(SANITIZED || took < limit + 0.5, "%.2f s for %d orders", took, best.count);
    for (int k = 0; k < best.count && k < VALUED; k++) {
        SxLineup again = best.item[k];
        cr_expect(again.plays_on_open);
        cr_assert_eq(sx_lineup_win(problem, &again, &err), SX_OK, "%s", err.message);
        cr_expect_not(again.plays_on_open);
        cr_expect_float_eq(again.win, best.item[k].win, 1e-9);
    }
    sx_best_orders_free(&best);
}

/* Where twelve can set there are hundreds of choices to bound, which alone takes longer than this.
 */
Test(deadline, leaves_time_to_find_setters) {
    static const double two_seconds = 2;
    char *team = everybody_plays_everything();
    SxError err = {.status = SX_OK};
    SxAnswer *answer = NULL;
    SxAsk ask;
    sx_ask_default(SX_ASK_SETTERS, &ask);
    SxSession *session = open_session(team, SX_GOAL_SETS, two_seconds);
    const SxStatus status = sx_session_ask(session, &ask, &answer, &err);
    cr_expect(SANITIZED || status == SX_OK, "%d, %s", (int)status, err.message);
    for (int k = 0; status == SX_OK && k < answer->setters.count; k++) {
        const SxSetterChoice *item = &answer->setters.item[k];
        cr_expect(!item->possible || item->value <= item->bound, "%f, at most %f", item->value,
                  item->bound);
    }
    sx_answer_free(answer);
    sx_session_free(session);
    free(team);
}

/* No question is begun after the time, whatever would have been the answer. */
Test(deadline, of_a_thousandth_of_a_second_is_out_of_time_everywhere) {
    char *team = slurp("datasets/junior-12.json");
    for (int question = 0; question < SX_QUESTIONS; question++) {
        if (question == SX_ASK_CHECK || question == SX_ASK_MEND) {
            continue; /* judge what is drawn, without a search */
        }
        SxSession *session = open_session(team, SX_GOAL_SETS, 0.001);
        const struct timespec while_it_passes = {.tv_nsec = 2000000};
        nanosleep(&while_it_passes, NULL);
        SxError err = {.status = SX_OK};
        SxAnswer *answer = NULL;
        SxAsk ask;
        sx_ask_default((SxQuestion)question, &ask);
        cr_expect_eq(sx_session_ask(session, &ask, &answer, &err), SX_OUT_OF_TIME,
                     "question %d: status %d, %s", question, (int)err.status, err.message);
        cr_expect_null(answer);
        cr_expect_not_null(strstr(err.message, "time"), "%s", err.message);
        sx_session_free(session);
    }
    free(team);
}
