/* A sheet of cells, whatever wrote it: CSV (RFC 4180, with commas, semicolons or tabs between the
 * fields) or the first sheet of an .xlsx or .ods file. Internal. */
#ifndef SIXTURN_CORE_GRID_H
#define SIXTURN_CORE_GRID_H

#include "core/words.h"
#include "sixturn/error.h"

#include <stdbool.h>
#include <stddef.h>

enum { SX_GRID_COLUMNS = 256, SX_GRID_ROWS = 100000, SX_COLUMN_SIZE = 4, SX_GRID_MEANINGS = 32 };

typedef struct {
    int number; /* as a spreadsheet counts, from 1; in CSV, records */
    int first, count;
} SxGridRow;

typedef struct {
    int count;      /* rows in which something stands; empty ones are left out */
    SxGridRow *row; /* owned, like all here */
    size_t *cell;   /* where its text starts in pool */
    char *pool;
    int cells, row_room, cell_room;
    size_t used, pool_room;
    const char *encoding; /* of a text file; NULL for .xlsx and .ods */
} SxGrid;

/* Free with sx_grid_free whatever it returned. SX_BAD_INPUT with line and column where a CSV file
 * breaks its form. */
SxStatus sx_grid_read(const char *data, size_t length, const char *file, SxGrid *grid,
                      SxError *err);
void sx_grid_free(SxGrid *grid);

/* The text of a cell, without the white space around it; "" where there is none. Rows and columns
 * from 0. */
const char *sx_grid_cell(const SxGrid *grid, int row, int column);
/* The column as spreadsheets name it: A, ..., Z, AA, ... Returns text. */
char *sx_grid_column(int column, char text[SX_COLUMN_SIZE]);

/* The first of the topmost rows that names most of the columns, each counted once, and at least
 * `least` of them; -1 if none does. At most SX_GRID_MEANINGS columns. Rows above it are a title. */
int sx_grid_headings(const SxGrid *grid, const SxMeaning *columns, int count, int least);

/* For readers: a row starts, a cell of it. False when memory runs out or the sheet is too large. */
bool sx_grid_start_row(SxGrid *grid, int number);
bool sx_grid_add(SxGrid *grid, int column, const char *text, size_t length);
/* Takes the row back if nothing stands in it. */
void sx_grid_end_row(SxGrid *grid);

/* A workbook by its first bytes (a ZIP archive). */
bool sx_is_workbook(const char *data, size_t length);
SxStatus sx_workbook_read(const char *data, size_t length, const char *file, SxGrid *grid,
                          SxError *err);

#endif
