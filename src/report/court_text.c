/* A court of 43 columns and 13 rows in plain characters. */
#include "sixturn/report.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum { INSIDE = SX_DRAWING_COLUMNS - 2, ATTACK_ROW = 4 };

static void blank_court(SxDrawing out) {
    for (int row = 0; row < SX_DRAWING_ROWS; row++) {
        memset(out[row], row == 0 ? '=' : row == ATTACK_ROW ? '.' : ' ', SX_DRAWING_COLUMNS);
        out[row][0] = out[row][SX_DRAWING_COLUMNS - 1] = '|';
        out[row][SX_DRAWING_COLUMNS] = '\0';
    }
}

static bool is_free(SxDrawing out, int row, int column, int length) {
    for (int k = column - 1; k <= column + length; k++) {
        char c = k >= 0 && k < SX_DRAWING_COLUMNS ? out[row][k] : ' ';
        if (c != ' ' && c != '.' && c != '|') {
            return false;
        }
    }
    return true;
}

/* The row is moved when another mark is in the way: order in depth is told by the list beside. */
static void place(SxDrawing out, SxSpot spot, const char *label) {
    int length = (int)strlen(label);
    int column = 1 + (int)lround(spot.x / SX_COURT_WIDTH * (INSIDE - 1)) - length / 2;
    int row = 1 + (int)(spot.y / SX_COURT_DEPTH * (SX_DRAWING_ROWS - 1));
    column = column < 1 ? 1 : column;
    column = column > INSIDE + 1 - length ? INSIDE + 1 - length : column;
    row = row >= SX_DRAWING_ROWS ? SX_DRAWING_ROWS - 1 : row;
    for (int step = 0; step < SX_DRAWING_ROWS; step++) {
        int down = row + step;
        int up = row - step;
        if (down < SX_DRAWING_ROWS && is_free(out, down, column, length)) {
            row = down;
            break;
        }
        if (up >= 1 && is_free(out, up, column, length)) {
            row = up;
            break;
        }
    }
    memcpy(out[row] + column, label, (size_t)length);
}

void sx_draw_court(const SxSpot spot[SX_SLOTS], char label[SX_SLOTS][8], SxDrawing out) {
    blank_court(out);
    bool drawn[SX_SLOTS] = {false};
    for (int k = 0; k < SX_SLOTS; k++) { /* nearest to the net first */
        int next = -1;
        for (int s = 0; s < SX_SLOTS; s++) {
            if (!drawn[s] && (next < 0 || spot[s].y < spot[next].y)) {
                next = s;
            }
        }
        drawn[next] = true;
        place(out, spot[next], label[next]);
    }
}
