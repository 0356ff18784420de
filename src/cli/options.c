/* The options that plan and all commands built on it share, and the problem that they describe. */
#include "cli/options.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

const char plan_default_system[] = "5-1-outside";
static const char DEFAULT_RULES[] = "fivb-2025";
#define MAX_TIME_LIMIT 86400.0

void plan_options_init(PlanOptions *options) {
    memset(options, 0, sizeof *options);
    options->balance = -1;
    const Arg table[PLAN_ARGS] = {
        {"--plan", ARG_TEXT, &options->plan, 0, 0, "FILE", "the coach's plan: weights and wishes"},
        {"--system", ARG_TEXT, &options->system, 0, 0, "ID", "playing system, or a file"},
        {"--rules", ARG_TEXT, &options->rules, 0, 0, "ID", "rule profile, or a file"},
        {"--passers", ARG_INT, &options->passers, SX_MIN_PASSERS, SX_MAX_PASSERS, "N",
         "how many players pass, 2 to 5"},
        {"--balance", ARG_REAL, &options->balance, 0, 1, "B",
         "0: only the mean counts, 1: only the weakest rotation"},
        {"--start", ARG_INT, &options->start, 1, SX_ROTATIONS, "N", "rotation to start in, 1 to 6"},
        {"--out", ARG_LIST, &options->out, 0, 0, "PLAYER",
         "plan without this player (id or shirt number)"},
        {"--json", ARG_FLAG, &options->json, 0, 0, NULL, "print JSON"},
        {"--write-model", ARG_TEXT, &options->write_model, 0, 0, "FILE",
         "write the integer program (.lp or .mps)"},
        {"--time-limit", ARG_REAL, &options->time_limit, 0, MAX_TIME_LIMIT, "SECONDS",
         "stop with the best so far and its gap"},
        {NULL, ARG_FLAG, NULL, 0, 0, NULL, NULL},
    };
    memcpy(options->table, table, sizeof table);
}

void plan_options_help(const PlanOptions *options) {
    args_help(options->table);
    fputs("\nsystems:", stdout);
    for (int k = 0; k < sx_system_count(); k++) {
        printf(" %s", sx_system_id(k));
    }
    fputs("\nrules:  ", stdout);
    for (int k = 0; k < sx_rules_count(); k++) {
        printf(" %s", sx_rules_id(k));
    }
    printf("\ndefaults: system %s, rules %s, 3 passers, balance 0.25\n", plan_default_system,
           DEFAULT_RULES);
}

void plan_options_input(const PlanOptions *options, const char *team_file, SxSessionInput *input) {
    sx_session_input_default(input);
    input->team.name = team_file;
    input->plan.name = options->plan;
    input->system.name = options->system;
    input->rules.name = options->rules;
    input->passers = options->passers;
    input->start = options->start - 1;
    input->balance = options->balance;
    input->out = options->out.item;
    input->out_count = options->out.count;
    input->time_limit = options->time_limit;
    input->write_model = options->write_model;
}

static SxStatus apply_out(const PlanOptions *options, Workbench *bench, SxError *err) {
    for (int k = 0; k < options->out.count; k++) {
        const char *who = options->out.item[k];
        int player = sx_team_find(&bench->team, who);
        if (player < 0) {
            const char *near = sx_team_nearest(&bench->team, who);
            return sx_fail(err, SX_USAGE, "--out: the team has no player '%s'%s%s%s", who,
                           near ? "; did you mean '" : "", near ? near : "", near ? "'?" : "");
        }
        char origin[SX_WISH_ORIGIN];
        snprintf(origin, sizeof origin, "--out %.40s", who);
        SxStatus status = sx_plan_wish(&bench->plan, SX_MUST_SIT, player, -1, 0, origin, err);
        if (status != SX_OK) {
            return status;
        }
        bench->out_count++;
    }
    return SX_OK;
}

static SxStatus apply_options(const PlanOptions *options, Workbench *bench, SxError *err) {
    SxPlan *plan = &bench->plan;
    if (options->system) {
        snprintf(plan->system, sizeof plan->system, "%s", options->system);
    }
    if (options->rules) {
        snprintf(plan->rules, sizeof plan->rules, "%s", options->rules);
    }
    if (options->passers) {
        plan->passers = 1u << options->passers;
    }
    if (options->balance >= 0) {
        plan->balance = options->balance;
    }
    if (options->start) {
        plan->start = options->start - 1;
    }
    bench->solve.time_limit = options->time_limit;
    bench->solve.write_model = options->write_model;
    return apply_out(options, bench, err);
}

/* A word on the command line that names nothing is bad usage, not bad input. */
static SxStatus blame_usage(SxStatus status, const char *option, SxError *err) {
    if (status == SX_BAD_INPUT && option && !err->file[0]) {
        err->status = status = SX_USAGE;
    }
    return status;
}

static const char *first_given(const char *a, const char *b, const char *c) {
    return a[0] ? a : b[0] ? b : c;
}

static void print_warnings(const char *team_file, const SxTeam *team) {
    char text[SX_ERROR_MESSAGE];
    for (int k = 0; sx_team_warning(team, k, text, sizeof text); k++) {
        fprintf(stderr, "sixturn: %s: note: %s\n", team_file, text);
    }
}

SxStatus workbench_load_team(const PlanOptions *options, const char *team_file, Workbench *bench,
                             SxError *err) {
    memset(bench, 0, sizeof *bench);
    SxStatus status = sx_team_read(team_file, &bench->team, err);
    if (status == SX_OK) {
        print_warnings(team_file, &bench->team);
        sx_plan_default(&bench->plan);
        if (options->plan) {
            status = sx_plan_read(options->plan, &bench->team, &bench->plan, err);
        }
    }
    if (status == SX_OK) {
        memset(err, 0, sizeof *err);
        status = apply_options(options, bench, err);
    }
    if (status == SX_OK) {
        status = sx_rules_load(first_given(bench->plan.rules, bench->team.rules, DEFAULT_RULES),
                               &bench->rules, err);
        status = blame_usage(status, options->rules, err);
    }
    bench->problem =
        (SxProblem){&bench->team, &bench->rules, &bench->system, &bench->plan, NULL, NULL};
    return status;
}

SxStatus workbench_load(const PlanOptions *options, const char *team_file, Workbench *bench,
                        SxError *err) {
    SxStatus status = workbench_load_team(options, team_file, bench, err);
    if (status == SX_OK) {
        status = sx_system_load(first_given(bench->plan.system, "", plan_default_system),
                                &bench->system, err);
        status = blame_usage(status, options->system, err);
    }
    if (status == SX_OK) {
        status = sx_formation_table_build(&bench->system, bench->plan.passers,
                                          bench->plan.setter_passes, NULL, &bench->table, err);
        bench->problem.table = bench->table;
    }
    return status;
}

SxStatus workbench_rally_model(const Workbench *bench, SxRallyModel *model, SxError *err) {
    SxStatus status = sx_rally_load(NULL, model, err);
    return status == SX_OK ? sx_rally_set_level(model, bench->team.level, err) : status;
}

static SxStatus forecast_with(const Workbench *bench, const SxProblem *problem,
                              const SxSolveOptions *solve, SxForecast *forecast, SxError *err) {
    SxRallyModel model;
    SxOpponent even;
    const SxFixture fixture = {&model, &even, NULL};
    SxStatus status = workbench_rally_model(bench, &model, err);
    if (status == SX_OK) {
        sx_even_opponent(&bench->team, &model, &even);
        status = sx_forecast(problem, solve, &fixture, forecast, err);
    }
    return status;
}

SxStatus workbench_settle(Workbench *bench, const SxProblem *problem, SxError *err) {
    if (bench->plan.rotation_weight_given) {
        return SX_OK;
    }
    SxPlan everybody = bench->plan;
    SxProblem now = *problem;
    SxForecast forecast;
    everybody.wish_count -= bench->out_count;
    now.plan = &everybody;
    SxSolveOptions solve = {.time_limit = bench->solve.time_limit};
    SxStatus status = forecast_with(bench, &now, &solve, &forecast, err);
    if (status == SX_OK) {
        memcpy(bench->plan.rotation_weight, forecast.weight, sizeof forecast.weight);
    }
    return status == SX_NO ? SX_OK
                           : status; /* why there is no lineup is told when it is asked for */
}

SxStatus workbench_solve(Workbench *bench, SxForecast *forecast, SxError *err) {
    SxStatus status = workbench_settle(bench, &bench->problem, err);
    if (status != SX_OK) {
        return status;
    }
    SxPlan settled = bench->plan;
    SxProblem now = bench->problem;
    settled.rotation_weight_given = true;
    now.plan = &settled;
    status = forecast_with(bench, &now, &bench->solve, forecast, err);
    if (status == SX_OK && bench->plan.start < 0) {
        forecast->lineup.start = forecast->outlook.start[SX_RECEIVE];
    }
    return status;
}

void workbench_free(Workbench *bench) {
    sx_formation_table_free(bench->table);
    bench->table = NULL;
}

const char *only_team_file(const ArgList *words) {
    if (words->count == 1) {
        return words->item[0];
    }
    fprintf(stderr, "sixturn: one team file is needed, found %d (see --help)\n", words->count);
    return NULL;
}
