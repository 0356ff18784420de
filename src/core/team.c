/* The roster: reading "sixturn-team-1" files and finding players in it. */
#include "sixturn/team.h"

#include "core/embedded.h"
#include "core/jsonread.h"
#include "core/teamread.h"
#include "core/text.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { LEAST_PLAYERS = SX_SLOTS, SHIRT_DIGITS = 2, DECIMAL = 10 };

/* Finding players. */

/* The number that "7" or "#7" names, -1 if it is no shirt number. */
static int shirt_number(const char *who) {
    const char *digit = who[0] == '#' ? who + 1 : who;
    size_t count = strspn(digit, "0123456789");
    return count >= 1 && count <= SHIRT_DIGITS && digit[count] == '\0'
               ? (int)strtol(digit, NULL, DECIMAL)
               : -1;
}

static int find_shirt(const SxTeam *team, int number) {
    for (int p = 0; p < team->player_count; p++) {
        if (team->players[p].number == number) {
            return p;
        }
    }
    return -1;
}

int sx_team_find(const SxTeam *team, const char *who) {
    for (int p = 0; p < team->player_count; p++) {
        if (strcmp(team->players[p].id, who) == 0) {
            return p;
        }
    }
    int number = shirt_number(who);
    return number < 0 ? -1 : find_shirt(team, number);
}

const char *sx_team_nearest(const SxTeam *team, const char *who) {
    SxNearest by_id = {who, NULL, 0}, by_name = {who, NULL, 0};
    const char *named = NULL;
    for (int p = 0; p < team->player_count; p++) {
        const char *before = by_name.best;
        sx_text_consider(&by_id, team->players[p].id);
        sx_text_consider(&by_name, team->players[p].name);
        named = by_name.best != before ? team->players[p].id : named;
    }
    return by_id.best ? by_id.best : named;
}

int sx_team_read_player_name(const SxJsonAt *at, const char *who, const SxTeam *team) {
    if (sx_json_failed(at)) {
        return -1;
    }
    int player = sx_team_find(team, who);
    if (player < 0) {
        char hint[SX_QUOTE_SIZE], cut[SX_QUOTE_SIZE];
        const char *nearest = sx_team_nearest(team, who);
        sx_json_fail(at, "the team has no player '%s'%s; expected a player's id or shirt number",
                     sx_text_cut(who, cut, sizeof cut), sx_json_hint(nearest, hint, sizeof hint));
    }
    return player;
}

int sx_team_read_player(const SxJsonAt *at, const SxTeam *team) {
    if (sx_json_failed(at)) {
        return -1;
    }
    if (cJSON_IsString(at->item)) {
        return sx_team_read_player_name(at, at->item->valuestring, team);
    }
    if (!cJSON_IsNumber(at->item)) {
        sx_json_wrong(at, "a player's id or shirt number");
        return -1;
    }
    int number = -1;
    char who[SX_QUOTE_SIZE];
    sx_json_integer(at, 0, SX_MAX_SHIRT, &number);
    snprintf(who, sizeof who, "%d", number);
    return sx_team_read_player_name(at, who, team);
}

/* Reading players. */

static void role_words(const char **words) {
    for (int i = 0; i < SX_ROLE_COUNT; i++) {
        words[i] = sx_role_name((SxRole)i);
    }
}

static void read_role_list(const SxJsonAt *at, double *fitness) {
    const char *words[SX_ROLE_COUNT];
    role_words(words);
    if (!sx_json_array(at, 1, SX_ROLE_COUNT)) {
        return;
    }
    for (SxJsonAt role = sx_json_first(at); role.item; sx_json_next(&role)) {
        int word = sx_json_word(&role, "role", words, SX_ROLE_COUNT);
        if (word >= 0 && fitness[word] > 0) {
            sx_json_fail(&role, "the role '%s' is given twice", words[word]);
        } else if (word >= 0) {
            fitness[word] = 1.0;
        }
    }
}

static void read_role_map(const SxJsonAt *at, double *fitness) {
    const char *words[SX_ROLE_COUNT];
    SxJsonAt member[SX_ROLE_COUNT];
    double best = 0;
    role_words(words);
    sx_json_members(at, words, SX_ROLE_COUNT, member);
    for (int i = 0; i < SX_ROLE_COUNT; i++) {
        if (sx_json_given(&member[i])) {
            sx_json_number(&member[i], 0, 1, &fitness[i]);
            best = fitness[i] > best ? fitness[i] : best;
        }
    }
    if (best <= 0) {
        sx_json_fail(at, "a player needs at least one role with a fitness above 0");
    }
}

static void read_roles(const SxJsonAt *at, double *fitness) {
    if (sx_json_given(at) && cJSON_IsObject(at->item)) {
        read_role_map(at, fitness);
    } else if (sx_json_given(at) && cJSON_IsArray(at->item)) {
        read_role_list(at, fitness);
    } else {
        sx_json_wrong(at, "a list of roles, or an object with a fitness from 0 to 1 for each role");
    }
}

static void read_skills(const SxJsonAt *at, double *skill) {
    const char *keys[SX_SKILL_COUNT];
    SxJsonAt member[SX_SKILL_COUNT];
    for (int i = 0; i < SX_SKILL_COUNT; i++) {
        keys[i] = sx_skill_name((SxSkill)i);
    }
    sx_json_members(at, keys, SX_SKILL_COUNT, member);
    for (int i = 0; i < SX_SKILL_COUNT; i++) {
        sx_json_number(&member[i], 0, SX_SKILL_MAX, &skill[i]);
    }
}

unsigned sx_sides_by_role(const SxPlayer *player) {
    static const unsigned sides[SX_ROLE_COUNT] = {[SX_SETTER] = 1u << SX_RIGHT,
                                                  [SX_OUTSIDE] = 1u << SX_LEFT,
                                                  [SX_MIDDLE] = 1u << SX_CENTRE,
                                                  [SX_OPPOSITE] = 1u << SX_RIGHT};
    unsigned usual = 0;
    for (int i = 0; i < SX_ROLE_COUNT; i++) {
        usual |= player->fitness[i] > 0 ? sides[i] : 0;
    }
    return usual;
}

/* A list of different words as a bit set. what: "side", "skill". */
static void read_set(const SxJsonAt *at, const char *what, const char *const *words, int count,
                     unsigned *set) {
    unsigned found = 0;
    if (!sx_json_array(at, 1, count)) {
        return;
    }
    for (SxJsonAt entry = sx_json_first(at); entry.item; sx_json_next(&entry)) {
        int word = sx_json_word(&entry, what, words, count);
        if (word >= 0 && found & 1u << word) {
            sx_json_fail(&entry, "the %s '%s' is given twice", what, words[word]);
        } else if (word >= 0) {
            found |= 1u << word;
        }
    }
    *set = found;
}

static void read_sides(const SxJsonAt *at, unsigned *attacks_from) {
    const char *words[SX_LANES];
    for (int i = 0; i < SX_LANES; i++) {
        words[i] = sx_lane_name((SxLane)i);
    }
    read_set(at, "side", words, SX_LANES, attacks_from);
}

static void read_estimated(const SxJsonAt *at, unsigned *estimated) {
    const char *words[SX_SKILL_COUNT];
    for (int i = 0; i < SX_SKILL_COUNT; i++) {
        words[i] = sx_skill_name((SxSkill)i);
    }
    read_set(at, "skill", words, SX_SKILL_COUNT, estimated);
}

enum { ID, NAME, NUMBER, ROLES, AVAILABLE, SKILLS, ATTACKS_FROM, ESTIMATED, PLAYER_FIELDS };

static void check_new(const SxJsonAt *member, const SxTeam *team, const SxPlayer *player) {
    for (int p = 0; p < team->player_count; p++) {
        if (strcmp(team->players[p].id, player->id) == 0) {
            sx_json_fail(&member[ID], "the id '%s' is also that of players[%d]", player->id, p);
        } else if (team->players[p].number == player->number) {
            sx_json_fail(&member[NUMBER], "the shirt number %d is also that of players[%d], %s",
                         player->number, p, team->players[p].name);
        }
    }
}

static void read_player(const SxJsonAt *at, SxTeam *team) {
    static const char *const keys[PLAYER_FIELDS] = {
        "id", "name", "number", "roles", "available", "skills", "attacks_from", "estimated"};
    SxJsonAt member[PLAYER_FIELDS];
    SxPlayer *player = &team->players[team->player_count];
    sx_json_members(at, keys, PLAYER_FIELDS, member);
    sx_json_id(&member[ID], player->id, sizeof player->id);
    if (sx_json_given(&member[ID]) && shirt_number(player->id) >= 0) {
        sx_json_fail(&member[ID], "the id '%s' would be taken for a shirt number; expected a word",
                     player->id);
    }
    sx_json_text(&member[NAME], player->name, sizeof player->name);
    sx_json_integer(&member[NUMBER], 0, SX_MAX_SHIRT, &player->number);
    read_roles(&member[ROLES], player->fitness);
    player->available = true;
    if (sx_json_given(&member[AVAILABLE])) {
        sx_json_bool(&member[AVAILABLE], &player->available);
    }
    read_skills(&member[SKILLS], player->skill);
    player->attacks_from = sx_sides_by_role(player);
    if (sx_json_given(&member[ATTACKS_FROM])) {
        read_sides(&member[ATTACKS_FROM], &player->attacks_from);
    }
    if (sx_json_given(&member[ESTIMATED])) {
        read_estimated(&member[ESTIMATED], &player->estimated);
    }
    check_new(member, team, player);
    team->player_count++;
}

static int by_number(const void *a, const void *b) {
    return ((const SxPlayer *)a)->number - ((const SxPlayer *)b)->number;
}

static void read_players(const SxJsonAt *at, SxTeam *team) {
    if (!sx_json_array(at, LEAST_PLAYERS, SX_MAX_PLAYERS)) {
        return;
    }
    for (SxJsonAt player = sx_json_first(at); player.item; sx_json_next(&player)) {
        read_player(&player, team);
    }
    if (!sx_json_failed(at)) {
        qsort(team->players, (size_t)team->player_count, sizeof team->players[0], by_number);
    }
}

/* Reading connections. */

static bool can_hit(const SxPlayer *player) {
    return player->fitness[SX_SETTER] > 0 || player->fitness[SX_OUTSIDE] > 0 ||
           player->fitness[SX_MIDDLE] > 0 || player->fitness[SX_OPPOSITE] > 0;
}

static bool idle_connection(const SxTeam *team, int *k, char *text, size_t size) {
    for (int c = 0; c < team->connection_count; c++) {
        const SxConnection *connection = &team->connections[c];
        const SxPlayer *setter = &team->players[connection->setter];
        const SxPlayer *hitter = &team->players[connection->hitter];
        if (!can_hit(hitter) && (*k)-- == 0) {
            snprintf(text, size,
                     "the connection of #%d %s and #%d %s has no effect: #%d has no role that "
                     "attacks",
                     setter->number, setter->name, hitter->number, hitter->name, hitter->number);
            return true;
        }
    }
    return false;
}

static bool estimates(const SxTeam *team, int *k, char *text, size_t size) {
    size_t used = 0;
    for (int p = 0; p < team->player_count; p++) {
        const char *before = "";
        for (int i = 0; i < SX_SKILL_COUNT && used < size; i++) {
            if (team->players[p].estimated >> i & 1) {
                int wrote = before[0] ? 0
                                      : snprintf(text + used, size - used, "%s #%d ",
                                                 used ? ";" : "these ratings are estimates:",
                                                 team->players[p].number);
                used += (size_t)wrote;
                used = used < size ? used : size - 1;
                used += (size_t)snprintf(text + used, size - used, "%s%s", before,
                                         sx_skill_name((SxSkill)i));
                before = ", ";
            }
        }
    }
    return used > 0 && (*k)-- == 0;
}

bool sx_team_warning(const SxTeam *team, int k, char *text, size_t size) {
    return idle_connection(team, &k, text, size) || estimates(team, &k, text, size);
}

static void read_connection(const SxJsonAt *at, SxTeam *team) {
    enum { SETTER, HITTER, BONUS, FIELDS };
    static const char *const keys[FIELDS] = {"setter", "hitter", "bonus"};
    SxJsonAt member[FIELDS];
    SxConnection *fresh = &team->connections[team->connection_count];
    sx_json_members(at, keys, FIELDS, member);
    fresh->setter = sx_team_read_player(&member[SETTER], team);
    fresh->hitter = sx_team_read_player(&member[HITTER], team);
    sx_json_number(&member[BONUS], -SX_BONUS_MAX, SX_BONUS_MAX, &fresh->bonus);
    if (sx_json_failed(at)) {
        return;
    }
    const SxPlayer *setter = &team->players[fresh->setter];
    const SxPlayer *hitter = &team->players[fresh->hitter];
    if (setter->fitness[SX_SETTER] <= 0) {
        sx_json_fail(&member[SETTER], "expected a player with the role setter, found %s without it",
                     setter->name);
    } else if (setter == hitter) {
        sx_json_fail(&member[HITTER], "setter and hitter are the same player, %s", setter->name);
    }
    for (int c = 0; c < team->connection_count; c++) {
        const SxConnection *other = &team->connections[c];
        if (other->setter == fresh->setter && other->hitter == fresh->hitter) {
            sx_json_fail(at, "this setter and hitter are also those of connections[%d]", c);
        }
    }
    team->connection_count++;
}

static int by_players(const void *a, const void *b) {
    const SxConnection *first = a, *second = b;
    return first->setter != second->setter ? first->setter - second->setter
                                           : first->hitter - second->hitter;
}

static void read_connections(const SxJsonAt *at, SxTeam *team) {
    if (!sx_json_array(at, 0, SX_MAX_CONNECTIONS)) {
        return;
    }
    for (SxJsonAt connection = sx_json_first(at); connection.item; sx_json_next(&connection)) {
        read_connection(&connection, team);
    }
    if (!sx_json_failed(at)) {
        qsort(team->connections, (size_t)team->connection_count, sizeof team->connections[0],
              by_players);
    }
}

static void read_team(const SxJsonAt *root, void *value, const void *context) {
    enum { FORMAT, TEAM_NAME, RULES, LEVEL, PLAYERS, CONNECTIONS, FIELDS };
    static const char *const keys[FIELDS] = {"format", "name",    "rules",
                                             "level",  "players", "connections"};
    SxTeam *team = value;
    SxJsonAt at[FIELDS];
    (void)context;
    sx_json_members(root, keys, FIELDS, at);
    sx_json_text(&at[TEAM_NAME], team->name, sizeof team->name);
    if (sx_json_given(&at[RULES])) {
        sx_embedded_read_name(sx_embedded_rules, sx_embedded_rules_count, "rule profile",
                              &at[RULES], team->rules, sizeof team->rules);
    }
    if (sx_json_given(&at[LEVEL])) {
        sx_json_id(&at[LEVEL], team->level, sizeof team->level);
    }
    read_players(&at[PLAYERS], team);
    if (sx_json_given(&at[CONNECTIONS])) {
        read_connections(&at[CONNECTIONS], team);
    }
}

static const SxJsonKind team_kind = {"sixturn-team-1", sizeof(SxTeam), read_team};

SxStatus sx_team_parse(const char *text, size_t length, const char *file, SxTeam *team,
                       SxError *err) {
    return sx_json_parse(&team_kind, text, length, file, NULL, team, err);
}

SxStatus sx_team_read(const char *file, SxTeam *team, SxError *err) {
    return sx_json_parse(&team_kind, NULL, 0, file, NULL, team, err);
}
