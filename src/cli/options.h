/* The options that plan and all commands built on it share, and the problem that they describe. */
#ifndef SIXTURN_CLI_OPTIONS_H
#define SIXTURN_CLI_OPTIONS_H

#include "cli/args.h"
#include "sixturn/forecast.h"
#include "sixturn/lineup.h"
#include "sixturn/session.h"

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

/* The session that the options and the team file describe. Borrows both. */
void plan_options_input(const PlanOptions *options, const char *team_file, SxSessionInput *input);

/* Everything loaded: problem points into the rest. */
typedef struct {
    SxTeam team;
    SxPlan plan;
    SxRules rules;
    SxSystem system;
    SxFormationTable *table;
    SxProblem problem;
    SxSolveOptions solve;
    int out_count; /* the last wishes of the plan, said by --out */
} Workbench;

/* Reads team, plan, rules and system, and builds the formation table. Free with workbench_free,
 * also after a failure. */
SxStatus workbench_load(const PlanOptions *options, const char *team_file, Workbench *bench,
                        SxError *err);
/* Team, plan and rules only: for commands that choose the system themselves. */
SxStatus workbench_load_team(const PlanOptions *options, const char *team_file, Workbench *bench,
                             SxError *err);
/* Weighs the rotations in the bench's plan by how often they are played against an even opponent,
 * unless the plan gives the weights. The lineup with everybody decides, whoever --out leaves out,
 * so that a team with and without a player is measured alike. problem is the bench's, or the same
 * under another system. */
SxStatus workbench_settle(Workbench *bench, const SxProblem *problem, SxError *err);
/* Settles the weights and finds the best lineup and its set odds. Unless a start is fixed it starts
 * where these are best when the other team serves first. */
SxStatus workbench_solve(Workbench *bench, SxForecast *forecast, SxError *err);
/* The built-in rally model, calibrated for the team's level of play. */
SxStatus workbench_rally_model(const Workbench *bench, SxRallyModel *model, SxError *err);
void workbench_free(Workbench *bench);

/* The one team file among the words, or a complaint on stderr and NULL. */
const char *only_team_file(const ArgList *words);

#endif
