/* The table of commands; each lives in a file of its own, cmd_NAME.c. */
#ifndef SIXTURN_CLI_COMMANDS_H
#define SIXTURN_CLI_COMMANDS_H

#include "sixturn/error.h"

typedef struct {
    const char *name;
    const char *brief;                      /* one line for the overview */
    SxStatus (*run)(int argc, char **argv); /* arguments after the command's name */
} Command;

extern const Command commands[]; /* ends with a NULL name */

#endif
