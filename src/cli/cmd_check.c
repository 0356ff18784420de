/* `sixturn check`: is a drawn formation legal, and how close is it? */
#include "cli/commands.h"
#include "cli/formations.h"

static const char help[] =
    "usage: sixturn check FORMATION.json [options]\n\n"
    "Is a drawn formation legal at the service hit, and how close are the calls?\n"
    "A file may hold several formations; all are checked. Exit status 0: all legal,\n"
    "1: at least one fault.\n\n";

SxStatus cmd_check(int argc, char **argv) {
    return formations_run(argc, argv, help, SX_ASK_CHECK);
}
