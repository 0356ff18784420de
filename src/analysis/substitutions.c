/* Will the substitutions last? The plan's needs against the limit, along the course of a set. */
#include "analysis/setcourse.h"

#include <string.h>

/* Substitutions the plan asks for in the first count rotations of ours after the start. */
static int planned(const SxSubstitutionPlan *plan, int start, int count) {
    int sum = 0;
    for (int n = 1; n <= count; n++) {
        sum += plan->entering[(start + n) % SX_ROTATIONS];
    }
    return sum;
}

/* The rotation of ours (1 is the first after the start) that the limit spoils; 0: none. */
static int spoilt_rotation(const SxSubstitutionPlan *plan, int start) {
    if (planned(plan, start, SX_ROTATIONS) == 0) {
        return 0;
    }
    int n = 1;
    while (planned(plan, start, n) <= plan->limit) {
        n++;
    }
    return n;
}

static SxStatus check_plan(const SxSetChain *chain, const SxSubstitutionPlan *plan, SxError *err) {
    for (int r = 0; r < SX_ROTATIONS; r++) {
        if (plan->entering[r] < 0 || plan->entering[r] > SX_SLOTS) {
            return sx_fail(err, SX_USAGE,
                           "%d substitutions on entering rotation %d; 0 to %d are possible",
                           plan->entering[r], r + 1, SX_SLOTS);
        }
    }
    if (plan->limit < 0 || plan->limit > SX_MOST_SUBSTITUTIONS) {
        return sx_fail(err, SX_USAGE, "a limit of %d substitutions; 0 to %d are possible",
                       plan->limit, SX_MOST_SUBSTITUTIONS);
    }
    if (plan->after && (plan->after->rules.target != chain->rules.target ||
                        plan->after->rules.cap != chain->rules.cap)) {
        return sx_fail(err, SX_USAGE, "the set goes to %d points before and to %d after the limit",
                       chain->rules.target, plan->after->rules.target);
    }
    return SX_OK;
}

/* The set goes on by the only other way at one side-out, whatever the score. */
static int halt_there(void *context, int side_outs, int ours, int theirs, double share) {
    (void)ours, (void)theirs, (void)share;
    return side_outs == *(const int *)context ? 0 : SX_GO_ON;
}

/* What the plan asks for if it could go on, by the rotations of ours in the set. */
static void count_needs(const SxSetOdds *set, const SxSubstitutionPlan *plan, int start,
                        SxSubstitutionOdds *odds) {
    for (int n = 0; n <= SX_MAX_ADVANCES; n++) {
        const int needed = planned(plan, start, n);
        odds->needed[needed < SX_MAX_ADVANCES ? needed : SX_MAX_ADVANCES] += set->advances[n];
        odds->expected_needed += needed * set->advances[n];
    }
}

SxStatus sx_substitution_odds(const SxSetChain *chain, SxServeState start,
                              const SxSubstitutionPlan *plan, SxSubstitutionOdds *odds,
                              SxError *err) {
    SxSetOdds set;
    SxStatus status = check_plan(chain, plan, err);
    if (status == SX_OK) {
        status = sx_set_odds(chain, start, &set, err);
    }
    if (status != SX_OK) {
        return status;
    }
    memset(odds, 0, sizeof *odds);
    count_needs(&set, plan, start.ours, odds);
    odds->win_unlimited = set.win;
    SxTrace trace;
    SxCourse course = sx_course_from(chain, start);
    const SxSetChain *after = plan->after ? plan->after : chain;
    odds->runs_out_after = spoilt_rotation(plan, start.ours);
    if (odds->runs_out_after > 0) {
        course.last = 2 * odds->runs_out_after - (start.phase == SX_RECEIVE);
        course.halt = halt_there;
        course.context = &course.last;
        course.way = &after;
    }
    sx_course_follow(&course, &trace);
    sx_course_odds(&course, &trace, &odds->set);
    if (odds->runs_out_after == 0) {
        odds->set.win = set.win; /* to the last digit */
    }
    odds->win = odds->set.win;
    odds->runs_out = trace.stopped;
    if (trace.stopped > 0) {
        odds->our_score = trace.our_score / trace.stopped;
        odds->their_score = trace.their_score / trace.stopped;
    }
    return SX_OK;
}
