/* The questions about one lineup: plan, shares, odds, fit. */
#include "session/questions.h"
#include "sixturn/analysis_report.h"
#include "sixturn/report.h"

#include <stdlib.h>
#include <string.h>

/* --- plan ---------------------------------------------------------------------------------------
 */

SxStatus sx_questions_plan(SxSession *session, SxAnswer *answer, SxError *err) {
    SxPlanAnswer *plan = &answer->plan;
    SxStatus status = sx_session_need_system(session, err);
    if (status == SX_OK) {
        status = sx_session_lineup(session, &session->bench, err);
    }
    if (status != SX_OK) {
        return status;
    }
    plan->forecast = session->bench.forecast;
    plan->forecast.outlook.unsettled = !plan->forecast.settled;
    return sx_match_day(answer->problem, &plan->forecast.lineup, &plan->forecast.outlook,
                        &plan->day, err);
}

char *sx_questions_plan_report(const SxAnswer *answer, bool json) {
    const SxPlanAnswer *plan = &answer->plan;
    if (plan->brief && !json) {
        return sx_plan_brief_text(answer->problem, &plan->forecast.lineup, &plan->forecast.outlook,
                                  &plan->sure);
    }
    return (json ? sx_plan_json : sx_plan_text)(answer->problem, &plan->forecast.lineup, &plan->day,
                                                &plan->forecast.outlook);
}

static SxStatus ask_plan(SxSession *session, const SxAsk *ask, SxAnswer *answer, SxError *err) {
    SxPlanAnswer *plan = &answer->plan;
    SxStatus status = sx_questions_plan(session, answer, err);
    plan->brief = ask->plan.brief;
    if (status == SX_OK && session->write_model) { /* the score's, whatever the goal */
        status = sx_lineup_write_model(answer->problem, session->write_model, err);
    }
    if (status == SX_OK && !plan->brief) {
        status = sx_prices(answer->problem, &session->fixture, &plan->forecast.lineup,
                           plan->forecast.outlook.win, &session->work, &plan->prices, err);
        plan->day.prices = &plan->prices;
    }
    if (status == SX_OK && !ask->plan.quick) {
        status = sx_how_sure(answer->problem, SX_SURE_DRAWS, &session->work, &plan->sure, err);
        plan->day.sure = &plan->sure;
    }
    return status;
}

const Question sx_question_plan = {ask_plan, sx_questions_plan_report, NULL, NULL};

/* --- shares -------------------------------------------------------------------------------------
 */

static bool same_rotation(const SxRotation *a, const SxRotation *b) {
    return a->libero == b->libero && a->libero_slot == b->libero_slot &&
           a->serve_libero == b->serve_libero && a->serve_libero_slot == b->serve_libero_slot &&
           a->passers == b->passers && a->sides == b->sides && a->receive == b->receive;
}

static bool same_play(const SxLineup *a, const SxLineup *b) {
    bool same = memcmp(&a->order, &b->order, sizeof a->order) == 0;
    for (int r = 0; r < SX_ROTATIONS && same; r++) {
        same = same_rotation(&a->rotation[r], &b->rotation[r]);
    }
    return same;
}

/* What a lineup wins, and where it starts. */
static SxStatus value(const SxSession *session, bool by_sets, SxLineup *lineup, SxOutlook *outlook,
                      SxError *err) {
    const Bench *bench = &session->bench;
    SxStatus status =
        by_sets ? sx_session_foresee(session, bench, lineup, outlook, err)
                : sx_lineup_outlook(&bench->problem, lineup, &session->fixture, outlook, err);
    if (status == SX_OK && bench->plan.start < 0) {
        lineup->start = outlook->start[SX_RECEIVE];
    }
    return status;
}

/* Equal lineups stand side by side. */
static SxStatus value_sets(const SxSession *session, SxShares *shares, SxError *err) {
    SxStatus status = SX_OK;
    for (int n = 0; n < shares->sets && status == SX_OK; n++) {
        if (n > 0 && same_play(&shares->set[n], &shares->set[n - 1])) {
            shares->set[n] = shares->set[n - 1];
            shares->outlook[n] = shares->outlook[n - 1];
        } else {
            status = value(session, shares->by_sets, &shares->set[n], &shares->outlook[n], err);
        }
    }
    shares->valued = status == SX_OK;
    return status;
}

/* By score, which adds up over sets; then, if winning sets is the goal, anew for every set. */
static SxStatus share(SxSession *session, int sets, SxShares *shares, SxError *err) {
    Bench *bench = &session->bench;
    const SxFixture *against = bench->problem.against;
    bench->problem.against = NULL;
    SxStatus status = sx_session_settle(session, bench, true, err);
    if (status == SX_OK) {
        status = sx_shares(&bench->problem, sets, &session->work, shares, err);
    }
    bench->problem.against = against;
    if (status == SX_OK && against) {
        status = sx_shares_to_win(&bench->problem, &session->work, shares, err);
        status = status == SX_OUT_OF_TIME ? SX_OK : status; /* what is there is an answer */
    }
    return status == SX_OK ? value_sets(session, shares, err) : status;
}

SxStatus sx_questions_shares(SxSession *session, int sets, SxAnswer *answer, SxError *err) {
    if (sets < 1 || sets > SX_MAX_SHARED_SETS) {
        return sx_fail(err, SX_USAGE, "playing time is shared over 1 to %d sets, not %d",
                       SX_MAX_SHARED_SETS, sets);
    }
    SxStatus status = sx_session_need_system(session, err);
    return status == SX_OK ? share(session, sets, &answer->shares, err) : status;
}

static SxStatus ask_shares(SxSession *session, const SxAsk *ask, SxAnswer *answer, SxError *err) {
    return sx_questions_shares(session, ask->shares.sets, answer, err);
}

static char *shares_report(const SxAnswer *answer, bool json) {
    return (json ? sx_shares_json : sx_shares_text)(answer->problem, &answer->shares);
}

const Question sx_question_shares = {ask_shares, shares_report, NULL, NULL};

/* --- odds ---------------------------------------------------------------------------------------
 */

static SxStatus ask_odds(SxSession *session, const SxAsk *ask, SxAnswer *answer, SxError *err) {
    (void)ask;
    SxOddsAnswer *odds = &answer->odds;
    SxStatus status = sx_session_need_system(session, err);
    if (status == SX_OK) {
        status = sx_session_lineup(session, &session->bench, err);
    }
    if (status != SX_OK) {
        return status;
    }
    odds->forecast = session->bench.forecast;
    return sx_kept_prices(answer->problem, &session->fixture, &odds->forecast.lineup,
                          odds->forecast.outlook.win, &session->work, &odds->prices, err);
}

static char *odds_report(const SxAnswer *answer, bool json) {
    const SxOddsAnswer *odds = &answer->odds;
    return (json ? sx_odds_json : sx_odds_text)(answer->problem, answer->fixture, &odds->forecast,
                                                &odds->prices);
}

const Question sx_question_odds = {ask_odds, odds_report, NULL, NULL};

/* --- fit ----------------------------------------------------------------------------------------
 */

/* The rates that the ratings give our lineup against an even opponent. */
static void predict(const SxSession *session, SxFitReport *report) {
    SxOpponent opponent;
    const SxFixture even = {&session->model, &opponent, NULL};
    SxRates rates;
    sx_even_opponent(&session->team, &session->model, &opponent);
    sx_lineup_rates(&session->bench.forecast.lineup, &even, &rates);
    for (int r = 0; r < SX_ROTATIONS; r++) {
        report->predicted[SX_RECEIVE][r] = rates.receive[r][0];
        report->predicted[SX_SERVE][r] = rates.serve[r][0];
    }
}

static SxStatus ask_fit(SxSession *session, const SxAsk *ask, SxAnswer *answer, SxError *err) {
    SxFitAnswer *fit = &answer->fit;
    SxFitReport *report = &fit->report;
    SxStatus status = sx_session_read_day(&ask->fit.day, &fit->log, err);
    if (status == SX_OK) {
        status = sx_session_need_system(session, err);
    }
    if (status == SX_OK) {
        status = sx_session_lineup(session, &session->bench, err);
    }
    if (status == SX_OK) {
        report->team = session->team.name;
        report->log = &fit->log;
        predict(session, report);
        status = sx_session_fit(session, &fit->log, &report->fit, err);
        sx_fit_check(&fit->log, report->predicted, &report->check);
    }
    return status;
}

static char *fit_report(const SxAnswer *answer, bool json) {
    return (json ? sx_fit_json : sx_fit_text)(&answer->fit.report);
}

static SxStatus rates_file(const SxAnswer *answer, char **bytes, size_t *size, SxError *err) {
    const SxFitReport *report = &answer->fit.report;
    *bytes = sx_rates_json(report->team, report->log, &report->fit);
    if (!*bytes) {
        return sx_out_of_memory(err);
    }
    *size = strlen(*bytes);
    return SX_OK;
}

const Question sx_question_fit = {ask_fit, fit_report, NULL, rates_file};
