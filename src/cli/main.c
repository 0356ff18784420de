/* The command line: finds the command and maps its status to the exit status. */
#include "cli/commands.h"
#include "sixturn/version.h"

#include <stdio.h>
#include <string.h>

static void usage(FILE *out) {
    fputs("sixturn: who plays, in which order, and where everyone stands\n\n"
          "usage: sixturn COMMAND ...        sixturn COMMAND --help explains one\n\n",
          out);
    for (const Command *command = commands; command->name; command++) {
        fprintf(out, "  %-9s %s\n", command->name, command->brief);
    }
    fputs("\nexit status: 0 done, 1 the answer is 'no', 2 bad usage, 3 bad input,\n"
          "             4 cannot write, 5 internal error or out of memory, 6 out of time\n",
          out);
}

static int answer(int argc, char **argv) {
    if (argc >= 2 && (strcmp(argv[1], "--help") == 0 || strcmp(argv[1], "help") == 0)) {
        usage(stdout);
        return SX_OK;
    }
    if (argc >= 2 && strcmp(argv[1], "--version") == 0) {
        printf("sixturn %s\n", sx_version());
        return SX_OK;
    }
    for (const Command *command = commands; argc >= 2 && command->name; command++) {
        if (strcmp(argv[1], command->name) == 0) {
            return sx_exit_status(command->run(argc - 2, argv + 2));
        }
    }
    if (argc >= 2) {
        fprintf(stderr, "sixturn: there is no command '%s'\n\n", argv[1]);
    }
    usage(stderr);
    return SX_USAGE;
}

/* A full disk shows when the last of the output is written. */
int main(int argc, char **argv) {
    int status = answer(argc, argv);
    bool written = !ferror(stdout);
    if ((fflush(stdout) != 0 || !written) && (status == SX_OK || status == SX_NO)) {
        fputs("sixturn: cannot write to standard output\n", stderr);
        return SX_NO_WRITE;
    }
    return status;
}
