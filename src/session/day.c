/* The rallies of a day, from a log and from sets in letters, and the rates that a fit makes of
 * them. */
#include "analysis/rallies.h"
#include "session/session.h"

#include <stdio.h>
#include <string.h>

enum { NAME_SIZE = 32 };

static SxStatus read_source(const SxSource *source, SxRallyLog *log, SxError *err) {
    return source->text ? sx_rally_log_parse(source->text, source->length, source->name, log, err)
                        : sx_rally_log_read(source->name, log, err);
}

/* One set; its letters are its text whatever stands in them, and never a sheet. */
static SxStatus read_set(const char *text, int number, SxRallyLog *log, SxError *err) {
    char name[NAME_SIZE];
    snprintf(name, sizeof name, "rallies of set %d", number);
    return sx_letters_parse(text, strlen(text), name, log, err);
}

bool sx_day_given(const SxDay *day) {
    return day->log.text || day->log.name || day->sets > 0;
}

SxStatus sx_session_read_day(const SxDay *day, SxRallyLog *log, SxError *err) {
    SxStatus status = SX_OK;
    memset(log, 0, sizeof *log);
    if (!sx_day_given(day)) {
        return sx_fail(err, SX_USAGE, "a rally log is needed");
    }
    if (day->log.text || day->log.name) {
        status = read_source(&day->log, log, err);
    }
    for (int k = 0; status == SX_OK && k < day->sets; k++) {
        SxRallyLog set;
        status = read_set(day->set[k], k + 1, &set, err);
        if (status == SX_OK) {
            sx_rally_log_add(log, &set);
        }
    }
    if (status == SX_OK) {
        *err = (SxError){.status = SX_OK};
    }
    return status;
}

SxStatus sx_session_fit(const SxSession *session, const SxRallyLog *log, SxFit *fit, SxError *err) {
    const double side_out = session->model.levels[session->model.level].side_out;
    const double expected[SX_PHASES] = {[SX_RECEIVE] = side_out, [SX_SERVE] = 1 - side_out};
    return sx_fit(log, expected, fit, err);
}

SxStatus sx_session_take_day(const SxDay *day, SxSession *session, SxError *err) {
    SxFit fit;
    SxStatus status = sx_session_read_day(day, &session->day, err);
    if (status == SX_OK) {
        status = sx_session_fit(session, &session->day, &fit, err);
    }
    if (status == SX_OK) {
        sx_rates_of_fit(&session->day, &fit, &session->measured);
    }
    return status;
}

bool sx_day_warning(const SxRallyLog *log, char *text, size_t size) {
    const SxLogGap *gap = &log->gap[0];
    char place[NAME_SIZE] = "";
    if (log->gaps == 0) {
        return false;
    }
    if (gap->character > 0) {
        snprintf(place, sizeof place, ", character %d", gap->character);
    }
    snprintf(text, size,
             "the log of the day: row %d%s%s cannot follow what stands before (expected rotation "
             "%d, we %s), so a rally may be missing",
             gap->row, place, log->gaps > 1 ? " and others" : "", gap->rotation + 1,
             gap->phase == SX_SERVE ? "serve" : "receive");
    return true;
}
