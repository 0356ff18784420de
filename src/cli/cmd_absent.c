/* sixturn absent: what the team loses without each player. */
#include "cli/commands.h"
#include "cli/longrun.h"
#include "sixturn/analysis_report.h"

#include <glpk.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

typedef struct {
    bool pairs;
    int top;
} AbsentOptions;

enum { DEFAULT_TOP = 20, MOST_TOP = 10000 };

static bool already_out(const SxPlan *plan, int player) {
    for (int k = 0; k < plan->wish_count; k++) {
        if (plan->wishes[k].kind == SX_MUST_SIT && plan->wishes[k].player == player) {
            return true;
        }
    }
    return false;
}

/* The players named after the team file, or everybody who is available. */
static SxStatus choose_players(const Workbench *bench, const ArgList *words, int *players,
                               int *count, SxError *err) {
    *count = 0;
    bool named[SX_MAX_PLAYERS] = {false};
    for (int k = 1; k < words->count; k++) {
        int player = longrun_player(&bench->team, words->item[k], err);
        if (player < 0) {
            return SX_USAGE;
        }
        named[player] = true;
    }
    for (int p = 0; p < bench->team.player_count; p++) {
        bool counts = words->count > 1
                          ? named[p]
                          : bench->team.players[p].available && !already_out(&bench->plan, p);
        if (counts) {
            players[(*count)++] = p;
        }
    }
    return SX_OK;
}

static int list_cases(const int *players, int count, bool pairs, int (*cases)[2]) {
    int listed = 0;
    for (int i = 0; i < count; i++) {
        cases[listed][0] = players[i];
        cases[listed++][1] = SX_NOBODY;
        for (int j = i + 1; pairs && j < count; j++) {
            cases[listed][0] = players[i];
            cases[listed++][1] = players[j];
        }
    }
    return listed;
}

static SxStatus analyse(const PlanOptions *options, const AbsentOptions *own, Workbench *bench,
                        const SxSystemSet *systems, int (*cases)[2], int count, SxError *err) {
    SxAbsences absences = {.count = 0};
    SxWork run = longrun_timed(options);
    SxStatus status = sx_absent(&bench->problem, systems, cases, count, &run, &absences, err);
    longrun_end();
    if (status == SX_OK) {
        status = longrun_print(options->json
                                   ? sx_absent_json(&bench->problem, systems, &absences)
                                   : sx_absent_text(&bench->problem, systems, &absences, own->top),
                               err);
    }
    sx_absences_free(&absences);
    return status;
}

static SxStatus work(const PlanOptions *options, const AbsentOptions *own, const ArgList *words,
                     Workbench *bench, SxSystemSet *systems, SxError *err) {
    int players[SX_MAX_PLAYERS];
    int count = 0;
    SxStatus status = longrun_load_systems(options, words->item[0], false, bench, systems, err);
    if (status == SX_OK) {
        status = workbench_settle(bench, &bench->problem, err);
    }
    if (status == SX_OK) {
        status = choose_players(bench, words, players, &count, err);
    }
    if (status != SX_OK) {
        return status;
    }
    int(*cases)[2] = calloc(SX_MAX_PLAYERS * SX_MAX_PLAYERS, sizeof *cases);
    if (!cases) {
        return sx_out_of_memory(err);
    }
    int listed = list_cases(players, count, own->pairs, cases);
    status = analyse(options, own, bench, systems, cases, listed, err);
    free(cases);
    return status;
}

SxStatus cmd_absent(int argc, char **argv) {
    PlanOptions options;
    plan_options_init(&options);
    AbsentOptions own = {.top = DEFAULT_TOP};
    const Arg table[] = {
        {"--pairs", ARG_FLAG, &own.pairs, 0, 0, NULL, "also every two of them together"},
        {"--top", ARG_INT, &own.top, 1, MOST_TOP, "K", "how many to print (20)"},
        {NULL, ARG_FLAG, NULL, 0, 0, NULL, NULL},
    };
    if (args_ask_help(argc, argv)) {
        puts("usage: sixturn absent TEAM.json [PLAYER ...] [options]\n\n"
             "What the best lineup loses without each player (all, or those named by id or\n"
             "shirt number), and who steps in. The first is the one the team can least do\n"
             "without.\n");
        args_help(table);
        plan_options_help(&options);
        return SX_OK;
    }
    ArgList words;
    SxStatus status = longrun_read_team(argc, argv, &options, table, &words);
    if (status != SX_OK) {
        return status;
    }
    static Workbench bench;
    SxError err = {.status = SX_OK};
    SxSystemSet systems;
    status = work(&options, &own, &words, &bench, &systems, &err);
    sx_systems_free(&systems);
    workbench_free(&bench);
    glp_free_env();
    return status == SX_OK ? SX_OK : args_complain(&err);
}
