/* Spreadsheets as coaches have them, in tests/sheets: each is read in one run, or refused with all
 * that is wrong with it in one run. The workbooks and the files in other encodings were written by
 * programs that others wrote (see make_sheets.py there). */
#include "input_help.h"
#include "sixturn/import.h"
#include "sixturn/team.h"

static SxTeam team;

static const SxImportOptions plainly = {.team_name = "Ours"};

static SxStatus import_file(const char *file, const SxImportOptions *options, SxImported *made) {
    char path[128];
    size_t length;
    SxError err = {0};
    snprintf(path, sizeof path, "tests/sheets/%s", file);
    char *data = read_whole(path, &length);
    SxStatus status = sx_import_roster(data, length, file, options, made, &err);
    if (status == SX_OK) {
        cr_assert_eq(sx_team_parse(made->json, strlen(made->json), "made.json", &team, &err), SX_OK,
                     "%s: %s", err.path, err.message);
    } else {
        cr_assert_neq(err.message[0], '\0');
        cr_assert_null(made->json);
    }
    free(data);
    return status;
}

static SxStatus import_text(const char *text, const SxImportOptions *options, SxImported *made) {
    SxError err = {0};
    SxStatus status = sx_import_roster(text, strlen(text), "given.csv", options, made, &err);
    if (status == SX_OK) {
        cr_assert_eq(sx_team_parse(made->json, strlen(made->json), "made.json", &team, &err), SX_OK,
                     "%s: %s", err.path, err.message);
    }
    return status;
}

static void check_is_the_roster(const char *file) {
    static const struct {
        int number;
        const char *id, *name;
        unsigned roles;
        double skill[SX_SKILL_COUNT];
    } players[8] = {
        {1, "alma-gruenwald", "Alma Grünwald", 1u << SX_SETTER, {4.5, 7.25, 4, 3.5, 6, 5.5}},
        {4,
         "bettina-roesch",
         "Bettina Rösch",
         1u << SX_OUTSIDE | 1u << SX_OPPOSITE,
         {6.5, 3, 6.75, 5, 6, 5.5}},
        {5, "carla-weisshaupt", "Carla Weißhaupt", 1u << SX_OUTSIDE, {6, 3.5, 5.5, 4.5, 5, 6}},
        {7, "doerte-anger", "Dörte Anger", 1u << SX_MIDDLE, {2.5, 2, 6, 6.5, 4.5, 3}},
        {8, "enja-falkner", "Enja Falkner", 1u << SX_MIDDLE, {3, 2, 5.5, 6, 5, 3.5}},
        {10, "fine-joest", "Fine Jöst", 1u << SX_OPPOSITE, {3.5, 3, 6.5, 6, 6.5, 4}},
        {12,
         "greta-uhlig",
         "Greta Uhlig",
         1u << SX_LIBERO | 1u << SX_SPECIALIST,
         {7.5, 4, 1.5, 0.5, 5, 7.5}},
        {15,
         "hanna-oettl",
         "Hanna Öttl",
         1u << SX_OUTSIDE | 1u << SX_SPECIALIST,
         {6, 3.5, 4.5, 3.5, 5.5, 6}},
    };
    cr_assert_eq(team.player_count, 8, "%s", file);
    for (int p = 0; p < 8; p++) {
        const SxPlayer *player = &team.players[p];
        cr_expect_eq(player->number, players[p].number, "%s", file);
        cr_expect_str_eq(player->id, players[p].id, "%s: %s", file, player->id);
        cr_expect_str_eq(player->name, players[p].name, "%s: %s", file, player->name);
        cr_expect(player->available);
        cr_expect_eq(player->estimated, 0);
        for (int i = 0; i < SX_ROLE_COUNT; i++) {
            cr_expect_eq(player->fitness[i], players[p].roles >> i & 1, "%s: #%d %s", file,
                         player->number, sx_role_name((SxRole)i));
        }
        for (int i = 0; i < SX_SKILL_COUNT; i++) {
            cr_expect_eq(player->skill[i], players[p].skill[i], "%s: #%d %s", file, player->number,
                         sx_skill_name((SxSkill)i));
        }
    }
}

/* One roster, saved in every way: it arrives as the same team. */
Test(sheets, every_way_to_save_a_roster_gives_the_same_team) {
    static const char *const files[] = {
        "roster.csv", "mark.csv",        "windows-1252.csv", "utf-16.txt",  "utf-16be.csv",
        "quotes.csv", "other-words.csv", "titles.csv",       "roster.xlsx", "roster.ods",
    };
    for (size_t i = 0; i < sizeof files / sizeof files[0]; i++) {
        SxImported made;
        cr_assert_eq(import_file(files[i], &plainly, &made), SX_OK, "%s:\n%s", files[i],
                     made.problems);
        check_is_the_roster(files[i]);
        sx_imported_free(&made);
    }
}

Test(sheets, what_is_ignored_is_told) {
    SxImported made;
    cr_assert_eq(import_file("other-words.csv", &plainly, &made), SX_OK);
    cr_expect_not_null(strstr(made.notes, "column D, \"Mother's phone\", is ignored\n"));
    cr_expect_not_null(strstr(made.notes, "row 10 names nobody and is ignored\n"));
    sx_imported_free(&made);
    cr_assert_eq(import_file("titles.csv", &plainly, &made), SX_OK);
    cr_expect_str_eq(made.notes, "what stands above the headings in row 5 is ignored\n");
    sx_imported_free(&made);
    cr_assert_eq(import_file("windows-1252.csv", &plainly, &made), SX_OK);
    cr_expect_str_eq(made.notes, "the sheet was read as Windows-1252\n");
    sx_imported_free(&made);
    cr_assert_eq(import_file("roster.csv", &plainly, &made), SX_OK);
    cr_expect_null(made.notes);
    sx_imported_free(&made);
}

Test(sheets, forty_rows) {
    SxImported made;
    cr_assert_eq(import_file("forty.csv", &plainly, &made), SX_OK, "%s", made.problems);
    cr_assert_eq(team.player_count, 40);
    cr_assert_str_eq(team.players[39].id, team.players[39].id);
    sx_imported_free(&made);
}

/* By hand: the other outsides pass 6.5 and 6 (6.25, as a tenth 6.3), the other middle blocks 6.5,
 * the other specialist digs 6. */
Test(sheets, an_empty_skill_is_the_mean_of_those_who_share_a_role_and_is_marked) {
    SxImported made;
    cr_assert_eq(import_file("missing-cells.csv", &plainly, &made), SX_OK, "%s", made.problems);
    const SxPlayer *carla = &team.players[sx_team_find(&team, "5")];
    const SxPlayer *enja = &team.players[sx_team_find(&team, "8")];
    const SxPlayer *greta = &team.players[sx_team_find(&team, "12")];
    cr_expect_float_eq(carla->skill[SX_PASSING], 6.3, 1e-9);
    cr_expect_float_eq(enja->skill[SX_BLOCKING], 6.5, 1e-9);
    cr_expect_float_eq(greta->skill[SX_DIGGING], 6.0, 1e-9);
    cr_expect_eq(carla->estimated, 1u << SX_PASSING);
    cr_expect_eq(greta->estimated, 1u << SX_DIGGING);
    cr_expect_eq(team.players[sx_team_find(&team, "1")].estimated, 0);
    cr_expect_not_null(
        strstr(made.notes, "#5 Carla Weißhaupt: passing is empty, estimated as 6.3"));
    char said[SX_ERROR_MESSAGE];
    cr_assert(sx_team_warning(&team, 0, said, sizeof said));
    cr_expect_str_eq(said, "these ratings are estimates: #5 passing; #8 blocking; #12 digging");
    sx_imported_free(&made);
}

Test(sheets, strictly_an_empty_skill_is_refused) {
    const SxImportOptions strict = {.team_name = "Ours", .strict = true};
    SxImported made;
    cr_assert_eq(import_file("missing-cells.csv", &strict, &made), SX_BAD_INPUT);
    cr_expect_str_eq(
        made.problems,
        "missing-cells.csv: row 4, passing: is empty; expected a number from 0 to 10\n"
        "missing-cells.csv: row 6, blocking: is empty; expected a number from 0 to 10\n"
        "missing-cells.csv: row 8, digging: is empty; expected a number from 0 to "
        "10\n");
    sx_imported_free(&made);
}

static int lines_of(const char *text) {
    int count = 0;
    for (; text && *text; text++) {
        count += *text == '\n';
    }
    return count;
}

Test(sheets, all_that_is_wrong_is_told_at_once) {
    static const char *const told[] = {
        "row 1, column J (number): column B gives number already",
        "row 1, column A: there is no column name; did you mean it by \"Nmae\"?",
        "row 2, column C (roles): expected 'setter', or other roles among",
        "row 3, column B (number): expected a shirt number from 0 to 99, found \"100\"",
        "row 4, column D (passing): expected a number from 0 to 10, found \"sixty\"",
        "row 5, column B (number): the shirt number 5 is also in row 4",
        "row 5, column I (digging): expected a number from 0 to 10, found \"30\"",
        "row 6, column C (roles): is empty; expected roles among",
        "row 6, column F (attacking): expected a number from 0 to 10, found \"-5.5\"",
        "row 7, column K: \"7\" stands beyond the last heading",
    };
    const size_t count = sizeof told / sizeof told[0];
    SxImported made;
    cr_assert_eq(import_file("wrong-words.csv", &plainly, &made), SX_BAD_INPUT);
    for (size_t i = 0; i < count; i++) {
        cr_expect_not_null(strstr(made.problems, told[i]), "%s\nnot in\n%s", told[i],
                           made.problems);
    }
    cr_expect_eq(lines_of(made.problems), (int)count, "%s", made.problems);
    sx_imported_free(&made);
    cr_assert_eq(import_file("wrong.xlsx", &plainly, &made), SX_BAD_INPUT);
    cr_expect_not_null(strstr(made.problems, "row 4, column F (attacking)"));
    cr_expect_not_null(strstr(made.problems, "row 5, column B (number)"));
    cr_expect_not_null(strstr(made.problems, "row 6, column C (roles)"));
    cr_expect_eq(lines_of(made.problems), 3);
    sx_imported_free(&made);
}

#define HEADER "name,number,roles,passing,setting,attacking,blocking,serving,digging\n"
#define FIVE                                                                                       \
    "Bea Two,2,outside,1,2,3,4,5,6\n"                                                              \
    "Cia Three,3,outside/opposite,1,2,3,4,5,6\n"                                                   \
    "Dea Four,4,middle,1,2,3,4,5,6\n"                                                              \
    "Eva Five,5,middle,1,2,3,4,5,6\n"                                                              \
    "Fea Six,6,libero specialist,1,2,3,4,5,6\n"
#define ADA(fields) HEADER fields "\n" FIVE

/* RFC 4180 section 2: CRLF (1), no line end after the last row (2), quoted fields (5), separators
 * and line ends inside quotes (6), doubled quotes (7). */
Test(sheets, rfc_4180) {
    SxImported made;
    cr_assert_eq(
        import_text("\"name\",number,roles,passing,setting,attacking,blocking,serving,digging\r\n"
                    "\"One, Ada \"\"Ace\"\"\",1,\"setter\",1,2,3,4,5,6\r\n"
                    "Bea,2,outside,1,2,3,4,5,6\r\nCia,3,outside,1,2,3,4,5,6\r\n\r\n"
                    "Dea,4,middle,1,2,3,4,5,6\r\nEva,5,middle,1,2,3,4,5,6\r\n"
                    ",,,,,,,,\r\nFea,6,libero,1,2,3,4,5,6",
                    &plainly, &made),
        SX_OK, "%s", made.problems);
    cr_assert_str_eq(team.players[0].name, "One, Ada \"Ace\"");
    cr_assert_str_eq(team.players[0].id, "one-ada-ace");
    cr_assert_eq(team.player_count, 6);
    sx_imported_free(&made);
}

Test(sheets, ids_are_read_or_made_and_never_twice) {
    SxImported made;
    cr_assert_eq(import_text("Number;ID;Name;Roles;Available;Digging;Passing;Setting;Attacking;"
                             "Blocking;Serving;Sides\n"
                             "1;;Jürgen Groß;setter;no;6;7,5;2;3;4;5;\n"
                             "2;bea;Bea;outside;YES;6;1;2;3;4;5;left, right\n"
                             "3;;Cia;outside;;6;1;2;3;4;5;\n4;;Cia;middle;1;6;1;2;3;4;5;\n"
                             "5;;12;middle;true;6;1;2;3;4;5;\n6;;Łucja;libero;0;6;1;2;3;4;5;\n",
                             &plainly, &made),
                 SX_OK, "%s", made.problems);
    static const char *const ids[] = {"juergen-gross", "bea", "cia", "cia-4", "12-5", "Łucja"};
    for (int i = 0; i < 6; i++) {
        cr_expect_str_eq(team.players[i].id, ids[i]);
        cr_expect_eq(team.players[i].available, i != 0 && i != 5);
    }
    cr_expect_eq(team.players[1].attacks_from, 1u << SX_LEFT | 1u << SX_RIGHT);
    cr_expect_eq(team.players[2].attacks_from, 1u << SX_LEFT);
    sx_imported_free(&made);
}

typedef struct {
    const char *text, *says;
} BadRoster;

Test(sheets, every_mistake_is_told_with_its_place) {
    static const BadRoster bad[] = {
        {"", "no row names the columns"},
        {HEADER, "at least 6 players, found 0"},
        {HEADER FIVE, "at least 6 players, found 5"},
        {"name,number\n", "no row names the columns"},
        {ADA(",1,setter,1,2,3,4,5,6"), "row 2, column A (name): is empty; expected a text"},
        {ADA("\"A\nda\",1,setter,1,2,3,4,5,6"), "row 2, column A (name): expected a text"},
        {ADA("Ada,x,setter,1,2,3,4,5,6"), "(number): expected a shirt number from 0 to 99, found"},
        {ADA("Ada,-1,setter,1,2,3,4,5,6"), "0 to 99"},
        {ADA("Ada,1.5,setter,1,2,3,4,5,6"), "0 to 99"},
        {ADA("Ada,1,setter,1,nan,3,4,5,6"),
         "(setting): expected a number from 0 to 10, found \"nan"},
        {ADA("Ada,1,setter,1,0x5,3,4,5,6"), "found \"0x5\""},
        {ADA("Ada,1,setter,1,1e1,3,4,5,6"), "found \"1e1\""},
        {ADA("Ada,1,setter,1,1.2.3,3,4,5,6"), "found \"1.2.3\""},
        {ADA("Ada,1,kee\x1bper,1,2,3,4,5,6"), "found \"kee\\x1bper\""},
    };
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        SxImported made;
        cr_expect_eq(import_text(bad[i].text, &plainly, &made), SX_BAD_INPUT, "row %zu", i);
        cr_expect_eq(lines_of(made.problems), 1, "row %zu:\n%s", i, made.problems);
        cr_expect_not_null(strstr(made.problems ? made.problems : "", bad[i].says), "row %zu: %s",
                           i, made.problems);
        sx_imported_free(&made);
    }
}

/* What is no sheet at all is told with line and column, for nothing can be read behind it. */
Test(sheets, broken_files) {
    static const struct {
        const char *text;
        int line, column;
        const char *says;
    } bad[] = {
        {ADA("\"Ada,1,setter,1,2,3,4,5,6"), 2, 1, "never closed"},
        {ADA("A\"da,1,setter,1,2,3,4,5,6"), 2, 2, "a quote inside"},
        {ADA("\"Ada\"x,1,setter,1,2,3,4,5,6"), 2, 6, "after a closing quote"},
        {ADA("A\x81,1,setter,1,2,3,4,5,6"), 0, 0, "no text file"}, /* in no encoding */
        {"PK\3\4 and no archive", 0, 0, "damaged"},
    };
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        SxError err = {0};
        SxImported made;
        cr_expect_eq(
            sx_import_roster(bad[i].text, strlen(bad[i].text), "given.csv", &plainly, &made, &err),
            SX_BAD_INPUT, "row %zu", i);
        cr_expect_eq(err.line, bad[i].line, "row %zu: %d, %s", i, err.line, err.message);
        cr_expect_eq(err.column, bad[i].column, "row %zu: %d", i, err.column);
        cr_expect_not_null(strstr(err.message, bad[i].says), "row %zu: %s", i, err.message);
        sx_imported_free(&made);
    }
}

Test(sheets, too_many_players_and_fields) {
    char *text = calloc(100000, 1), row[64];
    SxImported made;
    strcpy(text, HEADER);
    for (int i = 0; i < 65; i++) {
        snprintf(row, sizeof row, "P%d,%d,middle,1,2,3,4,5,6\n", i, i);
        strcat(text, row);
    }
    cr_assert_eq(import_text(text, &plainly, &made), SX_BAD_INPUT);
    cr_assert_not_null(strstr(made.problems, "at most 64 players"));
    sx_imported_free(&made);
    SxError err = {0};
    strcpy(text, HEADER);
    memset(text + strlen(text), ',', 50000);
    cr_assert_eq(sx_import_roster(text, strlen(text), "f", &plainly, &made, &err), SX_BAD_INPUT);
    cr_assert_not_null(strstr(err.message, "more than 256 fields"));
    sx_imported_free(&made);
    free(text);
}

/* Roles as rosters write them; common practice, no source. */
Test(sheets, words_for_roles) {
    static const struct {
        const char *text;
        unsigned roles;
    } some[] = {
        {"S", 1u << SX_SETTER},
        {"Setters", 1u << SX_SETTER},
        {"oh/RS", 1u << SX_OUTSIDE | 1u << SX_OPPOSITE},
        {"OH1", 1u << SX_OUTSIDE},
        {"MB; OPP", 1u << SX_MIDDLE | 1u << SX_OPPOSITE},
        {"middle blocker+right side hitter", 1u << SX_MIDDLE | 1u << SX_OPPOSITE},
        {"Libero and DS", 1u << SX_LIBERO | 1u << SX_SPECIALIST},
        {"l , ds", 1u << SX_LIBERO | 1u << SX_SPECIALIST},
        {"Setter Outside Middle Opposite", 15},
    };
    for (size_t i = 0; i < sizeof some / sizeof some[0]; i++) {
        char text[1024];
        SxImported made;
        snprintf(text, sizeof text, ADA("Ada,1,\"%s\",1,2,3,4,5,6"), some[i].text);
        cr_assert_eq(import_text(text, &plainly, &made), SX_OK, "%s: %s", some[i].text,
                     made.problems);
        for (int r = 0; r < SX_ROLE_COUNT; r++) {
            cr_expect_eq(team.players[0].fitness[r], some[i].roles >> r & 1, "%s: %s", some[i].text,
                         sx_role_name((SxRole)r));
        }
        sx_imported_free(&made);
    }
}

/* Bringing a team file up to date. */

static char *junior;

static SxImportOptions into_junior(void) {
    size_t length;
    junior = read_whole("datasets/junior-12.json", &length);
    return (SxImportOptions){.into = junior, .into_length = length, .into_file = "junior-12.json"};
}

#define WORDS "Name,No,Pos,Pass,Set,Hit,Block,Serve,Dig,Available\n"

Test(sheets, an_update_keeps_what_the_sheet_does_not_say) {
    SxImportOptions options = into_junior();
    SxImported made;
    cr_assert_eq(import_text(WORDS "Juna Redeker,8,OH/OPP,5.5,,6,4.9,5.7,4.6,\n"
                                   "Frida Holtwish,7,OPP/MB,3.3,3.1,6.4,5.8,6.6,4,no\n"
                                   "Lotta Ehmsen,14,MB,2.6,2.2,5.9,6.6,4.3,3.1,\n"
                                   "Neu Anfang,21,MB,3,2,5,6,4,3,\n",
                             &options, &made),
                 SX_OK, "%s", made.problems);
    static SxTeam before;
    cr_assert_eq(sx_team_parse(junior, strlen(junior), "j", &before, NULL), SX_OK);
    cr_expect_str_eq(team.name, before.name);
    cr_expect_str_eq(team.rules, before.rules);
    cr_expect_eq(team.player_count, 13);
    cr_expect_eq(team.connection_count, before.connection_count);
    const SxPlayer *juna = &team.players[sx_team_find(&team, "juna-redeker")];
    cr_expect_eq(juna->skill[SX_PASSING], 5.5);
    cr_expect_eq(juna->skill[SX_SETTING], 2.8, "an empty cell keeps what was known");
    cr_expect_eq(juna->fitness[SX_OPPOSITE], 0.8, "how well she plays a role stays");
    const SxPlayer *frida = &team.players[sx_team_find(&team, "frida-holtwisch")];
    cr_expect_str_eq(frida->name, "Frida Holtwish", "the number and nearly the name");
    cr_expect(!frida->available);
    cr_expect_eq(team.players[sx_team_find(&team, "lotta-ehmsen")].number, 14);
    cr_expect_not_null(strstr(made.notes, "#8 Juna Redeker: passing 5.1 to 5.5\n"));
    cr_expect_not_null(
        strstr(made.notes, "#7 Frida Holtwish: was Frida Holtwisch; not available\n"));
    cr_expect_not_null(strstr(made.notes, "#14 Lotta Ehmsen: number 4 to 14\n"));
    cr_expect_not_null(strstr(made.notes, "new: #21 Neu Anfang\n"));
    cr_expect_not_null(
        strstr(made.notes, "not in the sheet, stays as she was: #12 Enna Wohlers\n"));
    sx_imported_free(&made);
    free(junior);
}

Test(sheets, an_update_with_what_is_known_changes_nothing) {
    SxImportOptions options = into_junior();
    SxImported made;
    cr_assert_eq(
        import_text(WORDS "Juna Redeker,8,OH/OPP,5.1,2.8,6,4.9,5.7,4.6,\n", &options, &made), SX_OK,
        "%s", made.problems);
    static SxTeam before;
    cr_assert_eq(sx_team_parse(junior, strlen(junior), "j", &before, NULL), SX_OK);
    cr_expect_eq(memcmp(&before, &team, sizeof team), 0);
    sx_imported_free(&made);
    free(junior);
}

/* Her id says who she is, whatever else has changed; a role more, a role less and other sides are
 * told. */
Test(sheets, an_update_by_id) {
    SxImportOptions options = into_junior();
    SxImported made;
    cr_assert_eq(import_text("id,Name,No,Pos,Pass,Set,Hit,Block,Serve,Dig\n"
                             "ylva-sandkamp,Ylva Neumann,19,OH/OPP,5.7,3.4,5.6,4.4,5.2,5.9\n"
                             "pia-osterloh,Pia Osterloh,6,S,5.2,5.8,4.9,4.1,5,5.3\n"
                             "neu-dabei,Neu Dabei,31,MB,3,2,5,6,4,3\n",
                             &options, &made),
                 SX_OK, "%s", made.problems);
    const int ylva = sx_team_find(&team, "ylva-sandkamp");
    cr_assert_geq(ylva, 0);
    cr_expect_str_eq(team.players[ylva].name, "Ylva Neumann");
    cr_expect_eq(team.players[ylva].number, 19);
    cr_expect_gt(team.players[ylva].fitness[SX_OPPOSITE], 0);
    cr_expect_eq(team.players[sx_team_find(&team, "pia-osterloh")].fitness[SX_OUTSIDE], 0);
    cr_expect_str_eq(team.players[sx_team_find(&team, "#31")].id, "neu-dabei");
    cr_expect_not_null(strstr(made.notes, "#19 Ylva Neumann: was Ylva Sandkamp; number 5 to 19; "
                                          "outside to outside/opposite\n"),
                       "%s", made.notes);
    cr_expect_not_null(strstr(made.notes, "#6 Pia Osterloh: setter/outside to setter\n"), "%s",
                       made.notes);
    sx_imported_free(&made);
    free(junior);
}

Test(sheets, somebody_else_with_a_number_of_the_team_is_refused) {
    SxImportOptions options = into_junior();
    SxImported made;
    cr_assert_eq(import_text(WORDS "Neu Anfang,8,MB,3,2,5,6,4,3,\nJuna Redeker,9,OH,5,5,5,5,5,5,\n",
                             &options, &made),
                 SX_BAD_INPUT);
    cr_expect_str_eq(
        made.problems,
        "given.csv: row 3, number: the number 9 is that of Svea Lammers in the team "
        "file; if this is her, give her id \"svea-lammers\" in a column id, else change "
        "one of the numbers\n",
        "%s", made.problems);
    sx_imported_free(&made);
    free(junior);
}
