/* The line-up slip as text. */
#include "sixturn/slip.h"

#include "core/text.h"

#include <stdio.h>

enum { COLUMNS = 3, NAME_BYTES = 64 };

/* As seen from the end line. */
static const int layout[SX_ROWS][COLUMNS] = {{4, 3, 2}, {5, 6, 1}};
static const char rule[] = "  +-------+-------+-------+\n";

void sx_slip(const SxLineup *lineup, const SxTeam *team, SxSlip *out) {
    for (int p = 1; p <= SX_POSITIONS; p++) {
        int slot = sx_slot_at(p, lineup->start);
        out->number[p - 1] = team->players[sx_slot_player(lineup, lineup->start, slot)].number;
    }
    out->libero_count =
        lineup->libero_count < SX_SLIP_LIBEROS ? lineup->libero_count : SX_SLIP_LIBEROS;
    for (int i = 0; i < out->libero_count; i++) {
        out->liberos[i] = team->players[lineup->liberos[i]].number;
    }
}

static void add(char *text, size_t size, size_t *used, const char *piece) {
    if (*used < size) {
        int wrote = snprintf(text + *used, size - *used, "%s", piece);
        *used += wrote > 0 ? (size_t)wrote : 0;
    }
}

char *sx_slip_text(const SxSlip *slip, const char *team_name, char *text, size_t size) {
    char piece[NAME_BYTES + 32], name[NAME_BYTES];
    size_t used = 0;
    if (size > 0) {
        text[0] = '\0';
    }
    snprintf(piece, sizeof piece, "Line-up slip: %s\n", sx_text_cut(team_name, name, sizeof name));
    add(text, size, &used, piece);
    add(text, size, &used, "             net\n");
    for (int row = 0; row < SX_ROWS; row++) {
        add(text, size, &used, rule);
        for (int column = 0; column < COLUMNS; column++) {
            snprintf(piece, sizeof piece, "%s %-5s |", column ? "" : "  |",
                     sx_roman(layout[row][column]));
            add(text, size, &used, piece);
        }
        add(text, size, &used, "\n");
        for (int column = 0; column < COLUMNS; column++) {
            snprintf(piece, sizeof piece, "%s   %2d  |", column ? "" : "  |",
                     slip->number[layout[row][column] - 1]);
            add(text, size, &used, piece);
        }
        add(text, size, &used, "\n");
    }
    add(text, size, &used, rule);
    add(text, size, &used, slip->libero_count > 1 ? "  liberos:" : "  libero:");
    for (int i = 0; i < slip->libero_count; i++) {
        snprintf(piece, sizeof piece, "%s %d", i ? "," : "", slip->liberos[i]);
        add(text, size, &used, piece);
    }
    add(text, size, &used, slip->libero_count ? "\n" : " none\n");
    return text;
}
