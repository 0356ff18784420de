/* The list of commands, in the order in which a coach meets them. */
#include "cli/commands.h"

#include <stddef.h>

const Command commands[] = {
    {"plan", "the best starting order, passers and receive formations", cmd_plan},
    {"import", "a team file from a spreadsheet saved as CSV", cmd_import},
    {"check", "is a drawn formation legal, and how close are the calls?", cmd_check},
    {"rank", "the best different orders, and how sure their order is", cmd_rank},
    {"absent", "what the team loses without each player", cmd_absent},
    {NULL, NULL, NULL},
};
