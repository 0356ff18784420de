/* sixturn report: the lineup with its drawings and what-if answers as one HTML page. */
#include "cli/commands.h"
#include "cli/drawing.h"

#include <stdio.h>

SxStatus cmd_report(int argc, char **argv) {
    PlanOptions options;
    plan_options_init(&options, TAKES_NO_MODEL_NOR_JSON);
    const char *file = NULL, *phase = NULL;
    bool brief = false;
    int sets = 0, set = 0;
    const Arg table[] = {
        {"-o", ARG_TEXT, &file, 0, 0, "FILE", "where to write the page (.html)"},
        {"--phase", ARG_TEXT, &phase, 0, 0, "receive|serve|both",
         "what to draw; both if not given"},
        {"--brief", ARG_FLAG, &brief, 0, 0, NULL, "without the what-if tables: faster"},
        {"--sets", ARG_INT, &sets, 1, SX_MAX_SHARED_SETS, "N",
         "for N sets that share playing time"},
        {"--set", ARG_INT, &set, 1, SX_MAX_SHARED_SETS, "K", "which of them this is for"},
        {NULL, ARG_FLAG, NULL, 0, 0, NULL, NULL},
    };
    if (args_ask_help(argc, argv)) {
        puts("usage: sixturn report TEAM.json -o FILE.html [options]\n\n"
             "The best lineup as one page for a phone, a screen or a printer: drawings,\n"
             "tables, each player's duties, and what if a player is absent, another one sets,\n"
             "or the team plays another system. The page needs no other file and no network.\n");
        args_help(table);
        plan_options_help(&options);
        return SX_OK;
    }
    ArgList words;
    SxAsk ask;
    SxSessionInput input;
    sx_ask_default(SX_ASK_REPORT, &ask);
    if (plan_options_read(argc, argv, &options, table, &words) != SX_OK ||
        drawing_file(file) != SX_OK || drawing_show(phase, &ask.report.show) != SX_OK ||
        drawing_sets(sets, set) != SX_OK) {
        return SX_USAGE;
    }
    ask.report.brief = brief;
    ask.report.sets = sets;
    ask.report.set = set;
    const char *team_file = only_team_file(&words);
    if (!team_file) {
        return SX_USAGE;
    }
    plan_options_input(&options, team_file, &input);
    return question_run(&input, &ask, &(Output){.quiet = true, .file = file});
}
