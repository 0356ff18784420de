/* sixturn sheet: the lineup on paper, for the wall, the scorer and each player. */
#include "cli/commands.h"
#include "cli/drawing.h"

#include <stdio.h>
#include <string.h>

typedef struct {
    const char *file, *paper, *phase, *player;
    bool cards;
    int rotation, sets, set;
} SheetOptions;

static SxStatus read_paper(const char *word, SxPaper *paper) {
    *paper = word && strcmp(word, "letter") == 0 ? SX_PAPER_LETTER : SX_PAPER_A4;
    if (word && strcmp(word, "letter") != 0 && strcmp(word, "a4") != 0) {
        fprintf(stderr, "sixturn: --paper takes a4 or letter, found '%s'\n", word);
        return SX_USAGE;
    }
    return SX_OK;
}

SxStatus cmd_sheet(int argc, char **argv) {
    PlanOptions options;
    plan_options_init(&options, TAKES_NO_MODEL_NOR_JSON);
    SheetOptions own = {.cards = false};
    const Arg table[] = {
        {"-o", ARG_TEXT, &own.file, 0, 0, "FILE", "where to write: .pdf, .svg or .png"},
        {"--paper", ARG_TEXT, &own.paper, 0, 0, "a4|letter", "a4 if not given"},
        {"--phase", ARG_TEXT, &own.phase, 0, 0, "receive|serve|both",
         "what to draw; both if not given"},
        {"--rotation", ARG_INT, &own.rotation, 1, SX_ROTATIONS, "N",
         "the pages of this rotation only"},
        {"--for", ARG_TEXT, &own.player, 0, 0, "PLAYER", "one player's card (id or shirt number)"},
        {"--cards", ARG_FLAG, &own.cards, 0, 0, NULL, "everybody's cards, to be cut apart"},
        {"--sets", ARG_INT, &own.sets, 1, SX_MAX_SHARED_SETS, "N",
         "for N sets that share playing time"},
        {"--set", ARG_INT, &own.set, 1, SX_MAX_SHARED_SETS, "K", "which of them this is for"},
        {NULL, ARG_FLAG, NULL, 0, 0, NULL, NULL},
    };
    if (args_ask_help(argc, argv)) {
        puts("usage: sixturn sheet TEAM.json -o FILE [options]\n\n"
             "The best lineup on paper: for the wall a summary with both line-up slips, then\n"
             "a page for each court; or the players' cards. PDF has a page each; SVG and PNG\n"
             "hold the pages one below the other.\n");
        args_help(table);
        plan_options_help(&options);
        return SX_OK;
    }
    ArgList words;
    SxAsk ask;
    SxSessionInput input;
    sx_ask_default(SX_ASK_SHEET, &ask);
    if (plan_options_read(argc, argv, &options, table, &words) != SX_OK ||
        drawing_file(own.file) != SX_OK || read_paper(own.paper, &ask.sheet.paper) != SX_OK ||
        drawing_show(own.phase, &ask.sheet.show) != SX_OK ||
        drawing_sets(own.sets, own.set) != SX_OK) {
        return SX_USAGE;
    }
    const char *team_file = only_team_file(&words);
    SxError err = {.status = SX_OK};
    if (!team_file) {
        return SX_USAGE;
    }
    if (sx_sheet_file_kind(own.file, &ask.sheet.kind, &err) != SX_OK) {
        return args_complain(&err);
    }
    ask.sheet.player = own.player;
    ask.sheet.cards = own.cards;
    ask.sheet.rotation = own.rotation;
    ask.sheet.sets = own.sets;
    ask.sheet.set = own.set;
    plan_options_input(&options, team_file, &input);
    return question_run(&input, &ask, &(Output){.quiet = true, .file = own.file});
}
