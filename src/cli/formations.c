/* What the commands about drawn formations share. */
#include "cli/formations.h"

#include <stdio.h>
#include <stdlib.h>

static const double most_margin = 3.0; /* metres: more leaves a row of three no room */

static SxStatus read_lock(const char *word, SxDrawnAsk *ask) {
    const char *digits = word[0] == '#' ? word + 1 : word;
    char *end = NULL;
    long value = strtol(digits, &end, 10);
    if (digits[0] < '0' || digits[0] > '9' || *end || value < 0 || value > SX_MAX_SHIRT) {
        fprintf(stderr, "sixturn: --lock takes a shirt number from 0 to %d, found '%s'\n",
                SX_MAX_SHIRT, word);
        return SX_USAGE;
    }
    ask->locks[ask->lock_count++] = (int)value;
    return SX_OK;
}

static SxStatus read_words(const ArgList *words, const ArgList *locks, SxDrawnAsk *ask) {
    for (int i = 0; i < locks->count; i++) {
        if (read_lock(locks->item[i], ask) != SX_OK) {
            return SX_USAGE;
        }
    }
    if (words->count != 1) {
        fputs("sixturn: expected one formation file (see --help)\n", stderr);
        return SX_USAGE;
    }
    ask->formations.name = words->item[0];
    return SX_OK;
}

SxStatus formations_run(int argc, char **argv, const char *help, SxQuestion question) {
    const bool mend = question == SX_ASK_MEND;
    SxAsk ask;
    SxSessionInput input;
    Output output = {.json = false};
    ArgList words, locks = {.count = 0};
    sx_ask_default(question, &ask);
    sx_session_input_default(&input);
    const Arg table[] = {
        {"--rules", ARG_TEXT, &input.rules.name, 0, 0, "ID",
         "rule profile, id or file, instead of the file's own"},
        {"--margin", ARG_REAL, &ask.drawn.margin, 0, most_margin, "METRES",
         "metres by which a call must be clear; 0.30 if not given"},
        {"--json", ARG_FLAG, &output.json, 0, 0, NULL, "the answer as JSON"},
        {NULL, ARG_FLAG, NULL, 0, 0, NULL, NULL},
    };
    const Arg mend_table[] = {
        {"--fewest", ARG_FLAG, &ask.drawn.fewest, 0, 0, NULL, "move as few players as possible"},
        {"--lock", ARG_LIST, &locks, 0, 0, "N", "number N stays; may be given again"},
        {"-o", ARG_TEXT, &output.file, 0, 0, "OUT.json", "write the mended formation file"},
        {NULL, ARG_FLAG, NULL, 0, 0, NULL, NULL},
    };
    if (args_ask_help(argc, argv)) {
        fputs(help, stdout);
        args_help(table);
        if (mend) {
            args_help(mend_table);
        }
        puts("\nThe competition's own rule book and its referees prevail.");
        return SX_OK;
    }
    SxStatus status = args_read(argc, argv, table, mend ? mend_table : NULL, &words);
    if (status != SX_OK || read_words(&words, &locks, &ask.drawn) != SX_OK) {
        return SX_USAGE;
    }
    return question_run(&input, &ask, &output);
}
