/* What skills are worth, as text and as JSON. */
#include "report/lines.h"

#include "core/jsonwrite.h"
#include "sixturn/analysis_report.h"

#include <math.h>

enum { NAME_WIDTH = 22, FIRST_FEW = 5 };
/* Points of score that round to nothing. */
static const double TOO_FEW = 0.0005;

static const char *const short_names[SX_SKILL_COUNT] = {
    [SX_PASSING] = "passing", [SX_SETTING] = "setting", [SX_ATTACKING] = "attack",
    [SX_BLOCKING] = "block",  [SX_SERVING] = "serve",   [SX_DIGGING] = "dig",
};

static const char *raise_name(int which) {
    return which == SX_ALL_SKILLS ? "all six" : sx_skill_name((SxSkill)which);
}

static void print_raise(FILE *out, const SxProblem *problem, const SxWorth *worth, int which) {
    const SxRaise *raise = &worth->raise[which];
    const SxPlayer *who = &problem->team->players[worth->player];
    Phrase phrase = {.used = 0};
    sx_phrase_add(&phrase, "%s", raise_name(which));
    if (!raise->done) {
        sx_phrase_add(&phrase, ": stopped before it was worked out");
    } else if (!raise->enough) {
        sx_phrase_add(&phrase, ": not even at 10");
    } else {
        double points = (double)raise->raise / SX_STEPS_A_POINT;
        sx_phrase_add(&phrase, " %+.2f", points);
        if (which == SX_ALL_SKILLS) {
            sx_phrase_add(&phrase, " each");
        } else {
            sx_phrase_add(&phrase, ", from %.2f to %.2f", who->skill[which],
                          fmin(SX_SKILL_MAX, who->skill[which] + points));
        }
        sx_phrase_add(&phrase, ": ");
        sx_phrase_moves(&phrase, problem->team, &raise->difference);
    }
    sx_lines_wrap(out, 2, 4, phrase.text);
}

static void print_player(FILE *out, const SxProblem *problem, const SxWorth *worth) {
    Phrase head = {.used = 0};
    sx_phrase_player(&head, problem->team, worth->player);
    if (!worth->known) {
        sx_phrase_add(&head, ": stopped before it was worked out.");
    } else if (worth->plays) {
        sx_phrase_add(&head, " is in the best lineup already.");
    } else if (!worth->can_play) {
        sx_phrase_add(&head, " cannot play: no legal lineup has a place, whatever the skills.");
    } else {
        sx_phrase_add(&head,
                      " is not in the best lineup; the best one with her %s %.*f %s, %.*f less.",
                      problem->against ? "wins" : "has", sx_value_decimals(problem),
                      sx_value(problem, &worth->with), sx_value_unit(problem),
                      sx_value_decimals(problem), worth->missing);
    }
    fputc('\n', out);
    sx_lines_wrap(out, 0, 0, head.text);
    if (!worth->known || worth->plays || !worth->can_play) {
        return;
    }
    fputs("One of these raises brings her in; a hundredth less does not. (Rotations weigh\n"
          "as now; 'plan' weighs them anew after each change of a rating.)\n",
          out);
    for (int k = 0; k < SX_RAISES; k++) {
        print_raise(out, problem, worth, k);
    }
}

static const SxPointValue *value_of(const SxPointValues *values, int player, int skill) {
    for (int k = 0; k < values->count; k++) {
        if (values->item[k].player == player && (int)values->item[k].skill == skill) {
            return &values->item[k];
        }
    }
    return NULL;
}

static void print_table(FILE *out, const SxProblem *problem, const SxPointValues *values) {
    fprintf(out,
            "\nWhat one rating point more of each player in the best lineup gives the team,\n"
            "in %s (others' ratings as they are)\n\n",
            problem->against ? "sets of 100" : "points of score");
    fprintf(out, "%*s", NAME_WIDTH + 5, "");
    for (int k = 0; k < SX_SKILL_COUNT; k++) {
        fprintf(out, "%7s ", short_names[k]);
    }
    fputc('\n', out);
    bool short_step = false, stopped = false;
    for (int p = 0; p < problem->team->player_count; p++) {
        if (!value_of(values, p, 0)) {
            continue;
        }
        fprintf(out, "#%-4d", problem->team->players[p].number);
        sx_lines_field(out, problem->team->players[p].name, NAME_WIDTH);
        for (int k = 0; k < SX_SKILL_COUNT; k++) {
            const SxPointValue *value = value_of(values, p, k);
            if (!value->done) {
                fprintf(out, "%7s ", "?");
                stopped = true;
            } else if (value->gain < TOO_FEW) {
                fprintf(out, "%7s ", ".");
            } else {
                bool part = value->step < 1;
                fprintf(out, "%7.3f%c", value->gain, part ? '<' : ' ');
                short_step = short_step || part;
            }
        }
        fputc('\n', out);
    }
    if (short_step) {
        fputs("< raised to 10 only, which is less than a point\n", out);
    }
    if (stopped) {
        fputs("? stopped early: not worked out in the time\n", out);
    }
}

static void print_priorities(FILE *out, const SxProblem *problem, const SxPointValues *values) {
    fputs("\nTraining that pays most\n", out);
    for (int k = 0; k < values->count && k < FIRST_FEW; k++) {
        const SxPointValue *value = &values->item[k];
        if (!value->done || value->gain < TOO_FEW) {
            break;
        }
        Phrase phrase = {.used = 0};
        sx_phrase_add(&phrase, "%d. %+.*f  ", k + 1, problem->against ? 2 : 3, value->gain);
        sx_phrase_player(&phrase, problem->team, value->player);
        sx_phrase_add(&phrase, ": %s", sx_skill_name(value->skill));
        fprintf(out, "  %s\n", phrase.text);
    }
    if (problem->against && problem->against->opponent->even) {
        sx_lines_wrap(out, 0, 0,
                      "The opponent stays as it is here. With a higher rating in the team file the "
                      "even opponent grows too, and the plan shows less of the gain.");
    }
    fputs("Growing players: raise loads slowly, and leave medical questions to the medical\n"
          "staff.\n",
          out);
}

char *sx_worth_text(const SxProblem *problem, const SxWorth *worth, int count,
                    const SxPointValues *values) {
    Lines page;
    if (!sx_lines_open(&page)) {
        return NULL;
    }
    Phrase order = {.used = 0};
    sx_phrase_order(&order, problem, &values->best);
    sx_lines_line(page.out, "%s: system %s, rules %s", problem->team->name, problem->system->id,
                  problem->rules->id);
    sx_lines_line(page.out, "Best lineup %.*f %s, order %s.", sx_value_decimals(problem),
                  sx_value(problem, &values->best), sx_value_unit(problem), order.text);
    sx_lines_unproven(page.out, problem, &values->best);
    sx_lines_plays_on(page.out, 0, &values->best);
    for (int k = 0; k < count; k++) {
        print_player(page.out, problem, &worth[k]);
    }
    print_table(page.out, problem, values);
    print_priorities(page.out, problem, values);
    sx_lines_caution(page.out);
    return sx_lines_close(&page);
}

static void json_raises(cJSON *parent, const SxWorth *worth) {
    cJSON *raises = sx_put_object(parent, "raises");
    for (int k = 0; k < SX_RAISES; k++) {
        const SxRaise *raise = &worth->raise[k];
        const char *key = k == SX_ALL_SKILLS ? "all" : raise_name(k);
        if (raise->done && raise->enough) {
            sx_put_number(raises, key, (double)raise->raise / SX_STEPS_A_POINT);
        } else {
            sx_put_null(raises, key);
        }
    }
}

char *sx_worth_json(const SxProblem *problem, const SxWorth *worth, int count,
                    const SxPointValues *values) {
    cJSON *root = cJSON_CreateObject();
    sx_put_text(root, "format", "sixturn-worth-1");
    bool complete = values->best.proof != SX_FEASIBLE;
    sx_json_lineup(sx_put_object(root, "best"), problem, &values->best);
    cJSON *players = sx_put_array(root, "players");
    for (int k = 0; k < count; k++) {
        complete = complete && worth[k].known;
        if (!worth[k].known) {
            continue;
        }
        cJSON *object = sx_push_object(players);
        sx_json_player(object, "player", problem->team, worth[k].player);
        sx_put_bool(object, "plays", worth[k].plays);
        sx_put_bool(object, "can_play", worth[k].can_play);
        sx_put_number(object, "missing", worth[k].missing);
        json_raises(object, &worth[k]);
        for (int j = 0; j < SX_RAISES; j++) {
            complete = complete && worth[k].raise[j].done;
        }
    }
    cJSON *list = sx_put_array(root, "points");
    for (int k = 0; k < values->count; k++) {
        const SxPointValue *value = &values->item[k];
        complete = complete && value->done;
        if (value->done) {
            cJSON *object = sx_push_object(list);
            sx_json_player(object, "player", problem->team, value->player);
            sx_put_text(object, "skill", sx_skill_name(value->skill));
            sx_put_number(object, "step", value->step);
            sx_put_number(object, "gain", value->gain);
        }
    }
    sx_put_bool(root, "complete", complete);
    return sx_json_finish(root);
}
