/* The questions whose answer is drawn: sheet, report. */
#include "session/questions.h"

#include "report/whatif.h"

#include <math.h>
#include <stdlib.h>

static double rate(const SxOutlook *outlook, int rotation, SxPhase phase) {
    const double rallies = outlook->rallies_in[rotation][phase];
    return rallies > 0 ? outlook->points_in[rotation][phase] / rallies : NAN;
}

static void take_odds(const SxSession *session, const SxOutlook *outlook, SxSheetOdds *odds) {
    for (int r = 0; r < SX_ROTATIONS; r++) {
        odds->side_out[r] = rate(outlook, r, SX_RECEIVE);
        odds->break_point[r] = rate(outlook, r, SX_SERVE);
        odds->set_receiving[r] = outlook->set.mean[SX_RECEIVE][r];
        odds->set_serving[r] = outlook->set.mean[SX_SERVE][r];
    }
    odds->against = session->opponent.name;
}

/* Rules of thumb for the set, from the bench. A lineup that substitutes by itself uses up what they
 * count on, so it gets none. */
static SxStatus keep_in_mind(const SxSession *session, SxAnswer *answer, SxError *err) {
    SxSheetAnswer *sheet = &answer->sheet;
    const SxLineup *lineup = &answer->plan.forecast.lineup;
    const SxStanding standing = {.ours = SX_NOT_SAID,
                                 .serving = SX_NOT_SAID,
                                 .theirs = SX_NOT_SAID,
                                 .used = SX_NOT_SAID,
                                 .from_bench = true};
    if (sx_work_over(&session->work) || sx_substitutions_per_cycle(lineup) > 0) {
        return SX_OK;
    }
    SxStatus status =
        sx_advice(answer->problem, lineup, answer->fixture, &standing, &sheet->advice, err);
    if (status != SX_OK) {
        return status;
    }
    sheet->sheet.advice = &sheet->advice;
    sheet->sheet.thumb = &sheet->thumb;
    return sx_advice_card(answer->problem, lineup, answer->fixture, &sheet->advice, SX_THUMB_WORTH,
                          &sheet->thumb, err);
}

/* The lineup of one of several sets, as if it were the plan's. */
static SxStatus take_set(SxSession *session, int sets, int set, SxAnswer *answer, SxError *err) {
    if (set < 1 || set > sets) {
        return sx_fail(err, SX_USAGE, "there is no set %d of %d: say which with --set", set, sets);
    }
    SxForecast *forecast = &answer->plan.forecast;
    SxStatus status = sx_questions_shares(session, sets, answer, err);
    if (status != SX_OK) {
        return status;
    }
    forecast->lineup = answer->shares.set[set - 1];
    forecast->outlook = answer->shares.outlook[set - 1];
    return sx_match_day(answer->problem, &forecast->lineup, &forecast->outlook, &answer->plan.day,
                        err);
}

/* Before the lineup is sought; in the words of those who cannot draw. */
static SxStatus need_drawings(SxError *err) {
    static const SxSheet nothing;
    char *bytes = NULL;
    size_t size = 0;
    return sx_has_drawings() ? SX_OK : sx_sheet_render(&nothing, SX_FILE_SVG, &bytes, &size, err);
}

/* The lineup with everything that a drawing of it needs. */
static SxStatus draw(SxSession *session, SxShow show, int sets, int set, SxAnswer *answer,
                     SxError *err) {
    SxSheetAnswer *sheet = &answer->sheet;
    SxStatus status = need_drawings(err);
    if (status == SX_OK) {
        status = sets || set ? take_set(session, sets, set, answer, err)
                             : sx_questions_plan(session, answer, err);
    }
    if (status == SX_OK) {
        take_odds(session, &answer->plan.forecast.outlook, &sheet->odds);
        sx_sheet_default(&sheet->sheet, answer->problem, &answer->plan.forecast.lineup);
        sheet->sheet.serve = answer->plan.day.serve.at;
        sheet->sheet.odds = &sheet->odds;
        for (int phase = 0; phase < SX_PHASES; phase++) {
            sheet->sheet.start[phase] = answer->plan.forecast.outlook.start[phase];
        }
        sheet->sheet.changes = &answer->plan.day.changes;
        sheet->sheet.outlook = &answer->plan.forecast.outlook;
        sheet->sheet.show = show;
        sheet->sheet.set = set;
        sheet->sheet.sets = sets;
        status = keep_in_mind(session, answer, err);
    }
    return status;
}

/* --- sheet --------------------------------------------------------------------------------------
 */

static SxStatus ask_sheet(SxSession *session, const SxAsk *ask, SxAnswer *answer, SxError *err) {
    int player = ask->sheet.cards ? SX_EVERY_CARD : SX_WHOLE_TEAM;
    if (ask->sheet.rotation && (ask->sheet.cards || ask->sheet.player)) {
        return sx_fail(err, SX_USAGE, "a rotation is for the pages of the wall, not for cards");
    }
    if (ask->sheet.cards && ask->sheet.player) {
        return sx_fail(err, SX_USAGE, "everybody's cards, or one player's: ask for one of the two");
    }
    if (ask->sheet.player) {
        player = sx_questions_player(&session->team, ask->sheet.player, err);
        if (player < 0) {
            return SX_USAGE;
        }
    }
    SxStatus status = draw(session, ask->sheet.show, ask->sheet.sets, ask->sheet.set, answer, err);
    answer->sheet.kind = ask->sheet.kind;
    answer->sheet.sheet.paper = ask->sheet.paper;
    answer->sheet.sheet.player = player;
    answer->sheet.sheet.rotation = ask->sheet.rotation;
    return status;
}

static SxStatus sheet_file(const SxAnswer *answer, char **bytes, size_t *size, SxError *err) {
    return sx_sheet_render(&answer->sheet.sheet, answer->sheet.kind, bytes, size, err);
}

const Question sx_question_sheet = {ask_sheet, sx_questions_plan_report, NULL, sheet_file};

/* --- report -------------------------------------------------------------------------------------
 */

static SxStatus absences(SxSession *session, SxAnswer *answer, SxError *err) {
    const SxTeam *team = &session->team;
    int cases[SX_MAX_PLAYERS][SX_TOGETHER], count = 0;
    for (int p = 0; p < team->player_count; p++) {
        if (team->players[p].available) {
            cases[count][0] = p;
            cases[count++][1] = SX_NOBODY;
        }
    }
    return sx_absent(answer->problem, answer->systems, cases, count, &session->work,
                     &answer->report.absences, err);
}

static SxStatus ask_what_if(SxSession *session, SxAnswer *answer, SxError *err) {
    SxReportAnswer *report = &answer->report;
    const SxSystemSet *systems = answer->systems = &session->systems[0];
    report->systems = calloc((size_t)systems->count + 1, sizeof *report->systems);
    if (!report->systems) {
        return sx_out_of_memory(err);
    }
    const SxForecast *forecast = &answer->plan.forecast;
    SxStatus status = sx_kept_prices(answer->problem, &session->fixture, &forecast->lineup,
                                     forecast->outlook.win, &session->work, &report->prices, err);
    if (status == SX_OK) {
        status = absences(session, answer, err);
    }
    if (status == SX_OK) {
        status = sx_setters(answer->problem, systems, &session->work, &report->setters, err);
    }
    return status == SX_OK
               ? sx_systems_compare(answer->problem, systems, &session->work, report->systems, err)
               : status;
}

static SxStatus ask_report(SxSession *session, const SxAsk *ask, SxAnswer *answer, SxError *err) {
    const bool brief = ask->report.brief || ask->report.sets;
    answer->report.brief = brief;
    SxStatus status = brief ? SX_OK : sx_session_need_systems(session, false, err);
    if (status == SX_OK) {
        status = draw(session, ask->report.show, ask->report.sets, ask->report.set, answer, err);
    }
    if (status == SX_OK && !brief) {
        status = ask_what_if(session, answer, err);
        answer->report.stopped = sx_work_over(&session->work);
    }
    /* the lineup is there: what could not be asked in time is left out */
    return status == SX_OUT_OF_TIME && answer->report.stopped ? SX_OK : status;
}

static SxStatus report_file(const SxAnswer *answer, char **bytes, size_t *size, SxError *err) {
    const SxReportAnswer *report = &answer->report;
    WhatIf tables = {.count = 0};
    SxStatus status = SX_OK;
    if (!report->brief) {
        status = sx_what_if_tell(answer->problem, answer->systems, &answer->plan.forecast.lineup,
                                 &report->prices, &report->absences, &report->setters,
                                 report->systems, report->stopped, &tables, err);
    }
    if (status == SX_OK) {
        const SxHtml html = {answer->sheet.sheet, tables.count, tables.table};
        status = sx_html_render(&html, bytes, size, err);
    }
    sx_what_if_free(&tables);
    return status;
}

static void report_free(SxAnswer *answer) {
    sx_absences_free(&answer->report.absences);
    sx_setters_free(&answer->report.setters);
    free(answer->report.systems);
}

const Question sx_question_report = {ask_report, sx_questions_plan_report, report_free,
                                     report_file};
