/* Writes a scene as SVG: numbers by integer arithmetic, so that no locale changes them, and text as
 * text, stretched to the width the layout measured whatever font the reader has. */
#include "draw/draw.h"

#include <math.h>

static const double page_gap = 6; /* millimetres between stacked pages */

void sx_svg_escape(GString *out, const char *text) {
    for (const char *c = text; *c; c++) {
        switch (*c) {
        case '&':
            g_string_append(out, "&amp;");
            break;
        case '<':
            g_string_append(out, "&lt;");
            break;
        case '>':
            g_string_append(out, "&gt;");
            break;
        case '"':
            g_string_append(out, "&quot;");
            break;
        case '\'':
            g_string_append(out, "&#39;");
            break;
        default:
            g_string_append_c(out, *c);
        }
    }
}

/* Thousandths, trailing zeros dropped. */
static void number(GString *out, double value) {
    long thousandths = lround(value * 1000);
    if (thousandths < 0) {
        g_string_append_c(out, '-');
        thousandths = -thousandths;
    }
    g_string_append_printf(out, "%ld", thousandths / 1000);
    int rest = (int)(thousandths % 1000);
    if (rest) {
        g_string_append_printf(out, ".%03d", rest);
        while (out->str[out->len - 1] == '0') {
            g_string_truncate(out, out->len - 1);
        }
    }
}

static void attribute(GString *out, const char *name, double value) {
    g_string_append_printf(out, " %s=\"", name);
    number(out, value);
    g_string_append_c(out, '"');
}

static void paint(GString *out, const char *name, SxInk ink) {
    if (ink == SX_INK_NONE) {
        g_string_append_printf(out, " %s=\"none\"", name);
    } else {
        g_string_append_printf(out, " %s=\"#%06x\"", name, sx_ink_colour[ink]);
    }
}

static void style(GString *out, const SxItem *item) {
    paint(out, "fill", item->fill);
    if (item->stroke != SX_INK_NONE && item->width > 0) {
        paint(out, "stroke", item->stroke);
        attribute(out, "stroke-width", item->width);
        if (item->dash != SX_SOLID) {
            g_string_append(out, " stroke-dasharray=\"");
            number(out, sx_dash_length[item->dash].on * item->width);
            g_string_append_c(out, ' ');
            number(out, sx_dash_length[item->dash].off * item->width);
            g_string_append_c(out, '"');
        }
    }
}

static void box_attributes(GString *out, SxBox box) {
    attribute(out, "x", box.x);
    attribute(out, "y", box.y);
    attribute(out, "width", box.w);
    attribute(out, "height", box.h);
}

static void draw_text(GString *out, const SxItem *item) {
    attribute(out, "x", item->box.x);
    attribute(out, "y", item->box.y + item->ascent);
    attribute(out, "font-size", item->size * SX_MM_PER_POINT);
    if (item->bold) {
        g_string_append(out, " font-weight=\"bold\"");
    }
    paint(out, "fill", item->fill);
    if (item->box.w > 0) {
        attribute(out, "textLength", item->box.w);
        g_string_append(out, " lengthAdjust=\"spacingAndGlyphs\"");
    }
    g_string_append_c(out, '>');
    sx_svg_escape(out, item->text);
    g_string_append(out, "</text>\n");
}

static void draw_points(GString *out, const SxItem *item) {
    g_string_append(out, " points=\"");
    for (int i = 0; i < item->points; i++) {
        if (i) {
            g_string_append_c(out, ' ');
        }
        number(out, item->point[i].x);
        g_string_append_c(out, ',');
        number(out, item->point[i].y);
    }
    g_string_append_c(out, '"');
}

static void draw_item(GString *out, const SxItem *item) {
    static const char *const element[] = {"line", "polygon", "circle", "rect", "text"};
    g_string_append_printf(out, "<%s", element[item->shape]);
    if (item->id[0]) {
        g_string_append(out, " id=\"");
        sx_svg_escape(out, item->id);
        g_string_append_c(out, '"');
    }
    switch (item->shape) {
    case SX_DRAW_TEXT:
        draw_text(out, item);
        return;
    case SX_DRAW_LINE:
        attribute(out, "x1", item->point[0].x);
        attribute(out, "y1", item->point[0].y);
        attribute(out, "x2", item->point[1].x);
        attribute(out, "y2", item->point[1].y);
        break;
    case SX_DRAW_POLYGON:
        draw_points(out, item);
        break;
    case SX_DRAW_CIRCLE:
        attribute(out, "cx", item->box.x + item->box.w / 2);
        attribute(out, "cy", item->box.y + item->box.h / 2);
        attribute(out, "r", item->box.w / 2);
        break;
    case SX_DRAW_RECT:
        box_attributes(out, item->box);
        break;
    }
    style(out, item);
    g_string_append(out, "/>\n");
}

static void draw_items(GString *out, const SxPage *page) {
    for (int i = 0; i < page->count; i++) {
        draw_item(out, &page->items[i]);
    }
}

static void view_box(GString *out, double width, double height) {
    g_string_append(out, " viewBox=\"0 0 ");
    number(out, width);
    g_string_append_c(out, ' ');
    number(out, height);
    g_string_append_c(out, '"');
}

void sx_svg_document(GString *out, const SxScene *scene) {
    double width = 0, height = 0;
    for (int p = 0; p < scene->count; p++) {
        width = fmax(width, scene->pages[p].width);
        height += scene->pages[p].height + (p ? page_gap : 0);
    }
    g_string_append(out, "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"
                         "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"");
    number(out, width);
    g_string_append(out, "mm\" height=\"");
    number(out, height);
    g_string_append(out, "mm\" font-family=\"sans-serif\" xml:space=\"preserve\"");
    view_box(out, width, height);
    g_string_append(out, ">\n<title>");
    sx_svg_escape(out, scene->count ? scene->pages[0].title : "");
    g_string_append(out, "</title>\n");
    double top = 0;
    for (int p = 0; p < scene->count; p++) {
        const SxPage *page = &scene->pages[p];
        g_string_append_printf(out, "<g id=\"page-%d\" transform=\"translate(0 ", p + 1);
        number(out, top);
        g_string_append(out, ")\">\n<title>");
        sx_svg_escape(out, page->title);
        g_string_append(out, "</title>\n<rect");
        box_attributes(out, (SxBox){0, 0, page->width, page->height});
        g_string_append(out, " fill=\"#ffffff\"/>\n");
        draw_items(out, page);
        g_string_append(out, "</g>\n");
        top += page->height + page_gap;
    }
    g_string_append(out, "</svg>\n");
}

void sx_svg_inline(GString *out, const SxPage *page, const char *id) {
    g_string_append_printf(out,
                           "<svg role=\"img\" aria-labelledby=\"%s-title %s-about\" "
                           "font-family=\"sans-serif\"",
                           id, id);
    view_box(out, page->width, page->height);
    g_string_append_printf(out, ">\n<title id=\"%s-title\">", id);
    sx_svg_escape(out, page->title);
    g_string_append_printf(out, "</title>\n<desc id=\"%s-about\">", id);
    sx_svg_escape(out, page->about ? page->about : "");
    g_string_append(out, "</desc>\n");
    draw_items(out, page);
    g_string_append(out, "</svg>\n");
}
