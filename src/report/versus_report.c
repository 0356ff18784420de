/* Two lineups side by side, as text and as JSON. */
#include "report/lines.h"

#include "core/jsonwrite.h"
#include "sixturn/analysis_report.h"

#include <math.h>
#include <string.h>

static const char letters[] = "AB";
/* Weighted points that round to nothing. */
static const double TOO_FEW = 0.005;

static void print_side(FILE *out, const SxContender *side, const char *name, const SxVersus *versus,
                       int k) {
    Phrase phrase = {.used = 0};
    sx_phrase_add(&phrase, "%c  %s: system %s, ", letters[k], name, side->problem.system->id);
    sx_phrase_add(&phrase, "%.*f %s, order ", sx_value_decimals(&side->problem),
                  sx_value(&side->problem, &versus->side[k]), sx_value_unit(&side->problem));
    sx_phrase_order(&phrase, &side->problem, &versus->side[k]);
    sx_lines_wrap(out, 0, 3, phrase.text);
}

/* What the rotations as drawn leave unexplained: what comes after the substitutions. */
static void print_rest(FILE *out, const SxVersus *versus, double rest) {
    Phrase phrase = {.used = 0};
    bool stops = false;
    sx_phrase_add(&phrase, "%+.2f more", rest);
    for (int k = 0; k < 2; k++) {
        const SxLineup *lineup = &versus->side[k];
        const char name = k ? 'B' : 'A';
        if (lineup->plays_on_as[0]) {
            sx_phrase_add(&phrase, ": %c makes none of its substitutions and plays on as %s", name,
                          lineup->plays_on_as);
            stops = true;
        } else if (sx_substitutions_per_cycle(lineup) > 0) {
            sx_phrase_add(&phrase, ": %c stops to substitute, by choice or at the limit", name);
            stops = true;
        }
    }
    sx_phrase_add(&phrase, "%s", stops ? "." : " is what these do not explain.");
    sx_lines_wrap(out, 2, 4, phrase.text);
}

static void print_scores(FILE *out, const SxVersus *versus, int k) {
    fprintf(out, "  %c score  ", letters[k]);
    for (int r = 0; r < SX_ROTATIONS; r++) {
        fprintf(out, "%8.2f%c", versus->side[k].rotation[r].score,
                r == sx_weak_rotation(&versus->side[k]) ? '*' : ' ');
    }
    fprintf(out, "%9.3f\n", versus->side[k].score);
}

static void print_change(FILE *out, double change, int width, int decimals, const char *after) {
    if (fabs(change) < TOO_FEW) {
        fprintf(out, "%*s%s", width, ".", after);
    } else {
        fprintf(out, "%+*.*f%s", width, decimals, change, after);
    }
}

static bool weigh_alike(const double weight[SX_ROTATIONS]) {
    for (int r = 1; r < SX_ROTATIONS; r++) {
        if (weight[r] != weight[0]) {
            return false;
        }
    }
    return true;
}

static void print_rotations(FILE *out, const SxProblem *problem, const SxPlan *yardstick,
                            const SxVersus *versus) {
    const SxDifference *difference = &versus->difference;
    fprintf(out, "\nRotation   ");
    for (int r = 0; r < SX_ROTATIONS; r++) {
        fprintf(out, "%8d ", r + 1);
    }
    fprintf(out, "%8s\n", "all");
    if (!problem->against) {
        print_scores(out, versus, 0);
        print_scores(out, versus, 1);
    }
    fprintf(out, "  B - A    ");
    for (int r = 0; r < SX_ROTATIONS; r++) {
        print_change(out, difference->rotation[r], 8, 2, " ");
    }
    fprintf(out, "%+9.*f\n", problem->against ? 2 : 3, difference->score);
    for (int k = 0; k < SX_PARTS; k++) {
        double mean = 0;
        fprintf(out, "    %-7s", sx_part_word((SxPart)k));
        for (int r = 0; r < SX_ROTATIONS; r++) {
            mean += (problem->against ? 1 : versus->side[0].rotation[r].weight) *
                    difference->part[r][k];
            print_change(out, difference->part[r][k], 8, 2, " ");
        }
        print_change(out, mean, 9, problem->against ? 2 : 3, "\n");
    }
    if (problem->against) {
        fputs("  Sets of 100 more or less by what counts in each rotation, B less A.\n", out);
        if (fabs(difference->rest) >= TOO_FEW) {
            print_rest(out, versus, difference->rest);
        }
        return;
    }
    fputs("  * the weakest rotation. Points of what counts, B less A; 'all' is the mean, while\n"
          "  the score counts the weakest rotation for more.\n",
          out);
    if (weigh_alike(yardstick->rotation_weight)) {
        fputs("  All rotations weigh alike.\n", out);
    }
}

static void print_gainers(FILE *out, const SxTeam *team, const SxVersus *versus, int k) {
    Phrase phrase = {.used = 0};
    for (int p = 0; p < team->player_count; p++) {
        int more = versus->receptions[k][p] - versus->receptions[1 - k][p];
        if (more > 0) {
            sx_phrase_add(&phrase, "%s", phrase.used ? ", " : "");
            sx_phrase_player(&phrase, team, p);
            sx_phrase_add(&phrase, " (%d instead of %d)", versus->receptions[k][p],
                          versus->receptions[1 - k][p]);
        }
    }
    if (phrase.used) {
        fprintf(out, "\nMore on court with %c, in rotations of reception\n", letters[k]);
        sx_lines_wrap(out, 2, 2, phrase.text);
    }
}

static void print_verdict(FILE *out, const SxVersus *versus) {
    const SxDifference *difference = &versus->difference;
    unsigned gains[2] = {0, 0};
    for (int r = 0; r < SX_ROTATIONS; r++) {
        if (fabs(difference->rotation[r]) >= TOO_FEW) {
            gains[difference->rotation[r] > 0] |= 1u << r;
        }
    }
    Phrase phrase = {.used = 0};
    for (int k = 0; k < 2; k++) {
        if (gains[k]) {
            sx_phrase_add(&phrase, "%s%c is better in ", phrase.used ? "; " : "", letters[k]);
            sx_phrase_rotations(&phrase, gains[k]);
        }
    }
    sx_phrase_add(&phrase, phrase.used ? "." : "No rotation differs.");
    fputc('\n', out);
    sx_lines_wrap(out, 0, 0, phrase.text);
}

char *sx_versus_text(const SxPlan *yardstick, const SxContender *first, const SxContender *second,
                     const char *const name[2], const SxVersus *versus) {
    Lines page;
    if (!sx_lines_open(&page)) {
        return NULL;
    }
    const SxTeam *team = first->problem.team;
    sx_lines_line(page.out, "%s: two lineups, valued with the same weights", team->name);
    print_side(page.out, first, name[0], versus, 0);
    print_side(page.out, second, name[1], versus, 1);
    print_rotations(page.out, &first->problem, yardstick, versus);
    print_verdict(page.out, versus);
    Phrase moves = {.used = 0};
    if (strcmp(first->problem.system->id, second->problem.system->id) == 0) {
        sx_phrase_add(&moves, "From A to B: ");
        sx_phrase_moves(&moves, team, &versus->difference);
        sx_phrase_add(&moves, versus->difference.move_count ? "." : "nobody changes places.");
        sx_lines_wrap(page.out, 0, 2, moves.text);
    }
    print_gainers(page.out, team, versus, 0);
    print_gainers(page.out, team, versus, 1);
    sx_lines_caution(page.out);
    return sx_lines_close(&page);
}

char *sx_versus_json(const SxPlan *yardstick, const SxContender *first, const SxContender *second,
                     const char *const name[2], const SxVersus *versus) {
    cJSON *root = cJSON_CreateObject();
    sx_put_text(root, "format", "sixturn-versus-1");
    sx_put_number(root, "balance", yardstick->balance);
    const SxContender *sides[2] = {first, second};
    cJSON *list = sx_put_array(root, "sides");
    for (int k = 0; k < 2; k++) {
        cJSON *object = sx_push_object(list);
        sx_put_text(object, "name", name[k]);
        sx_json_lineup(object, &sides[k]->problem, &versus->side[k]);
        cJSON *receptions = sx_put_object(object, "receptions");
        const SxTeam *team = first->problem.team;
        for (int p = 0; p < team->player_count; p++) {
            if (versus->receptions[k][p]) {
                sx_put_number(receptions, team->players[p].id, versus->receptions[k][p]);
            }
        }
    }
    sx_json_difference(root, "difference", &first->problem, &versus->difference);
    return sx_json_finish(root);
}
