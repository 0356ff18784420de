/* sixturn plan: the best lineup, with six legal receive formations. */
#include "cli/commands.h"
#include "cli/longrun.h"
#include "cli/question.h"
#include "sixturn/analysis_report.h"

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
    SxWork run = longrun_timed(options);
    status = sx_shares(&bench->problem, sets, &run, &shares, err);
    longrun_end();
    return status == SX_OK ? longrun_print(options->json ? sx_shares_json(&bench->problem, &shares)
                                                         : sx_shares_text(&bench->problem, &shares),
                                           err)
                           : status;
}

/* What plan asks beyond the shared options. */
typedef struct {
    const char *goal;
    int sets;
    bool for_set;
} PlanAims;

static SxStatus check_aims(const PlanOptions *options, PlanAims *aims) {
    aims->for_set = aims->goal && strcmp(aims->goal, "set") == 0;
    if (aims->goal && !aims->for_set && strcmp(aims->goal, "score") != 0) {
        fprintf(stderr, "sixturn: --goal is score or set, not '%s'\n", aims->goal);
        return SX_USAGE;
    }
    if (aims->sets && (options->write_model || aims->for_set)) {
        fputs("sixturn: --write-model and --goal set are for one set, not for --sets\n", stderr);
        return SX_USAGE;
    }
    return SX_OK;
}

SxStatus cmd_plan(int argc, char **argv) {
    PlanOptions options;
    PlanAims aims = {NULL, 0, false};
    plan_options_init(&options);
    const Arg own[] = {
        {"--goal", ARG_TEXT, &aims.goal, 0, 0, "GOAL",
         "score (the default), or set: the best set odds"},
        {"--sets", ARG_INT, &aims.sets, 1, SX_MAX_SHARED_SETS, "N",
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
    if (!team_file || check_aims(&options, &aims) != SX_OK) {
        return SX_USAGE;
    }
    if (!aims.sets) {
        SxSessionInput input;
        const SxAsk ask = {.question = SX_ASK_PLAN, .plan = {.for_set = aims.for_set}};
        plan_options_input(&options, team_file, &input);
        return question_print(&input, &ask, options.json);
    }
    static Workbench bench;
    SxError err = {.status = SX_OK};
    status = workbench_load(&options, team_file, &bench, &err);
    if (status == SX_OK) {
        status = share_out(&options, &bench, aims.sets, &err);
    }
    workbench_free(&bench);
    glp_free_env();
    return status == SX_OK ? SX_OK : args_complain(&err);
}
