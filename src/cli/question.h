/* What every command does with its question: ask a session, print the answer, write its file. */
#ifndef SIXTURN_CLI_QUESTION_H
#define SIXTURN_CLI_QUESTION_H

#include "cli/args.h"
#include "sixturn/session.h"

/* What becomes of the answer. */
typedef struct {
    bool quiet; /* nothing is printed */
    bool json;
    const char *file; /* where the answer's file goes; NULL: nowhere */
} Output;

/* Makes a session, asks, writes and prints; complains on stderr. Shows progress on a terminal;
 * Ctrl-C stops with what is done, a second one ends the program. SX_NO if formations are not legal.
 */
SxStatus question_run(SxSessionInput *input, const SxAsk *ask, const Output *output);

#endif
