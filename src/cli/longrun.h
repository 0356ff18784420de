/* Long commands: progress on a terminal, Ctrl-C and the time limit stop them with what is done. */
#ifndef SIXTURN_CLI_LONGRUN_H
#define SIXTURN_CLI_LONGRUN_H

#include "cli/options.h"
#include "sixturn/systems.h"

/* Takes over Ctrl-C. A second Ctrl-C ends the program at once. */
SxWork longrun_begin(void);
/* The same with the options' time limit. */
SxWork longrun_timed(const PlanOptions *options);
/* Wipes the progress line and gives Ctrl-C back. */
void longrun_end(void);
bool longrun_stopped(void);

/* What every long command does around its own work: reads the options (those of plan and `own`),
 * and refuses the ones that only plan has a use for. */
SxStatus longrun_read(int argc, char **argv, const PlanOptions *options, const Arg *own,
                      ArgList *words);

/* Team, plan and rules as workbench_load does, and all systems with their tables; the bench's
 * problem is that of the plan's own system. only_own: no others, unless the options and the plan
 * name none. Free the set with sx_systems_free, also after a failure. */
SxStatus longrun_load_systems(const PlanOptions *options, const char *team_file, bool only_own,
                              Workbench *bench, SxSystemSet *systems, SxError *err);

/* Prints text (NULL: out of memory) on standard output and frees it. */
SxStatus longrun_print(char *text, SxError *err);

/* Finds a player by id or shirt number, or says who is nearest. -1 and SX_USAGE in err if there is
 * none. */
int longrun_player(const SxTeam *team, const char *who, SxError *err);

/* The same for a command that takes a team file and any further words: SX_USAGE if there is none.
 */
SxStatus longrun_read_team(int argc, char **argv, const PlanOptions *options, const Arg *own,
                           ArgList *words);
/* What a command does with its team under several systems. */
typedef SxStatus SystemsWork(const PlanOptions *options, const char *team_file, Workbench *bench,
                             SxSystemSet *systems, SxError *err);
/* A whole command that takes one team file and the plan's options: help, reading, work, clean-up.
 */
SxStatus longrun_over_systems(int argc, char **argv, const char *usage, SystemsWork *work);

#endif
