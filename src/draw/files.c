/* Drawings as files: which kind, and writing it. Needs nothing that draws. */
#include "core/write.h"
#include "sixturn/sheet.h"

#include <stdlib.h>
#include <string.h>

/* ASCII letters of either case are the same, whatever the locale. */
static bool same_letters(const char *a, const char *b) {
    for (; *a && *b; a++, b++) {
        const char lower = *a >= 'A' && *a <= 'Z' ? (char)(*a - 'A' + 'a') : *a;
        if (lower != *b) {
            return false;
        }
    }
    return *a == *b;
}

void sx_sheet_default(SxSheet *sheet, const SxProblem *problem, const SxLineup *lineup) {
    SxFormationOptions options;
    sx_formation_default(&options);
    *sheet = (SxSheet){.problem = problem,
                       .lineup = lineup,
                       .margin = options.margin,
                       .paper = SX_PAPER_A4,
                       .show = SX_SHOW_BOTH,
                       .start = {lineup->start, lineup->start},
                       .player = SX_WHOLE_TEAM};
}

SxStatus sx_sheet_file_kind(const char *file, SxSheetFile *kind, SxError *err) {
    static const char *const endings[] = {".pdf", ".svg", ".png"};
    size_t length = strlen(file);
    for (int k = 0; k < 3; k++) {
        size_t ending = strlen(endings[k]);
        if (length > ending && same_letters(file + length - ending, endings[k])) {
            *kind = (SxSheetFile)k;
            return SX_OK;
        }
    }
    return sx_fail(err, SX_USAGE,
                   "a sheet is written as .pdf, .svg or .png, and '%s' ends in none of them", file);
}

SxStatus sx_sheet_write(const SxSheet *sheet, const char *file, SxError *err) {
    SxSheetFile kind;
    char *bytes;
    size_t size;
    SxStatus status = sx_sheet_file_kind(file, &kind, err);
    if (status == SX_OK) {
        status = sx_sheet_render(sheet, kind, &bytes, &size, err);
    }
    if (status == SX_OK) {
        status = sx_write_file(file, bytes, size, err);
        free(bytes);
    }
    return status;
}

SxStatus sx_html_write(const SxHtml *report, const char *file, SxError *err) {
    char *bytes;
    size_t size;
    SxStatus status = sx_html_render(report, &bytes, &size, err);
    if (status == SX_OK) {
        status = sx_write_file(file, bytes, size, err);
        free(bytes);
    }
    return status;
}
