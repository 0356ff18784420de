/* Asking: the one door through which every question goes. */
#include "session/questions.h"
#include "sixturn/legality.h"

#include <stdlib.h>

enum { DEFAULT_TOP = 5, DEFAULT_DRAWS = 400, DEFAULT_MOST = 20 };

static const Question *question_of(SxQuestion question) {
    static const Question *const questions[SX_QUESTIONS] = {
        [SX_ASK_PLAN] = &sx_question_plan,       [SX_ASK_SHARES] = &sx_question_shares,
        [SX_ASK_RANK] = &sx_question_rank,       [SX_ASK_ABSENT] = &sx_question_absent,
        [SX_ASK_SETTERS] = &sx_question_setters, [SX_ASK_SYSTEMS] = &sx_question_systems,
        [SX_ASK_VERSUS] = &sx_question_versus,   [SX_ASK_WORTH] = &sx_question_worth,
        [SX_ASK_ODDS] = &sx_question_odds,       [SX_ASK_FIT] = &sx_question_fit,
        [SX_ASK_SHEET] = &sx_question_sheet,     [SX_ASK_REPORT] = &sx_question_report,
        [SX_ASK_CHECK] = &sx_question_check,     [SX_ASK_MEND] = &sx_question_mend,
        [SX_ASK_BENCH] = &sx_question_bench,     [SX_ASK_MOMENT] = &sx_question_moment,
        [SX_ASK_RECEIVE] = &sx_question_receive,
    };
    return questions[question];
}

void sx_ask_default(SxQuestion question, SxAsk *ask) {
    *ask = (SxAsk){.question = question,
                   .shares = {.sets = 1},
                   .rank = {.top = DEFAULT_TOP, .doubt = {.draws = DEFAULT_DRAWS, .seed = 1}},
                   .absent = {.most = DEFAULT_MOST},
                   .moment = {.rotation = SX_NOT_SAID,
                              .started = SX_NOT_SAID,
                              .serving = SX_NOT_SAID,
                              .their_rotation = SX_NOT_SAID,
                              .used = SX_NOT_SAID},
                   .bench = {.started = SX_NOT_SAID},
                   .receive = {.rotation = SX_NOT_SAID, .top = DEFAULT_TOP},
                   .sheet = {.show = SX_SHOW_BOTH},
                   .report = {.show = SX_SHOW_BOTH},
                   .drawn = {.margin = SX_NEAR_MARGIN}};
}

static bool needs_team(SxQuestion question) {
    return question != SX_ASK_CHECK && question != SX_ASK_MEND;
}

SxStatus sx_session_ask(SxSession *session, const SxAsk *ask, SxAnswer **answer, SxError *err) {
    SxError spare = {.status = SX_OK};
    err = err ? err : &spare;
    *answer = NULL;
    if ((unsigned)ask->question >= SX_QUESTIONS) {
        return sx_fail(err, SX_USAGE, "there is no question %d", (int)ask->question);
    }
    if (needs_team(ask->question) && session->team.player_count == 0) {
        return sx_fail(err, SX_USAGE, "this question needs a team");
    }
    if (needs_team(ask->question) && sx_work_left(&session->work) <= 0) {
        return sx_fail(err, SX_OUT_OF_TIME, "the question was not begun within the time limit");
    }
    SxAnswer *fresh = calloc(1, sizeof *fresh);
    if (!fresh) {
        return sx_out_of_memory(err);
    }
    fresh->question = ask->question;
    fresh->problem = &session->bench.problem;
    fresh->fixture = &session->fixture;
    SxStatus status = question_of(ask->question)->ask(session, ask, fresh, err);
    if (status != SX_OK) {
        sx_answer_free(fresh);
        return status;
    }
    *answer = fresh;
    return SX_OK;
}

void sx_answer_free(SxAnswer *answer) {
    if (answer && question_of(answer->question)->free) {
        question_of(answer->question)->free(answer);
    }
    free(answer);
}

char *sx_answer_text(const SxAnswer *answer) {
    return question_of(answer->question)->report(answer, false);
}

char *sx_answer_json(const SxAnswer *answer) {
    return question_of(answer->question)->report(answer, true);
}

SxStatus sx_answer_file(const SxAnswer *answer, char **bytes, size_t *size, SxError *err) {
    *bytes = NULL;
    *size = 0;
    const Question *question = question_of(answer->question);
    return question->file ? question->file(answer, bytes, size, err)
                          : sx_fail(err, SX_USAGE, "no file goes with this answer");
}

int sx_questions_player(const SxTeam *team, const char *who, SxError *err) {
    const int player = sx_team_find(team, who);
    if (player < 0) {
        const char *near = sx_team_nearest(team, who);
        sx_fail(err, SX_USAGE, "the team has no player '%s'%s%s%s", who,
                near ? "; did you mean '" : "", near ? near : "", near ? "'?" : "");
    }
    return player;
}

SxStatus sx_questions_none(const SxSession *session, const char *what, SxError *err) {
    return sx_work_over(&session->work)
               ? sx_fail(err, SX_OUT_OF_TIME, "stopped before a lineup was found")
               : sx_fail(err, SX_NO, "%s", what);
}
