/* Every question of a session, and its answer as text and as JSON. */
#include "session/session.h"
#include "sixturn/analysis_report.h"
#include "sixturn/oddsreport.h"
#include "sixturn/report.h"

#include <stdlib.h>

enum { DEFAULT_TOP = 5, DEFAULT_DRAWS = 400 };

/* --- plan ---------------------------------------------------------------------------------------
 */

/* The best order by set odds takes the place of the forecast's lineup. */
static SxStatus aim_at_set(SxSession *session, SxPlanAnswer *answer, SxError *err) {
    const SxFixture unmeasured = {&session->model, &session->opponent, NULL};
    SxForecast *forecast = &answer->forecast;
    SxStatus status = sx_goal_set(&session->bench.problem, &unmeasured, forecast, &session->work,
                                  &answer->goal, err);
    if (status == SX_OK) {
        forecast->lineup = answer->goal.lineup;
        forecast->outlook = answer->goal.outlook;
        if (session->bench.plan.start < 0) {
            forecast->lineup.start = forecast->outlook.start[SX_RECEIVE];
        }
    }
    return status;
}

static SxStatus ask_plan(SxSession *session, const SxAsk *ask, SxAnswer *answer, SxError *err) {
    SxPlanAnswer *plan = &answer->plan;
    SxStatus status = session_need_system(session, err);
    if (status == SX_OK) {
        status = session_lineup(session, &session->bench, err);
    }
    if (status != SX_OK) {
        return status;
    }
    plan->forecast = session->bench.forecast;
    plan->for_set = ask->plan.for_set;
    if (plan->for_set) {
        status = aim_at_set(session, plan, err);
    }
    return status == SX_OK ? sx_match_day(answer->problem, &plan->forecast.lineup, &plan->day, err)
                           : status;
}

static char *plan_report(const SxAnswer *answer, bool json) {
    const SxPlanAnswer *plan = &answer->plan;
    return (json ? sx_plan_json : sx_plan_text)(answer->problem, &plan->forecast.lineup, &plan->day,
                                                &plan->forecast.outlook,
                                                plan->for_set ? &plan->goal : NULL);
}

/* --- rank ---------------------------------------------------------------------------------------
 */

static SxStatus ask_rank(SxSession *session, const SxAsk *ask, SxAnswer *answer, SxError *err) {
    SxRankAnswer *rank = &answer->rank;
    rank->doubt_options = ask->rank.doubt;
    rank->doubtful = ask->rank.doubt.size > 0;
    if (!rank->doubt_options.draws) {
        rank->doubt_options.draws = DEFAULT_DRAWS;
    }
    SxStatus status = session_need_system(session, err);
    if (status == SX_OK) {
        status = session_settle(session, &session->bench, false, err);
    }
    if (status == SX_OK) {
        status = sx_rank(answer->problem, ask->rank.top ? ask->rank.top : DEFAULT_TOP,
                         &session->work, &rank->ranking, err);
    }
    if (status == SX_OK && rank->ranking.count == 0) {
        return sx_fail(err, SX_OUT_OF_TIME, "stopped before an order was found");
    }
    return status == SX_OK && rank->doubtful
               ? sx_doubt(answer->problem, &rank->ranking, &rank->doubt_options, &session->work,
                          &rank->doubt, err)
               : status;
}

static char *rank_report(const SxAnswer *answer, bool json) {
    const SxRankAnswer *rank = &answer->rank;
    return (json ? sx_rank_json : sx_rank_text)(answer->problem, &rank->ranking,
                                                rank->doubtful ? &rank->doubt : NULL,
                                                &rank->doubt_options);
}

static void rank_free(SxAnswer *answer) {
    sx_doubt_free(&answer->rank.doubt);
    sx_ranking_free(&answer->rank.ranking);
}

/* --- odds ---------------------------------------------------------------------------------------
 */

static SxStatus ask_odds(SxSession *session, const SxAsk *ask, SxAnswer *answer, SxError *err) {
    (void)ask;
    SxOddsAnswer *odds = &answer->odds;
    SxStatus status = session_need_system(session, err);
    if (status == SX_OK) {
        status = session_lineup(session, &session->bench, err);
    }
    if (status != SX_OK) {
        return status;
    }
    odds->forecast = session->bench.forecast;
    return sx_outlook_with_limit(answer->problem, &session->fixture, &odds->forecast.lineup,
                                 &odds->forecast.outlook, odds->stuck, err);
}

static char *odds_report(const SxAnswer *answer, bool json) {
    const SxOddsAnswer *odds = &answer->odds;
    return (json ? sx_odds_json : sx_odds_text)(answer->problem, answer->fixture, &odds->forecast,
                                                odds->stuck);
}

/* --- all ----------------------------------------------------------------------------------------
 */

typedef struct {
    SxStatus (*ask)(SxSession *session, const SxAsk *ask, SxAnswer *answer, SxError *err);
    char *(*report)(const SxAnswer *answer, bool json);
    void (*free)(SxAnswer *answer); /* NULL: nothing to free */
} Question;

static const Question questions[SX_QUESTIONS] = {
    [SX_ASK_PLAN] = {ask_plan, plan_report, NULL},
    [SX_ASK_RANK] = {ask_rank, rank_report, rank_free},
    [SX_ASK_ODDS] = {ask_odds, odds_report, NULL},
};

static bool needs_team(SxQuestion question) {
    (void)question;
    return true;
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
    SxAnswer *fresh = calloc(1, sizeof *fresh);
    if (!fresh) {
        return sx_out_of_memory(err);
    }
    fresh->question = ask->question;
    fresh->problem = &session->bench.problem;
    fresh->fixture = &session->fixture;
    SxStatus status = questions[ask->question].ask(session, ask, fresh, err);
    if (status != SX_OK) {
        sx_answer_free(fresh);
        return status;
    }
    *answer = fresh;
    return SX_OK;
}

void sx_answer_free(SxAnswer *answer) {
    if (answer && questions[answer->question].free) {
        questions[answer->question].free(answer);
    }
    free(answer);
}

char *sx_answer_text(const SxAnswer *answer) {
    return questions[answer->question].report(answer, false);
}

char *sx_answer_json(const SxAnswer *answer) {
    return questions[answer->question].report(answer, true);
}
