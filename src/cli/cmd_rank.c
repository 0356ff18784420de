/* sixturn rank: the best different orders, and how sure their order is. */
#include "cli/commands.h"
#include "cli/longrun.h"
#include "sixturn/analysis_report.h"

#include <glpk.h>
#include <stdio.h>
#include <string.h>

typedef struct {
    int top, draws, seed;
    double doubt;
    const char *spread;
} RankOptions;

enum { DEFAULT_TOP = 5, DEFAULT_DRAWS = 400, MOST_DRAWS = 1000000, MOST_SEED = 2000000000 };

static SxStatus read_doubt(const RankOptions *own, SxDoubtOptions *doubt, SxError *err) {
    *doubt = (SxDoubtOptions){.size = own->doubt, .draws = own->draws, .seed = (uint64_t)own->seed};
    if (strcmp(own->spread, "uniform") == 0) {
        doubt->spread = SX_SPREAD_UNIFORM;
    } else if (strcmp(own->spread, "normal") != 0) {
        return sx_fail(err, SX_USAGE, "--spread takes normal or uniform, found '%s'", own->spread);
    }
    return SX_OK;
}

static SxStatus work(const PlanOptions *options, const RankOptions *own, const char *team_file,
                     Workbench *bench, SxError *err) {
    SxDoubtOptions doubt_options;
    SxStatus status = read_doubt(own, &doubt_options, err);
    if (status == SX_OK) {
        status = workbench_load(options, team_file, bench, err);
    }
    if (status == SX_OK) {
        status = workbench_settle(bench, &bench->problem, err);
    }
    if (status != SX_OK) {
        return status;
    }
    SxWork run = longrun_begin(options);
    SxRanking ranking;
    SxDoubt doubt = {.draws = 0};
    bool doubtful = own->doubt > 0;
    status = sx_rank(&bench->problem, own->top, &run, &ranking, err);
    if (status == SX_OK && doubtful) {
        status = sx_doubt(&bench->problem, &ranking, &doubt_options, &run, &doubt, err);
    }
    longrun_end();
    if (status == SX_OK && ranking.count == 0) {
        status = sx_fail(err, SX_NO, "stopped before an order was found");
    }
    if (status == SX_OK) {
        char *(*report)(const SxProblem *, const SxRanking *, const SxDoubt *,
                        const SxDoubtOptions *) = options->json ? sx_rank_json : sx_rank_text;
        status = longrun_print(
            report(&bench->problem, &ranking, doubtful ? &doubt : NULL, &doubt_options), err);
    }
    sx_doubt_free(&doubt);
    sx_ranking_free(&ranking);
    return status;
}

SxStatus cmd_rank(int argc, char **argv) {
    PlanOptions options;
    plan_options_init(&options);
    RankOptions own = {.top = DEFAULT_TOP, .draws = DEFAULT_DRAWS, .seed = 1, .spread = "normal"};
    const Arg table[] = {
        {"--top", ARG_INT, &own.top, 1, SX_MAX_TOP, "K", "how many orders (5)"},
        {"--doubt", ARG_REAL, &own.doubt, 0, SX_SKILL_MAX, "POINTS",
         "ratings are known to about so much: draw others"},
        {"--draws", ARG_INT, &own.draws, 1, MOST_DRAWS, "N", "how many draws (400)"},
        {"--spread", ARG_TEXT, &own.spread, 0, 0, "LAW",
         "normal (standard deviation) or uniform (at most)"},
        {"--seed", ARG_INT, &own.seed, 0, MOST_SEED, "N", "where the draws start (1)"},
        {NULL, ARG_FLAG, NULL, 0, 0, NULL, NULL},
    };
    if (args_ask_help(argc, argv)) {
        puts("usage: sixturn rank TEAM.json [options]\n\n"
             "The best different orders, proven, and what sets each apart from the first.\n");
        args_help(table);
        plan_options_help(&options);
        return SX_OK;
    }
    ArgList words;
    SxStatus status = longrun_read(argc, argv, &options, table, &words);
    const char *team_file = status == SX_OK ? only_team_file(&words) : NULL;
    if (!team_file) {
        return SX_USAGE;
    }
    static Workbench bench;
    SxError err = {.status = SX_OK};
    status = work(&options, &own, team_file, &bench, &err);
    workbench_free(&bench);
    glp_free_env();
    return status == SX_OK ? SX_OK : args_complain(&err);
}
