/* The table of commands; each lives in a file of its own, cmd_NAME.c. */
#ifndef SIXTURN_CLI_COMMANDS_H
#define SIXTURN_CLI_COMMANDS_H

#include "sixturn/error.h"

/* Each takes the arguments after the command's name and returns the exit status. */
SxStatus cmd_import(int argc, char **argv);
SxStatus cmd_explain(int argc, char **argv);
SxStatus cmd_template(int argc, char **argv);
SxStatus cmd_fit(int argc, char **argv);
SxStatus cmd_moment(int argc, char **argv);
SxStatus cmd_odds(int argc, char **argv);
SxStatus cmd_plan(int argc, char **argv);
SxStatus cmd_receive(int argc, char **argv);
SxStatus cmd_rank(int argc, char **argv);
SxStatus cmd_absent(int argc, char **argv);
SxStatus cmd_setters(int argc, char **argv);
SxStatus cmd_systems(int argc, char **argv);
SxStatus cmd_versus(int argc, char **argv);
SxStatus cmd_worth(int argc, char **argv);
SxStatus cmd_check(int argc, char **argv);
SxStatus cmd_mend(int argc, char **argv);
SxStatus cmd_sheet(int argc, char **argv);
SxStatus cmd_report(int argc, char **argv);
SxStatus cmd_page(int argc, char **argv);

typedef struct {
    const char *name;
    const char *brief; /* one line for the overview */
    SxStatus (*run)(int argc, char **argv);
} Command;

extern const Command commands[]; /* ends with a NULL name */

#endif
