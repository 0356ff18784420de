/* The report: one HTML page with everything in it, for a phone, a screen or a printer.
 *
 * Wide tables become lists of labelled lines on a narrow screen; the roles that are written out
 * keep them tables for a screen reader. */
#include "core/numbers.h"
#include "draw/draw.h"
#include "draw/halfcourt.h"
#include "draw/pages.h"
#include "draw/words.h"

#include <glib.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const double screen_scale = 9; /* millimetres a metre: small, so that the words are large */

static const char style_sheet[] =
    "*{box-sizing:border-box}"
    "html{-webkit-text-size-adjust:100%}"
    "body{margin:0 auto;max-width:1100px;padding:0 16px 32px;font:16px/1.5 system-ui,sans-serif;"
    "color:#1f1b2e;background:#fff;overflow-wrap:break-word}"
    "h1{font-size:1.8rem;line-height:1.2;margin:24px 0 4px}"
    "h2{font-size:1.3rem;margin:40px 0 8px;padding-top:12px;border-top:3px solid #1f1b2e}"
    "h3{font-size:1.05rem;margin:24px 0 6px}"
    "p{margin:6px 0}"
    "a{color:#6b2d5c}"
    "nav ul{list-style:none;margin:12px 0;padding:0;display:flex;flex-wrap:wrap;gap:4px 16px}"
    "nav a{display:inline-block;padding:6px 0}"
    ".pair{display:grid;grid-template-columns:repeat(auto-fit,minmax(min(100%,340px),1fr));"
    "gap:8px 32px;align-items:start}"
    ".person ul,.thumb,.duties{list-style:none;margin:6px 0;padding:0}"
    ".duties li{margin:6px 0}"
    "figure{margin:8px 0}"
    "figcaption{font-weight:bold}"
    "svg{display:block;width:100%;height:auto;max-width:560px}"
    "table{border-collapse:collapse;width:100%;margin:8px 0}"
    "caption{text-align:left;font-weight:bold;padding:4px 0}"
    "th,td{text-align:left;vertical-align:top;padding:5px 8px;border-bottom:1px solid #b9b4c4}"
    "thead th{background:#e9e5f0}"
    ".long{overflow-wrap:anywhere}"
    ".slip{max-width:420px;table-layout:fixed;border-top:6px solid #1f1b2e}"
    ".slip td{border:1px solid #4a4658;text-align:center;padding:6px 2px}"
    ".slip b{display:block;font-size:1.7rem;line-height:1.2}"
    ".note,footer{color:#4a4658;font-size:.9rem}"
    "footer{margin-top:40px;border-top:1px solid #b9b4c4;padding-top:8px}"
    ".wide{overflow-x:auto}"
    ".wide td,.wide th{min-width:5.5em}"
    ".wide td:last-child{min-width:9em}"
    ".wide th:first-child{position:sticky;left:0;background:#fff}"
    ".wide thead th:first-child{background:#e9e5f0}"
    "@media(max-width:700px){h1{margin:8px 0 0;font-size:1.4rem}"
    "h2{margin:24px 0 4px;padding-top:6px}h2.run-on{margin:4px 0;border:0}"
    "nav ul{flex-wrap:nowrap;overflow-x:auto;margin:0}nav li{flex:none}}"
    "@media print{nav{display:none}body{max-width:none;padding:0;font-size:10pt}"
    "h2{break-before:page;border:0;margin-top:0}h2.run-on{break-before:auto}"
    ".wide{overflow:visible}.wide td,.wide "
    "th{min-width:0}table{font-size:9pt}figure,table,.person,.duties "
    "li{break-inside:avoid}.pair{grid-"
    "template-columns:1fr "
    "1fr}"
    "footer{margin-top:4px;padding-top:2px;font-size:8pt;break-before:avoid}"
    "a{color:inherit;text-decoration:none}}";

/* Text that may hold anything: bytes that are no UTF-8, controls, mark-up. */
static void put(GString *out, const char *text) {
    char *clean = sx_type_clean(text);
    sx_svg_escape(out, clean);
    g_free(clean);
}

/* A name keeps its own direction of writing to itself. */
static void put_name(GString *out, const char *name) {
    g_string_append(out, "<bdi>");
    put(out, name);
    g_string_append(out, "</bdi>");
}

/* A column may not be narrower than its longest word, so that a very long one must be breakable. */
static bool has_long_word(const char *text) {
    enum { LONG = 14 };
    int run = 0;
    for (const char *c = text; *c && run <= LONG; c++) {
        bool begins_letter = ((unsigned char)*c & 0xc0) != 0x80; /* UTF-8 */
        run = *c == ' ' ? 0 : run + begins_letter;
    }
    return run > LONG;
}

static void put_cell(GString *out, bool heads_row, const char *text) {
    g_string_append(out, heads_row ? "<th scope=\"row\" role=\"rowheader\"" : "<td role=\"cell\"");
    g_string_append(out, has_long_word(text) ? " class=\"long\">" : ">");
    put_name(out, text);
    g_string_append(out, heads_row ? "</th>" : "</td>");
}

static void put_table(GString *out, const char *caption, int rows, int columns,
                      const char *const *cells) {
    g_string_append(
        out,
        "<div class=\"wide\" tabindex=\"0\">\n<table class=\"stack\" role=\"table\">\n<caption>");
    put(out, caption);
    g_string_append(out, "</caption>\n<thead role=\"rowgroup\"><tr role=\"row\">");
    for (int c = 0; c < columns; c++) {
        g_string_append(out, "<th scope=\"col\" role=\"columnheader\">");
        put(out, cells[c]);
        g_string_append(out, "</th>");
    }
    g_string_append(out, "</tr></thead>\n<tbody role=\"rowgroup\">\n");
    for (int r = 1; r < rows; r++) {
        g_string_append(out, "<tr role=\"row\">");
        for (int c = 0; c < columns; c++) {
            put_cell(out, c == 0, cells[r * columns + c]);
        }
        g_string_append(out, "</tr>\n");
    }
    g_string_append(out, "</tbody></table>\n</div>\n");
}

/* Takes the strings over: put_table for cells that were made for it. */
static void put_made_table(GString *out, const char *caption, int columns, GPtrArray *cells) {
    put_table(out, caption, (int)cells->len / columns, columns, (const char *const *)cells->pdata);
    g_ptr_array_unref(cells);
}

static GPtrArray *cells_from(const char *const *titles, int count) {
    GPtrArray *cells = g_ptr_array_new_with_free_func(g_free);
    for (int c = 0; c < count; c++) {
        g_ptr_array_add(cells, g_strdup(titles[c]));
    }
    return cells;
}

static char *numbered(const SxStudio *studio, int player) {
    const SxPlayer *who = &studio->sheet->problem->team->players[player];
    /* Isolated, so that a name written from right to left does not pull the number along. */
    return g_strdup_printf("%d %s\xe2\x81\xa8%s\xe2\x81\xa9", who->number,
                           sx_estimate_mark(studio->sheet, player), who->name);
}

static void put_slip(GString *out, const SxStudio *studio, SxPhase first) {
    const int start = studio->sheet->start[first];
    static const int place[2][3] = {{4, 3, 2}, {5, 6, 1}};
    const SxLineup *lineup = studio->sheet->lineup;
    const SxPlayer *players = studio->sheet->problem->team->players;
    g_string_append_printf(
        out,
        "<table class=\"slip\">\n<caption>Line-up slip if %s first: start in rotation %d, "
        "net at the top</caption>\n<tbody>\n",
        first == SX_RECEIVE ? "they serve" : "we serve", start + 1);
    for (int row = 0; row < 2; row++) {
        g_string_append(out, "<tr>");
        for (int column = 0; column < 3; column++) {
            int position = place[row][column];
            int player = sx_slot_player(lineup, start, sx_slot_at(position, start));
            g_string_append_printf(out, "<td>%s <b>%d</b> ", sx_roman(position),
                                   players[player].number);
            put_name(out, studio->name[player]);
            g_string_append(out, "</td>");
        }
        g_string_append(out, "</tr>\n");
    }
    g_string_append(out, "</tbody></table>\n");
    for (int i = 0; first == SX_SERVE && i < lineup->libero_count; i++) {
        g_string_append(out, i == 0 ? "<p>Libero: " : "<p>Second libero: ");
        char *who = numbered(studio, lineup->liberos[i]);
        put_name(out, who);
        g_free(who);
        g_string_append(out, "</p>\n");
    }
}

static void put_order(GString *out, const SxStudio *studio) {
    static const char *const titles[] = {"Place if we serve first", "If they serve first",
                                         "Front row", "Back row", "Role"};
    const SxSheet *sheet = studio->sheet;
    GPtrArray *cells = cells_from(titles, G_N_ELEMENTS(titles));
    for (int turn = 0; turn < SX_SLOTS; turn++) {
        int slot = (sheet->start[SX_SERVE] + turn) % SX_SLOTS; /* the first to serve if we do */
        int front = sheet->lineup->order.front[slot], back = sheet->lineup->order.back[slot];
        g_ptr_array_add(cells, g_strdup(sx_roman(sx_position(slot, sheet->start[SX_SERVE]))));
        g_ptr_array_add(cells, g_strdup(sx_roman(sx_position(slot, sheet->start[SX_RECEIVE]))));
        g_ptr_array_add(cells, numbered(studio, front));
        g_ptr_array_add(cells, front == back ? g_strdup("") : numbered(studio, back));
        g_ptr_array_add(cells,
                        g_strdup(sx_role_name(sheet->problem->system->duty[slot][SX_FRONT].role)));
    }
    put_made_table(out, "Serving order", G_N_ELEMENTS(titles), cells);
}

static void put_rotation_table(GString *out, const SxStudio *studio) {
    static const char *const titles[] = {"Rotation",
                                         "Server",
                                         "Passers from the left",
                                         "Libero in reception",
                                         "Libero on our serve",
                                         "Score",
                                         "Played",
                                         "Side-out",
                                         "Break point",
                                         "Set won, receiving first",
                                         "Set won, serving first"};
    enum { PLAIN = 7, ALL = 11 };
    const SxSheet *sheet = studio->sheet;
    const SxSheetOdds *odds = sheet->odds;
    int columns = odds ? ALL : PLAIN;
    GPtrArray *cells = cells_from(titles, columns);
    for (int r = 0; r < SX_ROTATIONS; r++) {
        const SxRotation *rotation = &sheet->lineup->rotation[r];
        bool weak = r == sx_weak_rotation(sheet->lineup);
        g_ptr_array_add(cells, g_strdup_printf("%d", r + 1));
        g_ptr_array_add(
            cells, numbered(studio, sx_on_court(sheet->lineup, r, SX_SERVE, sx_slot_at(1, r))));
        g_ptr_array_add(cells, sx_passer_list(sheet, r));
        g_ptr_array_add(cells, sx_libero_cell(sheet, r, SX_RECEIVE));
        g_ptr_array_add(cells, sx_libero_cell(sheet, r, SX_SERVE));
        g_ptr_array_add(cells, g_strdup_printf(weak ? "%.2f (weakest)" : "%.2f", rotation->score));
        g_ptr_array_add(cells, sx_percent(rotation->weight));
        if (odds) {
            g_ptr_array_add(cells, sx_percent(odds->side_out[r]));
            g_ptr_array_add(cells, sx_percent(odds->break_point[r]));
            g_ptr_array_add(cells, sx_percent(odds->set_receiving[r]));
            g_ptr_array_add(cells, sx_percent(odds->set_serving[r]));
        }
    }
    char *title = g_strdup_printf("Rotation by rotation%s%s",
                                  odds && odds->against ? ", chances against " : "",
                                  odds && odds->against ? odds->against : "");
    put_made_table(out, title, columns, cells);
    g_free(title);
}

static void put_substitutions(GString *out, const SxSheet *sheet) {
    char *text = sx_substitution_lines(sheet);
    char **lines = g_strsplit(text, "\n", -1);
    g_string_append(out, "<h3>Substitutions planned</h3>\n");
    g_string_append(out, text[0] ? "<ul>\n" : "<p>None.</p>\n");
    for (int i = 0; lines[i]; i++) {
        if (lines[i][0]) {
            g_string_append_printf(out, "<li>%s</li>\n", lines[i]);
        }
    }
    g_string_append(out, text[0] ? "</ul>\n" : "");
    char *stop = sx_stop_line(sheet);
    if (stop[0]) {
        g_string_append(out, "<p><strong>");
        put(out, stop);
        g_string_append(out, "</strong></p>\n");
    }
    g_free(stop);
    g_strfreev(lines);
    g_free(text);
}

static void put_thumb(GString *out, const SxSheet *sheet) {
    const int rules = sheet->thumb ? sheet->thumb->count : 0;
    char *line = sx_thumb_line(sheet, 0);
    if (line) {
        g_string_append_printf(out, "<h3>%s</h3>\n%s", sx_thumb_title,
                               rules > 0 ? "<ul class=\"thumb\">\n" : "");
    }
    for (int k = 0; line; line = sx_thumb_line(sheet, ++k)) {
        g_string_append(out, k < rules ? "<li>" : "<p>");
        put(out, line);
        g_string_append(out, k < rules ? "</li>\n" : "</p>\n");
        g_string_append(out, k + 1 == rules ? "</ul>\n" : "");
        g_free(line);
    }
}

static void put_strength(GString *out, SxStudio *studio) {
    SxPage *page = sx_scene_page(studio->scene, 92, 48, "Strength by rotation");
    GString *about = g_string_new("Bars:");
    for (int r = 0; r < SX_ROTATIONS; r++) {
        g_string_append_printf(about, " rotation %d %.2f%s", r + 1,
                               studio->sheet->lineup->rotation[r].score,
                               r + 1 < SX_ROTATIONS ? "," : "");
    }
    page->about = g_string_free(about, FALSE);
    sx_draw_strength(studio, page, 1, 1, page->width - 2);
    g_string_append(out, "<figure>\n");
    sx_svg_inline(out, page, "strength-figure");
    g_string_append(out, "</figure>\n");
}

static void put_court(GString *out, SxStudio *studio, SxCourtView view, int rotation,
                      SxPhase phase) {
    char title[64], id[32];
    double width = (view.right - view.left) * screen_scale + 2;
    double height = (view.bottom - view.top) * screen_scale + 2;
    snprintf(title, sizeof title, "Rotation %d. %s", rotation + 1, sx_phase_title[phase]);
    snprintf(id, sizeof id, "court-%d-%d", rotation + 1, phase + 1);
    SxPage *page = sx_scene_page(studio->scene, width, height, title);
    page->about = sx_people(studio, rotation, phase);
    sx_court_draw(studio, page, (SxBox){1, 1, width - 2, height - 2}, view, screen_scale,
                  sx_court_screen, rotation, phase);
    g_string_append_printf(out, "<figure>\n<figcaption>%s</figcaption>\n", sx_phase_title[phase]);
    sx_svg_inline(out, page, id);
    g_string_append(out, "</figure>\n");
}

/* The drawing in words, for everyone who is on court in that rotation. */
static void put_duties(GString *out, const SxStudio *studio, int rotation) {
    const SxSheet *sheet = studio->sheet;
    SxPhase phases[SX_PHASES];
    int count = sx_phases_shown(sheet, phases);
    g_string_append_printf(out, "<h3>Rotation %d in words</h3>\n<ul class=\"duties\">\n",
                           rotation + 1);
    for (int p = 0; p < sheet->problem->team->player_count; p++) {
        GString *words = g_string_new(NULL);
        int slot = -1;
        SxPhase seen = SX_RECEIVE;
        for (int i = 0; i < count; i++) {
            int here = sx_sheet_slot_of(sheet, rotation, phases[i], p);
            if (here >= 0) {
                char *more = sx_sheet_instructions(studio, rotation, phases[i], p);
                g_string_append_printf(words, " %s", more);
                g_free(more);
                seen = slot < 0 ? phases[i] : seen;
                slot = slot < 0 ? here : slot;
            }
        }
        if (slot >= 0) {
            int position = sx_position(slot, rotation);
            char *who = numbered(studio, p);
            g_string_append(out, "<li><b>");
            put_name(out, who);
            g_string_append_printf(out, "</b> %s, %s, %s.", sx_roman(position),
                                   sx_position_name(position),
                                   sx_role_name(sx_sheet_role(sheet, rotation, seen, slot)));
            put(out, words->str);
            g_string_append(out, "</li>\n");
            g_free(who);
        }
        g_string_free(words, TRUE);
    }
    g_string_append(out, "</ul>\n");
}

static void put_rotations(GString *out, SxStudio *studio) {
    SxPhase phases[SX_PHASES];
    int count = sx_phases_shown(studio->sheet, phases);
    SxCourtView view = sx_court_view(studio->sheet);
    for (int r = 0; r < SX_ROTATIONS; r++) {
        bool weak = r == sx_weak_rotation(studio->sheet->lineup);
        g_string_append_printf(out, "<section>\n<h2 id=\"rotation-%d\"%s>Rotation %d%s</h2>\n",
                               r + 1, r == 0 ? " class=\"run-on\"" : "", r + 1,
                               weak ? " (weakest)" : "");
        g_string_append(out, "<div class=\"pair\">\n");
        for (int i = 0; i < count; i++) {
            put_court(out, studio, view, r, phases[i]);
        }
        g_string_append(out, "</div>\n<p class=\"note\">Solid arrow: at the service hit. Dashed: "
                             "after the pass. Dotted: to base. Filled: passes.</p>\n");
        put_duties(out, studio, r);
        g_string_append(out, "</section>\n");
    }
}

static void put_players(GString *out, const SxStudio *studio) {
    const SxSheet *sheet = studio->sheet;
    SxPhase phases[SX_PHASES];
    int count = sx_phases_shown(sheet, phases);
    g_string_append(out, "<section>\n<h2 id=\"players\">Player by player</h2>\n");
    for (int p = 0; p < sheet->problem->team->player_count; p++) {
        if (!sx_ever_plays(sheet, p)) {
            continue;
        }
        char *who = numbered(studio, p);
        g_string_append(out, "<div class=\"person\">\n<h3>");
        put_name(out, who);
        g_string_append(out, "</h3>\n<ul>\n");
        g_free(who);
        for (int r = 0; r < SX_ROTATIONS; r++) {
            g_string_append_printf(out, "<li><b>Rotation %d.</b>", r + 1);
            for (int i = 0; i < count; i++) {
                char *words = sx_sheet_instructions(studio, r, phases[i], p);
                g_string_append(out, " ");
                put(out, words);
                g_free(words);
            }
            g_string_append(out, "</li>\n");
        }
        g_string_append(out, "</ul>\n</div>\n");
    }
    char *foot = sx_foot_words(sheet);
    g_string_append(out, "<footer><p>");
    put(out, foot);
    g_string_append(out, "</p></footer>\n</section>\n");
    g_free(foot);
}

static void put_what_if(GString *out, const SxHtml *report) {
    if (report->table_count == 0) {
        return;
    }
    g_string_append(out, "<section>\n<h2 id=\"what-if\">What if</h2>\n");
    for (int t = 0; t < report->table_count; t++) {
        const SxTable *table = &report->tables[t];
        put_table(out, table->title, table->rows, table->columns, table->cells);
        if (table->note) {
            g_string_append(out, "<p class=\"note\">");
            put(out, table->note);
            g_string_append(out, "</p>\n");
        }
    }
    g_string_append(out, "</section>\n");
}

static void put_head(GString *out, const SxHtml *report) {
    const SxProblem *problem = report->sheet.problem;
    g_string_append(out,
                    "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\"/>\n"
                    "<meta name=\"viewport\" content=\"width=device-width,initial-scale=1\"/>\n"
                    "<link rel=\"icon\" href=\"data:,\"/>\n<title>");
    put(out, problem->team->name);
    g_string_append_printf(
        out, ": rotations</title>\n<style>%s</style>\n</head>\n<body>\n<header>\n<h1>",
        style_sheet);
    char *set = sx_set_words(&report->sheet, ": ");
    g_string_append(out, set);
    g_free(set);
    put_name(out, problem->team->name);
    g_string_append(out, "</h1>\n<p>");
    put(out, problem->system->name);
    g_string_append(out, ". ");
    put(out, problem->rules->name);
    char *worth = sx_worth_words(&report->sheet);
    g_string_append(out, ". ");
    put(out, worth);
    g_string_append(out, "</p>\n</header>\n<nav aria-label=\"On this page\"><ul>\n"
                         "<li><a href=\"#slips\">Line-up slips</a></li>\n");
    g_free(worth);
    for (int r = 0; r < SX_ROTATIONS; r++) {
        g_string_append_printf(out, "<li><a href=\"#rotation-%d\">Rotation %d</a></li>\n", r + 1,
                               r + 1);
    }
    g_string_append(out, "<li><a href=\"#summary\">Summary</a></li>\n");
    if (report->table_count) {
        g_string_append(out, "<li><a href=\"#what-if\">What if</a></li>\n");
    }
    g_string_append(out, "<li><a href=\"#players\">Player by player</a></li>\n</ul></nav>\n");
}

/* The first link leads here; the first screen of a phone is for the court of rotation 1. */
static void put_slips(GString *out, const SxStudio *studio) {
    g_string_append(out, "<section>\n<h2 id=\"slips\">Line-up slips</h2>\n"
                         "<div class=\"pair\">\n<div>\n");
    put_slip(out, studio, SX_RECEIVE);
    g_string_append(out, "</div>\n<div>\n");
    put_slip(out, studio, SX_SERVE);
    g_string_append(out, "</div>\n</div>\n</section>\n");
}

static void put_summary(GString *out, SxStudio *studio) {
    g_string_append(out, "<section>\n<h2 id=\"summary\" class=\"run-on\">Summary</h2>\n");
    put_strength(out, studio);
    put_order(out, studio);
    put_rotation_table(out, studio);
    put_substitutions(out, studio->sheet);
    put_thumb(out, studio->sheet);
    g_string_append(out, "</section>\n");
}

SxStatus sx_html_render(const SxHtml *report, char **bytes, size_t *size, SxError *err) {
    SX_PLAIN_NUMBERS;
    SxScene scene;
    SxStudio studio;
    SxStatus status = sx_sheet_check(&report->sheet, err);
    if (status != SX_OK) {
        return status;
    }
    sx_scene_init(&scene);
    sx_studio_init(&studio, &report->sheet, &scene);
    GString *out = g_string_new(NULL);
    put_head(out, report);
    g_string_append(out, "<main>\n");
    put_rotations(out, &studio);
    put_slips(out, &studio);
    put_summary(out, &studio);
    put_what_if(out, report);
    put_players(out, &studio);
    g_string_append(out, "</main>\n</body>\n</html>\n");
    sx_studio_free(&studio);
    sx_scene_free(&scene);
    status = sx_hand_over(out->str, out->len, bytes, size, err);
    g_string_free(out, TRUE);
    return status;
}
