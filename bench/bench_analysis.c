/* The questions before a season, as whole programs and by programs solved a second on one thread
 * and on all.
 *
 * usage: bench_analysis     the environment variable SIXTURN names the program */
#define _POSIX_C_SOURCE 200809L
#include "sixturn/sixturn.h"

#include <stdio.h>
#include <stdlib.h>
#include <time.h>

enum { RUNS = 3, DRAWS = 120, SEED = 1 };
static const char TEAM[] = "datasets/club-16.json";

static double now(void) {
    struct timespec time;
    clock_gettime(CLOCK_MONOTONIC, &time);
    return (double)time.tv_sec + (double)time.tv_nsec / 1e9;
}

static void must(SxStatus status, const SxError *err) {
    if (status != SX_OK) {
        fprintf(stderr, "%s\n", err->message);
        exit((int)status);
    }
}

/* The least of a few runs: other work on the machine only adds. */
static void whole_program(const char *program, const char *words, double most) {
    char command[1200];
    snprintf(command, sizeof command, "'%s' %s >/dev/null", program, words);
    double best = 1e9;
    for (int k = 0; k < RUNS; k++) {
        double start = now();
        if (system(command) != 0) {
            fprintf(stderr, "failed: %s\n", command);
            exit(SX_INTERNAL);
        }
        double taken = now() - start;
        best = taken < best ? taken : best;
    }
    printf("%-46s %7.2f s", words, best);
    if (most > 0) {
        printf("   at most %.1f s: %s", most, best <= most ? "kept" : "MISSED");
    }
    putchar('\n');
    fflush(stdout);
}

/* Draws solve one lineup program each and nothing else that takes time. */
static double draws_a_second(const SxProblem *problem, const SxRanking *ranking, int threads) {
    SxError err = {.status = SX_OK};
    SxDoubtOptions options = {.size = 0.5, .draws = DRAWS, .seed = SEED};
    SxWork run = {.threads = threads};
    double best = 1e9;
    for (int k = 0; k < RUNS; k++) {
        SxDoubt doubt;
        double start = now();
        must(sx_doubt(problem, ranking, &options, &run, &doubt, &err), &err);
        double taken = now() - start;
        best = taken < best ? taken : best;
        sx_doubt_free(&doubt);
    }
    return DRAWS / best;
}

static void speed(void) {
    static SxTeam team;
    static SxPlan plan;
    static SxRules rules;
    static SxSystem data;
    SxError err = {.status = SX_OK};
    SxFormationTable *table = NULL;
    must(sx_team_read(TEAM, &team, &err), &err);
    must(sx_rules_load("fivb-2025", &rules, &err), &err);
    must(sx_system_load("5-1-outside", &data, &err), &err);
    sx_plan_default(&plan);
    must(sx_formation_table_build(&data, plan.passers, false, NULL, &table, &err), &err);
    SxProblem problem = {&team, &rules, &data, &plan, table, NULL, NULL};
    SxRanking ranking;
    must(sx_rank(&problem, 20, NULL, &ranking, &err), &err);
    double one = draws_a_second(&problem, &ranking, 1);
    int threads = sx_work_threads(NULL);
    double all = draws_a_second(&problem, &ranking, threads);
    printf("\nlineup programs a second: %.0f on one thread, %.0f on %d: %.2f times as many\n", one,
           all, threads, all / one);
    double start = now();
    SxRanking cuts;
    must(sx_rank_by_cuts(&problem, 20, NULL, &cuts, &err), &err);
    double by_cuts = now() - start;
    start = now();
    SxRanking again;
    must(sx_rank(&problem, 20, NULL, &again, &err), &err);
    printf("the 20 best orders: %.3f s by bounds (%ld orders scored), %.3f s by cuts\n",
           now() - start, again.tried, by_cuts);
    sx_ranking_free(&ranking);
    sx_ranking_free(&again);
    sx_ranking_free(&cuts);
    sx_formation_table_free(table);
}

int main(void) {
    const char *program = getenv("SIXTURN");
    if (!program) {
        fputs("usage: SIXTURN=program bench_analysis\n", stderr);
        return SX_USAGE;
    }
    whole_program(program, "rank datasets/club-16.json --top 20", 1.5);
    whole_program(program, "absent datasets/club-16.json", 2);
    whole_program(program, "setters datasets/club-16.json", 1.5);
    whole_program(program, "absent datasets/club-16.json --pairs", 0);
    whole_program(program, "systems datasets/club-16.json", 0);
    whole_program(program, "worth datasets/club-16.json 12", 0);
    whole_program(program, "rank datasets/club-16.json --doubt 0.5", 0);
    speed();
    return SX_OK;
}
