/* sixturn setters: every setter, or pair of setters, with the best lineup around them. */
#include "cli/commands.h"
#include "cli/longrun.h"
#include "sixturn/analysis_report.h"

#include <stdio.h>

static SxStatus work(const PlanOptions *options, const char *team_file, Workbench *bench,
                     SxSystemSet *systems, SxError *err) {
    SxStatus status = longrun_load_systems(options, team_file, true, bench, systems, err);
    if (status != SX_OK) {
        return status;
    }
    SxSetterChoices choices;
    SxWork run = longrun_timed(options);
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
    return longrun_over_systems(
        argc, argv,
        "usage: sixturn setters TEAM.json [options]\n\n"
        "Every setter, and every pair of setters, with the best lineup around "
        "them:\nin the system given, or else in all shipped ones.\n",
        work);
}
