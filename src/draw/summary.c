/* The summary page: line-up slip, serving order, strength by rotation, libero and substitution
 * plan, odds. */
#include "draw/pages.h"
#include "draw/words.h"

#include <glib.h>
#include <math.h>
#include <stdio.h>

static const SxFont head_font = {.size = 13, .bold = true, .ink = SX_INK_DARK};
static const SxFont cell_font = {.size = 10, .ink = SX_INK_DARK};
static const SxFont slip_font = {.size = 13, .bold = true, .ink = SX_INK_DARK};
static const double row_height = 6, gap = 6;
const char sx_bench_title[] = "Bench, and for whom";
/* Points, for who holds the page: the smaller where the larger does not fit. */
static const double thumb_sizes[] = {10, 9};

typedef struct {
    const char *title;
    double width; /* millimetres */
} Column;

static double heading(const SxStudio *studio, SxPage *page, double x, double y, double width,
                      const char *words) {
    SxFont font = head_font;
    font.limit = width;
    return y +
           sx_page_item(page, sx_draw_text(studio->scene, page, NULL, x, y, words, font))->box.h +
           1;
}

static void cell(const SxStudio *studio, SxPage *page, double x, double y, double width,
                 const char *words, bool bold) {
    SxFont font = cell_font;
    font.bold = bold;
    font.limit = width - 2;
    double height = sx_type_measure(studio->scene->type, words, font.size, bold).height;
    sx_draw_text(studio->scene, page, NULL, x + 1, y + (row_height - height) / 2, words, font);
}

static double table_head(const SxStudio *studio, SxPage *page, double x, double y,
                         const Column *columns, int count) {
    double width = 0;
    for (int c = 0; c < count; c++) {
        width += columns[c].width;
    }
    sx_draw_rect(page, NULL, (SxBox){x, y, width, row_height},
                 (SxStyle){.fill = SX_INK_BAND, .ground = true});
    for (int c = 0; c < count; c++) {
        cell(studio, page, x, y, columns[c].width, columns[c].title, true);
        x += columns[c].width;
    }
    return y + row_height;
}

static double table_row(const SxStudio *studio, SxPage *page, double x, double y,
                        const Column *columns, int count, char **cells, bool bold) {
    double left = x;
    for (int c = 0; c < count; c++) {
        cell(studio, page, x, y, columns[c].width, cells[c], bold);
        x += columns[c].width;
        g_free(cells[c]);
    }
    sx_draw_line(page, NULL, (SxPoint){left, y + row_height}, (SxPoint){x, y + row_height},
                 (SxStyle){.width = 0.15, .stroke = SX_INK_FAINT});
    return y + row_height;
}

/* The six boxes as they lie on the court, net at the top; figures to be read from afar. */
static double draw_slip(const SxStudio *studio, SxPage *page, double x, double y, double width,
                        SxPhase first) {
    static const int place[2][3] = {{4, 3, 2}, {5, 6, 1}};
    static const char *const titles[SX_PHASES] = {"They serve first", "We serve first"};
    const SxSheet *sheet = studio->sheet;
    SxType *type = studio->scene->type;
    const int start = sheet->start[first];
    const double w = width / 3, h = sx_wall_number + 9,
                 spare = 1.03; /* flat figures are lower than round ones */
    double size = sx_type_size_for(type, sx_wall_number * spare, false) *
                  sx_type_capital_height(type, 100, false) /
                  sx_type_figure_height(type, 100, false);
    char *title = g_strdup_printf("%s: start in rotation %d", titles[first], start + 1);
    y += sx_page_item(page, sx_draw_text(studio->scene, page, NULL, x, y, title, slip_font))->box.h;
    g_free(title);
    sx_draw_line(page, NULL, (SxPoint){x, y}, (SxPoint){x + width, y},
                 (SxStyle){.width = 1.2, .stroke = SX_INK_DARK});
    y += 1;
    for (int row = 0; row < 2; row++) {
        for (int column = 0; column < 3; column++) {
            char id[SX_ITEM_ID], number[12];
            int position = place[row][column];
            int player = sx_slot_player(sheet->lineup, start, sx_slot_at(position, start));
            SxBox box = {x + column * w, y + row * h, w, h};
            sx_draw_rect(page, NULL, box,
                         (SxStyle){.width = 0.35, .stroke = SX_INK_SOFT, .ground = true});
            sx_draw_text(studio->scene, page, NULL, box.x + 1, box.y + 0.5, sx_roman(position),
                         (SxFont){.size = 10, .ink = SX_INK_SOFT});
            snprintf(id, sizeof id, first == SX_RECEIVE ? "slip-%d" : "slip-serve-%d", position);
            snprintf(number, sizeof number, "%d", sheet->problem->team->players[player].number);
            int text =
                sx_draw_text(studio->scene, page, id, box.x + w / 2, 0, number,
                             (SxFont){.size = size, .ink = SX_INK_DARK, .align = SX_ALIGN_CENTRE});
            SxItem *item = &page->items[text];
            item->ascent = item->box.h = sx_type_figure_height(type, size, false);
            item->box.y = box.y + h - item->box.h - 2;
        }
    }
    return y + 2 * h + 2;
}

/* A name for the wall with what she does below it. */
static double draw_person(const SxStudio *studio, SxPage *page, double x, double y, double width,
                          int player, const char *words) {
    char id[SX_ITEM_ID];
    snprintf(id, sizeof id, "person-%d", player);
    y = sx_draw_name(studio, page, id, x, y, player, width);
    SxFont font = {.size = 11, .ink = SX_INK_DARK, .limit = width};
    snprintf(id, sizeof id, "person-%d-words", player);
    return sx_draw_paragraph(studio->scene, page, id, x, y, words, font) + 0.5;
}

/* Neither in the order nor a libero, and here. */
static bool sits(const SxSheet *sheet, int player) {
    return !sx_is_out(sheet, player) && !sx_ever_plays(sheet, player) &&
           !sx_is_nominated(sheet->lineup, player);
}

static double draw_liberos(const SxStudio *studio, SxPage *page, double x, double y, double width) {
    const SxLineup *lineup = studio->sheet->lineup;
    for (int i = 0; i < lineup->libero_count; i++) {
        y = draw_person(studio, page, x, y, width, lineup->liberos[i],
                        i == 0 ? "libero" : "second libero");
    }
    return y;
}

static const double person_height = 2.6 * 8; /* millimetres: a name on the wall and two lines */

/* Who sits next from this player on; the number of players if nobody does. */
static int next_on_bench(const SxSheet *sheet, int from) {
    while (from < sheet->problem->team->player_count && !sits(sheet, from)) {
        from++;
    }
    return from;
}

static double draw_sitting(const SxStudio *studio, SxPage *page, SxBox box, int player) {
    char *words = sx_cover_words(studio->sheet, player);
    double y = draw_person(studio, page, box.x, box.y, box.w, player, words);
    g_free(words);
    return y;
}

/* One below the other as far as the box goes; returns who comes next. */
static int draw_bench_column(const SxStudio *studio, SxPage *page, SxBox box, int player) {
    const SxSheet *sheet = studio->sheet;
    for (double y = box.y;
         player < sheet->problem->team->player_count && y + person_height < box.y + box.h;
         player = next_on_bench(sheet, player + 1)) {
        y = draw_sitting(studio, page, (SxBox){box.x, y, box.w, 0}, player);
    }
    return player;
}

/* Two beside each other as far as the box goes, which then is what is left of it. */
static int draw_bench_rows(const SxStudio *studio, SxPage *page, SxBox *box, int player) {
    enum { ACROSS = 2 };
    const SxSheet *sheet = studio->sheet;
    const int players = sheet->problem->team->player_count;
    const double width = (box->w - gap) / ACROSS;
    while (player < players && person_height < box->h) {
        double end = box->y;
        for (int k = 0; k < ACROSS && player < players; k++) {
            const SxBox place = {box->x + k * (width + gap), box->y, width, 0};
            end = fmax(end, draw_sitting(studio, page, place, player));
            player = next_on_bench(sheet, player + 1);
        }
        box->h -= end - box->y;
        box->y = end;
    }
    return player;
}

int sx_page_bench(const SxStudio *studio, SxPage *page, int player) {
    const double bottom = sx_page_foot(studio, page), width = page->width - 2 * sx_page_edge;
    double y = heading(studio, page, sx_page_edge, sx_page_edge, width, page->title);
    SxBox box = {sx_page_edge, y, width, bottom - y};
    page->about = g_strdup("Who is on the bench, with the roles that each covers");
    return draw_bench_rows(studio, page, &box, player);
}

double sx_draw_strength(const SxStudio *studio, SxPage *page, double x, double y, double width) {
    const SxLineup *lineup = studio->sheet->lineup;
    y = heading(studio, page, x, y, width, "Strength by rotation");
    double most = 1e-9;
    for (int r = 0; r < SX_ROTATIONS; r++) {
        most = fmax(most, lineup->rotation[r].score);
    }
    const double label = 7, value = 34, height = 3.4;
    for (int r = 0; r < SX_ROTATIONS; r++) {
        char id[SX_ITEM_ID], words[48];
        double score = lineup->rotation[r].score;
        bool weak = r == sx_weak_rotation(lineup);
        double length = fmax(score, 0) / most * (width - label - value);
        snprintf(words, sizeof words, "%d", r + 1);
        cell(studio, page, x, y, label, words, weak);
        snprintf(id, sizeof id, "strength-%d", r + 1);
        sx_draw_rect(page, id, (SxBox){x + label, y + (row_height - height) / 2, length, height},
                     weak ? (SxStyle){.width = 0.5, .stroke = SX_INK_DARK, .fill = SX_INK_WHITE}
                          : (SxStyle){.fill = SX_INK_RUN});
        snprintf(words, sizeof words, weak ? "%.2f weakest" : "%.2f", score);
        cell(studio, page, x + label + length + 0.5, y, value, words, weak);
        y += row_height;
    }
    return y;
}

static double draw_rotations(const SxStudio *studio, SxPage *page, double x, double y,
                             double width) {
    const SxSheet *sheet = studio->sheet;
    const SxLineup *lineup = sheet->lineup;
    const SxSheetOdds *odds = sheet->odds;
    Column columns[] = {{"Rotation", 24},  {"Server", 35},   {"Passers, left first", 42},
                        {"Libero in", 29}, {"Side-out", 25}, {"Break point", 0}};
    enum { PLAIN = 4, ALL = 6 };
    int count = odds ? ALL : PLAIN;
    columns[ALL - 1].width = width - 155;
    y = heading(studio, page, x, y, width, "Rotation by rotation");
    y = table_head(studio, page, x, y, columns, count);
    for (int r = 0; r < SX_ROTATIONS; r++) {
        int server = sx_on_court(lineup, r, SX_SERVE, sx_slot_at(1, r));
        char *cells[ALL] = {
            g_strdup_printf("%d%s", r + 1, r == sx_weak_rotation(lineup) ? " weakest" : ""),
            g_strdup_printf("%d %s", sheet->problem->team->players[server].number,
                            studio->name[server]),
            sx_passer_list(sheet, r), sx_libero_cell(sheet, r, SX_RECEIVE)};
        if (odds) {
            cells[PLAIN] = sx_percent(odds->side_out[r]);
            cells[PLAIN + 1] = sx_percent(odds->break_point[r]);
        }
        y = table_row(studio, page, x, y, columns, count, cells, false);
    }
    return y;
}

static double draw_substitutions(const SxStudio *studio, SxPage *page, double x, double y,
                                 double width) {
    y = heading(studio, page, x, y, width, "Substitutions");
    char *text = sx_substitution_lines(studio->sheet);
    char **lines = g_strsplit(text[0] ? text : "None is planned.", "\n", -1);
    SxFont font = {.size = 12, .ink = SX_INK_DARK, .limit = width / 2 - 3};
    double line = sx_type_measure(studio->scene->type, "0", font.size, false).height + 0.4;
    int count = 0;
    for (int i = 0; lines[i]; i++) {
        if (lines[i][0]) {
            const int column = count % 2, row = count / 2;
            sx_draw_text(studio->scene, page, NULL, x + column * width / 2, y + row * line,
                         lines[i], font);
            count++;
        }
    }
    const int rows = (count + 1) / 2;
    y += rows * line;
    char *stop = sx_stop_line(studio->sheet);
    font.limit = width;
    font.bold = true;
    if (stop[0]) {
        y = sx_draw_paragraph(studio->scene, page, "stop", x, y, stop, font);
    }
    g_free(stop);
    g_strfreev(lines);
    g_free(text);
    return y;
}

/* False if they do not fit. */
static bool draw_thumb(const SxStudio *studio, SxPage *page, SxBox room) {
    for (size_t k = 0; studio->sheet->thumb && k < G_N_ELEMENTS(thumb_sizes); k++) {
        if (sx_thumb_height(studio, room.w, thumb_sizes[k]) <= room.h) {
            sx_draw_thumb(studio, page, room.x, room.y, room.w, thumb_sizes[k]);
            return true;
        }
    }
    return !studio->sheet->thumb;
}

SxSummaryRest sx_page_summary(const SxStudio *studio, SxPage *page) {
    const SxSheet *sheet = studio->sheet;
    double width = page->width - 2 * sx_page_edge, x = sx_page_edge, y = sx_page_edge;
    double bottom = sx_page_foot(studio, page);
    SxFont font = {.size = sx_type_size_for(studio->scene->type, sx_wall_name, true),
                   .bold = true,
                   .ink = SX_INK_DARK,
                   .limit = width};
    y +=
        sx_page_item(page, sx_draw_text(studio->scene, page, NULL, x, y, page->title, font))->box.h;
    char *worth = sx_worth_words(sheet);
    char *below = g_strdup_printf("%s. %s. %s", sheet->problem->system->name,
                                  sheet->problem->rules->name, worth);
    g_free(worth);
    font = cell_font;
    font.limit = width;
    y = sx_draw_paragraph(studio->scene, page, NULL, x, y, below, font) + 2;
    g_free(below);
    const double slip = 3 * (2 * sx_wall_number - 2); /* two figures to a box */
    double right = x + slip + gap, column = width - slip - gap, top = y;
    y = draw_slip(studio, page, x, y, slip, SX_RECEIVE) + 1;
    y = draw_slip(studio, page, x, y, slip, SX_SERVE);
    double table = bottom - (SX_ROTATIONS + 3) * row_height; /* heading and head included */
    double bench = draw_liberos(studio, page, right, top, column) + 1, end = y;
    bench = heading(studio, page, right, bench, column, sx_bench_title);
    int next = draw_bench_column(studio, page, (SxBox){right, bench, column, end - bench},
                                 next_on_bench(sheet, 0));
    y = draw_substitutions(studio, page, x, y, width) + 1;
    if (next < sheet->problem->team->player_count) {
        y = heading(studio, page, x, y, width, "The rest of the bench");
    }
    SxBox room = {x, y, width, table - 1 - y};
    next = draw_bench_rows(studio, page, &room, next);
    draw_rotations(studio, page, x, table, width);
    page->about =
        g_strdup("Line-up slips for either first serve, liberos, substitutions, bench, rotations");
    return (SxSummaryRest){.thumb = !draw_thumb(studio, page, room),
                           .bench = next < sheet->problem->team->player_count ? next : SX_NOBODY};
}
