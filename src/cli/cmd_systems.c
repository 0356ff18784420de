/* sixturn systems: the best lineup under each playing system. */
#include "cli/commands.h"
#include "cli/longrun.h"
#include "sixturn/analysis_report.h"

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
        return sx_out_of_memory(err);
    }
    SxWork run = longrun_timed(options);
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
    return longrun_over_systems(
        argc, argv,
        "usage: sixturn systems TEAM.json [options]\n\n"
        "The best lineup under each playing system side by side, with the "
        "substitutions\nit needs. --system FILE adds a system of your own.\n",
        work);
}
