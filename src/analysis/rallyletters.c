/* A set of rallies in letters, a line each: where it starts, then w for won and l for lost. What
 * follows from the letters is worked out; what the coach adds in between is held against it. */
#include "analysis/rallies.h"

#include "core/problems.h"
#include "core/text.h"
#include "sixturn/setodds.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { LONGEST_WORD = 16, PLACE_TEXT = 32, LETTER_BIT = 0x20 /* of ASCII's small letters */ };

typedef struct {
    SxProblems problems;
    SxRallyLog log;
    const char *line, *at; /* the line being read, and where */
    int row;
    SxServing now;                                       /* before the next rally */
    bool ours_told, phase_told, theirs_told, score_told; /* since the last rally */
    int told_ours, told_theirs, told_points[2];
    SxPhase told_phase;
    const char *told_at; /* the first of them */
    bool begun;
    int problems_before; /* of other lines */
    int points[2];       /* theirs, ours */
    int rallies;
} Letters;

/* Whatever the caller's locale calls a letter. */
static bool is_digit(char c) {
    return c >= '0' && c <= '9';
}

static bool is_letter(char c) {
    const char small = (char)(c | LETTER_BIT);
    return small >= 'a' && small <= 'z';
}

static int character_of(const Letters *letters, const char *at) {
    return (int)(at - letters->line) + 1;
}

static void wrong(Letters *letters, const char *at, const char *message) {
    char place[PLACE_TEXT];
    snprintf(place, sizeof place, "character %d", character_of(letters, at));
    sx_problem(&letters->problems, letters->row, -1, place, "%s", message);
}

/* The line so far. */
static bool is_right(const Letters *letters) {
    return letters->problems.lines.count == letters->problems_before;
}

/* --- what is told of the next rally -------------------------------------------------------------
 */

static void tell(Letters *letters, const char *at) {
    if (!letters->told_at) {
        letters->told_at = at;
    }
}

static void forget(Letters *letters) {
    letters->ours_told = letters->phase_told = letters->theirs_told = letters->score_told = false;
    letters->told_at = NULL;
}

static void start_set(Letters *letters, const char *at) {
    if (!letters->ours_told || !letters->phase_told) {
        wrong(letters, letters->told_at ? letters->told_at : at,
              "a set starts with our rotation and serve or receive, as '3 receive wlwwl'");
        return;
    }
    letters->now =
        (SxServing){letters->told_ours, letters->theirs_told ? letters->told_theirs : SX_UNSEEN,
                    letters->told_phase};
    if (letters->score_told) {
        memcpy(letters->points, letters->told_points, sizeof letters->points);
    }
    letters->begun = true;
    letters->log.sets++;
}

static void check_score(Letters *letters) {
    if (letters->score_told &&
        memcmp(letters->points, letters->told_points, sizeof letters->points) != 0) {
        char message[SX_ERROR_MESSAGE];
        snprintf(message, sizeof message, "the letters come to %d-%d here, found %d-%d",
                 letters->points[1], letters->points[0], letters->told_points[1],
                 letters->told_points[0]);
        wrong(letters, letters->told_at, message);
    }
}

/* A rally may be missing where what is told does not follow: told, and gone on from there. */
static void check_follows(Letters *letters) {
    const SxServing should = letters->now;
    const SxServing told = {letters->ours_told ? letters->told_ours : should.ours,
                            letters->theirs_told ? letters->told_theirs : should.theirs,
                            letters->phase_told ? letters->told_phase : should.phase};
    const bool ours = told.ours == should.ours && told.phase == should.phase;
    const bool theirs = should.theirs == SX_UNSEEN || told.theirs == should.theirs;
    if (!ours || !theirs) {
        const SxLogGap gap = {letters->row, character_of(letters, letters->told_at), should.ours,
                              should.phase};
        sx_log_gap(&letters->log, &gap);
    }
    letters->now = told;
    if (!ours && !letters->theirs_told) {
        letters->now.theirs = SX_UNSEEN;
    }
}

/* What was told stands before the next rally, or behind the last one of the set. */
static void settle(Letters *letters, const char *at) {
    if (!letters->begun) {
        start_set(letters, at);
    } else if (letters->told_at) {
        check_score(letters);
        check_follows(letters);
    }
    forget(letters);
}

/* --- words --------------------------------------------------------------------------------------
 */

static bool set_is_over(const Letters *letters) {
    const int most = letters->points[letters->points[1] > letters->points[0]];
    return most >= SX_SET_TARGET && abs(letters->points[1] - letters->points[0]) >= 2;
}

static void play(Letters *letters, const char *at, bool won) {
    if (set_is_over(letters)) {
        char message[SX_ERROR_MESSAGE];
        snprintf(message, sizeof message,
                 "the set was over at %d-%d; the next set starts on a line of its own",
                 letters->points[1], letters->points[0]);
        wrong(letters, at, message);
        return;
    }
    sx_log_count(&letters->log, &letters->now, won);
    letters->now = sx_serving_after(&letters->now, won);
    letters->points[won]++;
    letters->rallies++;
}

static bool says(const char *word, const char *whole) {
    return strcmp(word, whole) == 0 || (word[0] == whole[0] && !word[1]);
}

static int take_number(Letters *letters) {
    enum { MOST = 999 };
    int value = 0;
    while (is_digit(*letters->at)) {
        value = value > MOST ? value : 10 * value + (*letters->at - '0');
        letters->at++;
    }
    return value;
}

/* A rotation, or a score with ours first. */
static void read_number(Letters *letters, bool theirs) {
    const char *start = letters->at;
    const int value = take_number(letters);
    tell(letters, start);
    if (*letters->at == '-' && is_digit(letters->at[1])) {
        letters->at++;
        letters->told_points[1] = value;
        letters->told_points[0] = take_number(letters);
        letters->score_told = true;
        if (value > SX_MAX_POINTS || letters->told_points[0] > SX_MAX_POINTS || theirs) {
            wrong(letters, start,
                  theirs ? "expected their rotation from 1 to 6, found a score"
                         : "there is no such score");
        }
        return;
    }
    if (value < 1 || value > SX_ROTATIONS) {
        wrong(letters, start, theirs ? "their rotation is 1 to 6" : "our rotation is 1 to 6");
    } else if (theirs) {
        letters->told_theirs = value - 1;
        letters->theirs_told = true;
    } else {
        letters->told_ours = value - 1;
        letters->ours_told = true;
    }
}

static void read_rallies(Letters *letters, const char *start) {
    settle(letters, start);
    for (const char *c = start; c < letters->at && is_right(letters); c++) {
        play(letters, c, *c == 'w' || *c == 'W');
    }
}

static void tell_phase(Letters *letters, const char *start, SxPhase phase) {
    tell(letters, start);
    letters->told_phase = phase;
    letters->phase_told = true;
}

static void read_theirs(Letters *letters, const char *start) {
    while (*letters->at == ' ') {
        letters->at++;
    }
    if (is_digit(*letters->at)) {
        tell(letters, start);
        read_number(letters, true);
    } else {
        wrong(letters, letters->at, "expected their rotation after 'against'");
    }
}

static void read_word(Letters *letters) {
    const char *start = letters->at;
    char word[LONGEST_WORD] = "";
    size_t used = 0;
    bool rallies = true;
    while (is_letter(*letters->at)) {
        const char small = (char)(*letters->at++ | LETTER_BIT);
        rallies = rallies && (small == 'w' || small == 'l');
        if (used + 1 < sizeof word) {
            word[used++] = small;
        }
    }
    if (rallies) {
        read_rallies(letters, start);
    } else if (says(word, "serve") || says(word, "receive")) {
        tell_phase(letters, start, word[0] == 's' ? SX_SERVE : SX_RECEIVE);
    } else if (says(word, "against")) {
        read_theirs(letters, start);
    } else {
        char message[SX_ERROR_MESSAGE];
        snprintf(message, sizeof message,
                 "expected w (won) and l (lost), a rotation, serve, receive, against or a score "
                 "as 14-12; found '%s'",
                 word);
        wrong(letters, start, message);
    }
}

static void read_sign(Letters *letters) {
    char message[SX_ERROR_MESSAGE], cut[SX_QUOTE_SIZE];
    snprintf(message, sizeof message,
             "expected w (won) and l (lost), a rotation, serve, receive, against or a score as "
             "14-12; found '%s'",
             sx_text_cut(letters->at, cut, sizeof cut));
    wrong(letters, letters->at, message);
}

/* One set; the first mistake ends its line. */
static void read_line(Letters *letters) {
    letters->problems_before = letters->problems.lines.count;
    letters->begun = false;
    letters->rallies = letters->points[0] = letters->points[1] = 0;
    forget(letters);
    while (*letters->at && is_right(letters)) {
        if (*letters->at == ' ') {
            letters->at++;
        } else if (is_digit(*letters->at)) {
            read_number(letters, false);
        } else if (is_letter(*letters->at)) {
            read_word(letters);
        } else {
            read_sign(letters);
        }
    }
    if (is_right(letters) && letters->rallies > 0) {
        settle(letters, letters->at);
    } else if (is_right(letters)) {
        wrong(letters, letters->at, "no rally follows, w for won and l for lost");
    }
}

/* Line by line; a line without anything is none. */
static void read_lines(Letters *letters, char *text) {
    for (char *line = text; line; letters->row++) {
        char *end = strpbrk(line, "\r\n");
        char *next = end ? end + 1 + (end[0] == '\r' && end[1] == '\n') : NULL;
        if (end) {
            *end = '\0';
        }
        if (line[strspn(line, " ")]) {
            letters->line = letters->at = line;
            read_line(letters);
        }
        line = next;
    }
}

bool sx_is_lettered(const char *text, size_t length) {
    bool any = false;
    for (size_t k = 0; k < length; k++) {
        if (strchr(",;\t\"", text[k])) { /* a zero byte too */
            return false;
        }
        any |= !strchr(" \r\n", text[k]);
    }
    return any;
}

SxStatus sx_letters_parse(const char *text, size_t length, const char *file, SxRallyLog *log,
                          SxError *err) {
    char *copy = malloc(length + 1);
    Letters *letters = calloc(1, sizeof *letters);
    SxStatus status = SX_NO_MEMORY;
    if (copy && letters) {
        memcpy(copy, text, length);
        copy[length] = '\0';
        letters->problems.file = file;
        letters->row = 1;
        read_lines(letters, copy);
        status = sx_problems_status(&letters->problems, err);
        sx_problems_free(&letters->problems);
    } else {
        sx_out_of_memory(err);
    }
    if (status == SX_OK) {
        *log = letters->log;
    }
    free(letters);
    free(copy);
    return status;
}
