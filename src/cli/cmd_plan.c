/* sixturn plan: the best lineup, with six legal receive formations. */
#include "cli/commands.h"
#include "cli/options.h"
#include "sixturn/report.h"

#include <glpk.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static void help(const PlanOptions *options) {
    puts("usage: sixturn plan TEAM.json [options]\n\n"
         "The best starting order with its passers, formations and libero plan, proven.\n");
    plan_options_help(options);
}

static SxStatus print(const Workbench *bench, const SxForecast *forecast, bool json, SxError *err) {
    SxServeFormations serve;
    SxStatus status = sx_serve_formations(&bench->problem, NULL, &serve, err);
    if (status != SX_OK) {
        return status;
    }
    char *text = json
                     ? sx_plan_json(&bench->problem, &forecast->lineup, &serve, &forecast->outlook)
                     : sx_plan_text(&bench->problem, &forecast->lineup, &serve, &forecast->outlook);
    if (!text) {
        return sx_fail(err, SX_INTERNAL, "out of memory");
    }
    bool written = fputs(text, stdout) >= 0 && fflush(stdout) == 0;
    free(text);
    return written ? SX_OK : sx_fail(err, SX_NO_WRITE, "cannot write to standard output");
}

SxStatus cmd_plan(int argc, char **argv) {
    PlanOptions options;
    plan_options_init(&options);
    if (args_ask_help(argc, argv)) {
        help(&options);
        return SX_OK;
    }
    ArgList words;
    SxStatus status = args_read(argc, argv, options.table, NULL, &words);
    const char *team_file = status == SX_OK ? only_team_file(&words) : NULL;
    if (!team_file) {
        return SX_USAGE;
    }
    static Workbench bench;
    SxError err = {.status = SX_OK};
    SxForecast forecast;
    glp_term_out(GLP_OFF);
    status = workbench_load(&options, team_file, &bench, &err);
    if (status == SX_OK) {
        status = workbench_solve(&bench, &forecast, &err);
    }
    if (status == SX_OK) {
        status = print(&bench, &forecast, options.json, &err);
    }
    workbench_free(&bench);
    glp_free_env();
    return status == SX_OK ? SX_OK : args_complain(&err);
}
