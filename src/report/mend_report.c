/* What mending moves, as text and as JSON. */
#include "core/jsonwrite.h"
#include "report/lines.h"
#include "sixturn/drawnreport.h"
#include "sixturn/sentences.h"

#include <math.h>
#include <stdio.h>

enum { LINE_SIZE = 512, LENGTH_SIZE = 32 };

static size_t append_step(char *line, size_t used, double step, const char *less,
                          const char *more) {
    if (fabs(step) < SX_LEVEL) {
        return used;
    }
    char length[LENGTH_SIZE];
    int wrote = snprintf(line + used, LINE_SIZE - used, " %s %s,",
                         sx_length_text(fabs(step), length, sizeof length), step < 0 ? less : more);
    return used + (size_t)wrote;
}

static void print_move(FILE *out, const SxDrawn *drawn, const SxMend *mend, int i) {
    char line[LINE_SIZE];
    SxSpot from = drawn->stance.spot[i], to = mend->spot[i];
    size_t used = (size_t)snprintf(line, sizeof line, "  number %d, %s:", drawn->player[i].number,
                                   sx_position_name(i + 1));
    size_t before = used;
    used = append_step(line, used, to.x - from.x, "to the left", "to the right");
    used = append_step(line, used, to.y - from.y, "towards the net", "back");
    if (used > before) {
        snprintf(line + used, sizeof line - used, " to %.2f from the left, %.2f from the net", to.x,
                 to.y);
        sx_lines_wrap_spaced(out, line, 4);
    }
}

static void print_text(FILE *out, const SxDrawn *drawn, const SxRules *rules, double margin,
                       const SxMend *mend) {
    char title[SX_NAME_SIZE + 64], line[LINE_SIZE];
    sx_drawn_title(drawn, title, sizeof title);
    if (mend->moved == 0) {
        snprintf(line, sizeof line, "%s, by %s: legal with a margin of %.2f m; nobody moves", title,
                 rules->name, margin);
    } else {
        snprintf(line, sizeof line, "%s, by %s: %d %s, %.2f m in all", title, rules->name,
                 mend->moved, mend->moved == 1 ? "player moves" : "players move", mend->total);
    }
    sx_lines_wrap_spaced(out, line, 0);
    for (int i = 0; i < SX_POSITIONS; i++) {
        print_move(out, drawn, mend, i);
    }
}

static void add_spot(cJSON *into, const char *key, SxSpot spot) {
    double pair[2] = {sx_json_metres(spot.x), sx_json_metres(spot.y)};
    sx_put(into, key, cJSON_CreateDoubleArray(pair, 2));
}

static cJSON *mend_json(const SxDrawn *drawn, const SxRules *rules, const SxMend *mend) {
    char title[SX_NAME_SIZE + 64];
    cJSON *item = cJSON_CreateObject();
    sx_put_text(item, "title", sx_drawn_title(drawn, title, sizeof title));
    sx_put_text(item, "rules", rules->id);
    sx_put_number(item, "total", sx_json_metres(mend->total));
    cJSON *moves = sx_put_array(item, "moves");
    for (int i = 0; i < SX_POSITIONS; i++) {
        SxSpot from = drawn->stance.spot[i], to = mend->spot[i];
        if (from.x == to.x && from.y == to.y) {
            continue;
        }
        cJSON *move = cJSON_CreateObject();
        sx_put_number(move, "position", i + 1);
        sx_put_number(move, "number", drawn->player[i].number);
        add_spot(move, "from", from);
        add_spot(move, "to", to);
        sx_push(moves, move);
    }
    return item;
}

char *sx_mend_text(const SxDrawnFile *file, const SxRules *rules, double margin,
                   const SxMend *mends) {
    Lines page;
    if (!sx_lines_open(&page)) {
        return NULL;
    }
    for (int i = 0; i < file->count; i++) {
        print_text(page.out, &file->formation[i], &rules[i], margin, &mends[i]);
    }
    return sx_lines_close(&page);
}

char *sx_mend_json(const SxDrawnFile *file, const SxRules *rules, double margin,
                   const SxMend *mends) {
    cJSON *list = cJSON_CreateArray();
    for (int i = 0; i < file->count; i++) {
        sx_push(list, mend_json(&file->formation[i], &rules[i], &mends[i]));
    }
    cJSON *root = cJSON_CreateObject();
    sx_put_text(root, "format", "sixturn-mend-1");
    sx_put_number(root, "margin", margin);
    sx_put(root, "formations", list);
    return sx_json_finish(root);
}
