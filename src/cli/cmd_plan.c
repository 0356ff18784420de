/* sixturn plan: the best lineup, with six legal receive formations. */
#include "cli/commands.h"
#include "cli/options.h"

#include <stdio.h>

static void help(const PlanOptions *options, const Arg *own) {
    puts("usage: sixturn plan TEAM.json [options]\n\n"
         "The best starting order with its passers, formations and libero plan, proven.\n");
    args_help(own);
    plan_options_help(options);
}

static SxStatus read_sets(const PlanOptions *options, int sets, bool brief, SxAsk *ask) {
    sx_ask_default(sets ? SX_ASK_SHARES : SX_ASK_PLAN, ask);
    ask->shares.sets = sets;
    ask->plan.brief = brief && !options->json;
    if (sets && (options->write_model || brief)) {
        fputs("sixturn: --brief and --write-model are for one set, not for --sets\n", stderr);
        return SX_USAGE;
    }
    return SX_OK;
}

SxStatus cmd_plan(int argc, char **argv) {
    PlanOptions options;
    int sets = 0;
    bool brief = false;
    plan_options_init(&options, TAKES_ALL);
    const Arg own[] = {
        {"--brief", ARG_FLAG, &brief, 0, 0, NULL, "the sets won, both slips and the order only"},
        {"--sets", ARG_INT, &sets, 1, SX_MAX_SHARED_SETS, "N",
         "lineups for N sets; min_rotations count over all of them"},
        {NULL, ARG_FLAG, NULL, 0, 0, NULL, NULL},
    };
    if (args_ask_help(argc, argv)) {
        help(&options, own);
        return SX_OK;
    }
    ArgList words;
    SxAsk ask;
    SxSessionInput input;
    SxStatus status = plan_options_read(argc, argv, &options, own, &words);
    const char *team_file = status == SX_OK ? only_team_file(&words) : NULL;
    if (!team_file || read_sets(&options, sets, brief, &ask) != SX_OK) {
        return SX_USAGE;
    }
    plan_options_input(&options, team_file, &input);
    return question_run(&input, &ask, &(Output){.json = options.json});
}
