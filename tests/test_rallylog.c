/* The coach's rally log: what is read, and how mistakes are told. */
#include "sixturn/rallylog.h"

#include <criterion/criterion.h>
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
    const SxLogGap expected[3] = {{6, 0, SX_RECEIVE}, {7, 1, SX_SERVE}, {8, 0, SX_SERVE}};
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

Test(rallylog, a_missing_file_is_told) {
    SxRallyLog log;
    SxError err = {0};
    cr_assert_eq(sx_rally_log_read("datasets/no-such-log.csv", &log, &err), SX_BAD_INPUT);
    cr_assert_str_eq(err.file, "datasets/no-such-log.csv");
}
