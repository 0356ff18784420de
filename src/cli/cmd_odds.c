/* sixturn odds: where to start, serve or receive, and will the substitutions last. */
#include "cli/commands.h"
#include "cli/options.h"

#include <stdio.h>

static void help(const PlanOptions *options, const FixtureOptions *fixture) {
    puts("usage: sixturn odds TEAM.json [options]\n\n"
         "The odds of a set for each rotation to start in, serving or receiving first, and\n"
         "what follows: the match, how often each rotation is played, the substitutions.\n");
    args_help(fixture->table);
    plan_options_help(options);
}

SxStatus cmd_odds(int argc, char **argv) {
    PlanOptions options;
    FixtureOptions fixture_options;
    plan_options_init(&options, TAKES_NO_MODEL);
    fixture_options_init(&fixture_options);
    if (args_ask_help(argc, argv)) {
        help(&options, &fixture_options);
        return SX_OK;
    }
    ArgList words;
    SxAsk ask;
    SxSessionInput input;
    SxStatus status = plan_options_read(argc, argv, &options, fixture_options.table, &words);
    const char *team_file = status == SX_OK ? only_team_file(&words) : NULL;
    if (!team_file) {
        return SX_USAGE;
    }
    plan_options_input(&options, team_file, &input);
    fixture_options_input(&fixture_options, &input);
    sx_ask_default(SX_ASK_ODDS, &ask);
    return question_run(&input, &ask, &(Output){.json = options.json});
}
