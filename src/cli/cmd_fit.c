/* sixturn fit: rates by rotation from the coach's own rally log. */
#include "cli/commands.h"
#include "cli/options.h"

#include <stdio.h>

enum { WORDS = 2 };

static void help(const PlanOptions *options, const Arg *own) {
    puts("usage: sixturn fit TEAM.json LOG.csv [options]\n\n"
         "Our side-out and break points by rotation, from a log of rallies with the\n"
         "columns set, rotation, we (serve or receive), result (won or lost) and, if you\n"
         "like, their_rotation; and how well the ratings explain them.\n");
    args_help(own);
    plan_options_help(options);
}

SxStatus cmd_fit(int argc, char **argv) {
    PlanOptions options;
    FixtureOptions fixture_options;
    const char *rates_file = NULL;
    plan_options_init(&options);
    fixture_options_init(&fixture_options);
    const Arg own[] = {
        {"--write-rates", ARG_TEXT, &rates_file, 0, 0, "FILE",
         "write how often we win, for odds --rates FILE"},
        {"--level", ARG_TEXT, &fixture_options.level, 0, 0, "ID",
         "level of play of the rally model; default: the team's"},
        {"--rally-model", ARG_TEXT, &fixture_options.model, 0, 0, "FILE",
         "constants of the rally model; default: built in"},
        {NULL, ARG_FLAG, NULL, 0, 0, NULL, NULL},
    };
    if (args_ask_help(argc, argv)) {
        help(&options, own);
        return SX_OK;
    }
    ArgList words;
    SxStatus status = plan_options_read_plain(argc, argv, &options, own, &words);
    if (status != SX_OK) {
        return status;
    }
    if (words.count != WORDS) {
        fprintf(stderr, "sixturn: a team file and a rally log are needed, found %d (see --help)\n",
                words.count);
        return SX_USAGE;
    }
    SxAsk ask;
    SxSessionInput input;
    plan_options_input(&options, words.item[0], &input);
    fixture_options_input(&fixture_options, &input);
    sx_ask_default(SX_ASK_FIT, &ask);
    ask.fit.log.name = words.item[1];
    return question_run(&input, &ask, &(Output){.json = options.json, .file = rates_file});
}
