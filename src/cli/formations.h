/* What the commands about drawn formations share. */
#ifndef SIXTURN_CLI_FORMATIONS_H
#define SIXTURN_CLI_FORMATIONS_H

#include "cli/question.h"

/* The whole command: SX_ASK_CHECK, or SX_ASK_MEND with --fewest, --lock and -o. */
SxStatus formations_run(int argc, char **argv, const char *help, SxQuestion question);

#endif
