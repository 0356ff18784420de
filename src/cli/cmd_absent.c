/* sixturn absent: what the team loses without each player. */
#include "cli/commands.h"
#include "cli/options.h"

#include <stdio.h>

typedef struct {
    bool pairs;
    int top;
} AbsentOptions;

enum { DEFAULT_TOP = 20, MOST_TOP = 10000 };

SxStatus cmd_absent(int argc, char **argv) {
    PlanOptions options;
    plan_options_init(&options);
    AbsentOptions own = {.top = DEFAULT_TOP};
    const Arg table[] = {
        {"--pairs", ARG_FLAG, &own.pairs, 0, 0, NULL, "also every two of them together"},
        {"--top", ARG_INT, &own.top, 1, MOST_TOP, "K", "how many to print (20)"},
        {NULL, ARG_FLAG, NULL, 0, 0, NULL, NULL},
    };
    if (args_ask_help(argc, argv)) {
        puts("usage: sixturn absent TEAM.json [PLAYER ...] [options]\n\n"
             "What the best lineup loses without each player (all, or those named by id or\n"
             "shirt number), and who steps in. The first is the one the team can least do\n"
             "without.\n");
        args_help(table);
        plan_options_help(&options);
        return SX_OK;
    }
    ArgList words;
    SxAsk ask;
    SxSessionInput input;
    SxStatus status = plan_options_read_plain(argc, argv, &options, table, &words);
    if (status != SX_OK || !team_and_players(&words)) {
        return SX_USAGE;
    }
    plan_options_input(&options, words.item[0], &input);
    sx_ask_default(SX_ASK_ABSENT, &ask);
    ask.absent = (SxAbsentAsk){words.item + 1, words.count - 1, own.pairs, own.top};
    return question_run(&input, &ask, &(Output){.json = options.json});
}
