/* sixturn worth: what a skill is worth to the team, and how much is missing to a place in it. */
#include "cli/commands.h"
#include "cli/longrun.h"
#include "sixturn/analysis_report.h"

#include <glpk.h>
#include <stdio.h>
#include <stdlib.h>

static SxStatus analyse(const PlanOptions *options, Workbench *bench, const int *players, int count,
                        SxError *err) {
    SxWorth *worth = calloc((size_t)count + 1, sizeof *worth);
    if (!worth) {
        return sx_out_of_memory(err);
    }
    SxPointValues values = {.count = 0};
    SxStatus status = SX_OK;
    SxWork run = longrun_timed(options);
    for (int k = 0; k < count && status == SX_OK; k++) {
        status = sx_worth(&bench->problem, players[k], &run, &worth[k], err);
    }
    if (status == SX_OK) {
        status = sx_point_values(&bench->problem, &run, &values, err);
    }
    longrun_end();
    if (status == SX_OK) {
        status =
            longrun_print(options->json ? sx_worth_json(&bench->problem, worth, count, &values)
                                        : sx_worth_text(&bench->problem, worth, count, &values),
                          err);
    }
    sx_point_values_free(&values);
    free(worth);
    return status;
}

static SxStatus work(const PlanOptions *options, const ArgList *words, Workbench *bench,
                     SxError *err) {
    int players[ARG_LIST_MAX];
    SxStatus status = workbench_load(options, words->item[0], bench, err);
    if (status == SX_OK) {
        status = workbench_settle(bench, &bench->problem, err);
    }
    if (status != SX_OK) {
        return status;
    }
    for (int k = 1; k < words->count; k++) {
        players[k - 1] = longrun_player(&bench->team, words->item[k], err);
        if (players[k - 1] < 0) {
            return SX_USAGE;
        }
    }
    return analyse(options, bench, players, words->count - 1, err);
}

SxStatus cmd_worth(int argc, char **argv) {
    PlanOptions options;
    plan_options_init(&options);
    if (args_ask_help(argc, argv)) {
        puts("usage: sixturn worth TEAM.json [PLAYER ...] [options]\n\n"
             "How much a skill of these players (id or shirt number) would have to rise for\n"
             "them to enter the best lineup, and what one rating point in each skill of each\n"
             "player in it is worth to the team.\n");
        plan_options_help(&options);
        return SX_OK;
    }
    ArgList words;
    SxStatus status = longrun_read_team(argc, argv, &options, NULL, &words);
    if (status != SX_OK) {
        return status;
    }
    static Workbench bench;
    SxError err = {.status = SX_OK};
    status = work(&options, &words, &bench, &err);
    workbench_free(&bench);
    glp_free_env();
    return status == SX_OK ? SX_OK : args_complain(&err);
}
