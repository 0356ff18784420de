/* sixturn worth: what a skill is worth to the team, and how much is missing to a place in it. */
#include "cli/commands.h"
#include "cli/options.h"

#include <stdio.h>

SxStatus cmd_worth(int argc, char **argv) {
    PlanOptions options;
    plan_options_init(&options, TAKES_NO_MODEL);
    if (args_ask_help(argc, argv)) {
        puts("usage: sixturn worth TEAM.json [PLAYER ...] [options]\n\n"
             "How much a skill of these players (id or shirt number) would have to rise for\n"
             "them to enter the best lineup, and what one rating point in each skill of each\n"
             "player in it is worth to the team.\n");
        plan_options_help(&options);
        return SX_OK;
    }
    ArgList words;
    SxAsk ask;
    SxSessionInput input;
    SxStatus status = plan_options_read(argc, argv, &options, NULL, &words);
    if (status != SX_OK || !team_and_players(&words)) {
        return SX_USAGE;
    }
    plan_options_input(&options, words.item[0], &input);
    sx_ask_default(SX_ASK_WORTH, &ask);
    ask.worth = (SxWorthAsk){words.item + 1, words.count - 1};
    return question_run(&input, &ask, &(Output){.json = options.json});
}
