/* sixturn import: a spreadsheet's roster becomes a team file, or brings one up to date. */
#include "cli/args.h"
#include "cli/commands.h"
#include "core/text.h"
#include "core/write.h"
#include "sixturn/import.h"
#include "sixturn/team.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

typedef struct {
    const char *output, *name, *into;
    bool strict;
} ImportOptions;

static void help(const Arg *table) {
    puts("usage: sixturn import ROSTER -o TEAM.json [--name NAME] [--strict]\n"
         "       sixturn import ROSTER --into TEAM.json [-o OTHER.json]\n\n"
         "Turns a spreadsheet into a team file: CSV, .xlsx or .ods. A row of headings\n"
         "names the columns, in any order: name, number, roles, and the six skills from 0\n"
         "to 10: passing, setting, attacking, blocking, serving, digging. If you like: id,\n"
         "available (yes or no), sides (left, centre, right: where she usually attacks).\n"
         "Common other words do as well (No., Pos, pass, set, hit, spike, block, serve,\n"
         "dig, defence); other columns are ignored. roles: one or more of setter (S),\n"
         "outside (OH), middle (MB), opposite (OPP, RS), libero (L), specialist (DS), as\n"
         "in OH/OPP.\n\n"
         "An empty skill is estimated from the others with her role and marked as\n"
         "estimated. All that is wrong with the sheet is told in one run.\n\n"
         "--into keeps what the sheet does not say (connections, how well a role is\n"
         "played, players who are not in it) and tells what has changed.\n");
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

/* Each line with the program's name and a word before it. */
static void print_lines(const char *before, const char *text) {
    while (text && *text) {
        size_t length = strcspn(text, "\n");
        fprintf(stderr, "sixturn: %s%.*s\n", before, (int)length, text);
        text += length + (text[length] == '\n');
    }
}

static SxStatus import(const char *roster, const ImportOptions *options, SxError *err) {
    char stem[SX_NAME_SIZE], *data = NULL, *into = NULL;
    size_t length = 0;
    SxImported made = {.json = NULL};
    SxImportOptions how = {.strict = options->strict, .into_file = options->into};
    how.team_name =
        options->name || options->into ? options->name : name_from_file(roster, stem, sizeof stem);
    SxStatus status = sx_text_read_file(roster, &data, &length, err);
    if (status == SX_OK && options->into) {
        status = sx_text_read_file(options->into, &into, &how.into_length, err);
        how.into = into;
    }
    if (status == SX_OK) {
        status = sx_import_roster(data, length, roster, &how, &made, err);
        print_lines("note: ", made.notes);
        print_lines("", made.problems);
        err->message[0] = made.problems ? '\0' : err->message[0]; /* all is told */
    }
    if (status == SX_OK) {
        status = write_out(options->output, made.json, err);
    }
    sx_imported_free(&made);
    free(into);
    free(data);
    return status;
}

SxStatus cmd_import(int argc, char **argv) {
    ImportOptions options = {NULL, NULL, NULL, false};
    const Arg table[] = {
        {"-o", ARG_TEXT, &options.output, 0, 0, "TEAM.json", "where to write it; - shows it"},
        {"--into", ARG_TEXT, &options.into, 0, 0, "TEAM.json", "bring this team file up to date"},
        {"--name", ARG_TEXT, &options.name, 0, 0, "NAME", "the team's name (else the file's)"},
        {"--strict", ARG_FLAG, &options.strict, 0, 0, NULL, "refuse an empty skill"},
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
        fputs("sixturn: expected one sheet (CSV, .xlsx or .ods); see sixturn import --help\n",
              stderr);
        return SX_USAGE;
    }
    options.output = options.output ? options.output : options.into ? options.into : "-";
    if (strcmp(words.item[0], options.output) == 0) {
        fputs("sixturn: the team file would replace the roster; choose another name for -o\n",
              stderr);
        return SX_USAGE;
    }
    SxError err = {.status = SX_OK};
    status = import(words.item[0], &options, &err);
    return status == SX_OK || !err.message[0] ? status : args_complain(&err);
}
