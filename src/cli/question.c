/* What every command does with its question: ask a session, print the answer. */
#include "cli/question.h"

#include "cli/longrun.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* A file of text ends with a line end. */
static SxStatus print(char *text, SxError *err) {
    if (!text) {
        return sx_out_of_memory(err);
    }
    const size_t length = strlen(text);
    bool written = fputs(text, stdout) >= 0;
    if (length && text[length - 1] != '\n') {
        written = putchar('\n') != EOF && written;
    }
    written = fflush(stdout) == 0 && written;
    free(text);
    return written ? SX_OK : sx_fail(err, SX_NO_WRITE, "cannot write to standard output");
}

static void print_warnings(const SxSession *session, const char *team_file) {
    char text[SX_ERROR_MESSAGE];
    for (int k = 0; sx_session_warning(session, k, text, sizeof text); k++) {
        fprintf(stderr, "sixturn: %s: note: %s\n", team_file, text);
    }
}

SxStatus question_print(SxSessionInput *input, const SxAsk *ask, bool json) {
    SxError err = {.status = SX_OK};
    SxSession *session = NULL;
    SxAnswer *answer = NULL;
    input->work = longrun_begin();
    SxStatus status = sx_session_new(input, &session, &err);
    if (status == SX_OK) {
        print_warnings(session, input->team.name);
        status = sx_session_ask(session, ask, &answer, &err);
    }
    longrun_end();
    if (status == SX_OK) {
        status = print(json ? sx_answer_json(answer) : sx_answer_text(answer), &err);
    }
    sx_answer_free(answer);
    sx_session_free(session);
    return status == SX_OK ? SX_OK : args_complain(&err);
}
