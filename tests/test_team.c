/* Teams: what a coach writes arrives, in the order of the shirt numbers; every mistake is told. */
#include "input_help.h"
#include "sixturn/team.h"

static SxStatus parse(const char *text, size_t length, SxError *err) {
    static SxTeam team;
    return sx_team_parse(text, length, "given.json", &team, err);
}

static const char *const shipped_teams[] = {"datasets/junior-12.json", "datasets/club-16.json"};

static int can_play(const SxTeam *team, SxRole role) {
    int count = 0;
    for (int p = 0; p < team->player_count; p++) {
        count += team->players[p].fitness[role] > 0;
    }
    return count;
}

Test(team, demo_teams_can_field_every_system) {
    static SxTeam team;
    static const int size[] = {12, 16}, setters[] = {2, 3}, liberos[] = {1, 2};
    for (int i = 0; i < 2; i++) {
        SxError err = {0};
        cr_assert_eq(sx_team_read(shipped_teams[i], &team, &err), SX_OK, "%s: %s", err.path,
                     err.message);
        cr_expect_eq(team.player_count, size[i]);
        cr_expect_eq(can_play(&team, SX_SETTER), setters[i]);
        cr_expect_eq(can_play(&team, SX_LIBERO), liberos[i]);
        cr_expect_geq(can_play(&team, SX_OPPOSITE), 2);
        cr_expect_geq(can_play(&team, SX_OUTSIDE), 4);
        cr_expect_geq(can_play(&team, SX_MIDDLE), 3);
        for (int p = 1; p < team.player_count; p++) {
            cr_expect_lt(team.players[p - 1].number, team.players[p].number);
        }
    }
}

Test(team, what_is_written_arrives) {
    static SxTeam team;
    cr_assert_eq(sx_team_read("datasets/junior-12.json", &team, NULL), SX_OK);
    cr_assert_str_eq(team.rules, "fivb-2025");
    const SxPlayer *pia = &team.players[sx_team_find(&team, "pia-osterloh")];
    cr_assert_str_eq(pia->name, "Pia Osterloh");
    cr_assert_eq(pia->number, 6);
    cr_assert(pia->available);
    cr_assert_eq(pia->fitness[SX_SETTER], 1.0);
    cr_assert_eq(pia->fitness[SX_OUTSIDE], 0.5);
    cr_assert_eq(pia->fitness[SX_MIDDLE], 0.0);
    cr_assert_eq(pia->skill[SX_SETTING], 5.8);
    cr_assert_eq(team.connection_count, 3);
    cr_assert_str_eq(team.players[team.connections[2].setter].id, "pia-osterloh");
    cr_assert_eq(team.connections[2].bonus, 0.3);
}

Test(team, players_are_found_by_id_and_by_shirt) {
    static SxTeam team;
    cr_assert_eq(sx_team_read("datasets/junior-12.json", &team, NULL), SX_OK);
    int frida = sx_team_find(&team, "frida-holtwisch");
    cr_assert_eq(sx_team_find(&team, "7"), frida);
    cr_assert_eq(sx_team_find(&team, "#7"), frida);
    cr_assert_eq(sx_team_find(&team, "07"), frida);
    static const char *const nobody[] = {"13", "frida", "", "#", "7 ", "-7", "007", "7.0"};
    for (size_t i = 0; i < sizeof nobody / sizeof nobody[0]; i++) {
        cr_expect_eq(sx_team_find(&team, nobody[i]), -1, "'%s'", nobody[i]);
    }
    cr_assert_str_eq(sx_team_nearest(&team, "frida-holtwish"), "frida-holtwisch");
    cr_assert_str_eq(sx_team_nearest(&team, "Frida"), "frida-holtwisch");
    cr_assert_null(sx_team_nearest(&team, "somebody else"));
}

/* Six players, the least a team can have. */
#define SKILLS                                                                                     \
    "\"skills\": {\"passing\": 5, \"setting\": 5, \"attacking\": 5, \"blocking\": 5, "             \
    "\"serving\": 5, \"digging\": 5}}"
#define PLAYER(id, name, number, roles)                                                            \
    "{\"id\": \"" id "\", \"name\": \"" name "\", \"number\": " number ", \"roles\": " roles       \
    ", " SKILLS
static const char *const players[] = {
    PLAYER("ada", "Ada", "4", "[\"setter\"]"),
    PLAYER("bea", "Bea", "2", "{\"outside\": 1, \"opposite\": 0.5}"),
    PLAYER("cia", "Cia", "9", "[\"outside\", \"specialist\"]"),
    PLAYER("dea", "Dea", "11", "[\"middle\"]"),
    PLAYER("eva", "Eva", "0", "[\"middle\"]"),
    PLAYER("fea", "Fea", "99", "[\"libero\"]"),
};
static const char *const connections[] = {
    "{\"setter\": \"ada\", \"hitter\": \"bea\", \"bonus\": 1.5}",
    "{\"setter\": \"#4\", \"hitter\": \"9\", \"bonus\": -3}",
};

static char *team_text(const int order[6], const int connection_order[2]) {
    char *text = calloc(8192, 1);
    strcat(text, "{\"format\": \"sixturn-team-1\", \"name\": \"Six\", \"rules\": \"usav\", "
                 "\"level\": \"club\", \"players\": [");
    for (int i = 0; i < 6; i++) {
        strcat(text, i ? ", " : "");
        strcat(text, players[order[i]]);
    }
    strcat(text, "], \"connections\": [");
    for (int i = 0; i < 2; i++) {
        strcat(text, i ? ", " : "");
        strcat(text, connections[connection_order[i]]);
    }
    strcat(text, "]}");
    return text;
}

static const int as_written[6] = {0, 1, 2, 3, 4, 5};
static const int first_second[2] = {0, 1};

Test(team, order_in_the_file_leaves_no_trace) {
    static const int orders[][6] = {{5, 4, 3, 2, 1, 0}, {2, 0, 4, 1, 5, 3}, {1, 2, 3, 4, 5, 0}};
    static const int second_first[2] = {1, 0};
    static SxTeam one, other;
    char *text = team_text(as_written, first_second);
    memset(&one, 0xff, sizeof one);
    cr_assert_eq(sx_team_parse(text, strlen(text), "a", &one, NULL), SX_OK);
    free(text);
    for (int i = 0; i < 3; i++) {
        text = team_text(orders[i], second_first);
        cr_assert_eq(sx_team_parse(text, strlen(text), "b", &other, NULL), SX_OK);
        cr_assert_eq(memcmp(&one, &other, sizeof one), 0, "order %d", i);
        free(text);
    }
}

/* Common practice, no source: outside hitters attack on the left, middles in the centre, opposites
 * and setters on the right; who has several roles, from all of their sides. */
Test(team, usual_sides_follow_from_the_roles_unless_given) {
    enum { LEFT = 1u << SX_LEFT, CENTRE = 1u << SX_CENTRE, RIGHT = 1u << SX_RIGHT };
    static const struct {
        const char *who;
        unsigned sides;
    } usual[] = {{"ada", RIGHT}, {"bea", LEFT | RIGHT}, {"cia", LEFT}, {"dea", CENTRE}, {"fea", 0}};
    static SxTeam team;
    char *text = team_text(as_written, first_second);
    cr_assert_eq(sx_team_parse(text, strlen(text), "a", &team, NULL), SX_OK);
    for (size_t i = 0; i < sizeof usual / sizeof usual[0]; i++) {
        const SxPlayer *player = &team.players[sx_team_find(&team, usual[i].who)];
        cr_expect_eq(player->attacks_from, usual[i].sides, "%s", usual[i].who);
        cr_expect_eq(sx_sides_by_role(player), usual[i].sides, "%s", usual[i].who);
    }
    char *own = changed(text, "\"roles\": [\"middle\"]",
                        "\"attacks_from\": [\"right\", \"left\"], \"roles\": [\"middle\"]");
    cr_assert_eq(sx_team_parse(own, strlen(own), "a", &team, NULL), SX_OK);
    cr_expect_eq(team.players[sx_team_find(&team, "dea")].attacks_from, LEFT | RIGHT);
    cr_expect_eq(sx_sides_by_role(&team.players[sx_team_find(&team, "dea")]), CENTRE);
    free(own);
    free(text);
}

/* It has no effect, and the coach may have meant somebody else. */
Test(team, a_connection_with_a_hitter_who_never_attacks_is_told_and_no_error) {
    static SxTeam team;
    char said[SX_ERROR_MESSAGE], *text = team_text(as_written, first_second);
    cr_assert_eq(sx_team_parse(text, strlen(text), "a", &team, NULL), SX_OK);
    cr_assert(!sx_team_warning(&team, 0, said, sizeof said));
    char *odd = changed(text, "\"hitter\": \"bea\"", "\"hitter\": \"fea\"");
    SxError err = {0};
    cr_assert_eq(sx_team_parse(odd, strlen(odd), "a", &team, &err), SX_OK, "%s", err.message);
    cr_assert(sx_team_warning(&team, 0, said, sizeof said));
    cr_assert_str_eq(said,
                     "the connection of #4 Ada and #99 Fea has no effect: #99 has no role that "
                     "attacks");
    cr_assert(!sx_team_warning(&team, 1, said, sizeof said));
    free(odd);
    free(text);
}

Test(team, every_mistake_is_told_with_its_place) {
    static const Mistake mistakes[] = {
        {"sixturn-team-1", "sixturn-team-9", "format", "expected \"sixturn-team-1\""},
        {"\"Six\"", "\"\"", "name", "a text"},
        {"\"name\": \"Six\", ", "", "name", "is missing"},
        {"\"players\"", "\"playres\"", "playres", "did you mean 'players'"},
        {"\"usav\"", "\"usva\"", "rules", "did you mean 'usav'"},
        {"\"usav\"", "5", "rules", "expected a text"},
        {"\"level\": \"club\"", "\"level\": \"our club\"", "level", "an id"},
        {"\"ada\"", "\"bea\"", "players[1].id", "also that of players[0]"},
        {"\"number\": 2", "\"number\": 4", "players[1].number", "players[0], Ada"},
        {"\"number\": 99", "\"number\": 100", "players[5].number", "0 to 99"},
        {"\"number\": 99", "\"number\": 9.5", "players[5].number", "whole number"},
        {"\"number\": 99", "\"number\": \"99\"", "players[5].number", "found the text \"99\""},
        {"\"number\": 99, ", "", "players[5].number", "is missing"},
        {"\"id\": \"ada\"", "\"id\": \"5\"", "players[0].id", "taken for a shirt number"},
        {"\"id\": \"ada\"", "\"id\": \"a da\"", "players[0].id", "letters"},
        {"\"id\": \"ada\"", "\"id\": \"a\\u0007\"", "players[0].id", "letters"},
        {"\"name\": \"Ada\"", "\"name\": \"A\\u001bda\"", "players[0].name", "control characters"},
        {"\"name\": \"Ada\"", "\"nickname\": \"Ada\"", "players[0].nickname", "no such field"},
        {"[\"setter\"]", "[]", "players[0].roles", "at least 1"},
        {"[\"setter\"]", "\"setter\"", "players[0].roles", "a list of roles"},
        {"[\"setter\"]", "[\"seter\"]", "players[0].roles[0]", "did you mean 'setter'"},
        {"[\"setter\"]", "[\"setter\", \"setter\"]", "players[0].roles[1]", "twice"},
        {"\"opposite\": 0.5", "\"opposite\": 1.5", "players[1].roles.opposite", "from 0 to 1"},
        {"\"opposite\": 0.5", "\"keeper\": 0.5", "players[1].roles.keeper", "allowed: setter"},
        {"{\"outside\": 1, \"opposite\": 0.5}", "{\"outside\": 0}", "players[1].roles",
         "at least one role"},
        {"{\"outside\": 1, \"opposite\": 0.5}", "{}", "players[1].roles", "at least one role"},
        {"\"passing\": 5", "\"passing\": 10.01", "players[0].skills.passing", "from 0 to 10"},
        {"\"passing\": 5", "\"passing\": -1", "players[0].skills.passing", "from 0 to 10"},
        {"\"passing\": 5", "\"passing\": \"high\"", "players[0].skills.passing",
         "expected a number from 0 to 10, found the text \"high\""},
        {"\"passing\": 5", "\"passing\": 1e999", "players[0].skills.passing", "too large"},
        {"\"passing\": 5, ", "", "players[0].skills.passing", "is missing"},
        {"\"passing\": 5", "\"pasing\": 5", "players[0].skills.pasing", "did you mean 'passing'"},
        {"\"passing\": 5", "\"setting\": 5", "players[0].skills.setting", "twice"},
        {"\"roles\": [\"setter\"]", "\"available\": \"yes\", \"roles\": [\"setter\"]",
         "players[0].available", "true or false"},
        {"\"roles\": [\"setter\"]", "\"attacks_from\": [], \"roles\": [\"setter\"]",
         "players[0].attacks_from", "at least 1"},
        {"\"roles\": [\"setter\"]", "\"attacks_from\": \"left\", \"roles\": [\"setter\"]",
         "players[0].attacks_from", "a list in square brackets"},
        {"\"roles\": [\"setter\"]", "\"attacks_from\": [\"center\"], \"roles\": [\"setter\"]",
         "players[0].attacks_from[0]",
         "a side (left, centre, right), found the text \"center\" (did"},
        {"\"roles\": [\"setter\"]",
         "\"attacks_from\": [\"left\", \"left\"], \"roles\": [\"setter\"]",
         "players[0].attacks_from[1]", "twice"},
        {"{\"setter\": \"ada\"", "{\"setter\": \"adda\"", "connections[0].setter",
         "no player 'adda' (did you mean 'ada'?)"},
        {"{\"setter\": \"ada\"", "{\"setter\": 5", "connections[0].setter", "no player '5'"},
        {"{\"setter\": \"ada\"", "{\"setter\": true", "connections[0].setter", "shirt number"},
        {"{\"setter\": \"ada\"", "{\"setter\": \"dea\"", "connections[0].setter", "role setter"},
        {"\"hitter\": \"bea\"", "\"hitter\": \"ada\"", "connections[0].hitter", "same player"},
        {"\"hitter\": \"9\"", "\"hitter\": \"bea\"", "connections[1]", "connections[0]"},
        {"\"bonus\": 1.5", "\"bonus\": 3.5", "connections[0].bonus", "from -3 to 3"},
        {", \"bonus\": 1.5", "", "connections[0].bonus", "is missing"},
    };
    char *good = team_text(as_written, first_second);
    check_mistakes(good, mistakes, sizeof mistakes / sizeof mistakes[0], parse);
    free(good);
}

static SxStatus parse_team_of(int count, SxError *err) {
    char *text = calloc((size_t)count * 400 + 200, 1), player[400];
    strcpy(text, "{\"format\": \"sixturn-team-1\", \"name\": \"Many\", \"players\": [");
    size_t used = strlen(text);
    for (int i = 0; i < count; i++) {
        int wrote = snprintf(player, sizeof player,
                             "%s{\"id\": \"p%d\", \"name\": \"P\", \"number\": %d, "
                             "\"roles\": [\"middle\"], " SKILLS,
                             i ? "," : "", i, i);
        memcpy(text + used, player, (size_t)wrote);
        used += (size_t)wrote;
    }
    memcpy(text + used, "]}", 2);
    SxStatus status = parse(text, used + 2, err);
    free(text);
    return status;
}

Test(team, six_to_sixty_four_players) {
    SxError err = {0};
    cr_assert_eq(parse_team_of(6, &err), SX_OK);
    cr_assert_eq(parse_team_of(64, &err), SX_OK);
    cr_assert_eq(parse_team_of(5, &err), SX_BAD_INPUT);
    cr_assert_str_eq(err.path, "players");
    cr_assert_not_null(strstr(err.message, "at least 6 entries, found 5"));
    cr_assert_eq(parse_team_of(65, &err), SX_BAD_INPUT);
    cr_assert_str_eq(err.path, "players");
    cr_assert_not_null(strstr(err.message, "at most 64"));
}

Test(team, truncated_anywhere) {
    size_t length = 0;
    char *good = read_whole("datasets/junior-12.json", &length);
    check_truncated(good, length, parse);
    free(good);
}

Test(team, a_failed_reading_changes_nothing) {
    static SxTeam team, before;
    memset(&team, 0x5a, sizeof team);
    memcpy(&before, &team, sizeof team);
    cr_assert_eq(sx_team_read("datasets/rules/usav.json", &team, NULL), SX_BAD_INPUT);
    cr_assert_eq(memcmp(&team, &before, sizeof team), 0);
}
