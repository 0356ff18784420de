/* How much best play takes to solve, by rule profile: moments, memory and time of a whole set from
 * 0-0 with one to four exchanges of one player each, and with the double substitution beside two.
 */
#include "sixturn/moment.h"
#include "sixturn/rules.h"

#include <stdio.h>
#include <stdlib.h>
#include <time.h>

enum { MOST = 4 };

static double milliseconds(void) {
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return 1e3 * (double)now.tv_sec + 1e-6 * (double)now.tv_nsec;
}

/* Every exchange helps when its place serves and costs elsewhere. */
static void fill(SxExchanges *exchanges, SxRates rates[1 << MOST]) {
    for (unsigned mask = 0; mask < 1u << exchanges->count; mask++) {
        for (int i = 0; i < SX_ROTATIONS; i++) {
            double receive = 0.58, serve = 0.42;
            for (int m = 0; m < exchanges->count; m++) {
                receive -= mask >> m & 1 ? 0.03 : 0;
                serve += mask >> m & 1 ? (i == m ? 0.06 : -0.01) : 0;
            }
            for (int j = 0; j < SX_ROTATIONS; j++) {
                rates[mask].receive[i][j] = receive;
                rates[mask].serve[i][j] = serve;
            }
        }
    }
    exchanges->rates = rates;
}

static SxExchanges exchanges_of(int count, bool pair, SxReentry reentry) {
    SxExchanges exchanges = {.count = count, .reentry = reentry};
    for (int m = 0; m < count; m++) {
        exchanges.exchange[m] = (SxExchange){1, 1u << m, (uint64_t)1 << m};
    }
    if (pair) {
        exchanges.exchange[0] = (SxExchange){2, 1u << 4 | 1u << 5, (uint64_t)3 << MOST};
    }
    return exchanges;
}

static int measure(const SxRules *rules, int count, bool pair) {
    static SxRates rates[1 << MOST];
    SxExchanges exchanges = exchanges_of(count, pair, rules->reentry);
    const SxSetRules set = {rules->set_points, rules->cap};
    const SxMoment start = {.serve = {0, 0, SX_RECEIVE}, .left = rules->substitutions};
    SxPolicy *policy = NULL;
    double win = 0, without = 0;
    fill(&exchanges, rates);
    const double begin = milliseconds();
    if (sx_policy_new(&exchanges, &set, &start, &policy, NULL) != SX_OK ||
        sx_policy_win(policy, &start, &win, NULL) != SX_OK ||
        sx_policy_win_without(policy, &start, &without, NULL) != SX_OK) {
        return SX_INTERNAL;
    }
    const double end = milliseconds();
    const size_t states = sx_policy_states(policy);
    printf("%-11s %2d%s  %10zu  %7.1f MB  %8.2f ms   %+.2f sets in 100\n", rules->id, count,
           pair ? "+" : " ", states, (double)(states * sizeof(double)) / 1e6, end - begin,
           100 * (win - without));
    sx_policy_free(policy);
    return SX_OK;
}

int main(void) {
    puts("rules  exchanges     moments     memory        time   gained by best play");
    for (int k = 0; k < sx_rules_count(); k++) {
        SxRules rules;
        if (sx_rules_load(sx_rules_id(k), &rules, NULL) != SX_OK) {
            return SX_INTERNAL;
        }
        for (int count = 1; count <= MOST; count++) {
            if (measure(&rules, count, false) != SX_OK) {
                return SX_INTERNAL;
            }
        }
        if (measure(&rules, 3, true) != SX_OK) {
            return SX_INTERNAL;
        }
    }
    puts("+ the first is a double substitution");
    return 0;
}
