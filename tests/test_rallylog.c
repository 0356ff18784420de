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

Test(rallylog, empty_logs_are_refused) {
    refused("", "log.csv: the log is empty: not even a header row");
    refused("\n\n", "log.csv:2:1: the log is empty: not even a header row");
    refused("set,rotation,we,result\n", "log.csv:1:1: the log holds no rally");
}

Test(rallylog, mistakes_are_told_with_line_and_column_name) {
    refused("set,rotation,we,result\n1,7,serve,won\n",
            "log.csv:2:1: rotation: expected a rotation from 1 to 6, found '7'");
    refused("set,rotation,we,result\n1,0,serve,won\n",
            "log.csv:2:1: rotation: expected a rotation from 1 to 6, found '0'");
    refused("set,rotation,we,result\n1,1,serve,won\n\n1,2.0,serve,won\n",
            "log.csv:4:1: rotation: expected a rotation from 1 to 6, found '2.0'");
    refused("set,rotation,we,result\n1,1,served,won\n",
            "log.csv:2:1: we: expected serve or receive, found 'served'");
    refused("set,rotation,we,result\n1,1,serve,\n",
            "log.csv:2:1: result: expected won or lost, found ''");
    refused("set,rotation,we,result\n99999999999999999999,1,serve,won\n",
            "log.csv:2:1: set: expected a whole number from 1 to 9999, found "
            "'99999999999999999999'");
    refused("set,rotation,we,result,their_rotation\n1,1,serve,won,x\n",
            "log.csv:2:1: their_rotation: expected a rotation from 1 to 6, or nothing, found 'x'");
    refused("set,rotation,we,result\n1,1,serve\n",
            "log.csv:2:1: a row must have as many fields as the header");
    refused("set,rotation,we\n1,1,serve\n", "log.csv:1:1: result: the header has no such column");
    refused("set,set,we\n", "log.csv:1:1: set: the column comes twice");
    refused("set,rotatoin,we,result\n",
            "log.csv:1:1: there is no column 'rotatoin' (did you mean 'rotation'?); a rally log "
            "has the columns set, rotation, we, result and, if you like, their_rotation");
    refused("set,rotation,we,result\n1,\"1\n", "log.csv:2:1: a quote is not closed");
    refused("set,rotation,we,result\n1,\"1\"2,serve,won\n",
            "log.csv:2:1: text after a closing quote");
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
