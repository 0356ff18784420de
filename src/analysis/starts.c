/* Where to start against each of their starts: one solved process for each of the six differences
 * between the rotations tells the odds of all 72 starts. */
#include "sixturn/starts.h"

#include <stdlib.h>
#include <string.h>

static const double SAME = 1e-12; /* odds nearer than this are equal */

static SxMoment moment_at(const SxAdvice *advice, int ours, int theirs, SxPhase phase) {
    return (SxMoment){.serve = {ours, theirs, phase}, .left = advice->left};
}

/* Looks up the starts of a six on the track of their rotation 1 against ours. */
static SxStatus read_track(const SxPolicy *policy, const SxAdvice *advice, const SxOwnChange *own,
                           int first, SxStarts *starts, SxError *err) {
    SxStatus status = SX_OK;
    for (int theirs = 0; theirs < SX_ROTATIONS; theirs++) {
        for (int phase = 0; status == SX_OK && phase < SX_PHASES; phase++) {
            /* side-outs alternate, so the rotations go on in step, ours a turn ahead when we serve
             */
            const int ours = (first + theirs + (phase == SX_SERVE)) % SX_ROTATIONS;
            const SxMoment moment = moment_at(advice, ours, theirs, (SxPhase)phase);
            if (own->found && !own->stay.planned[ours]) {
                continue;
            }
            status = sx_policy_win(policy, &moment, &starts->win[phase][ours][theirs], err);
        }
    }
    return status;
}

static int best_of(const double odds[SX_ROTATIONS]) {
    int best = 0;
    for (int r = 1; r < SX_ROTATIONS; r++) {
        best = odds[r] > odds[best] + SAME ? r : best;
    }
    return best;
}

static void choose(const SxProblem *problem, SxStarts *starts) {
    for (int phase = 0; phase < SX_PHASES; phase++) {
        double mean[SX_ROTATIONS] = {0};
        for (int theirs = 0; theirs < SX_ROTATIONS; theirs++) {
            double against[SX_ROTATIONS];
            for (int ours = 0; ours < SX_ROTATIONS; ours++) {
                against[ours] = starts->win[phase][ours][theirs];
                mean[ours] += against[ours] / SX_ROTATIONS;
            }
            starts->reply[phase][theirs] = best_of(against);
        }
        starts->start[phase] = problem->plan->start >= 0 ? problem->plan->start : best_of(mean);
    }
}

static bool begins(const SxAdvice *advice) {
    bool fresh = advice->our_points == 0 && advice->their_points == 0;
    for (int m = 0; m < advice->count; m++) {
        fresh = fresh && advice->state[m] == SX_EXCHANGE_FRESH;
    }
    return fresh;
}

/* All starts at which `own`, if there is any, has its first six on court. */
static SxStatus read_starts(const SxProblem *problem, const SxLineup *lineup,
                            const SxFixture *fixture, const SxAdvice *advice,
                            const SxOwnChange *own, SxStarts *starts, SxError *err) {
    SxExchanges exchanges;
    SxSetRules rules;
    SxRates *rates = malloc(((size_t)1 << advice->count) * sizeof *rates);
    if (!rates) {
        return sx_out_of_memory(err);
    }
    SxStatus status = sx_set_rules_of(problem->rules, advice->deciding, &rules, err);
    if (status == SX_OK) {
        status = sx_consider_with_own(problem, lineup, fixture, advice->exchange,
                                      advice->count - own->found, own, &exchanges, rates, err);
    }
    for (int first = 0; status == SX_OK && first < SX_ROTATIONS; first++) {
        const SxMoment from = moment_at(advice, first, 0, SX_RECEIVE);
        SxPolicy *policy = NULL;
        status = sx_policy_new(&exchanges, &rules, &from, &policy, err);
        if (status == SX_OK) {
            status = read_track(policy, advice, own, first, starts, err);
        }
        sx_policy_free(policy);
    }
    free(rates);
    return status;
}

SxStatus sx_starts(const SxProblem *problem, const SxLineup *lineup, const SxFixture *fixture,
                   const SxAdvice *advice, SxStarts *starts, SxError *err) {
    memset(starts, 0, sizeof *starts);
    if (!begins(advice)) {
        return sx_fail(err, SX_USAGE, "a set starts at 0-0 with nobody exchanged");
    }
    SxOwnChange own = advice->own;
    SxStatus status = read_starts(problem, lineup, fixture, advice, &own, starts, err);
    if (status == SX_OK && own.found) {
        sx_own_change_turn(&own);
        status = read_starts(problem, lineup, fixture, advice, &own, starts, err);
    }
    choose(problem, starts);
    return status;
}
