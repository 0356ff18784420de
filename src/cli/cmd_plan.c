/* sixturn plan: the best lineup, with six legal receive formations. */
#include "cli/commands.h"
#include "cli/longrun.h"
#include "core/numbers.h"
#include "sixturn/analysis_report.h"
#include "sixturn/goalset.h"
#include "sixturn/report.h"

#include <cjson/cJSON.h>
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

/* The result's object with what the goal was, or NULL. Frees text. */
static char *with_goal(char *text, const SxGoalSet *goal) {
    SX_PLAIN_NUMBERS;
    cJSON *root = text ? cJSON_Parse(text) : NULL;
    cJSON *item = root ? cJSON_AddObjectToObject(root, "goal_set") : NULL;
    free(text);
    if (item) {
        cJSON_AddNumberToObject(item, "win", goal->win);
        cJSON_AddNumberToObject(item, "win_of_best_score", goal->win_of_best_score);
        cJSON_AddNumberToObject(item, "place_of_best_score", goal->place);
        cJSON_AddNumberToObject(item, "orders", goal->orders);
    }
    text = root ? cJSON_Print(root) : NULL;
    cJSON_Delete(root);
    return text;
}

static void print_goal(const SxGoalSet *goal) {
    SX_PLAIN_NUMBERS;
    printf("Chosen for the set odds, of %d orders: %.2f %% of the sets; the order with the\n"
           "best score wins %.2f %% (place %d).\n\n",
           goal->orders, 100 * goal->win, 100 * goal->win_of_best_score, goal->place);
}

/* The best order by set odds takes the place of the forecast's lineup. */
static SxStatus aim_at_set(Workbench *bench, SxForecast *forecast, SxGoalSet *goal, SxError *err) {
    SxRallyModel model;
    SxOpponent opponent;
    const SxFixture even = {&model, &opponent, NULL};
    SxStatus status = workbench_rally_model(bench, &model, err);
    if (status == SX_OK) {
        sx_even_opponent(&bench->team, &model, &opponent);
        status = sx_goal_set(&bench->problem, &even, forecast, NULL, goal, err);
    }
    if (status == SX_OK) {
        forecast->lineup = goal->lineup;
        forecast->outlook = goal->outlook;
        if (bench->plan.start < 0) {
            forecast->lineup.start = forecast->outlook.start[SX_RECEIVE];
        }
    }
    return status;
}

static SxStatus print(const Workbench *bench, const SxForecast *forecast, const SxGoalSet *goal,
                      bool json, SxError *err) {
    SxServeFormations serve;
    SxStatus status = sx_serve_formations(&bench->problem, NULL, &serve, err);
    if (status != SX_OK) {
        return status;
    }
    char *text = json
                     ? sx_plan_json(&bench->problem, &forecast->lineup, &serve, &forecast->outlook)
                     : sx_plan_text(&bench->problem, &forecast->lineup, &serve, &forecast->outlook);
    if (goal && json) {
        text = with_goal(text, goal);
    }
    if (!text) {
        return sx_out_of_memory(err);
    }
    if (goal && !json) {
        print_goal(goal);
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
    SxWork run = longrun_begin(options);
    status = sx_shares(&bench->problem, sets, &run, &shares, err);
    longrun_end();
    return status == SX_OK ? longrun_print(options->json ? sx_shares_json(&bench->problem, &shares)
                                                         : sx_shares_text(&bench->problem, &shares),
                                           err)
                           : status;
}

static SxStatus plan_once(const PlanOptions *options, Workbench *bench, bool for_set,
                          SxError *err) {
    SxForecast forecast;
    SxGoalSet goal;
    SxStatus status = workbench_solve(bench, &forecast, err);
    if (status == SX_OK && for_set) {
        status = aim_at_set(bench, &forecast, &goal, err);
    }
    return status == SX_OK ? print(bench, &forecast, for_set ? &goal : NULL, options->json, err)
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
    static Workbench bench;
    SxError err = {.status = SX_OK};
    status = workbench_load(&options, team_file, &bench, &err);
    if (status == SX_OK) {
        status = aims.sets ? share_out(&options, &bench, aims.sets, &err)
                           : plan_once(&options, &bench, aims.for_set, &err);
    }
    workbench_free(&bench);
    glp_free_env();
    return status == SX_OK ? SX_OK : args_complain(&err);
}
