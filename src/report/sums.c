/* Tables whose columns add up to the score. */
#include "report/sums.h"

#include "report/lines.h"

#include <math.h>

static const char *const titles[SX_SUM_COLUMNS] = {"pass",  "attack", "conn.", "block", "set",
                                                   "serve", "dig",    "moves", "weak"};

static const double TEN = 9.995; /* from here on a number has two digits in front */

/* "attack" needs a column to itself. */
static int width(int column) {
    return column == SX_SUM_ATTACK ? 7 : 6;
}

void sx_sums_head(FILE *out, const SxProblem *problem) {
    for (int k = 0; k < SX_SUM_COLUMNS; k++) {
        const bool rest = problem->against && k == SX_SUM_RUN;
        const bool even = problem->against && k == SX_SUM_WEAK;
        fprintf(out, "%*s", width(k), rest ? "limit" : even ? "even" : titles[k]);
    }
    fputc('\n', out);
}

/* Zero is shown as a dot, so that what differs catches the eye. */
void sx_sums_row(FILE *out, const double *value, const double *against) {
    for (int k = 0; k < SX_SUM_COLUMNS; k++) {
        double shown = value[k] - (against ? against[k] : 0);
        if (against && fabs(shown) < 0.005) {
            fprintf(out, "%*s", width(k), ".");
        } else {
            /* a blank is left between columns */
            fprintf(out, against ? "%+*.*f" : "%*.*f", width(k), fabs(shown) < TEN ? 2 : 1, shown);
        }
    }
    fputc('\n', out);
}

void sx_sums_legend(FILE *out, const SxProblem *problem) {
    if (problem->against) {
        fputs("First row: what makes up the sets won of 100; below: more or less than the first\n"
              "row, so that a row adds up. Each is against one as good as the opponent's own;\n"
              "even is the even chance. attack counts how many attack in front, and is without\n"
              "conn., the connections of setter and hitter; limit is what stopping to\n"
              "substitute, by choice or at the limit, changes.\n",
              out);
        return;
    }
    fputs("First row: what makes up the score; below: more or less than the first row, in\n"
          "points of score, so that a row adds up. attack is without conn., the connections\n"
          "of setter and hitter; moves are the metres to move; weak is what the weakest\n"
          "rotation counts beyond the mean.\n"
          "Rotations weigh alike here, unless the plan gives their weights.\n",
          out);
}
