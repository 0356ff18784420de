/* Text in any script: measuring and shortening, on Pango.
 *
 * Metrics are unhinted, so that a text is as wide on the screen as on paper. */
#include "draw/type.h"

#include <math.h>
#include <pango/pangocairo.h>

static const char family[] = "sans-serif";
static const char ellipsis[] = "\xe2\x80\xa6";

struct SxType {
    PangoFontMap *map;
    PangoContext *context;
    PangoLayout *layout;
    PangoFontDescription *font;
};

SxType *sx_type_new(void) {
    SxType *type = g_new0(SxType, 1);
    type->map = pango_cairo_font_map_new();
    type->context = pango_font_map_create_context(type->map);
    cairo_font_options_t *options = cairo_font_options_create();
    cairo_font_options_set_hint_style(options, CAIRO_HINT_STYLE_NONE);
    cairo_font_options_set_hint_metrics(options, CAIRO_HINT_METRICS_OFF);
    cairo_font_options_set_antialias(options, CAIRO_ANTIALIAS_GRAY);
    pango_cairo_context_set_font_options(type->context, options);
    cairo_font_options_destroy(options);
    pango_context_set_round_glyph_positions(type->context, FALSE);
    pango_context_set_base_dir(type->context, PANGO_DIRECTION_LTR);
    pango_context_set_language(type->context, pango_language_from_string("en"));
    type->layout = pango_layout_new(type->context);
    pango_layout_set_auto_dir(type->layout, FALSE);
    pango_layout_set_single_paragraph_mode(type->layout, TRUE);
    type->font = pango_font_description_new();
    pango_font_description_set_family_static(type->font, family);
    return type;
}

void sx_type_free(SxType *type) {
    if (type) {
        pango_font_description_free(type->font);
        g_object_unref(type->layout);
        g_object_unref(type->context);
        g_object_unref(type->map);
        g_free(type);
    }
}

PangoLayout *sx_type_layout(SxType *type, const char *text, double size, bool bold) {
    pango_font_description_set_absolute_size(type->font, size * PANGO_SCALE);
    pango_font_description_set_weight(type->font, bold ? PANGO_WEIGHT_BOLD : PANGO_WEIGHT_NORMAL);
    pango_layout_set_font_description(type->layout, type->font);
    pango_layout_set_text(type->layout, text, -1);
    return type->layout;
}

SxExtent sx_type_measure(SxType *type, const char *text, double size, bool bold) {
    PangoLayout *layout = sx_type_layout(type, text, size, bold);
    PangoRectangle ink, logical;
    pango_layout_get_extents(layout, &ink, &logical);
    const double unit = SX_MM_PER_POINT / PANGO_SCALE;
    /* Slanted or stacked letters may reach beyond their advance and the line's height. */
    int right = MAX(logical.x + logical.width, ink.x + ink.width);
    int top = MIN(logical.y, ink.y);
    int bottom = MAX(logical.y + logical.height, ink.y + ink.height);
    return (SxExtent){.width = right * unit,
                      .height = (bottom - top) * unit,
                      .ascent = (pango_layout_get_baseline(layout) - top) * unit};
}

static double above_line(SxType *type, const char *text, double size, bool bold) {
    PangoLayout *layout = sx_type_layout(type, text, size, bold);
    PangoRectangle ink;
    pango_layout_get_extents(layout, &ink, NULL);
    return (pango_layout_get_baseline(layout) - ink.y) * SX_MM_PER_POINT / PANGO_SCALE;
}

double sx_type_figure_height(SxType *type, double size, bool bold) {
    return above_line(type, "0", size, bold);
}

double sx_type_capital_height(SxType *type, double size, bool bold) {
    return above_line(type, "H", size, bold);
}

double sx_type_size_for(SxType *type, double capital_height, bool bold) {
    const double tried = 100;
    return tried * capital_height / sx_type_capital_height(type, tried, bold);
}

char *sx_type_clean(const char *text) {
    char *valid = g_utf8_make_valid(text ? text : "", -1);
    GString *clean = g_string_sized_new(strlen(valid));
    for (const char *c = valid; *c; c = g_utf8_next_char(c)) {
        gunichar letter = g_utf8_get_char(c);
        if (g_unichar_iscntrl(letter) || letter == 0x2028 || letter == 0x2029) {
            g_string_append_c(clean, ' ');
        } else {
            g_string_append_unichar(clean, letter);
        }
    }
    g_free(valid);
    return g_string_free(clean, FALSE);
}

/* The first `letters` whole letters of the text and an ellipsis. */
static char *cut(const char *text, const PangoLogAttr *attribute, int characters) {
    while (characters > 0 && !attribute[characters].is_cursor_position) {
        characters--;
    }
    const char *end = g_utf8_offset_to_pointer(text, characters);
    GString *kept = g_string_new_len(text, end - text);
    while (kept->len > 0 && kept->str[kept->len - 1] == ' ') {
        g_string_truncate(kept, kept->len - 1);
    }
    g_string_append(kept, ellipsis);
    return g_string_free(kept, FALSE);
}

char *sx_type_fit(SxType *type, const char *text, double size, bool bold, double limit) {
    if (sx_type_measure(type, text, size, bold).width <= limit) {
        return g_strdup(text);
    }
    PangoLogAttr *attributes;
    int count;
    pango_layout_get_log_attrs(sx_type_layout(type, text, size, bold), &attributes, &count);
    int fits = 0, too_many = count - 1;
    while (too_many - fits > 1) {
        int middle = (fits + too_many) / 2;
        char *tried = cut(text, attributes, middle);
        if (sx_type_measure(type, tried, size, bold).width <= limit) {
            fits = middle;
        } else {
            too_many = middle;
        }
        g_free(tried);
    }
    char *fitted = cut(text, attributes, fits);
    g_free(attributes);
    return fitted;
}
