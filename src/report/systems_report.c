/* The best lineup under each system, as text and as JSON. */
#include "report/lines.h"

#include "core/jsonwrite.h"
#include "report/sums.h"
#include "sixturn/analysis_report.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { SYSTEM_WIDTH = 16 };

/* Indices of the possible systems, the best first; returns how many. */
static int sort_systems(const SxProblem *problem, const SxSystemSet *systems,
                        const SxSystemBest *best, int *index) {
    int count = 0;
    for (int k = 0; k < systems->count; k++) {
        if (!best[k].possible) {
            continue;
        }
        int at = count++;
        while (at > 0 && sx_value(problem, &best[index[at - 1]].lineup) <
                             sx_value(problem, &best[k].lineup)) {
            index[at] = index[at - 1];
            at--;
        }
        index[at] = k;
    }
    return count;
}

static void print_substitutions(FILE *out, const SxProblem *problem, const SxSystemEntry *entry,
                                const SxSystemBest *best) {
    const SxSubstitutionNeed *need = &best->need;
    Phrase phrase = {.used = 0};
    sx_phrase_add(&phrase, "%s: ", entry->system.id);
    if (need->a_cycle == 0) {
        sx_phrase_add(&phrase, "no planned substitutions");
    } else {
        sx_phrase_add(&phrase, "%d substitutions in six rotations; ", need->a_cycle);
        if (need->allowed == SX_UNLIMITED) {
            sx_phrase_add(&phrase, "%s sets no limit", problem->rules->id);
        } else {
            sx_phrase_add(&phrase, "%s allows %d a set", problem->rules->id, need->allowed);
        }
        if (problem->rules->reentry == SX_REENTRY_ONCE_SAME_SUBSTITUTE) {
            sx_phrase_add(&phrase, ", each pair out and back once");
        }
        if (isfinite(need->cycles)) {
            sx_phrase_add(&phrase, ": enough for %d rotations",
                          (int)floor(need->cycles * SX_ROTATIONS + 1e-9));
        }
        if (best->lineup.plays_on_as[0]) {
            sx_phrase_add(&phrase,
                          ". Do not make them: it wins so many only by playing on as %s from the "
                          "first",
                          best->lineup.plays_on_as);
        } else if (best->lineup.plays_on_open) {
            sx_phrase_add(&phrase, ". Whether to make them was not worked out in the time");
        }
    }
    sx_lines_wrap(out, 2, 4, phrase.text);
}

static void print_system(FILE *out, const SxProblem *problem, const SxSystemEntry *entry,
                         const SxSystemBest *best) {
    SxProblem under = sx_problem_under(problem, entry);
    Phrase order = {.used = 0};
    sx_phrase_order(&order, &under, &best->lineup);
    int weak = sx_weak_rotation(&best->lineup);
    fputs("  ", out);
    sx_lines_field(out, entry->system.id, SYSTEM_WIDTH - 2);
    fprintf(out, "%s; weak: rotation %d (%.2f)\n", order.text, weak + 1,
            best->lineup.rotation[weak].score);
}

static void print_missing(FILE *out, const SxProblem *problem, const SxSystemSet *systems,
                          const SxSystemBest *best) {
    for (int k = 0; k < systems->count; k++) {
        if (best[k].done && best[k].possible) {
            continue;
        }
        Phrase head = {.used = 0};
        sx_phrase_add(&head, "%s", systems->entry[k].system.id);
        if (best[k].done) {
            sx_phrase_add(&head, ": no legal lineup");
        } else {
            sx_phrase_unproven(&head, problem, best[k].possible, best[k].bound);
        }
        fputc('\n', out);
        sx_lines_wrap(out, 0, 2, head.text);
        char why[SX_ERROR_MESSAGE];
        snprintf(why, sizeof why, "%s", best[k].why);
        for (char *line = why, *end; *line; line = end) {
            end = line + strcspn(line, "\n");
            end += *end ? (*end = '\0', 1) : 0;
            sx_lines_wrap(out, 2, 4, line);
        }
    }
}

char *sx_systems_text(const SxProblem *problem, const SxSystemSet *systems,
                      const SxSystemBest *best) {
    Lines page;
    int *index = calloc((size_t)systems->count + 1, sizeof *index);
    if (!index || !sx_lines_open(&page)) {
        free(index);
        return NULL;
    }
    int count = sort_systems(problem, systems, best, index);
    sx_lines_line(page.out, "%s: the systems side by side, rules %s", problem->team->name,
                  problem->rules->id);
    fputc('\n', page.out);
    fprintf(page.out, "%-*s%8s", SYSTEM_WIDTH, "system", problem->against ? "sets won" : "score");
    sx_sums_head(page.out, problem);
    for (int k = 0; k < count; k++) {
        const SxSystemBest *item = &best[index[k]];
        sx_lines_field(page.out, systems->entry[index[k]].system.id, SYSTEM_WIDTH);
        fprintf(page.out, "%8.*f", sx_value_decimals(problem), sx_value(problem, &item->lineup));
        sx_sums_row(page.out, item->column, k ? best[index[0]].column : NULL);
    }
    print_missing(page.out, problem, systems, best);
    fputc('\n', page.out);
    sx_sums_legend(page.out, problem);
    fputs("\nOrders, by shirt number (back/front where two share a place)\n", page.out);
    for (int k = 0; k < count; k++) {
        print_system(page.out, problem, &systems->entry[index[k]], &best[index[k]]);
    }
    fputs("\nSubstitutions\n", page.out);
    for (int k = 0; k < count; k++) {
        print_substitutions(page.out, problem, &systems->entry[index[k]], &best[index[k]]);
    }
    sx_lines_caution(page.out);
    free(index);
    return sx_lines_close(&page);
}

char *sx_systems_json(const SxProblem *problem, const SxSystemSet *systems,
                      const SxSystemBest *best) {
    cJSON *root = cJSON_CreateObject();
    sx_put_text(root, "format", "sixturn-systems-1");
    bool complete = true;
    cJSON *list = sx_put_array(root, "systems");
    for (int k = 0; k < systems->count; k++) {
        complete = complete && best[k].done;
        if (!best[k].done) {
            continue; /* among the open ones */
        }
        cJSON *object = sx_push_object(list);
        sx_put_bool(object, "possible", best[k].possible);
        if (!best[k].possible) {
            sx_put_text(object, "system", systems->entry[k].system.id);
            sx_put_text(object, "reason", best[k].why);
            continue;
        }
        SxProblem under = sx_problem_under(problem, &systems->entry[k]);
        sx_json_lineup(object, &under, &best[k].lineup);
        cJSON *need = sx_put_object(object, "substitutions");
        sx_put_number(need, "a_cycle", best[k].need.a_cycle);
        if (best[k].need.allowed == SX_UNLIMITED) {
            sx_put_null(need, "allowed_a_set");
        } else {
            sx_put_number(need, "allowed_a_set", best[k].need.allowed);
        }
        if (isfinite(best[k].need.cycles)) {
            sx_put_number(need, "cycles", best[k].need.cycles);
        } else {
            sx_put_null(need, "cycles");
        }
    }
    cJSON *open = complete ? NULL : sx_put_array(root, "open");
    for (int k = 0; k < systems->count; k++) {
        if (!best[k].done) {
            cJSON *object = sx_push_object(open);
            sx_put_text(object, "system", systems->entry[k].system.id);
            sx_json_unproven(object, best[k].possible ? sx_value(problem, &best[k].lineup) : NAN,
                             best[k].bound);
        }
    }
    sx_put_bool(root, "complete", complete);
    return sx_json_finish(root);
}
