/* No memory, no room on the disk: each command ends with a clean status and leaves nothing half
 * done. The judge of every end is here: either the answer is the one of an undisturbed run, or the
 * exit status is 5 with 'out of memory', without output, file or leak. */
#define _POSIX_C_SOURCE 200809L
#include "support.h"

#include <criterion/criterion.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

enum { NO_MEMORY_STATUS = 5, NO_WRITE_STATUS = 4, MOST_WAYS = 64, LINE = 4096 };

/* FNV-1a, 64 bits, as shortage.c hashes what it sees. */
static uint64_t hash_of(const char *text) {
    uint64_t hash = 0xcbf29ce484222325u;
    for (; *text; text++) {
        hash = (hash ^ (unsigned char)*text) * 0x100000001b3u;
    }
    return hash;
}

/* How a run ended. */
typedef struct {
    int status;
    uint64_t output;
    int files;
    uint64_t file;
} End;

typedef struct {
    int count;
    unsigned long way[MOST_WAYS];
} Ways;

typedef struct {
    char kind[8];
    int number, leaks;
    size_t printed;
    End end;
    Ways ways;
    const char *words; /* standard error */
} Note;

static Note read_note(char *line) {
    Note note = {.number = 0};
    unsigned long output, file;
    int at = 0;
    int got =
        sscanf(line, "%7s %d %d %zu %lx %d %lx %d%n", note.kind, &note.number, &note.end.status,
               &note.printed, &output, &note.end.files, &file, &note.leaks, &at);
    cr_assert_eq(got, 8, "no note: %s", line);
    note.end.output = output;
    note.end.file = file;
    char *next = line + at;
    for (int k = 0; k < note.leaks && k < MOST_WAYS; k++) {
        note.ways.way[note.ways.count++] = strtoul(next, &next, 16);
    }
    note.words = strstr(next, "| ");
    cr_assert_not_null(note.words, "no note: %s", line);
    return note;
}

static bool same_end(const End *a, const End *b) {
    return a->status == b->status && a->output == b->output && a->files == b->files &&
           a->file == b->file;
}

/* Blocks that an undisturbed run keeps to its end as well (the buffer of standard output, caches of
 * the font library) are no leaks. */
static bool leaks(const Note *note, const Ways *kept) {
    for (int k = 0; k < note->ways.count; k++) {
        bool known = false;
        for (int n = 0; n < kept->count; n++) {
            known = known || kept->way[n] == note->ways.way[k];
        }
        if (!known) {
            return true;
        }
    }
    return false;
}

static void judge(char *notes, const End *undisturbed, int least) {
    Note note = {.number = 0};
    Ways kept = {.count = 0};
    int refused = 0, bad = 0;
    char *end = strstr(notes, "\nend ");
    cr_assert_not_null(end, "the program did not come to its end");
    kept = read_note(end + 1).ways;
    for (char *line = strtok(notes, "\n"); line; line = strtok(NULL, "\n")) {
        note = read_note(line);
        if (strcmp(note.kind, "end") == 0) {
            cr_expect(note.end.files == undisturbed->files && note.end.file == undisturbed->file,
                      "the shortage changed the run itself");
            continue;
        }
        bool clean = note.end.status == NO_MEMORY_STATUS && note.printed == 0 &&
                     note.end.files == 0 && strstr(note.words, "out of memory");
        refused += clean;
        if ((!clean && !same_end(&note.end, undisturbed)) || leaks(&note, &kept)) {
            bad++;
            cr_expect(bad > 5, "%s", line);
        }
    }
    cr_expect_eq(bad, 0, "%d of the ends are not clean", bad);
    cr_expect_geq(refused, least, "only %d allocations failed", refused);
}

static void remove_folder(const char *folder) {
    char line[128];
    snprintf(line, sizeof line, "rm -rf '%s'", folder);
    run_shell(line);
}

/* Runs the command undisturbed and with each allocation failing. `output` is the name of a file
 * that it is told to write, NULL if none; `least` a number of allocations
 * that must be among those tried. */
static void starve(const char *words, const char *output, const char *spared, int least) {
    char folder[] = "/tmp/sixturn-shortage-XXXXXX";
    char report[] = "/tmp/sixturn-report-XXXXXX";
    char command[512], line[1024], file[128];
    cr_assert_not_null(mkdtemp(folder));
    int made = mkstemp(report);
    cr_assert(made >= 0);
    close(made);
    snprintf(file, sizeof file, "%s/%s", folder, output ? output : "");
    snprintf(command, sizeof command, "%s%s%s", words, output ? " -o " : "", output ? file : "");
    Run plain = run_sixturn(command);
    End undisturbed = {plain.exit_status, hash_of(plain.out), 0, hash_of("")};
    cr_assert(plain.exit_status == 0 || plain.exit_status == 1, "%s: %s", command, plain.err);
    if (output) {
        char *text = slurp(file);
        undisturbed.files = 1;
        undisturbed.file = hash_of(text);
        free(text);
        remove(file);
    }
    snprintf(line, sizeof line,
             "SHORTAGE_REPORT=%s SHORTAGE_FOLDER=%s SHORTAGE_SPARE=%s SHORTAGE_LOSERS=libglpk "
             "LD_PRELOAD=\"$SHORTAGE\" '%s' %s",
             report, folder, spared, getenv("SIXTURN"), command);
    Run run = run_shell(line);
    cr_expect_eq(run.exit_status, plain.exit_status, "%s: %s", command, run.err);
    cr_expect_str_eq(run.out, plain.out);
    char *notes = slurp(report);
    judge(notes, &undisturbed, least);
    free(notes);
    run_free(&run);
    run_free(&plain);
    remove(report);
    remove_folder(folder);
}

Test(memory, check) {
    starve("check datasets/junior-12-formations.json", NULL, "", 20);
}

Test(memory, check_as_json) {
    starve("check datasets/junior-12-formations.json --json", NULL, "", 80);
}

Test(memory, mend_into_a_file) {
    starve("mend datasets/junior-12-formations.json", "mended.json", "", 100);
}

Test(memory, plan) {
    starve("plan datasets/junior-12.json", NULL, "", 200);
}

Test(memory, plan_as_json) {
    starve("plan datasets/junior-12.json --json", NULL, "", 200);
}

Test(memory, odds) {
    starve("odds datasets/junior-12.json --opponent datasets/opponent.json --json", NULL, "", 400);
}

Test(memory, fit) {
    starve("fit datasets/club-16.json datasets/club-16-log.csv", NULL, "", 200);
}

Test(memory, receive_into_a_plan) {
    starve("receive datasets/junior-12.json --rotation 2 --top 1 --keep 1", "plan.json", "", 200);
}

Test(memory, import) {
    starve("import tests/sheets/roster.csv", "team.json", "", 5);
}

Test(memory, import_of_workbooks) {
    starve("import tests/sheets/roster.xlsx", "team.json", "libzip:libxml2:libz", 5);
    starve("import tests/sheets/roster.ods", "team.json", "libzip:libxml2:libz", 5);
}

Test(memory, plan_with_a_sheet_of_wishes) {
    starve("plan datasets/junior-12.json --plan datasets/junior-12-wishes.csv --brief", NULL, "",
           200);
}

Test(memory, plan_with_formations_of_her_own) {
    starve("plan datasets/junior-12.json --plan datasets/junior-12-own.json --brief", NULL, "",
           200);
}

/* Why there is none is told by looking for the wishes that contradict each other. */
Test(memory, a_plan_that_cannot_be) {
    char file[] = "/tmp/sixturn-plan-XXXXXX", words[128];
    FILE *out = fdopen(mkstemp(file), "w");
    cr_assert(out &&
              fputs("{\"format\": \"sixturn-plan-1\", \"wishes\": {\"must_play\": [5, 9], "
                    "\"must_sit\": [5], \"never_pass\": [4]}}",
                    out) >= 0 &&
              fclose(out) == 0);
    snprintf(words, sizeof words, "plan datasets/junior-12.json --plan %s", file);
    starve(words, NULL, "", 100);
    remove(file);
}

Test(memory, absent) {
    starve("absent datasets/junior-12.json 6", NULL, "", 100);
}

Test(memory, worth) {
    starve("worth datasets/junior-12.json 5", NULL, "", 100);
}

Test(memory, setters) {
    starve("setters datasets/junior-12.json --system 6-2", NULL, "", 100);
}

Test(memory, systems) {
    starve("systems datasets/junior-12.json --plan datasets/junior-12-plan.json", NULL, "", 100);
}

Test(memory, shares) {
    starve("plan datasets/junior-12.json --plan datasets/junior-12-plan.json --sets 2", NULL, "",
           100);
}

Test(memory, versus) {
    starve(
        "versus datasets/junior-12.json datasets/junior-12-plan.json datasets/junior-12-own.json",
        NULL, "", 100);
}

Test(memory, moment) {
    starve("moment datasets/junior-12.json --card --opponent datasets/opponent.csv", NULL, "", 100);
}

/* All ways of a rank without doubt are among these. */
Test(memory, rank_in_doubt) {
    starve("rank datasets/junior-12.json --top 2 --doubt 1 --draws 2", NULL, "", 150);
}

Test(memory, odds_of_substitutions_that_run_out) {
    starve("odds datasets/junior-12.json --system 6-2-double", NULL, "", 100);
}

/* --- a full disk --------------------------------------------------------------------------------
 */

/* Standard output on a full disk. */
static void no_room_to_print(const char *words) {
    char line[512];
    snprintf(line, sizeof line, "'%s' %s >/dev/full", getenv("SIXTURN"), words);
    Run run = run_shell(line);
    cr_expect_eq(run.exit_status, NO_WRITE_STATUS, "%s: status %d", words, run.exit_status);
    cr_expect_not_null(strstr(run.err, "cannot write"), "%s: %s", words, run.err);
    run_free(&run);
}

Test(disk, printing) {
    static const char *const commands[] = {
        "--help",
        "check datasets/junior-12-formations.json",
        "check datasets/junior-12-formations.json --json",
        "mend datasets/junior-12-formations.json",
        "plan datasets/junior-12.json",
        "plan datasets/junior-12.json --json",
        "odds datasets/junior-12.json",
        "fit datasets/club-16.json datasets/club-16-log.csv",
        "versus datasets/junior-12.json datasets/junior-12-plan.json datasets/junior-12-plan.json",
    };
    for (size_t k = 0; k < sizeof commands / sizeof commands[0]; k++) {
        no_room_to_print(commands[k]);
    }
}

/* A file that may grow to so many blocks of 512 bytes only, as the shell's limit says. Nothing may
 * stay of it, and what was there before must stay. */
static void no_room_to_write(const char *words, const char *name, int blocks) {
    char folder[] = "/tmp/sixturn-disk-XXXXXX";
    char line[1024];
    cr_assert_not_null(mkdtemp(folder));
    snprintf(line, sizeof line,
             "trap '' XFSZ; echo before >%s/there; cp %s/there %s/%s; ulimit -f %d; '%s' %s %s/%s; "
             "status=$?; cmp %s/there %s/%s && ls -A %s; exit $status",
             folder, folder, folder, name, blocks, getenv("SIXTURN"), words, folder, name, folder,
             folder, name, folder);
    Run run = run_shell(line);
    char files[128];
    snprintf(files, sizeof files, "%s\nthere\n", name);
    cr_expect_eq(run.exit_status, NO_WRITE_STATUS, "%s: status %d", line, run.exit_status);
    cr_expect_not_null(strstr(run.err, "cannot write"), "%s: %s", words, run.err);
    cr_expect_str_eq(run.out, files, "%s: %s", words, run.out);
    run_free(&run);
    remove_folder(folder);
}

Test(disk, writing) {
    for (int blocks = 1; blocks <= 4; blocks += 3) {
        no_room_to_write("sheet datasets/junior-12.json -o", "a.svg", blocks);
        no_room_to_write("sheet datasets/junior-12.json -o", "a.pdf", blocks);
        no_room_to_write("sheet datasets/junior-12.json -o", "a.png", blocks);
        no_room_to_write("report datasets/junior-12.json --brief -o", "a.html", blocks);
        no_room_to_write("plan datasets/junior-12.json --write-model", "a.lp", blocks);
        no_room_to_write("plan datasets/junior-12.json --write-model", "a.mps", blocks);
    }
    no_room_to_write("mend datasets/junior-12-formations.json -o", "a.json", 1);
    no_room_to_write(
        "receive datasets/junior-12.json --plan datasets/junior-12-own.json --keep 1 -o", "a.json",
        1);
    no_room_to_write("fit datasets/club-16.json datasets/club-16-log.csv --write-rates", "a.json",
                     1);
}
