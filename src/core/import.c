/* A roster from a spreadsheet as a team file, new or brought up to date. */
#include "sixturn/import.h"

#include "core/jsonread.h"
#include "core/jsontidy.h"
#include "core/numbers.h"
#include "core/roster.h"
#include "core/text.h"
#include "core/wishsheet.h"
#include "sixturn/team.h"

#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { FIRST_BEYOND_ASCII = 0x80, LEAST_PLAYERS = SX_SLOTS, ROLES_SIZE = 80 };

typedef struct {
    const SxImportOptions *options;
    SxRoster roster;
    SxProblems problems;
    SxLineList notes;
    bool updates;               /* a team file is brought up to date */
    SxTeam before, after;       /* before: only if it updates */
    int match[SX_MAX_PLAYERS];  /* of an entry: the player in before, or -1 */
    bool taken[SX_MAX_PLAYERS]; /* of a player in before: somebody in the sheet is her */
    cJSON *tree;
    bool failed; /* memory ran out */
    SxError *err;
} Import;

/* Ids. */

/* An id from the name: small letters, '-' for all that is no letter or digit. */
static void id_from_name(const char *name, char *id, size_t size) {
    static const char *const spelled[][2] = {{"ä", "ae"}, {"ö", "oe"}, {"ü", "ue"}, {"ß", "ss"},
                                             {"Ä", "ae"}, {"Ö", "oe"}, {"Ü", "ue"}};
    size_t used = 0;
    for (const char *c = name; *c && used + 3 < size;) {
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

static bool id_is_taken(const Import *import, const char *id) {
    bool taken = import->updates && sx_team_find(&import->before, id) >= 0;
    for (int p = 0; p < import->roster.count && !taken; p++) {
        taken = strcmp(import->roster.entry[p].player.id, id) == 0;
    }
    return taken;
}

static void make_id(const Import *import, SxPlayer *player) {
    char id[SX_ID_SIZE - 16]; /* room for what may be added */
    id_from_name(player->name, id, sizeof id);
    bool number = strspn(id, "0123456789") == strlen(id);
    if (!number && !id_is_taken(import, id)) {
        memcpy(player->id, id, strlen(id) + 1);
        return;
    }
    snprintf(player->id, sizeof player->id, "%s-%d", id[0] ? id : "player", player->number);
}

/* Who is who in the team file. */

static int find_by(const Import *import, const SxRosterEntry *entry) {
    const SxTeam *before = &import->before;
    for (int p = 0; p < before->player_count && entry->player.id[0]; p++) {
        if (strcmp(before->players[p].id, entry->player.id) == 0) {
            return p;
        }
    }
    int found = -1;
    for (int p = 0; p < before->player_count && !entry->player.id[0]; p++) {
        if (sx_text_distance(before->players[p].name, entry->player.name) == 0) {
            found = found < 0 ? p : -1; /* of two with one name, neither */
        }
    }
    return found;
}

/* The same number and nearly the same name: she was spelled otherwise. */
static int find_respelled(const Import *import, const SxRosterEntry *entry) {
    for (int p = 0; p < import->before.player_count && !entry->player.id[0]; p++) {
        const SxPlayer *player = &import->before.players[p];
        SxNearest nearest = {entry->player.name, NULL, 0};
        sx_text_consider(&nearest, player->name);
        if (player->number == entry->player.number && !import->taken[p] && nearest.best) {
            return p;
        }
    }
    return -1;
}

static void match_players(Import *import) {
    for (int e = 0; e < import->roster.count; e++) {
        int p = import->updates ? find_by(import, &import->roster.entry[e]) : -1;
        import->match[e] = p >= 0 && !import->taken[p] ? p : -1;
        if (import->match[e] >= 0) {
            import->taken[p] = true;
        }
    }
    for (int e = 0; e < import->roster.count && import->updates; e++) {
        if (import->match[e] < 0) {
            import->match[e] = find_respelled(import, &import->roster.entry[e]);
        }
        if (import->match[e] >= 0) {
            import->taken[import->match[e]] = true;
        }
    }
}

static void check_numbers(Import *import) {
    for (int e = 0; e < import->roster.count && import->updates; e++) {
        const SxRosterEntry *entry = &import->roster.entry[e];
        for (int p = 0; p < import->before.player_count; p++) {
            const SxPlayer *other = &import->before.players[p];
            if (!import->taken[p] && other->number == entry->player.number) {
                sx_problem(&import->problems, entry->row, -1, "number",
                           "the number %d is that of %s in the team file; if this is her, give "
                           "her id \"%s\" in a column id, else change one of the numbers",
                           other->number, other->name, other->id);
            }
        }
    }
}

/* The team file as a tree. */

static void put(Import *import, cJSON *object, const char *key, cJSON *item) {
    bool there = cJSON_GetObjectItemCaseSensitive(object, key) != NULL;
    bool done = item && (there ? cJSON_ReplaceItemInObjectCaseSensitive(object, key, item)
                               : cJSON_AddItemToObject(object, key, item));
    if (!done) {
        cJSON_Delete(item);
        import->failed = true;
    }
}

typedef const char *(*NameOf)(int index);

static const char *role_of(int index) {
    return sx_role_name((SxRole)index);
}

static const char *skill_of(int index) {
    return sx_skill_name((SxSkill)index);
}

static const char *lane_of(int index) {
    return sx_lane_name((SxLane)index);
}

/* A list of words for a bit set. */
static void put_words(Import *import, cJSON *object, const char *key, unsigned set, NameOf name) {
    cJSON *list = cJSON_CreateArray();
    for (int i = 0; list && set >> i; i++) {
        if (set >> i & 1 && !cJSON_AddItemToArray(list, cJSON_CreateString(name(i)))) {
            import->failed = true;
        }
    }
    put(import, object, key, list);
}

static unsigned roles_of(const SxPlayer *player) {
    unsigned set = 0;
    for (int i = 0; i < SX_ROLE_COUNT; i++) {
        set |= player->fitness[i] > 0 ? 1u << i : 0;
    }
    return set;
}

/* Fills the skills that the sheet leaves empty, where the team file has none; returns which. */
static unsigned estimate_skills(Import *import, SxRosterEntry *entry) {
    unsigned estimated = 0;
    for (int i = 0; i < SX_SKILL_COUNT; i++) {
        bool alike = false;
        if ((entry->skills_given | entry->skills_wrong) >> i & 1) {
            continue;
        }
        double value = sx_roster_estimate(&import->roster, entry, (SxSkill)i, &alike);
        if (value < 0 || import->options->strict) {
            sx_problem(&import->problems, entry->row, -1, skill_of(i),
                       "is empty; expected a number from 0 to %d%s", (int)SX_SKILL_MAX,
                       value < 0 ? " (nobody has one to estimate it from)" : "");
            continue;
        }
        entry->player.skill[i] = value;
        estimated |= 1u << i;
        if (import->problems.lines.count > 0) {
            continue;
        }
        sx_line_add(&import->notes, "#%d %s: %s is empty, estimated as %.1f, the mean of %s",
                    entry->player.number, entry->player.name, skill_of(i), value,
                    alike ? "those who share a role with her"
                          : "the team, for nobody shares her role");
    }
    return estimated;
}

static void put_skills(Import *import, cJSON *object, const SxPlayer *player, unsigned which) {
    cJSON *skills = cJSON_GetObjectItemCaseSensitive(object, "skills");
    if (!skills) {
        put(import, object, "skills", cJSON_CreateObject());
        skills = cJSON_GetObjectItemCaseSensitive(object, "skills");
    }
    for (int i = 0; i < SX_SKILL_COUNT && skills; i++) {
        if (which >> i & 1) {
            put(import, skills, skill_of(i), cJSON_CreateNumber(player->skill[i]));
        }
    }
}

static void put_estimated(Import *import, cJSON *object, unsigned estimated) {
    if (estimated) {
        put_words(import, object, "estimated", estimated, skill_of);
    } else {
        cJSON_DeleteItemFromObjectCaseSensitive(object, "estimated");
    }
}

static void put_common(Import *import, cJSON *object, const SxRosterEntry *entry) {
    const SxPlayer *player = &entry->player;
    put(import, object, "name", cJSON_CreateString(player->name));
    put(import, object, "number", cJSON_CreateNumber(player->number));
    if (entry->available_given) {
        put(import, object, "available", cJSON_CreateBool(player->available));
    }
    if (entry->sides_given) {
        put_words(import, object, "attacks_from", player->attacks_from, lane_of);
    }
}

static void add_player(Import *import, cJSON *players, SxRosterEntry *entry) {
    cJSON *object = cJSON_CreateObject();
    unsigned estimated = estimate_skills(import, entry);
    if (!entry->player.id[0]) {
        make_id(import, &entry->player);
    }
    if (!object || !cJSON_AddItemToArray(players, object)) {
        cJSON_Delete(object);
        import->failed = true;
        return;
    }
    put(import, object, "id", cJSON_CreateString(entry->player.id));
    put_common(import, object, entry);
    put_words(import, object, "roles", roles_of(&entry->player), role_of);
    put_skills(import, object, &entry->player, (1u << SX_SKILL_COUNT) - 1);
    put_estimated(import, object, estimated);
}

static cJSON *object_of(cJSON *players, const char *id) {
    for (cJSON *object = players->child; object; object = object->next) {
        const cJSON *own = cJSON_GetObjectItemCaseSensitive(object, "id");
        if (cJSON_IsString(own) && strcmp(own->valuestring, id) == 0) {
            return object;
        }
    }
    return NULL;
}

static void update_player(Import *import, cJSON *players, const SxRosterEntry *entry,
                          const SxPlayer *before) {
    cJSON *object = object_of(players, before->id);
    if (!object) {
        import->failed = true;
        return;
    }
    put_common(import, object, entry);
    if (roles_of(&entry->player) != roles_of(before)) { /* else how well she plays them stays */
        put_words(import, object, "roles", roles_of(&entry->player), role_of);
    }
    put_skills(import, object, &entry->player, entry->skills_given);
    put_estimated(import, object, before->estimated & ~entry->skills_given);
}

static void build(Import *import) {
    const char *name = import->options->team_name;
    if (!import->updates) {
        import->tree = cJSON_CreateObject();
        put(import, import->tree, "format", cJSON_CreateString("sixturn-team-1"));
        put(import, import->tree, "name", cJSON_CreateString(name ? name : "our team"));
        put(import, import->tree, "players", cJSON_CreateArray());
    } else if (name) {
        put(import, import->tree, "name", cJSON_CreateString(name));
    }
    cJSON *players = cJSON_GetObjectItemCaseSensitive(import->tree, "players");
    for (int e = 0; e < import->roster.count && players; e++) {
        if (import->match[e] >= 0) {
            update_player(import, players, &import->roster.entry[e],
                          &import->before.players[import->match[e]]);
        } else {
            add_player(import, players, &import->roster.entry[e]);
        }
    }
}

/* Connections from a sheet of wishes. */

static cJSON *connection_of(const Import *import, cJSON *list, const SxWishRow *row) {
    for (cJSON *item = list->child; item; item = item->next) {
        int who[2];
        static const char *const keys[2] = {"setter", "hitter"};
        for (int k = 0; k < 2; k++) {
            const cJSON *name = cJSON_GetObjectItemCaseSensitive(item, keys[k]);
            char number[16];
            snprintf(number, sizeof number, "%d", cJSON_IsNumber(name) ? name->valueint : 0);
            who[k] =
                sx_team_find(&import->before, cJSON_IsString(name) ? name->valuestring : number);
        }
        if (who[0] == row->player && who[1] == row->other) {
            return item;
        }
    }
    return NULL;
}

static void put_connection(Import *import, const SxWishRow *row) {
    const SxPlayer *setter = &import->before.players[row->player];
    const SxPlayer *hitter = &import->before.players[row->other];
    cJSON *list = cJSON_GetObjectItemCaseSensitive(import->tree, "connections");
    if (!list) {
        put(import, import->tree, "connections", cJSON_CreateArray());
        list = cJSON_GetObjectItemCaseSensitive(import->tree, "connections");
    }
    cJSON *item = list ? connection_of(import, list, row) : NULL;
    if (list && !item) {
        item = cJSON_CreateObject();
        if (!item || !cJSON_AddItemToArray(list, item)) {
            cJSON_Delete(item);
            import->failed = true;
            return;
        }
        put(import, item, "setter", cJSON_CreateString(setter->id));
        put(import, item, "hitter", cJSON_CreateString(hitter->id));
    }
    if (item) {
        put(import, item, "bonus", cJSON_CreateNumber(row->value));
        sx_line_add(&import->notes, "connection: #%d %s sets for #%d %s, %+.10g", setter->number,
                    setter->name, hitter->number, hitter->name, row->value);
    }
}

static void read_connections(Import *import, const SxGrid *grid) {
    SxWishRow *rows = calloc(SX_MAX_WISH_ROWS, sizeof *rows);
    int count = rows ? sx_wish_rows(grid, &import->before, &import->problems, rows) : 0, left = 0;
    import->failed = import->failed || !rows;
    for (int i = 0; i < count; i++) {
        if (rows[i].connection) {
            put_connection(import, &rows[i]);
        }
        left += !rows[i].connection;
    }
    if (left > 0) {
        sx_line_add(&import->notes, "%d wish%s of the sheet %s for a plan: give it with --plan",
                    left, left == 1 ? "" : "es", left == 1 ? "is" : "are");
    }
    free(rows);
}

/* What has changed. */

static void roles_text(const SxPlayer *player, char *text) {
    size_t used = 0;
    text[0] = '\0';
    for (int i = 0; i < SX_ROLE_COUNT; i++) {
        if (player->fitness[i] > 0) {
            used += (size_t)snprintf(text + used, ROLES_SIZE - used, "%s%s", used ? "/" : "",
                                     role_of(i));
        }
    }
}

/* Adds "; WHAT" to a line of changes. */
__attribute__((format(printf, 2, 3))) static void add_change(char *line, const char *format, ...) {
    SX_PLAIN_NUMBERS;
    size_t used = strlen(line);
    va_list args;
    used += (size_t)snprintf(line + used, SX_ERROR_MESSAGE - used, used ? "; " : "");
    va_start(args, format);
    vsnprintf(line + used, SX_ERROR_MESSAGE - used, format, args);
    va_end(args);
}

static void note_changes(Import *import, const SxPlayer *old, const SxPlayer *now) {
    char line[SX_ERROR_MESSAGE] = "", before[ROLES_SIZE], after[ROLES_SIZE];
    if (strcmp(old->name, now->name) != 0) {
        add_change(line, "was %s", old->name);
    }
    if (old->number != now->number) {
        add_change(line, "number %d to %d", old->number, now->number);
    }
    if (roles_of(old) != roles_of(now)) {
        roles_text(old, before);
        roles_text(now, after);
        add_change(line, "%s to %s", before, after);
    }
    for (int i = 0; i < SX_SKILL_COUNT; i++) {
        if (old->skill[i] != now->skill[i]) {
            add_change(line, "%s %.10g to %.10g", skill_of(i), old->skill[i], now->skill[i]);
        }
    }
    if (old->available != now->available) {
        add_change(line, now->available ? "available again" : "not available");
    }
    if (old->attacks_from != now->attacks_from && roles_of(old) == roles_of(now)) {
        add_change(line, "attacks from other sides");
    }
    if (line[0]) {
        sx_line_add(&import->notes, "#%d %s: %s", now->number, now->name, line);
    }
}

static void note_difference(Import *import) {
    int before = import->notes.count;
    for (int e = 0; e < import->roster.count; e++) {
        const SxRosterEntry *entry = &import->roster.entry[e];
        const SxPlayer *old =
            import->match[e] >= 0 ? &import->before.players[import->match[e]] : NULL;
        int now = sx_team_find(&import->after, old ? old->id : entry->player.id);
        if (old && now >= 0) {
            note_changes(import, old, &import->after.players[now]);
        } else {
            sx_line_add(&import->notes, "new: #%d %s", entry->player.number, entry->player.name);
        }
    }
    for (int p = 0; p < import->before.player_count; p++) {
        if (!import->taken[p]) {
            sx_line_add(&import->notes, "not in the sheet, stays as she was: #%d %s",
                        import->before.players[p].number, import->before.players[p].name);
        }
    }
    if (import->notes.count == before) {
        sx_line_add(&import->notes, "nothing has changed");
    }
}

/* The whole way. */

static SxStatus open_team(Import *import) {
    const SxImportOptions *options = import->options;
    if (!options->into) {
        return SX_OK;
    }
    import->updates = true;
    SxStatus status = sx_team_parse(options->into, options->into_length, options->into_file,
                                    &import->before, import->err);
    if (status == SX_OK) {
        SX_PLAIN_NUMBERS;
        static const char mark[] = "\xef\xbb\xbf";
        size_t skip = strncmp(options->into, mark, 3) == 0 ? 3 : 0;
        import->tree = cJSON_ParseWithLength(options->into + skip, options->into_length - skip);
        status = import->tree ? SX_OK : sx_out_of_memory(import->err);
    }
    return status;
}

static SxStatus finish(Import *import, char **json) {
    SxStatus status = sx_problems_status(&import->problems, import->err);
    if (status != SX_OK) {
        return status;
    }
    char *text = import->failed ? NULL : sx_json_print(import->tree);
    if (!text) {
        return sx_out_of_memory(import->err);
    }
    /* Read back: nobody gets a team file that sixturn refuses. */
    status = sx_team_parse(text, strlen(text), import->problems.file, &import->after, import->err);
    if (status != SX_OK) {
        free(text);
        return status;
    }
    if (import->updates && import->roster.count > 0) {
        note_difference(import);
    }
    *json = text;
    return SX_OK;
}

static SxStatus run(Import *import, const SxGrid *grid, char **json) {
    SxStatus status = open_team(import);
    if (status != SX_OK) {
        return status;
    }
    if (sx_is_wish_sheet(grid)) {
        if (import->updates) {
            read_connections(import, grid);
        } else {
            sx_problem(&import->problems, 0, -1, NULL,
                       "this is a sheet of wishes and connections, no roster; name the team file "
                       "that they are for");
        }
        return finish(import, json);
    }
    sx_roster_read(grid, &import->problems, &import->notes, &import->roster);
    if (import->problems.lines.count == 0 && import->roster.count < LEAST_PLAYERS &&
        !import->updates) {
        sx_problem(&import->problems, 0, -1, NULL, "a team has at least %d players, found %d",
                   LEAST_PLAYERS, import->roster.count);
    }
    match_players(import);
    check_numbers(import);
    build(import);
    return finish(import, json);
}

SxStatus sx_import_roster(const char *data, size_t length, const char *file,
                          const SxImportOptions *options, SxImported *out, SxError *err) {
    SxGrid grid;
    *out = (SxImported){.json = NULL};
    Import *import = calloc(1, sizeof *import);
    if (!import) {
        return sx_out_of_memory(err);
    }
    import->options = options;
    import->err = err;
    import->problems.file = file;
    SxStatus status = sx_grid_read(data, length, file, &grid, err);
    if (status == SX_OK) {
        status = run(import, &grid, &out->json);
    }
    out->notes = import->notes.text;
    out->problems = import->problems.lines.text;
    out->problem = import->problems.each;
    out->problem_count = import->problems.each_count;
    sx_grid_free(&grid);
    cJSON_Delete(import->tree);
    free(import);
    return status;
}

void sx_imported_free(SxImported *imported) {
    free(imported->json);
    free(imported->notes);
    free(imported->problems);
    for (int k = 0; k < imported->problem_count; k++) {
        free(imported->problem[k].message);
    }
    free(imported->problem);
    *imported = (SxImported){.json = NULL};
}
