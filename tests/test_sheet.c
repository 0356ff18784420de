/* Sheets on paper: nothing overlaps, nothing is small, spots are where the formation puts them, the
 * same input gives the same bytes, and a sheet is written whole or not at all. */
#include "draw/halfcourt.h"
#include "draw/pages.h"
#include "draw/words.h"
#include "sheet_fixture.h"
#include "support.h"

#include <criterion/criterion.h>
#include <dirent.h>
#include <math.h>
#include <pango/pangocairo.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <unistd.h>

static const double least_size = 7; /* points, as the sheet promises */
static const double hair = 0.01;    /* millimetres lost to rounding */
static const char *const systems[] = {"6-2", "5-1-outside", "5-1-middle", "4-2", "6-2-double"};
enum { SYSTEMS = sizeof systems / sizeof *systems };

static SheetFixture fixture;

static bool overlap(SxBox a, SxBox b) {
    return fmin(a.x + a.w, b.x + b.w) - fmax(a.x, b.x) > hair &&
           fmin(a.y + a.h, b.y + b.h) - fmax(a.y, b.y) > hair;
}

static bool holds(const SxItem *mark, SxBox text) {
    SxBox box = mark->box;
    if (mark->shape == SX_DRAW_RECT) {
        return text.x > box.x && text.y > box.y && text.x + text.w < box.x + box.w &&
               text.y + text.h < box.y + box.h;
    }
    double dx = fabs(text.x + text.w / 2 - box.x - box.w / 2) + text.w / 2;
    double dy = fabs(text.y + text.h / 2 - box.y - box.h / 2) + text.h / 2;
    return hypot(dx, dy) < box.w / 2;
}

/* Walks along the line in steps finer than any letter. */
static bool line_crosses(const SxItem *line, SxBox box) {
    SxPoint a = line->point[0], b = line->point[1];
    if (fmax(a.x, b.x) < box.x || fmin(a.x, b.x) > box.x + box.w || fmax(a.y, b.y) < box.y ||
        fmin(a.y, b.y) > box.y + box.h) {
        return false;
    }
    double length = hypot(b.x - a.x, b.y - a.y);
    for (double go = 0; go <= length; go += 0.1) {
        double x = a.x + (b.x - a.x) * go / fmax(length, hair);
        double y = a.y + (b.y - a.y) * go / fmax(length, hair);
        if (x > box.x + hair && x < box.x + box.w - hair && y > box.y + hair &&
            y < box.y + box.h - hair) {
            return true;
        }
    }
    return false;
}

/* Pango's own word on how wide the text is, apart from the layout under test. */
static double ink_width(const SxItem *item) {
    static PangoLayout *layout;
    if (!layout) {
        layout =
            pango_layout_new(pango_font_map_create_context(pango_cairo_font_map_get_default()));
    }
    PangoFontDescription *font = pango_font_description_from_string("sans-serif");
    pango_font_description_set_absolute_size(font, item->size * PANGO_SCALE * 10);
    pango_font_description_set_weight(font, item->bold ? PANGO_WEIGHT_BOLD : PANGO_WEIGHT_NORMAL);
    pango_layout_set_font_description(layout, font);
    pango_font_description_free(font);
    pango_layout_set_text(layout, item->text, -1);
    if (pango_layout_get_unknown_glyphs_count(layout) > 0) {
        return 0; /* no installed font has this script */
    }
    PangoRectangle ink;
    pango_layout_get_extents(layout, &ink, NULL);
    return (double)ink.width / PANGO_SCALE / 10 * 25.4 / 72;
}

static bool is_mark(const SxItem *item) {
    size_t length = strlen(item->id);
    return item->shape != SX_DRAW_TEXT && item->shape != SX_DRAW_LINE && !item->ground &&
           length > 5 && strcmp(item->id + length - 5, "-mark") == 0;
}

static void check_text(const SxPage *page, int index) {
    const SxItem *text = &page->items[index];
    cr_expect_geq(text->size, least_size, "'%s' is %.1f pt", text->text, text->size);
    cr_expect_leq(ink_width(text), text->box.w + 0.3, "'%s' is wider than its box", text->text);
    cr_expect(text->box.x >= 0 && text->box.y >= 0 && text->box.x + text->box.w <= page->width &&
                  text->box.y + text->box.h <= page->height,
              "%s: '%s' leaves the page", page->title, text->text);
    for (int i = 0; i < page->count; i++) {
        const SxItem *other = &page->items[i];
        if (i == index || other->ground) {
            continue;
        }
        if (i == text->inside) {
            cr_expect(holds(other, text->box), "%s: '%s' leaves its mark", page->title, text->text);
        } else if (other->shape == SX_DRAW_LINE) {
            /* A mark is opaque: what was drawn before it passes underneath. */
            cr_expect_not(i > text->inside && line_crosses(other, text->box),
                          "%s: line %s crosses '%s' (%s)", page->title, other->id, text->text,
                          text->id);
        } else if (text->inside < 0 || other->shape != SX_DRAW_POLYGON) {
            cr_expect_not(overlap(text->box, other->box), "%s: '%s' (%s) on %s '%s'", page->title,
                          text->text, text->id, other->id, other->text ? other->text : "");
        }
    }
}

static bool has_point(const SxItem *mark, SxPoint point) {
    SxPoint middle = {mark->box.x + mark->box.w / 2, mark->box.y + mark->box.h / 2};
    double dx = fabs(point.x - middle.x), dy = fabs(point.y - middle.y), half = mark->box.w / 2;
    return mark->shape == SX_DRAW_RECT ? dx < half - hair && dy < mark->box.h / 2 - hair
                                       : hypot(dx, dy) < half - hair;
}

static bool marks_meet(const SxItem *a, const SxItem *b) {
    if (b->shape == SX_DRAW_POLYGON) {
        return has_point(a, b->point[0]) || has_point(a, b->point[1]) || has_point(a, b->point[2]);
    }
    return overlap(a->box, b->box);
}

static void check_marks(const SxPage *page) {
    for (int i = 0; i < page->count; i++) {
        for (int j = 0; j < page->count && is_mark(&page->items[i]); j++) {
            const SxItem *other = &page->items[j];
            if (other->shape == SX_DRAW_POLYGON || (j < i && is_mark(other))) {
                cr_expect_not(marks_meet(&page->items[i], other), "%s: %s on %s", page->title,
                              page->items[i].id, other->id);
            }
        }
    }
}

static void check_scene(const SxSheet *sheet) {
    SxScene scene;
    sx_scene_init(&scene);
    sx_pages_lay_out(&scene, sheet);
    int phases = sheet->show == SX_SHOW_BOTH && sheet->serve ? SX_PHASES : 1;
    int apart = 0; /* what the summary had no room for */
    while (apart + 1 < scene.count && (strcmp(scene.pages[apart + 1].title, sx_thumb_title) == 0 ||
                                       strcmp(scene.pages[apart + 1].title, sx_bench_title) == 0)) {
        apart++;
    }
    if (sheet->player != SX_EVERY_CARD) {
        cr_assert_eq(scene.count, sheet->player < 0 ? 1 + apart + phases * SX_ROTATIONS : 1);
    }
    for (int p = 0; p < scene.count; p++) {
        check_marks(&scene.pages[p]);
        for (int i = 0; i < scene.pages[p].count; i++) {
            if (scene.pages[p].items[i].shape == SX_DRAW_TEXT) {
                check_text(&scene.pages[p], i);
            }
        }
    }
    sx_scene_free(&scene);
}

static void check_all_sheets(const char *system, NameSet names, int passers) {
    sheet_fixture_make(&fixture, system, names, passers);
    fixture.sheet.paper = passers % 2 ? SX_PAPER_A4 : SX_PAPER_LETTER;
    if (passers > 3) {
        sheet_fixture_add_thumb(&fixture);
    }
    check_scene(&fixture.sheet);
    for (int p = passers % 3; p < fixture.team.player_count; p += 3) {
        fixture.sheet.player = p;
        check_scene(&fixture.sheet);
    }
    fixture.sheet.player = SX_EVERY_CARD;
    check_scene(&fixture.sheet);
}

static void check_names(NameSet names) {
    for (int s = 0; s < SYSTEMS; s++) {
        for (int passers = SX_MIN_PASSERS; passers <= SX_MAX_PASSERS; passers++) {
            if (!SANITIZED ||
                (s % 2 == (int)names % 2 && passers == SX_MIN_PASSERS + (s / 2 + (int)names) % 4)) {
                check_all_sheets(systems[s], names, passers);
            }
        }
    }
}

Test(sheet, nothing_overlaps_with_short_names) {
    check_names(NAMES_SHORT);
}

Test(sheet, nothing_overlaps_with_long_names) {
    check_names(NAMES_LONG);
}

Test(sheet, nothing_overlaps_with_names_of_many_scripts) {
    check_names(NAMES_WORLD);
}

Test(sheet, nothing_overlaps_with_names_full_of_marks_and_controls) {
    check_names(NAMES_NASTY);
}

static const SxItem *find_item(const SxScene *scene, const char *id) {
    for (int p = 0; p < scene->count; p++) {
        for (int i = 0; i < scene->pages[p].count; i++) {
            if (strcmp(scene->pages[p].items[i].id, id) == 0) {
                return &scene->pages[p].items[i];
            }
        }
    }
    return NULL;
}

/* However long the bench is, everybody on it is on the wall by number and name, as large as the
 * others, with a mark if her ratings are estimates. */
Test(sheet, a_long_bench_is_all_on_the_wall) {
    for (int players = 10; players <= 40; players += 3) {
        sheet_fixture_make(&fixture, "5-1-outside", NAMES_SHORT, 3);
        for (int p = fixture.team.player_count; p < players; p++) {
            SxPlayer *player = &fixture.team.players[p];
            *player = fixture.team.players[p % 9];
            player->number = 30 + p;
            player->estimated = p % 2 ? 1u << SX_PASSING : 0;
            snprintf(player->name, sizeof player->name, "Bo%c%c", 'a' + p / 26, 'a' + p % 26);
        }
        fixture.team.player_count = players;
        fixture.sheet.paper = players % 2 ? SX_PAPER_A4 : SX_PAPER_LETTER;
        check_scene(&fixture.sheet);
        SxScene scene;
        sx_scene_init(&scene);
        sx_pages_lay_out(&scene, &fixture.sheet);
        for (int p = 9; p < players; p++) {
            char id[24], words[80];
            snprintf(id, sizeof id, "person-%d", p);
            snprintf(words, sizeof words, "%d %s%s", 30 + p, p % 2 ? "~" : "",
                     fixture.team.players[p].name);
            const SxItem *name = find_item(&scene, id);
            cr_assert_not_null(name, "%d of %d players is not told", p, players);
            cr_expect_str_eq(name->text, words);
            cr_expect_geq(sx_type_capital_height(scene.type, name->size, true), sx_wall_name - hair,
                          "%s is %.1f pt", name->text, name->size);
        }
        sx_scene_free(&scene);
    }
}

/* The courts of the report are smaller, with the same promise. */
Test(sheet, nothing_overlaps_on_the_courts_of_the_report) {
    for (int s = 0; s < SYSTEMS; s++) {
        for (int passers = SX_MIN_PASSERS; passers <= SX_MAX_PASSERS; passers++) {
            sheet_fixture_make(&fixture, systems[s], NAMES_LONG, passers);
            SxScene scene;
            SxStudio studio;
            sx_scene_init(&scene);
            sx_studio_init(&studio, &fixture.sheet, &scene);
            SxCourtView view = sx_court_view(&fixture.sheet);
            for (int r = 0; r < SX_ROTATIONS; r++) {
                for (int phase = 0; phase < SX_PHASES; phase++) {
                    SxPage *page = sx_scene_page(&scene, 110, 130, "court");
                    sx_court_draw(&studio, page, (SxBox){1, 1, 108, 128}, view, 9, sx_court_screen,
                                  r, phase);
                    check_marks(page);
                    for (int i = 0; i < page->count; i++) {
                        if (page->items[i].shape == SX_DRAW_TEXT) {
                            check_text(page, i);
                        }
                    }
                }
            }
            sx_studio_free(&studio);
            sx_scene_free(&scene);
        }
    }
}

static char *render(const SxSheet *sheet, SxSheetFile kind, size_t *size) {
    SxError err = {0};
    char *bytes = NULL;
    cr_assert_eq(sx_sheet_render(sheet, kind, &bytes, size, &err), SX_OK, "%s", err.message);
    return bytes;
}

Test(sheet, the_same_lineup_is_the_same_file) {
    sheet_fixture_make(&fixture, "6-2", NAMES_WORLD, 3);
    for (int kind = SX_FILE_PDF; kind <= SX_FILE_PNG; kind++) {
        size_t size, again;
        char *first = render(&fixture.sheet, kind, &size);
        sleep(kind == SX_FILE_PDF); /* a date in the file would show */
        char *second = render(&fixture.sheet, kind, &again);
        cr_expect(size == again && memcmp(first, second, size) == 0, "kind %d differs", kind);
        free(first);
        free(second);
    }
}

/* The number that follows `name="` in the element whose id is given. */
static double attribute(const char *svg, const char *id, const char *name) {
    char wanted[80];
    snprintf(wanted, sizeof wanted, "id=\"%s\"", id);
    const char *element = strstr(svg, wanted);
    cr_assert_not_null(element, "no %s in the drawing", id);
    snprintf(wanted, sizeof wanted, " %s=\"", name);
    const char *value = strstr(element, wanted);
    return value && value < strchr(element, '>') ? atof(value + strlen(wanted)) : NAN;
}

static SxPoint centre(const char *svg, const char *id) {
    double x = attribute(svg, id, "cx");
    if (!isnan(x)) {
        return (SxPoint){x, attribute(svg, id, "cy")};
    }
    return (SxPoint){attribute(svg, id, "x") + attribute(svg, id, "width") / 2,
                     attribute(svg, id, "y") + attribute(svg, id, "height") / 2};
}

/* So far from everybody, and so far inside, that no mark need give way to hers or to the edge. */
static bool stands_free(const SxFormation *formation, int slot) {
    const double room = 2.4, chain = 4; /* metres */
    for (int a = 0; a < SX_SLOTS; a++) {
        double near_by = sx_distance(formation->spot[a], formation->spot[slot]);
        if (a != slot && near_by < room) {
            return false;
        }
        for (int b = 0; b < a; b++) { /* two who part may push a third */
            if (a != slot && b != slot && near_by < chain &&
                sx_distance(formation->spot[a], formation->spot[b]) < room) {
                return false;
            }
        }
    }
    SxSpot spot = formation->spot[slot];
    return spot.x > 0.7 && spot.x < 8.3 && spot.y > 0.7 && spot.y < 8.6;
}

static void check_spots(const char *svg, int rotation, const char *phase,
                        const SxFormation *formation) {
    char id[48];
    snprintf(id, sizeof id, "r%d-%s-court", rotation + 1, phase);
    double metre = attribute(svg, id, "width") / SX_COURT_WIDTH;
    double left = attribute(svg, id, "x"), top = attribute(svg, id, "y");
    cr_expect_float_eq(attribute(svg, id, "height") / SX_COURT_DEPTH, metre, 0.001);
    for (int s = 0; s < SX_SLOTS; s++) {
        if (!stands_free(formation, s)) {
            continue;
        }
        snprintf(id, sizeof id, "r%d-%s-s%d-mark", rotation + 1, phase, s);
        SxPoint drawn = centre(svg, id);
        /* A millimetre on the floor. */
        cr_expect_float_eq((drawn.x - left) / metre, formation->spot[s].x, 0.001, "%s: %f", id,
                           (drawn.x - left) / metre);
        cr_expect_float_eq((drawn.y - top) / metre, formation->spot[s].y, 0.001, "%s: %f", id,
                           (drawn.y - top) / metre);
    }
}

Test(sheet, spots_are_drawn_where_the_formation_puts_them) {
    for (int passers = SX_MIN_PASSERS; passers <= SX_MAX_PASSERS; passers++) {
        sheet_fixture_make(&fixture, "5-1-outside", NAMES_SHORT, passers);
        size_t size;
        for (int player = -1; player < 1; player++) {
            fixture.sheet.player = player;
            char *svg = render(&fixture.sheet, SX_FILE_SVG, &size);
            for (int r = 0; r < SX_ROTATIONS; r++) {
                check_spots(svg, r, "receive", fixture.lineup.rotation[r].receive);
                check_spots(svg, r, "serve", &fixture.serve[r]);
            }
            free(svg);
        }
    }
}

/* No run of any length is left out for want of room. */
Test(sheet, every_run_is_drawn) {
    const double long_enough = 3.2; /* metres: longer than two marks are wide, and a head */
    for (int passers = SX_MIN_PASSERS; passers <= SX_MAX_PASSERS; passers++) {
        sheet_fixture_make(&fixture, "6-2", NAMES_LONG, passers);
        size_t size;
        char *svg = render(&fixture.sheet, SX_FILE_SVG, &size);
        for (int r = 0; r < SX_ROTATIONS; r++) {
            for (int s = 0; s < SX_SLOTS; s++) {
                char id[48];
                SxSpot spot = fixture.lineup.rotation[r].receive->spot[s];
                SxSpot task = sx_task_spot(&fixture.system, r, s, SX_RECEIVE);
                bool passes = fixture.lineup.rotation[r].passers >> s & 1;
                snprintf(id, sizeof id, "id=\"r%d-receive-s%d-%s\"", r + 1, s,
                         passes ? "passed" : "run");
                if (sx_distance(spot, task) > long_enough) {
                    cr_expect_not_null(strstr(svg, id), "no %s of %.1f m with %d passers", id,
                                       sx_distance(spot, task), passers);
                }
            }
        }
        free(svg);
    }
}

static int count_of(const char *text, const char *part) {
    int count = 0;
    for (const char *at = strstr(text, part); at; at = strstr(at + 1, part)) {
        count++;
    }
    return count;
}

/* The size of a card's sentences, the same in all rotations; 0: not drawn. */
static double sentences_of(const SxPage *page, int player) {
    double size = 0;
    char own[16];
    const int length = snprintf(own, sizeof own, "p%d-", player);
    for (int k = 0; k < page->count; k++) {
        const SxItem *item = &page->items[k];
        if (strncmp(item->id, own, (size_t)length) == 0 && strstr(item->id, "-words-")) {
            cr_expect(size == 0 || item->size == size, "%s is %.1f pt, not %.1f", item->id,
                      item->size, size);
            size = item->size;
        }
    }
    return size;
}

/* Larger than the least wherever the longest of them leave room. */
Test(sheet, sentences_of_a_card_are_as_large_as_their_room_allows) {
    static const double readable = 8;
    int cards = 0;
    for (int k = 0; k < SYSTEMS; k++) {
        SxScene scene;
        sheet_fixture_make(&fixture, systems[k], NAMES_LONG, 3);
        fixture.sheet.player = SX_EVERY_CARD;
        sx_scene_init(&scene);
        sx_pages_lay_out(&scene, &fixture.sheet);
        for (int p = 0; p < scene.count * fixture.team.player_count; p++) {
            const int player = p % fixture.team.player_count;
            const double size = sentences_of(&scene.pages[p / fixture.team.player_count], player);
            cr_expect(size == 0 || size >= readable, "%s, player %d: %.1f pt", systems[k], player,
                      size);
            cards += size > 0;
        }
        sx_scene_free(&scene);
    }
    cr_expect_geq(cards, 6 * SYSTEMS);
}

Test(sheet, phases_choose_what_is_drawn) {
    sheet_fixture_make(&fixture, "6-2", NAMES_SHORT, 3);
    static const int receive[] = {6, 0, 6}, serve[] = {0, 6, 6};
    for (int show = SX_SHOW_RECEIVE; show <= SX_SHOW_BOTH; show++) {
        fixture.sheet.show = show;
        size_t size;
        char *svg = render(&fixture.sheet, SX_FILE_SVG, &size);
        cr_expect_eq(count_of(svg, "-receive-court\""), receive[show]);
        cr_expect_eq(count_of(svg, "-serve-court\""), serve[show]);
        free(svg);
        check_scene(&fixture.sheet);
    }
    fixture.sheet.serve = NULL;
    fixture.sheet.odds = NULL;
    check_scene(&fixture.sheet);
}

/* The relation is told to one of the two, with the other's number, and only where it binds. */
Test(sheet, order_notes_say_which_side_of_whom) {
    sheet_fixture_make(&fixture, "6-2", NAMES_SHORT, 3);
    int notes = 0;
    for (int r = 0; r < SX_ROTATIONS; r++) {
        const SxFormation *formation = fixture.lineup.rotation[r].receive;
        for (int pair = 0; pair < SX_ORDER_PAIRS; pair++) {
            bool binds = sx_sheet_binds(&fixture.sheet, r, SX_RECEIVE, pair);
            cr_expect_eq(binds, formation->slack[pair] <= 0.30 + 0.01);
            int low = sx_slot_at(sx_order_pairs[pair].low, r);
            int high = sx_slot_at(sx_order_pairs[pair].high, r);
            char text[64], wanted[64];
            cr_expect_eq(
                sx_sheet_order(&fixture.sheet, r, SX_RECEIVE, pair, high, text, sizeof text), high);
            int other = sx_on_court(&fixture.lineup, r, SX_RECEIVE, low);
            snprintf(wanted, sizeof wanted, "stay %s %d",
                     sx_order_pairs[pair].axis == SX_SIDEWAYS ? "right of" : "behind",
                     fixture.team.players[other].number);
            cr_expect_str_eq(text, wanted);
            notes += binds;
        }
    }
    cr_expect_gt(notes, 0, "a 6-2 has binding relations");
}

/* A sheet of a team in the system, ready to be drawn. */
static void open_studio(const char *system, SxScene *scene, SxStudio *studio) {
    sheet_fixture_make(&fixture, system, NAMES_SHORT, 3);
    sx_scene_init(scene);
    sx_studio_init(studio, &fixture.sheet, scene);
}

static void close_studio(SxScene *scene, SxStudio *studio) {
    sx_studio_free(studio);
    sx_scene_free(scene);
}

Test(sheet, a_player_reads_where_to_start_and_where_to_run) {
    SxScene scene;
    SxStudio studio;
    open_studio("6-2", &scene, &studio);
    int libero = fixture.lineup.liberos[0];
    for (int r = 0; r < SX_ROTATIONS; r++) {
        int setter = sx_on_court(&fixture.lineup, r, SX_RECEIVE, fixture.system.setter_slot[r]);
        char *words = sx_sheet_instructions(&studio, r, SX_RECEIVE, setter);
        /* pushed up so far that she need not run, if the order lets her */
        bool there = fixture.lineup.rotation[r].receive->run[fixture.system.setter_slot[r]] <= 0.30;
        cr_expect_not_null(strstr(words, there ? "then set from here" : "run to the net and set"),
                           "%s", words);
        free(words);
        words = sx_sheet_instructions(&studio, r, SX_RECEIVE, libero);
        cr_expect_not_null(
            strstr(words, fixture.lineup.rotation[r].libero >= 0 ? "in for" : "off court"), "%s",
            words);
        free(words);
    }
    close_studio(&scene, &studio);
}

/* A libero may not complete an attack above the net, whoever she stands in for. */
Test(sheet, a_libero_is_called_libero_and_never_told_to_hit) {
    SxScene scene;
    SxStudio studio;
    open_studio("6-2", &scene, &studio);
    const int libero = fixture.lineup.liberos[0];
    int met = 0;
    for (int r = 0; r < SX_ROTATIONS; r++) {
        SxRotation *at = &fixture.lineup.rotation[r];
        for (int s = 0; s < SX_SLOTS; s++) {
            if (sx_slot_row(s, r) == SX_FRONT || !fixture.system.duty[s][SX_BACK].attacks) {
                continue;
            }
            met++;
            at->libero = at->serve_libero = libero;
            at->libero_slot = at->serve_libero_slot = s;
            char *words = sx_sheet_instructions(&studio, r, SX_RECEIVE, libero);
            cr_expect_not_null(strstr(words, "in for"), "%s", words);
            cr_expect_null(strstr(words, "hit"), "%s", words);
            free(words);
            at->libero = at->libero_slot = -1; /* on our serve only */
            cr_expect_eq(sx_sheet_role(&fixture.sheet, r, SX_SERVE, s), SX_LIBERO);
            cr_expect_neq(sx_sheet_role(&fixture.sheet, r, SX_RECEIVE, s), SX_LIBERO);
        }
    }
    cr_expect_gt(met, 0, "somebody attacks from the back row in a 6-2");
    close_studio(&scene, &studio);
}

static int pages_that_say(const char *words) {
    SxScene scene;
    int found = 0;
    sx_scene_init(&scene);
    sx_pages_lay_out(&scene, &fixture.sheet);
    for (int p = 0; p < scene.count; p++) {
        char text[1 << 15] = "";
        for (int i = 0; i < scene.pages[p].count; i++) {
            const SxItem *item = &scene.pages[p].items[i];
            if (item->shape == SX_DRAW_TEXT &&
                strlen(text) + strlen(item->text) + 2 < sizeof text) {
                strcat(text, item->text);
                strcat(text, " ");
            }
        }
        found += strstr(text, words) != NULL;
    }
    sx_scene_free(&scene);
    return found;
}

/* On the summary or on a page of their own, on the coach's card and on those of whom they concern;
 * however many play or sit, and in the report. */
Test(sheet, rules_of_thumb_are_where_they_are_needed) {
    static const char rule[] = "12 for 10 to serve: in rotation 5 when we receive and do not lead "
                               "by more than 6, once 20 points are played";
    static const char worth[] = "They keep 1.5 of the 2.1 sets in 100 that best play gains; 54.6 "
                                "are won by them, 53.1 if nobody changes.";
    sheet_fixture_make(&fixture, "5-1-outside", NAMES_LONG, 3);
    cr_expect_eq(pages_that_say("Rules of thumb"), 0);
    sheet_fixture_add_thumb(&fixture);
    fixture.advice.exchange[2].in[0] = 5; /* number 12, who stands on court: said all the same */
    cr_expect_eq(pages_that_say(rule), 1);
    cr_expect_eq(pages_that_say(worth), 1);
    fixture.sheet.player = SX_EVERY_CARD;
    cr_expect_geq(pages_that_say(worth), 1);
    cr_expect_eq(pages_that_say(rule), 2, "the coach, and two players on one page");
    fixture.sheet.player = 4;
    cr_expect_eq(pages_that_say(rule), 1);
    fixture.sheet.player = 2;
    cr_expect_eq(pages_that_say("thumb"), 0);
    SxHtml report = {.sheet = fixture.sheet};
    char *html;
    size_t size;
    cr_assert_eq(sx_html_render(&report, &html, &size, NULL), SX_OK);
    cr_expect_not_null(strstr(html, rule));
    cr_expect_not_null(strstr(html, worth));
    free(html);
    fixture.thumb.count = 0;
    fixture.sheet.player = SX_WHOLE_TEAM;
    cr_expect_eq(pages_that_say("no rule gains a twentieth of a set"), 1);
}

static int files_in(const char *folder) {
    DIR *open = opendir(folder);
    int count = -2; /* . and .. */
    while (open && readdir(open)) {
        count++;
    }
    closedir(open);
    return count;
}

Test(sheet, a_sheet_is_written_whole_or_not_at_all) {
    sheet_fixture_make(&fixture, "6-2", NAMES_SHORT, 3);
    char folder[] = "/tmp/sixturn-sheet-XXXXXX", file[80];
    cr_assert_not_null(mkdtemp(folder));
    static const char *const kinds[] = {"pdf", "svg", "PNG", "html"};
    for (int k = 0; k < 4; k++) {
        SxError err = {0};
        SxHtml report = {.sheet = fixture.sheet};
        snprintf(file, sizeof file, "%s/none/sheet.%s", folder, kinds[k]);
        SxStatus status =
            k < 3 ? sx_sheet_write(&fixture.sheet, file, &err) : sx_html_write(&report, file, &err);
        cr_expect_eq(status, SX_NO_WRITE);
        cr_expect_str_eq(err.file, file);
        cr_expect_neq(err.message[0], '\0');
        cr_expect_eq(files_in(folder), k);
        snprintf(file, sizeof file, "%s/sheet.%s", folder, kinds[k]);
        status =
            k < 3 ? sx_sheet_write(&fixture.sheet, file, &err) : sx_html_write(&report, file, &err);
        cr_expect_eq(status, SX_OK, "%s", err.message);
        cr_expect_eq(files_in(folder), k + 1);
    }
    for (int k = 0; k < 4; k++) {
        snprintf(file, sizeof file, "%s/sheet.%s", folder, kinds[k]);
        unlink(file);
    }
    rmdir(folder);
}

/* A disk that takes no more than a kilobyte: nothing is left there. */
Test(sheet, a_disk_that_fills_up_keeps_no_part) {
    sheet_fixture_make(&fixture, "6-2", NAMES_SHORT, 3);
    char folder[] = "/tmp/sixturn-sheet-XXXXXX", file[80];
    cr_assert_not_null(mkdtemp(folder));
    snprintf(file, sizeof file, "%s/sheet.pdf", folder);
    SxError err = {0};
    signal(SIGXFSZ, SIG_IGN);
    setrlimit(RLIMIT_FSIZE, &(struct rlimit){1024, RLIM_INFINITY});
    cr_expect_eq(sx_sheet_write(&fixture.sheet, file, &err), SX_NO_WRITE);
    cr_expect_str_eq(err.file, file);
    cr_expect_eq(files_in(folder), 0);
    setrlimit(RLIMIT_FSIZE, &(struct rlimit){RLIM_INFINITY, RLIM_INFINITY});
    rmdir(folder);
}

/* What stood there before survives a failure. */
Test(sheet, an_older_sheet_survives_a_failure) {
    sheet_fixture_make(&fixture, "6-2", NAMES_SHORT, 3);
    char folder[] = "/tmp/sixturn-sheet-XXXXXX", file[80], kept[16] = "";
    cr_assert_not_null(mkdtemp(folder));
    snprintf(file, sizeof file, "%s/sheet.svg", folder);
    FILE *old = fopen(file, "w");
    fputs("old", old);
    fclose(old);
    SxError err = {0};
    signal(SIGXFSZ, SIG_IGN);
    setrlimit(RLIMIT_FSIZE, &(struct rlimit){1024, RLIM_INFINITY});
    cr_expect_eq(sx_sheet_write(&fixture.sheet, file, &err), SX_NO_WRITE);
    setrlimit(RLIMIT_FSIZE, &(struct rlimit){RLIM_INFINITY, RLIM_INFINITY});
    old = fopen(file, "r");
    cr_assert_not_null(fgets(kept, sizeof kept, old));
    fclose(old);
    cr_expect_str_eq(kept, "old");
    cr_expect_eq(files_in(folder), 1);
    unlink(file);
    rmdir(folder);
}

/* Root may write anywhere, so the test goes on as somebody else; it has a process of its own. */
static void be_nobody(void) {
    enum { NOBODY = 65534 };
    if (geteuid() == 0 && setuid(NOBODY) != 0) {
        cr_skip_test("root writes everywhere");
    }
}

Test(sheet, a_file_that_may_only_be_read_is_an_error) {
    be_nobody();
    sheet_fixture_make(&fixture, "6-2", NAMES_SHORT, 3);
    char folder[] = "/tmp/sixturn-sheet-XXXXXX", file[80];
    cr_assert_not_null(mkdtemp(folder));
    snprintf(file, sizeof file, "%s/sheet.svg", folder);
    fclose(fopen(file, "w"));
    chmod(file, 0400);
    SxError err = {0};
    cr_expect_eq(sx_sheet_write(&fixture.sheet, file, &err), SX_NO_WRITE);
    cr_expect_str_eq(err.file, file);
    struct stat after;
    cr_expect_eq(stat(file, &after), 0);
    cr_expect_eq(after.st_size, 0);
    cr_expect_eq(files_in(folder), 1);
    unlink(file);
    rmdir(folder);
}

Test(sheet, a_folder_that_may_only_be_read_is_an_error) {
    be_nobody();
    sheet_fixture_make(&fixture, "6-2", NAMES_SHORT, 3);
    char folder[] = "/tmp/sixturn-sheet-XXXXXX", file[80];
    cr_assert_not_null(mkdtemp(folder));
    chmod(folder, 0500);
    snprintf(file, sizeof file, "%s/sheet.pdf", folder);
    SxError err = {0};
    cr_expect_eq(sx_sheet_write(&fixture.sheet, file, &err), SX_NO_WRITE);
    cr_expect_eq(files_in(folder), 0);
    rmdir(folder);
}

Test(sheet, a_full_disk_is_an_error) {
    sheet_fixture_make(&fixture, "6-2", NAMES_SHORT, 3);
    SxError err = {0};
    SxHtml report = {.sheet = fixture.sheet};
    cr_expect_eq(sx_html_write(&report, "/dev/full", &err), SX_NO_WRITE);
    cr_expect_str_eq(err.file, "/dev/full");
}

Test(sheet, a_player_or_a_phase_that_is_not_there_is_refused) {
    sheet_fixture_make(&fixture, "6-2", NAMES_SHORT, 3);
    char *bytes;
    size_t size;
    SxError err = {0};
    fixture.sheet.player = fixture.team.player_count;
    cr_expect_eq(sx_sheet_render(&fixture.sheet, SX_FILE_SVG, &bytes, &size, &err), SX_USAGE);
    fixture.sheet.player = -1;
    fixture.sheet.serve = NULL;
    fixture.sheet.show = SX_SHOW_SERVE;
    cr_expect_eq(sx_sheet_render(&fixture.sheet, SX_FILE_SVG, &bytes, &size, &err), SX_USAGE);
    SxHtml report = {.sheet = fixture.sheet};
    cr_expect_eq(sx_html_render(&report, &bytes, &size, &err), SX_USAGE);
}

Test(sheet, other_endings_are_refused) {
    sheet_fixture_make(&fixture, "6-2", NAMES_SHORT, 3);
    static const char *const files[] = {"sheet", "sheet.doc", ".pdf", "pdf", "sheet.pdf.txt", ""};
    for (size_t f = 0; f < sizeof files / sizeof *files; f++) {
        SxError err = {0};
        cr_expect_eq(sx_sheet_write(&fixture.sheet, files[f], &err), SX_USAGE, "%s", files[f]);
        cr_expect_neq(err.message[0], '\0');
    }
}

/* XML 1.0, 2.4: none of these characters may stand in text as they are. */
Test(sheet, names_cannot_become_mark_up) {
    sheet_fixture_make(&fixture, "6-2", NAMES_NASTY, 3);
    static const char *const cells[] = {"<i>a</i>", "b & c", "\"d\"", "it's"};
    const SxTable table = {"<what> & if", "<note>", 2, 2, cells};
    SxHtml report = {.sheet = fixture.sheet, .table_count = 1, .tables = &table};
    SxError err = {0};
    char *html;
    size_t size;
    cr_assert_eq(sx_html_render(&report, &html, &size, &err), SX_OK);
    char *svg = render(&fixture.sheet, SX_FILE_SVG, &size);
    const char *const pages[] = {html, svg};
    for (int p = 0; p < 2; p++) {
        cr_expect_null(strstr(pages[p], "<script"));
        cr_expect_null(strstr(pages[p], "<b>Ida"));
        cr_expect_null(strstr(pages[p], "<i>"));
        cr_expect_not_null(strstr(pages[p], "&lt;b&gt;Ida"));
        cr_expect_null(strchr(pages[p], '\t'));
        cr_expect(g_utf8_validate(pages[p], -1, NULL));
    }
    cr_expect_not_null(strstr(html, "&lt;i&gt;a&lt;/i&gt;"));
    cr_expect_not_null(strstr(html, "b &amp; c"));
    cr_expect_not_null(strstr(html, "&quot;d&quot;"));
    cr_expect_not_null(strstr(html, "it&#39;s"));
    cr_expect_not_null(strstr(html, "&lt;what&gt; &amp; if"));
    free(html);
    free(svg);
}

Test(sheet, the_report_needs_nothing_from_elsewhere) {
    sheet_fixture_make(&fixture, "6-2", NAMES_WORLD, 3);
    SxHtml report = {.sheet = fixture.sheet};
    SxError err = {0};
    char *html, *again;
    size_t size, more;
    cr_assert_eq(sx_html_render(&report, &html, &size, &err), SX_OK);
    cr_assert_eq(sx_html_render(&report, &again, &more, &err), SX_OK);
    cr_expect_str_eq(html, again);
    cr_expect_null(strstr(html, "http"));
    cr_expect_null(strstr(html, "src="));
    cr_expect_null(strstr(html, "url("));
    cr_expect_eq(count_of(html, "<h1>"), 1);
    cr_expect_eq(count_of(html, "<svg"), count_of(html, "role=\"img\""));
    cr_expect_eq(count_of(html, "<svg"), count_of(html, "<desc"));
    free(html);
    free(again);
}

/* WCAG 2.1, 1.4.3: text at least 4.5 to 1; relative luminance as defined there. */
static double luminance(unsigned colour) {
    double sum = 0;
    static const double share[] = {0.2126, 0.7152, 0.0722};
    for (int c = 0; c < 3; c++) {
        double level = (colour >> (16 - 8 * c) & 255) / 255.0;
        sum += share[c] * (level <= 0.03928 ? level / 12.92 : pow((level + 0.055) / 1.055, 2.4));
    }
    return sum;
}

Test(sheet, text_stands_out_from_every_ground) {
    static const SxInk texts[] = {SX_INK_DARK, SX_INK_SOFT, SX_INK_RUN};
    static const SxInk grounds[] = {SX_INK_WHITE, SX_INK_FLOOR, SX_INK_BAND};
    for (int t = 0; t < 3; t++) {
        for (int g = 0; g < 3; g++) {
            double ratio = (luminance(sx_ink_colour[grounds[g]]) + 0.05) /
                           (luminance(sx_ink_colour[texts[t]]) + 0.05);
            cr_expect_geq(ratio, 4.5, "ink %d on ground %d: %.1f", texts[t], grounds[g], ratio);
        }
    }
}
