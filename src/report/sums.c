/* Tables whose columns add up to the score. */
#include "report/sums.h"

#include "report/lines.h"

#include <math.h>
#include <stdlib.h>

static const char *const titles[SUM_COLUMNS] = {"pass",  "attack", "links", "block", "set",
                                                "serve", "dig",    "run",   "weak"};

/* "attack" needs a column to itself. */
static int width(int column) {
    return column == SUM_ATTACK ? 7 : 6;
}

void sx_sums_of(const SxProblem *problem, const SxLineup *lineup, double connections,
                double out[SUM_COLUMNS]) {
    static const int column[SX_PARTS] = {
        [SX_PART_PASS] = SUM_PASS, [SX_PART_ATTACK] = SUM_ATTACK, [SX_PART_BLOCK] = SUM_BLOCK,
        [SX_PART_SET] = SUM_SET,   [SX_PART_SERVE] = SUM_SERVE,   [SX_PART_DIG] = SUM_DIG,
        [SX_PART_RUN] = SUM_RUN,
    };
    double balance = problem->plan->balance;
    for (int k = 0; k < SX_PARTS; k++) {
        double sign = k == SX_PART_RUN ? -1 : 1;
        out[column[k]] =
            (1 - balance) * sign * problem->plan->weight[k] * sx_mean_part(lineup, (SxPart)k);
    }
    out[SUM_CONNECTIONS] = (1 - balance) * connections;
    out[SUM_ATTACK] -= out[SUM_CONNECTIONS];
    out[SUM_WEAK] = balance * lineup->rotation[sx_weak_rotation(lineup)].score;
}

bool sx_sums_connections(const SxProblem *problem, const SxLineup *lineup, double *points) {
    SxTeam *team = malloc(sizeof *team);
    if (!team) {
        return false;
    }
    *team = *problem->team;
    team->connection_count = 0;
    SxProblem apart = *problem;
    apart.team = team;
    SxLineup alone = *lineup;
    sx_lineup_score(&apart, &alone);
    *points = problem->plan->weight[SX_PART_ATTACK] *
              (sx_mean_part(lineup, SX_PART_ATTACK) - sx_mean_part(&alone, SX_PART_ATTACK));
    free(team);
    return true;
}

void sx_sums_head(FILE *out) {
    for (int k = 0; k < SUM_COLUMNS; k++) {
        fprintf(out, "%*s", width(k), titles[k]);
    }
    fputc('\n', out);
}

/* Zero is shown as a dot, so that what differs catches the eye. */
void sx_sums_row(FILE *out, const double *value, const double *against) {
    for (int k = 0; k < SUM_COLUMNS; k++) {
        double shown = value[k] - (against ? against[k] : 0);
        if (against && fabs(shown) < 0.005) {
            fprintf(out, "%*s", width(k), ".");
        } else {
            fprintf(out, against ? "%+*.2f" : "%*.2f", width(k), shown);
        }
    }
    fputc('\n', out);
}

void sx_sums_legend(FILE *out) {
    fputs("First row: what makes up the score; below: more or less than the first row, in\n"
          "points of score, so that a row adds up. attack is without the connections of\n"
          "setter and hitter, which are links; weak is what the weak rotation counts.\n"
          "Rotations weigh alike here, unless the plan gives their weights.\n",
          out);
}
