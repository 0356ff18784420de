/* Every setter or pair of setters, as text and as JSON. */
#include "report/lines.h"

#include "core/jsonwrite.h"
#include "report/sums.h"
#include "sixturn/analysis_report.h"

#include <math.h>
#include <stdlib.h>

enum { SYSTEM_WIDTH = 12, SETTERS_WIDTH = 6, MOST_OPEN = 8 };

static void print_row(FILE *out, const SxProblem *problem, const SxSystemSet *systems,
                      const SxSetterChoice *item, const double *against) {
    Phrase who = {.used = 0};
    sx_phrase_add(&who, "%d", problem->team->players[item->setter[0]].number);
    if (item->setter[1] >= 0) {
        sx_phrase_add(&who, "+%d", problem->team->players[item->setter[1]].number);
    }
    sx_lines_field(out, systems->entry[item->system].system.id, SYSTEM_WIDTH);
    sx_lines_field(out, who.text, SETTERS_WIDTH);
    fprintf(out, "%7.*f", sx_value_decimals(problem), item->value);
    sx_sums_row(out, item->column, against);
}

static void print_names(FILE *out, const SxTeam *team, const SxSetterChoices *choices) {
    bool named[SX_MAX_PLAYERS] = {false};
    for (int k = 0; k < choices->count; k++) {
        for (int side = 0; side < 2; side++) {
            if (choices->item[k].setter[side] >= 0) {
                named[choices->item[k].setter[side]] = true;
            }
        }
    }
    Phrase phrase = {.used = 0};
    sx_phrase_add(&phrase, "Setters:");
    const char *before = " ";
    for (int p = 0; p < team->player_count; p++) {
        if (named[p]) {
            sx_phrase_add(&phrase, "%s", before);
            sx_phrase_player(&phrase, team, p);
            before = ", ";
        }
    }
    sx_lines_wrap(out, 0, 2, phrase.text);
}

static void print_orders(FILE *out, const SxProblem *problem, const SxSystemSet *systems,
                         const SxSetterChoices *choices) {
    fputs("\nTheir best orders, by shirt number (back/front where two share a place)\n", out);
    for (int k = 0; k < choices->count; k++) {
        const SxSetterChoice *item = &choices->item[k];
        if (!item->possible) {
            continue;
        }
        Phrase order = {.used = 0};
        SxProblem under = sx_problem_under(problem, &systems->entry[item->system]);
        sx_phrase_order(&order, &under, &item->lineup);
        sx_lines_field(out, under.system->id, SYSTEM_WIDTH);
        int weak = sx_weak_rotation(&item->lineup);
        fprintf(out, "%7.*f  %s; weak: rotation %d (%.2f)\n", sx_value_decimals(problem),
                item->value, order.text, weak + 1, item->lineup.rotation[weak].score);
        sx_lines_plays_on(out, 2, &item->lineup);
    }
}

static void print_missing(FILE *out, const SxProblem *problem, const SxSystemSet *systems,
                          const SxSetterChoices *choices) {
    const SxTeam *team = problem->team;
    int open = 0;
    for (int k = 0; k < choices->count; k++) {
        const SxSetterChoice *item = &choices->item[k];
        open += !item->done;
        if ((item->done && item->possible) || (!item->done && open > MOST_OPEN)) {
            continue;
        }
        Phrase phrase = {.used = 0};
        sx_phrase_add(&phrase, "%s with ", systems->entry[item->system].system.id);
        sx_phrase_player(&phrase, team, item->setter[0]);
        if (item->setter[1] >= 0) {
            sx_phrase_add(&phrase, " and ");
            sx_phrase_player(&phrase, team, item->setter[1]);
        }
        if (item->done) {
            sx_phrase_add(&phrase, ": no legal lineup");
        } else {
            sx_phrase_unproven(&phrase, problem, item->possible, item->bound);
        }
        sx_lines_wrap(out, 0, 2, phrase.text);
    }
    if (open > MOST_OPEN) {
        fprintf(out, "%d more are not worked out; none of them has more than the last one here.\n",
                open - MOST_OPEN);
    }
}

char *sx_setters_text(const SxProblem *problem, const SxSystemSet *systems,
                      const SxSetterChoices *choices) {
    Lines page;
    if (!sx_lines_open(&page)) {
        return NULL;
    }
    sx_lines_line(page.out, "%s: who sets, rules %s", problem->team->name, problem->rules->id);
    fputc('\n', page.out);
    fprintf(page.out, "%-*s%-*s%7s", SYSTEM_WIDTH, "system", SETTERS_WIDTH, "sets",
            problem->against ? "won" : "score");
    sx_sums_head(page.out, problem);
    for (int k = 0; k < choices->count && choices->item[k].possible; k++) {
        const SxSetterChoice *item = &choices->item[k];
        print_row(page.out, problem, systems, item, k ? choices->item[0].column : NULL);
    }
    print_missing(page.out, problem, systems, choices);
    fputc('\n', page.out);
    sx_sums_legend(page.out, problem);
    print_names(page.out, problem->team, choices);
    print_orders(page.out, problem, systems, choices);
    sx_lines_caution(page.out);
    return sx_lines_close(&page);
}

char *sx_setters_json(const SxProblem *problem, const SxSystemSet *systems,
                      const SxSetterChoices *choices) {
    cJSON *root = cJSON_CreateObject();
    sx_put_text(root, "format", "sixturn-setters-1");
    bool complete = true;
    cJSON *list = sx_put_array(root, "choices");
    for (int k = 0; k < choices->count; k++) {
        const SxSetterChoice *item = &choices->item[k];
        complete = complete && item->done;
        if (!item->done) {
            continue; /* among the open ones */
        }
        cJSON *object = sx_push_object(list);
        SxProblem under = sx_problem_under(problem, &systems->entry[item->system]);
        sx_json_players(object, "setters", problem->team, item->setter,
                        item->setter[1] >= 0 ? 2 : 1);
        sx_put_bool(object, "possible", item->possible);
        if (item->possible) {
            sx_json_lineup(object, &under, &item->lineup);
            sx_put_number(object, "connections", item->column[SX_SUM_CONNECTIONS]);
        } else {
            sx_put_text(object, "system", under.system->id);
        }
    }
    cJSON *open = complete ? NULL : sx_put_array(root, "open");
    for (int k = 0; k < choices->count; k++) {
        const SxSetterChoice *item = &choices->item[k];
        if (!item->done) {
            cJSON *object = sx_push_object(open);
            sx_put_text(object, "system", systems->entry[item->system].system.id);
            sx_json_players(object, "setters", problem->team, item->setter,
                            item->setter[1] >= 0 ? 2 : 1);
            sx_json_unproven(object, item->possible ? item->value : NAN, item->bound);
        }
    }
    sx_put_bool(root, "complete", complete);
    return sx_json_finish(root);
}
