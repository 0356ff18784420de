/* The question of one rotation when they serve: what else could we do, and keep one of those. */
#include "session/questions.h"
#include "sixturn/receivereport.h"

#include <stdlib.h>
#include <string.h>

/* The plan's text with the choice in it. It has to be one that the plan allows. */
static SxStatus keep(const SxSession *session, SxAnswer *answer, SxError *err) {
    SxReceiveAnswer *receive = &answer->receive;
    const SxAlternatives *others = &receive->others;
    if (receive->kept > others->count) {
        return sx_fail(err, SX_USAGE, "there are %d choices, no number %d", others->count,
                       receive->kept);
    }
    const SxFormation *choice = &others->item[receive->kept - 1].formation;
    SxKept kept;
    sx_keep_formation(answer->problem->system, others->rotation, choice, &kept);
    const bool named = session->system_named || session->bench.plan.system[0];
    SxStatus status = sx_plan_keep(session->plan_text, session->plan_length, session->plan_name,
                                   named ? session->bench.plan.system : "", others->rotation, &kept,
                                   &receive->plan, err);
    SxPlan *read = status == SX_OK ? malloc(sizeof *read) : NULL;
    if (status == SX_OK && !read) {
        return sx_out_of_memory(err);
    }
    if (status == SX_OK) {
        sx_plan_default(read);
        status = sx_plan_parse(receive->plan, strlen(receive->plan), session->plan_name,
                               &session->team, read, err);
    }
    const int passers = sx_count_members(choice->passers);
    if (status == SX_OK && !(read->passers >> passers & 1)) {
        status =
            sx_fail(err, SX_NO, "%d players pass in choice %d; say so in the plan's \"passers\"",
                    passers, receive->kept);
    }
    free(read);
    return status;
}

static SxStatus ask_receive(SxSession *session, const SxAsk *ask, SxAnswer *answer, SxError *err) {
    SxReceiveAnswer *receive = &answer->receive;
    const SxReceiveAsk *asked = &ask->receive;
    if (asked->keep < 0 || asked->keep > SX_MAX_ALTERNATIVES) {
        return sx_fail(err, SX_USAGE, "choice 1 to %d can be kept, not %d", SX_MAX_ALTERNATIVES,
                       asked->keep);
    }
    SxStatus status = sx_session_need_system(session, err);
    if (status == SX_OK) {
        status = sx_session_lineup(session, &session->bench, err);
    }
    if (status != SX_OK) {
        return status;
    }
    receive->forecast = session->bench.forecast;
    const SxLineup *lineup = &receive->forecast.lineup;
    const int rotation =
        asked->rotation == SX_NOT_SAID ? sx_weak_rotation(lineup) : asked->rotation;
    const int most = asked->top > asked->keep ? asked->top : asked->keep;
    status =
        sx_alternatives(answer->problem, &session->fixture, lineup, receive->forecast.outlook.win,
                        rotation, most, &session->work, &receive->others, err);
    receive->kept = asked->keep;
    if (status == SX_OK && receive->others.count == 0 && !receive->others.whole) {
        return sx_fail(err, SX_OUT_OF_TIME, "stopped before another formation was found");
    }
    return status == SX_OK && asked->keep ? keep(session, answer, err) : status;
}

static char *receive_report(const SxAnswer *answer, bool json) {
    const SxReceiveAnswer *receive = &answer->receive;
    const SxLineup *lineup = &receive->forecast.lineup;
    return json ? sx_receive_json(answer->problem, lineup, &receive->others, receive->kept,
                                  receive->plan)
                : sx_receive_text(answer->problem, lineup, &receive->others, receive->kept);
}

static SxStatus plan_file(const SxAnswer *answer, char **bytes, size_t *size, SxError *err) {
    const char *plan = answer->receive.plan;
    if (!plan) {
        return sx_fail(err, SX_USAGE, "no choice is kept");
    }
    *bytes = strdup(plan);
    if (!*bytes) {
        return sx_out_of_memory(err);
    }
    *size = strlen(plan);
    return SX_OK;
}

static void receive_free(SxAnswer *answer) {
    free(answer->receive.plan);
}

const Question sx_question_receive = {ask_receive, receive_report, receive_free, plan_file};
