/* sixturn plan: the best lineup, with six legal receive formations. */
#include "cli/commands.h"
#include "cli/longrun.h"
#include "sixturn/analysis_report.h"
#include "sixturn/report.h"

#include <glpk.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static void help(const PlanOptions *options, const Arg *own) {
    puts("usage: sixturn plan TEAM.json [options]\n\n"
         "The best starting order with its passers, formations and libero plan, proven.\n");
    args_help(own);
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

/* How often a rotation is played does not depend on who has a share of it. */
static SxStatus settle_without_shares(Workbench *bench, SxError *err) {
    const SxPlan asked = bench->plan;
    bench->plan.wish_count = 0;
    for (int k = 0; k < asked.wish_count; k++) {
        if (asked.wishes[k].kind != SX_MIN_ROTATIONS) {
            bench->plan.wishes[bench->plan.wish_count++] = asked.wishes[k];
        }
    }
    SxStatus status = workbench_settle(bench, &bench->problem, err);
    SxPlan settled = asked;
    memcpy(settled.rotation_weight, bench->plan.rotation_weight, sizeof settled.rotation_weight);
    bench->plan = settled;
    return status;
}

static SxStatus share_out(const PlanOptions *options, Workbench *bench, int sets, SxError *err) {
    SxShares shares;
    SxStatus status = settle_without_shares(bench, err);
    if (status != SX_OK) {
        return status;
    }
    SxRun run = longrun_begin(options);
    status = sx_shares(&bench->problem, sets, &run, &shares, err);
    longrun_end();
    return status == SX_OK ? longrun_print(options->json ? sx_shares_json(&bench->problem, &shares)
                                                         : sx_shares_text(&bench->problem, &shares),
                                           err)
                           : status;
}

static SxStatus plan_once(const PlanOptions *options, Workbench *bench, SxError *err) {
    SxForecast forecast;
    SxStatus status = workbench_solve(bench, &forecast, err);
    return status == SX_OK ? print(bench, &forecast, options->json, err) : status;
}

SxStatus cmd_plan(int argc, char **argv) {
    PlanOptions options;
    int sets = 0;
    plan_options_init(&options);
    const Arg own[] = {
        {"--sets", ARG_INT, &sets, 1, SX_MAX_SHARED_SETS, "N",
         "lineups for N sets; min_rotations count over all of them"},
        {NULL, ARG_FLAG, NULL, 0, 0, NULL, NULL},
    };
    if (args_ask_help(argc, argv)) {
        help(&options, own);
        return SX_OK;
    }
    ArgList words;
    SxStatus status = args_read(argc, argv, options.table, own, &words);
    const char *team_file = status == SX_OK ? only_team_file(&words) : NULL;
    if (!team_file) {
        return SX_USAGE;
    }
    if (sets && options.write_model) {
        fputs("sixturn: --write-model is for one set, not for --sets\n", stderr);
        return SX_USAGE;
    }
    static Workbench bench;
    SxError err = {.status = SX_OK};
    glp_term_out(GLP_OFF);
    status = workbench_load(&options, team_file, &bench, &err);
    if (status == SX_OK) {
        status = sets ? share_out(&options, &bench, sets, &err) : plan_once(&options, &bench, &err);
    }
    workbench_free(&bench);
    glp_free_env();
    return status == SX_OK ? SX_OK : args_complain(&err);
}
