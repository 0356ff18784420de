/* A roster read from a sheet: headings by their common names, every problem in one pass. */
#include "core/roster.h"

#include "core/jsonread.h"
#include "core/numbers.h"
#include "core/text.h"
#include "core/words.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum {
    COLUMN_NAME,
    COLUMN_FIRST,
    COLUMN_LAST,
    COLUMN_NUMBER,
    COLUMN_ROLES,
    COLUMN_ID,
    COLUMN_AVAILABLE,
    COLUMN_SIDES,
    COLUMN_SKILLS,
    COLUMNS = COLUMN_SKILLS + SX_SKILL_COUNT
};

enum {
    LEAST_HEADINGS = 3, /* known words that make a row the headings */
    LEAST_PLAYERS = SX_SLOTS
};

/* Common practice, no source. */
static const SxMeaning columns[COLUMNS] = {
    [COLUMN_NAME] = {"name", "name|names|player|players|playername|fullname|who"},
    [COLUMN_FIRST] = {"first name", "firstname|first|givenname|forename"},
    [COLUMN_LAST] = {"last name", "lastname|last|surname|familyname"},
    [COLUMN_NUMBER] = {"number", "number|no|nr|num|#|jersey|jerseyno|jerseynumber|jersey#|shirt|"
                                 "shirtno|shirtnumber|playerno|playernumber"},
    [COLUMN_ROLES] = {"roles", "roles|role|position|positions|pos|plays"},
    [COLUMN_ID] = {"id", "id|key"},
    [COLUMN_AVAILABLE] = {"available", "available|availability|present|there|canplay"},
    [COLUMN_SIDES] = {"sides", "sides|side|attacksfrom|hitsfrom|attackside|attacksides"},
    [COLUMN_SKILLS + SX_PASSING] = {"passing", "passing|pass|passes|passer|reception|receive|"
                                               "receiving|receiver|servereceive|serverecieve"},
    [COLUMN_SKILLS + SX_SETTING] = {"setting", "setting|set|sets|hands"},
    [COLUMN_SKILLS + SX_ATTACKING] = {"attacking",
                                      "attacking|attack|attacks|hit|hits|hitting|spike|"
                                      "spikes|spiking|kill|kills"},
    [COLUMN_SKILLS + SX_BLOCKING] = {"blocking", "blocking|block|blocks"},
    [COLUMN_SKILLS + SX_SERVING] = {"serving", "serving|serve|serves|service"},
    [COLUMN_SKILLS + SX_DIGGING] = {"digging", "digging|dig|digs|defence|defense|defending|"
                                               "floordefence|floordefense"},
};

typedef struct {
    const SxGrid *grid;
    SxProblems *problems;
    SxLineList *notes;
    int heading;        /* row of the grid */
    int place[COLUMNS]; /* the column of the sheet, -1 if there is none */
    int row;            /* being read */
} Sheet;

__attribute__((format(printf, 3, 4))) static void wrong(const Sheet *sheet, int column,
                                                        const char *format, ...) {
    char wanted[SX_ERROR_PATH], cut[SX_QUOTE_SIZE];
    const char *found = sx_grid_cell(sheet->grid, sheet->row, sheet->place[column]);
    va_list args;
    va_start(args, format);
    vsnprintf(wanted, sizeof wanted, format, args);
    va_end(args);
    int row = sheet->grid->row[sheet->row].number;
    if (found[0]) {
        sx_problem(sheet->problems, row, sheet->place[column], columns[column].name,
                   "expected %s, found \"%s\"", wanted, sx_text_cut(found, cut, sizeof cut));
    } else {
        sx_problem(sheet->problems, row, sheet->place[column], columns[column].name,
                   "is empty; expected %s", wanted);
    }
}

static const char *text_of(const Sheet *sheet, int column) {
    return sx_grid_cell(sheet->grid, sheet->row, sheet->place[column]);
}

/* The headings. */

static bool find_headings(Sheet *sheet) {
    const SxGrid *grid = sheet->grid;
    const int heading = sx_grid_headings(grid, columns, COLUMNS, LEAST_HEADINGS);
    if (heading >= 0) {
        sheet->heading = heading;
        return true;
    }
    char cut[SX_QUOTE_SIZE];
    sx_problem(sheet->problems, grid->count ? grid->row[0].number : 0, -1, NULL,
               "no row names the columns; expected name, number, roles, passing, setting, "
               "attacking, blocking, serving, digging%s%s%s",
               grid->count ? ", found \"" : "; the sheet is empty",
               grid->count ? sx_text_cut(sx_grid_cell(grid, 0, 0), cut, sizeof cut) : "",
               grid->count ? "\" first" : "");
    return false;
}

static void note_ignored(const Sheet *sheet, int c, const char *heading) {
    char letters[SX_COLUMN_SIZE], cut[SX_QUOTE_SIZE];
    const char *near = sx_nearest_meaning(heading, columns, COLUMNS);
    sx_line_add(sheet->notes, "column %s, \"%s\", is ignored%s%s%s", sx_grid_column(c, letters),
                sx_text_cut(heading, cut, sizeof cut), near ? " (did you mean '" : "",
                near ? near : "", near ? "'?)" : "");
}

static void missing(const Sheet *sheet, int column) {
    int row = sheet->grid->row[sheet->heading].number;
    for (int c = 0; c < sheet->grid->row[sheet->heading].count; c++) {
        const char *heading = sx_grid_cell(sheet->grid, sheet->heading, c);
        const char *near = sx_meaning(heading, columns, COLUMNS) < 0
                               ? sx_nearest_meaning(heading, columns, COLUMNS)
                               : NULL;
        if (near == columns[column].name) {
            char cut[SX_QUOTE_SIZE];
            sx_problem(sheet->problems, row, c, NULL,
                       "there is no column %s; did you mean it by \"%s\"?", columns[column].name,
                       sx_text_cut(heading, cut, sizeof cut));
            return;
        }
    }
    sx_problem(sheet->problems, row, -1, NULL, "there is no column %s", columns[column].name);
}

static void read_headings(Sheet *sheet) {
    const SxGridRow *row = &sheet->grid->row[sheet->heading];
    for (int c = 0; c < row->count; c++) {
        const char *heading = sx_grid_cell(sheet->grid, sheet->heading, c);
        int meaning = sx_meaning(heading, columns, COLUMNS);
        if (meaning < 0 && heading[0]) {
            note_ignored(sheet, c, heading);
        } else if (meaning >= 0 && sheet->place[meaning] >= 0) {
            char letters[SX_COLUMN_SIZE];
            sx_problem(sheet->problems, row->number, c, columns[meaning].name,
                       "column %s gives %s already", sx_grid_column(sheet->place[meaning], letters),
                       columns[meaning].name);
        } else if (meaning >= 0) {
            sheet->place[meaning] = c;
        }
    }
    bool parts = sheet->place[COLUMN_FIRST] >= 0 || sheet->place[COLUMN_LAST] >= 0;
    for (int column = 0; column < COLUMNS; column++) {
        bool needed = column == COLUMN_NUMBER || column == COLUMN_ROLES ||
                      column >= COLUMN_SKILLS || (column == COLUMN_NAME && !parts);
        if (needed && sheet->place[column] < 0) {
            missing(sheet, column);
        }
    }
    if (sheet->heading > 0) {
        sx_line_add(sheet->notes, "what stands above the headings in row %d is ignored",
                    row->number);
    }
}

/* The cells of a player. */

/* Digits with at most one decimal point or comma; nothing else that strtod would take. */
static bool read_decimal(const char *text, double *out) {
    char plain[SX_JSON_NUMBER_SIZE];
    size_t length = strlen(text), used = 0;
    int points = 0, digits = 0;
    for (; used < length && used < sizeof plain - 1; used++) {
        char c = text[used];
        bool point = c == '.' || c == ',';
        if (!point && (c < '0' || c > '9')) {
            return false;
        }
        points += point;
        digits += !point;
        plain[used] = point ? '.' : c;
    }
    plain[used] = '\0';
    SX_PLAIN_NUMBERS;
    *out = strtod(plain, NULL);
    return used == length && digits > 0 && points <= 1;
}

static void read_name(const Sheet *sheet, char *out) {
    char name[2 * SX_NAME_SIZE];
    int column = sheet->place[COLUMN_NAME] >= 0    ? COLUMN_NAME
                 : sheet->place[COLUMN_FIRST] >= 0 ? COLUMN_FIRST
                                                   : COLUMN_LAST;
    if (column == COLUMN_NAME) {
        snprintf(name, sizeof name, "%s", text_of(sheet, COLUMN_NAME));
    } else {
        const char *first = text_of(sheet, COLUMN_FIRST), *last = text_of(sheet, COLUMN_LAST);
        snprintf(name, sizeof name, "%s%s%s", first, first[0] && last[0] ? " " : "", last);
    }
    if (sheet->place[column] < 0) {
        return; /* told with the headings */
    }
    if (name[0] == '\0' || strlen(name) >= SX_NAME_SIZE || sx_text_has_control(name)) {
        wrong(sheet, column, "a text of 1 to %d bytes without line ends or tabs", SX_NAME_SIZE - 1);
        return;
    }
    memcpy(out, name, strlen(name) + 1);
}

static void read_number(const Sheet *sheet, const SxRoster *roster, int *number) {
    const char *text = text_of(sheet, COLUMN_NUMBER);
    double value = -1;
    *number = SX_NOBODY;
    if (sheet->place[COLUMN_NUMBER] < 0) {
        return;
    }
    text += text[0] == '#';
    if (!read_decimal(text, &value) || value != floor(value) || value > SX_MAX_SHIRT) {
        wrong(sheet, COLUMN_NUMBER, "a shirt number from 0 to %d", SX_MAX_SHIRT);
        return;
    }
    *number = (int)value;
    for (int p = 0; p < roster->count; p++) {
        if (roster->entry[p].player.number == *number) {
            sx_problem(sheet->problems, sheet->grid->row[sheet->row].number,
                       sheet->place[COLUMN_NUMBER], "number",
                       "the shirt number %d is also in row %d", *number, roster->entry[p].row);
        }
    }
}

static void read_roles(const Sheet *sheet, double *fitness) {
    char word[SX_FOLDED_SIZE], wanted[SX_ERROR_PATH];
    const char *near = NULL;
    if (sheet->place[COLUMN_ROLES] < 0) {
        return;
    }
    unsigned roles = sx_roles_of(text_of(sheet, COLUMN_ROLES), word, &near);
    for (int i = 0; i < SX_ROLE_COUNT; i++) {
        fitness[i] = roles >> i & 1 ? 1.0 : 0.0;
    }
    if (roles == 0) {
        snprintf(wanted, sizeof wanted,
                 "%s%s%sroles among setter (S), outside (OH), middle (MB), opposite (OPP), libero "
                 "(L), specialist (DS)",
                 near ? "'" : "", near ? near : "", near ? "', or other " : "");
        wrong(sheet, COLUMN_ROLES, "%s", wanted);
    }
}

static void read_sides(const Sheet *sheet, SxRosterEntry *entry) {
    char word[SX_FOLDED_SIZE];
    const char *near = NULL, *text = text_of(sheet, COLUMN_SIDES);
    entry->sides_given = text[0] != '\0';
    entry->player.attacks_from = text[0] ? sx_sides_of(text, word, &near) : 0;
    if (text[0] && entry->player.attacks_from == 0) {
        wrong(sheet, COLUMN_SIDES, "sides among left, centre, right, or nothing");
    }
}

static void read_available(const Sheet *sheet, SxRosterEntry *entry) {
    static const SxMeaning answers[2] = {{"no", "no|n|false|0|out|injured|ill|away|absent"},
                                         {"yes", "yes|y|true|1|x|ok|in"}};
    const char *text = text_of(sheet, COLUMN_AVAILABLE);
    int answer = sx_meaning(text, answers, 2);
    entry->available_given = answer >= 0;
    entry->player.available = answer != 0;
    if (text[0] && answer < 0) {
        wrong(sheet, COLUMN_AVAILABLE, "yes, no or nothing");
    }
}

static void read_skills(const Sheet *sheet, SxRosterEntry *entry) {
    for (int i = 0; i < SX_SKILL_COUNT; i++) {
        double value = -1;
        const char *text = text_of(sheet, COLUMN_SKILLS + i);
        if (!text[0]) {
            continue;
        }
        if (!read_decimal(text, &value) || value > SX_SKILL_MAX) {
            wrong(sheet, COLUMN_SKILLS + i, "a number from 0 to %d", (int)SX_SKILL_MAX);
            entry->skills_wrong |= 1u << i;
            continue;
        }
        entry->player.skill[i] = value;
        entry->skills_given |= 1u << i;
    }
}

static bool is_player_id(const char *id) {
    return id[0] && sx_id_is_word(id) && strspn(id, "0123456789") < strlen(id);
}

static void read_id(const Sheet *sheet, const SxRoster *roster, char *id) {
    const char *text = text_of(sheet, COLUMN_ID);
    if (!text[0]) {
        return;
    }
    if (strlen(text) >= SX_ID_SIZE || !is_player_id(text)) {
        wrong(sheet, COLUMN_ID, "a word of letters, digits, '-', '_' and '.', that is no number");
        return;
    }
    memcpy(id, text, strlen(text) + 1);
    for (int p = 0; p < roster->count; p++) {
        if (strcmp(roster->entry[p].player.id, id) == 0) {
            wrong(sheet, COLUMN_ID, "an id that no other player has");
        }
    }
}

/* Filled cells to the right of the last heading: fields have slipped. */
static void check_width(const Sheet *sheet) {
    const SxGridRow *row = &sheet->grid->row[sheet->row];
    int headings = sheet->grid->row[sheet->heading].count;
    for (int c = headings; c < row->count; c++) {
        const char *text = sx_grid_cell(sheet->grid, sheet->row, c);
        if (text[0]) {
            char cut[SX_QUOTE_SIZE];
            sx_problem(
                sheet->problems, row->number, c, NULL,
                "\"%s\" stands beyond the last heading; has a comma inside a field parted it "
                "(such a field stands in quotes)?",
                sx_text_cut(text, cut, sizeof cut));
            return;
        }
    }
}

static bool names_nobody(const Sheet *sheet) {
    static const int who[] = {COLUMN_NAME, COLUMN_FIRST, COLUMN_LAST, COLUMN_NUMBER, COLUMN_ROLES};
    for (size_t i = 0; i < sizeof who / sizeof who[0]; i++) {
        if (text_of(sheet, who[i])[0]) {
            return false;
        }
    }
    return true;
}

static void read_player(Sheet *sheet, SxRoster *roster) {
    int row = sheet->grid->row[sheet->row].number;
    if (names_nobody(sheet)) {
        sx_line_add(sheet->notes, "row %d names nobody and is ignored", row);
        return;
    }
    if (roster->count == SX_MAX_PLAYERS) {
        sx_problem(sheet->problems, row, -1, NULL, "a team has at most %d players", SX_MAX_PLAYERS);
        return;
    }
    SxRosterEntry *entry = &roster->entry[roster->count];
    memset(entry, 0, sizeof *entry);
    entry->row = row;
    check_width(sheet);
    read_name(sheet, entry->player.name);
    read_number(sheet, roster, &entry->player.number);
    read_roles(sheet, entry->player.fitness);
    read_sides(sheet, entry);
    read_available(sheet, entry);
    read_skills(sheet, entry);
    read_id(sheet, roster, entry->player.id);
    roster->count++;
}

void sx_roster_read(const SxGrid *grid, SxProblems *problems, SxLineList *notes, SxRoster *roster) {
    Sheet sheet = {.grid = grid, .problems = problems, .notes = notes};
    roster->count = 0;
    for (int column = 0; column < COLUMNS; column++) {
        sheet.place[column] = -1;
    }
    if (grid->encoding && strcmp(grid->encoding, "UTF-8") != 0) {
        sx_line_add(notes, "the sheet was read as %s", grid->encoding);
    }
    if (!find_headings(&sheet)) {
        return;
    }
    read_headings(&sheet);
    for (sheet.row = sheet.heading + 1; sheet.row < grid->count; sheet.row++) {
        read_player(&sheet, roster);
    }
}

double sx_roster_estimate(const SxRoster *roster, const SxRosterEntry *entry, SxSkill skill,
                          bool *alike) {
    static const double tenths = 10.0;
    double sum[2] = {0};
    int count[2] = {0};
    for (int p = 0; p < roster->count; p++) {
        const SxRosterEntry *other = &roster->entry[p];
        bool shares = false;
        for (int i = 0; i < SX_ROLE_COUNT; i++) {
            shares = shares || (other->player.fitness[i] > 0 && entry->player.fitness[i] > 0);
        }
        if (other->skills_given >> skill & 1) {
            sum[0] += other->player.skill[skill];
            count[0]++;
            sum[1] += shares ? other->player.skill[skill] : 0;
            count[1] += shares;
        }
    }
    *alike = count[1] > 0;
    return count[*alike] ? round(tenths * sum[*alike] / count[*alike]) / tenths : -1;
}
