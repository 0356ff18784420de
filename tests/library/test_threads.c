/* Many threads ask the shared library at once, each with a session of its own; every answer is,
 * letter by letter, the one that a single thread gets. */
#include "sixturn/session.h"

#include <pthread.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { TEAMS = 2, QUESTIONS = 2, THREADS = 8 };

static const char *const teams[TEAMS] = {"datasets/junior-12.json", "datasets/club-16.json"};
static const SxQuestion questions[QUESTIONS] = {SX_ASK_PLAN, SX_ASK_RANK};

/* The answer in JSON, or NULL. */
static char *answer_of(const char *team, SxQuestion question) {
    SxSessionInput input;
    SxSession *session;
    SxAnswer *answer;
    SxAsk ask;
    SxError err;
    char *json = NULL;
    sx_ask_default(question, &ask);
    sx_session_input_default(&input);
    input.team.name = team;
    input.work.threads = 1;
    if (sx_session_new(&input, &session, &err) != SX_OK) {
        return NULL;
    }
    if (sx_session_ask(session, &ask, &answer, &err) == SX_OK) {
        json = sx_answer_json(answer);
        sx_answer_free(answer);
    }
    sx_session_free(session);
    return json;
}

typedef struct {
    int team, question;
    char *json;
} Job;

static void *work(void *data) {
    Job *job = data;
    job->json = answer_of(teams[job->team], questions[job->question]);
    return NULL;
}

int main(void) {
    char *alone[TEAMS][QUESTIONS];
    for (int t = 0; t < TEAMS; t++) {
        for (int q = 0; q < QUESTIONS; q++) {
            alone[t][q] = answer_of(teams[t], questions[q]);
            if (!alone[t][q] || strlen(alone[t][q]) < 1000) {
                fputs("no answer in a single thread\n", stderr);
                return 1;
            }
        }
    }
    pthread_t thread[THREADS];
    Job job[THREADS];
    for (int k = 0; k < THREADS; k++) {
        job[k] = (Job){.team = k % TEAMS, .question = k / TEAMS % QUESTIONS, .json = NULL};
        if (pthread_create(&thread[k], NULL, work, &job[k]) != 0) {
            fputs("no thread\n", stderr);
            return 1;
        }
    }
    int wrong = 0;
    for (int k = 0; k < THREADS; k++) {
        pthread_join(thread[k], NULL);
        if (!job[k].json || strcmp(job[k].json, alone[job[k].team][job[k].question]) != 0) {
            fprintf(stderr, "thread %d, %s: another answer\n", k, teams[job[k].team]);
            wrong++;
        }
        free(job[k].json);
    }
    for (int t = 0; t < TEAMS; t++) {
        for (int q = 0; q < QUESTIONS; q++) {
            free(alone[t][q]);
        }
    }
    return wrong > 0;
}
