/* sixturn systems: the best lineup under each playing system. */
#include "cli/commands.h"
#include "cli/options.h"

#include <stdio.h>

SxStatus cmd_systems(int argc, char **argv) {
    PlanOptions options;
    plan_options_init(&options, TAKES_NO_MODEL);
    if (args_ask_help(argc, argv)) {
        puts("usage: sixturn systems TEAM.json [options]\n\n"
             "The best lineup under each playing system side by side, with the substitutions\n"
             "it needs. --system FILE adds a system of your own.\n");
        plan_options_help(&options);
        return SX_OK;
    }
    ArgList words;
    SxAsk ask;
    SxSessionInput input;
    SxStatus status = plan_options_read(argc, argv, &options, NULL, &words);
    const char *team_file = status == SX_OK ? only_team_file(&words) : NULL;
    if (!team_file) {
        return SX_USAGE;
    }
    plan_options_input(&options, team_file, &input);
    sx_ask_default(SX_ASK_SYSTEMS, &ask);
    return question_run(&input, &ask, &(Output){.json = options.json});
}
