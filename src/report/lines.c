/* Text of at most 80 columns, and JSON values, that the reports share. */
#include "report/lines.h"

#include "core/jsonwrite.h"

#include <math.h>
#include <stdarg.h>
#include <stdlib.h>
#include <string.h>

static bool continues(char c) {
    return ((unsigned char)c & 0xC0) == 0x80;
}

bool sx_lines_open(Lines *page) {
    page->out = sx_stream_open(&page->stream) ? page->stream.out : NULL;
    page->locale = page->out ? sx_numbers_plain() : (locale_t)0;
    return page->out != NULL;
}

char *sx_lines_close(Lines *page) {
    sx_numbers_restore(&page->locale);
    return sx_stream_close(&page->stream);
}

int sx_lines_columns(const char *text) {
    int count = 0;
    for (; *text; text++) {
        count += !continues(*text);
    }
    return count;
}

void sx_lines_field(FILE *out, const char *text, int width) {
    int used = 0;
    while (*text && used < width) {
        fputc(*text++, out);
        while (continues(*text)) {
            fputc(*text++, out);
        }
        used++;
    }
    fprintf(out, "%*s", width - used, "");
}

void sx_lines_wrap(FILE *out, int first_indent, int indent, const char *text) {
    int used = fprintf(out, "%*s", first_indent, "");
    bool fresh = true;
    while (*text) {
        char word[LINES_TEXT];
        size_t length = strcspn(text, " ");
        length = length < sizeof word ? length : sizeof word - 1;
        memcpy(word, text, length);
        word[length] = '\0';
        int columns = sx_lines_columns(word);
        if (!fresh && used + 1 + columns > LINE_WIDTH) {
            used = fprintf(out, "\n%*s", indent, "") - 1;
            fresh = true;
        }
        fprintf(out, fresh ? "%s" : " %s", word);
        used += columns + !fresh;
        fresh = false;
        text += length;
        text += strspn(text, " ");
    }
    fputc('\n', out);
}

/* Columns that bytes of UTF-8 take, counting one for each character. */
static int columns_of(const char *text, size_t bytes) {
    int count = 0;
    for (size_t i = 0; i < bytes; i++) {
        count += !continues(text[i]);
    }
    return count;
}

void sx_lines_wrap_spaced(FILE *out, const char *line, int indent) {
    size_t lead = strspn(line, " ");
    int column = (int)lead;
    fprintf(out, "%*s", (int)lead, "");
    bool first = true;
    for (const char *word = line + lead; *word;) {
        size_t blanks = strspn(word, " "), bytes = strcspn(word + blanks, " ");
        int width = columns_of(word + blanks, bytes);
        if (!first && column + (int)blanks + width > LINE_WIDTH) {
            fprintf(out, "\n%*s", indent, "");
            column = indent;
        } else {
            fprintf(out, "%*s", (int)blanks, "");
            column += (int)blanks;
        }
        fprintf(out, "%.*s", (int)bytes, word + blanks);
        column += width;
        word += blanks + bytes;
        first = false;
    }
    fputc('\n', out);
}

void sx_lines_line(FILE *out, const char *format, ...) {
    char text[LINES_TEXT];
    SX_PLAIN_NUMBERS;
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(text, sizeof text, format, arguments);
    va_end(arguments);
    sx_lines_wrap(out, 0, 2, text);
}

void sx_phrase_add(Phrase *phrase, const char *format, ...) {
    SX_PLAIN_NUMBERS;
    va_list arguments;
    va_start(arguments, format);
    size_t room = sizeof phrase->text - phrase->used;
    int length = vsnprintf(phrase->text + phrase->used, room, format, arguments);
    va_end(arguments);
    if (length > 0) {
        phrase->used += (size_t)length < room ? (size_t)length : room - 1;
    }
}

void sx_phrase_player(Phrase *phrase, const SxTeam *team, int player) {
    if (player >= 0) {
        sx_phrase_add(phrase, "#%d %s", team->players[player].number, team->players[player].name);
    } else {
        sx_phrase_add(phrase, "nobody");
    }
}

void sx_phrase_numbers(Phrase *phrase, const SxTeam *team, const int *player, int count) {
    for (int k = 0; k < count; k++) {
        sx_phrase_add(phrase, "%s%d", k ? " and " : "", team->players[player[k]].number);
    }
}

void sx_phrase_rotations(Phrase *phrase, unsigned rotations) {
    if (rotations == (1u << SX_ROTATIONS) - 1) {
        sx_phrase_add(phrase, "all rotations");
        return;
    }
    int left = 0;
    for (int r = 0; r < SX_ROTATIONS; r++) {
        left += rotations >> r & 1;
    }
    sx_phrase_add(phrase, left == 1 ? "rotation" : "rotations");
    const char *before = " ";
    for (int r = 0; r < SX_ROTATIONS; r++) {
        if (rotations >> r & 1) {
            sx_phrase_add(phrase, "%s%d", before, r + 1);
            before = --left == 1 ? " and " : ", ";
        }
    }
}

static const char *row_note(SxRow row) {
    return row == SX_FRONT ? " in the front row" : row == SX_BACK ? " in the back row" : "";
}

static void phrase_move(Phrase *phrase, const SxTeam *team, const SxMove *move) {
    static const char *const middle[] = {
        [SX_MOVE_REPLACES] = " for ",   [SX_MOVE_JOINS] = " comes in at the place of ",
        [SX_MOVE_SWAPS] = " and ",      [SX_MOVE_TAKES] = " moves to the place of ",
        [SX_MOVE_LEAVES] = " sits out", [SX_MOVE_LIBERO] = " is libero instead of ",
    };
    if (move->kind == SX_MOVE_LIBERO && (move->player < 0 || move->other < 0)) {
        sx_phrase_player(phrase, team, move->player < 0 ? move->other : move->player);
        sx_phrase_add(phrase, move->player < 0 ? " is no longer libero" : " is libero too");
        return;
    }
    if (move->kind == SX_MOVE_SWAPS) {
        sx_phrase_add(phrase, move->role == SX_ROLE_COUNT ? "swaps " : "swaps the %ss ",
                      move->role == SX_ROLE_COUNT ? "" : sx_role_name(move->role));
    }
    sx_phrase_player(phrase, team, move->player);
    sx_phrase_add(phrase, "%s", middle[move->kind]);
    if (move->kind != SX_MOVE_LEAVES) {
        sx_phrase_player(phrase, team, move->other);
        sx_phrase_add(phrase, "%s", row_note(move->row));
    }
}

void sx_phrase_moves(Phrase *phrase, const SxTeam *team, const SxDifference *difference) {
    for (int k = 0; k < difference->move_count; k++) {
        sx_phrase_add(phrase, k ? "; " : "");
        phrase_move(phrase, team, &difference->move[k]);
    }
}

void sx_phrase_terms(Phrase *phrase, const SxDifference *difference, int most) {
    int count = difference->term_count < most ? difference->term_count : most;
    bool told[SX_MAX_TERMS] = {false};
    for (int k = 0; k < count; k++) { /* terms in the same rotations are told together */
        const char *before = k ? "; " : "";
        for (int j = k; j < count && !told[k]; j++) {
            const SxPartTerm *term = &difference->term[j];
            if (!told[j] && term->rotations == difference->term[k].rotations) {
                sx_phrase_add(phrase, "%s%+.2f %s", before, term->points, sx_part_word(term->part));
                before = ", ";
                told[j] = j != k;
            }
        }
        if (!told[k]) {
            sx_phrase_add(phrase, " in ");
            sx_phrase_rotations(phrase, difference->term[k].rotations);
        }
    }
}

const char *sx_value_unit(const SxProblem *problem) {
    return problem->against ? "sets of 100" : "points";
}

void sx_phrase_unproven(Phrase *phrase, const SxProblem *problem, bool found, double bound) {
    sx_phrase_add(phrase, ": stopped early, %s",
                  found ? "the best found so far is shown" : "nothing found so far");
    if (isfinite(bound)) {
        sx_phrase_add(phrase, "; none has more than %.*f", sx_value_decimals(problem), bound);
    }
}

void sx_json_unproven(cJSON *object, double found, double bound) {
    if (isfinite(found)) {
        sx_put_number(object, "found", found);
    }
    if (isfinite(bound)) {
        sx_put_number(object, "at_most", bound);
    }
}

void sx_lines_unproven(FILE *out, const SxProblem *problem, const SxLineup *lineup) {
    if (lineup->proof != SX_FEASIBLE) {
        return;
    }
    sx_lines_line(out, "Stopped early: that is the best found so far; none has more than %.*f.",
                  sx_value_decimals(problem), sx_value_open(problem, lineup));
}

void sx_lines_plays_on(FILE *out, int indent, const SxLineup *lineup) {
    if (lineup->plays_on_open) {
        sx_lines_wrap(out, indent, indent,
                      "Whether to make its substitutions was not worked out in the time.");
    } else if (lineup->plays_on_as[0]) {
        Phrase none = {.used = 0};
        sx_phrase_add(&none, "Do not make its substitutions: it wins these by playing on as %s.",
                      lineup->plays_on_as);
        sx_lines_wrap(out, indent, indent, none.text);
    }
}

int sx_value_decimals(const SxProblem *problem) {
    return problem->against ? 1 : 3;
}

void sx_phrase_value(Phrase *phrase, const SxProblem *problem, double value) {
    sx_phrase_add(phrase, "%.*f", sx_value_decimals(problem), value);
}

void sx_phrase_order(Phrase *phrase, const SxProblem *problem, const SxLineup *lineup) {
    const SxPlayer *players = problem->team->players;
    for (int s = 0; s < SX_SLOTS; s++) {
        int front = lineup->order.front[s];
        int back = lineup->order.back[s];
        sx_phrase_add(phrase, "%s%d", s ? " " : "", players[back].number);
        if (front != back) {
            sx_phrase_add(phrase, "/%d", players[front].number);
        }
    }
    for (int k = 0; k < lineup->libero_count; k++) {
        sx_phrase_add(phrase, " L%d", players[lineup->liberos[k]].number);
    }
}

void sx_lines_caution(FILE *out) {
    fputs("\nRatings are opinions and some weights are invented; the competition's rule\n"
          "book and its referees prevail. Sixturn is no medical advice.\n",
          out);
}

const char *sx_part_word(SxPart part) {
    return part == SX_PART_RUN ? "moving" : sx_part_name(part);
}

const char *sx_estimated_mark(const SxPlayer *player) {
    return player->estimated ? " ~" : "";
}

void sx_lines_estimated(FILE *out, const SxTeam *team, const bool told[SX_MAX_PLAYERS]) {
    Phrase phrase = {.used = 0};
    for (int p = 0; p < team->player_count; p++) {
        const SxPlayer *who = &team->players[p];
        if (!told[p] || !who->estimated) {
            continue;
        }
        sx_phrase_add(&phrase, phrase.used ? "; #%d" : "~ estimated, not rated by you: #%d",
                      who->number);
        const bool all = who->estimated == (1u << SX_SKILL_COUNT) - 1;
        const char *between = " ";
        sx_phrase_add(&phrase, "%s", all ? " in everything" : "");
        for (int skill = 0; skill < SX_SKILL_COUNT && !all; skill++) {
            if (who->estimated >> skill & 1) {
                sx_phrase_add(&phrase, "%s%s", between, sx_skill_name((SxSkill)skill));
                between = ", ";
            }
        }
    }
    if (phrase.used) {
        sx_phrase_add(&phrase, ".");
        sx_lines_wrap(out, 2, 4, phrase.text);
    }
}

double sx_plain_value(double value, int decimals) {
    const double steps = pow(10, decimals);
    return round(value * steps) / steps + 0.0;
}

/* --- JSON ---------------------------------------------------------------------------------------
 */

/* Metres without what decimal fractions lose in binary. */
double sx_json_metres(double metres) {
    static const double grain = 1e-6;
    return round(metres / grain) / round(1 / grain) + 0.0;
}

void sx_json_player(cJSON *parent, const char *key, const SxTeam *team, int player) {
    if (player < 0) {
        sx_put_null(parent, key);
    } else {
        sx_put_text(parent, key, team->players[player].id);
    }
}

void sx_json_players(cJSON *parent, const char *key, const SxTeam *team, const int *players,
                     int count) {
    cJSON *list = sx_put_array(parent, key);
    for (int k = 0; k < count; k++) {
        sx_push(list, cJSON_CreateString(team->players[players[k]].id));
    }
}

double sx_mean_part(const SxLineup *lineup, SxPart part) {
    double mean = 0;
    for (int r = 0; r < SX_ROTATIONS; r++) {
        mean += lineup->rotation[r].weight * lineup->rotation[r].part[part];
    }
    return mean;
}

void sx_json_lineup(cJSON *parent, const SxProblem *problem, const SxLineup *lineup) {
    if (problem->against) {
        sx_put_number(parent, "sets", SX_SETS * lineup->win);
    }
    sx_put_number(parent, "score", lineup->score);
    sx_put_text(parent, "system", problem->system->id);
    cJSON *order = sx_put_array(parent, "order");
    for (int s = 0; s < SX_SLOTS; s++) {
        cJSON *slot = cJSON_CreateObject();
        sx_put_number(slot, "slot", s);
        sx_json_player(slot, "front", problem->team, lineup->order.front[s]);
        sx_json_player(slot, "back", problem->team, lineup->order.back[s]);
        sx_push(order, slot);
    }
    sx_json_players(parent, "libero", problem->team, lineup->liberos, lineup->libero_count);
    sx_put_number(parent, "weak_rotation", sx_weak_rotation(lineup) + 1);
    cJSON *parts = sx_put_object(parent, "parts");
    for (int k = 0; k < SX_PARTS; k++) {
        sx_put_number(parts, sx_part_name((SxPart)k), sx_mean_part(lineup, (SxPart)k));
    }
    cJSON *rotations = sx_put_array(parent, "rotation_scores");
    for (int r = 0; r < SX_ROTATIONS; r++) {
        sx_push(rotations, cJSON_CreateNumber(lineup->rotation[r].score));
    }
}

static void json_terms(cJSON *parent, const SxDifference *difference) {
    cJSON *terms = sx_put_array(parent, "terms");
    for (int k = 0; k < difference->term_count; k++) {
        const SxPartTerm *term = &difference->term[k];
        cJSON *item = sx_push_object(terms);
        sx_put_text(item, "part", sx_part_name(term->part));
        sx_put_number(item, "points", term->points);
        sx_put_number(item, "share", term->share);
        cJSON *list = sx_put_array(item, "rotations");
        for (int r = 0; r < SX_ROTATIONS; r++) {
            if (term->rotations >> r & 1) {
                sx_push(list, cJSON_CreateNumber(r + 1));
            }
        }
    }
}

void sx_json_difference(cJSON *parent, const char *key, const SxProblem *problem,
                        const SxDifference *difference) {
    static const char *const kinds[] = {
        [SX_MOVE_REPLACES] = "replaces", [SX_MOVE_JOINS] = "joins",   [SX_MOVE_SWAPS] = "swaps",
        [SX_MOVE_TAKES] = "takes",       [SX_MOVE_LEAVES] = "leaves", [SX_MOVE_LIBERO] = "libero",
    };
    cJSON *object = sx_put_object(parent, key);
    sx_put_number(object, "score", difference->score);
    cJSON *moves = sx_put_array(object, "moves");
    for (int k = 0; k < difference->move_count; k++) {
        const SxMove *move = &difference->move[k];
        cJSON *item = sx_push_object(moves);
        sx_put_text(item, "kind", kinds[move->kind]);
        sx_json_player(item, "player", problem->team, move->player);
        sx_json_player(item, "other", problem->team, move->other);
        if (move->row != SX_ROWS) {
            sx_put_text(item, "row", move->row == SX_FRONT ? "front" : "back");
        }
    }
    cJSON *rotations = sx_put_array(object, "rotations");
    for (int r = 0; r < SX_ROTATIONS; r++) {
        sx_push(rotations, cJSON_CreateNumber(difference->rotation[r]));
    }
    json_terms(object, difference);
}

char *sx_json_finish(cJSON *root) {
    return sx_put_print(root);
}
