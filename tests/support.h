/* What several tests need: running the program, reading files, and seeded random teams. */
#ifndef SIXTURN_TESTS_SUPPORT_H
#define SIXTURN_TESTS_SUPPORT_H

#include "sixturn/lineup.h"

#include <stdint.h>

/* One finished run of the program. Free with run_free. */
typedef struct {
    int exit_status;
    char *out, *err;
} Run;

/* Runs the binary named in the environment variable SIXTURN with these shell words. */
Run run_sixturn(const char *words);
/* Runs any shell command line. */
Run run_shell(const char *command);
void run_free(Run *run);

/* A whole file as text, to be freed; fails the test if it cannot be read. */
char *slurp(const char *file);

/* A small generator of our own, so that a seed means the same everywhere (SplitMix64). */
typedef struct {
    uint64_t state;
} Rng;

uint64_t rng_next(Rng *rng);
int rng_below(Rng *rng, int limit);
/* A rating with one decimal from 0 to 10. */
double rng_rating(Rng *rng);

/* A team of `size` (10 to 64) that can play every shipped system: in turn a setter, two outsides, a
 * middle, an opposite, a libero, a setter, a middle, an opposite, an outside, then anyone. */
void random_team(Rng *rng, int size, SxTeam *team);

/* A problem with everything it borrows. */
typedef struct {
    SxTeam team;
    SxRules rules;
    SxSystem system;
    SxPlan plan;
    SxFormationTable *table;
    SxProblem problem;
} Desk;

/* Fills all but the team; sizes: the bit set of passer counts. The table is built once for each
 * system and kept for the life of the test program. Problem borrows from desk, so do not move it.
 */
void desk_set(Desk *desk, const char *system, const char *rules, unsigned sizes);
void desk_read(Desk *desk, const char *team_file, const char *system, const char *rules);

extern const char *const all_systems[5];
extern const char *const all_rules[6];

#endif
