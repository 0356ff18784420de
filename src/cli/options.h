/* The options that plan and all commands built on it share, and the session that they describe. */
#ifndef SIXTURN_CLI_OPTIONS_H
#define SIXTURN_CLI_OPTIONS_H

#include "cli/question.h"

enum { PLAN_ARGS = 15, FIXTURE_ARGS = 6 };

/* What of them a command takes. */
typedef enum { TAKES_ALL, TAKES_NO_MODEL, TAKES_NO_MODEL_NOR_JSON } PlanOptionsTaken;

/* Options as given. */
typedef struct {
    PlanOptionsTaken taken;
    const char *plan, *system, *rules, *goal, *opponent, *write_model, *terms;
    int passers;    /* 0: not given */
    int start;      /* 1 to 6; 0: not given */
    double balance; /* negative: not given */
    double time_limit;
    bool json;
    ArgList out;
    Arg table[PLAN_ARGS];
} PlanOptions;

void plan_options_init(PlanOptions *options, PlanOptionsTaken taken);
/* Help on the options that are taken, with the ids of systems and rule profiles. */
void plan_options_help(const PlanOptions *options);

/* Reads the words of a command that takes plan's options and its own (may be NULL), and refuses
 * those that are not taken. Complains on stderr. */
SxStatus plan_options_read(int argc, char **argv, PlanOptions *options, const Arg *own,
                           ArgList *words);
/* The one team file among the words, or a complaint on stderr and NULL. */
const char *only_team_file(const ArgList *words);

/* A team file, whatever follows it; or a complaint on stderr and false. */
bool team_and_players(const ArgList *words);

/* The session that the options and the team file describe. Borrows both. */
void plan_options_input(const PlanOptions *options, const char *team_file, SxSessionInput *input);

/* The options about our rates and the rally model. */
typedef struct {
    const char *rates, *log, *level, *model;
    ArgList rallies;
    Arg table[FIXTURE_ARGS];
} FixtureOptions;

void fixture_options_init(FixtureOptions *options);
void fixture_options_input(const FixtureOptions *options, SxSessionInput *input);

#endif
