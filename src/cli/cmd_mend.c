/* `sixturn mend`: the smallest change that makes a drawn formation legal. */
#include "cli/check.h"
#include "cli/commands.h"
#include "core/jsonwrite.h"
#include "core/numbers.h"
#include "core/write.h"
#include "sixturn/mend.h"

#include <glpk.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { LINE_SIZE = 512, LENGTH_SIZE = 32 };

static const char help[] =
    "usage: sixturn mend FORMATION.json [options]\n\n"
    "Moves players as little as possible (centimetres sideways plus centimetres\n"
    "forward or back, added up) until the formation is legal with the margin.\n"
    "Exit status 0: done, 1: moving does not help.\n\n";

/* Lock marks by position; SX_USAGE for a number that is in no formation of the file. */
static SxStatus find_locks(const CheckCommand *ask, const SxDrawnFile *file, SxError *err) {
    for (int i = 0; i < ask->lock_count; i++) {
        bool found = false;
        for (int f = 0; f < file->count; f++) {
            found |= sx_drawn_find(&file->formation[f], ask->locks[i]) != 0;
        }
        if (!found) {
            return sx_fail(err, SX_USAGE, "--lock %d: nobody in the file has this number",
                           ask->locks[i]);
        }
    }
    return SX_OK;
}

static void set_locks(const CheckCommand *ask, const SxDrawn *drawn, SxMendOptions *options) {
    for (int i = 0; i < ask->lock_count; i++) {
        int position = sx_drawn_find(drawn, ask->locks[i]);
        if (position) {
            options->locked[position - 1] = true;
        }
    }
}

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

static void print_move(const SxDrawn *drawn, const SxMend *mend, int i) {
    SX_PLAIN_NUMBERS;
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
        check_print_wrapped(line, 4);
    }
}

static void print_text(const SxDrawn *drawn, const SxRules *rules, double margin,
                       const SxMend *mend) {
    SX_PLAIN_NUMBERS;
    char title[SX_NAME_SIZE + 64], line[LINE_SIZE];
    sx_drawn_title(drawn, title, sizeof title);
    if (mend->moved == 0) {
        snprintf(line, sizeof line, "%s, by %s: legal with a margin of %.2f m; nobody moves", title,
                 rules->name, margin);
    } else {
        snprintf(line, sizeof line, "%s, by %s: %d %s, %.2f m in all", title, rules->name,
                 mend->moved, mend->moved == 1 ? "player moves" : "players move", mend->total);
    }
    check_print_wrapped(line, 0);
    for (int i = 0; i < SX_POSITIONS; i++) {
        print_move(drawn, mend, i);
    }
}

static void add_spot(cJSON *into, const char *key, SxSpot spot) {
    double pair[2] = {check_tidy(spot.x), check_tidy(spot.y)};
    sx_put(into, key, cJSON_CreateDoubleArray(pair, 2));
}

static cJSON *mend_json(const SxDrawn *drawn, const SxRules *rules, const SxMend *mend) {
    char title[SX_NAME_SIZE + 64];
    cJSON *item = cJSON_CreateObject();
    sx_put_text(item, "title", sx_drawn_title(drawn, title, sizeof title));
    sx_put_text(item, "rules", rules->id);
    sx_put_number(item, "total", check_tidy(mend->total));
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

/* Puts the formation and the numbers in front of what the library says. */
static SxStatus explain(const SxDrawn *drawn, const SxMend *mend, SxStatus status, SxError *err) {
    char title[SX_NAME_SIZE + 64], numbers[128] = "", reason[SX_ERROR_MESSAGE / 2];
    size_t used = 0;
    if (status != SX_NO) {
        return status;
    }
    for (int i = 0; i < SX_POSITIONS; i++) {
        if (mend->conflict[i]) {
            used += (size_t)snprintf(numbers + used, sizeof numbers - used, "%s%d",
                                     used ? ", " : " (numbers ", drawn->player[i].number);
        }
    }
    snprintf(reason, sizeof reason, "%s", err->message);
    return sx_fail(err, SX_NO, "%s: %s%s%s", sx_drawn_title(drawn, title, sizeof title), reason,
                   numbers, used ? "); unlock one of them" : "");
}

/* Mends every formation, or none: prints nothing. */
static SxStatus mend_all(const CheckCommand *ask, const SxDrawnFile *file, const SxRules *rules,
                         SxMend *mends, SxError *err) {
    SxStatus status = find_locks(ask, file, err);
    for (int i = 0; i < file->count && status == SX_OK; i++) {
        const SxDrawn *drawn = &file->formation[i];
        SxMendOptions options = {.margin = ask->margin, .fewest = ask->fewest};
        set_locks(ask, drawn, &options);
        status = sx_mend(&drawn->stance, &rules[i], &options, &mends[i], err);
        status = explain(drawn, &mends[i], status, err);
    }
    return status;
}

static SxStatus print_all(const CheckCommand *ask, const SxDrawnFile *file, const SxRules *rules,
                          const SxMend *mends, SxError *err) {
    cJSON *list = cJSON_CreateArray();
    for (int i = 0; i < file->count; i++) {
        if (ask->json) {
            sx_push(list, mend_json(&file->formation[i], &rules[i], &mends[i]));
        } else {
            print_text(&file->formation[i], &rules[i], ask->margin, &mends[i]);
        }
    }
    if (ask->json) {
        cJSON *root = cJSON_CreateObject();
        sx_put_text(root, "format", "sixturn-mend-1");
        sx_put_number(root, "margin", ask->margin);
        sx_put(root, "formations", list);
        return check_print_json(root, err);
    }
    cJSON_Delete(list);
    return SX_OK;
}

static void swap_spots(SxDrawnFile *file, SxMend *mends) {
    for (int i = 0; i < file->count; i++) {
        SxSpot drawn[SX_POSITIONS];
        memcpy(drawn, file->formation[i].stance.spot, sizeof drawn);
        memcpy(file->formation[i].stance.spot, mends[i].spot, sizeof drawn);
        memcpy(mends[i].spot, drawn, sizeof drawn);
    }
}

static SxStatus write_out(const CheckCommand *ask, SxDrawnFile *file, SxMend *mends, SxError *err) {
    swap_spots(file, mends);
    char *text = sx_drawn_write(file);
    swap_spots(file, mends);
    if (!text) {
        return sx_out_of_memory(err);
    }
    /* A text file ends with a line end; it takes the place of the closing zero. */
    size_t length = strlen(text);
    text[length] = '\n';
    SxStatus status = sx_write_file(ask->out, text, length + 1, err);
    free(text);
    return status;
}

static SxStatus run(const CheckCommand *ask, SxDrawnFile *file, const SxRules *rules,
                    SxError *err) {
    SxMend *mends = calloc((size_t)file->count, sizeof *mends);
    if (!mends) {
        return sx_out_of_memory(err);
    }
    SxStatus status = mend_all(ask, file, rules, mends, err);
    if (status == SX_OK) {
        status = ask->out ? write_out(ask, file, mends, err) : SX_OK;
    }
    if (status == SX_OK) {
        status = print_all(ask, file, rules, mends, err);
    }
    free(mends);
    return status;
}

SxStatus cmd_mend(int argc, char **argv) {
    SxError err = {.status = SX_OK};
    CheckCommand ask;
    SxDrawnFile file = {0};
    SxStatus status = check_arguments(argc, argv, help, true, &ask);
    if (status != SX_OK || ask.help) {
        return status;
    }
    SxRules *rules = NULL;
    status = sx_drawn_read(ask.file, &file, &err);
    if (status == SX_OK) {
        status = check_rules(&ask, &file, &rules, &err);
    }
    if (status == SX_OK) {
        status = run(&ask, &file, rules, &err);
    }
    free(rules);
    sx_drawn_free(&file);
    glp_free_env();
    return status ? args_complain(&err) : SX_OK;
}
