/* How much best play takes to solve, by rule profile: moments, memory and time of a whole set from
 * 0-0 with one to four exchanges of one player each, and with the double substitution beside two;
 * and how long rules of thumb take to find. The fastest of five runs. */
#include "sixturn/moment.h"
#include "sixturn/rules.h"
#include "sixturn/thumb.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

enum { MOST = 4, RUNS = 5 };

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

typedef struct {
    size_t states;
    double solve, card; /* milliseconds */
    double gain, kept;  /* of best play, by the rules of thumb */
} Measured;

static SxStatus measure_once(const SxExchanges *exchanges, const SxSetRules *set,
                             const SxMoment *start, Measured *out) {
    SxPolicy *policy = NULL;
    SxThumb thumb;
    const double begin = milliseconds();
    SxStatus status = sx_policy_new(exchanges, set, start, &policy, NULL);
    const double solved = milliseconds();
    if (status == SX_OK) {
        status = sx_thumb(policy, start, SX_THUMB_WORTH, &thumb, NULL);
    }
    const double found = milliseconds();
    if (status == SX_OK) {
        *out = (Measured){sx_policy_states(policy), solved - begin, found - solved,
                          thumb.win_best - thumb.win_without, thumb.win - thumb.win_without};
    }
    sx_policy_free(policy);
    return status;
}

static SxStatus measure(const SxRules *rules, int count, bool pair) {
    static SxRates rates[1 << MOST];
    SxExchanges exchanges = exchanges_of(count, pair, rules->reentry);
    const SxSetRules set = {rules->set_points, rules->cap};
    const SxMoment start = {.serve = {0, 0, SX_RECEIVE}, .left = rules->substitutions};
    Measured best = {.solve = 0}, run;
    fill(&exchanges, rates);
    for (int k = 0; k < RUNS; k++) {
        SxStatus status = measure_once(&exchanges, &set, &start, &run);
        if (status != SX_OK) {
            return status;
        }
        const Measured before = k == 0 ? run : best;
        best = run;
        best.solve = fmin(run.solve, before.solve);
        best.card = fmin(run.card, before.card);
    }
    printf("%-11s %2d%s  %10zu  %5.1f MB  %7.2f ms  %7.1f ms  %+6.2f  %+6.2f\n", rules->id, count,
           pair ? "+" : " ", best.states, (double)(best.states * sizeof(double)) / 1e6, best.solve,
           best.card, 100 * best.gain, 100 * best.kept);
    return SX_OK;
}

int main(void) {
    puts("                                                          sets in 100 gained");
    puts("rules  exchanges     moments    memory       time        card    best   by card");
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
