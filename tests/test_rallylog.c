/* The coach's rally log: what is read, and how mistakes are told. */
#include "sixturn/rallylog.h"

#include <criterion/criterion.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

static SxRallyLog read_log(const char *text) {
    SxRallyLog log;
    SxError err = {0};
    cr_assert_eq(sx_rally_log_parse(text, strlen(text), "log.csv", &log, &err), SX_OK, "%s",
                 err.message);
    return log;
}

static void refused(const char *text, const char *message) {
    SxRallyLog log;
    SxError err = {0};
    char said[4096];
    memset(&log, 0x5a, sizeof log);
    const SxRallyLog before = log;
    cr_assert_eq(sx_rally_log_parse(text, strlen(text), "log.csv", &log, &err), SX_BAD_INPUT);
    sx_error_text(&err, said, sizeof said);
    cr_assert_str_eq(said, message);
    cr_assert_eq(memcmp(&log, &before, sizeof log), 0, "nothing may be written");
}

Test(rallylog, rallies_are_counted_by_phase_and_rotation) {
    SxRallyLog log = read_log("set,rotation,we,result,their_rotation\n"
                              "1,1,receive,won,4\n"
                              "1,2,serve,lost,4\n"
                              "1,2,receive,lost,\n"
                              "3,2,receive,won,5\n");
    cr_assert_eq(log.rallies, 4);
    cr_assert_eq(log.sets, 2);
    cr_assert_eq(log.tally[SX_RECEIVE][0].won, 1);
    cr_assert_eq(log.tally[SX_RECEIVE][1].played, 2);
    cr_assert_eq(log.tally[SX_RECEIVE][1].won, 1);
    cr_assert_eq(log.tally[SX_SERVE][1].played, 1);
    cr_assert_eq(log.tally[SX_SERVE][1].won, 0);
    cr_assert_eq(log.pair[SX_RECEIVE][1][4].won, 1);
    cr_assert_eq(log.pair[SX_RECEIVE][1][4].played, 1);
}

/* As spreadsheets write it: byte order mark, semicolons, CR LF, quotes, blank lines, other order.
 */
Test(rallylog, the_ways_of_spreadsheets_are_read) {
    SxRallyLog log = read_log("\xef\xbb\xbfresult;we;\"rotation\";set\r\n"
                              "won;serve;6;1\r\n"
                              "\r\n"
                              "\"lost\"; receive ;1;1\r\n"
                              ";;;\r\n"
                              "won;serve;6;1");
    cr_assert_eq(log.rallies, 3);
    cr_assert_eq(log.tally[SX_SERVE][5].won, 2);
    cr_assert_eq(log.tally[SX_RECEIVE][0].played, 1);
}

Test(rallylog, one_rally_is_a_log) {
    SxRallyLog log = read_log("set\trotation\twe\tresult\n12\t6\tserve\twon");
    cr_assert_eq(log.rallies, 1);
    cr_assert_eq(log.tally[SX_SERVE][5].won, 1);
}

/* Other words, any case, title rows, columns that are of no use here. */
Test(rallylog, common_other_words_do_as_well) {
    SxRallyLog log = read_log("Spring cup;;;;\n"
                              "Game;Rot.;Phase;Comment;Point;Opponent rotation\n"
                              "1;R1;Reception;long rally;+;4\n"
                              "1;r2;SRV;;Win;4\n"
                              "1;2;serving;;L;\n"
                              "1;2;Receives;;them;5\n");
    cr_assert_eq(log.rallies, 4);
    cr_assert_eq(log.tally[SX_RECEIVE][0].won, 1);
    cr_assert_eq(log.tally[SX_SERVE][1].won, 1);
    cr_assert_eq(log.tally[SX_SERVE][1].played, 2);
    cr_assert_eq(log.tally[SX_RECEIVE][1].played, 1);
    cr_assert_eq(log.tally[SX_RECEIVE][1].won, 0);
    cr_assert_eq(log.pair[SX_RECEIVE][1][4].played, 1);
    cr_assert_eq(log.gaps, 0);
}

/* FIVB 6.1.3 (who wins the rally serves) and 7.6.2 (who has won the right to serve rotates). */
Test(rallylog, rows_that_cannot_follow_the_row_before_are_found) {
    SxRallyLog log = read_log("set,rotation,we,result,their_rotation\n"
                              "1,6,receive,won,2\n"  /* 2 */
                              "1,1,serve,won,2\n"    /* 3: we have rotated from 6 to 1 */
                              "1,1,serve,lost,2\n"   /* 4 */
                              "1,1,receive,lost,3\n" /* 5: they have rotated */
                              "1,1,receive,won,4\n"  /* 6: they have not: gap */
                              "1,1,serve,won,4\n"    /* 7: we should have rotated: gap */
                              "1,1,receive,won,\n"   /* 8: we should serve: gap */
                              "2,4,serve,won,1\n");  /* 9: another set, anything goes */
    cr_assert_eq(log.gaps, 3);
    const SxLogGap expected[3] = {{6, 0, 0, SX_RECEIVE}, {7, 0, 1, SX_SERVE}, {8, 0, 0, SX_SERVE}};
    for (int i = 0; i < 3; i++) {
        cr_expect_eq(log.gap[i].row, expected[i].row);
        cr_expect_eq(log.gap[i].rotation, expected[i].rotation);
        cr_expect_eq(log.gap[i].phase, expected[i].phase);
    }
}

Test(rallylog, empty_logs_are_refused) {
    refused("", "log.csv: the log is empty: not even a row of headings");
    refused("\n\n", "log.csv: the log is empty: not even a row of headings");
    refused("set,rotation,we,result\n", "log.csv: the log holds no rally");
    refused("a,b\n1,2\n", "log.csv: row 1: no row names the columns; expected set, rotation, we, "
                          "result and, if you like, their_rotation");
}

Test(rallylog, mistakes_are_told_with_row_and_column) {
    refused("set,rotation,we,result\n1,7,serve,won\n",
            "log.csv: row 2, column B (rotation): expected a rotation from 1 to 6, found '7'");
    refused("set,rotation,we,result\n1,1,serve,won\n\n1,2.0,serve,won\n",
            "log.csv: row 4, column B (rotation): expected a rotation from 1 to 6, found '2.0'");
    refused("set,rotation,we,result\n99999999999999999999,1,serve,won\n",
            "log.csv: row 2, column A (set): expected a whole number from 1 to 9999, found "
            "'99999999999999999999'");
    refused("set,rotation,we,result,their_rotation\n1,1,serve,won,x\n",
            "log.csv: row 2, column E (their_rotation): expected a rotation from 1 to 6, or "
            "nothing, found 'x'");
    refused("set,rotation,we,result\n1,1,serve\n",
            "log.csv: row 2, column D (result): expected won or lost, found ''");
    refused("set,rotation,we\n1,1,serve\n", "log.csv: row 1: there is no column result");
    refused(
        "set,rotatoin,we,result\n",
        "log.csv: row 1, column B: there is no column rotation; did you mean it by 'rotatoin'?");
    refused("set,rotation,we,result\n1,\"1\n",
            "log.csv:2:3: the quote that opens here is never closed");
    refused("set,rotation,we,result\n1,\"1\"2,serve,won\n",
            "log.csv:2:6: text after a closing quote; expected the next field");
}

Test(rallylog, all_mistakes_are_told_at_once) {
    refused("set,rotation,we,result\n1,0,served twice,\n0,1,serve,draw\n",
            "log.csv: row 2, column B (rotation): expected a rotation from 1 to 6, found '0'\n"
            "log.csv: row 2, column C (we): expected serve or receive, found 'served twice'\n"
            "log.csv: row 2, column D (result): expected won or lost, found ''\n"
            "log.csv: row 3, column A (set): expected a whole number from 1 to 9999, found '0'\n"
            "log.csv: row 3, column D (result): expected won or lost, found 'draw'");
}

/* Any cut and any byte changed: refused or read, never a crash. */
Test(rallylog, broken_files_do_not_crash) {
    static const char whole[] = "set;rotation;we;result;their_rotation\r\n"
                                "1;\"2\";serve;won;3\r\n2;6;receive;\"lo\"\"st\";\r\n";
    for (size_t cut = 0; cut < sizeof whole; cut++) {
        for (int byte = 0; byte < 256; byte += 3) {
            char text[sizeof whole];
            memcpy(text, whole, sizeof whole);
            text[cut / 2] = (char)byte;
            SxRallyLog log;
            SxStatus status = sx_rally_log_parse(text, cut, "log.csv", &log, NULL);
            cr_assert(status == SX_OK || status == SX_BAD_INPUT);
        }
    }
}

/* --- sets in letters ----------------------------------------------------------------------------
 */

static uint64_t seed = 11;

static int draw_int(int below) { /* xorshift */
    seed ^= seed << 13;
    seed ^= seed >> 7;
    seed ^= seed << 17;
    return (int)((seed >> 11) % (uint64_t)below);
}

/* A set by FIVB 6.1.3 and 7.6.2, row by row for a sheet and in letters: who loses a rally as the
 * serving team gives the service away, and the team that gets it turns by one. */
static void play_set(int set, bool theirs_seen, char *rows, char *letters) {
    int ours = 1 + draw_int(6), theirs = 1 + draw_int(6), points[2] = {0, 0};
    bool we_serve = draw_int(2);
    letters +=
        theirs_seen
            ? sprintf(letters, "%d %s against %d ", ours, we_serve ? "serve" : "receive", theirs)
            : sprintf(letters, draw_int(2) ? "%d%c " : " %d %c  ", ours, we_serve ? 's' : 'R');
    while (points[0] + points[1] < 20 + draw_int(30) && points[0] < 25 && points[1] < 25) {
        const bool won = draw_int(2);
        char noted[4] = "";
        snprintf(noted, sizeof noted, "%d", theirs);
        rows += sprintf(rows, "%d,%d,%s,%s,%s\n", set, ours, we_serve ? "serve" : "receive",
                        won ? "won" : "lost", theirs_seen ? noted : "");
        *letters++ = "lwLW"[won + 2 * draw_int(2)];
        if (draw_int(5) == 0) {
            *letters++ = ' ';
        }
        points[won]++;
        if (won && !we_serve) {
            ours = ours % 6 + 1;
        } else if (!won && we_serve) {
            theirs = theirs % 6 + 1;
        }
        we_serve = won;
        if (draw_int(12) == 0) { /* what is said in between and is right changes nothing */
            letters += draw_int(2) ? sprintf(letters, " %d-%d ", points[1], points[0])
                                   : sprintf(letters, " %d%s ", ours, we_serve ? " serve" : "r");
        }
    }
    sprintf(letters, "\n");
}

Test(rallylog, letters_say_what_a_sheet_of_the_same_rallies_says) {
    for (int n = 0; n < 200; n++) {
        static char rows[1 << 15], letters[1 << 12];
        const int sets = 1 + draw_int(5);
        strcpy(rows, "set,rotation,we,result,their_rotation\n");
        letters[0] = '\0';
        for (int set = 1; set <= sets; set++) {
            play_set(set, n % 2, rows + strlen(rows), letters + strlen(letters));
        }
        const SxRallyLog sheet = read_log(rows), typed = read_log(letters);
        cr_assert_eq(sheet.gaps, 0);
        cr_assert_eq(memcmp(&sheet, &typed, sizeof sheet), 0, "%s%s", rows, letters);
    }
}

Test(rallylog, a_set_may_start_in_the_middle) {
    const SxRallyLog log = read_log("4 serve 20-22 wlw 22-23\r\n\r\n");
    cr_assert(log.rallies == 3 && log.sets == 1 && log.gaps == 0);
    cr_assert_eq(log.tally[SX_SERVE][3].played, 2);
    cr_assert_eq(log.tally[SX_RECEIVE][3].won, 1);
}

/* As a sheet's rows: told, and gone on from what is said. */
Test(rallylog, what_cannot_follow_the_letters_is_found) {
    const SxRallyLog log = read_log("3 receive against 2 ww 5 serve l\n"
                                    "1 s a 6 l a 2 w receive w\n");
    cr_assert_eq(log.gaps, 3);
    const SxLogGap expected[3] = {
        {1, 24, 3, SX_SERVE}, {2, 11, 0, SX_RECEIVE}, {2, 17, 1, SX_SERVE}};
    for (int i = 0; i < 3; i++) {
        cr_expect_eq(log.gap[i].row, expected[i].row);
        cr_expect_eq(log.gap[i].character, expected[i].character, "%d", log.gap[i].character);
        cr_expect_eq(log.gap[i].rotation, expected[i].rotation);
        cr_expect_eq(log.gap[i].phase, expected[i].phase);
    }
    cr_expect_eq(log.tally[SX_SERVE][4].played, 1);
    cr_expect_eq(log.pair[SX_SERVE][4][1].played, 0, "their rotation is not known after a gap");
    cr_expect_eq(log.pair[SX_RECEIVE][0][1].won, 1, "unless it is said");
}

Test(rallylog, mistakes_in_letters_are_told_with_their_place) {
    refused("wlw", "log.csv: row 1, character 1: a set starts with our rotation and serve or "
                   "receive, as '3 receive wlwwl'");
    refused("3 wlw", "log.csv: row 1, character 1: a set starts with our rotation and serve or "
                     "receive, as '3 receive wlwwl'");
    refused("\n7 serve w", "log.csv: row 2, character 1: our rotation is 1 to 6");
    refused("1 serve against w", "log.csv: row 1, character 17: expected their rotation after "
                                 "'against'");
    refused("1 serve against 0 w", "log.csv: row 1, character 17: their rotation is 1 to 6");
    refused("1 serve", "log.csv: row 1, character 8: no rally follows, w for won and l for lost");
    refused("1 serve wwl 3-1", "log.csv: row 1, character 13: the letters come to 2-1 here, found "
                               "3-1");
    refused("1 serve wwlx", "log.csv: row 1, character 9: expected w (won) and l (lost), a "
                            "rotation, serve, receive, against or a score as 14-12; found 'wwlx'");
    refused("1 serve ww+", "log.csv: row 1, character 11: expected w (won) and l (lost), a "
                           "rotation, serve, receive, against or a score as 14-12; found '+'");
    refused("1 serve wwwwwwwwwwwwwwwwwwwwwwwww l",
            "log.csv: row 1, character 35: the set was over at 25-0; the next set starts on a line "
            "of its own");
    refused("1 serve w 99999999999-1", "log.csv: row 1, character 11: there is no such score");
    refused("w\n1 serve w\n9 s l",
            "log.csv: row 1, character 1: a set starts with our rotation and serve or receive, as "
            "'3 receive wlwwl'\nlog.csv: row 3, character 1: our rotation is 1 to 6");
}

Test(rallylog, broken_letters_do_not_crash) {
    static const char whole[] = "3 receive against 5 wlw 2-1 4 s wl\r\n1s ll 24-23 wlw\n";
    for (size_t cut = 0; cut < sizeof whole; cut++) {
        for (int byte = 0; byte < 256; byte++) {
            char text[sizeof whole];
            memcpy(text, whole, sizeof whole);
            text[cut / 2] = (char)byte;
            SxRallyLog log;
            SxError err = {0};
            SxStatus status = sx_rally_log_parse(text, cut, "log.csv", &log, &err);
            cr_assert(status == SX_OK || (status == SX_BAD_INPUT && err.message[0]));
        }
    }
}

/* As Windows' editor may save it. */
Test(rallylog, letters_in_utf_16) {
    static const char ascii[] = "3 receive wlwwl";
    char text[2 + 2 * sizeof ascii] = "\xff\xfe";
    for (size_t k = 0; ascii[k]; k++) {
        text[2 + 2 * k] = ascii[k];
    }
    SxRallyLog log;
    cr_assert_eq(sx_rally_log_parse(text, 2 * sizeof ascii, "log.txt", &log, NULL), SX_OK);
    cr_assert_eq(log.rallies, 5);
}

Test(rallylog, logs_add_up) {
    SxRallyLog sum = read_log("3 receive against 2 wlw");
    const SxRallyLog more = read_log("1 serve l 5 serve w"),
                     all = read_log("3 receive against 2 wlw\n1 serve l 5 serve w");
    sx_rally_log_add(&sum, &more);
    cr_assert(sum.rallies == all.rallies && sum.sets == 2 && sum.gaps == 1 && all.gaps == 1);
    cr_assert_eq(memcmp(sum.tally, all.tally, sizeof sum.tally), 0);
    cr_assert_eq(memcmp(sum.pair, all.pair, sizeof sum.pair), 0);
}

Test(rallylog, a_missing_file_is_told) {
    SxRallyLog log;
    SxError err = {0};
    cr_assert_eq(sx_rally_log_read("datasets/no-such-log.csv", &log, &err), SX_BAD_INPUT);
    cr_assert_str_eq(err.file, "datasets/no-such-log.csv");
}
