/* What the commands about drawn formations share: arguments, rules, lines of 80 columns. */
#ifndef SIXTURN_CLI_CHECK_H
#define SIXTURN_CLI_CHECK_H

#include "cli/args.h"
#include "sixturn/drawn.h"

#include <cjson/cJSON.h>

typedef struct {
    const char *file, *rules, *out; /* NULL if not given */
    double margin;                  /* metres */
    bool json, help, fewest;
    int lock_count, locks[ARG_LIST_MAX]; /* shirt numbers */
} CheckCommand;

/* mend: also --fewest, --lock and -o. Prints help if that is asked for, usage problems to stderr.
 */
SxStatus check_arguments(int argc, char **argv, const char *help, bool mend, CheckCommand *ask);

/* The profile of each formation of the file: the command's, the file's own, or the default. Free
 * with free(). */
SxStatus check_rules(const CheckCommand *ask, const SxDrawnFile *file, SxRules **rules,
                     SxError *err);

/* Prints a line broken at blanks before 80 columns; further lines are indented. */
void check_print_wrapped(const char *line, int indent);
/* Prints and deletes. */
SxStatus check_print_json(cJSON *root, SxError *err);
/* Metres without what decimal fractions lose in binary. */
double check_tidy(double metres);
#endif
