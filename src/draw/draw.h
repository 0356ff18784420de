/* Renderers of a scene: PDF and PNG through Cairo, SVG by our own writer. */
#ifndef SIXTURN_DRAW_DRAW_H
#define SIXTURN_DRAW_DRAW_H

#include "draw/scene.h"
#include "sixturn/error.h"

#include <glib.h>

/* Bytes to be released with g_byte_array_unref; NULL and err filled on failure. */
GByteArray *sx_draw_pdf(const SxScene *scene, SxError *err);
GByteArray *sx_draw_png(const SxScene *scene, SxError *err);

/* All pages, one below the other, as a document of its own. */
void sx_svg_document(GString *out, const SxScene *scene);
/* One page as an <svg> element to stand in an HTML page; it fills the width it is given. */
void sx_svg_inline(GString *out, const SxPage *page, const char *id);
/* Text with & < > " ' made harmless for XML and HTML. */
void sx_svg_escape(GString *out, const char *text);

#endif
