/* What every command does with its question: ask a session, print the answer, write its file. */
#define _POSIX_C_SOURCE 200809L
#include "cli/question.h"

#include "core/write.h"

#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

/* --- while it works -----------------------------------------------------------------------------
 */

static volatile sig_atomic_t stop;
static bool shown;

static void on_signal(int number) {
    stop = 1;
    signal(number, SIG_DFL);
}

/* At most a few lines a second, so that showing costs nothing. */
static void show(void *context, long done, long total) {
    static const double pause = 0.1; /* seconds */
    static double last;
    (void)context;
    const double now = sx_clock();
    if (now - last < pause) {
        return;
    }
    last = now;
    shown = true;
    fprintf(stderr, total > 0 ? "\r%ld of %ld " : "\r%ld orders ", done, total);
    fflush(stderr);
}

static void begin(SxWork *work) {
    struct sigaction action = {.sa_handler = on_signal};
    sigemptyset(&action.sa_mask);
    sigaction(SIGINT, &action, NULL);
    work->stop = &stop;
    work->progress = isatty(STDERR_FILENO) ? show : NULL;
}

static void end(void) {
    signal(SIGINT, SIG_DFL);
    if (shown) {
        fprintf(stderr, "\r%20s\r", "");
    }
}

/* --- what comes out -----------------------------------------------------------------------------
 */

static void print_warnings(const SxSession *session, const char *team_file) {
    char text[SX_ERROR_MESSAGE];
    for (int k = 0; sx_session_warning(session, k, text, sizeof text); k++) {
        fprintf(stderr, "sixturn: %s: note: %s\n", team_file, text);
    }
}

static SxStatus write_out(const SxAnswer *answer, const char *file, SxError *err) {
    char *bytes = NULL;
    size_t size = 0;
    SxStatus status = sx_answer_file(answer, &bytes, &size, err);
    if (status == SX_OK) {
        status = sx_write_file(file, bytes, size, err);
    }
    free(bytes);
    return status;
}

/* A text ends with a line end, JSON too. */
static SxStatus print(const char *text, SxError *err) {
    const size_t length = strlen(text);
    bool written = fputs(text, stdout) >= 0;
    if (length && text[length - 1] != '\n') {
        written = putchar('\n') != EOF && written;
    }
    written = fflush(stdout) == 0 && written;
    return written ? SX_OK : sx_fail(err, SX_NO_WRITE, "cannot write to standard output");
}

/* The text first, as nothing must be left of an answer that cannot be told. */
static SxStatus hand_out(const SxAnswer *answer, const Output *output, SxError *err) {
    char *text = NULL;
    if (!output->quiet) {
        text = output->json ? sx_answer_json(answer) : sx_answer_text(answer);
        if (!text) {
            return sx_out_of_memory(err);
        }
    }
    SxStatus status = output->file ? write_out(answer, output->file, err) : SX_OK;
    if (status == SX_OK && text) {
        status = print(text, err);
    }
    free(text);
    return status;
}

SxStatus question_run(SxSessionInput *input, const SxAsk *ask, const Output *output) {
    SxError err = {.status = SX_OK};
    SxSession *session = NULL;
    SxAnswer *answer = NULL;
    begin(&input->work);
    SxStatus status = sx_session_new(input, &session, &err);
    if (status == SX_OK) {
        print_warnings(session, input->team.name);
        status = sx_session_ask(session, ask, &answer, &err);
    }
    end();
    if (status == SX_OK) {
        status = hand_out(answer, output, &err);
    }
    const bool faulty = status == SX_OK && ask->question == SX_ASK_CHECK && !answer->drawn.legal;
    sx_answer_free(answer);
    sx_session_free(session);
    return status != SX_OK ? args_complain(&err) : faulty ? SX_NO : SX_OK;
}
