/* sixturn report: the lineup with its drawings and what-if answers as one HTML page. */
#include "cli/commands.h"
#include "cli/drawing.h"
#include "cli/whatif.h"

#include <glpk.h>
#include <stdio.h>

static SxStatus work(const PlanOptions *options, const char *team_file, const char *file,
                     bool brief, SxShow show, Drawing *drawing, SxError *err) {
    WhatIf what_if = {.count = 0};
    SxStatus status = drawing_make(options, team_file, drawing, err);
    if (status == SX_OK && !brief) {
        status = what_if_make(options, drawing, &what_if, err);
    }
    if (status == SX_OK) {
        SxReport report = {drawing->sheet, what_if.count, what_if.table};
        report.sheet.show = show;
        status = sx_report_write(&report, file, err);
    }
    what_if_free(&what_if);
    return status;
}

SxStatus cmd_report(int argc, char **argv) {
    PlanOptions options;
    plan_options_init(&options);
    const char *file = NULL, *phase = NULL;
    bool brief = false;
    const Arg table[] = {
        {"-o", ARG_TEXT, &file, 0, 0, "FILE", "where to write the page (.html)"},
        {"--phase", ARG_TEXT, &phase, 0, 0, "PHASE", "receive, serve or both (default)"},
        {"--brief", ARG_FLAG, &brief, 0, 0, NULL, "without the what-if tables: faster"},
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
    SxShow show;
    if (args_read(argc, argv, options.table, table, &words) != SX_OK ||
        drawing_check(&options, file) != SX_OK || drawing_show(phase, &show) != SX_OK) {
        return SX_USAGE;
    }
    const char *team_file = only_team_file(&words);
    if (!team_file) {
        return SX_USAGE;
    }
    static Drawing drawing;
    SxError err = {.status = SX_OK};
    SxStatus status = work(&options, team_file, file, brief, show, &drawing, &err);
    drawing_free(&drawing);
    glp_free_env();
    return status == SX_OK ? SX_OK : args_complain(&err);
}
