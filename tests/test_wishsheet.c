/* Wishes and connections from a sheet: the same plan as from a file, all mistakes at once. */
#include "input_help.h"
#include "sixturn/import.h"
#include "sixturn/plan.h"
#include "sixturn/template.h"
#include "sixturn/wishes.h"

static SxTeam team;

static void read_team(void) {
    cr_assert_eq(sx_team_read("datasets/junior-12.json", &team, NULL), SX_OK);
}

TestSuite(wishsheet, .init = read_team);

static SxPlan parse(const char *text, const char *file) {
    SxPlan plan;
    SxError err = {0};
    cr_assert_eq(sx_plan_parse(text, strlen(text), file, &team, &plan, &err), SX_OK, "%s: %s",
                 err.path, err.message);
    return plan;
}

static bool same_wish(const SxWish *a, const SxWish *b) {
    return a->kind == b->kind && a->player == b->player && a->other == b->other &&
           a->value == b->value;
}

static void check_same_wishes(const SxPlan *one, const SxPlan *other) {
    cr_assert_eq(one->wish_count, other->wish_count, "%d and %d", one->wish_count,
                 other->wish_count);
    for (int i = 0; i < one->wish_count; i++) {
        int found = 0;
        for (int k = 0; k < other->wish_count; k++) {
            found += same_wish(&one->wishes[i], &other->wishes[k]);
        }
        char text[512];
        cr_expect_eq(found, 1, "%s", sx_wish_text(&one->wishes[i], &team, text, sizeof text));
    }
}

/* Every kind of wish, said in a plan file and in a sheet. */
Test(wishsheet, a_sheet_says_the_same_as_a_plan_file) {
    SxPlan file =
        parse("{\"format\": \"sixturn-plan-1\", \"wishes\": {\"must_play\": [5], \"must_sit\": [9],"
              "\"slots\": [{\"player\": 3, \"slot\": 1}], \"opposite\": [[4, 10]],"
              "\"not_adjacent\": [[8, 11]], \"never_pass\": [7], \"always_pass\": [2],"
              "\"not_front_row\": [12], \"not_back_row\": [4], \"min_rotations\": {\"5\": 6},"
              "\"libero_for\": [10], \"max_substitutions\": 4, \"must_set\": [1]}}",
              "plan.json");
    SxPlan sheet = parse("Wish;Who;Whom;Value\nplays;5;;\nSits;Svea;;\nserves in rotation;#3;;2\n"
                         "Opposite;lotta-ehmsen;Merle Dankwart;\nnot next to;8;KAYA;\n"
                         "never passes;7;;\nAlways passes;ronja;;\nnot front row;12;;\n"
                         "not back row;4;;\nat least;5;;6\nlibero for;10;;\nsubstitutions;;;4\n"
                         "sets;1;;\nconnection;1;5;0,5\n",
                         "wishes.csv");
    cr_assert_eq(file.wish_count, (int)SX_WISH_KINDS, "every kind is there");
    check_same_wishes(&file, &sheet);
    check_same_wishes(&sheet, &file);
    SxPlan defaults;
    sx_plan_default(&defaults);
    cr_expect_eq(sheet.balance, defaults.balance);
    cr_expect_eq(sheet.passers, defaults.passers);
}

Test(wishsheet, everybody_at_least) {
    SxPlan file = parse("{\"format\": \"sixturn-plan-1\", \"wishes\": {\"must_sit\": [9], "
                        "\"min_rotations\": 1}}",
                        "plan.json");
    SxPlan sheet = parse("who,wish,whom,value\neverybody,at least,,1\n9,sits,,\n", "wishes.csv");
    check_same_wishes(&file, &sheet);
}

Test(wishsheet, all_mistakes_are_told_at_once) {
    static const char text[] = "who,wish,whom,value\n13,plays,,\n7,never pases,,\n7,opposite,7,\n"
                               "7,at least,,7\n7,plays,8,\n7,plays,,2\n3,connection,5,1\n"
                               "7,sits,,\n7,sits,,\n";
    static const char *const told[] = {
        "row 2, column A (who): expected a player's number, name or id, found \"13\"",
        "row 3, column B (wish): expected one of plays,",
        "found \"never pases\" (did you mean 'never passes'?)",
        "row 4, column C (whom): expected another player than who",
        "row 5, column D (value): expected a whole number from 0 to 6, found \"7\"",
        "row 6, column C (whom): \"plays\" is about one player; expected nothing here",
        "row 7, column D (value): \"plays\" takes no value; expected nothing here",
        "row 8, column A (who): expected a player with the role setter, found Tabea Korten",
        "row 10, column B (wish): this is also said in row 9",
    };
    SxPlan plan;
    SxError err = {0};
    char said[sizeof err + 64];
    cr_assert_eq(sx_plan_parse(text, strlen(text), "w.csv", &team, &plan, &err), SX_BAD_INPUT);
    sx_error_text(&err, said, sizeof said);
    for (size_t i = 0; i < sizeof told / sizeof told[0]; i++) {
        cr_expect_not_null(strstr(said, told[i]), "%s\nnot in\n%s", told[i], said);
    }
}

Test(wishsheet, connections_go_into_the_team_file) {
    static const char text[] = "who,wish,whom,value\n1,connection,5,0.7\nNele,connection,3,-1\n"
                               "7,sits,,\n";
    size_t length;
    char *old = read_whole("datasets/junior-12.json", &length);
    const SxImportOptions into = {.into = old, .into_length = length, .into_file = "j.json"};
    SxImported made;
    SxError err = {0};
    static SxTeam after;
    cr_assert_eq(sx_import_roster(text, strlen(text), "w.csv", &into, &made, &err), SX_OK, "%s",
                 err.message);
    cr_assert_eq(sx_team_parse(made.json, strlen(made.json), "made", &after, &err), SX_OK);
    cr_expect_eq(after.connection_count, team.connection_count + 1);
    cr_expect_eq(after.player_count, team.player_count);
    cr_expect_eq(memcmp(after.players, team.players, sizeof team.players), 0);
    double bonus[2] = {0};
    for (int c = 0; c < after.connection_count; c++) {
        int hitter = after.players[after.connections[c].hitter].number;
        if (after.players[after.connections[c].setter].number == 1 &&
            (hitter == 3 || hitter == 5)) {
            bonus[hitter == 5] = after.connections[c].bonus;
        }
    }
    cr_expect_eq(bonus[0], -1);
    cr_expect_eq(bonus[1], 0.7);
    cr_expect_not_null(strstr(made.notes, "1 wish of the sheet is for a plan"));
    sx_imported_free(&made);
    free(old);
}

/* The guide's own examples are read: each sheet row, and each piece of a plan file. */
Test(wishsheet, every_example_of_the_guide_is_right) {
    char *guide = sx_wishes_guide();
    int sheets = 0, files = 0;
    for (char *line = strtok(guide, "\n"); line; line = strtok(NULL, "\n")) {
        char text[512];
        cr_expect_leq(strlen(line), 80, "%s", line);
        if (strncmp(line, "    sheet      ", 15) == 0) {
            snprintf(text, sizeof text, "who,wish,whom,value\n%s\n", line + 15);
            parse(text, "example.csv");
            sheets++;
        } else if (strncmp(line, "    plan file  ", 15) == 0) {
            snprintf(text, sizeof text, "{\"format\": \"sixturn-plan-1\", \"wishes\": {%s}}",
                     line + 15);
            cr_expect_eq(parse(text, "example.json").wish_count, 1);
            files++;
        }
    }
    cr_expect_eq(sheets, SX_WISH_KINDS + 1, "all wishes and the connection");
    cr_expect_eq(files, SX_WISH_KINDS);
    free(guide);
}

Test(wishsheet, the_template_is_a_team) {
    static SxTeam sheet_team, file_team;
    char *sheet = NULL, *file = NULL;
    const SxImportOptions options = {.team_name = "Our team", .strict = true};
    SxImported made;
    cr_assert_eq(sx_template_sheet(&sheet, NULL), SX_OK);
    cr_assert_eq(sx_template_team(&file, NULL), SX_OK);
    cr_assert_eq(sx_import_roster(sheet, strlen(sheet), "t.csv", &options, &made, NULL), SX_OK);
    cr_expect_null(made.notes, "%s", made.notes);
    cr_assert_eq(sx_team_parse(made.json, strlen(made.json), "a", &sheet_team, NULL), SX_OK);
    cr_assert_eq(sx_team_parse(file, strlen(file), "b", &file_team, NULL), SX_OK);
    cr_expect_eq(memcmp(&sheet_team, &file_team, sizeof file_team), 0);
    cr_expect_eq(file_team.player_count, 12);
    sx_imported_free(&made);
    free(sheet);
    free(file);
}
