/* A court of 43 columns and 13 rows in plain characters. */
#include "sixturn/report.h"

#include "core/spread.h"

#include <math.h>
#include <string.h>

enum { INSIDE = SX_DRAWING_COLUMNS - 2, ATTACK_ROW = 4, DEEP = SX_DRAWING_ROWS - 1 };

static void blank_court(SxDrawing out) {
    for (int row = 0; row < SX_DRAWING_ROWS; row++) {
        memset(out[row], row == 0 ? '=' : row == ATTACK_ROW ? '.' : ' ', SX_DRAWING_COLUMNS);
        out[row][0] = out[row][SX_DRAWING_COLUMNS - 1] = '|';
        out[row][SX_DRAWING_COLUMNS] = '\0';
    }
}

/* A label is centred on its column; one of even length on the gap after it. */
static int first_column(int column, int length) {
    return column - (length - 1) / 2;
}

/* Columns and rows are coarse: labels are moved so that who is left of whom, and who is behind
 * whom, stays as it is. */
void sx_draw_court(const SxSpot spot[SX_SLOTS], int rotation, char label[SX_SLOTS][8],
                   SxDrawing out) {
    blank_court(out);
    SxSpread spread = {.air = 0,
                       .least = 1,
                       .from = {0.5, 0.5},
                       .to = {INSIDE + 0.5, DEEP + 0.5},
                       .unit = {1, 1},
                       .rotation = rotation};
    for (int s = 0; s < SX_SLOTS; s++) {
        spread.centre[s] = (SxSpot){1 + spot[s].x / SX_COURT_WIDTH * (INSIDE - 1),
                                    0.5 + spot[s].y / SX_COURT_DEPTH * DEEP};
        spread.wide[s] = (double)strlen(label[s]) + 1; /* a blank between two */
        spread.high[s] = 1;
    }
    SxSpot at[SX_SLOTS];
    sx_spread(&spread, at);
    for (int s = 0; s < SX_SLOTS; s++) {
        int length = (int)strlen(label[s]);
        int column = first_column((int)at[s].x, length), row = (int)at[s].y;
        column = column < 1 ? 1 : column > INSIDE + 1 - length ? INSIDE + 1 - length : column;
        row = row < 1 ? 1 : row > DEEP ? DEEP : row;
        memcpy(out[row] + column, label[s], (size_t)length);
    }
}
