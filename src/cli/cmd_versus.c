/* sixturn versus: two lineups side by side. */
#include "cli/commands.h"
#include "cli/options.h"

#include <stdio.h>

SxStatus cmd_versus(int argc, char **argv) {
    PlanOptions options;
    plan_options_init(&options, TAKES_NO_MODEL);
    if (args_ask_help(argc, argv)) {
        puts("usage: sixturn versus TEAM.json A.json B.json [options]\n\n"
             "Two lineups side by side. A and B are plans (their best lineups are found first)\n"
             "or lineups as 'sixturn plan --json' prints them (the order is kept, libero and\n"
             "passers are chosen anew). Both are valued with the weights of --plan, or the\n"
             "defaults.\n");
        plan_options_help(&options);
        return SX_OK;
    }
    ArgList words;
    SxStatus status = plan_options_read(argc, argv, &options, NULL, &words);
    if (status == SX_OK && words.count != 3) {
        fprintf(stderr, "sixturn: a team file and two plans are needed, found %d (see --help)\n",
                words.count);
        status = SX_USAGE;
    }
    if (status != SX_OK) {
        return status;
    }
    SxAsk ask;
    SxSessionInput input;
    plan_options_input(&options, words.item[0], &input);
    sx_ask_default(SX_ASK_VERSUS, &ask);
    for (int k = 0; k < 2; k++) {
        ask.versus.side[k].name = words.item[1 + k];
    }
    return question_run(&input, &ask, &(Output){.json = options.json});
}
