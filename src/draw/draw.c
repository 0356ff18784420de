/* Draws a scene with Cairo and Pango, as PDF (a page each) or PNG (pages one below the other). */
#include "draw/draw.h"

#include <cairo-pdf.h>
#include <math.h>
#include <pango/pangocairo.h>

static const double page_gap = 6;             /* millimetres between stacked pages */
static const double dots_per_mm = 150 / 25.4; /* PNG resolution: 150 dots an inch */

static void set_ink(cairo_t *cr, SxInk ink) {
    unsigned colour = sx_ink_colour[ink];
    cairo_set_source_rgb(cr, (colour >> 16 & 255) / 255.0, (colour >> 8 & 255) / 255.0,
                         (colour & 255) / 255.0);
}

static void set_dash(cairo_t *cr, SxDash dash, double width) {
    const double lengths[2] = {sx_dash_length[dash].on * width, sx_dash_length[dash].off * width};
    cairo_set_dash(cr, lengths, dash == SX_SOLID ? 0 : 2, 0);
}

static void draw_text(cairo_t *cr, SxType *type, const SxItem *item) {
    PangoLayout *layout = sx_type_layout(type, item->text, item->size, item->bold);
    cairo_save(cr);
    cairo_translate(cr, item->box.x, item->box.y + item->ascent);
    cairo_scale(cr, SX_MM_PER_POINT, SX_MM_PER_POINT);
    cairo_move_to(cr, 0, 0);
    set_ink(cr, item->fill);
    pango_cairo_show_layout_line(cr, pango_layout_get_line_readonly(layout, 0));
    cairo_restore(cr);
}

static void trace(cairo_t *cr, const SxItem *item) {
    cairo_new_path(cr);
    switch (item->shape) {
    case SX_DRAW_CIRCLE:
        cairo_arc(cr, item->box.x + item->box.w / 2, item->box.y + item->box.h / 2, item->box.w / 2,
                  0, 2 * G_PI);
        break;
    case SX_DRAW_RECT:
        cairo_rectangle(cr, item->box.x, item->box.y, item->box.w, item->box.h);
        break;
    default:
        for (int i = 0; i < item->points; i++) {
            cairo_line_to(cr, item->point[i].x, item->point[i].y);
        }
        if (item->shape == SX_DRAW_POLYGON) {
            cairo_close_path(cr);
        }
    }
}

static void draw_item(cairo_t *cr, SxType *type, const SxItem *item) {
    if (item->shape == SX_DRAW_TEXT) {
        draw_text(cr, type, item);
        return;
    }
    trace(cr, item);
    if (item->fill != SX_INK_NONE) {
        set_ink(cr, item->fill);
        cairo_fill_preserve(cr);
    }
    if (item->stroke != SX_INK_NONE && item->width > 0) {
        set_ink(cr, item->stroke);
        cairo_set_line_width(cr, item->width);
        set_dash(cr, item->dash, item->width);
        cairo_stroke(cr);
    }
}

static void draw_page(cairo_t *cr, const SxScene *scene, const SxPage *page) {
    for (int i = 0; i < page->count; i++) {
        draw_item(cr, scene->type, &page->items[i]);
    }
}

static cairo_status_t collect(void *bytes, const unsigned char *data, unsigned length) {
    g_byte_array_append(bytes, data, length);
    return CAIRO_STATUS_SUCCESS;
}

static GByteArray *finished(GByteArray *bytes, cairo_status_t status, SxError *err) {
    if (status == CAIRO_STATUS_SUCCESS) {
        return bytes;
    }
    sx_fail(err, SX_INTERNAL, "the drawing failed: %s", cairo_status_to_string(status));
    g_byte_array_unref(bytes);
    return NULL;
}

GByteArray *sx_draw_pdf(const SxScene *scene, SxError *err) {
    GByteArray *bytes = g_byte_array_new();
    cairo_surface_t *surface = cairo_pdf_surface_create_for_stream(collect, bytes, 1, 1);
    /* No date: the same lineup is the same file. */
    cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_CREATE_DATE, NULL);
    cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_CREATOR, "sixturn");
    if (scene->count) {
        cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_TITLE, scene->pages[0].title);
    }
    cairo_t *cr = cairo_create(surface);
    for (int p = 0; p < scene->count; p++) {
        const SxPage *page = &scene->pages[p];
        cairo_pdf_surface_set_size(surface, page->width / SX_MM_PER_POINT,
                                   page->height / SX_MM_PER_POINT);
        cairo_save(cr);
        cairo_scale(cr, 1 / SX_MM_PER_POINT, 1 / SX_MM_PER_POINT);
        draw_page(cr, scene, page);
        cairo_restore(cr);
        cairo_show_page(cr);
    }
    cairo_status_t status = cairo_status(cr);
    cairo_destroy(cr);
    cairo_surface_finish(surface);
    if (status == CAIRO_STATUS_SUCCESS) {
        status = cairo_surface_status(surface);
    }
    cairo_surface_destroy(surface);
    return finished(bytes, status, err);
}

GByteArray *sx_draw_png(const SxScene *scene, SxError *err) {
    double width = 0, height = 0;
    for (int p = 0; p < scene->count; p++) {
        width = fmax(width, scene->pages[p].width);
        height += scene->pages[p].height + (p ? page_gap : 0);
    }
    cairo_surface_t *surface = cairo_image_surface_create(
        CAIRO_FORMAT_RGB24, (int)ceil(width * dots_per_mm), (int)ceil(height * dots_per_mm));
    cairo_t *cr = cairo_create(surface);
    cairo_scale(cr, dots_per_mm, dots_per_mm);
    set_ink(cr, SX_INK_FAINT);
    cairo_paint(cr);
    for (int p = 0; p < scene->count; p++) {
        const SxPage *page = &scene->pages[p];
        set_ink(cr, SX_INK_WHITE);
        cairo_rectangle(cr, 0, 0, page->width, page->height);
        cairo_fill(cr);
        draw_page(cr, scene, page);
        cairo_translate(cr, 0, page->height + page_gap);
    }
    cairo_status_t status = cairo_status(cr);
    cairo_destroy(cr);
    GByteArray *bytes = g_byte_array_new();
    if (status == CAIRO_STATUS_SUCCESS) {
        status = cairo_surface_write_to_png_stream(surface, collect, bytes);
    }
    cairo_surface_destroy(surface);
    return finished(bytes, status, err);
}
