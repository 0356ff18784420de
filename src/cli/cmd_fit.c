/* sixturn fit: rates by rotation from the coach's own rally log. */
#include "cli/commands.h"
#include "cli/options.h"

#include <stdio.h>

/* The words: a team file and, unless sets are given in letters, a log. */
enum { TEAM, LOG, WORDS };

static void help(const PlanOptions *options, const Arg *own) {
    puts("usage: sixturn fit TEAM.json [LOG] [options]\n\n"
         "Our side-out and break points by rotation, and how well the ratings explain\n"
         "them. LOG is a sheet of rallies with the columns set, rotation, we (serve or\n"
         "receive), result (won or lost) and, if you like, their_rotation; or a text with\n"
         "a set to a line: our rotation, serve or receive, if you like 'against' and\n"
         "theirs, then w for every rally won and l for every one lost, as in\n"
         "  3 receive against 5 wlwwl lwlll ww 6-6\n"
         "A score, a rotation or serve and receive in between are checked.\n");
    args_help(own);
    plan_options_help(options);
}

SxStatus cmd_fit(int argc, char **argv) {
    PlanOptions options;
    FixtureOptions fixture_options;
    const char *rates_file = NULL;
    plan_options_init(&options, TAKES_NO_MODEL);
    fixture_options_init(&fixture_options);
    const Arg own[] = {
        {"--write-rates", ARG_TEXT, &rates_file, 0, 0, "FILE",
         "write how often we win, for odds --rates FILE"},
        {"--rallies", ARG_LIST, &fixture_options.rallies, 0, 0, "SET",
         "one more set, as a line of such a text"},
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
    SxStatus status = plan_options_read(argc, argv, &options, own, &words);
    if (status != SX_OK) {
        return status;
    }
    const bool letters = fixture_options.rallies.count > 0;
    if (words.count != WORDS && !(letters && words.count == LOG)) {
        fprintf(stderr, "sixturn: a team file and a rally log are needed, found %d (see --help)\n",
                words.count);
        return SX_USAGE;
    }
    SxAsk ask;
    SxSessionInput input;
    plan_options_input(&options, words.item[TEAM], &input);
    fixture_options_input(&fixture_options, &input);
    sx_ask_default(SX_ASK_FIT, &ask);
    ask.fit.day = input.day;
    ask.fit.day.log.name = words.count == WORDS ? words.item[LOG] : NULL;
    input.day = (SxDay){.sets = 0}; /* asked of, not used */
    return question_run(&input, &ask, &(Output){.json = options.json, .file = rates_file});
}
