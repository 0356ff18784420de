/* Sheets: lays out the pages and renders them. */
#include "sixturn/sheet.h"

#include "core/numbers.h"
#include "draw/draw.h"
#include "draw/pages.h"

#include <glib.h>
#include <stdlib.h>
#include <string.h>

bool sx_has_drawings(void) {
    return true;
}

SxStatus sx_sheet_check(const SxSheet *sheet, SxError *err) {
    if (sheet->player >= sheet->problem->team->player_count) {
        return sx_fail(err, SX_USAGE, "the team has no player with index %d", sheet->player);
    }
    if (sheet->show == SX_SHOW_SERVE && !sheet->serve) {
        return sx_fail(err, SX_USAGE, "the serve formations are wanted but not given");
    }
    return SX_OK;
}

SxStatus sx_hand_over(const void *data, size_t length, char **bytes, size_t *size, SxError *err) {
    char *copy = malloc(length + 1);
    if (!copy) {
        return sx_out_of_memory(err);
    }
    memcpy(copy, data, length);
    copy[length] = '\0';
    *bytes = copy;
    *size = length;
    return SX_OK;
}

SxStatus sx_sheet_render(const SxSheet *sheet, SxSheetFile kind, char **bytes, size_t *size,
                         SxError *err) {
    SX_PLAIN_NUMBERS;
    SxScene scene;
    SxStatus status = sx_sheet_check(sheet, err);
    if (status != SX_OK) {
        return status;
    }
    sx_scene_init(&scene);
    sx_pages_lay_out(&scene, sheet);
    if (kind == SX_FILE_SVG) {
        GString *svg = g_string_new(NULL);
        sx_svg_document(svg, &scene);
        status = sx_hand_over(svg->str, svg->len, bytes, size, err);
        g_string_free(svg, TRUE);
    } else {
        GByteArray *drawn =
            kind == SX_FILE_PDF ? sx_draw_pdf(&scene, err) : sx_draw_png(&scene, err);
        status = drawn ? SX_OK : SX_INTERNAL;
        if (drawn) {
            status = sx_hand_over(drawn->data, drawn->len, bytes, size, err);
            g_byte_array_unref(drawn);
        }
    }
    sx_scene_free(&scene);
    return status;
}
