/* What a build without Cairo and Pango says when a drawing is asked for. Linked with that build's
 * own stand-in. */
#include "sixturn/sheet.h"

#include <criterion/criterion.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

Test(no_drawings, it_is_said_plainly_and_nothing_is_written) {
    static const char *const files[] = {"/tmp/sixturn-none.pdf", "/tmp/sixturn-none.html"};
    const SxSheet sheet = {.player = -1};
    const SxHtml html = {.sheet = sheet};
    cr_assert_not(sx_has_drawings());
    for (int k = 0; k < 2; k++) {
        SxError err = {.status = SX_OK};
        const SxStatus status =
            k ? sx_html_write(&html, files[k], &err) : sx_sheet_write(&sheet, files[k], &err);
        cr_expect_eq(status, SX_USAGE);
        cr_expect(strstr(err.message, "built without drawings") != NULL, "%s", err.message);
        cr_expect_neq(access(files[k], F_OK), 0, "%s is there", files[k]);
    }
}

Test(no_drawings, an_unknown_ending_is_told_first) {
    SxError err = {.status = SX_OK};
    const SxSheet sheet = {.player = -1};
    cr_expect_eq(sx_sheet_write(&sheet, "a.doc", &err), SX_USAGE);
    cr_expect(strstr(err.message, ".pdf, .svg or .png") != NULL, "%s", err.message);
}
