/* What a coach noted of the opponent, from a sheet: six servers in their order with rough grades.
 */
#include "analysis/opponentsheet.h"

#include "core/grid.h"
#include "core/numbers.h"
#include "core/problems.h"
#include "core/text.h"
#include "core/words.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { ROTATION = SX_SKILL_COUNT, TEAM, COLUMNS };
enum { LEAST_HEADINGS = 2 }; /* the rotation and a skill */

/* Common practice, no source. */
static const SxMeaning columns[COLUMNS] = {
    [SX_PASSING] = {"passing", "passing|pass|reception|receive|receiving"},
    [SX_SETTING] = {"setting", "setting|set|setter"},
    [SX_ATTACKING] = {"attacking", "attacking|attack|hit|hitting|spike"},
    [SX_BLOCKING] = {"blocking", "blocking|block"},
    [SX_SERVING] = {"serving", "serving|serve|service"},
    [SX_DIGGING] = {"digging", "digging|dig|defence|defense"},
    [ROTATION] = {"rotation", "rotation|rot|r"},
    [TEAM] = {"team", "team|opponent"},
};

/* Invented: six words over the scale of ratings, the middle one average. */
static const struct {
    SxMeaning word;
    double rating;
} grades[] = {
    {{"poor", "poor|verypoor|veryweak|none"}, 2},
    {{"weak", "weak|bad|low|belowaverage"}, 3.5},
    {{"fair", "fair|average|ok|okay|normal|medium|middle|soso"}, 5},
    {{"good", "good|solid|aboveaverage"}, 6.5},
    {{"strong", "strong|verygood|high"}, 8},
    {{"superb", "superb|excellent|verystrong|best|top"}, 9.5},
};
enum { GRADES = sizeof grades / sizeof *grades };

typedef struct {
    const SxGrid *grid;
    SxProblems problems;
    int heading;
    int place[COLUMNS]; /* -1: missing */
    bool seen[SX_ROTATIONS];
    SxOpponent *out;
} Reader;

bool sx_opponent_is_sheet(const char *text, size_t length, const char *file) {
    const size_t name = file ? strlen(file) : 0;
    static const char ending[] = ".json";
    size_t k = 0;
    if (name >= sizeof ending - 1 && strcmp(file + name - (sizeof ending - 1), ending) == 0) {
        return false;
    }
    while (k < length && strchr(" \t\r\n\xEF\xBB\xBF", text[k]) && text[k]) {
        k++;
    }
    return k < length && text[k] != '{';
}

static int row_number(const Reader *reader, int row) {
    return reader->grid->row[row].number;
}

static void read_headings(Reader *reader) {
    const SxGrid *grid = reader->grid;
    const int heading = sx_grid_headings(grid, columns, COLUMNS, LEAST_HEADINGS);
    for (int c = 0; c < COLUMNS; c++) {
        reader->place[c] = -1;
    }
    reader->heading = heading;
    for (int c = 0; heading >= 0 && c < grid->row[heading].count; c++) {
        const int meaning = sx_meaning(sx_grid_cell(grid, heading, c), columns, COLUMNS);
        if (meaning >= 0 && reader->place[meaning] >= 0) {
            sx_problem(&reader->problems, row_number(reader, heading), c, columns[meaning].name,
                       "the column comes twice");
        } else if (meaning >= 0) {
            reader->place[meaning] = c;
        }
    }
    int skills = 0;
    for (int k = 0; k < SX_SKILL_COUNT; k++) {
        skills += reader->place[k] >= 0;
    }
    if (reader->place[ROTATION] < 0 || skills == 0) {
        sx_problem(&reader->problems, grid->count ? row_number(reader, 0) : 0, -1, NULL,
                   "no row names the columns; expected rotation and some of passing, setting, "
                   "attacking, blocking, serving and digging");
    }
}

static const char *text_of(const Reader *reader, int row, int column) {
    return reader->place[column] < 0 ? "" : sx_grid_cell(reader->grid, row, reader->place[column]);
}

static void wrong(Reader *reader, int row, int column, const char *wanted) {
    char cut[SX_QUOTE_SIZE];
    sx_problem(&reader->problems, row_number(reader, row), reader->place[column],
               columns[column].name, "expected %s, found '%s'", wanted,
               sx_text_cut(text_of(reader, row, column), cut, sizeof cut));
}

/* A word, or a rating in figures; -1 for anything else. */
static double rating_of(const char *text) {
    SX_PLAIN_NUMBERS;
    char *end;
    for (int k = 0; k < GRADES; k++) {
        if (sx_meaning(text, &grades[k].word, 1) == 0) {
            return grades[k].rating;
        }
    }
    const double value = strtod(text, &end);
    return end != text && !*end && value >= 0 && value <= SX_SKILL_MAX ? value : -1;
}

static void read_row(Reader *reader, int row) {
    const char *text = text_of(reader, row, ROTATION);
    text += text[0] == 'r' || text[0] == 'R';
    const int rotation = text[0] >= '1' && text[0] <= '6' && !text[1] ? text[0] - '1' : -1;
    if (rotation < 0) {
        wrong(reader, row, ROTATION, "a rotation from 1 to 6");
        return;
    }
    if (reader->seen[rotation]) {
        wrong(reader, row, ROTATION, "each rotation once");
    }
    reader->seen[rotation] = true;
    for (int k = 0; k < SX_SKILL_COUNT; k++) {
        const char *grade = text_of(reader, row, k);
        const double rating = grade[0] ? rating_of(grade) : SX_AVERAGE_RATING;
        if (rating < 0) {
            wrong(reader, row, k,
                  "poor, weak, fair, good, strong, superb, or a number from 0 to 10");
        }
        reader->out->rotation[rotation].rating[k] = rating;
    }
    if (text_of(reader, row, TEAM)[0]) {
        snprintf(reader->out->name, sizeof reader->out->name, "%s", text_of(reader, row, TEAM));
    }
}

static void read_rows(Reader *reader) {
    for (int r = reader->heading + 1; r < reader->grid->count; r++) {
        read_row(reader, r);
    }
    for (int r = 0; r < SX_ROTATIONS && reader->problems.lines.count == 0; r++) {
        if (!reader->seen[r]) {
            sx_problem(&reader->problems, row_number(reader, reader->heading), -1, NULL,
                       "rotation %d is missing; expected a row for each of the six", r + 1);
        }
    }
}

SxStatus sx_opponent_sheet(const char *text, size_t length, const char *file, SxOpponent *opponent,
                           SxError *err) {
    SxGrid grid;
    SxOpponent read;
    Reader reader = {.grid = &grid, .problems = {.file = file}, .out = &read};
    sx_opponent_average(&read);
    snprintf(read.name, sizeof read.name, "the opponent");
    read.rotations_told = SX_ROTATIONS;
    SxStatus status = sx_grid_read(text, length, file, &grid, err);
    if (status == SX_OK) {
        read_headings(&reader);
        if (reader.problems.lines.count == 0) {
            read_rows(&reader);
        }
        status = sx_problems_status(&reader.problems, err);
    }
    if (status == SX_OK) {
        *opponent = read;
    }
    sx_grid_free(&grid);
    sx_problems_free(&reader.problems);
    return status;
}
