/* The coach's rules of thumb: whom to bring in when, in lines to keep in mind. */
#include "draw/pages.h"
#include "sixturn/sentences.h"

#include <glib.h>

enum { RULE_TEXT = 256 };
static const double head_more = 3; /* points by which the heading is larger */
static const double between = 0.3; /* millimetres */

const char sx_thumb_title[] = "Rules of thumb for substitutions";

static char *rule_line(const SxSheet *sheet, int k) {
    char text[RULE_TEXT];
    return g_strdup_printf("%d. %s", k + 1,
                           sx_thumb_rule_text(sheet->advice, sheet->problem->team, sheet->lineup,
                                              &sheet->thumb->rule[k], text, sizeof text));
}

char *sx_thumb_line(const SxSheet *sheet, int k) {
    char text[RULE_TEXT];
    const int rules = sheet->thumb ? sheet->thumb->count : 0;
    if (k < rules) {
        return rule_line(sheet, k);
    }
    if (rules == 0) {
        return sheet->thumb && k == 0 ? g_strdup("Change nobody without need: no rule gains a "
                                                 "twentieth of a set in 100.")
                                      : NULL;
    }
    const bool once = sheet->problem->rules->reentry == SX_REENTRY_ONCE_SAME_SUBSTITUTE;
    return k == rules       ? g_strdup(sx_thumb_worth_text(sheet->thumb, text, sizeof text))
           : k == rules + 1 ? g_strdup(once ? "A starter goes out once and comes back once, for "
                                              "the same substitute."
                                            : "Players may go and come back again, always to the "
                                              "same place.")
                            : NULL;
}

double sx_draw_thumb(const SxStudio *studio, SxPage *page, double x, double y, double width,
                     double size) {
    SxFont font = {.size = size + head_more, .bold = true, .ink = SX_INK_DARK, .limit = width};
    y = sx_draw_paragraph(studio->scene, page, "thumb", x, y, sx_thumb_title, font) + between;
    font.size = size;
    font.bold = false;
    char *line;
    for (int k = 0; (line = sx_thumb_line(studio->sheet, k)); k++) {
        char id[SX_ITEM_ID];
        g_snprintf(id, sizeof id, "thumb-line-%d", k + 1);
        y = sx_draw_paragraph(studio->scene, page, id, x, y, line, font) + between;
        g_free(line);
    }
    return y;
}

double sx_thumb_height(const SxStudio *studio, double width, double size) {
    SxScene scene;
    sx_scene_init(&scene);
    SxStudio apart = *studio;
    apart.scene = &scene;
    const double height = sx_draw_thumb(&apart, sx_scene_page(&scene, width, width, sx_thumb_title),
                                        0, 0, width, size);
    sx_scene_free(&scene);
    return height;
}
