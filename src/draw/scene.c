/* A drawing as plain data: adding items, measuring texts, and the geometry of boxes. */
#include "draw/scene.h"

#include <assert.h>
#include <glib.h>
#include <math.h>
#include <string.h>

/* Ink on floor contrast: dark 13 : 1, soft 7 : 1, run 6 : 1; in grey the order of darkness stays.
 */
const SxDashLength sx_dash_length[SX_DASHES] = {[SX_DASHED] = {3.4, 2.2}, [SX_DOTTED] = {1.1, 1.7}};

const unsigned sx_ink_colour[SX_INK_COUNT] = {
    [SX_INK_NONE] = 0xffffff, [SX_INK_DARK] = 0x1f1b2e,  [SX_INK_SOFT] = 0x4a4658,
    [SX_INK_RUN] = 0x6b2d5c,  [SX_INK_FAINT] = 0xb9b4c4, [SX_INK_FLOOR] = 0xf7f5fa,
    [SX_INK_BAND] = 0xe9e5f0, [SX_INK_WHITE] = 0xffffff,
};

void sx_scene_init(SxScene *scene) {
    *scene = (SxScene){.type = sx_type_new()};
}

void sx_scene_free(SxScene *scene) {
    for (int p = 0; p < scene->count; p++) {
        SxPage *page = &scene->pages[p];
        for (int i = 0; i < page->count; i++) {
            g_free(page->items[i].text);
        }
        g_free(page->items);
        g_free(page->title);
        g_free(page->about);
    }
    g_free(scene->pages);
    sx_type_free(scene->type);
    *scene = (SxScene){0};
}

SxPage *sx_scene_page(SxScene *scene, double width, double height, const char *title) {
    scene->pages = g_renew(SxPage, scene->pages, scene->count + 1);
    SxPage *page = &scene->pages[scene->count++];
    *page = (SxPage){.width = width, .height = height, .title = sx_type_clean(title)};
    return page;
}

static SxItem *new_item(SxPage *page, SxShape shape, const char *id, SxStyle style) {
    if (page->count == page->room) {
        page->room = page->room ? 2 * page->room : 64;
        page->items = g_renew(SxItem, page->items, page->room);
    }
    SxItem *item = &page->items[page->count++];
    *item = (SxItem){.shape = shape,
                     .ground = style.ground,
                     .inside = -1,
                     .width = style.width,
                     .stroke = style.stroke,
                     .fill = style.fill,
                     .dash = style.dash};
    g_strlcpy(item->id, id ? id : "", sizeof item->id);
    return item;
}

static SxBox box_around(const SxPoint *point, int points) {
    double left = point[0].x, right = left, top = point[0].y, bottom = top;
    for (int i = 1; i < points; i++) {
        left = fmin(left, point[i].x);
        right = fmax(right, point[i].x);
        top = fmin(top, point[i].y);
        bottom = fmax(bottom, point[i].y);
    }
    return (SxBox){left, top, right - left, bottom - top};
}

static int draw_points(SxPage *page, SxShape shape, const char *id, const SxPoint *point,
                       int points, SxStyle style) {
    assert(points <= SX_ITEM_POINTS);
    SxItem *item = new_item(page, shape, id, style);
    memcpy(item->point, point, (size_t)points * sizeof *point);
    item->points = points;
    item->box = box_around(point, points);
    return page->count - 1;
}

int sx_draw_line(SxPage *page, const char *id, SxPoint a, SxPoint b, SxStyle style) {
    return draw_points(page, SX_DRAW_LINE, id, (SxPoint[]){a, b}, 2, style);
}

int sx_draw_polygon(SxPage *page, const char *id, const SxPoint *point, int points, SxStyle style) {
    return draw_points(page, SX_DRAW_POLYGON, id, point, points, style);
}

int sx_draw_circle(SxPage *page, const char *id, SxPoint centre, double radius, SxStyle style) {
    new_item(page, SX_DRAW_CIRCLE, id, style)->box =
        (SxBox){centre.x - radius, centre.y - radius, 2 * radius, 2 * radius};
    return page->count - 1;
}

int sx_draw_rect(SxPage *page, const char *id, SxBox box, SxStyle style) {
    new_item(page, SX_DRAW_RECT, id, style)->box = box;
    return page->count - 1;
}

int sx_draw_text(SxScene *scene, SxPage *page, const char *id, double x, double y, const char *text,
                 SxFont font) {
    char *clean = sx_type_clean(text);
    if (font.limit > 0) {
        char *fitted = sx_type_fit(scene->type, clean, font.size, font.bold, font.limit);
        g_free(clean);
        clean = fitted;
    }
    SxExtent extent = sx_type_measure(scene->type, clean, font.size, font.bold);
    static const double share_left_of_x[] = {0, 0.5, 1};
    SxItem *item = new_item(page, SX_DRAW_TEXT, id, (SxStyle){.fill = font.ink});
    item->box =
        (SxBox){x - share_left_of_x[font.align] * extent.width, y, extent.width, extent.height};
    item->text = clean;
    item->size = font.size;
    item->bold = font.bold;
    item->ascent = extent.ascent;
    return page->count - 1;
}

double sx_draw_paragraph(SxScene *scene, SxPage *page, const char *id, double x, double y,
                         const char *text, SxFont font) {
    char *clean = sx_type_clean(text);
    char **words = g_strsplit(clean, " ", -1);
    GString *line = g_string_new(NULL);
    int lines = 0;
    for (char **word = words; *word || line->len;) {
        char *tried = line->len && *word ? g_strconcat(line->str, " ", *word, NULL)
                                         : g_strdup(*word ? *word : "");
        bool fits = sx_type_measure(scene->type, tried, font.size, font.bold).width <= font.limit;
        if (*word && (fits || !line->len)) {
            g_string_assign(line, tried);
            word++;
        } else {
            char line_id[SX_ITEM_ID];
            g_snprintf(line_id, sizeof line_id, id ? "%s-%d" : "", id, ++lines);
            if (page) {
                const int drawn = sx_draw_text(scene, page, line_id, x, y, line->str, font);
                y += sx_page_item(page, drawn)->box.h;
            } else {
                y += sx_type_measure(scene->type, line->str, font.size, font.bold).height;
            }
            g_string_truncate(line, 0);
        }
        g_free(tried);
    }
    g_string_free(line, TRUE);
    g_strfreev(words);
    g_free(clean);
    return y;
}

const SxItem *sx_page_item(const SxPage *page, int index) {
    return &page->items[index];
}
