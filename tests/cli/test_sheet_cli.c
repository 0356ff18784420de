/* Whole runs of sixturn sheet and sixturn report. */
#define _POSIX_C_SOURCE 200809L
#include "support.h"

#include <cjson/cJSON.h>
#include <criterion/criterion.h>
#include <dirent.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

static const char *const teams[] = {"datasets/club-16.json", "datasets/junior-12.json"};
static char folder[40];

static void make_folder(void) {
    strcpy(folder, "/tmp/sixturn-cli-XXXXXX");
    cr_assert_not_null(mkdtemp(folder));
}

static void drop_folder(void) {
    char command[80];
    snprintf(command, sizeof command, "rm -rf %s", folder);
    Run run = run_shell(command);
    run_free(&run);
}

TestSuite(sheet_cli, .init = make_folder, .fini = drop_folder);

static int files_left(void) {
    DIR *open = opendir(folder);
    int count = -2; /* . and .. */
    while (readdir(open)) {
        count++;
    }
    closedir(open);
    return count;
}

/* Runs the words with every %s replaced by the folder. */
static Run in_folder(const char *format) {
    char words[512] = "";
    size_t used = 0;
    for (const char *c = format; *c && used < sizeof words - sizeof folder; c++) {
        if (c[0] == '%' && c[1] == 's') {
            used += (size_t)sprintf(words + used, "%s", folder);
            c++;
        } else {
            words[used++] = *c;
        }
    }
    words[used] = '\0';
    return run_sixturn(words);
}

static void expect(const char *words, int exit_status, const char *in_err) {
    Run run = in_folder(words);
    cr_expect_eq(run.exit_status, exit_status, "'%s' ends with %d: %s", words, run.exit_status,
                 run.err);
    cr_expect_not_null(strstr(run.err, in_err), "'%s' says '%s'", words, run.err);
    run_free(&run);
}

Test(sheet_cli, words_that_do_not_fit_are_bad_usage) {
    expect("sheet datasets/club-16.json", 2, "-o FILE");
    expect("sheet -o %s/a.pdf", 2, "one team file");
    expect("sheet datasets/club-16.json -o %s/a.doc", 2, ".pdf, .svg or .png");
    expect("sheet datasets/club-16.json -o %s/a.pdf --paper a3", 2, "found 'a3'");
    expect("sheet datasets/club-16.json -o %s/a.pdf --phase toss", 2, "found 'toss'");
    expect("sheet datasets/club-16.json -o %s/a.pdf --for 77", 2, "no player '77'");
    expect("sheet datasets/club-16.json -o %s/a.pdf --json", 2, "--json");
    expect("report datasets/club-16.json", 2, "-o FILE");
    cr_expect_eq(files_left(), 0);
}

Test(sheet_cli, nothing_is_written_where_nothing_can_be) {
    expect("sheet datasets/club-16.json -o %s/none/a.pdf", 4, "none/a.pdf");
    expect("report datasets/club-16.json --brief -o %s/none/a.html", 4, "none/a.html");
    expect("report datasets/club-16.json --brief -o /dev/full", 4, "/dev/full");
    expect("sheet %s/none.json -o %s/a.pdf", 3, "none.json");
    cr_expect_eq(files_left(), 0);
}

Test(sheet_cli, every_kind_of_file_begins_as_it_should) {
    static const char *const words[] = {
        "sheet datasets/junior-12.json -o %s/a.pdf --paper letter", "a.pdf",  "%PDF-",
        "sheet datasets/junior-12.json -o %s/a.svg --phase serve",  "a.svg",  "<?xml",
        "sheet datasets/junior-12.json -o %s/a.png --for 1",        "a.png",  "\x89PNG",
        "report datasets/junior-12.json -o %s/a.html --brief",      "a.html", "<!DOCTYPE html>"};
    for (int k = 0; k < 12; k += 3) {
        expect(words[k], 0, "");
        char file[80], start[16] = "";
        snprintf(file, sizeof file, "%s/%s", folder, words[k + 1]);
        FILE *in = fopen(file, "rb");
        cr_assert_not_null(in, "no %s", file);
        cr_assert_eq(fread(start, 1, strlen(words[k + 2]), in), strlen(words[k + 2]));
        fclose(in);
        cr_expect_str_eq(start, words[k + 2]);
    }
    cr_expect_eq(files_left(), 4);
}

/* The answers of the what-if tables are in the page. */
Test(sheet_cli, the_report_tells_what_if) {
    expect("report datasets/junior-12.json -o %s/a.html", 0, "");
    char file[80];
    snprintf(file, sizeof file, "%s/a.html", folder);
    char *html = slurp(file);
    static const char *const parts[] = {"If a player is absent", "If others set",
                                        "If the team plays another system",
                                        "chances against an even opponent", "6-2"};
    for (size_t k = 0; k < sizeof parts / sizeof *parts; k++) {
        cr_expect_not_null(strstr(html, parts[k]), "no '%s'", parts[k]);
    }
    free(html);
}

/* Without mark-up and line ends: words on two lines of a drawing are one sentence. */
static void plain(char *text) {
    char *to = text;
    bool inside = false;
    for (const char *c = text; *c; c++) {
        inside = *c == '<' || (inside && *c != '>');
        const char kept = strchr("<>\n ", *c) ? ' ' : *c;
        if (!inside && (kept != ' ' || to == text || to[-1] != ' ')) {
            *to++ = kept;
        }
    }
    *to = '\0';
}

/* The sentence on what the rules keep, without its line ends. */
static void sentence_of(const char *text, char *out, size_t size) {
    const char *from = strstr(text, "They keep ");
    cr_assert_not_null(from, "%s", text);
    size_t length = (size_t)(strstr(from, "nobody changes") - from);
    cr_assert_lt(length, size);
    for (size_t k = 0; k < length; k++) {
        out[k] = from[k] == '\n' ? ' ' : from[k];
    }
    out[length] = '\0';
}

/* The sheet and the report tell the card of `moment --card`, but for a lineup that substitutes by
 * itself. */
Test(sheet_cli, rules_of_thumb_are_those_of_the_moment) {
    for (int t = SANITIZED; t < 2; t++) {
        char words[160], file[80], sentence[200];
        snprintf(words, sizeof words, "moment %s --card --rules usav", teams[t]);
        Run moment = run_sixturn(words);
        sentence_of(moment.out, sentence, sizeof sentence);
        static const char *const made[] = {"sheet", "a.svg", "report --brief", "a.html"};
        for (int k = 0; k < 4; k += 2) {
            snprintf(file, sizeof file, "%s/%s", folder, made[k + 1]);
            snprintf(words, sizeof words, "%s %s --rules usav -o %s", made[k], teams[t], file);
            Run run = run_sixturn(words);
            cr_assert_eq(run.exit_status, 0, "%s", run.err);
            char *text = slurp(file);
            plain(text);
            cr_expect_not_null(strstr(text, sentence), "%s: %s", words, sentence);
            free(text);
            run_free(&run);
        }
        run_free(&moment);
    }
    expect("sheet datasets/club-16.json --system 6-2-double -o %s/a.svg", 0, "");
    char file[80];
    snprintf(file, sizeof file, "%s/a.svg", folder);
    char *text = slurp(file);
    cr_expect_null(strstr(text, "Rules of thumb"));
    free(text);
}

/* The words of the text whose id is given. */
static void words_of(const char *svg, const char *id, char *words, size_t size) {
    char wanted[80];
    snprintf(wanted, sizeof wanted, " id=\"%s\"", id);
    const char *element = strstr(svg, wanted);
    cr_assert_not_null(element, "no %s", id);
    const char *start = strchr(element, '>') + 1;
    snprintf(words, size, "%.*s", (int)strcspn(start, "<"), start);
}

/* Three sets that share playing time: each has slips, a sheet and a report of its own lineup. */
Test(sheet_cli, every_set_of_several_has_its_sheet_and_report) {
    enum { SETS = 3 };
    char plan[80], words[240], file[80];
    snprintf(plan, sizeof plan, "%s/plan.json", folder);
    FILE *out = fopen(plan, "w");
    fputs("{\"format\": \"sixturn-plan-1\", \"wishes\": {\"min_rotations\": "
          "{\"6\": 6, \"8\": 6, \"10\": 3, \"11\": 6}}}",
          out);
    fclose(out);
    snprintf(words, sizeof words, "plan datasets/junior-12.json --plan %s --sets %d --json", plan,
             SETS);
    Run shares = run_sixturn(words);
    cr_assert_eq(shares.exit_status, 0, "%s", shares.err);
    char *roster = slurp("datasets/junior-12.json");
    cJSON *json = cJSON_Parse(shares.out), *team = cJSON_Parse(roster);
    free(roster);
    snprintf(words, sizeof words, "plan datasets/junior-12.json --plan %s --sets %d", plan, SETS);
    Run text = run_sixturn(words);
    for (int set = SANITIZED ? SETS : 1; set <= SETS; set++) {
        snprintf(file, sizeof file, "%s/a.svg", folder);
        snprintf(words, sizeof words,
                 "sheet datasets/junior-12.json --plan %s --sets %d --set %d -o %s", plan, SETS,
                 set, file);
        Run sheet = run_sixturn(words);
        cr_assert_eq(sheet.exit_status, 0, "%s", sheet.err);
        char *svg = slurp(file), title[40];
        snprintf(title, sizeof title, "Set %d: VC Lindenfurt", set);
        cr_expect_not_null(strstr(svg, title), "no '%s'", title);
        snprintf(title, sizeof title, "Line-up slip: set %d\n", set);
        char *slip = strstr(text.out, title);
        cr_assert_not_null(slip, "%s", text.out);
        const int start = atoi(strstr(slip, "rotation ") + strlen("rotation ")) - 1;
        const cJSON *order = cJSON_GetObjectItem(
            cJSON_GetArrayItem(cJSON_GetObjectItem(json, "sets"), set - 1), "order");
        for (int s = 0; s < SX_SLOTS; s++) {
            char id[16], number[16];
            const char *who =
                cJSON_GetStringValue(cJSON_GetObjectItem(cJSON_GetArrayItem(order, s), "back"));
            cr_assert_not_null(who);
            const cJSON *player, *players = cJSON_GetObjectItem(team, "players");
            cJSON_ArrayForEach(player, players) {
                if (strcmp(cJSON_GetStringValue(cJSON_GetObjectItem(player, "id")), who) == 0) {
                    snprintf(id, sizeof id, "slip-%d", sx_position(s, start));
                    words_of(svg, id, number, sizeof number);
                    cr_expect_eq(atoi(number), cJSON_GetObjectItem(player, "number")->valueint,
                                 "set %d, %s", set, id);
                }
            }
        }
        free(svg);
        run_free(&sheet);
        snprintf(words, sizeof words,
                 "report datasets/junior-12.json --plan %s --sets %d --set %d -o %s/a.html", plan,
                 SETS, set, folder);
        Run report = run_sixturn(words);
        cr_expect_eq(report.exit_status, 0, "%s", report.err);
        run_free(&report);
        snprintf(file, sizeof file, "%s/a.html", folder);
        char *html = slurp(file);
        cr_expect_not_null(strstr(html, "proven best with the playing time of this set."));
        free(html);
    }
    cJSON_Delete(json);
    cJSON_Delete(team);
    run_free(&shares);
    run_free(&text);
}

Test(sheet_cli, a_set_is_one_of_several) {
    expect("sheet datasets/junior-12.json -o %s/a.pdf --sets 2", 2, "go together");
    expect("sheet datasets/junior-12.json -o %s/a.pdf --set 2", 2, "go together");
    expect("report datasets/junior-12.json -o %s/a.html --sets 2 --set 3", 2, "go together");
    expect("report datasets/junior-12.json -o %s/a.html --sets 9 --set 1", 2, "from 1 to 5");
    cr_expect_eq(files_left(), 0);
}

static double attribute(const char *svg, const char *id, const char *name) {
    char wanted[80];
    snprintf(wanted, sizeof wanted, " id=\"%s\"", id);
    const char *element = strstr(svg, wanted);
    cr_assert_not_null(element, "no %s", id);
    snprintf(wanted, sizeof wanted, " %s=\"", name);
    const char *value = strstr(element, wanted);
    return value && value < strchr(element, '>') ? atof(value + strlen(wanted)) : NAN;
}

static double middle(const char *svg, const char *id, bool down) {
    double value = attribute(svg, id, down ? "cy" : "cx");
    return isnan(value) ? attribute(svg, id, down ? "y" : "x") +
                              attribute(svg, id, down ? "height" : "width") / 2
                        : value;
}

static int at_home; /* marks that stand exactly on their spots */

static void compare(const char *svg, const cJSON *rotation, int r, const char *phase) {
    char id[48];
    snprintf(id, sizeof id, "r%d-%s-court", r, phase);
    double metre = attribute(svg, id, "width") / SX_COURT_WIDTH;
    double left = attribute(svg, id, "x"), top = attribute(svg, id, "y");
    const cJSON *spot, *spots = cJSON_GetObjectItem(cJSON_GetObjectItem(rotation, phase), "spots");
    cr_assert_eq(cJSON_GetArraySize(spots), SX_SLOTS);
    cJSON_ArrayForEach(spot, spots) {
        int slot = sx_slot_at(cJSON_GetObjectItem(spot, "position")->valueint, r - 1);
        snprintf(id, sizeof id, "r%d-%s-s%d-mark", r, phase, slot);
        double off = hypot(
            (middle(svg, id, false) - left) / metre - cJSON_GetObjectItem(spot, "x")->valuedouble,
            (middle(svg, id, true) - top) / metre - cJSON_GetObjectItem(spot, "y")->valuedouble);
        /* a mark that would hide another gives way by its own size at the most */
        cr_expect_leq(off, 1.8, "%s is %.2f m off", id, off);
        at_home += off < 0.001;
    }
}

/* plan --json and sheet tell of the same spots, to the millimetre on the floor. */
Test(sheet_cli, drawn_spots_are_those_of_the_plan) {
    for (int t = 0; t < 2; t++) {
        char words[160], file[80];
        snprintf(words, sizeof words, "plan %s --json", teams[t]);
        Run plan = run_sixturn(words);
        cJSON *json = cJSON_Parse(plan.out);
        cr_assert_not_null(json);
        snprintf(file, sizeof file, "%s/a.svg", folder);
        snprintf(words, sizeof words, "sheet %s -o %s", teams[t], file);
        Run sheet = run_sixturn(words);
        cr_assert_eq(sheet.exit_status, 0, "%s", sheet.err);
        char *svg = slurp(file);
        const cJSON *rotation, *rotations = cJSON_GetObjectItem(json, "rotations");
        cr_assert_eq(cJSON_GetArraySize(rotations), SX_ROTATIONS);
        cJSON_ArrayForEach(rotation, rotations) {
            int r = cJSON_GetObjectItem(rotation, "rotation")->valueint;
            compare(svg, rotation, r, "receive");
            compare(svg, rotation, r, "serve");
        }
        free(svg);
        cJSON_Delete(json);
        run_free(&plan);
        run_free(&sheet);
    }
    cr_expect_gt(at_home, 2 * SX_PHASES * SX_ROTATIONS * SX_SLOTS / 2, "%d at home", at_home);
}
