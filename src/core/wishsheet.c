/* Wishes and connections as a sheet: who, wish, whom, value. */
#include "core/wishsheet.h"

#include "core/jsonread.h"
#include "core/numbers.h"
#include "core/stream.h"
#include "core/text.h"
#include "core/words.h"
#include "sixturn/wishes.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { CONNECTION = SX_WISH_KINDS, SHEET_WISHES };

typedef struct {
    SxMeaning word;
    bool whom; /* it is about two players */
    double low, high;
    const char *says, *json, *row; /* the guide */
} WishWords;

/* A wish without a value has low > high. The words are ours. */
#define NO_VALUE .low = 1, .high = 0

/* The last, which is about the team, is no wish of the plan. */
static const WishWords wishes[SHEET_WISHES] = {
#define WISH(kind, key, reader, sentence, rows, check, about, ...) [kind] = {__VA_ARGS__},
#include "core/wish_table.h"
#undef WISH
    [CONNECTION] = {{"connection", "connection|connections|link|bonus"},
                    .whom = true,
                    .low = -SX_BONUS_MAX,
                    .high = SX_BONUS_MAX,
                    .says = "who sets for whom, and the points it adds to that hitter's attacking; "
                            "it belongs to the team file: sixturn import SHEET --into TEAM.json",
                    .json = "{\"setter\": 1, \"hitter\": 7, \"bonus\": 0.5}",
                    .row = "1, connection, 7, 0.5"},
};

typedef enum { WHO, WISH, WHOM, VALUE, COLUMNS } Column;
static const SxMeaning columns[COLUMNS] = {{"who", "who|player|name|number|no"},
                                           {"wish", "wish|wishes|want|what"},
                                           {"whom", "whom|other|with|partner|withwhom"},
                                           {"value", "value|points|rotations"}};

typedef struct {
    const SxGrid *grid;
    const SxTeam *team;
    SxProblems *problems;
    int place[COLUMNS];
    int row;
} Sheet;

bool sx_is_sheet_name(const char *file) {
    static const char *const endings[] = {".csv", ".tsv", ".txt", ".xlsx", ".ods"};
    const char *dot = file ? strrchr(file, '.') : NULL;
    for (size_t i = 0; dot && i < sizeof endings / sizeof endings[0]; i++) {
        if (sx_text_distance(dot, endings[i]) == 0) {
            return true;
        }
    }
    return false;
}

/* Where each column stands in the first row; true if it has the two that every wish needs. */
static bool read_headings(const SxGrid *grid, int *place) {
    for (int c = 0; c < COLUMNS; c++) {
        place[c] = -1;
    }
    for (int c = 0; grid->count > 0 && c < grid->row[0].count; c++) {
        int meaning = sx_meaning(sx_grid_cell(grid, 0, c), columns, COLUMNS);
        if (meaning >= 0 && place[meaning] < 0) {
            place[meaning] = c;
        }
    }
    return place[WHO] >= 0 && place[WISH] >= 0;
}

bool sx_is_wish_sheet(const SxGrid *grid) {
    int place[COLUMNS];
    return read_headings(grid, place);
}

static const char *text_of(const Sheet *sheet, Column column) {
    return sx_grid_cell(sheet->grid, sheet->row, sheet->place[column]);
}

__attribute__((format(printf, 3, 4))) static void wrong(const Sheet *sheet, Column column,
                                                        const char *format, ...) {
    char text[SX_ERROR_MESSAGE];
    va_list args;
    va_start(args, format);
    vsnprintf(text, sizeof text, format, args);
    va_end(args);
    sx_problem(sheet->problems, sheet->grid->row[sheet->row].number, sheet->place[column],
               columns[column].name, "%s", text);
}

/* Whether a name has this word in it, in any case. */
static bool has_word(const char *name, const char *word) {
    char part[SX_NAME_SIZE];
    while (*(name += strspn(name, " "))) {
        size_t length = strcspn(name, " ");
        snprintf(part, sizeof part, "%.*s", (int)length, name);
        if (sx_text_distance(part, word) == 0) {
            return true;
        }
        name += length;
    }
    return false;
}

/* By id or shirt number, by the whole name, or by a part of it that nobody else has. */
static int find_player(const SxTeam *team, const char *text) {
    int found = sx_team_find(team, text), holders = 0;
    for (int p = 0; p < team->player_count && found < 0; p++) {
        found = sx_text_distance(team->players[p].name, text) == 0 ? p : -1;
    }
    int part = -1;
    for (int p = 0; p < team->player_count; p++) {
        if (has_word(team->players[p].name, text)) {
            part = p;
            holders++;
        }
    }
    return found < 0 && holders == 1 ? part : found;
}

static int read_player(const Sheet *sheet, Column column) {
    const char *text = text_of(sheet, column);
    int player = text[0] ? find_player(sheet->team, text) : -1;
    if (player < 0) {
        char cut[SX_QUOTE_SIZE], hint[SX_QUOTE_SIZE];
        wrong(sheet, column, "expected a player's number, name or id, found \"%s\"%s",
              sx_text_cut(text, cut, sizeof cut),
              sx_json_hint(text[0] ? sx_team_nearest(sheet->team, text) : NULL, hint, sizeof hint));
    }
    return player;
}

static bool says_everybody(const char *text) {
    static const SxMeaning everybody = {"everybody", "everybody|everyone|all|team"};
    return sx_meaning(text, &everybody, 1) == 0;
}

static bool read_value(const Sheet *sheet, const WishWords *wish, bool whole, double *value) {
    char plain[SX_JSON_NUMBER_SIZE], *end = plain;
    const char *text = text_of(sheet, VALUE);
    snprintf(plain, sizeof plain, "%s", text);
    for (char *c = plain; *c; c++) {
        *c = *c == ',' ? '.' : *c;
    }
    SX_PLAIN_NUMBERS;
    bool digits = strspn(plain, "+-.0123456789") == strlen(plain);
    *value = digits ? strtod(plain, &end) : 0;
    if (!digits || end == plain || *end || *value < wish->low || *value > wish->high ||
        (whole && *value != floor(*value))) {
        char cut[SX_QUOTE_SIZE];
        wrong(sheet, VALUE, "expected a %snumber from %g to %g, found \"%s\"",
              whole ? "whole " : "", wish->low, wish->high, sx_text_cut(text, cut, sizeof cut));
        return false;
    }
    return true;
}

static int read_wish(const Sheet *sheet) {
    SxMeaning words[SHEET_WISHES];
    char list[SX_ERROR_PATH * 2] = "", cut[SX_QUOTE_SIZE], hint[SX_QUOTE_SIZE];
    size_t used = 0;
    for (int w = 0; w < SHEET_WISHES; w++) {
        words[w] = wishes[w].word;
        used +=
            (size_t)snprintf(list + used, sizeof list - used, "%s%s", w ? ", " : "", words[w].name);
    }
    const char *text = text_of(sheet, WISH);
    int found = sx_meaning(text, words, SHEET_WISHES);
    if (found < 0) {
        wrong(sheet, WISH, "expected one of %s; found \"%s\"%s", list,
              sx_text_cut(text, cut, sizeof cut),
              sx_json_hint(sx_nearest_meaning(text, words, SHEET_WISHES), hint, sizeof hint));
    }
    return found;
}

static void check_connection(const Sheet *sheet, const SxWishRow *row) {
    if (sheet->team->players[row->player].fitness[SX_SETTER] <= 0) {
        wrong(sheet, WHO, "expected a player with the role setter, found %s",
              sheet->team->players[row->player].name);
    }
}

/* Fills the row; problems are told. who: SX_NOBODY for everybody and for the whole team. */
static void read_row(const Sheet *sheet, SxWishRow *row) {
    *row = (SxWishRow){.player = SX_NOBODY, .other = SX_NOBODY};
    row->row = sheet->grid->row[sheet->row].number;
    int w = read_wish(sheet);
    if (w < 0) {
        return;
    }
    bool everybody = w == SX_MIN_ROTATIONS && says_everybody(text_of(sheet, WHO));
    row->connection = w == CONNECTION;
    row->kind = row->connection ? SX_MUST_PLAY : (SxWishKind)w;
    if (w != SX_MAX_SUBSTITUTIONS && !everybody) {
        row->player = read_player(sheet, WHO);
    }
    if (wishes[w].whom) {
        row->other = read_player(sheet, WHOM);
    } else if (text_of(sheet, WHOM)[0]) {
        wrong(sheet, WHOM, "\"%s\" is about one player; expected nothing here",
              wishes[w].word.name);
    }
    if (wishes[w].whom && row->player >= 0 && row->player == row->other) {
        wrong(sheet, WHOM, "expected another player than who");
    }
    if (wishes[w].low <= wishes[w].high) {
        read_value(sheet, &wishes[w], !row->connection, &row->value);
    } else if (text_of(sheet, VALUE)[0]) {
        wrong(sheet, VALUE, "\"%s\" takes no value; expected nothing here", wishes[w].word.name);
    }
    if (w == SX_FIXED_SLOT) {
        row->value -= 1; /* slot 0 serves in rotation 1 */
    }
    if (row->connection && row->player >= 0) {
        check_connection(sheet, row);
    }
}

static void check_new(const Sheet *sheet, const SxWishRow *rows, int count) {
    const SxWishRow *row = &rows[count];
    for (int i = 0; i < count; i++) {
        if (rows[i].connection == row->connection && rows[i].kind == row->kind &&
            rows[i].player == row->player && rows[i].other == row->other) {
            wrong(sheet, WISH, "this is also said in row %d", rows[i].row);
        }
    }
}

int sx_wish_rows(const SxGrid *grid, const SxTeam *team, SxProblems *problems, SxWishRow *rows) {
    Sheet sheet = {.grid = grid, .team = team, .problems = problems};
    int count = 0;
    if (!read_headings(grid, sheet.place)) {
        sx_problem(problems, grid->count ? grid->row[0].number : 0, -1, NULL,
                   "the first row must name the columns: who, wish, whom, value");
        return 0;
    }
    for (sheet.row = 1; sheet.row < grid->count; sheet.row++) {
        if (count == SX_MAX_WISH_ROWS) {
            sx_problem(problems, grid->row[sheet.row].number, -1, NULL,
                       "a sheet holds at most %d wishes and connections", SX_MAX_WISH_ROWS);
            return count;
        }
        int before = problems->lines.count;
        read_row(&sheet, &rows[count]);
        if (problems->lines.count == before) {
            check_new(&sheet, rows, count);
        }
        count += problems->lines.count == before;
    }
    return count;
}

/* As a plan. */

static bool must_sit(const SxWishRow *rows, int count, int player) {
    for (int i = 0; i < count; i++) {
        if (!rows[i].connection && rows[i].kind == SX_MUST_SIT && rows[i].player == player) {
            return true;
        }
    }
    return false;
}

static SxStatus add_everybody(const SxWishRow *rows, int count, const SxWishRow *row,
                              const char *origin, const SxTeam *team, SxPlan *plan, SxError *err) {
    SxStatus status = SX_OK;
    for (int p = 0; p < team->player_count && status == SX_OK; p++) {
        if (team->players[p].available && !must_sit(rows, count, p)) {
            status = sx_plan_wish(plan, row->kind, p, SX_NOBODY, (int)row->value, origin, err);
        }
    }
    return status;
}

static SxStatus add_wishes(const SxWishRow *rows, int count, const SxTeam *team, SxPlan *plan,
                           SxError *err) {
    SxStatus status = SX_OK;
    for (int i = 0; i < count && status == SX_OK; i++) {
        const SxWishRow *row = &rows[i];
        char origin[SX_WISH_ORIGIN];
        snprintf(origin, sizeof origin, "row %d of the wishes", row->row);
        if (row->connection) {
            continue;
        }
        status = row->kind == SX_MIN_ROTATIONS && row->player < 0
                     ? add_everybody(rows, count, row, origin, team, plan, err)
                     : sx_plan_wish(plan, row->kind, row->player, row->other, (int)row->value,
                                    origin, err);
    }
    return status;
}

SxStatus sx_wishes_parse(const char *data, size_t length, const char *file, const SxTeam *team,
                         SxPlan *plan, SxError *err) {
    SxGrid grid;
    SxProblems problems = {.file = file};
    SxWishRow *rows = calloc(SX_MAX_WISH_ROWS, sizeof *rows);
    SxPlan *fresh = malloc(sizeof *fresh);
    SxStatus status = sx_grid_read(data, length, file, &grid, err);
    if (status == SX_OK && (!rows || !fresh)) {
        status = sx_out_of_memory(err);
    }
    if (status == SX_OK) {
        int count = sx_wish_rows(&grid, team, &problems, rows);
        status = sx_problems_status(&problems, err);
        sx_plan_default(fresh);
        status = status == SX_OK ? add_wishes(rows, count, team, fresh, err) : status;
        status = status == SX_USAGE ? SX_BAD_INPUT : status; /* too many wishes */
    }
    if (status == SX_OK) {
        *plan = *fresh;
    }
    sx_grid_free(&grid);
    sx_problems_free(&problems);
    free(fresh);
    free(rows);
    return status;
}

/* The guide. */

enum { WIDTH = 78, INDENT = 4 };

/* A paragraph, wrapped between words. */
static void put_paragraph(FILE *out, const char *text) {
    int used = fprintf(out, "%*s", INDENT, "");
    bool fresh = true;
    while (*text) {
        int length = (int)strcspn(text, " ");
        if (!fresh && used + 1 + length > WIDTH) {
            fputc('\n', out);
            used = fprintf(out, "%*s", INDENT, "");
            fresh = true;
        }
        used += fprintf(out, "%s%.*s", fresh ? "" : " ", length, text);
        fresh = false;
        text += length;
        text += strspn(text, " ");
    }
    fputc('\n', out);
}

char *sx_wishes_guide(void) {
    SxStream stream;
    if (!sx_stream_open(&stream)) {
        return NULL;
    }
    fputs("Wishes hold whatever they cost. In a plan file they stand under \"wishes\"; in a\n"
          "sheet (CSV, .xlsx or .ods) each is a row under the headings who, wish, whom,\n"
          "value. Both are given with --plan. A player is named by shirt number, by id or,\n"
          "in a sheet, by name. The numbers here are only examples.\n",
          stream.out);
    for (int w = 0; w < SHEET_WISHES; w++) {
        fprintf(stream.out, "\n%s\n", wishes[w].word.name);
        put_paragraph(stream.out, wishes[w].says);
        fprintf(stream.out, "%*s%s  %s\n%*ssheet      %s\n", INDENT, "",
                w == CONNECTION ? "team file" : "plan file", wishes[w].json, INDENT, "",
                wishes[w].row);
    }
    return sx_stream_close(&stream);
}
