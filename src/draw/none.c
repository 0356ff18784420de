/* Stands in for everything that draws where sixturn is built without Cairo and Pango. */
#include "sixturn/sheet.h"

static SxStatus refuse(char **bytes, size_t *size, SxError *err) {
    *bytes = NULL;
    *size = 0;
    return sx_fail(err, SX_USAGE,
                   "this sixturn is built without drawings: neither sheets nor report pages; all "
                   "else works");
}

bool sx_has_drawings(void) {
    return false;
}

SxStatus sx_sheet_render(const SxSheet *sheet, SxSheetFile kind, char **bytes, size_t *size,
                         SxError *err) {
    (void)sheet;
    (void)kind;
    return refuse(bytes, size, err);
}

SxStatus sx_html_render(const SxHtml *html, char **bytes, size_t *size, SxError *err) {
    (void)html;
    return refuse(bytes, size, err);
}
