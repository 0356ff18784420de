/* The paper pages: rotation page, player's card, and the order of all. */
#include "draw/pages.h"
#include "draw/halfcourt.h"
#include "draw/words.h"
#include "sixturn/bestset.h"
#include "sixturn/sentences.h"

#include <glib.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

static const double gap = 5; /* millimetres between columns */

typedef enum { KEY_PASSER, KEY_YOU, KEY_RUN, KEY_PASSED, KEY_BASE, KEY_ORDER } Key;

static double draw_key(const SxStudio *studio, SxPage *page, double x, double y, Key key,
                       const char *words, bool on_wall) {
    const double size = 1.5, middle = y + 1.6;
    SxStyle style = {.width = 0.4, .stroke = SX_INK_DARK, .fill = SX_INK_WHITE};
    double length = 2 * size;
    switch (key) {
    case KEY_PASSER:
        style.fill = on_wall ? SX_INK_DARK : SX_INK_WHITE;
        sx_draw_rect(page, NULL, (SxBox){x, middle - size, 2 * size, 2 * size}, style);
        break;
    case KEY_YOU:
        style.fill = SX_INK_DARK;
        sx_draw_circle(page, NULL, (SxPoint){x + size, middle}, size, style);
        break;
    case KEY_ORDER:
        length = 6;
        sx_draw_line(page, NULL, (SxPoint){x, middle}, (SxPoint){x + length, middle},
                     (SxStyle){.width = 0.25, .stroke = SX_INK_DARK});
        break;
    default:
        length = 8;
        sx_draw_line(page, NULL, (SxPoint){x, middle}, (SxPoint){x + length, middle},
                     sx_court_run_style[key - KEY_RUN]);
    }
    SxFont font = {.size = 7.5, .ink = SX_INK_DARK};
    int text = sx_draw_text(studio->scene, page, NULL, x + length + 1, y, words, font);
    return page->items[text].box.x + page->items[text].box.w + 3.5;
}

static const double keys_height = 5; /* millimetres: a line above the foot */

static void draw_run_keys(const SxStudio *studio, SxPage *page, double x, double y, bool on_wall) {
    x = draw_key(studio, page, x, y, KEY_RUN, "run at the service hit", on_wall);
    x = draw_key(studio, page, x, y, KEY_PASSED, "run after the pass", on_wall);
    draw_key(studio, page, x, y, KEY_BASE, "then to base", on_wall);
}

/* "outside, passes, stay right of 7" */
static char *in_short(const SxSheet *sheet, int rotation, SxPhase phase, int slot) {
    GString *text = g_string_new(sx_role_name(sx_sheet_role(sheet, rotation, phase, slot)));
    if (sx_sheet_passes(sheet, rotation, phase, slot)) {
        g_string_append(text, ", passes");
    }
    if (phase == SX_SERVE && sx_position(slot, rotation) == 1) {
        g_string_append(text, ", serves");
    }
    for (int pair = 0; pair < SX_ORDER_PAIRS; pair++) {
        char order[64];
        if (sx_sheet_binds(sheet, rotation, phase, pair) &&
            sx_sheet_order(sheet, rotation, phase, pair, -1, order, sizeof order) == slot) {
            g_string_append_printf(text, ", %s", order);
        }
    }
    return g_string_free(text, FALSE);
}

enum { NAMES_ACROSS = 2, NAMES_DOWN = 3 };

/* Who the numbers are, row by row as they stand in the order: front row first. */
static void draw_names(const SxStudio *studio, SxPage *page, double y, double row, int rotation,
                       SxPhase phase) {
    static const int position[NAMES_DOWN][NAMES_ACROSS] = {{4, 5}, {3, 6}, {2, 1}};
    double width = (page->width - 2 * sx_page_edge - gap) / NAMES_ACROSS;
    for (int down = 0; down < NAMES_DOWN; down++) {
        for (int across = 0; across < NAMES_ACROSS; across++) {
            char id[SX_ITEM_ID];
            int slot = sx_slot_at(position[down][across], rotation);
            int player = sx_on_court(studio->sheet->lineup, rotation, phase, slot);
            double x = sx_page_edge + across * (width + gap);
            snprintf(id, sizeof id, "r%d-name-%d-%d", rotation + 1, phase, slot);
            double below = sx_draw_name(studio, page, id, x, y + down * row, player, width);
            char *words = in_short(studio->sheet, rotation, phase, slot);
            SxFont font = {.size = 12, .ink = SX_INK_DARK, .limit = width};
            sx_draw_text(studio->scene, page, NULL, x, below, words, font);
            g_free(words);
        }
    }
}

void sx_page_rotation(const SxStudio *studio, SxPage *page, int rotation, SxPhase phase) {
    const SxSheet *sheet = studio->sheet;
    const double row = 18.2; /* millimetres of a name and the line below it */
    double bottom, y = sx_page_edge;
    y = sx_draw_high(studio, page, NULL, sx_page_edge, y, page->title, sx_wall_name,
                     page->width - 2 * sx_page_edge) +
        1;
    bottom = sx_page_foot(studio, page);
    draw_run_keys(studio, page, sx_page_edge, bottom - keys_height + 1, true);
    draw_key(studio, page, page->width - sx_page_edge - 30, bottom - keys_height + 1, KEY_PASSER,
             "passes the serve", true);
    bottom -= keys_height;
    double names = bottom - NAMES_DOWN * row, width = page->width - 2 * sx_page_edge;
    SxCourtView view = sx_court_phase_view(sheet, phase);
    double scale = sx_court_scale(view, width, names - y - 2);
    sx_court_draw(studio, page, (SxBox){sx_page_edge, y, width, names - y}, view, scale,
                  sx_court_wall(studio->scene->type, sx_wall_number), rotation, phase);
    draw_names(studio, page, names, row, rotation, phase);
    page->about = sx_people(studio, rotation, phase);
}

/* --- cards --------------------------------------------------------------------------------------
 */

/* Sizes of a card: on a page of her own, or two to a page. */
typedef struct {
    double title, head; /* points */
    double body;        /* points; up to head, where the longest sentences leave room */
    double words;       /* millimetres kept for the sentences of a rotation */
} CardStyle;
static const CardStyle whole_page = {16, 11, 9, 29}, half_page = {12, 9, 7, 24},
                       bench_card = {20, 12, 12, 30};
static const double size_step = 0.5; /* points */

/* The sentences of a rotation below each other; returns the y below. Without a page nothing is
 * drawn. */
static double draw_sentences(const SxStudio *studio, SxPage *page, double x, double y, SxFont font,
                             int rotation, int player) {
    SxPhase phases[SX_PHASES];
    const int count = sx_phases_shown(studio->sheet, phases);
    for (int i = 0; i < count; i++) {
        char id[SX_ITEM_ID];
        snprintf(id, sizeof id, "p%d-r%d-words-%d", player, rotation + 1, i);
        char *words = sx_sheet_instructions(studio, rotation, phases[i], player);
        y = sx_draw_paragraph(studio->scene, page, id, x, y, words, font) + 0.3;
        g_free(words);
    }
    return y;
}

static bool sentences_fit(const SxStudio *studio, SxFont font, double height, int player) {
    bool fit = true;
    for (int r = 0; r < SX_ROTATIONS && fit; r++) {
        fit = draw_sentences(studio, NULL, 0, 0, font, r, player) <= height;
    }
    return fit;
}

static void draw_cell(const SxStudio *studio, SxPage *page, SxBox box, CardStyle look,
                      SxCourtView view, int rotation, int player) {
    const SxSheet *sheet = studio->sheet;
    SxScene *scene = studio->scene;
    SxPhase phases[SX_PHASES];
    int count = sx_phases_shown(sheet, phases);
    int slot = sx_sheet_slot_of(sheet, rotation, count ? phases[0] : SX_RECEIVE, player);
    char *head = slot < 0 ? g_strdup_printf("Rotation %d", rotation + 1)
                          : g_strdup_printf("Rotation %d: %s (%s)", rotation + 1,
                                            sx_position_name(sx_position(slot, rotation)),
                                            sx_roman(sx_position(slot, rotation)));
    SxFont font = {.size = look.head, .bold = true, .ink = SX_INK_DARK, .limit = box.w};
    double y = box.y;
    y += sx_page_item(page, sx_draw_text(scene, page, NULL, box.x, y, head, font))->box.h + 0.5;
    g_free(head);
    double width = (box.w - (count - 1) * 2) / count;
    double scale = sx_court_scale(view, width, box.h - (y - box.y) - look.words);
    SxCourtStyle style = sx_court_card;
    style.focus = player;
    double below = y;
    for (int i = 0; i < count; i++) {
        below = sx_court_draw(studio, page, (SxBox){box.x + i * (width + 2), y, width, box.h}, view,
                              scale, style, rotation, phases[i]);
    }
    font = (SxFont){.size = look.body, .ink = SX_INK_DARK, .limit = box.w};
    draw_sentences(studio, page, box.x, below + 1, font, rotation, player);
}

/* Name, how the set starts, and the substitutions that concern her; returns the y below. */
static double draw_card_head(const SxStudio *studio, SxPage *page, SxBox box, CardStyle look,
                             int player) {
    const SxPlayer *who = &studio->sheet->problem->team->players[player];
    SxFont font = {.size = look.title, .bold = true, .ink = SX_INK_DARK, .limit = box.w};
    char *set = sx_set_words(studio->sheet, ": ");
    char *title = g_strdup_printf("%s%d %s%s", set, who->number,
                                  sx_estimate_mark(studio->sheet, player), who->name);
    g_free(set);
    double y = box.y;
    y += sx_page_item(page, sx_draw_text(studio->scene, page, NULL, box.x, y, title, font))->box.h;
    g_free(title);
    char *words = sx_card_words(studio, player);
    font = (SxFont){.size = look.body, .ink = SX_INK_DARK, .limit = box.w};
    y = sx_draw_paragraph(studio->scene, page, NULL, box.x, y, words, font) + 1;
    g_free(words);
    return y;
}

static void draw_card_keys(const SxStudio *studio, SxPage *page, double x, double y) {
    x = draw_key(studio, page, x, y, KEY_YOU, "you", false);
    x = draw_key(studio, page, x, y, KEY_PASSER, "passes", false);
    x = draw_key(studio, page, x, y, KEY_RUN, "at the service hit", false);
    x = draw_key(studio, page, x, y, KEY_PASSED, "after the pass", false);
    x = draw_key(studio, page, x, y, KEY_BASE, "to base", false);
    draw_key(studio, page, x, y, KEY_ORDER, "order to keep", false);
}

static void draw_card(const SxStudio *studio, SxPage *page, SxBox box, CardStyle look, int player) {
    enum { ACROSS = 3, DOWN = 2 };
    const double width = (box.w - (ACROSS - 1) * gap) / ACROSS;
    SxFont font = {.size = look.head, .limit = width};
    while (font.size > look.body && !sentences_fit(studio, font, look.words, player)) {
        font.size -= size_step;
    }
    look.body = font.size;
    double y = draw_card_head(studio, page, box, look, player);
    double bottom = box.y + box.h - keys_height;
    draw_card_keys(studio, page, box.x, bottom + 1);
    double height = (bottom - y - (DOWN - 1) * 2) / DOWN;
    SxCourtView view = sx_court_view(studio->sheet);
    for (int r = 0; r < SX_ROTATIONS; r++) {
        const int row = r / ACROSS;
        draw_cell(
            studio, page,
            (SxBox){box.x + r % ACROSS * (width + gap), y + row * (height + 2), width, height},
            look, view, r, player);
    }
}

void sx_page_card(const SxStudio *studio, SxPage *page, int player) {
    const SxPlayer *who = &studio->sheet->problem->team->players[player];
    double bottom = sx_page_foot(studio, page);
    SxBox box = {sx_page_edge, sx_page_edge, page->width - 2 * sx_page_edge, bottom - sx_page_edge};
    if (sx_ever_plays(studio->sheet, player)) {
        draw_card(studio, page, box, whole_page, player);
        page->about =
            g_strdup_printf("Six small courts, one for each rotation of player %d", who->number);
    } else {
        draw_card_head(studio, page, box, bench_card, player);
        page->about = g_strdup_printf("The bench card of player %d", who->number);
    }
}

static const double thumb_page = 16, thumb_card = 10; /* points */

void sx_page_thumb(const SxStudio *studio, SxPage *page) {
    sx_page_foot(studio, page);
    sx_draw_thumb(studio, page, sx_page_edge, sx_page_edge, page->width - 2 * sx_page_edge,
                  thumb_page);
    page->about = g_strdup(sx_thumb_title);
}

/* Whose card comes: the coach's, with the rules of thumb, before those of the bench. */
enum { COACH = -1 };

static bool has_card(const SxSheet *sheet, int player, bool playing) {
    return player == COACH ? sheet->thumb && !playing
                           : !sx_is_out(sheet, player) && sx_ever_plays(sheet, player) == playing;
}

/* Cards one below the other, with a line to cut along between them. */
static void lay_out_cards(const SxStudio *studio, double width, double height, bool playing) {
    const SxTeam *team = studio->sheet->problem->team;
    const int most = playing ? 2 : 4;
    SxPage *page = NULL;
    int on_page = 0;
    double part = 0; /* of the page's height, for a card */
    for (int p = COACH; p < team->player_count; p++) {
        if (!has_card(studio->sheet, p, playing)) {
            continue;
        }
        if (!page || on_page == most) {
            page = sx_scene_page(studio->scene, width, height,
                                 playing ? "Players' cards" : "Cards of coach and bench");
            page->about = g_strdup(page->title);
            on_page = 0;
            part = (sx_page_foot(studio, page) - sx_page_edge) / most;
        }
        SxBox box = {sx_page_edge, sx_page_edge + on_page * part, width - 2 * sx_page_edge,
                     part - 3};
        if (on_page > 0) {
            sx_draw_line(page, NULL, (SxPoint){0, box.y - 2}, (SxPoint){width, box.y - 2},
                         (SxStyle){.width = 0.2, .stroke = SX_INK_FAINT, .dash = SX_DASHED});
        }
        if (playing) {
            draw_card(studio, page, box, half_page, p);
        } else if (p == COACH) {
            sx_draw_thumb(studio, page, box.x, box.y, box.w, thumb_card);
        } else {
            draw_card_head(studio, page, box, bench_card, p);
        }
        on_page++;
    }
}

typedef struct {
    double across, down; /* millimetres, upright */
} Paper;

static Paper paper_size(SxPaper paper) {
    /* ANSI letter, else ISO 216 A4 */
    return paper == SX_PAPER_LETTER ? (Paper){215.9, 279.4} : (Paper){210, 297};
}

/* The first page, and what it has no room for. */
static void lay_out_summary(const SxStudio *studio, Paper paper, const char *set) {
    const SxSheet *sheet = studio->sheet;
    char *name = g_strdup_printf("%s%s", set, sheet->problem->team->name);
    SxPage *summary = sx_scene_page(studio->scene, paper.across, paper.down, name);
    g_free(name);
    const SxSummaryRest rest = sx_page_summary(studio, summary);
    for (int p = rest.bench; p != SX_NOBODY && p < sheet->problem->team->player_count;) {
        p = sx_page_bench(
            studio, sx_scene_page(studio->scene, paper.across, paper.down, sx_bench_title), p);
    }
    if (rest.thumb) {
        sx_page_thumb(studio,
                      sx_scene_page(studio->scene, paper.across, paper.down, sx_thumb_title));
    }
}

static void lay_out_wall(const SxStudio *studio, Paper paper) {
    const SxSheet *sheet = studio->sheet;
    static const char *const titles[SX_PHASES] = {"they serve", "we serve"};
    SxPhase phases[SX_PHASES];
    int count = sx_phases_shown(sheet, phases);
    char *set = sx_set_words(sheet, ": ");
    if (sheet->rotation == 0) {
        lay_out_summary(studio, paper, set);
    }
    for (int r = 0; r < SX_ROTATIONS; r++) {
        for (int i = 0; i < count && (sheet->rotation == 0 || sheet->rotation == r + 1); i++) {
            char title[48];
            snprintf(title, sizeof title, "%sRotation %d: %s", set, r + 1, titles[phases[i]]);
            sx_page_rotation(studio, sx_scene_page(studio->scene, paper.across, paper.down, title),
                             r, phases[i]);
        }
    }
    g_free(set);
}

void sx_pages_lay_out(SxScene *scene, const SxSheet *sheet) {
    SxStudio studio;
    sx_studio_init(&studio, sheet, scene);
    Paper paper = paper_size(sheet->paper);
    const SxTeam *team = sheet->problem->team;
    if (sheet->player == SX_EVERY_CARD) {
        lay_out_cards(&studio, paper.across, paper.down, true);
        lay_out_cards(&studio, paper.across, paper.down, false);
    } else if (sheet->player >= 0) {
        const SxPlayer *who = &team->players[sheet->player];
        char *title = g_strdup_printf("%d %s", who->number, who->name);
        sx_page_card(&studio, sx_scene_page(scene, paper.down, paper.across, title), sheet->player);
        g_free(title);
    } else {
        lay_out_wall(&studio, paper);
    }
    sx_studio_free(&studio);
}
