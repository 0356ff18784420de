/* Rosters from spreadsheets: CSV as RFC 4180 has it. */
#include "input_help.h"
#include "sixturn/csv.h"
#include "sixturn/team.h"

static SxTeam team;

static SxStatus import(const char *text, SxError *err) {
    char *json = NULL;
    SxStatus status = sx_team_from_csv(text, strlen(text), "given.csv", "Ours", &json, err);
    if (status == SX_OK) {
        cr_assert_eq(sx_team_parse(json, strlen(json), "made.json", &team, err), SX_OK, "%s: %s",
                     err ? err->path : "", err ? err->message : "");
    }
    free(json);
    return status;
}

#define HEADER "name,number,roles,passing,setting,attacking,blocking,serving,digging\n"
#define FIVE                                                                                       \
    "Bea Two,2,outside,1,2,3,4,5,6\n"                                                              \
    "Cia Three,3,outside/opposite,1,2,3,4,5,6\n"                                                   \
    "Dea Four,4,middle,1,2,3,4,5,6\n"                                                              \
    "Eva Five,5,middle,1,2,3,4,5,6\n"                                                              \
    "Fea Six,6,libero specialist,1,2,3,4,5,6\n"

Test(csv, a_plain_roster) {
    SxError err = {0};
    cr_assert_eq(import(HEADER "Ada One,#10,setter,7.5,8,3,2.25,0,10\n" FIVE, &err), SX_OK, "%s",
                 err.message);
    cr_assert_str_eq(team.name, "Ours");
    cr_assert_eq(team.player_count, 6);
    const SxPlayer *ada = &team.players[sx_team_find(&team, "ada-one")];
    cr_assert_eq(ada->number, 10);
    cr_assert_eq(ada->skill[SX_PASSING], 7.5);
    cr_assert_eq(ada->skill[SX_BLOCKING], 2.25);
    cr_assert_eq(ada->skill[SX_DIGGING], 10);
    cr_assert_eq(ada->fitness[SX_SETTER], 1);
    cr_assert(ada->available);
    const SxPlayer *fea = &team.players[sx_team_find(&team, "6")];
    cr_assert_eq(fea->fitness[SX_LIBERO], 1);
    cr_assert_eq(fea->fitness[SX_SPECIALIST], 1);
}

/* RFC 4180 section 2: CRLF (1), no line end after the last row (2), quoted fields (5), separators
 * inside quotes (6), doubled quotes (7). */
Test(csv, rfc_4180) {
    SxError err = {0};
    cr_assert_eq(
        import("\"name\",number,roles,passing,setting,attacking,blocking,serving,digging\r\n"
               "\"One, Ada \"\"Ace\"\"\",1,\"setter\",1,2,3,4,5,6\r\n"
               "Bea,2,outside,1,2,3,4,5,6\r\nCia,3,outside,1,2,3,4,5,6\r\n\r\n"
               "Dea,4,middle,1,2,3,4,5,6\r\nEva,5,middle,1,2,3,4,5,6\r\n"
               ",,,,,,,,\r\nFea,6,libero,1,2,3,4,5,6",
               &err),
        SX_OK, "%s", err.message);
    cr_assert_str_eq(team.players[0].name, "One, Ada \"Ace\"");
    cr_assert_str_eq(team.players[0].id, "one-ada-ace");
    cr_assert_eq(team.player_count, 6);
}

/* What a spreadsheet set to a language with decimal commas writes. */
Test(csv, semicolons_and_decimal_commas) {
    SxError err = {0};
    cr_assert_eq(
        import("\xef\xbb\xbfNumber;ID;Name;Roles;Available;Digging;Passing;Setting;Attacking;"
               "Blocking;Serving\n"
               "1;;Jürgen Groß;setter;no;6;7,5;2;3;4;5\n2;bea;Bea;outside;YES;6;1;2;3;4;5\n"
               "3;;Cia;outside;;6;1;2;3;4;5\n4;;Cia;middle;1;6;1;2;3;4;5\n"
               "5;;12;middle;true;6;1;2;3;4;5\n6;;Łucja;libero;0;6;1;2;3;4;5\n",
               &err),
        SX_OK, "%s", err.message);
    static const char *const ids[] = {"juergen-gross", "bea", "cia", "cia-4", "12-5", "Łucja"};
    for (int i = 0; i < 6; i++) {
        cr_expect_str_eq(team.players[i].id, ids[i]);
        cr_expect_eq(team.players[i].available, i != 0 && i != 5);
    }
    cr_assert_eq(team.players[0].skill[SX_PASSING], 7.5);
    cr_assert_eq(team.players[0].skill[SX_DIGGING], 6);
}

typedef struct {
    const char *text;
    int line;
    const char *path, *says;
} BadRoster;

#define ADA(fields) HEADER fields "\n" FIVE

Test(csv, every_mistake_is_told_with_line_and_column_name) {
    static const BadRoster bad[] = {
        {"", 1, "", "empty"},
        {HEADER, 2, "", "at least 6 players, found 0"},
        {HEADER FIVE, 7, "", "at least 6 players, found 5"},
        {"name,number\n", 1, "roles", "missing"},
        {"nmae,number\n", 1, "nmae", "did you mean 'name'"},
        {"name,number,name\n", 1, "name", "twice"},
        {ADA("Ada,1,setter,1,2,3,4,5"), 2, "", "8 fields, the first row has 9"},
        {ADA("Ada,1,setter,1,2,3,4,5,6,7"), 2, "", "10 fields"},
        {ADA(",1,setter,1,2,3,4,5,6"), 2, "name", "expected a text"},
        {ADA("\"A\nda\",1,setter,1,2,3,4,5,6"), 2, "name", "without line ends"},
        {ADA("Ada,x,setter,1,2,3,4,5,6"), 2, "number", "0 to 99, found \"x\""},
        {ADA("Ada,100,setter,1,2,3,4,5,6"), 2, "number", "0 to 99"},
        {ADA("Ada,-1,setter,1,2,3,4,5,6"), 2, "number", "0 to 99"},
        {ADA("Ada,6,setter,1,2,3,4,5,6"), 7, "number", "also that of Ada"},
        {ADA("Ada,1,sitter,1,2,3,4,5,6"), 2, "roles", "found \"sitter\""},
        {ADA("Ada,1,,1,2,3,4,5,6"), 2, "roles", "expected roles"},
        {ADA("Ada,1,setter,high,2,3,4,5,6"), 2, "passing", "0 to 10, found \"high\""},
        {ADA("Ada,1,setter,1,2,3,4,5,10.5"), 2, "digging", "0 to 10"},
        {ADA("Ada,1,setter,1,nan,3,4,5,6"), 2, "setting", "found \"nan\""},
        {ADA("Ada,1,setter,1,0x5,3,4,5,6"), 2, "setting", "0 to 10"},
        {ADA("Ada,1,setter,1,1e1,3,4,5,6"), 2, "setting", "0 to 10"},
        {ADA("Ada,1,setter,1,,3,4,5,6"), 2, "setting", "found \"\""},
        {ADA("Ada,1,setter,1,1.2.3,3,4,5,6"), 2, "setting", "0 to 10"},
        {ADA("\"Ada,1,setter,1,2,3,4,5,6"), 2, "", "never closed"},
        {ADA("A\"da,1,setter,1,2,3,4,5,6"), 2, "", "a quote inside"},
        {ADA("\"Ada\"x,1,setter,1,2,3,4,5,6"), 2, "", "after the closing quote"},
        {ADA("A\xff,1,setter,1,2,3,4,5,6"), 2, "", "UTF-8"},
    };
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        SxError err = {0};
        cr_expect_eq(import(bad[i].text, &err), SX_BAD_INPUT, "row %zu", i);
        cr_expect_eq(err.line, bad[i].line, "row %zu: line %d, %s", i, err.line, err.message);
        cr_expect_str_eq(err.path, bad[i].path, "row %zu: %s: %s", i, err.path, err.message);
        cr_expect_not_null(strstr(err.message, bad[i].says), "row %zu: %s", i, err.message);
        cr_expect_str_eq(err.file, "given.csv");
    }
}

Test(csv, too_many_players_and_fields) {
    char *text = calloc(100000, 1), row[64];
    SxError err = {0};
    strcpy(text, HEADER);
    for (int i = 0; i < 65; i++) {
        snprintf(row, sizeof row, "P%d,%d,middle,1,2,3,4,5,6\n", i, i);
        strcat(text, row);
    }
    cr_assert_eq(import(text, &err), SX_BAD_INPUT);
    cr_assert_not_null(strstr(err.message, "at most 64 players"));
    strcpy(text, HEADER);
    memset(text + strlen(text), ',', 50000);
    cr_assert_eq(import(text, &err), SX_BAD_INPUT);
    cr_assert_not_null(strstr(err.message, "more than 32 fields"));
    free(text);
}
