/* sixturn template: a team to start from, with a guide beside it. */
#include "cli/args.h"
#include "cli/commands.h"
#include "core/text.h"
#include "core/write.h"
#include "sixturn/template.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

static const char guide_ending[] = "-guide.txt";

/* "teams/ours.csv" becomes "teams/ours-guide.txt"; to be freed. */
static char *guide_name(const char *file) {
    const char *slash = strrchr(file, '/');
    const char *dot = strrchr(slash ? slash : file, '.');
    size_t stem = dot ? (size_t)(dot - file) : strlen(file);
    const size_t size = stem + sizeof guide_ending;
    char *name = malloc(size);
    if (name) {
        snprintf(name, size, "%.*s%s", (int)stem, file, guide_ending);
    }
    return name;
}

static bool ends_in(const char *file, const char *ending) {
    size_t length = strlen(file), tail = strlen(ending);
    return length > tail && strcmp(file + length - tail, ending) == 0;
}

/* Nobody's work is written over. */
static SxStatus refuse_existing(const char *file, SxError *err) {
    if (access(file, F_OK) != 0) {
        return SX_OK;
    }
    sx_text_blame(err, file);
    return sx_fail(err, SX_NO_WRITE, "this file exists already; choose another name");
}

static SxStatus write_both(const char *file, const char *beside, SxError *err) {
    char *team = NULL, *guide = NULL;
    SxStatus status = refuse_existing(file, err);
    status = status == SX_OK ? refuse_existing(beside, err) : status;
    if (status == SX_OK) {
        status = (ends_in(file, ".json") ? sx_template_team : sx_template_sheet)(&team, err);
    }
    if (status == SX_OK) {
        status = sx_template_guide(&guide, err);
    }
    if (status == SX_OK) {
        status = sx_write_file(file, team, strlen(team), err);
    }
    if (status == SX_OK) {
        status = sx_write_file(beside, guide, strlen(guide), err);
    }
    free(team);
    free(guide);
    return status;
}

SxStatus cmd_template(int argc, char **argv) {
    const char *file = NULL;
    const Arg table[] = {
        {"-o", ARG_TEXT, &file, 0, 0, "FILE", "a name ending in .csv or .json"},
        {NULL, ARG_FLAG, NULL, 0, 0, NULL, NULL},
    };
    if (args_ask_help(argc, argv)) {
        puts("usage: sixturn template -o TEAM.csv|TEAM.json\n\n"
             "Writes a team of twelve to start from, as a sheet or as a team file, and a guide\n"
             "to filling it in beside it (TEAM-guide.txt). No file is written over.\n");
        args_help(table);
        return SX_OK;
    }
    ArgList words;
    SxStatus status = args_read(argc, argv, table, NULL, &words);
    if (status != SX_OK) {
        return status;
    }
    if (words.count > 0 || !file || !(ends_in(file, ".csv") || ends_in(file, ".json"))) {
        fputs("sixturn: expected -o with a name ending in .csv or .json; see sixturn template "
              "--help\n",
              stderr);
        return SX_USAGE;
    }
    SxError err = {.status = SX_OK};
    char *beside = guide_name(file);
    status = beside ? write_both(file, beside, &err) : sx_out_of_memory(&err);
    if (status == SX_OK) {
        printf("%s: a team to fill in\n%s: how to\n", file, beside);
    }
    free(beside);
    return status == SX_OK ? SX_OK : args_complain(&err);
}
