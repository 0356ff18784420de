/* How long the set chain takes: one set solved for all starts, and every start followed through. */
#include "sixturn/setodds.h"

#include <stdio.h>
#include <time.h>

enum { REPEATS = 50 };

static double milliseconds(void) {
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return 1e3 * (double)now.tv_sec + 1e-6 * (double)now.tv_nsec;
}

static void follow_all_starts(const SxSetChain *chain, double *sum) {
    for (int ours = 0; ours < SX_ROTATIONS; ours++) {
        for (int theirs = 0; theirs < SX_ROTATIONS; theirs++) {
            for (int phase = 0; phase < SX_PHASES; phase++) {
                SxSetOdds odds;
                sx_set_odds(chain, (SxServeState){ours, theirs, (SxPhase)phase}, &odds, NULL);
                *sum += odds.win;
            }
        }
    }
}

int main(void) {
    SxRates rates;
    for (int i = 0; i < SX_ROTATIONS; i++) {
        for (int j = 0; j < SX_ROTATIONS; j++) {
            rates.receive[i][j] = 0.55 + 0.01 * i - 0.01 * j;
            rates.serve[i][j] = 0.40 + 0.01 * j - 0.01 * i;
        }
    }
    const SxSetRules rules = {SX_SET_TARGET, 0};
    double solved = 0, followed = 0, sum = 0;
    for (int n = 0; n < REPEATS; n++) {
        SxSetChain *chain = NULL;
        const double begin = milliseconds();
        if (sx_set_chain_new(&rates, &rules, &chain, NULL) != SX_OK) {
            return SX_INTERNAL;
        }
        const double middle = milliseconds();
        follow_all_starts(chain, &sum);
        solved += middle - begin;
        followed += milliseconds() - middle;
        sx_set_chain_free(chain);
    }
    printf("set to 25, win odds of all 72 starts:      %7.3f ms\n", solved / REPEATS);
    printf("everything about each of the 72 starts:    %7.3f ms (%.3f ms a start)\n",
           followed / REPEATS, followed / REPEATS / 72);
    printf("mean odds over the starts: %.6f\n", sum / (72 * REPEATS));
    return 0;
}
