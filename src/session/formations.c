/* The questions about drawn formations: check, mend. */
#include "session/questions.h"
#include "sixturn/drawnreport.h"
#include "sixturn/sentences.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static SxStatus read_formations(const SxSource *source, SxDrawnFile *file, SxError *err) {
    SxStatus status = source->text
                          ? sx_drawn_parse(source->text, source->length, source->name, file, err)
                      : source->name ? sx_drawn_read(source->name, file, err)
                                     : sx_fail(err, SX_USAGE, "drawn formations are needed");
    if (status == SX_OK) {
        *err = (SxError){.status = SX_OK};
    }
    return status;
}

/* The profile of each formation: the session's, the file's own, or the default. */
static SxStatus read_rules(SxSession *session, SxDrawnAnswer *drawn, SxError *err) {
    drawn->rules = calloc((size_t)drawn->file.count, sizeof *drawn->rules);
    if (!drawn->rules) {
        return sx_out_of_memory(err);
    }
    SxStatus status = SX_OK;
    for (int i = 0; i < drawn->file.count && status == SX_OK; i++) {
        const char *name = drawn->file.formation[i].rules;
        if (session->rules_given || !name[0]) {
            drawn->rules[i] = session->bench.rules;
        } else if (i > 0 && strcmp(name, drawn->file.formation[i - 1].rules) == 0) {
            drawn->rules[i] = drawn->rules[i - 1]; /* a file of many names few profiles */
        } else {
            status = sx_rules_load(name, &drawn->rules[i], err);
        }
    }
    return status;
}

static SxStatus prepare(SxSession *session, const SxAsk *ask, SxAnswer *answer, SxError *err) {
    answer->drawn.margin = ask->drawn.margin;
    SxStatus status = read_formations(&ask->drawn.formations, &answer->drawn.file, err);
    return status == SX_OK ? read_rules(session, &answer->drawn, err) : status;
}

static void drawn_free(SxAnswer *answer) {
    free(answer->drawn.rules);
    free(answer->drawn.results);
    free(answer->drawn.mends);
    sx_drawn_free(&answer->drawn.file);
}

/* --- check --------------------------------------------------------------------------------------
 */

static SxStatus ask_check(SxSession *session, const SxAsk *ask, SxAnswer *answer, SxError *err) {
    SxDrawnAnswer *drawn = &answer->drawn;
    SxStatus status = prepare(session, ask, answer, err);
    if (status != SX_OK) {
        return status;
    }
    drawn->legal = true;
    drawn->results = calloc((size_t)drawn->file.count, sizeof *drawn->results);
    if (!drawn->results) {
        return sx_out_of_memory(err);
    }
    for (int i = 0; i < drawn->file.count; i++) {
        sx_legality(&drawn->file.formation[i].stance, &drawn->rules[i], drawn->margin,
                    &drawn->results[i]);
        drawn->legal = drawn->legal && drawn->results[i].legal;
    }
    return SX_OK;
}

static char *check_report(const SxAnswer *answer, bool json) {
    const SxDrawnAnswer *drawn = &answer->drawn;
    return (json ? sx_check_json : sx_check_text)(&drawn->file, drawn->rules, drawn->margin,
                                                  drawn->results);
}

const Question sx_question_check = {ask_check, check_report, drawn_free, NULL};

/* --- mend ---------------------------------------------------------------------------------------
 */

/* SX_USAGE for a number that is in no formation of the file. */
static SxStatus find_locks(const SxDrawnAsk *ask, const SxDrawnFile *file, SxError *err) {
    for (int i = 0; i < ask->lock_count; i++) {
        bool found = false;
        for (int f = 0; f < file->count; f++) {
            found |= sx_drawn_find(&file->formation[f], ask->locks[i]) != 0;
        }
        if (!found) {
            return sx_fail(err, SX_USAGE, "--lock %d: nobody in the file has this number",
                           ask->locks[i]);
        }
    }
    return SX_OK;
}

static void set_locks(const SxDrawnAsk *ask, const SxDrawn *drawn, SxMendOptions *options) {
    for (int i = 0; i < ask->lock_count; i++) {
        int position = sx_drawn_find(drawn, ask->locks[i]);
        if (position) {
            options->locked[position - 1] = true;
        }
    }
}

/* Puts the formation and the numbers in front of what mending says. */
static SxStatus explain(const SxDrawn *drawn, const SxMend *mend, SxStatus status, SxError *err) {
    char title[SX_NAME_SIZE + 64], numbers[128] = "", reason[SX_ERROR_MESSAGE / 2];
    size_t used = 0;
    if (status != SX_NO) {
        return status;
    }
    for (int i = 0; i < SX_POSITIONS; i++) {
        if (mend->conflict[i]) {
            used += (size_t)snprintf(numbers + used, sizeof numbers - used, "%s%d",
                                     used ? ", " : " (numbers ", drawn->player[i].number);
        }
    }
    snprintf(reason, sizeof reason, "%s", err->message);
    return sx_fail(err, SX_NO, "%s: %s%s%s", sx_drawn_title(drawn, title, sizeof title), reason,
                   numbers, used ? "); unlock one of them" : "");
}

/* Mends every formation, or none. */
static SxStatus ask_mend(SxSession *session, const SxAsk *ask, SxAnswer *answer, SxError *err) {
    SxDrawnAnswer *drawn = &answer->drawn;
    SxStatus status = prepare(session, ask, answer, err);
    if (status == SX_OK) {
        status = find_locks(&ask->drawn, &drawn->file, err);
    }
    if (status != SX_OK) {
        return status;
    }
    drawn->mends = calloc((size_t)drawn->file.count, sizeof *drawn->mends);
    if (!drawn->mends) {
        return sx_out_of_memory(err);
    }
    for (int i = 0; i < drawn->file.count && status == SX_OK; i++) {
        const SxDrawn *formation = &drawn->file.formation[i];
        SxMendOptions options = {.margin = drawn->margin, .fewest = ask->drawn.fewest};
        set_locks(&ask->drawn, formation, &options);
        status =
            sx_work_over(&session->work)
                ? sx_fail(err, SX_OUT_OF_TIME, "the time was up before all were mended")
                : sx_mend(&formation->stance, &drawn->rules[i], &options, &drawn->mends[i], err);
        status = explain(formation, &drawn->mends[i], status, err);
    }
    return status;
}

static char *mend_report(const SxAnswer *answer, bool json) {
    const SxDrawnAnswer *drawn = &answer->drawn;
    return (json ? sx_mend_json : sx_mend_text)(&drawn->file, drawn->rules, drawn->margin,
                                                drawn->mends);
}

/* The formations with everybody where she stands after mending. */
static SxStatus mended_file(const SxAnswer *answer, char **bytes, size_t *size, SxError *err) {
    SxDrawnFile moved = answer->drawn.file;
    moved.formation = calloc((size_t)moved.count, sizeof *moved.formation);
    if (!moved.formation) {
        return sx_out_of_memory(err);
    }
    for (int i = 0; i < moved.count; i++) {
        moved.formation[i] = answer->drawn.file.formation[i];
        memcpy(moved.formation[i].stance.spot, answer->drawn.mends[i].spot,
               sizeof answer->drawn.mends[i].spot);
    }
    *bytes = sx_drawn_write(&moved);
    free(moved.formation);
    if (!*bytes) {
        return sx_out_of_memory(err);
    }
    /* A text file ends with a line end; it takes the place of the closing zero. */
    *size = strlen(*bytes) + 1;
    (*bytes)[*size - 1] = '\n';
    return SX_OK;
}

const Question sx_question_mend = {ask_mend, mend_report, drawn_free, mended_file};
