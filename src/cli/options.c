/* The options that plan and all commands built on it share, and the problem that they describe. */
#include "cli/options.h"

#include "sixturn/rally.h"
#include "sixturn/rules.h"
#include "sixturn/system.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define MAX_TIME_LIMIT 86400.0

void plan_options_init(PlanOptions *options, PlanOptionsTaken taken) {
    memset(options, 0, sizeof *options);
    options->taken = taken;
    options->balance = -1;
    const Arg table[PLAN_ARGS] = {
        {"--plan", ARG_TEXT, &options->plan, 0, 0, "FILE", "the coach's plan: weights and wishes"},
        {"--system", ARG_TEXT, &options->system, 0, 0, "ID", "playing system, or a file"},
        {"--rules", ARG_TEXT, &options->rules, 0, 0, "ID", "rule profile, or a file"},
        {"--passers", ARG_INT, &options->passers, SX_MIN_PASSERS, SX_MAX_PASSERS, "N",
         "how many players pass, 2 to 5"},
        {"--goal", ARG_TEXT, &options->goal, 0, 0, "set|score",
         "sets won, or the plan's score; set if not given"},
        {"--opponent", ARG_TEXT, &options->opponent, 0, 0, "FILE",
         "their ratings by rotation; default: as good as we"},
        {"--formation-terms", ARG_TEXT, &options->terms, 0, 0, "FILE",
         "what a formation costs, in place of ours"},
        {"--balance", ARG_REAL, &options->balance, 0, 1, "B",
         "of a score: how much the weakest rotation counts"},
        {"--start", ARG_INT, &options->start, 1, SX_ROTATIONS, "N", "rotation to start in, 1 to 6"},
        {"--out", ARG_LIST, &options->out, 0, 0, "PLAYER",
         "plan without this player (id or shirt number)"},
        {"--json", ARG_FLAG, &options->json, 0, 0, NULL, "print JSON"},
        {"--write-model", ARG_TEXT, &options->write_model, 0, 0, "FILE",
         "write the integer program (.lp or .mps)"},
        {"--time-limit", ARG_REAL, &options->time_limit, 0, MAX_TIME_LIMIT, "SECONDS",
         "for all: then the best so far and its gap"},
        {NULL, ARG_FLAG, NULL, 0, 0, NULL, NULL},
    };
    memcpy(options->table, table, sizeof table);
}

/* The ids of the shipped levels of play. */
static void print_levels(void) {
    SxRallyModel *model = malloc(sizeof *model);
    if (model && sx_rally_load(NULL, model, NULL) == SX_OK) {
        fputs("\nlevels: ", stdout);
        for (int k = 0; k < model->level_count; k++) {
            printf(" %s", model->levels[k].id);
        }
    }
    free(model);
}

static void help_taken(const PlanOptions *options) {
    Arg shown[PLAN_ARGS];
    int count = 0;
    for (int k = 0; k < PLAN_ARGS; k++) {
        const Arg *arg = &options->table[k];
        const bool refused =
            (options->taken != TAKES_ALL && arg->target == &options->write_model) ||
            (options->taken == TAKES_NO_MODEL_NOR_JSON && arg->target == &options->json);
        if (!refused) {
            shown[count++] = *arg;
        }
    }
    args_help(shown);
}

void plan_options_help(const PlanOptions *options) {
    help_taken(options);
    fputs("\nsystems:", stdout);
    for (int k = 0; k < sx_system_count(); k++) {
        printf(" %s", sx_system_id(k));
    }
    fputs("\nrules:  ", stdout);
    for (int k = 0; k < sx_rules_count(); k++) {
        printf(" %s", sx_rules_id(k));
    }
    print_levels();
    printf("\ndefaults: system %s, rules %s, 3 passers, balance 0\n", SX_DEFAULT_SYSTEM,
           SX_DEFAULT_RULES);
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
    input->formation_terms.name = options->terms;
    input->opponent.name = options->opponent;
    input->goal =
        options->goal && strcmp(options->goal, "score") == 0 ? SX_GOAL_SCORE : SX_GOAL_SETS;
    input->out = options->out.item;
    input->out_count = options->out.count;
    input->time_limit = options->time_limit;
    input->write_model = options->write_model;
}

static SxStatus refuse_not_taken(const PlanOptions *options) {
    const bool nor_json = options->taken == TAKES_NO_MODEL_NOR_JSON;
    if (nor_json && (options->json || options->write_model)) {
        fprintf(stderr, "sixturn: %s is for the command plan\n",
                options->json ? "--json" : "--write-model");
        return SX_USAGE;
    }
    if (options->taken != TAKES_ALL && options->write_model) {
        fprintf(stderr,
                "sixturn: --write-model is for the command plan, which solves one program\n");
        return SX_USAGE;
    }
    return SX_OK;
}

SxStatus plan_options_read(int argc, char **argv, PlanOptions *options, const Arg *own,
                           ArgList *words) {
    const SxStatus status = args_read(argc, argv, options->table, own, words);
    if (status != SX_OK) {
        return status;
    }
    if (options->goal && strcmp(options->goal, "set") != 0 && strcmp(options->goal, "score") != 0) {
        fprintf(stderr, "sixturn: --goal is set or score, not '%s'\n", options->goal);
        return SX_USAGE;
    }
    return refuse_not_taken(options);
}

const char *only_team_file(const ArgList *words) {
    if (words->count == 1) {
        return words->item[0];
    }
    fprintf(stderr, "sixturn: one team file is needed, found %d (see --help)\n", words->count);
    return NULL;
}

bool team_and_players(const ArgList *words) {
    if (words->count == 0) {
        fputs("sixturn: a team file is needed (see --help)\n", stderr);
    }
    return words->count > 0;
}

/* --- opponent and rally model ---
 */

void fixture_options_init(FixtureOptions *options) {
    memset(options, 0, sizeof *options);
    const Arg table[FIXTURE_ARGS] = {
        {"--rates", ARG_TEXT, &options->rates, 0, 0, "FILE",
         "how often we win the rally, as sixturn fit writes it"},
        {"--log", ARG_TEXT, &options->log, 0, 0, "FILE",
         "instead of rates: the day's rallies, fitted at once"},
        {"--rallies", ARG_LIST, &options->rallies, 0, 0, "SET",
         "one more set: '3 receive wlwwl' (w won, l lost)"},
        {"--level", ARG_TEXT, &options->level, 0, 0, "ID",
         "level of play of the rally model; default: the team's"},
        {"--rally-model", ARG_TEXT, &options->model, 0, 0, "FILE",
         "constants of the rally model; default: built in"},
        {NULL, ARG_FLAG, NULL, 0, 0, NULL, NULL},
    };
    memcpy(options->table, table, sizeof table);
}

void fixture_options_input(const FixtureOptions *options, SxSessionInput *input) {
    input->rates.name = options->rates;
    input->day.log.name = options->log;
    input->day.set = options->rallies.item;
    input->day.sets = options->rallies.count;
    input->level = options->level;
    input->rally_model.name = options->model;
}
