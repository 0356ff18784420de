/* The questions across systems: setters, systems. All rotations count alike there, because a weight
 * belongs to a slot of one system. */
#include "session/questions.h"
#include "sixturn/analysis_report.h"

#include <stdlib.h>

/* --- setters ------------------------------------------------------------------------------------
 */

static SxStatus ask_setters(SxSession *session, const SxAsk *ask, SxAnswer *answer, SxError *err) {
    (void)ask;
    SxStatus status = sx_session_need_systems(session, true, err);
    if (status == SX_OK) {
        answer->systems = &session->systems[1];
        status =
            sx_setters(answer->problem, answer->systems, &session->work, &answer->setters, err);
    }
    if (status == SX_OK && (!answer->setters.count || !answer->setters.item[0].possible)) {
        return sx_questions_none(session, "no setter has a legal lineup; sixturn plan says why",
                                 err);
    }
    return status;
}

static char *setters_report(const SxAnswer *answer, bool json) {
    return (json ? sx_setters_json : sx_setters_text)(answer->problem, answer->systems,
                                                      &answer->setters);
}

static void setters_free(SxAnswer *answer) {
    sx_setters_free(&answer->setters);
}

const Question sx_question_setters = {ask_setters, setters_report, setters_free, NULL};

/* --- systems ------------------------------------------------------------------------------------
 */

static SxStatus ask_systems(SxSession *session, const SxAsk *ask, SxAnswer *answer, SxError *err) {
    (void)ask;
    SxStatus status = sx_session_need_systems(session, false, err);
    if (status != SX_OK) {
        return status;
    }
    const SxSystemSet *systems = answer->systems = &session->systems[0];
    answer->best = calloc((size_t)systems->count + 1, sizeof *answer->best);
    if (!answer->best) {
        return sx_out_of_memory(err);
    }
    status = sx_systems_compare(answer->problem, systems, &session->work, answer->best, err);
    bool any = false;
    for (int k = 0; k < systems->count; k++) {
        any = any || answer->best[k].possible;
    }
    if (status == SX_OK && !any) {
        return sx_questions_none(session, "no system has a legal lineup; sixturn plan says why",
                                 err);
    }
    return status;
}

static char *systems_report(const SxAnswer *answer, bool json) {
    return (json ? sx_systems_json : sx_systems_text)(answer->problem, answer->systems,
                                                      answer->best);
}

static void systems_free(SxAnswer *answer) {
    free(answer->best);
}

const Question sx_question_systems = {ask_systems, systems_report, systems_free, NULL};
