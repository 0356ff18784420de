/* Planned substitutions as a coach calls them, and when to stop them. */
#include "report/matchday.h"
#include "sixturn/sentences.h"

#include <ctype.h>
#include <stdio.h>
#include <string.h>

char *sx_ordinal(int number, char *text, size_t size) {
    static const char *const words[] = {"zeroth", "first",    "second",  "third",  "fourth",
                                        "fifth",  "sixth",    "seventh", "eighth", "ninth",
                                        "tenth",  "eleventh", "twelfth"};
    enum { WORDS = sizeof words / sizeof *words, TENS = 10, TEEN = 1 };
    static const char *const endings[] = {"th", "st", "nd", "rd"};
    if (number >= 0 && number < WORDS) {
        snprintf(text, size, "%s", words[number]);
        return text;
    }
    const int last = number % TENS;
    const bool plain =
        number / TENS % TENS != TEEN && last >= 0 && last < (int)(sizeof endings / sizeof *endings);
    snprintf(text, size, "%d%s", number, endings[plain ? last : 0]);
    return text;
}

char *sx_change_text(const SxChange *change, const SxTeam *team, char *text, size_t size) {
    char times[SX_ORDINAL_SIZE];
    snprintf(text, size, "Into rotation %d, %s time round: #%d for #%d (%s)", change->rotation + 1,
             sx_ordinal(change->cycle + 1, times, sizeof times), team->players[change->in].number,
             team->players[change->out].number,
             sx_position_name(sx_position(change->slot, change->rotation)));
    return text;
}

static const double SELDOM = 0.005; /* changes that so few sets come to are not told */

static void add_lead(Phrase *phrase, int lead) {
    if (lead > 0) {
        sx_phrase_add(phrase, "lead by %d or more", lead);
    } else if (lead == 0) {
        sx_phrase_add(phrase, "are level or lead");
    } else {
        sx_phrase_add(phrase, "lead, are level or trail by at most %d", -lead);
    }
}

static void add_numbers(Phrase *phrase, int first, int last) {
    sx_phrase_add(phrase, "%d", first);
    if (last > first) {
        sx_phrase_add(phrase, "%s %d", last == first + 1 ? " and" : " to", last);
    }
}

/* The changes from one halt to the next but with the same rule always: made. Returns the halt
 * after.
 */
static int add_rule(Phrase *phrase, const SxStopping *stopping, int n) {
    const SxHalt *halt = &stopping->halt[n];
    int next = n + 1;
    while (halt->rule == SX_CHANGE_MADE && next < stopping->count &&
           stopping->halt[next].rule == SX_CHANGE_MADE && stopping->halt[next].due >= SELDOM) {
        next++;
    }
    sx_phrase_add(phrase, "%s", phrase->used == 0 ? "Make " : "; ");
    add_numbers(phrase, halt->changes + 1,
                next < stopping->count ? stopping->halt[next].changes : halt->changes + 1);
    if (halt->rule == SX_CHANGE_MADE_FROM) {
        sx_phrase_add(phrase, " only if you ");
        add_lead(phrase, halt->lead);
    } else if (halt->rule == SX_CHANGE_MADE_UP_TO) {
        sx_phrase_add(phrase, " unless you ");
        add_lead(phrase, halt->lead + 1);
    }
    return next;
}

char *sx_stopping_text(const SxStopping *stopping, const SxAfterLimit *after, char *text,
                       size_t size) {
    Phrase phrase = {.used = 0};
    const double gain = stopping->rule_win - stopping->fixed_win;
    int n = 0;
    while (stopping->by_score && n < stopping->count && stopping->halt[n].due >= SELDOM &&
           stopping->halt[n].rule != SX_CHANGE_NOT_MADE) {
        n = add_rule(&phrase, stopping, n);
    }
    if (n > 0) {
        sx_phrase_add(&phrase, ". If not, and after these, stop and play on as %s. To ",
                      after->system);
        if (after->changes > 0) {
            sx_phrase_add(&phrase, "stop after %d", after->changes);
        } else {
            sx_phrase_add(&phrase, "make none");
        }
        sx_phrase_add(&phrase, ", whatever the score, wins %.1f sets of 100 fewer.", 100 * gain);
    } else if (after->changes > 0) {
        sx_phrase_add(&phrase, "Make the first %d, then stop and play on as %s.", after->changes,
                      after->system);
    } else {
        sx_phrase_add(&phrase, "Do not make these substitutions: play on as %s.", after->system);
    }
    snprintf(text, size, "%s", phrase.text);
    return text;
}

bool sx_stopping_texts(const SxOutlook *outlook, char text[SX_PHASES][SX_STOPPING_SIZE]) {
    for (int phase = 0; phase < SX_PHASES; phase++) {
        sx_stopping_text(&outlook->stopping[phase], &outlook->after[phase], text[phase],
                         SX_STOPPING_SIZE);
    }
    return strcmp(text[SX_RECEIVE], text[SX_SERVE]) == 0;
}

void sx_stopping_lines(FILE *out, const SxOutlook *outlook) {
    static const char *const head[SX_PHASES] = {
        [SX_RECEIVE] = "If they serve first: ", [SX_SERVE] = "If we serve first: "};
    char text[SX_PHASES][SX_STOPPING_SIZE];
    if (!outlook->after[SX_RECEIVE].found || !outlook->after[SX_SERVE].found) {
        return;
    }
    if (sx_stopping_texts(outlook, text)) {
        sx_lines_wrap(out, 2, 4, text[0]);
        return;
    }
    for (int phase = 0; phase < SX_PHASES; phase++) {
        char line[SX_STOPPING_SIZE + 32];
        text[phase][0] = (char)tolower((unsigned char)text[phase][0]);
        snprintf(line, sizeof line, "%s%s", head[phase], text[phase]);
        sx_lines_wrap(out, 2, 4, line);
    }
}
