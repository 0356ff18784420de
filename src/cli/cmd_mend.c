/* `sixturn mend`: the smallest change that makes a drawn formation legal. */
#include "cli/commands.h"
#include "cli/formations.h"

static const char help[] =
    "usage: sixturn mend FORMATION.json [options]\n\n"
    "Moves players as little as possible (centimetres sideways plus centimetres\n"
    "forward or back, added up) until the formation is legal with the margin.\n"
    "Exit status 0: done, 1: moving does not help.\n\n";

SxStatus cmd_mend(int argc, char **argv) {
    return formations_run(argc, argv, help, SX_ASK_MEND);
}
