/* Options on the command line, read from a table. */
#ifndef SIXTURN_CLI_ARGS_H
#define SIXTURN_CLI_ARGS_H

#include "sixturn/error.h"

#include <stdbool.h>

typedef enum {
    ARG_FLAG, /* bool *; no value */
    ARG_TEXT, /* const char ** */
    ARG_LIST, /* ArgList *; may be given again */
    ARG_INT,  /* int *, from low to high */
    ARG_REAL  /* double *, from low to high */
} ArgKind;

enum { ARG_LIST_MAX = 64 };

typedef struct {
    const char *item[ARG_LIST_MAX];
    int count;
} ArgList;

typedef struct {
    const char *name; /* "--system"; a table ends with a NULL name */
    ArgKind kind;
    void *target;
    double low, high;
    const char *value; /* how help shows the value: "ID" */
    const char *brief; /* what it does, for help */
} Arg;

/* Reads argv by one or two tables (the second may be NULL); the words that are no options go to
 * *words. Prints usage problems to stderr and returns SX_USAGE. */
SxStatus args_read(int argc, char **argv, const Arg *first, const Arg *second, ArgList *words);

bool args_ask_help(int argc, char **argv);
/* Prints a table's options, one a line. */
void args_help(const Arg *table);

/* Prints the error on stderr; returns its status. */
SxStatus args_complain(const SxError *err);

#endif
