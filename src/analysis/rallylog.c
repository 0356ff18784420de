/* Reading the coach's rally log from a sheet, and finding rows that cannot follow each other. */
#include "sixturn/rallylog.h"

#include "analysis/rallies.h"
#include "core/encoding.h"
#include "core/grid.h"
#include "core/problems.h"
#include "core/text.h"
#include "core/words.h"

#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum {
    MOST_SET = 9999,   /* a whole season numbered on */
    LEAST_HEADINGS = 2 /* known words that make a row the headings */
};

/* Common practice, no source. */
typedef enum { SET, ROTATION, WE, RESULT, THEIR_ROTATION, COLUMNS } Column;
static const SxMeaning columns[COLUMNS] = {
    [SET] = {"set", "set|setno|setnumber|game"},
    [ROTATION] = {"rotation", "rotation|rot|ourrotation|ours|r"},
    [WE] = {"we", "we|phase|wedo|serveorreceive|servereceive|servereception|weserve|action"},
    [RESULT] = {"result", "result|wonlost|wonorlost|winloss|point|rally|outcome|won"},
    [THEIR_ROTATION] = {"their_rotation", "theirrotation|theirs|theirrot|opponentrotation|"
                                          "opponentsrotation|opprotation|opprot"},
};
static const SxMeaning phases[SX_PHASES] = {
    [SX_RECEIVE] = {"receive", "receive|receives|received|receiving|reception|rec|r|pass|passing|"
                               "return|no"},
    [SX_SERVE] = {"serve", "serve|serves|served|serving|service|srv|s|yes"},
};
enum { LOST, WON };
static const SxMeaning results[2] = {
    [LOST] = {"lost", "lost|lose|loses|loss|l|0|no|n|they|them|theirs|-"},
    [WON] = {"won", "won|win|wins|w|1|yes|y|we|us|ours|point|+"},
};

typedef struct {
    const SxGrid *grid;
    SxProblems problems;
    int heading;        /* row of the grid */
    int place[COLUMNS]; /* of each column, -1 if it is missing */
    int row;            /* being read */
    bool set_seen[MOST_SET + 1];
    SxRallyLog log;
} Reader;

/* One rally, by its row. */
typedef struct {
    int set;
    SxServing serving;
    bool won, right;
} Rally;

static int row_number(const Reader *reader) {
    return reader->grid->row[reader->row].number;
}

static const char *text_of(const Reader *reader, Column column) {
    return sx_grid_cell(reader->grid, reader->row, reader->place[column]);
}

static void wrong(Reader *reader, Column column, const char *wanted) {
    char cut[SX_QUOTE_SIZE];
    sx_problem(&reader->problems, row_number(reader), reader->place[column], columns[column].name,
               "expected %s, found '%s'", wanted,
               sx_text_cut(text_of(reader, column), cut, sizeof cut));
}

/* The headings. */

static bool find_headings(Reader *reader) {
    const SxGrid *grid = reader->grid;
    const int heading = sx_grid_headings(grid, columns, COLUMNS, LEAST_HEADINGS);
    if (heading >= 0) {
        reader->heading = heading;
    } else {
        sx_problem(&reader->problems, grid->count ? grid->row[0].number : 0, -1, NULL,
                   grid->count
                       ? "no row names the columns; expected set, rotation, we, result and, "
                         "if you like, their_rotation"
                       : "the log is empty: not even a row of headings");
    }
    return heading >= 0;
}

static void missing_column(Reader *reader, Column column) {
    int row = reader->grid->row[reader->heading].number;
    for (int c = 0; c < reader->grid->row[reader->heading].count; c++) {
        const char *heading = sx_grid_cell(reader->grid, reader->heading, c);
        bool unknown = heading[0] && sx_meaning(heading, columns, COLUMNS) < 0;
        if (unknown && sx_nearest_meaning(heading, columns, COLUMNS) == columns[column].name) {
            char cut[SX_QUOTE_SIZE];
            sx_problem(&reader->problems, row, c, NULL,
                       "there is no column %s; did you mean it by '%s'?", columns[column].name,
                       sx_text_cut(heading, cut, sizeof cut));
            return;
        }
    }
    sx_problem(&reader->problems, row, -1, NULL, "there is no column %s", columns[column].name);
}

static void read_headings(Reader *reader) {
    const SxGridRow *row = &reader->grid->row[reader->heading];
    for (int c = 0; c < row->count; c++) {
        int meaning = sx_meaning(sx_grid_cell(reader->grid, reader->heading, c), columns, COLUMNS);
        if (meaning >= 0 && reader->place[meaning] >= 0) {
            sx_problem(&reader->problems, row->number, c, columns[meaning].name,
                       "the column comes twice");
        } else if (meaning >= 0) {
            reader->place[meaning] = c;
        }
    }
    for (int column = 0; column < THEIR_ROTATION; column++) {
        if (reader->place[column] < 0) {
            missing_column(reader, (Column)column);
        }
    }
}

/* The rallies. */

/* Digits only, low to high; -1 for anything else. */
static int whole_number(const char *text, int low, int high) {
    int value = 0;
    for (const char *c = text; *c; c++) {
        if (*c < '0' || *c > '9' || value > high) {
            return -1;
        }
        value = 10 * value + (*c - '0');
    }
    return *text && value >= low && value <= high ? value : -1;
}

static void read_number(Reader *reader, Column column, int low, int high, const char *wanted,
                        int *out) {
    const char *text = text_of(reader, column);
    bool rotation = column != SET && (text[0] == 'r' || text[0] == 'R'); /* "R3" */
    int value = whole_number(text + rotation, low, high);
    if (value < 0 && reader->place[column] >= 0) {
        wrong(reader, column, wanted);
    }
    *out = value;
}

static int read_word(Reader *reader, Column column, const SxMeaning *meanings, const char *wanted) {
    const char *text = text_of(reader, column);
    bool sign = strcmp(text, "+") == 0 || strcmp(text, "-") == 0;
    int meaning =
        sign && meanings == results ? (text[0] == '+' ? WON : LOST) : sx_meaning(text, meanings, 2);
    if (meaning < 0 && reader->place[column] >= 0) {
        wrong(reader, column, wanted);
    }
    return meaning;
}

static Rally read_rally(Reader *reader) {
    Rally rally = {.serving.theirs = SX_UNSEEN};
    SxServing *serving = &rally.serving;
    int before = reader->problems.lines.count;
    read_number(reader, SET, 1, MOST_SET, "a whole number from 1 to 9999", &rally.set);
    read_number(reader, ROTATION, 1, SX_ROTATIONS, "a rotation from 1 to 6", &serving->ours);
    int phase = read_word(reader, WE, phases, "serve or receive");
    int won = read_word(reader, RESULT, results, "won or lost");
    if (text_of(reader, THEIR_ROTATION)[0]) {
        read_number(reader, THEIR_ROTATION, 1, SX_ROTATIONS, "a rotation from 1 to 6, or nothing",
                    &serving->theirs);
        serving->theirs--;
    }
    serving->ours--;
    serving->phase = phase == SX_SERVE ? SX_SERVE : SX_RECEIVE;
    rally.won = won == WON;
    rally.right = reader->problems.lines.count == before;
    return rally;
}

static void count_rally(Reader *reader, const Rally *rally) {
    reader->log.sets += !reader->set_seen[rally->set];
    reader->set_seen[rally->set] = true;
    sx_log_count(&reader->log, &rally->serving, rally->won);
}

static void check_follows(Reader *reader, const Rally *before, const Rally *now) {
    const SxServing should = sx_serving_after(&before->serving, before->won);
    const SxServing *is = &now->serving;
    const bool theirs_known = should.theirs != SX_UNSEEN && is->theirs != SX_UNSEEN;
    if (before->set != now->set || (is->ours == should.ours && is->phase == should.phase &&
                                    (!theirs_known || is->theirs == should.theirs))) {
        return;
    }
    const SxLogGap gap = {
        .row = row_number(reader), .rotation = should.ours, .phase = should.phase};
    sx_log_gap(&reader->log, &gap);
}

static void read_rallies(Reader *reader) {
    Rally before = {.right = false};
    for (reader->row = reader->heading + 1; reader->row < reader->grid->count; reader->row++) {
        Rally rally = read_rally(reader);
        if (rally.right && reader->problems.lines.count == 0) {
            count_rally(reader, &rally);
        }
        if (rally.right && before.right) {
            check_follows(reader, &before, &rally);
        }
        before = rally;
    }
    if (reader->log.rallies == 0 && reader->problems.lines.count == 0) {
        sx_problem(&reader->problems, 0, -1, NULL, "the log holds no rally");
    }
}

static SxStatus parse_sheet(const char *text, size_t length, const char *file, SxRallyLog *log,
                            SxError *err) {
    SxGrid grid;
    Reader *reader = calloc(1, sizeof *reader);
    if (!reader) {
        return sx_out_of_memory(err);
    }
    reader->grid = &grid;
    reader->problems.file = file;
    for (int c = 0; c < COLUMNS; c++) {
        reader->place[c] = -1;
    }
    SxStatus status = sx_grid_read(text, length, file, &grid, err);
    if (status == SX_OK && find_headings(reader)) {
        read_headings(reader);
        if (reader->problems.lines.count == 0) {
            read_rallies(reader);
        }
    }
    status = status == SX_OK ? sx_problems_status(&reader->problems, err) : status;
    if (status == SX_OK) {
        *log = reader->log;
    }
    sx_grid_free(&grid);
    sx_problems_free(&reader->problems);
    free(reader);
    return status;
}

SxStatus sx_rally_log_parse(const char *text, size_t length, const char *file, SxRallyLog *log,
                            SxError *err) {
    char *decoded = NULL;
    size_t size = 0;
    const char *encoding;
    if (sx_is_workbook(text, length)) {
        return parse_sheet(text, length, file, log, err);
    }
    SxStatus status = sx_text_decode(text, length, file, &decoded, &size, &encoding, err);
    if (status == SX_OK) {
        status = (sx_is_lettered(decoded, size) ? sx_letters_parse(decoded, size, file, log, err)
                                                : parse_sheet(text, length, file, log, err));
    }
    free(decoded);
    return status;
}

SxStatus sx_rally_log_read(const char *file, SxRallyLog *log, SxError *err) {
    char *text = NULL;
    size_t length = 0;
    SxStatus status = sx_text_read_file(file, &text, &length, err);
    if (status == SX_OK) {
        status = sx_rally_log_parse(text, length, file, log, err);
    }
    free(text);
    return status;
}
