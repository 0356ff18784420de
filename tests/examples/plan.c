/* The best lineup of a team file: who starts, in which order. */
#include <sixturn/session.h>
#include <stdio.h>
#include <stdlib.h>

static int fail(const SxError *err) {
    char text[sizeof(SxError)];
    fprintf(stderr, "%s\n", sx_error_text(err, text, sizeof text));
    return sx_exit_status(err->status);
}

int main(int argc, char **argv) {
    SxSessionInput input;
    SxSession *session;
    SxAnswer *answer;
    SxError err = {.status = SX_OK};
    SxAsk ask;
    if (argc != 2) {
        return SX_USAGE;
    }
    sx_ask_default(SX_ASK_PLAN, &ask);
    sx_session_input_default(&input);
    input.team.name = argv[1]; /* a name without a text is a file to read */
    if (sx_session_new(&input, &session, &err) != SX_OK) {
        return fail(&err);
    }
    if (sx_session_ask(session, &ask, &answer, &err) == SX_OK) {
        const SxLineup *lineup = &answer->plan.forecast.lineup;
        printf("start in rotation %d\n", lineup->start + 1);
        for (int slot = 0; slot < SX_SLOTS; slot++) {
            puts(answer->problem->team->players[lineup->order.front[slot]].name);
        }
        sx_answer_free(answer);
    }
    sx_session_free(session);
    return err.status == SX_OK ? 0 : fail(&err);
}
