/* sixturn systems: the best lineup under each playing system. */
#include "cli/commands.h"
#include "cli/longrun.h"
#include "sixturn/analysis_report.h"

#include <glpk.h>
#include <stdio.h>
#include <stdlib.h>

static SxStatus work(const PlanOptions *options, const char *team_file, Workbench *bench,
                     SxSystemSet *systems, SxError *err) {
    SxStatus status = longrun_load_systems(options, team_file, false, bench, systems, err);
    if (status != SX_OK) {
        return status;
    }
    SxSystemBest *best = calloc((size_t)systems->count + 1, sizeof *best);
    if (!best) {
        return sx_fail(err, SX_INTERNAL, "out of memory");
    }
    SxRun run = longrun_begin(options);
    status = sx_systems_compare(&bench->problem, systems, &run, best, err);
    longrun_end();
    bool any = false;
    for (int k = 0; k < systems->count; k++) {
        any = any || best[k].possible;
    }
    if (status == SX_OK && !any) {
        status = sx_fail(err, SX_NO,
                         longrun_stopped() ? "stopped before a lineup was found"
                                           : "no system has a legal lineup; sixturn plan says why");
    } else if (status == SX_OK) {
        status = longrun_print(options->json ? sx_systems_json(&bench->problem, systems, best)
                                             : sx_systems_text(&bench->problem, systems, best),
                               err);
    }
    free(best);
    return status;
}

SxStatus cmd_systems(int argc, char **argv) {
    PlanOptions options;
    plan_options_init(&options);
    if (args_ask_help(argc, argv)) {
        puts("usage: sixturn systems TEAM.json [options]\n\n"
             "The best lineup under each playing system side by side, with the substitutions it\n"
             "needs. --system FILE adds a system of your own.\n");
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
