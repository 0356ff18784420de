/* Reading the coach's rally log, a CSV file, row by row. */
#include "sixturn/rallylog.h"

#include "core/text.h"

#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

enum {
    MOST_SET = 9999, /* a whole season numbered on */
    FIELD_SIZE = 64, /* bytes; no field of a log needs more */
    MOST_COLUMNS = 32,
    QUOTE_SHOWN = 40
};

typedef enum { SET, ROTATION, WE, RESULT, THEIR_ROTATION, COLUMNS } Column;
static const char *const column_names[COLUMNS] = {"set", "rotation", "we", "result",
                                                  "their_rotation"};

typedef struct {
    char text[FIELD_SIZE];
} Field;

typedef struct {
    const char *next, *end;
    char separator;
    int line;           /* of the row that was read last */
    int place[COLUMNS]; /* of each column among the fields, -1 if it is missing */
    int columns;        /* fields of the header */
    bool set_seen[MOST_SET + 1];
    SxRallyLog log;
    const char *file;
    SxError *err;
} Reader;

/* One rally, by its row. */
typedef struct {
    int set, ours, theirs; /* rotations from 0; theirs -1 if nobody noted it */
    SxPhase phase;
    bool won;
} Rally;

static SxStatus fail(Reader *reader, const char *column, const char *wanted, const char *found) {
    if (reader->err) {
        sx_text_blame(reader->err, reader->file);
        reader->err->line = reader->line;
        reader->err->column = 1;
        strcpy(reader->err->path, column);
    }
    char cut[QUOTE_SHOWN];
    if (!found) {
        return sx_fail(reader->err, SX_BAD_INPUT, "%s", wanted);
    }
    return sx_fail(reader->err, SX_BAD_INPUT, "expected %s, found '%s'", wanted,
                   sx_text_cut(found, cut, sizeof cut));
}

/* The header tells what the spreadsheet put between fields. */
static char separator_of(const char *text, const char *end) {
    for (const char *c = text; c < end && *c != '\n' && *c != '\r'; c++) {
        if (*c == ',' || *c == ';' || *c == '\t') {
            return *c;
        }
    }
    return ',';
}

static bool at_line_end(const Reader *reader) {
    return reader->next == reader->end || *reader->next == '\n' || *reader->next == '\r';
}

static void skip_line_end(Reader *reader) {
    if (reader->next < reader->end && *reader->next == '\r') {
        reader->next++;
    }
    if (reader->next < reader->end && *reader->next == '\n') {
        reader->next++;
    }
}

/* Reads up to the separator or the end of the line; a quoted field may not span lines. */
static SxStatus read_field(Reader *reader, Field *field) {
    const bool quoted = !at_line_end(reader) && *reader->next == '"';
    size_t used = 0;
    bool open = quoted;
    reader->next += quoted;
    while (!at_line_end(reader) && (open || *reader->next != reader->separator)) {
        const char c = *reader->next++;
        if (open && c == '"' && !(reader->next < reader->end && *reader->next == '"')) {
            open = false;
            continue;
        }
        reader->next += open && c == '"'; /* "" stands for one quote */
        if ((quoted && !open) || used + 1 == sizeof field->text) {
            return fail(reader, "",
                        quoted && !open ? "text after a closing quote" : "a field is too long",
                        NULL);
        }
        field->text[used++] = c;
    }
    if (open) {
        return fail(reader, "", "a quote is not closed", NULL);
    }
    while (!quoted && used > 0 && field->text[used - 1] == ' ') {
        used--;
    }
    field->text[used] = '\0';
    if (!quoted) {
        memmove(field->text, field->text + strspn(field->text, " "),
                used + 1 - strspn(field->text, " "));
    }
    return SX_OK;
}

/* Reads a row that is not blank; *count is 0 at the end of the file. */
static SxStatus read_row(Reader *reader, Field fields[MOST_COLUMNS], int *count) {
    *count = 0;
    bool blank = true;
    while (blank && reader->next < reader->end) {
        reader->line++;
        for (*count = 0;;) {
            if (*count == MOST_COLUMNS) {
                return fail(reader, "", "too many fields in a row", NULL);
            }
            SxStatus status = read_field(reader, &fields[*count]);
            if (status != SX_OK) {
                return status;
            }
            blank = blank && fields[*count].text[0] == '\0';
            ++*count;
            if (at_line_end(reader)) {
                break;
            }
            reader->next++; /* the separator */
        }
        skip_line_end(reader);
    }
    *count = blank ? 0 : *count;
    return SX_OK;
}

static int column_of(const char *name) {
    for (int c = 0; c < COLUMNS; c++) {
        if (strcmp(column_names[c], name) == 0) {
            return c;
        }
    }
    return -1;
}

static SxStatus unknown_column(Reader *reader, const char *name) {
    SxNearest nearest = {name, NULL, 0};
    for (int c = 0; c < COLUMNS; c++) {
        sx_text_consider(&nearest, column_names[c]);
    }
    char cut[QUOTE_SHOWN];
    fail(reader, "", "", NULL);
    return sx_fail(reader->err, SX_BAD_INPUT,
                   "there is no column '%s'%s%s%s; a rally log has the columns set, rotation, we, "
                   "result and, if you like, their_rotation",
                   sx_text_cut(name, cut, sizeof cut), nearest.best ? " (did you mean '" : "",
                   nearest.best ? nearest.best : "", nearest.best ? "'?)" : "");
}

static SxStatus read_header(Reader *reader) {
    Field fields[MOST_COLUMNS];
    SxStatus status = read_row(reader, fields, &reader->columns);
    if (status != SX_OK) {
        return status;
    }
    if (reader->columns == 0) {
        return fail(reader, "", "the log is empty: not even a header row", NULL);
    }
    for (int c = 0; c < COLUMNS; c++) {
        reader->place[c] = -1;
    }
    for (int n = 0; n < reader->columns; n++) {
        const int column = column_of(fields[n].text);
        if (column < 0) {
            return unknown_column(reader, fields[n].text);
        }
        if (reader->place[column] >= 0) {
            return fail(reader, column_names[column], "the column comes twice", NULL);
        }
        reader->place[column] = n;
    }
    for (int c = 0; c < THEIR_ROTATION; c++) {
        if (reader->place[c] < 0) {
            return fail(reader, column_names[c], "the header has no such column", NULL);
        }
    }
    return SX_OK;
}

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

/* True (1), false (0) or neither (-1). */
static int one_of(const char *text, const char *yes, const char *no) {
    return strcmp(text, yes) == 0 ? 1 : strcmp(text, no) == 0 ? 0 : -1;
}

static SxStatus read_rally(Reader *reader, const Field *fields, Rally *rally) {
    const char *text[COLUMNS];
    for (int c = 0; c < COLUMNS; c++) {
        text[c] = reader->place[c] < 0 ? "" : fields[reader->place[c]].text;
    }
    rally->set = whole_number(text[SET], 1, MOST_SET);
    if (rally->set < 0) {
        return fail(reader, column_names[SET], "a whole number from 1 to 9999", text[SET]);
    }
    rally->ours = whole_number(text[ROTATION], 1, SX_ROTATIONS) - 1;
    if (rally->ours < 0) {
        return fail(reader, column_names[ROTATION], "a rotation from 1 to 6", text[ROTATION]);
    }
    const int serve = one_of(text[WE], "serve", "receive");
    if (serve < 0) {
        return fail(reader, column_names[WE], "serve or receive", text[WE]);
    }
    const int won = one_of(text[RESULT], "won", "lost");
    if (won < 0) {
        return fail(reader, column_names[RESULT], "won or lost", text[RESULT]);
    }
    rally->theirs = -1;
    if (text[THEIR_ROTATION][0]) {
        rally->theirs = whole_number(text[THEIR_ROTATION], 1, SX_ROTATIONS) - 1;
        if (rally->theirs < 0) {
            return fail(reader, column_names[THEIR_ROTATION], "a rotation from 1 to 6, or nothing",
                        text[THEIR_ROTATION]);
        }
    }
    rally->phase = serve ? SX_SERVE : SX_RECEIVE;
    rally->won = won;
    return SX_OK;
}

static void count_tally(SxTally *tally, bool won) {
    tally->played++;
    tally->won += won;
}

static void count_rally(Reader *reader, const Rally *rally) {
    SxRallyLog *log = &reader->log;
    log->rallies++;
    log->sets += !reader->set_seen[rally->set];
    reader->set_seen[rally->set] = true;
    count_tally(&log->tally[rally->phase][rally->ours], rally->won);
    if (rally->theirs >= 0) {
        count_tally(&log->pair[rally->phase][rally->ours][rally->theirs], rally->won);
    }
}

static SxStatus read_rallies(Reader *reader) {
    for (;;) {
        Field fields[MOST_COLUMNS];
        Rally rally = {0};
        int count;
        SxStatus status = read_row(reader, fields, &count);
        if (status != SX_OK) {
            return status;
        }
        if (count == 0) {
            break;
        }
        if (count != reader->columns) {
            return fail(reader, "", "a row must have as many fields as the header", NULL);
        }
        status = read_rally(reader, fields, &rally);
        if (status != SX_OK) {
            return status;
        }
        count_rally(reader, &rally);
    }
    if (reader->log.rallies == 0) {
        return fail(reader, "", "the log holds no rally", NULL);
    }
    return SX_OK;
}

SxStatus sx_rally_log_parse(const char *text, size_t length, const char *file, SxRallyLog *log,
                            SxError *err) {
    static const char byte_order_mark[] = "\xef\xbb\xbf"; /* spreadsheets begin UTF-8 with it */
    Reader *reader = calloc(1, sizeof *reader);
    if (!reader) {
        return sx_fail(err, SX_INTERNAL, "out of memory for the rally log");
    }
    reader->file = file;
    reader->err = err;
    reader->next = text;
    reader->end = text + length;
    if (length >= 3 && memcmp(text, byte_order_mark, 3) == 0) {
        reader->next += 3;
    }
    reader->separator = separator_of(reader->next, reader->end);
    SxStatus status = read_header(reader);
    if (status == SX_OK) {
        status = read_rallies(reader);
    }
    if (status == SX_OK) {
        *log = reader->log;
    }
    free(reader);
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
