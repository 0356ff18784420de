/* A sheet of cells. */
#include "core/grid.h"

#include <stdlib.h>
#include <string.h>

enum { LETTERS = 26, TITLE_ROWS = 30 /* headings are looked for so far down */ };

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
