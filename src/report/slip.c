/* The line-up slip as text. */
#include "sixturn/slip.h"

#include "core/text.h"

#include <stdio.h>

enum { COLUMNS = 3, NAME_BYTES = 64, TITLE_WIDTH = 36 };

/* As seen from the end line. */
static const int layout[SX_ROWS][COLUMNS] = {{4, 3, 2}, {5, 6, 1}};
static const char rule[] = "  +-------+-------+-------+";
static const char gap[] =
    "         "; /* between two slips: together TITLE_WIDTH from left to left */

/* Text that grows in a buffer; what does not fit is cut. */
typedef struct {
    char *text;
    size_t size, used;
} Page;

void sx_slip_from(const SxLineup *lineup, const SxTeam *team, int start, SxSlip *out) {
    out->start = start;
    for (int p = 1; p <= SX_POSITIONS; p++) {
        out->number[p - 1] =
            team->players[sx_slot_player(lineup, start, sx_slot_at(p, start))].number;
    }
    out->libero_count =
        lineup->libero_count < SX_SLIP_LIBEROS ? lineup->libero_count : SX_SLIP_LIBEROS;
    for (int i = 0; i < out->libero_count; i++) {
        out->liberos[i] = team->players[lineup->liberos[i]].number;
    }
}

void sx_slip(const SxLineup *lineup, const SxTeam *team, SxSlip *out) {
    sx_slip_from(lineup, team, lineup->start, out);
}

static void add(Page *page, const char *piece) {
    if (page->used < page->size) {
        int wrote = snprintf(page->text + page->used, page->size - page->used, "%s", piece);
        page->used += wrote > 0 ? (size_t)wrote : 0;
    }
}

/* A row of positions, or of the shirts in them, of so many slips. */
static void add_row(Page *page, const SxSlip *slip, int count, int row, bool shirts) {
    for (int k = 0; k < count; k++) {
        add(page, k ? gap : "");
        for (int column = 0; column < COLUMNS; column++) {
            char piece[32];
            const int position = layout[row][column];
            const char *edge = column ? "" : "  |";
            if (shirts) {
                snprintf(piece, sizeof piece, "%s   %2d  |", edge, slip[k].number[position - 1]);
            } else {
                snprintf(piece, sizeof piece, "%s %-5s |", edge, sx_roman(position));
            }
            add(page, piece);
        }
    }
    add(page, "\n");
}

static void add_rule(Page *page, int count) {
    for (int k = 0; k < count; k++) {
        add(page, k ? gap : "");
        add(page, rule);
    }
    add(page, "\n");
}

static void add_boxes(Page *page, const SxSlip *slip, int count) {
    for (int row = 0; row < SX_ROWS; row++) {
        add_rule(page, count);
        add_row(page, slip, count, row, false);
        add_row(page, slip, count, row, true);
    }
    add_rule(page, count);
}

static void add_head(Page *page, const char *team_name) {
    char piece[NAME_BYTES + 64], name[NAME_BYTES];
    snprintf(piece, sizeof piece, "Line-up slip: %s\n", sx_text_cut(team_name, name, sizeof name));
    add(page, piece);
}

static void add_liberos(Page *page, const SxSlip *slip) {
    add(page, slip->libero_count > 1 ? "  liberos:" : "  libero:");
    for (int i = 0; i < slip->libero_count; i++) {
        char piece[32];
        snprintf(piece, sizeof piece, "%s %d", i ? "," : "", slip->liberos[i]);
        add(page, piece);
    }
    add(page, slip->libero_count ? "\n" : " none\n");
}

static Page open_page(char *text, size_t size) {
    if (size > 0) {
        text[0] = '\0';
    }
    return (Page){text, size, 0};
}

char *sx_slip_text(const SxSlip *slip, const char *team_name, char *text, size_t size) {
    Page page = open_page(text, size);
    add_head(&page, team_name);
    add(&page, "             net\n");
    add_boxes(&page, slip, 1);
    add_liberos(&page, slip);
    return text;
}

char *sx_slips_text(const SxSlip slip[SX_PHASES], const char *team_name, char *text, size_t size) {
    static const char *const first[SX_PHASES] = {
        [SX_RECEIVE] = "They serve first", [SX_SERVE] = "We serve first"};
    Page page = open_page(text, size);
    char title[TITLE_WIDTH + 32];
    const bool both = slip[SX_RECEIVE].start != slip[SX_SERVE].start;
    add_head(&page, team_name);
    if (both) {
        char left[TITLE_WIDTH];
        snprintf(left, sizeof left, "  %s: rotation %d", first[SX_RECEIVE],
                 slip[SX_RECEIVE].start + 1);
        snprintf(title, sizeof title, "%-*s  %s: rotation %d\n", TITLE_WIDTH, left, first[SX_SERVE],
                 slip[SX_SERVE].start + 1);
    } else {
        snprintf(title, sizeof title, "  Whoever serves first: rotation %d\n",
                 slip[SX_SERVE].start + 1);
    }
    add(&page, title);
    add_boxes(&page, slip, both ? SX_PHASES : 1);
    add_liberos(&page, slip);
    return text;
}
