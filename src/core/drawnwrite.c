/* Drawn formations as a file again. */
#include "sixturn/drawn.h"

#include "core/jsonwrite.h"
#include "core/numbers.h"

#include <math.h>

enum { CENTIMETRES = 100 };
static const double whole = 1e-4; /* centimetres: no eye sees less */

static double tidy(double metres) {
    double cm = metres * CENTIMETRES;
    return fabs(cm - round(cm)) < whole ? round(cm) / CENTIMETRES : metres;
}

static void add_player(cJSON *list, const SxDrawn *drawn, int i) {
    cJSON *item = cJSON_CreateObject();
    const SxDrawnPlayer *who = &drawn->player[i];
    sx_put_number(item, "number", who->number);
    if (who->name[0]) {
        sx_put_text(item, "name", who->name);
    }
    sx_put_number(item, "position", i + 1);
    sx_put_number(item, "x", tidy(drawn->stance.spot[i].x));
    sx_put_number(item, "y", tidy(drawn->stance.spot[i].y));
    if (drawn->stance.reach[i] > 0) {
        sx_put_number(item, "reach", drawn->stance.reach[i]);
    }
    if (who->stands_for != SX_NOBODY) {
        sx_put_number(item, "for", who->stands_for);
    }
    sx_push(list, item);
}

static void add_formation(cJSON *into, const SxDrawn *drawn) {
    if (drawn->label[0]) {
        sx_put_text(into, "label", drawn->label);
    }
    if (drawn->rules[0]) {
        sx_put_text(into, "rules", drawn->rules);
    }
    if (drawn->rotation >= 0) {
        sx_put_number(into, "rotation", drawn->rotation + 1);
        sx_put(into, "order", cJSON_CreateIntArray(drawn->order, SX_SLOTS));
    }
    sx_put_text(into, "phase", drawn->stance.phase == SX_SERVE ? "serve" : "receive");
    if (drawn->stance.server) {
        sx_put_number(into, "server", drawn->player[drawn->stance.server - 1].number);
    }
    if (drawn->libero_count) {
        sx_put(into, "liberos", cJSON_CreateIntArray(drawn->liberos, drawn->libero_count));
    }
    cJSON *players = sx_put_array(into, "players");
    for (int i = 0; i < SX_POSITIONS; i++) {
        add_player(players, drawn, i);
    }
}

char *sx_drawn_write(const SxDrawnFile *drawn) {
    cJSON *root = cJSON_CreateObject();
    sx_put_text(root, "format", "sixturn-formation-1");
    if (drawn->list) {
        cJSON *list = sx_put_array(root, "formations");
        for (int i = 0; i < drawn->count; i++) {
            cJSON *item = cJSON_CreateObject();
            add_formation(item, &drawn->formation[i]);
            sx_push(list, item);
        }
    } else {
        add_formation(root, &drawn->formation[0]);
    }
    return sx_put_print(root);
}
