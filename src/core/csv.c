/* The reader of CSV as RFC 4180 has it, and of whatever else is a sheet. */
#include "core/encoding.h"
#include "core/grid.h"
#include "core/text.h"

#include <stdlib.h>
#include <string.h>

enum { SAMPLE_LINES = 20 };

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
