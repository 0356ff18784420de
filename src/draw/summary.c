/* The summary page: line-up slip, serving order, strength by rotation, libero and substitution
 * plan, odds. */
#include "draw/pages.h"

#include <glib.h>
#include <math.h>
#include <stdio.h>

static const SxFont head_font = {.size = 10, .bold = true, .ink = SX_INK_DARK};
static const SxFont cell_font = {.size = 8, .ink = SX_INK_DARK};
static const double row_height = 5.2, gap = 7;

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

/* The six boxes as they lie on the court, net at the top. */
static double draw_slip(const SxStudio *studio, SxPage *page, double x, double y, double width) {
    static const int place[2][3] = {{4, 3, 2}, {5, 6, 1}};
    const SxSheet *sheet = studio->sheet;
    const double w = width / 3, h = 21;
    y = heading(studio, page, x, y, width, "Line-up slip");
    sx_draw_line(page, NULL, (SxPoint){x, y}, (SxPoint){x + width, y},
                 (SxStyle){.width = 1.2, .stroke = SX_INK_DARK});
    y += 1.5;
    for (int row = 0; row < 2; row++) {
        for (int column = 0; column < 3; column++) {
            char id[SX_ITEM_ID], number[12];
            int position = place[row][column];
            int slot = sx_slot_at(position, sheet->lineup->start);
            int player = sx_slot_player(sheet->lineup, sheet->lineup->start, slot);
            SxBox box = {x + column * w, y + row * h, w, h};
            sx_draw_rect(page, NULL, box,
                         (SxStyle){.width = 0.35, .stroke = SX_INK_SOFT, .ground = true});
            sx_draw_text(studio->scene, page, NULL, box.x + 1.5, box.y + 1, sx_roman(position),
                         (SxFont){.size = 8, .ink = SX_INK_SOFT});
            snprintf(id, sizeof id, "slip-%d", position);
            snprintf(number, sizeof number, "%d", sheet->problem->team->players[player].number);
            sx_draw_text(
                studio->scene, page, id, box.x + w / 2, box.y + 4.5, number,
                (SxFont){.size = 20, .bold = true, .ink = SX_INK_DARK, .align = SX_ALIGN_CENTRE});
            sx_draw_text(
                studio->scene, page, NULL, box.x + w / 2, box.y + 15.5, studio->name[player],
                (SxFont){.size = 8, .ink = SX_INK_DARK, .align = SX_ALIGN_CENTRE, .limit = w - 2});
        }
    }
    y += 2 * h + 1.5;
    for (int i = 0; i < sheet->lineup->libero_count; i++) {
        const SxPlayer *libero = &sheet->problem->team->players[sheet->lineup->liberos[i]];
        char *words = g_strdup_printf("Libero %d %s", libero->number,
                                      studio->name[sheet->lineup->liberos[i]]);
        SxFont font = cell_font;
        font.limit = width;
        y += sx_page_item(page, sx_draw_text(studio->scene, page, NULL, x, y, words, font))->box.h;
        g_free(words);
    }
    return y;
}

static double draw_order(const SxStudio *studio, SxPage *page, double x, double y, double width) {
    const SxSheet *sheet = studio->sheet;
    const SxPlayer *players = sheet->problem->team->players;
    const Column columns[] = {{"Start", 13},
                              {"Front row", (width - 33) / 2},
                              {"Back row", (width - 33) / 2},
                              {"Role", 20}};
    enum { COLUMNS = 4 };
    char title[64];
    snprintf(title, sizeof title, "Serving order, starting in rotation %d",
             sheet->lineup->start + 1);
    y = heading(studio, page, x, y, width, title);
    y = table_head(studio, page, x, y, columns, COLUMNS);
    for (int turn = 0; turn < SX_SLOTS; turn++) {
        int slot = (sheet->lineup->start + turn) % SX_SLOTS;
        int front = sheet->lineup->order.front[slot], back = sheet->lineup->order.back[slot];
        char *cells[] = {g_strdup(sx_roman(sx_position(slot, sheet->lineup->start))),
                         g_strdup_printf("%d %s", players[front].number, studio->name[front]),
                         front == back
                             ? g_strdup("the same")
                             : g_strdup_printf("%d %s", players[back].number, studio->name[back]),
                         g_strdup(sx_role_name(sheet->problem->system->duty[slot][SX_FRONT].role))};
        y = table_row(studio, page, x, y, columns, COLUMNS, cells, false);
    }
    return y;
}

double sx_draw_strength(const SxStudio *studio, SxPage *page, double x, double y, double width) {
    const SxLineup *lineup = studio->sheet->lineup;
    y = heading(studio, page, x, y, width, "Strength by rotation");
    double most = 1e-9;
    for (int r = 0; r < SX_ROTATIONS; r++) {
        most = fmax(most, lineup->rotation[r].score);
    }
    const double label = 7, value = 28, height = 3.4;
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
    const Column columns[] = {{"Rotation", 25},
                              {"Server", 32},
                              {"Passers, left first", 33},
                              {"Libero, reception", 31},
                              {"Libero, our serve", 32},
                              {"Played", 15},
                              {"Side-out", 17},
                              {"Break point", 22},
                              {"Set, receiving", 26},
                              {"Set, serving", 24}};
    enum { PLAIN = 6, ALL = 10 };
    int count = odds ? ALL : PLAIN;
    char *title = g_strdup_printf("Rotation by rotation%s%s",
                                  odds && odds->against ? ", chances against " : "",
                                  odds && odds->against ? odds->against : "");
    y = heading(studio, page, x, y, width, title);
    g_free(title);
    y = table_head(studio, page, x, y, columns, count);
    for (int r = 0; r < SX_ROTATIONS; r++) {
        int server = sx_on_court(lineup, r, SX_SERVE, sx_slot_at(1, r));
        char *cells[ALL] = {
            g_strdup_printf("%d%s", r + 1, r == sx_weak_rotation(lineup) ? " weakest" : ""),
            g_strdup_printf("%d %s", sheet->problem->team->players[server].number,
                            studio->name[server]),
            sx_passer_list(sheet, r),
            sx_libero_cell(sheet, r, SX_RECEIVE),
            sx_libero_cell(sheet, r, SX_SERVE),
            sx_percent(lineup->rotation[r].weight)};
        if (odds) {
            cells[PLAIN] = sx_percent(odds->side_out[r]);
            cells[PLAIN + 1] = sx_percent(odds->break_point[r]);
            cells[PLAIN + 2] = sx_percent(odds->set_receiving[r]);
            cells[PLAIN + 3] = sx_percent(odds->set_serving[r]);
        }
        y = table_row(studio, page, x, y, columns, count, cells, false);
    }
    return y;
}

static void draw_substitutions(const SxStudio *studio, SxPage *page, double x, double y,
                               double width, double bottom) {
    y = heading(studio, page, x, y, width, "Substitutions planned");
    char *text = sx_substitution_lines(studio->sheet);
    char **lines = g_strsplit(text[0] ? text : "None.", "\n", -1);
    SxFont font = cell_font;
    font.limit = width / 3 - 3;
    double line = sx_type_measure(studio->scene->type, "0", font.size, false).height + 0.6;
    int deep = MAX(1, (int)((bottom - y) / line));
    for (int i = 0; lines[i]; i++) {
        if (lines[i][0]) {
            const int column = i / deep;
            sx_draw_text(studio->scene, page, NULL, x + column * width / 3, y + i % deep * line,
                         lines[i], font);
        }
    }
    g_strfreev(lines);
    g_free(text);
}

void sx_page_summary(const SxStudio *studio, SxPage *page) {
    const SxSheet *sheet = studio->sheet;
    const SxLineup *lineup = sheet->lineup;
    char *proof = sx_proof(lineup);
    char *below = g_strdup_printf("%s. %s. Score %.2f%s.", sheet->problem->system->name,
                                  sheet->problem->rules->name, lineup->score, proof);
    g_free(proof);
    double bottom, top = sx_page_frame(studio, page, page->title, below, &bottom);
    g_free(below);
    double inner = page->width - 2 * sx_page_edge;
    const double slip = 72, chart = 78;
    double order = inner - slip - chart - 2 * gap;
    double x = sx_page_edge;
    double y = draw_slip(studio, page, x, top, slip);
    y = fmax(y, draw_order(studio, page, x + slip + gap, top, order));
    y = fmax(y, sx_draw_strength(studio, page, x + slip + order + 2 * gap, top, chart));
    y = draw_rotations(studio, page, x, y + 4, inner);
    draw_substitutions(studio, page, x, y + 3, inner, bottom);
    page->about = g_strdup("Line-up slip, serving order, strength by rotation and libero plan");
}
