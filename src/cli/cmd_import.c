/* sixturn import: a spreadsheet's roster becomes a team file. */
#include "cli/args.h"
#include "cli/commands.h"
#include "core/write.h"
#include "sixturn/csv.h"
#include "sixturn/team.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

typedef struct {
    const char *output, *name;
} ImportOptions;

static void help(const Arg *table) {
    puts("usage: sixturn import ROSTER.csv -o TEAM.json [--name NAME]\n\n"
         "Turns a spreadsheet, saved as CSV in UTF-8, into a team file. The first row\n"
         "names the columns: name, number, roles, passing, setting, attacking, blocking,\n"
         "serving, digging; id and available may be left out. roles: words separated by\n"
         "spaces or '/', such as outside/opposite. Skills go from 0 to 10.\n");
    args_help(table);
}

/* "lists/juniors.csv" becomes "juniors". */
static const char *name_from_file(const char *file, char *name, size_t size) {
    const char *slash = strrchr(file, '/');
    const char *base = slash ? slash + 1 : file;
    snprintf(name, size, "%.*s", (int)strcspn(base, "."), base);
    return name[0] ? name : "our team";
}

static SxStatus write_out(const char *file, const char *json, SxError *err) {
    if (strcmp(file, "-") != 0) {
        return sx_write_file(file, json, strlen(json), err);
    }
    bool written = fputs(json, stdout) >= 0 && fflush(stdout) == 0;
    return written ? SX_OK : sx_fail(err, SX_NO_WRITE, "cannot write to standard output");
}

/* The team file is read back before it is written: nobody gets one that sixturn refuses. */
static SxStatus import(const char *roster, const ImportOptions *options, SxError *err) {
    static SxTeam team;
    char stem[SX_NAME_SIZE], *json = NULL;
    const char *name = options->name ? options->name : name_from_file(roster, stem, sizeof stem);
    SxStatus status = sx_team_read_csv(roster, name, &json, err);
    if (status == SX_OK) {
        status = sx_team_parse(json, strlen(json), options->output, &team, err);
    }
    if (status == SX_OK) {
        status = write_out(options->output, json, err);
    }
    free(json);
    return status;
}

SxStatus cmd_import(int argc, char **argv) {
    ImportOptions options = {"-", NULL};
    const Arg table[] = {
        {"-o", ARG_TEXT, &options.output, 0, 0, "TEAM.json", "where to write it; - shows it"},
        {"--name", ARG_TEXT, &options.name, 0, 0, "NAME", "the team's name (else the file's)"},
        {NULL, ARG_FLAG, NULL, 0, 0, NULL, NULL},
    };
    if (args_ask_help(argc, argv)) {
        help(table);
        return SX_OK;
    }
    ArgList words;
    SxStatus status = args_read(argc, argv, table, NULL, &words);
    if (status != SX_OK) {
        return status;
    }
    if (words.count != 1) {
        fputs("sixturn: expected one CSV file; see sixturn import --help\n", stderr);
        return SX_USAGE;
    }
    if (strcmp(words.item[0], options.output) == 0) {
        fputs("sixturn: the team file would replace the roster; choose another name for -o\n",
              stderr);
        return SX_USAGE;
    }
    SxError err = {.status = SX_OK};
    status = import(words.item[0], &options, &err);
    return status == SX_OK ? SX_OK : args_complain(&err);
}
