/* sixturn setters: every setter, or pair of setters, with the best lineup around them. */
#include "cli/commands.h"
#include "cli/longrun.h"
#include "sixturn/analysis_report.h"

#include <glpk.h>
#include <stdio.h>

static SxStatus work(const PlanOptions *options, const char *team_file, Workbench *bench,
                     SxSystemSet *systems, SxError *err) {
    SxStatus status = longrun_load_systems(options, team_file, true, bench, systems, err);
    if (status != SX_OK) {
        return status;
    }
    SxSetterChoices choices;
    SxRun run = longrun_begin(options);
    status = sx_setters(&bench->problem, systems, &run, &choices, err);
    longrun_end();
    if (status != SX_OK) {
        return status;
    }
    if (!choices.item[0].possible) {
        status = sx_fail(err, SX_NO,
                         longrun_stopped() ? "stopped before a lineup was found"
                                           : "no setter has a legal lineup; sixturn plan says why");
    } else {
        status = longrun_print(options->json ? sx_setters_json(&bench->problem, systems, &choices)
                                             : sx_setters_text(&bench->problem, systems, &choices),
                               err);
    }
    sx_setters_free(&choices);
    return status;
}

SxStatus cmd_setters(int argc, char **argv) {
    PlanOptions options;
    plan_options_init(&options);
    if (args_ask_help(argc, argv)) {
        puts("usage: sixturn setters TEAM.json [options]\n\n"
             "Every setter, and every pair of setters, with the best lineup around them: in the\n"
             "system given, or else in all shipped ones.\n");
        plan_options_help(&options);
        return SX_OK;
    }
    ArgList words;
    SxStatus status = longrun_read(argc, argv, &options, NULL, &words);
    const char *team_file = status == SX_OK ? only_team_file(&words) : NULL;
    if (!team_file) {
        return SX_USAGE;
    }
    static Workbench bench;
    SxSystemSet systems;
    SxError err = {.status = SX_OK};
    glp_term_out(GLP_OFF);
    status = work(&options, team_file, &bench, &systems, &err);
    sx_systems_free(&systems);
    glp_free_env();
    return status == SX_OK ? SX_OK : args_complain(&err);
}
