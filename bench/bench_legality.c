/* Time of one judgement (promised: under 5 microseconds) and of one mending (under 2 milliseconds).
 * Says whether they are kept. */
#include "sixturn/mend.h"

#include <glpk.h>
#include <stdio.h>
#include <string.h>
#include <time.h>

enum { STANCES = 1024, JUDGEMENTS = 400000, MENDINGS = 600 };
static const double promised_judgement = 5e-6, promised_mending = 2e-3; /* seconds */

static double now(void) {
    struct timespec time;
    clock_gettime(CLOCK_MONOTONIC, &time);
    return (double)time.tv_sec + (double)time.tv_nsec * 1e-9;
}

static unsigned draw(unsigned below) {
    static unsigned lot = 12345;
    lot = lot * 1664525u + 1013904223u;
    return (lot >> 8) % below;
}

static void random_stance(SxStance *stance) {
    static const int x[] = {750, 750, 450, 150, 150, 450}, y[] = {650, 200, 200, 200, 650, 750};
    sx_stance_default(stance);
    for (int i = 0; i < SX_POSITIONS; i++) {
        stance->spot[i].x = (x[i] + (int)draw(401) - 200) / 100.0;
        stance->spot[i].y = (y[i] + (int)draw(401) - 200) / 100.0;
    }
}

static double time_mending(const SxStance *stances, const SxRules *rules, bool fewest,
                           double *worst) {
    SxMendOptions options = {.margin = SX_NEAR_MARGIN, .fewest = fewest};
    double start = now();
    *worst = 0;
    for (int n = 0; n < MENDINGS; n++) {
        SxMend mend;
        double before = now();
        sx_mend(&stances[n % STANCES], rules, &options, &mend, NULL);
        double took = now() - before;
        *worst = took > *worst ? took : *worst;
    }
    return (now() - start) / MENDINGS;
}

int main(void) {
    static SxStance stances[STANCES];
    SxRules rules;
    memset(&rules, 0, sizeof rules);
    rules.liberos = 2;
    rules.serving_team_bound = true;
    for (int i = 0; i < STANCES; i++) {
        random_stance(&stances[i]);
    }
    glp_term_out(GLP_OFF);
    long faults = 0;
    double start = now();
    for (int n = 0; n < JUDGEMENTS; n++) {
        SxLegality result;
        sx_legality(&stances[n % STANCES], &rules, SX_NEAR_MARGIN, &result);
        faults += result.fault_count;
    }
    double judgement = (now() - start) / JUDGEMENTS, worst, worst_fewest;
    double mending = time_mending(stances, &rules, false, &worst);
    double fewest = time_mending(stances, &rules, true, &worst_fewest);
    printf("judgement       %8.3f microseconds (%ld faults)\n", judgement * 1e6, faults);
    printf("mending         %8.3f milliseconds, worst %.3f\n", mending * 1e3, worst * 1e3);
    printf("mending, fewest %8.3f milliseconds, worst %.3f\n", fewest * 1e3, worst_fewest * 1e3);
    glp_free_env();
    bool kept = judgement <= promised_judgement && mending <= promised_mending &&
                fewest <= promised_mending;
    puts(kept ? "promises kept" : "a promise is broken");
    return 0;
}
