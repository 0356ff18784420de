/* A roster from a spreadsheet (CSV, RFC 4180) as the text of a team file. */
#include "sixturn/csv.h"

#include "core/jsonread.h"
#include "core/numbers.h"
#include "core/stream.h"
#include "core/text.h"
#include "sixturn/team.h"

#include <math.h>
#include <stdarg.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { MOST_CELLS = 32, FIRST_BEYOND_ASCII = 0x80, LEAST_PLAYERS = SX_SLOTS };

static const char byte_order_mark[] = "\xef\xbb\xbf";

/* The columns; skills follow in the order of SxSkill. */
enum { COLUMN_ID, COLUMN_NAME, COLUMN_NUMBER, COLUMN_ROLES, COLUMN_AVAILABLE, COLUMN_SKILLS };
enum { COLUMNS = COLUMN_SKILLS + SX_SKILL_COUNT };

static const char *column_name(int column) {
    static const char *const names[COLUMN_SKILLS] = {"id", "name", "number", "roles", "available"};
    return column < COLUMN_SKILLS ? names[column]
                                  : sx_skill_name((SxSkill)(column - COLUMN_SKILLS));
}

typedef struct {
    char *text;    /* decoded, trimmed, in the reader's buffer */
    size_t offset; /* in the file, for errors */
} Cell;

/* The first error sticks, as in the JSON reader. */
typedef struct {
    const char *file, *text;
    size_t at, length;
    char separator;
    char *buffer; /* of one row */
    Cell cell[MOST_CELLS];
    int cells;
    int place[COLUMNS]; /* the cell of each column, -1 if the file has none */
    SxError *err;
    SxStatus status;
} Csv;

__attribute__((format(printf, 4, 5))) static void fail(Csv *csv, size_t offset, const char *column,
                                                       const char *format, ...) {
    if (csv->status) {
        return;
    }
    csv->status = SX_BAD_INPUT;
    if (!csv->err) {
        return;
    }
    sx_text_blame(csv->err, csv->file);
    sx_text_position(csv->text, offset, &csv->err->line, &csv->err->column);
    snprintf(csv->err->path, sizeof csv->err->path, "%s", column);
    csv->err->status = SX_BAD_INPUT;
    va_list args;
    va_start(args, format);
    vsnprintf(csv->err->message, sizeof csv->err->message, format, args);
    va_end(args);
}

/* Rows and cells, RFC 4180 section 2. */

static bool at_row_end(const Csv *csv) {
    char c = csv->text[csv->at];
    return csv->at >= csv->length || c == '\n' || (c == '\r' && csv->text[csv->at + 1] == '\n');
}

static size_t quoted_cell(Csv *csv, char *out) {
    size_t start = csv->at++, used = 0;
    for (; csv->at < csv->length; csv->at++) {
        if (csv->text[csv->at] == '"') {
            if (csv->text[csv->at + 1] != '"') {
                csv->at++;
                return used;
            }
            csv->at++;
        }
        out[used++] = csv->text[csv->at];
    }
    fail(csv, start, "", "the quote that opens here is never closed");
    return used;
}

static size_t plain_cell(Csv *csv, char *out) {
    size_t used = 0;
    while (!at_row_end(csv) && csv->text[csv->at] != csv->separator) {
        if (csv->text[csv->at] == '"') {
            fail(csv, csv->at, "",
                 "a quote inside a field; such a field stands in quotes, and the "
                 "quote is doubled");
            return used;
        }
        out[used++] = csv->text[csv->at++];
    }
    return used;
}

static void trim(Cell *cell, size_t size) {
    while (size > 0 && cell->text[size - 1] == ' ') {
        size--;
    }
    cell->text[size] = '\0';
    cell->text += strspn(cell->text, " ");
}

static void read_cell(Csv *csv, size_t *used) {
    Cell *cell = &csv->cell[csv->cells++];
    *cell = (Cell){csv->buffer + *used, csv->at};
    size_t size =
        csv->text[csv->at] == '"' ? quoted_cell(csv, cell->text) : plain_cell(csv, cell->text);
    *used += size + 1;
    trim(cell, size);
    if (!csv->status && !at_row_end(csv) && csv->text[csv->at] != csv->separator) {
        fail(csv, csv->at, "", "expected '%c' or the end of the row after the closing quote",
             csv->separator);
    }
}

/* False at the end of the file and after an error. */
static bool read_row(Csv *csv) {
    size_t used = 0;
    csv->cells = 0;
    if (csv->status || csv->at >= csv->length) {
        return false;
    }
    for (;;) {
        if (csv->cells == MOST_CELLS) {
            fail(csv, csv->at, "", "a row has more than %d fields", MOST_CELLS);
            return false;
        }
        read_cell(csv, &used);
        if (csv->status) {
            return false;
        }
        if (at_row_end(csv)) {
            break;
        }
        csv->at++; /* the separator */
    }
    csv->at += csv->text[csv->at] == '\r' ? 1 : 0;
    csv->at += csv->at < csv->length ? 1 : 0;
    return true;
}

static bool is_empty_row(const Csv *csv) {
    for (int i = 0; i < csv->cells; i++) {
        if (csv->cell[i].text[0]) {
            return false;
        }
    }
    return true;
}

/* The header. */

static int find_column(const char *word) {
    for (int c = 0; c < COLUMNS; c++) {
        if (sx_text_distance(word, column_name(c)) == 0) {
            return c;
        }
    }
    return -1;
}

static void unknown_column(Csv *csv, const Cell *cell) {
    SxNearest nearest = {cell->text, NULL, 0};
    char cut[SX_QUOTE_SIZE], hint[SX_QUOTE_SIZE];
    for (int c = 0; c < COLUMNS; c++) {
        sx_text_consider(&nearest, column_name(c));
    }
    fail(csv, cell->offset, sx_text_cut(cell->text, cut, sizeof cut),
         "there is no such column%s; allowed: id, name, number, roles, available, passing, "
         "setting, attacking, blocking, serving, digging",
         sx_json_hint(nearest.best, hint, sizeof hint));
}

static void read_header(Csv *csv) {
    size_t row_end = csv->at + strcspn(csv->text + csv->at, "\n");
    bool semicolons = memchr(csv->text + csv->at, ';', row_end - csv->at) != NULL;
    csv->separator = semicolons ? ';' : ',';
    if (!read_row(csv)) {
        fail(csv, csv->at, "", "the file is empty; expected a row with the names of the columns");
        return;
    }
    for (int c = 0; c < COLUMNS; c++) {
        csv->place[c] = -1;
    }
    for (int i = 0; i < csv->cells && !csv->status; i++) {
        int column = find_column(csv->cell[i].text);
        if (column < 0) {
            unknown_column(csv, &csv->cell[i]);
        } else if (csv->place[column] >= 0) {
            fail(csv, csv->cell[i].offset, column_name(column), "this column is given twice");
        } else {
            csv->place[column] = i;
        }
    }
    for (int c = 0; c < COLUMNS; c++) {
        if (csv->place[c] < 0 && c != COLUMN_ID && c != COLUMN_AVAILABLE) {
            fail(csv, 0, column_name(c), "this column is missing in the first row");
        }
    }
}

/* The players. */

static const Cell *cell_of(const Csv *csv, int column) {
    static const Cell empty = {"", 0};
    return csv->place[column] < 0 ? &empty : &csv->cell[csv->place[column]];
}

__attribute__((format(printf, 3, 4))) static void wrong(Csv *csv, int column, const char *format,
                                                        ...) {
    char wanted[SX_ERROR_PATH], cut[SX_QUOTE_SIZE];
    const Cell *cell = cell_of(csv, column);
    va_list args;
    va_start(args, format);
    vsnprintf(wanted, sizeof wanted, format, args);
    va_end(args);
    fail(csv, cell->offset, column_name(column), "expected %s, found \"%s\"", wanted,
         sx_text_cut(cell->text, cut, sizeof cut));
}

/* Digits with at most one decimal point (or comma where semicolons separate); nothing else that
 * strtod would take. */
static bool read_decimal(const char *text, bool comma, double *out) {
    char plain[SX_JSON_NUMBER_SIZE];
    size_t length = strlen(text), used = 0;
    int points = 0, digits = 0;
    for (; used < length && used < sizeof plain - 1; used++) {
        char c = text[used];
        bool point = c == '.' || (comma && c == ',');
        if (!point && (c < '0' || c > '9')) {
            return false;
        }
        points += point;
        digits += !point;
        plain[used] = point ? '.' : c;
    }
    plain[used] = '\0';
    *out = atof(plain);
    return used == length && digits > 0 && points <= 1;
}

static void read_text(Csv *csv, int column, char *out, size_t size) {
    const char *text = cell_of(csv, column)->text;
    if (text[0] == '\0' || strlen(text) >= size || sx_text_has_control(text)) {
        wrong(csv, column, "a text of 1 to %zu bytes without line ends or tabs", size - 1);
        return;
    }
    memcpy(out, text, strlen(text));
}

static void read_number(Csv *csv, int *number) {
    const char *text = cell_of(csv, COLUMN_NUMBER)->text;
    double value = -1;
    text += text[0] == '#';
    if (!read_decimal(text, false, &value) || strchr(text, '.') || value > SX_MAX_SHIRT) {
        wrong(csv, COLUMN_NUMBER, "a shirt number from 0 to %d", SX_MAX_SHIRT);
        return;
    }
    *number = (int)value;
}

static void read_roles(Csv *csv, double *fitness) {
    char *word = cell_of(csv, COLUMN_ROLES)->text;
    int count = 0;
    for (word += strspn(word, " /"); *word; word += strspn(word, " /"), count++) {
        size_t size = strcspn(word, " /");
        int role = 0;
        while (role < SX_ROLE_COUNT && (strlen(sx_role_name((SxRole)role)) != size ||
                                        strncmp(sx_role_name((SxRole)role), word, size) != 0)) {
            role++;
        }
        if (role == SX_ROLE_COUNT) {
            break;
        }
        fitness[role] = 1.0;
        word += size;
    }
    if (*word || count == 0) {
        wrong(csv, COLUMN_ROLES,
              "roles among setter, outside, middle, opposite, libero, "
              "specialist, separated by spaces or '/'");
    }
}

static void read_available(Csv *csv, bool *available) {
    static const char *const words[] = {"yes", "no", "true", "false", "1", "0"};
    const char *text = cell_of(csv, COLUMN_AVAILABLE)->text;
    *available = true;
    if (text[0] == '\0') {
        return;
    }
    for (int i = 0; i < 6; i++) {
        if (sx_text_distance(text, words[i]) == 0) {
            *available = i % 2 == 0;
            return;
        }
    }
    wrong(csv, COLUMN_AVAILABLE, "yes, no, true, false, 1, 0 or nothing");
}

static void read_skills(Csv *csv, double *skill) {
    for (int i = 0; i < SX_SKILL_COUNT; i++) {
        double value = -1;
        const Cell *cell = cell_of(csv, COLUMN_SKILLS + i);
        if (!read_decimal(cell->text, csv->separator == ';', &value) || value > SX_SKILL_MAX) {
            wrong(csv, COLUMN_SKILLS + i, "a number from 0 to %g", SX_SKILL_MAX);
            return;
        }
        skill[i] = value;
    }
}

/* An id from the name: small letters, '-' for all that is no letter or digit. */
static void id_from_name(const SxPlayer *player, char *id, size_t size) {
    static const char *const spelled[][2] = {{"ä", "ae"}, {"ö", "oe"}, {"ü", "ue"}, {"ß", "ss"},
                                             {"Ä", "ae"}, {"Ö", "oe"}, {"Ü", "ue"}};
    size_t used = 0;
    for (const char *c = player->name; *c && used + 3 < size;) {
        const char *put = NULL;
        for (size_t i = 0; i < sizeof spelled / sizeof spelled[0] && !put; i++) {
            put = strncmp(c, spelled[i][0], 2) == 0 ? spelled[i][1] : NULL;
        }
        if (put) {
            memcpy(id + used, put, 2);
            used += 2;
            c += 2;
            continue;
        }
        bool capital = *c >= 'A' && *c <= 'Z';
        bool keep = capital || (*c >= 'a' && *c <= 'z') || (*c >= '0' && *c <= '9') ||
                    (unsigned char)*c >= FIRST_BEYOND_ASCII;
        if (keep) {
            id[used++] = (char)(capital ? *c - 'A' + 'a' : *c);
        } else if (used > 0 && id[used - 1] != '-') {
            id[used++] = '-';
        }
        c++;
    }
    while (used > 0 && id[used - 1] == '-') {
        used--;
    }
    while (used > 0 && !sx_text_is_utf8(id, used, NULL)) {
        used--; /* a character that the size cut in two */
    }
    id[used] = '\0';
}

static bool is_player_id(const char *id) {
    return id[0] && sx_id_is_word(id) && strspn(id, "0123456789") < strlen(id);
}

static bool id_is_taken(const SxPlayer *players, int count, const char *id) {
    for (int p = 0; p < count; p++) {
        if (strcmp(players[p].id, id) == 0) {
            return true;
        }
    }
    return false;
}

static void read_id(Csv *csv, const SxPlayer *players, int count, SxPlayer *player) {
    if (cell_of(csv, COLUMN_ID)->text[0]) {
        read_text(csv, COLUMN_ID, player->id, sizeof player->id);
        if (id_is_taken(players, count, player->id)) {
            wrong(csv, COLUMN_ID, "an id that no other player has");
        } else if (!is_player_id(player->id)) {
            wrong(csv, COLUMN_ID, "a word of letters, digits, '-', '_' and '.', that is no number");
        }
        return;
    }
    char id[SX_ID_SIZE - 16]; /* room for what may be added */
    id_from_name(player, id, sizeof id);
    memcpy(player->id, id, sizeof id);
    if (!is_player_id(id) || id_is_taken(players, count, id)) {
        snprintf(player->id, sizeof player->id, "%s-%d", id[0] ? id : "player", player->number);
    }
}

static void check_number(Csv *csv, const SxPlayer *players, int count, const SxPlayer *player) {
    for (int p = 0; p < count; p++) {
        if (players[p].number == player->number) {
            fail(csv, cell_of(csv, COLUMN_NUMBER)->offset, column_name(COLUMN_NUMBER),
                 "the shirt number %d is also that of %s", player->number, players[p].name);
        }
    }
}

static void read_player(Csv *csv, const SxPlayer *players, int count, SxPlayer *player) {
    read_text(csv, COLUMN_NAME, player->name, sizeof player->name);
    read_number(csv, &player->number);
    check_number(csv, players, count, player);
    read_roles(csv, player->fitness);
    read_available(csv, &player->available);
    read_skills(csv, player->skill);
    if (!csv->status) {
        read_id(csv, players, count, player);
    }
}

static int read_players(Csv *csv, SxPlayer *players, int columns) {
    int count = 0;
    while (read_row(csv)) {
        if (is_empty_row(csv)) {
            continue;
        }
        size_t start = csv->cell[0].offset;
        if (csv->cells != columns) {
            fail(csv, start, "", "this row has %d fields, the first row has %d", csv->cells,
                 columns);
        } else if (count == SX_MAX_PLAYERS) {
            fail(csv, start, "", "a team has at most %d players", SX_MAX_PLAYERS);
        } else {
            memset(&players[count], 0, sizeof players[count]);
            read_player(csv, players, count, &players[count]);
            count++;
        }
    }
    if (count < LEAST_PLAYERS) {
        fail(csv, csv->length, "", "a team has at least %d players, found %d", LEAST_PLAYERS,
             count);
    }
    return count;
}

/* The team file. */

static char *quoted(const char *text) {
    cJSON *item = cJSON_CreateString(text);
    char *out = item ? cJSON_PrintUnformatted(item) : NULL;
    cJSON_Delete(item);
    return out;
}

static bool write_player(const SxPlayer *player, FILE *out) {
    char *id = quoted(player->id), *name = quoted(player->name);
    if (id && name) {
        const char *comma = "";
        fprintf(out, "    {\"id\": %s, \"name\": %s, \"number\": %d, \"roles\": [", id, name,
                player->number);
        for (int i = 0; i < SX_ROLE_COUNT; i++) {
            if (player->fitness[i] > 0) {
                fprintf(out, "%s\"%s\"", comma, sx_role_name((SxRole)i));
                comma = ", ";
            }
        }
        fprintf(out, "], \"available\": %s,\n     \"skills\": {",
                player->available ? "true" : "false");
        for (int i = 0; i < SX_SKILL_COUNT; i++) {
            fprintf(out, "%s\"%s\": %.10g", i ? ", " : "", sx_skill_name((SxSkill)i),
                    player->skill[i]);
        }
        fputs("}}", out);
    }
    bool written = id && name;
    cJSON_free(id);
    cJSON_free(name);
    return written;
}

static SxStatus write_team(const SxPlayer *players, int count, const char *team_name, char **json,
                           SxError *err) {
    SxStream stream;
    char *name = quoted(team_name);
    bool written = name && sx_stream_open(&stream);
    char *text = NULL;
    if (written) {
        FILE *out = stream.out;
        fprintf(out, "{\n  \"format\": \"sixturn-team-1\",\n  \"name\": %s,\n  \"players\": [\n",
                name);
        for (int p = 0; p < count && written; p++) {
            written = write_player(&players[p], out);
            fputs(p + 1 < count ? ",\n" : "\n", out);
        }
        fputs("  ]\n}\n", out);
        text = sx_stream_close(&stream);
        written = text && written;
    }
    cJSON_free(name);
    if (!written) {
        free(text);
        return sx_out_of_memory(err);
    }
    *json = text;
    return SX_OK;
}

static void read_table(Csv *csv, SxPlayer *players, int *count) {
    size_t bad = 0;
    if (memchr(csv->text, '\0', csv->length)) {
        fail(csv, 0, "", "a zero byte; this is no text file (save the sheet as CSV)");
    } else if (!sx_text_is_utf8(csv->text, csv->length, &bad)) {
        fail(csv, bad, "", "not UTF-8 text; save the sheet as CSV with the encoding UTF-8");
    }
    if (csv->status) {
        return;
    }
    csv->at = strncmp(csv->text, byte_order_mark, 3) == 0 ? 3 : 0;
    read_header(csv);
    int columns = csv->cells;
    *count = csv->status ? 0 : read_players(csv, players, columns);
}

SxStatus sx_team_from_csv(const char *text, size_t length, const char *file, const char *team_name,
                          char **json, SxError *err) {
    SX_PLAIN_NUMBERS;
    if (length > SX_FILE_LIMIT) {
        sx_text_blame(err, file);
        return sx_fail(err, SX_BAD_INPUT, "the text is larger than the %d MiB allowed",
                       SX_FILE_LIMIT / (1024 * 1024));
    }
    SxPlayer players[SX_MAX_PLAYERS];
    int count = 0;
    char *copy = malloc(length + 1), *buffer = malloc(length + MOST_CELLS + 1);
    Csv csv = {.file = file, .text = copy, .length = length, .buffer = buffer, .err = err};
    if (copy && buffer) {
        if (length > 0) {
            memcpy(copy, text, length);
        }
        copy[length] = '\0';
        read_table(&csv, players, &count);
    } else {
        csv.status = sx_out_of_memory(err);
    }
    free(copy);
    free(buffer);
    return csv.status ? csv.status : write_team(players, count, team_name, json, err);
}

SxStatus sx_team_read_csv(const char *file, const char *team_name, char **json, SxError *err) {
    char *text = NULL;
    size_t length = 0;
    SxStatus status = sx_text_read_file(file, &text, &length, err);
    if (status == SX_OK) {
        status = sx_team_from_csv(text, length, file, team_name, json, err);
    }
    free(text);
    return status;
}
