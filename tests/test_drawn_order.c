/* No drawing shows anybody on the wrong side of a player whom the rules order: all courts of wall
 * pages, cards, report and plain text are read back. Judged by this file's own table of the seven
 * relations (FIVB 7.4.2, 7.4.3) and its own arithmetic; runs, letters and lines are measured too.
 */
#include "draw/halfcourt.h"
#include "draw/pages.h"
#include "sheet_fixture.h"
#include "sixturn/report.h"
#include "sixturn/session.h"
#include "support.h"

#include <criterion/criterion.h>
#include <math.h>
#include <pango/pangocairo.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const double visible = 0.05; /* millimetres between two centres, at the least */

static int slot_of(int position, int rotation) {
    return (position - 1 + rotation) % 6;
}

/* `drawn` in any unit; counts relations judged. */
static int judge(const SxSpot *truth, const SxSpot *drawn, int rotation, double least,
                 const char *where) {
    int judged = 0;
    for (int k = 0; k < RELATIONS; k++) {
        int a = slot_of(relations[k].less, rotation), b = slot_of(relations[k].more, rotation);
        bool x = relations[k].axis == 'x';
        double real = x ? truth[b].x - truth[a].x : truth[b].y - truth[a].y;
        double seen = x ? drawn[b].x - drawn[a].x : drawn[b].y - drawn[a].y;
        if (fabs(real) > 1e-5) {
            judged++;
            cr_expect(seen * (real > 0 ? 1 : -1) >= least,
                      "%s, rotation %d: positions %d and %d are %.3f apart in %c, drawn %.3f",
                      where, rotation + 1, relations[k].less, relations[k].more, real,
                      relations[k].axis, seen);
        }
    }
    return judged;
}

static const SxItem *item_of(const SxPage *page, const char *id) {
    for (int i = 0; i < page->count; i++) {
        if (strcmp(page->items[i].id, id) == 0) {
            return &page->items[i];
        }
    }
    return NULL;
}

static bool drawn_on(const SxPage *page, const char *whose, int rotation, int phase,
                     SxSpot drawn[SX_SLOTS]) {
    for (int s = 0; s < SX_SLOTS; s++) {
        char id[64];
        snprintf(id, sizeof id, "%sr%d-%s-s%d-mark", whose, rotation + 1,
                 phase == SX_RECEIVE ? "receive" : "serve", s);
        const SxItem *mark = item_of(page, id);
        if (!mark) {
            return false;
        }
        drawn[s] = (SxSpot){mark->box.x + mark->box.w / 2, mark->box.y + mark->box.h / 2};
    }
    return true;
}

static const SxSpot *truth_of(const SxSheet *sheet, int rotation, int phase) {
    return phase == SX_RECEIVE ? sheet->lineup->rotation[rotation].receive->spot
                               : sheet->serve[rotation].spot;
}

/* Every court on every page; returns how many were found. */
static int judge_scene(const SxScene *scene, const SxSheet *sheet, const char *where) {
    int courts = 0;
    for (int p = 0; p < scene->count; p++) {
        for (int who = -1; who < sheet->problem->team->player_count; who++) {
            char whose[16] = "";
            if (who >= 0) {
                snprintf(whose, sizeof whose, "p%d-", who);
            }
            for (int r = 0; r < SX_ROTATIONS; r++) {
                for (int phase = 0; phase < SX_PHASES; phase++) {
                    SxSpot drawn[SX_SLOTS];
                    if (drawn_on(&scene->pages[p], whose, r, phase, drawn)) {
                        courts++;
                        judge(truth_of(sheet, r, phase), drawn, r, visible, where);
                    }
                }
            }
        }
    }
    return courts;
}

static int judge_pages(SxSheet sheet, int player, const char *where) {
    SxScene scene;
    sheet.player = player;
    sx_scene_init(&scene);
    sx_pages_lay_out(&scene, &sheet);
    int courts = judge_scene(&scene, &sheet, where);
    sx_scene_free(&scene);
    return courts;
}

/* Of the page's own bytes, not of the scene. */
static double number_after(const char *element, const char *name) {
    char wanted[24];
    snprintf(wanted, sizeof wanted, " %s=\"", name);
    const char *value = strstr(element, wanted);
    return value && value < strchr(element, '>') ? atof(value + strlen(wanted)) : NAN;
}

static int judge_report(const SxSheet *sheet) {
    SxHtml report = {.sheet = *sheet};
    SxError err = {0};
    char *html;
    size_t size;
    int courts = 0;
    cr_assert_eq(sx_html_render(&report, &html, &size, &err), SX_OK);
    for (int r = 0; r < SX_ROTATIONS; r++) {
        for (int phase = 0; phase < SX_PHASES; phase++, courts++) {
            SxSpot drawn[SX_SLOTS];
            for (int s = 0; s < SX_SLOTS; s++) {
                char id[64];
                snprintf(id, sizeof id, "id=\"r%d-%s-s%d-mark\"", r + 1,
                         phase == SX_RECEIVE ? "receive" : "serve", s);
                const char *mark = strstr(html, id);
                cr_assert_not_null(mark, "no %s", id);
                double x = number_after(mark, "cx");
                drawn[s] =
                    isnan(x) ? (SxSpot){number_after(mark, "x") + number_after(mark, "width") / 2,
                                        number_after(mark, "y") + number_after(mark, "height") / 2}
                             : (SxSpot){x, number_after(mark, "cy")};
            }
            judge(truth_of(sheet, r, phase), drawn, r, visible, "report");
        }
    }
    free(html);
    return courts;
}

static void judge_text(const SxSpot *truth, int rotation, int widest) {
    SxDrawing court;
    char label[SX_SLOTS][8];
    SxSpot drawn[SX_SLOTS] = {{0, 0}};
    for (int s = 0; s < SX_SLOTS; s++) {
        int length = 1 + (s * 3 + rotation) % widest;
        memset(label[s], 'a' + s, (size_t)length);
        label[s][length] = '\0';
    }
    sx_draw_court(truth, rotation, label, court);
    for (int s = 0; s < SX_SLOTS; s++) {
        bool found = false;
        for (int row = 0; row < SX_DRAWING_ROWS && !found; row++) {
            const char *at = strstr(court[row], label[s]);
            if (at) {
                found = true;
                drawn[s] = (SxSpot){(double)(at - court[row]) + (double)strlen(label[s]) / 2, row};
            }
        }
        cr_assert(found, "no %s on the court", label[s]);
    }
    judge(truth, drawn, rotation, 0.5, "text");
}

static void judge_sheet(const SxSheet *sheet) {
    cr_expect_eq(judge_pages(*sheet, SX_WHOLE_TEAM, "wall"), 12);
    int players = 0;
    for (int p = 0; p < sheet->problem->team->player_count; p++) {
        players += judge_pages(*sheet, p, "card") == 12;
    }
    cr_expect_geq(players, 6);
    cr_expect_eq(judge_pages(*sheet, SX_EVERY_CARD, "cards"), 12 * players);
    cr_expect_eq(judge_report(sheet), 12);
    for (int r = 0; r < SX_ROTATIONS; r++) {
        judge_text(truth_of(sheet, r, SX_RECEIVE), r, 4);
        judge_text(truth_of(sheet, r, SX_SERVE), r, 4);
    }
}

static void judge_team(const char *file, int first) {
    for (int s = SANITIZED ? first : 0; s < sx_system_count(); s += SANITIZED ? 4 : 1) {
        SxSessionInput input;
        sx_session_input_default(&input);
        input.team.name = file;
        input.system.name = sx_system_id(s);
        SxSession *session;
        SxAnswer *answer;
        SxAsk ask;
        SxError err = {0};
        sx_ask_default(SX_ASK_SHEET, &ask);
        cr_assert_eq(sx_session_new(&input, &session, &err), SX_OK, "%s", err.message);
        SxStatus status = sx_session_ask(session, &ask, &answer, &err);
        if (status == SX_OK) { /* a system may be impossible with these players */
            judge_sheet(&answer->sheet.sheet);
            sx_answer_free(answer);
        } else {
            cr_assert_eq(status, SX_NO, "%s", err.message);
        }
        sx_session_free(session);
    }
}

Test(drawn_order, all_systems_of_the_juniors, .timeout = 200) {
    judge_team("datasets/junior-12.json", 0);
}

Test(drawn_order, all_systems_of_the_club, .timeout = 200) {
    judge_team("datasets/club-16.json", 1);
}

static unsigned next(unsigned *seed, unsigned range) {
    *seed = *seed * 1664525u + 1013904223u;
    return (*seed >> 8) % range;
}

/* Legal by the seven relations, from spread out to huddled, down to a centimetre apart. */
static void random_spots(unsigned *seed, int rotation, SxSpot spot[SX_SLOTS]) {
    static const int huddles[] = {900, 500, 250, 120, 60};
    int room = huddles[next(seed, 5)], left = (int)next(seed, 901 - room);
    int top = (int)next(seed, 901 - room);
    for (;;) {
        for (int s = 0; s < SX_SLOTS; s++) {
            spot[s] = (SxSpot){(left + (int)next(seed, room + 1)) / 100.0,
                               (top + (int)next(seed, room + 1)) / 100.0};
        }
        bool legal = true;
        for (int k = 0; k < RELATIONS && legal; k++) {
            SxSpot a = spot[slot_of(relations[k].less, rotation)];
            SxSpot b = spot[slot_of(relations[k].more, rotation)];
            legal = relations[k].axis == 'x' ? a.x < b.x : a.y < b.y;
        }
        if (legal) {
            return;
        }
    }
}

Test(drawn_order, two_hundred_random_formations, .timeout = 200) {
    static SheetFixture fixture;
    unsigned seed = 20;
    for (int k = 0; k < 200 / SX_ROTATIONS + 1; k += SANITIZED ? 7 : 1) {
        static SxFormation mine[SX_ROTATIONS];
        sheet_fixture_make(&fixture, "5-1-outside", NAMES_SHORT, 2 + k % 4);
        for (int r = 0; r < SX_ROTATIONS; r++) {
            mine[r] = *fixture.lineup.rotation[r].receive;
            random_spots(&seed, r, mine[r].spot);
            random_spots(&seed, r, fixture.serve[r].spot);
            fixture.lineup.rotation[r].receive = &mine[r];
        }
        if (k % 3 == 0) {
            judge_sheet(&fixture.sheet);
        } else {
            judge_pages(fixture.sheet, SX_WHOLE_TEAM, "wall");
            judge_pages(fixture.sheet, k % 9, "card");
            judge_report(&fixture.sheet);
        }
        for (int r = 0; r < SX_ROTATIONS; r++) {
            judge_text(mine[r].spot, r, 1 + k % 4);
        }
    }
}

/* --- a coach's own formation --------------------------------------------------------------------
 */

static const char kept_plan[] =
    "{\"format\": \"sixturn-plan-1\", \"formations\": [{\"rotation\": 3, \"spots\": ["
    "{\"position\": 1, \"x\": 7.2, \"y\": 6.0, \"passes\": true},"
    "{\"position\": 2, \"x\": 8.0, \"y\": 1.0},"
    "{\"position\": 3, \"x\": 6.0, \"y\": 1.2},"
    "{\"position\": 4, \"x\": 2.0, \"y\": 4.5, \"passes\": true},"
    "{\"position\": 5, \"x\": 0.8, \"y\": 6.5},"
    "{\"position\": 6, \"x\": 4.5, \"y\": 6.5, \"passes\": true}]}]}";

/* By slot in rotation 3. */
static const SxSpot kept_spots[SX_SLOTS] = {[2] = {7.2, 6.0}, [3] = {8.0, 1.0}, [4] = {6.0, 1.2},
                                            [5] = {2.0, 4.5}, [0] = {0.8, 6.5}, [1] = {4.5, 6.5}};

/* Centres are the spots on one scale: two marks give it, the others fall where they belong, but for
 * what marks give way to each other on the small courts of a card. */
static void expect_on_spots(const SxSpot drawn[SX_SLOTS], const char *where) {
    static const double gives_way = 0.15; /* metres on the court */
    const double scale = (drawn[3].x - drawn[0].x) / (kept_spots[3].x - kept_spots[0].x);
    const double most = gives_way * scale;
    for (int s = 0; s < SX_SLOTS; s++) {
        const double x = drawn[0].x + scale * (kept_spots[s].x - kept_spots[0].x);
        const double y = drawn[0].y + scale * (kept_spots[s].y - kept_spots[0].y);
        cr_expect_float_eq(drawn[s].x, x, most, "%s, slot %d: x %.2f, not %.2f", where, s,
                           drawn[s].x, x);
        cr_expect_float_eq(drawn[s].y, y, most, "%s, slot %d: y %.2f, not %.2f", where, s,
                           drawn[s].y, y);
    }
}

static int expect_kept_on_pages(SxSheet sheet, int player, const char *where) {
    SxScene scene;
    int found = 0;
    sheet.player = player;
    sx_scene_init(&scene);
    sx_pages_lay_out(&scene, &sheet);
    for (int p = 0; p < scene.count; p++) {
        for (int who = -1; who < sheet.problem->team->player_count; who++) {
            char whose[16] = "";
            SxSpot drawn[SX_SLOTS];
            if (who >= 0) {
                snprintf(whose, sizeof whose, "p%d-", who);
            }
            if (drawn_on(&scene.pages[p], whose, 2, SX_RECEIVE, drawn)) {
                expect_on_spots(drawn, where);
                found++;
            }
        }
    }
    sx_scene_free(&scene);
    return found;
}

Test(drawn_order, a_kept_formation_is_drawn_where_it_was_kept) {
    SxSessionInput input;
    SxSession *session;
    SxAnswer *answer;
    SxAsk ask;
    SxError err = {0};
    sx_session_input_default(&input);
    input.team.name = "datasets/junior-12.json";
    input.plan = (SxSource){kept_plan, strlen(kept_plan), "mine.json"};
    sx_ask_default(SX_ASK_SHEET, &ask);
    cr_assert_eq(sx_session_new(&input, &session, &err), SX_OK, "%s", err.message);
    cr_assert_eq(sx_session_ask(session, &ask, &answer, &err), SX_OK, "%s", err.message);
    cr_expect_eq(expect_kept_on_pages(answer->sheet.sheet, SX_WHOLE_TEAM, "wall"), 1);
    cr_expect_geq(expect_kept_on_pages(answer->sheet.sheet, SX_EVERY_CARD, "cards"), 6);
    judge_sheet(&answer->sheet.sheet);
    sx_answer_free(answer);
    sx_session_free(session);
}

/* All seven are judged, as the library's own table has them. */
Test(drawn_order, no_relation_is_left_out) {
    const SxSpot truth[SX_SLOTS] = {{8, 7}, {8, 1}, {4, 1}, {1, 1}, {1, 7}, {4, 7}};
    cr_expect_eq(judge(truth, truth, 0, 1, "itself"), RELATIONS);
    cr_expect_eq(SX_ORDER_PAIRS, RELATIONS);
}

/* Pango's word on the ink of a text, in millimetres. */
static double ink_height(const char *text, double points, bool bold) {
    PangoContext *context = pango_font_map_create_context(pango_cairo_font_map_get_default());
    PangoLayout *layout = pango_layout_new(context);
    PangoFontDescription *font = pango_font_description_from_string("sans-serif");
    pango_font_description_set_absolute_size(font, points * PANGO_SCALE);
    pango_font_description_set_weight(font, bold ? PANGO_WEIGHT_BOLD : PANGO_WEIGHT_NORMAL);
    pango_layout_set_font_description(layout, font);
    pango_layout_set_text(layout, text, -1);
    PangoRectangle ink;
    pango_layout_get_extents(layout, &ink, NULL);
    pango_font_description_free(font);
    g_object_unref(layout);
    g_object_unref(context);
    return (double)ink.height / PANGO_SCALE * 25.4 / 72;
}

/* From three metres: figures of 18 mm, names of 8 mm (the coach's wish). */
Test(drawn_order, wall_pages_are_read_from_afar) {
    static SheetFixture fixture;
    sheet_fixture_make(&fixture, "5-1-outside", NAMES_SHORT, 3);
    SxScene scene;
    sx_scene_init(&scene);
    sx_pages_lay_out(&scene, &fixture.sheet);
    int numbers = 0, names = 0;
    for (int p = 0; p < scene.count; p++) {
        for (int i = 0; i < scene.pages[p].count; i++) {
            const SxItem *item = &scene.pages[p].items[i];
            if (item->shape != SX_DRAW_TEXT) {
                continue;
            }
            if (strstr(item->id, "-number") || strncmp(item->id, "slip", 4) == 0) {
                numbers++;
                cr_expect_geq(ink_height("7", item->size, item->bold), 17.9, "%s", item->id);
            } else if (strstr(item->id, "-name-") ||
                       (strncmp(item->id, "person-", 7) == 0 && !strstr(item->id, "words"))) {
                names++;
                cr_expect_geq(ink_height("H", item->size, item->bold), 7.95, "%s", item->id);
            }
        }
    }
    cr_expect_eq(numbers, 12 * 6 + 2 * 6, "%d", numbers);
    cr_expect_geq(names, 12 * 6 + 2);
    sx_scene_free(&scene);
}

/* Kinds of line beside those of the court itself: by stroke, dash and width. */
Test(drawn_order, a_wall_page_has_three_kinds_of_line_at_the_most) {
    static SheetFixture fixture;
    sheet_fixture_make(&fixture, "5-1-outside", NAMES_SHORT, 3);
    SxScene scene;
    sx_scene_init(&scene);
    sx_pages_lay_out(&scene, &fixture.sheet);
    for (int p = 1; p < scene.count; p++) {
        const SxItem *kind[8];
        int kinds = 0;
        for (int i = 0; i < scene.pages[p].count; i++) {
            const SxItem *item = &scene.pages[p].items[i];
            bool ours =
                item->shape == SX_DRAW_LINE &&
                (strstr(item->id, "-s0-") || strstr(item->id, "-s1-") || strstr(item->id, "-s2-") ||
                 strstr(item->id, "-s3-") || strstr(item->id, "-s4-") || strstr(item->id, "-s5-") ||
                 strstr(item->id, "order"));
            for (int k = 0; k < kinds && ours; k++) {
                ours = kind[k]->dash != item->dash || kind[k]->stroke != item->stroke;
            }
            if (ours && kinds < 8) {
                kind[kinds++] = item;
            }
        }
        cr_expect_leq(kinds, 3, "%s has %d", scene.pages[p].title, kinds);
    }
    sx_scene_free(&scene);
}
