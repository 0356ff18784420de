/* The options that plan and all commands built on it share, and the problem that they describe. */
#ifndef SIXTURN_CLI_OPTIONS_H
#define SIXTURN_CLI_OPTIONS_H

#include "cli/args.h"
#include "sixturn/forecast.h"
#include "sixturn/lineup.h"

enum { PLAN_ARGS = 12 };

/* Options as given. */
typedef struct {
    const char *plan, *system, *rules, *write_model;
    int passers;    /* 0: not given */
    int start;      /* 1 to 6; 0: not given */
    double balance; /* negative: not given */
    double time_limit;
    bool json;
    ArgList out;
    Arg table[PLAN_ARGS];
} PlanOptions;

/* The system if neither the options nor the plan name one. */
extern const char plan_default_system[];

void plan_options_init(PlanOptions *options);
/* Help on the shared options, with the ids of systems and rule profiles. */
void plan_options_help(const PlanOptions *options);

/* Everything loaded: problem points into the rest. */
typedef struct {
    SxTeam team;
    SxPlan plan;
    SxRules rules;
    SxSystem system;
    SxFormationTable *table;
    SxProblem problem;
    SxSolveOptions solve;
} Workbench;

/* Reads team, plan, rules and system, and builds the formation table. Free with workbench_free,
 * also after a failure. */
SxStatus workbench_load(const PlanOptions *options, const char *team_file, Workbench *bench,
                        SxError *err);
/* Team, plan and rules only: for commands that choose the system themselves. */
SxStatus workbench_load_team(const PlanOptions *options, const char *team_file, Workbench *bench,
                             SxError *err);
/* The best lineup, its rotations weighed by how often they are played against an even opponent
 * (unless the plan gives the weights). Unless a start is fixed it starts where the set odds are
 * best when the other team serves first. The weights are kept in the bench's plan. */
SxStatus workbench_solve(Workbench *bench, SxForecast *forecast, SxError *err);
void workbench_free(Workbench *bench);

/* The one team file among the words, or a complaint on stderr and NULL. */
const char *only_team_file(const ArgList *words);

#endif
