/* The list of commands, in the order in which a coach meets them. */
#include "cli/commands.h"

#include <stddef.h>

const Command commands[] = {
    {"plan", "the best starting order, passers and receive formations", cmd_plan},
    {"import", "a team file from a spreadsheet saved as CSV", cmd_import},
    {NULL, NULL, NULL},
};
