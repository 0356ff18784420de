/* How long a plan takes: the formation table, the lineup program, and the whole program, for
 * rosters of 10, 15, 24 and 40 (seeded, invented).
 *
 * usage: bench_plan [FOLDER]     the environment variable SIXTURN names the program; with a folder
 *                                the rosters stay there as team files, and the models as
 *                                model-PLAYERS-SYSTEM.lp */
#define _POSIX_C_SOURCE 200809L
#include "random_team.h"
#include "sixturn/lineup.h"

#include <cjson/cJSON.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

enum { RUNS = 5, SEED = 2025, SIZES = 4, SYSTEMS = 3 };
static const int sizes[SIZES] = {10, 15, 24, 40};
static const char *const systems[SYSTEMS] = {"5-1-outside", "5-1-middle", "6-2"};

static double now(void) {
    struct timespec time;
    clock_gettime(CLOCK_MONOTONIC, &time);
    return (double)time.tv_sec * 1e3 + (double)time.tv_nsec / 1e6;
}

static void write_team(const SxTeam *team, const char *file) {
    cJSON *root = cJSON_CreateObject();
    cJSON_AddStringToObject(root, "format", "sixturn-team-1");
    cJSON_AddStringToObject(root, "name", team->name);
    cJSON *players = cJSON_AddArrayToObject(root, "players");
    for (int p = 0; p < team->player_count; p++) {
        const SxPlayer *player = &team->players[p];
        cJSON *item = cJSON_CreateObject();
        cJSON_AddItemToArray(players, item);
        cJSON_AddStringToObject(item, "id", player->id);
        cJSON_AddStringToObject(item, "name", player->name);
        cJSON_AddNumberToObject(item, "number", player->number);
        cJSON *roles = cJSON_AddObjectToObject(item, "roles");
        for (int k = 0; k < SX_ROLE_COUNT; k++) {
            if (player->fitness[k] > 0) {
                cJSON_AddNumberToObject(roles, sx_role_name((SxRole)k), player->fitness[k]);
            }
        }
        cJSON *skills = cJSON_AddObjectToObject(item, "skills");
        for (int k = 0; k < SX_SKILL_COUNT; k++) {
            cJSON_AddNumberToObject(skills, sx_skill_name((SxSkill)k), player->skill[k]);
        }
    }
    char *text = cJSON_Print(root);
    FILE *out = fopen(file, "w");
    if (!out || fputs(text, out) < 0 || fclose(out) != 0) {
        fprintf(stderr, "cannot write %s\n", file);
        exit(SX_NO_WRITE);
    }
    free(text);
    cJSON_Delete(root);
}

static int by_size(const void *a, const void *b) {
    double x = *(const double *)a;
    double y = *(const double *)b;
    return (x > y) - (x < y);
}

static double median(double *times) {
    qsort(times, RUNS, sizeof times[0], by_size);
    return times[RUNS / 2];
}

static void must(SxStatus status, const SxError *err) {
    if (status != SX_OK) {
        fprintf(stderr, "%s\n", err->message);
        exit((int)status);
    }
}

static double whole_program(const char *program, const char *file, const char *system_id) {
    char command[1200];
    double times[RUNS];
    snprintf(command, sizeof command, "'%s' plan '%s' --system %s >/dev/null", program, file,
             system_id);
    for (int k = 0; k < RUNS; k++) {
        double start = now();
        if (system(command) != 0) {
            fprintf(stderr, "failed: %s\n", command);
            exit(SX_INTERNAL);
        }
        times[k] = now() - start;
    }
    return median(times);
}

/* The model that was just measured, for other solvers. */
static void export_model(const SxProblem *problem, const char *folder) {
    char file[1100];
    SxError err = {.status = SX_OK};
    snprintf(file, sizeof file, "%s/model-%d-%s.lp", folder, problem->team->player_count,
             problem->system->id);
    must(sx_lineup_write_model(problem, file, &err), &err);
}

static void measure(const SxTeam *team, const char *id, const char *program, const char *file,
                    const char *folder) {
    static SxSystem system_data;
    static SxRules rules;
    static SxPlan plan;
    SxError err = {.status = SX_OK};
    must(sx_system_load(id, &system_data, &err), &err);
    must(sx_rules_load("fivb-2025", &rules, &err), &err);
    sx_plan_default(&plan);
    double table_times[RUNS], score_times[RUNS], order_times[RUNS];
    for (int k = 0; k < RUNS; k++) {
        SxFormationTable *table = NULL;
        double start = now();
        must(sx_formation_table_build(&system_data, plan.passers, false, NULL, &table, &err), &err);
        table_times[k] = now() - start;
        SxProblem problem = {team, &rules, &system_data, &plan, table, NULL, NULL};
        SxLineup lineup;
        SxSolveOptions only_score = {.any_tie = true};
        start = now();
        must(sx_lineup_solve(&problem, &only_score, &lineup, &err), &err);
        score_times[k] = now() - start;
        start = now();
        must(sx_lineup_solve(&problem, NULL, &lineup, &err), &err);
        order_times[k] = now() - start;
        if (folder && k == 0) {
            export_model(&problem, folder);
        }
        sx_formation_table_free(table);
    }
    printf("%7d  %-12s %9.1f %12.1f %14.1f %13.1f\n", team->player_count, id, median(table_times),
           median(score_times), median(order_times), whole_program(program, file, id));
    fflush(stdout);
}

int main(int argc, char **argv) {
    const char *program = getenv("SIXTURN");
    if (!program || argc > 2) {
        fputs("usage: SIXTURN=program bench_plan [FOLDER]\n", stderr);
        return SX_USAGE;
    }
    char folder[] = "/tmp/sixturn-bench-XXXXXX";
    const char *where = argc == 2 ? argv[1] : mkdtemp(folder);
    if (!where) {
        return SX_NO_WRITE;
    }
    printf("milliseconds, median of %d\nplayers  system           table  lineup solve  with "
           "tie-break  whole program\n",
           RUNS);
    for (int k = 0; k < SIZES; k++) {
        static SxTeam team;
        Rng rng = {SEED};
        char file[1024];
        random_team(&rng, sizes[k], &team);
        snprintf(file, sizeof file, "%s/roster-%d.json", where, sizes[k]);
        write_team(&team, file);
        for (int s = 0; s < SYSTEMS; s++) {
            measure(&team, systems[s], program, file, argc == 2 ? where : NULL);
        }
        if (argc < 2) {
            remove(file);
        }
    }
    if (argc < 2) {
        remove(folder);
    }
    return SX_OK;
}
