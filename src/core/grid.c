/* A sheet of cells, and the reader of CSV as RFC 4180 has it. */
#include "core/grid.h"

#include "core/encoding.h"
#include "core/text.h"

#include <stdlib.h>
#include <string.h>

enum { SAMPLE_LINES = 20, LETTERS = 26, TITLE_ROWS = 30 /* headings are looked for so far down */ };

/* The sheet. */

/* Grows an array to hold one more; false when memory runs out. */
static bool grow(void **array, size_t size, int count, int *room) {
    if (count < *room) {
        return true;
    }
    int more = *room ? *room * 2 : 64;
    void *grown = realloc(*array, (size_t)more * size);
    if (!grown) {
        return false;
    }
    *array = grown;
    *room = more;
    return true;
}

bool sx_grid_start_row(SxGrid *grid, int number) {
    if (grid->count == SX_GRID_ROWS ||
        !grow((void **)&grid->row, sizeof *grid->row, grid->count, &grid->row_room)) {
        return false;
    }
    grid->row[grid->count++] = (SxGridRow){number, grid->cells, 0};
    return true;
}

/* Length of a white space at text, 0 if there is none; no-break space (U+00A0) included. */
static size_t space_at(const char *text, size_t length) {
    if (length > 0 && strchr(" \t\r\n", text[0])) {
        return 1;
    }
    return length > 1 && memcmp(text, "\xc2\xa0", 2) == 0 ? 2 : 0;
}

static void trim(const char **text, size_t *length) {
    for (size_t step; (step = space_at(*text, *length)) > 0;) {
        *text += step;
        *length -= step;
    }
    for (;;) {
        const char *end = *text + *length;
        size_t step = *length > 0 ? space_at(end - 1, 1) : 0;
        step = step == 0 && *length > 1 && space_at(end - 2, 2) == 2 ? 2 : step;
        if (step == 0) {
            return;
        }
        *length -= step;
    }
}

static bool store(SxGrid *grid, const char *text, size_t length) {
    if (grid->used + length + 1 > grid->pool_room) {
        size_t more = 2 * (grid->used + length + 1);
        char *grown = realloc(grid->pool, more);
        if (!grown) {
            return false;
        }
        grid->pool = grown;
        grid->pool_room = more;
    }
    if (!grow((void **)&grid->cell, sizeof *grid->cell, grid->cells, &grid->cell_room)) {
        return false;
    }
    grid->cell[grid->cells++] = grid->used;
    memcpy(grid->pool + grid->used, text, length);
    grid->pool[grid->used + length] = '\0';
    grid->used += length + 1;
    return true;
}

bool sx_grid_add(SxGrid *grid, int column, const char *text, size_t length) {
    SxGridRow *row = &grid->row[grid->count - 1];
    if (column < row->count) { /* given before; the first one counts */
        return true;
    }
    if (column >= SX_GRID_COLUMNS) {
        return false;
    }
    for (; row->count < column; row->count++) {
        if (!store(grid, "", 0)) {
            return false;
        }
    }
    trim(&text, &length);
    if (!store(grid, text, length)) {
        return false;
    }
    row->count++;
    return true;
}

void sx_grid_end_row(SxGrid *grid) {
    SxGridRow *row = &grid->row[grid->count - 1];
    for (int c = 0; c < row->count; c++) {
        if (grid->pool[grid->cell[row->first + c]]) {
            return;
        }
    }
    grid->cells = row->first;
    grid->count--;
}

const char *sx_grid_cell(const SxGrid *grid, int row, int column) {
    bool there = row >= 0 && row < grid->count && column >= 0 && column < grid->row[row].count;
    return there ? grid->pool + grid->cell[grid->row[row].first + column] : "";
}

/* How many different columns a row names. */
static int count_headings(const SxGrid *grid, int row, const SxMeaning *columns, int column_count) {
    bool seen[SX_GRID_MEANINGS] = {false};
    int count = 0;
    for (int c = 0; c < grid->row[row].count; c++) {
        int meaning = sx_meaning(sx_grid_cell(grid, row, c), columns, column_count);
        count += meaning >= 0 && !seen[meaning];
        if (meaning >= 0) {
            seen[meaning] = true;
        }
    }
    return count;
}

int sx_grid_headings(const SxGrid *grid, const SxMeaning *columns, int count, int least) {
    int rows = grid->count < TITLE_ROWS ? grid->count : TITLE_ROWS, best = 0, heading = -1;
    for (int r = 0; r < rows; r++) {
        int named = count_headings(grid, r, columns, count);
        if (named > best && named >= least) {
            best = named;
            heading = r;
        }
    }
    return heading;
}

char *sx_grid_column(int column, char text[SX_COLUMN_SIZE]) {
    int used = 0;
    if (column >= LETTERS) {
        text[used++] = (char)('A' + column / LETTERS - 1);
    }
    text[used++] = (char)('A' + column % LETTERS);
    text[used] = '\0';
    return text;
}

void sx_grid_free(SxGrid *grid) {
    free(grid->row);
    free(grid->cell);
    free(grid->pool);
    *grid = (SxGrid){0};
}

/* CSV. */

typedef struct {
    const char *file, *text;
    size_t at, length;
    char separator;
    char *field; /* room for the longest */
    SxGrid *grid;
    SxError *err;
} Csv;

static SxStatus broken(Csv *csv, size_t offset, const char *message) {
    if (csv->err) {
        sx_text_blame(csv->err, csv->file);
        sx_text_position(csv->text, offset, &csv->err->line, &csv->err->column);
    }
    return sx_fail(csv->err, SX_BAD_INPUT, "%s", message);
}

/* What stands most often between quotes in the first lines; a decimal comma is rarer than what
 * separates the fields. */
static char find_separator(const char *text) {
    static const char separators[] = ";\t,";
    int count[3] = {0};
    bool quoted = false;
    for (int lines = 0; *text && lines < SAMPLE_LINES; text++) {
        quoted ^= *text == '"';
        lines += *text == '\n';
        const char *known = quoted ? NULL : strchr(separators, *text);
        if (known) {
            count[known - separators]++;
        }
    }
    int best = 0;
    for (int i = 1; i < 3; i++) {
        best = count[i] > count[best] ? i : best;
    }
    return count[best] > 0 ? separators[best] : ',';
}

static bool at_row_end(const Csv *csv) {
    return csv->at >= csv->length || csv->text[csv->at] == '\n' || csv->text[csv->at] == '\r';
}

static SxStatus quoted_field(Csv *csv, size_t *used) {
    size_t start = csv->at++;
    for (; csv->at < csv->length; csv->at++) {
        if (csv->text[csv->at] == '"') {
            if (csv->text[csv->at + 1] != '"') {
                csv->at++;
                return SX_OK;
            }
            csv->at++;
        }
        csv->field[(*used)++] = csv->text[csv->at];
    }
    return broken(csv, start, "the quote that opens here is never closed");
}

static SxStatus plain_field(Csv *csv, size_t *used) {
    while (!at_row_end(csv) && csv->text[csv->at] != csv->separator) {
        if (csv->text[csv->at] == '"') {
            return broken(csv, csv->at,
                          "a quote inside a field; such a field stands in quotes, and the quote is "
                          "doubled");
        }
        csv->field[(*used)++] = csv->text[csv->at++];
    }
    return SX_OK;
}

static SxStatus read_field(Csv *csv, int column) {
    size_t used = 0, start = csv->at;
    bool quoted = csv->text[csv->at] == '"';
    SxStatus status = quoted ? quoted_field(csv, &used) : plain_field(csv, &used);
    if (status == SX_OK && !at_row_end(csv) && csv->text[csv->at] != csv->separator) {
        return broken(csv, csv->at, "text after a closing quote; expected the next field");
    }
    if (status == SX_OK && !sx_grid_add(csv->grid, column, csv->field, used)) {
        return column >= SX_GRID_COLUMNS ? broken(csv, start, "a row has more than 256 fields")
                                         : sx_out_of_memory(csv->err);
    }
    return status;
}

static SxStatus read_row(Csv *csv, int number) {
    if (!sx_grid_start_row(csv->grid, number)) {
        return csv->grid->count == SX_GRID_ROWS
                   ? broken(csv, csv->at, "the sheet has more than 100000 rows")
                   : sx_out_of_memory(csv->err);
    }
    SxStatus status = read_field(csv, 0);
    for (int column = 1; status == SX_OK && !at_row_end(csv); column++) {
        csv->at++; /* the separator */
        status = read_field(csv, column);
    }
    if (status == SX_OK) {
        csv->at += csv->text[csv->at] == '\r' && csv->text[csv->at + 1] == '\n' ? 1 : 0;
        csv->at += csv->at < csv->length ? 1 : 0;
        sx_grid_end_row(csv->grid);
    }
    return status;
}

/* Some spreadsheets say the separator in a first line "sep=;". */
static int pass_separator_line(Csv *csv) {
    const char *text = csv->text;
    bool said = strncmp(text, "sep=", 4) == 0 && text[4] && strchr("\r\n", text[5]);
    if (said) {
        csv->separator = text[4];
        csv->at = 5 + strspn(text + 5, "\r\n");
    }
    return said ? 1 : 0;
}

static SxStatus read_csv(const char *text, size_t length, const char *file, SxGrid *grid,
                         SxError *err) {
    char *field = malloc(length + 1);
    if (!field) {
        return sx_out_of_memory(err);
    }
    Csv csv = {file, text, 0, length, find_separator(text), field, grid, err};
    SxStatus status = SX_OK;
    for (int number = 1 + pass_separator_line(&csv); status == SX_OK && csv.at < csv.length;
         number++) {
        status = read_row(&csv, number);
    }
    free(field);
    return status;
}

SxStatus sx_grid_read(const char *data, size_t length, const char *file, SxGrid *grid,
                      SxError *err) {
    *grid = (SxGrid){0};
    if (length > SX_FILE_LIMIT) {
        sx_text_blame(err, file);
        return sx_fail(err, SX_BAD_INPUT, "the file is larger than the %d MiB allowed",
                       SX_FILE_LIMIT / (1024 * 1024));
    }
    if (sx_is_workbook(data, length)) {
        return sx_workbook_read(data, length, file, grid, err);
    }
    char *text = NULL;
    size_t used = 0;
    SxStatus status = sx_text_decode(data, length, file, &text, &used, &grid->encoding, err);
    if (status == SX_OK) {
        status = read_csv(text, used, file, grid, err);
    }
    free(text);
    return status;
}
