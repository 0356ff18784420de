/* What every command does with its question: ask a session, print the answer. */
#ifndef SIXTURN_CLI_QUESTION_H
#define SIXTURN_CLI_QUESTION_H

#include "cli/args.h"
#include "sixturn/session.h"

/* Makes a session, asks and prints text or JSON on standard output; complains on stderr. Shows
 * progress on a terminal; Ctrl-C stops with what is done, a second one ends the program. */
SxStatus question_print(SxSessionInput *input, const SxAsk *ask, bool json);

#endif
