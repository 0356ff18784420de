/* sixturn plan: the best lineup, with six legal receive formations. */
#include "cli/commands.h"
#include "cli/options.h"

#include <stdio.h>
#include <string.h>

static void help(const PlanOptions *options, const Arg *own) {
    puts("usage: sixturn plan TEAM.json [options]\n\n"
         "The best starting order with its passers, formations and libero plan, proven.\n");
    args_help(own);
    plan_options_help(options);
}

/* What plan asks beyond the shared options. */
typedef struct {
    const char *goal;
    int sets;
} PlanAims;

static SxStatus read_aims(const PlanOptions *options, const PlanAims *aims, SxAsk *ask) {
    sx_ask_default(aims->sets ? SX_ASK_SHARES : SX_ASK_PLAN, ask);
    ask->shares.sets = aims->sets;
    ask->plan.for_set = aims->goal && strcmp(aims->goal, "set") == 0;
    if (aims->goal && !ask->plan.for_set && strcmp(aims->goal, "score") != 0) {
        fprintf(stderr, "sixturn: --goal is score or set, not '%s'\n", aims->goal);
        return SX_USAGE;
    }
    if (aims->sets && (options->write_model || ask->plan.for_set)) {
        fputs("sixturn: --write-model and --goal set are for one set, not for --sets\n", stderr);
        return SX_USAGE;
    }
    return SX_OK;
}

SxStatus cmd_plan(int argc, char **argv) {
    PlanOptions options;
    PlanAims aims = {NULL, 0};
    plan_options_init(&options);
    const Arg own[] = {
        {"--goal", ARG_TEXT, &aims.goal, 0, 0, "score|set",
         "best score, or best set odds; score if not given"},
        {"--sets", ARG_INT, &aims.sets, 1, SX_MAX_SHARED_SETS, "N",
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
    if (!team_file || read_aims(&options, &aims, &ask) != SX_OK) {
        return SX_USAGE;
    }
    plan_options_input(&options, team_file, &input);
    return question_run(&input, &ask, &(Output){.json = options.json});
}
