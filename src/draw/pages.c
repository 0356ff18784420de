/* The paper pages: frame, rotation page, player's card; and the plan in short phrases. */
#include "draw/pages.h"
#include "draw/halfcourt.h"
#include "draw/words.h"

#include <glib.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

const double sx_page_edge = 10;

static const double gap = 5; /* millimetres between columns */
static const SxFont title_font = {.size = 16, .bold = true, .ink = SX_INK_DARK};
static const SxFont below_font = {.size = 9, .ink = SX_INK_SOFT};
static const SxFont head_font = {.size = 10, .bold = true, .ink = SX_INK_DARK};
static const SxFont body_font = {.size = 9, .ink = SX_INK_DARK};
static const SxFont foot_font = {.size = 7, .ink = SX_INK_SOFT};

double sx_page_frame(const SxStudio *studio, SxPage *page, const char *title, const char *below,
                     double *bottom) {
    SxScene *scene = studio->scene;
    double width = page->width - 2 * sx_page_edge, y = sx_page_edge;
    SxFont font = title_font;
    font.limit = width;
    y += sx_page_item(page, sx_draw_text(scene, page, NULL, sx_page_edge, y, title, font))->box.h;
    font = below_font;
    font.limit = width;
    y += sx_page_item(page, sx_draw_text(scene, page, NULL, sx_page_edge, y, below, font))->box.h +
         1;
    sx_draw_line(page, NULL, (SxPoint){sx_page_edge, y}, (SxPoint){sx_page_edge + width, y},
                 (SxStyle){.width = 0.5, .stroke = SX_INK_DARK});
    double foot = page->height - sx_page_edge -
                  sx_type_measure(scene->type, sx_sheet_caution, foot_font.size, false).height;
    font = foot_font;
    font.limit = width;
    sx_draw_text(scene, page, NULL, sx_page_edge, foot, sx_sheet_caution, font);
    *bottom = foot - 2;
    return y + 3;
}

char *sx_passer_list(const SxSheet *sheet, int rotation) {
    const SxFormation *formation = sx_sheet_formation(sheet, rotation, SX_RECEIVE);
    GString *text = g_string_new(NULL);
    int left = sx_count_members(sheet->lineup->rotation[rotation].passers);
    for (int lane = 0; formation && lane < SX_SLOTS; lane++) {
        for (int s = 0; s < SX_SLOTS; s++) {
            if (!sx_sheet_passes(sheet, rotation, SX_RECEIVE, s) || formation->lane[s] != lane) {
                continue;
            }
            int player = sx_on_court(sheet->lineup, rotation, SX_RECEIVE, s);
            const char *joint = text->len == 0 ? "" : left == 1 ? " and " : ", ";
            g_string_append_printf(text, "%s%d", joint,
                                   sheet->problem->team->players[player].number);
            left--;
        }
    }
    return g_string_free(text, FALSE);
}

char *sx_proof(const SxLineup *lineup) {
    return lineup->proof == SX_OPTIMAL
               ? g_strdup(", proven best")
               : g_strdup_printf(", at most %.2f below the best", lineup->gap);
}

char *sx_percent(double chance) {
    return isnan(chance) ? g_strdup("\xe2\x80\x93")
                         : g_strdup_printf("%.0f\xc2\xa0%%", 100 * chance);
}

char *sx_libero_cell(const SxSheet *sheet, int rotation, SxPhase phase) {
    const SxRotation *r = &sheet->lineup->rotation[rotation];
    if (r->libero < 0 || r->libero_slot < 0 ||
        sx_on_court(sheet->lineup, rotation, phase, r->libero_slot) != r->libero) {
        return g_strdup("\xe2\x80\x93");
    }
    const SxPlayer *players = sheet->problem->team->players;
    int out = sx_slot_player(sheet->lineup, rotation, r->libero_slot);
    bool serves = phase == SX_SERVE && sx_position(r->libero_slot, rotation) == 1;
    return g_strdup_printf("%d for %d%s", players[r->libero].number, players[out].number,
                           serves ? ", serves" : "");
}

char *sx_substitution_lines(const SxSheet *sheet) {
    const SxLineup *lineup = sheet->lineup;
    const SxPlayer *players = sheet->problem->team->players;
    GString *text = g_string_new(NULL);
    for (int turn = 1; turn <= SX_ROTATIONS; turn++) {
        int r = (lineup->start + turn) % SX_ROTATIONS;
        for (int s = 0; s < SX_SLOTS; s++) {
            int position = sx_position(s, r);
            int front = lineup->order.front[s], back = lineup->order.back[s];
            if (front == back || (position != 1 && position != 4)) {
                continue; /* a half of the turn begins in position 1 or 4 */
            }
            int in = position == 1 ? back : front, out = position == 1 ? front : back;
            g_string_append_printf(text, "Rotation %d: %d in for %d%s\n", r + 1, players[in].number,
                                   players[out].number,
                                   position == 1 ? ", to serve" : ", to the front row");
        }
    }
    return g_string_free(text, FALSE);
}

typedef enum { KEY_PLAYER, KEY_PASSER, KEY_YOU, KEY_RUN, KEY_BASE, KEY_ORDER, KEY_DOT } Key;

static double draw_key(const SxStudio *studio, SxPage *page, double x, double y, Key key,
                       const char *words) {
    const double size = 1.6, middle = y + 1.6;
    SxStyle style = {.width = 0.4, .stroke = SX_INK_DARK, .fill = SX_INK_WHITE};
    double length = 2 * size;
    switch (key) {
    case KEY_PASSER:
        style.fill = studio->sheet->player < 0 ? SX_INK_DARK : SX_INK_WHITE;
        sx_draw_rect(page, NULL, (SxBox){x, middle - size, 2 * size, 2 * size}, style);
        break;
    case KEY_YOU:
        style.fill = SX_INK_DARK;
        sx_draw_circle(page, NULL, (SxPoint){x + size, middle}, size, style);
        break;
    case KEY_DOT:
        style.fill = SX_INK_DARK;
        sx_draw_circle(page, NULL, (SxPoint){x + size, middle}, 0.7, style);
        break;
    case KEY_PLAYER:
        sx_draw_circle(page, NULL, (SxPoint){x + size, middle}, size, style);
        break;
    default:
        length = 8;
        style = key == KEY_RUN ? (SxStyle){.width = 0.5, .stroke = SX_INK_RUN}
                : key == KEY_BASE
                    ? (SxStyle){.width = 0.25, .stroke = SX_INK_SOFT, .dash = SX_DASHED}
                    : (SxStyle){.width = 0.3, .stroke = SX_INK_DARK, .dash = SX_DOTTED};
        sx_draw_line(page, NULL, (SxPoint){x, middle}, (SxPoint){x + length, middle}, style);
    }
    SxFont font = {.size = 7.5, .ink = SX_INK_DARK};
    int text = sx_draw_text(studio->scene, page, NULL, x + length + 1.2, y, words, font);
    return page->items[text].box.x + page->items[text].box.w + 5;
}

static const double keys_height = 9; /* millimetres: two lines above the foot */

static void draw_keys(const SxStudio *studio, SxPage *page, double bottom) {
    double x = sx_page_edge, y = bottom - keys_height + 1.5;
    bool card = studio->sheet->player >= 0;
    if (card) {
        x = draw_key(studio, page, x, y, KEY_YOU, "you");
    }
    x = draw_key(studio, page, x, y, KEY_PLAYER, "player");
    x = draw_key(studio, page, x, y, KEY_PASSER, card ? "square: passes" : "P passes the serve");
    x = draw_key(studio, page, x, y, KEY_RUN, "run after the service hit");
    x = draw_key(studio, page, x, y, KEY_BASE, "then to base");
    draw_key(studio, page, x, y, KEY_ORDER, "order to keep until the hit");
    y += 4;
    x = draw_key(studio, page, sx_page_edge, y, KEY_DOT,
                 "the exact spot, where a mark had to step aside");
    if (!card) {
        SxFont font = {.size = 7.5, .ink = SX_INK_DARK};
        sx_draw_text(studio->scene, page, NULL, x, y,
                     "S setter, O outside, M middle, X opposite, L libero, D specialist", font);
    }
}

int sx_phases_shown(const SxSheet *sheet, SxPhase *phases) {
    int count = 0;
    if (sheet->show != SX_SHOW_SERVE) {
        phases[count++] = SX_RECEIVE;
    }
    if (sheet->show != SX_SHOW_RECEIVE && sheet->serve) {
        phases[count++] = SX_SERVE;
    }
    return count;
}

const char *const sx_phase_title[SX_PHASES] = {"They serve: reception", "We serve"};

char *sx_people(const SxStudio *studio, int rotation, SxPhase phase) {
    const SxSheet *sheet = studio->sheet;
    GString *text = g_string_new(NULL);
    for (int s = 0; s < SX_SLOTS; s++) {
        int player = sx_on_court(sheet->lineup, rotation, phase, s);
        SxRole role = sx_sheet_role(sheet, rotation, phase, s);
        g_string_append_printf(text, "%s%d %s in %s%s", s ? "; " : "",
                               sheet->problem->team->players[player].number, sx_role_name(role),
                               sx_roman(sx_position(s, rotation)),
                               sx_sheet_passes(sheet, rotation, phase, s) ? ", passes" : "");
    }
    return g_string_free(text, FALSE);
}

void sx_page_rotation(const SxStudio *studio, SxPage *page, int rotation) {
    const SxSheet *sheet = studio->sheet;
    SxScene *scene = studio->scene;
    const SxRotation *r = &sheet->lineup->rotation[rotation];
    const SxPlayer *players = sheet->problem->team->players;
    int server = sx_on_court(sheet->lineup, rotation, SX_SERVE, sx_slot_at(1, rotation));
    char *passers = sx_passer_list(sheet, rotation);
    char *libero = sx_libero_cell(sheet, rotation, SX_RECEIVE);
    char *below = g_strdup_printf(
        "Server %d. Passers from the left %s. Libero %s. Score %.2f%s.", players[server].number,
        passers, libero, r->score,
        rotation == sx_weak_rotation(sheet->lineup) ? ", the weakest rotation" : "");
    double bottom, y = sx_page_frame(studio, page, page->title, below, &bottom);
    draw_keys(studio, page, bottom);
    bottom -= keys_height;
    SxPhase phases[SX_PHASES];
    int count = sx_phases_shown(sheet, phases);
    SxCourtView view = sx_court_view(sheet);
    double width = (page->width - 2 * sx_page_edge - gap) / 2;
    double head = sx_type_measure(scene->type, sx_phase_title[0], head_font.size, true).height + 1;
    double scale = sx_court_scale(view, width, bottom - y - head);
    for (int i = 0; i < count; i++) {
        double x = count == 1 ? (page->width - width) / 2 : sx_page_edge + i * (width + gap);
        SxFont font = head_font;
        font.align = SX_ALIGN_CENTRE;
        sx_draw_text(scene, page, NULL, x + width / 2, y, sx_phase_title[phases[i]], font);
        sx_court_draw(studio, page, (SxBox){x, y + head, width, bottom - y - head}, view, scale,
                      sx_court_page, rotation, phases[i]);
    }
    page->about = sx_people(studio, rotation, count ? phases[0] : SX_RECEIVE);
    g_free(below);
    g_free(libero);
    g_free(passers);
}

static void draw_cell(const SxStudio *studio, SxPage *page, SxBox box, SxCourtView view,
                      int rotation, int player) {
    const SxSheet *sheet = studio->sheet;
    SxScene *scene = studio->scene;
    SxPhase phases[SX_PHASES];
    int count = sx_phases_shown(sheet, phases);
    int slot = sx_sheet_slot_of(sheet, rotation, phases[0], player);
    char *head = slot < 0 ? g_strdup_printf("Rotation %d", rotation + 1)
                          : g_strdup_printf("Rotation %d: %s (%s)", rotation + 1,
                                            sx_position_name(sx_position(slot, rotation)),
                                            sx_roman(sx_position(slot, rotation)));
    SxFont font = head_font;
    font.limit = box.w;
    double y = box.y;
    y += sx_page_item(page, sx_draw_text(scene, page, NULL, box.x, y, head, font))->box.h + 0.5;
    g_free(head);
    const double lines = 26; /* millimetres kept for the sentences */
    double width = (box.w - (count - 1) * 2) / count;
    double scale = sx_court_scale(view, width, box.h - (y - box.y) - lines);
    SxCourtStyle style = sx_court_card;
    style.focus = player;
    double below = y;
    for (int i = 0; i < count; i++) {
        below = sx_court_draw(studio, page, (SxBox){box.x + i * (width + 2), y, width, box.h}, view,
                              scale, style, rotation, phases[i]);
    }
    y = below + 1;
    for (int i = 0; i < count; i++) {
        char id[SX_ITEM_ID];
        snprintf(id, sizeof id, "r%d-words-%d", rotation + 1, i);
        char *words = sx_sheet_instructions(studio, rotation, phases[i], player);
        font = body_font;
        font.limit = box.w;
        y = sx_draw_paragraph(scene, page, id, box.x, y, words, font) + 0.5;
        g_free(words);
    }
}

void sx_page_card(const SxStudio *studio, SxPage *page, int player) {
    const SxSheet *sheet = studio->sheet;
    const SxPlayer *who = &sheet->problem->team->players[player];
    char *below = g_strdup_printf("Your six rotations with %s. The set starts in rotation %d.",
                                  sheet->problem->team->name, sheet->lineup->start + 1);
    double bottom, y = sx_page_frame(studio, page, page->title, below, &bottom);
    g_free(below);
    draw_keys(studio, page, bottom);
    bottom -= keys_height;
    enum { ACROSS = 3, DOWN = 2 };
    double width = (page->width - 2 * sx_page_edge - (ACROSS - 1) * gap) / ACROSS;
    double height = (bottom - y - (DOWN - 1) * 2) / DOWN;
    SxCourtView view = sx_court_view(sheet);
    for (int r = 0; r < SX_ROTATIONS; r++) {
        const int row = r / ACROSS;
        SxBox box = {sx_page_edge + r % ACROSS * (width + gap), y + row * (height + 2), width,
                     height};
        draw_cell(studio, page, box, view, r, player);
    }
    page->about =
        g_strdup_printf("Six small courts, one for each rotation of player %d", who->number);
}

static void paper_size(SxPaper paper, double *width, double *height) {
    bool letter = paper == SX_PAPER_LETTER; /* ANSI letter, else ISO 216 A4, on its side */
    *width = letter ? 279.4 : 297;
    *height = letter ? 215.9 : 210;
}

void sx_pages_lay_out(SxScene *scene, const SxSheet *sheet) {
    SxStudio studio;
    sx_studio_init(&studio, sheet, scene);
    double width, height;
    paper_size(sheet->paper, &width, &height);
    const SxTeam *team = sheet->problem->team;
    if (sheet->player >= 0) {
        const SxPlayer *who = &team->players[sheet->player];
        char *title = g_strdup_printf("%d %s", who->number, who->name);
        sx_page_card(&studio, sx_scene_page(scene, width, height, title), sheet->player);
        g_free(title);
    } else {
        sx_page_summary(&studio, sx_scene_page(scene, width, height, team->name));
        for (int r = 0; r < SX_ROTATIONS; r++) {
            char title[32];
            snprintf(title, sizeof title, "Rotation %d", r + 1);
            sx_page_rotation(&studio, sx_scene_page(scene, width, height, title), r);
        }
    }
    sx_studio_free(&studio);
}
