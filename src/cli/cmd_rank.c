/* sixturn rank: the best different orders, and how sure their order is. */
#include "cli/commands.h"
#include "cli/options.h"

#include <stdio.h>
#include <string.h>

typedef struct {
    int top, draws, seed;
    double doubt;
    const char *spread;
} RankOptions;

enum { DEFAULT_TOP = 5, DEFAULT_DRAWS = 400, MOST_DRAWS = 1000000, MOST_SEED = 2000000000 };

static SxStatus read_doubt(const RankOptions *own, SxAsk *ask) {
    const bool uniform = strcmp(own->spread, "uniform") == 0;
    if (!uniform && strcmp(own->spread, "normal") != 0) {
        fprintf(stderr, "sixturn: --spread takes normal or uniform, found '%s'\n", own->spread);
        return SX_USAGE;
    }
    sx_ask_default(SX_ASK_RANK, ask);
    ask->rank.top = own->top;
    ask->rank.doubt = (SxDoubtOptions){.size = own->doubt,
                                       .spread = uniform ? SX_SPREAD_UNIFORM : SX_SPREAD_NORMAL,
                                       .draws = own->draws,
                                       .seed = (uint64_t)own->seed};
    return SX_OK;
}

SxStatus cmd_rank(int argc, char **argv) {
    PlanOptions options;
    plan_options_init(&options, TAKES_NO_MODEL);
    RankOptions own = {.top = DEFAULT_TOP, .draws = DEFAULT_DRAWS, .seed = 1, .spread = "normal"};
    const Arg table[] = {
        {"--top", ARG_INT, &own.top, 1, SX_MAX_TOP, "K", "how many orders (5)"},
        {"--doubt", ARG_REAL, &own.doubt, 0, SX_SKILL_MAX, "POINTS",
         "ratings are known to about so much: draw others"},
        {"--draws", ARG_INT, &own.draws, 1, MOST_DRAWS, "N", "how many draws (400)"},
        {"--spread", ARG_TEXT, &own.spread, 0, 0, "normal|uniform",
         "points are a standard deviation, or the most"},
        {"--seed", ARG_INT, &own.seed, 0, MOST_SEED, "N", "where the draws start (1)"},
        {NULL, ARG_FLAG, NULL, 0, 0, NULL, NULL},
    };
    if (args_ask_help(argc, argv)) {
        puts("usage: sixturn rank TEAM.json [options]\n\n"
             "The best different orders, proven, and what sets each apart from the first.\n");
        args_help(table);
        plan_options_help(&options);
        return SX_OK;
    }
    ArgList words;
    SxAsk ask;
    SxSessionInput input;
    SxStatus status = plan_options_read(argc, argv, &options, table, &words);
    const char *team_file = status == SX_OK ? only_team_file(&words) : NULL;
    if (!team_file || read_doubt(&own, &ask) != SX_OK) {
        return SX_USAGE;
    }
    plan_options_input(&options, team_file, &input);
    return question_run(&input, &ask, &(Output){.json = options.json});
}
