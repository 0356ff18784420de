/* What the team loses without each player, as text and as JSON. */
#include "report/lines.h"

#include "core/jsonwrite.h"
#include "sixturn/analysis_report.h"

#include <math.h>

enum { INDENT = 5 };
/* Points that are no loss. */
static const double NOTHING = 5e-7;

/* As it will be printed, and never "-0.0". */
static double plain(const SxProblem *problem, double value) {
    return sx_plain_value(value, sx_value_decimals(problem));
}

static bool costs(const SxAbsence *item) {
    return item->done && item->loss > NOTHING;
}

static int count_absent(const SxAbsence *item) {
    int count = 0;
    while (count < SX_TOGETHER && item->player[count] >= 0) {
        count++;
    }
    return count;
}

static void phrase_absent(Phrase *phrase, const SxTeam *team, const SxAbsence *item) {
    sx_phrase_player(phrase, team, item->player[0]);
    for (int k = 1; k < SX_TOGETHER && item->player[k] >= 0; k++) {
        const bool last = k + 1 == SX_TOGETHER || item->player[k + 1] < 0;
        sx_phrase_add(phrase, last ? " and " : ", ");
        sx_phrase_player(phrase, team, item->player[k]);
    }
}

static bool is_absent(const SxAbsence *item, int player) {
    bool found = false;
    for (int k = 0; k < count_absent(item); k++) {
        found = found || item->player[k] == player;
    }
    return found;
}

/* That the absent sit out, or are libero no more, needs no word. */
static SxDifference moves_of_others(const SxAbsence *item) {
    SxDifference others = item->difference;
    others.move_count = 0;
    for (int k = 0; k < item->difference.move_count; k++) {
        const SxMove *move = &item->difference.move[k];
        const bool leaves = move->kind == SX_MOVE_LEAVES && is_absent(item, move->player);
        const bool gone =
            move->kind == SX_MOVE_LIBERO && move->player < 0 && is_absent(item, move->other);
        if (!leaves && !gone) {
            others.move[others.move_count++] = *move;
        }
    }
    return others;
}

static void print_better(FILE *out, const SxProblem *problem, const SxSystemSet *systems,
                         const SxAbsence *item) {
    /* a gain that prints as +0.0 is none */
    if (item->better_system < 0 || (item->possible && plain(problem, item->system_gain) <= 0)) {
        return;
    }
    const char *id = systems->entry[item->better_system].system.id;
    if (item->possible) {
        fprintf(out, "%*sbetter then: system %s, %+.*f\n", INDENT, "", id,
                sx_value_decimals(problem), item->system_gain);
    } else {
        fprintf(out, "%*spossible under system %s\n", INDENT, "", id);
    }
}

static void print_item(FILE *out, const SxProblem *problem, const SxSystemSet *systems,
                       const SxAbsences *all, const SxAbsence *item) {
    Phrase head = {.used = 0};
    if (item->possible) {
        sx_phrase_add(&head, "%.*f ", sx_value_decimals(problem), plain(problem, -item->loss));
    }
    sx_phrase_add(&head, "without ");
    phrase_absent(&head, problem->team, item);
    sx_phrase_add(&head, item->lifted ? " (wishes that ask for her lifted)" : "");
    if (!item->possible) {
        sx_phrase_add(&head, ": no legal lineup");
        fputc('\n', out);
        sx_lines_wrap(out, 1, INDENT, head.text);
        print_better(out, problem, systems, item);
        return;
    }
    sx_phrase_add(&head, ": ");
    sx_phrase_value(&head, problem, sx_value(problem, &item->lineup));
    if (item->apart_known && fabs(item->beyond) > NOTHING) {
        sx_phrase_add(&head, "; %.*f %s than both apart", sx_value_decimals(problem),
                      fabs(item->beyond), item->beyond > 0 ? "more" : "less");
    }
    fputc('\n', out);
    sx_lines_wrap(out, 1, INDENT, head.text);
    Phrase moves = {.used = 0};
    const SxDifference others = moves_of_others(item);
    sx_phrase_moves(&moves, problem->team, &others);
    if (moves.used) {
        sx_lines_wrap(out, INDENT, INDENT, moves.text);
    }
    sx_lines_plays_on(out, INDENT, &item->lineup);
    int worst = item->difference.worst_rotation;
    if (problem->against) {
        fprintf(out, "%*ssuffers most: rotation %d, %+.1f\n", INDENT, "", worst + 1,
                item->difference.rotation[worst]);
    } else {
        fprintf(out, "%*ssuffers most: rotation %d, from %.2f to %.2f\n", INDENT, "", worst + 1,
                all->best.rotation[worst].score,
                all->best.rotation[worst].score + item->difference.rotation[worst]);
    }
    print_better(out, problem, systems, item);
}

/* Without her the team would be as good, but for one injury more. */
static void phrase_cover(Phrase *phrase, unsigned roles) {
    const char *between = " (the only cover as ";
    for (int role = 0; role < SX_ROLE_COUNT; role++) {
        if (roles >> role & 1) {
            sx_phrase_add(phrase, "%s%s", between, sx_role_name((SxRole)role));
            between = ", ";
        }
    }
    sx_phrase_add(phrase, roles ? ")" : "");
}

static void print_harmless(FILE *out, const SxProblem *problem, const SxAbsences *absences) {
    Phrase phrase = {.used = 0};
    int pairs = 0;
    for (int k = 0; k < absences->count; k++) {
        const SxAbsence *item = &absences->item[k];
        if (!item->done || costs(item)) {
            continue;
        }
        if (item->player[1] >= 0) {
            pairs++;
            continue;
        }
        sx_phrase_add(&phrase, phrase.used ? ", " : "No loss without ");
        phrase_absent(&phrase, problem->team, item);
        phrase_cover(&phrase, item->only_cover);
    }
    if (phrase.used) {
        sx_phrase_add(&phrase, ".");
        fputc('\n', out);
        sx_lines_wrap(out, 0, 2, phrase.text);
    }
    if (pairs) {
        fprintf(out, "%s%d pair%s can be absent without loss.\n", phrase.used ? "" : "\n", pairs,
                pairs == 1 ? "" : "s");
    }
}

char *sx_absent_text(const SxProblem *problem, const SxSystemSet *systems,
                     const SxAbsences *absences, int most) {
    Lines page;
    if (!sx_lines_open(&page)) {
        return NULL;
    }
    Phrase order = {.used = 0};
    sx_phrase_order(&order, problem, &absences->best);
    sx_lines_line(page.out, "%s: system %s, rules %s", problem->team->name, problem->system->id,
                  problem->rules->id);
    sx_lines_line(page.out, "With everybody %.*f %s, order %s.", sx_value_decimals(problem),
                  sx_value(problem, &absences->best), sx_value_unit(problem), order.text);
    sx_lines_unproven(page.out, problem, &absences->best);
    sx_lines_plays_on(page.out, 0, &absences->best);
    if (absences->better_system >= 0 && plain(problem, absences->system_gain) > 0) {
        fprintf(page.out, "With everybody system %s would be better, %+.*f.\n",
                systems->entry[absences->better_system].system.id, sx_value_decimals(problem),
                absences->system_gain);
    }
    int undone = 0, shown = 0, hidden = 0;
    for (int k = 0; k < absences->count; k++) {
        const SxAbsence *item = &absences->item[k];
        undone += !item->done;
        if (costs(item) && shown < most) {
            print_item(page.out, problem, systems, absences, item);
            shown++;
        } else if (costs(item)) {
            hidden++;
        }
    }
    if (hidden) {
        fprintf(page.out, "\n%d more cost less; --top or --json shows them.\n", hidden);
    }
    print_harmless(page.out, problem, absences);
    if (undone) {
        fprintf(page.out, "\nStopped early: %d not worked out.\n", undone);
    }
    fputs(
        problem->against
            ? "\nEach line: sets of 100 lost, and those that the best lineup without the player\n"
              "wins, proven.\n"
            : "\nEach line: points lost, and the best lineup's points without the player, proven.\n"
              "Systems are compared with all rotations counting alike.\n",
        page.out);
    fputs("Whether an injured player can play is for the medical staff to say.\n", page.out);
    sx_lines_caution(page.out);
    return sx_lines_close(&page);
}

char *sx_absent_json(const SxProblem *problem, const SxSystemSet *systems,
                     const SxAbsences *absences) {
    cJSON *root = cJSON_CreateObject();
    sx_put_text(root, "format", "sixturn-absent-1");
    sx_json_lineup(sx_put_object(root, "with_everybody"), problem, &absences->best);
    bool complete = absences->best.proof != SX_FEASIBLE;
    cJSON *list = sx_put_array(root, "absences");
    for (int k = 0; k < absences->count; k++) {
        const SxAbsence *item = &absences->item[k];
        complete = complete && item->done;
        if (!item->done) {
            continue;
        }
        cJSON *object = sx_push_object(list);
        sx_json_players(object, "absent", problem->team, item->player, count_absent(item));
        sx_put_bool(object, "possible", item->possible);
        sx_put_bool(object, "wishes_lifted", item->lifted);
        if (item->possible) {
            sx_put_number(object, "loss", item->loss);
            sx_json_lineup(object, problem, &item->lineup);
            sx_put_number(object, "suffers_most", item->difference.worst_rotation + 1);
            sx_json_difference(object, "difference", problem, &item->difference);
        }
        if (item->better_system >= 0) {
            cJSON *better = sx_put_object(object, "better_system");
            sx_put_text(better, "system", systems->entry[item->better_system].system.id);
            sx_put_number(better, problem->against ? "sets" : "score", item->system_score);
            if (isfinite(item->system_gain)) {
                sx_put_number(better, "gain", item->system_gain);
            }
        }
    }
    sx_put_bool(root, "complete", complete);
    return sx_json_finish(root);
}
