/* What several tests need: running the program, reading files, setting up a problem. */
#ifndef SIXTURN_TESTS_SUPPORT_H
#define SIXTURN_TESTS_SUPPORT_H

#include "random_team.h"
#include "sixturn/forecast.h"

#include <cjson/cJSON.h>

/* The sanitizers look for faults of memory, and slow all down tenfold. Of cases that run the same
 * lines of ours, and which the plain build runs and judges one and all, a few are enough for them.
 */
#if defined(__SANITIZE_ADDRESS__)
enum { SANITIZED = 1 };
#else
enum { SANITIZED = 0 };
#endif

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

/* The widest line of a text in characters of UTF-8, not bytes, and which it is. */
int widest_line(const char *text, int *line);
void columns_within_80(const char *text);

/* A number of an object; fails the test if there is none. */
double json_number(const cJSON *item, const char *key);

/* The rule's pairs of positions: the first must be further left ('x'), or nearer the net ('y'),
 * than the second (FIVB 7.4.3). */
enum { RELATIONS = 7 };
typedef struct {
    char axis;
    int less, more;
} Relation;
extern const Relation relations[RELATIONS];

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

/* A desk, an opponent as good as its team, and the lineup. Do not move it. */
typedef struct {
    Desk desk;
    SxRallyModel model;
    SxOpponent opponent;
    SxFixture fixture;
    SxLineup lineup;
} Evening;

/* All but the lineup, and that; fail the test if there is none. */
void evening_read(Evening *evening, const char *team_file, const char *system, const char *rules);
void evening_solve(Evening *evening);

extern const char *const all_systems[5];
extern const char *const all_rules[6];

#endif
