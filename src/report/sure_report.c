/* How sure the best lineup is, as text and as JSON. */
#include "report/matchday.h"

#include "core/jsonwrite.h"
#include "report/lines.h"

enum { PERCENT = 100 };

static void print_rival(FILE *out, const SxProblem *problem, const SxSure *sure, int k) {
    const SxRival *rival = &sure->rival[k];
    Phrase line = {.used = 0};
    sx_phrase_add(&line, "  %c %.2f  ", k == sure->simplest ? '*' : ' ',
                  SX_SETS * rival->lineup.win);
    sx_phrase_order(&line, problem, &rival->lineup);
    sx_phrase_add(&line, "  first in %.0f; ", PERCENT * rival->first);
    if (rival->unusual == 0) {
        sx_phrase_add(&line, "all in their usual place");
    } else {
        sx_phrase_add(&line, "%d out of the usual", rival->unusual);
    }
    fprintf(out, "%s\n", line.text);
}

void sx_sure_head(FILE *out, const SxSure *sure) {
    Phrase phrase = {.used = 0};
    if (!sure->known || sure->orders < 2) {
        return;
    }
    sx_phrase_add(&phrase,
                  "With every rating about half a point off it stays first in about %.0f of 100 "
                  "cases (an estimate among the best %d orders).",
                  PERCENT * sure->first, sure->orders);
    sx_lines_wrap(out, 0, 0, phrase.text);
}

void sx_sure_text(FILE *out, const SxProblem *problem, const SxSure *sure) {
    Phrase phrase = {.used = 0};
    if (!sure->known || sure->orders < 2) {
        return;
    }
    if (sure->as_good == 1) {
        sx_phrase_add(&phrase, "No other order is as good if ratings may be half a point off.");
    } else {
        sx_phrase_add(
            &phrase,
            "As good if ratings may be half a point off are %d orders%s; * is the simplest "
            "to teach, with the fewest off their usual role or attack side:",
            sure->as_good, sure->as_good > sure->count ? ", some shown" : "");
    }
    fputc('\n', out);
    sx_lines_wrap(out, 0, 0, phrase.text);
    for (int k = 0; k < sure->count && sure->as_good > 1; k++) {
        print_rival(out, problem, sure, k);
    }
}

void sx_sure_json(cJSON *root, const SxProblem *problem, const SxSure *sure) {
    if (!sure->known) {
        return;
    }
    cJSON *object = sx_put_object(root, "sure");
    sx_put_number(object, "points", SX_SURE_POINTS);
    sx_put_number(object, "draws", sure->draws);
    sx_put_number(object, "orders", sure->orders);
    sx_put_number(object, "first", sure->first);
    sx_put_number(object, "as_good", sure->as_good);
    cJSON *list = sx_put_array(object, "rivals");
    for (int k = 0; k < sure->count; k++) {
        const SxRival *rival = &sure->rival[k];
        cJSON *item = sx_push_object(list);
        sx_put_number(item, "sets", SX_SETS * rival->lineup.win);
        sx_json_players(item, "front", problem->team, rival->lineup.order.front, SX_SLOTS);
        sx_json_players(item, "back", problem->team, rival->lineup.order.back, SX_SLOTS);
        sx_put_number(item, "first", rival->first);
        sx_put_number(item, "unusual", rival->unusual);
        sx_put_bool(item, "simplest", k == sure->simplest);
    }
}
