/* sixturn versus: two lineups side by side. */
#include "cli/commands.h"
#include "cli/longrun.h"
#include "core/text.h"
#include "sixturn/analysis_report.h"

#include <glpk.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* A side with what its problem points to. */
typedef struct {
    SxPlan plan;
    SxRules rules;
    SxSystem system;
    SxFormationTable *table;
    SxOrderFile order;
    bool given; /* the file gives the order */
} Corner;

static SxStatus read_file(const char *file, const SxTeam *team, const Workbench *bench,
                          Corner *corner, SxError *err) {
    char *text = NULL;
    size_t length = 0;
    SxStatus status = sx_text_read_file(file, &text, &length, err);
    if (status == SX_OK) {
        status = sx_order_file_is_result(text, length, file, &corner->given, err);
    }
    if (status == SX_OK && corner->given) {
        status = sx_order_file_parse(text, length, file, team, &corner->order, err);
    } else if (status == SX_OK) {
        status = sx_plan_parse(text, length, file, team, &corner->plan, err);
    }
    free(text);
    if (status == SX_OK && corner->given) {
        corner->plan = bench->plan;
        corner->plan.wish_count = 0;
        corner->plan.passers = corner->order.passers;
        corner->plan.setter_passes = true; /* if she was a passer there, she may be one here */
        corner->plan.start = corner->order.start;
        snprintf(corner->plan.system, sizeof corner->plan.system, "%s", corner->order.system);
    }
    return status;
}

static SxStatus solve_side(const char *file, const Workbench *bench, Corner *corner,
                           SxContender *side, SxError *err) {
    SxStatus status = read_file(file, &bench->team, bench, corner, err);
    if (status == SX_OK) {
        const char *system = corner->plan.system[0]  ? corner->plan.system
                             : bench->plan.system[0] ? bench->plan.system
                                                     : plan_default_system;
        status = sx_system_load(system, &corner->system, err);
    }
    if (status == SX_OK && !corner->given && corner->plan.rules[0]) {
        status = sx_rules_load(corner->plan.rules, &corner->rules, err);
    } else {
        corner->rules = bench->rules;
    }
    if (status == SX_OK) {
        status = sx_formation_table_build(&corner->system, corner->plan.passers,
                                          corner->plan.setter_passes, NULL, &corner->table, err);
    }
    if (status != SX_OK) {
        return status;
    }
    side->problem = (SxProblem){&bench->team,  &corner->rules, &corner->system,
                                &corner->plan, corner->table,  NULL};
    SxSolveOptions options = {.fixed = corner->given ? &corner->order.order : NULL};
    memset(err, 0, sizeof *err);
    status = sx_lineup_solve(&side->problem, &options, &side->lineup, err);
    if (status != SX_OK) {
        snprintf(err->file, sizeof err->file, "%s", file);
    }
    return status;
}

/* Two lineups of one system are valued as plan values them; rotation weights of two systems do not
 * compare. */
static SxStatus settle(Workbench *bench, const SxSystem *first, const SxSystem *second,
                       SxError *err) {
    if (strcmp(first->id, second->id) != 0 || bench->plan.rotation_weight_given) {
        return SX_OK;
    }
    SxStatus status = sx_formation_table_build(first, bench->plan.passers,
                                               bench->plan.setter_passes, NULL, &bench->table, err);
    SxProblem problem = bench->problem;
    problem.system = first;
    problem.table = bench->table;
    return status == SX_OK ? workbench_settle(bench, &problem, err) : status;
}

static SxStatus work(const PlanOptions *options, const ArgList *words, Workbench *bench,
                     Corner corner[2], SxError *err) {
    SxContender side[2];
    SxStatus status = workbench_load_team(options, words->item[0], bench, err);
    for (int k = 0; k < 2 && status == SX_OK; k++) {
        status = solve_side(words->item[1 + k], bench, &corner[k], &side[k], err);
    }
    if (status == SX_OK) {
        status = settle(bench, &corner[0].system, &corner[1].system, err);
    }
    if (status != SX_OK) {
        return status;
    }
    SxVersus *versus = malloc(sizeof *versus);
    if (!versus) {
        return sx_out_of_memory(err);
    }
    sx_versus(&bench->plan, &side[0], &side[1], versus);
    const char *const name[2] = {words->item[1], words->item[2]};
    char *(*report)(const SxPlan *, const SxContender *, const SxContender *, const char *const *,
                    const SxVersus *) = options->json ? sx_versus_json : sx_versus_text;
    status = longrun_print(report(&bench->plan, &side[0], &side[1], name, versus), err);
    free(versus);
    return status;
}

SxStatus cmd_versus(int argc, char **argv) {
    PlanOptions options;
    plan_options_init(&options);
    if (args_ask_help(argc, argv)) {
        puts("usage: sixturn versus TEAM.json A.json B.json [options]\n\n"
             "Two lineups side by side. A and B are plans (their best lineups are found first)\n"
             "or lineups as 'sixturn plan --json' prints them (the order is kept, libero and\n"
             "passers are chosen anew). Both are valued with the weights of --plan, or the\n"
             "defaults.\n");
        plan_options_help(&options);
        return SX_OK;
    }
    ArgList words;
    SxStatus status = longrun_read(argc, argv, &options, NULL, &words);
    if (status == SX_OK && words.count != 3) {
        fprintf(stderr, "sixturn: a team file and two plans are needed, found %d (see --help)\n",
                words.count);
        status = SX_USAGE;
    }
    if (status != SX_OK) {
        return status;
    }
    static Workbench bench;
    static Corner corner[2];
    SxError err = {.status = SX_OK};
    status = work(&options, &words, &bench, corner, &err);
    for (int k = 0; k < 2; k++) {
        sx_formation_table_free(corner[k].table);
    }
    workbench_free(&bench);
    glp_free_env();
    return status == SX_OK ? SX_OK : args_complain(&err);
}
