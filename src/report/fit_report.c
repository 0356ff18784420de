/* Rates fitted to a rally log, as text and as JSON. */
#include "sixturn/oddsreport.h"

#include "core/jsonwrite.h"
#include "core/numbers.h"
#include "core/stream.h"
#include "report/lines.h"

#include <cjson/cJSON.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

static const double PERCENT = 100;
static const double DOUBTFUL = 0.05; /* p-value below which the ratings are said not to fit */
static const char *const titles[SX_PHASES] = {
    [SX_RECEIVE] = "Side-out (they serve)", [SX_SERVE] = "Break points (we serve)"};

static void print_line(FILE *out, const char *name, const SxMeasured *m) {
    fprintf(out, "  %-10s %5d of %5d", name, m->seen.won, m->seen.played);
    if (m->seen.played > 0) {
        fprintf(out, "    %.3f", (double)m->seen.won / m->seen.played);
    } else {
        fputs("        -", out);
    }
    fprintf(out, "    %.3f   %.3f to %.3f", m->rate, m->low, m->high);
}

static void print_phase(FILE *out, const SxFitReport *report, int phase) {
    fprintf(out,
            "\n%s\n  rotation     won of played     seen   likely    9 times in 10   ratings\n",
            titles[phase]);
    for (int r = 0; r < SX_ROTATIONS; r++) {
        char name[16];
        snprintf(name, sizeof name, "%d", r + 1);
        print_line(out, name, &report->fit.rotation[phase][r]);
        fprintf(out, "    %.3f\n", report->predicted[phase][r]);
    }
    print_line(out, "team", &report->fit.team[phase]);
    fprintf(out, "\n  What was seen in a rotation counts half when it has %.0f rallies.\n",
            report->fit.strength[phase]);
}

/* "rotations 3 and 6 are worse than the others, beyond chance". */
static void add_apart(Phrase *phrase, unsigned rotations, const char *how) {
    if (rotations) {
        sx_phrase_add(phrase, phrase->used ? "; " : "");
        sx_phrase_rotations(phrase, rotations);
        sx_phrase_add(phrase, " %s %s than the team as a whole, beyond chance",
                      sx_count_members(rotations) == 1 ? "does" : "do", how);
    }
}

static void print_verdict(FILE *out, const SxFitReport *report, const SxFitVerdict *verdict,
                          int phase) {
    static const char *const doing[SX_PHASES] = {
        [SX_RECEIVE] = "Receiving", [SX_SERVE] = "Serving"};
    const int weakest = verdict->weakest[phase], more = verdict->more[phase];
    Phrase phrase = {.used = 0};
    add_apart(&phrase, verdict->below[phase], "worse");
    add_apart(&phrase, verdict->above[phase], "better");
    if (more != 0) {
        sx_phrase_add(&phrase, phrase.used ? "; " : "");
        sx_phrase_add(
            &phrase, "rotation %d looks weakest (%.2f, the team %.2f), which may be chance",
            weakest + 1, report->fit.rotation[phase][weakest].rate, report->fit.team[phase].rate);
    }
    if (more > 0) {
        sx_phrase_add(&phrase, "; about %d more rallies in it would tell", more);
    }
    sx_lines_line(out, "%s: %s.", doing[phase], phrase.text);
}

static void add_gap(Phrase *phrase, const SxLogGap *gap) {
    sx_phrase_add(phrase, "%srow %d", phrase->used ? ", " : "", gap->row);
    if (gap->character > 0) {
        sx_phrase_add(phrase, ", character %d", gap->character);
    }
    sx_phrase_add(phrase, " (expected rotation %d, we %s)", gap->rotation + 1,
                  gap->phase == SX_SERVE ? "serve" : "receive");
}

static void print_gaps(FILE *out, const SxRallyLog *log) {
    Phrase phrase = {.used = 0};
    const int shown = log->gaps < SX_LOG_GAPS ? log->gaps : SX_LOG_GAPS;
    for (int i = 0; i < shown; i++) {
        add_gap(&phrase, &log->gap[i]);
    }
    if (log->gaps > 0) {
        const bool letters = log->gap[0].character > 0;
        sx_lines_line(out,
                      "%d %s%s cannot follow %s before, so a rally may be missing or a word "
                      "wrong: %s%s.",
                      log->gaps, letters ? "place" : "row", log->gaps == 1 ? "" : "s",
                      letters ? "the letters" : "the row", phrase.text,
                      log->gaps > shown ? " and others" : "");
    }
}

static void print_check(FILE *out, const SxFitCheck *check) {
    fputs("\nDo the ratings explain how the rotations differ?\n", out);
    sx_lines_line(out,
                  "%s If they were right, %.0f of 100 such logs would be as far from them as this "
                  "one.",
                  check->p_value < DOUBTFUL ? "The log does not bear them out."
                                            : "The log does not speak against them.",
                  PERCENT * check->p_value);
}

char *sx_fit_text(const SxFitReport *report) {
    SX_PLAIN_NUMBERS;
    SxStream text;
    if (!sx_stream_open(&text)) {
        return NULL;
    }
    FILE *out = text.out;
    fprintf(out, "%s: %d rallies of %d set%s\n", report->team, report->log->rallies,
            report->log->sets, report->log->sets == 1 ? "" : "s");
    SxFitVerdict verdict;
    sx_fit_verdict(&report->fit, &verdict);
    for (int phase = 0; phase < SX_PHASES; phase++) {
        print_verdict(out, report, &verdict, phase);
    }
    print_gaps(out, report->log);
    for (int phase = 0; phase < SX_PHASES; phase++) {
        print_phase(out, report, phase);
    }
    print_check(out, &report->check);
    fputs("\nLikely: how often we win the rally, drawn from what was seen towards the whole\n"
          "team's, the more so the fewer the rallies. Ratings: what the rally model says of\n"
          "the lineup against a team as good as ours.\n",
          out);
    return sx_stream_close(&text);
}

static cJSON *measured_json(const SxMeasured *measured) {
    cJSON *item = cJSON_CreateObject();
    sx_put_number(item, "rate", measured->rate);
    sx_put_number(item, "low", measured->low);
    sx_put_number(item, "high", measured->high);
    sx_put_number(item, "won", measured->seen.won);
    sx_put_number(item, "played", measured->seen.played);
    return item;
}

char *sx_fit_json(const SxFitReport *report) {
    static const char *const names[SX_PHASES] = {[SX_RECEIVE] = "receive", [SX_SERVE] = "serve"};
    cJSON *root = cJSON_CreateObject();
    sx_put_text(root, "format", "sixturn-fit-result-1");
    sx_put_text(root, "team", report->team);
    sx_put_number(root, "rallies", report->log->rallies);
    sx_put_number(root, "sets", report->log->sets);
    cJSON *gaps = sx_put_array(root, "gaps");
    for (int i = 0; i < report->log->gaps && i < SX_LOG_GAPS; i++) {
        cJSON *gap = sx_push_object(gaps);
        sx_put_number(gap, "row", report->log->gap[i].row);
        if (report->log->gap[i].character > 0) {
            sx_put_number(gap, "character", report->log->gap[i].character);
        } else {
            sx_put_null(gap, "character");
        }
        sx_put_number(gap, "expected_rotation", report->log->gap[i].rotation + 1);
        sx_put_text(gap, "expected_phase", names[report->log->gap[i].phase]);
    }
    for (int phase = 0; phase < SX_PHASES; phase++) {
        cJSON *item = sx_put_object(root, names[phase]);
        sx_put(item, "team", measured_json(&report->fit.team[phase]));
        sx_put_number(item, "strength", report->fit.strength[phase]);
        cJSON *list = sx_put_array(item, "rotations");
        for (int r = 0; r < SX_ROTATIONS; r++) {
            cJSON *one = measured_json(&report->fit.rotation[phase][r]);
            sx_put_number(one, "by_ratings", report->predicted[phase][r]);
            sx_push(list, one);
        }
    }
    cJSON *check = sx_put_object(root, "check");
    sx_put_number(check, "deviance", report->check.deviance);
    sx_put_number(check, "team_deviance", report->check.team_deviance);
    sx_put_number(check, "freedom", report->check.freedom);
    sx_put_number(check, "p_value", report->check.p_value);
    return sx_put_print(root);
}
