/* What the set odds tell a coach: all starts compared, and averages over what is not known. */
#include "sixturn/outlook.h"

#include <string.h>

/* Closer than this two starts are equally good, and the lower rotation is named. */
static const double SAME_ODDS = 1e-12;

static void compare_ours(SxStartOdds *odds, int phase) {
    for (int ours = 1; ours < SX_ROTATIONS; ours++) {
        if (odds->mean[phase][ours] > odds->mean[phase][odds->best[phase]] + SAME_ODDS) {
            odds->best[phase] = ours;
        }
        if (odds->worst[phase][ours] > odds->worst[phase][odds->safe[phase]] + SAME_ODDS) {
            odds->safe[phase] = ours;
        }
        for (int theirs = 0; theirs < SX_ROTATIONS; theirs++) {
            int *reply = &odds->reply[phase][theirs];
            if (odds->win[phase][ours][theirs] > odds->win[phase][*reply][theirs] + SAME_ODDS) {
                *reply = ours;
            }
        }
    }
}

void sx_start_odds(const SxSetChain *chain, SxStartOdds *odds) {
    memset(odds, 0, sizeof *odds);
    for (int phase = 0; phase < SX_PHASES; phase++) {
        for (int ours = 0; ours < SX_ROTATIONS; ours++) {
            odds->worst[phase][ours] = 1;
            for (int theirs = 0; theirs < SX_ROTATIONS; theirs++) {
                const SxServeState start = {ours, theirs, (SxPhase)phase};
                const double win = sx_set_chain_win(chain, 0, 0, start);
                odds->win[phase][ours][theirs] = win;
                odds->mean[phase][ours] += win / SX_ROTATIONS;
                if (win < odds->worst[phase][ours]) {
                    odds->worst[phase][ours] = win;
                }
            }
        }
        compare_ours(odds, phase);
    }
}

SxStatus sx_set_rules_of(const SxRules *rules, bool deciding, SxSetRules *set, SxError *err) {
    enum { SUDDEN = 1, CLEAR = 2 };
    if (rules->lead != SUDDEN && rules->lead != CLEAR) {
        return sx_fail(err, SX_BAD_INPUT,
                       "the odds of a set know a lead of 1 or 2 points, not of %d (rules %s)",
                       rules->lead, rules->id);
    }
    set->target = deciding ? rules->deciding_points : rules->set_points;
    set->cap = rules->lead == SUDDEN ? set->target : rules->cap;
    return SX_OK;
}

static void add_set(SxOutlook *outlook, const SxSetOdds *set, double weight) {
    outlook->rallies += weight * set->rallies;
    for (int r = 0; r < SX_ROTATIONS; r++) {
        for (int phase = 0; phase < SX_PHASES; phase++) {
            outlook->rallies_in[r][phase] += weight * set->rallies_in[r][phase];
            outlook->points_in[r][phase] += weight * set->points_in[r][phase];
        }
    }
}

static void add_substitutions(SxSubstitutionOdds *sum, const SxSubstitutionOdds *one) {
    const double weight = 1.0 / SX_ROTATIONS;
    for (int n = 0; n <= SX_MAX_ADVANCES; n++) {
        sum->needed[n] += weight * one->needed[n];
    }
    sum->expected_needed += weight * one->expected_needed;
    sum->runs_out += weight * one->runs_out;
    sum->runs_out_after = one->runs_out_after;
    sum->our_score += weight * one->runs_out * one->our_score;
    sum->their_score += weight * one->runs_out * one->their_score;
    sum->win += weight * one->win;
    sum->win_unlimited += weight * one->win_unlimited;
}

static SxStatus look_from(const SxSetChain *chain, SxPhase phase, const SxSubstitutionPlan *plan,
                          SxOutlook *outlook, SxError *err) {
    SxSubstitutionOdds *sum = &outlook->substitutions[phase];
    for (int theirs = 0; theirs < SX_ROTATIONS; theirs++) {
        const SxServeState start = {outlook->start[phase], theirs, phase};
        SxSetOdds set;
        SxStatus status = sx_set_odds(chain, start, &set, err);
        if (status == SX_OK && outlook->substitutes) {
            SxSubstitutionOdds one;
            status = sx_substitution_odds(chain, start, plan, &one, err);
            if (status == SX_OK) {
                add_substitutions(sum, &one);
            }
        }
        if (status != SX_OK) {
            return status;
        }
        add_set(outlook, &set, 1.0 / (SX_ROTATIONS * SX_PHASES));
    }
    if (sum->runs_out > 0) {
        sum->our_score /= sum->runs_out;
        sum->their_score /= sum->runs_out;
    }
    return SX_OK;
}

/* The first service alternates from set to set; a toss decides who has it in the first set and,
 * anew, in the deciding one. */
static SxStatus look_at_match(SxOutlook *outlook, int best_of, SxError *err) {
    const int *start = outlook->start;
    const double decider = (outlook->decider.mean[SX_SERVE][start[SX_SERVE]] +
                            outlook->decider.mean[SX_RECEIVE][start[SX_RECEIVE]]) /
                           SX_PHASES;
    for (int first = 0; first < SX_PHASES; first++) {
        double sets[SX_MAX_SETS];
        SxMatchOdds match;
        for (int k = 0; k < best_of; k++) {
            const int phase = (first + k) % SX_PHASES;
            sets[k] = k == best_of - 1 ? decider : outlook->set.mean[phase][start[phase]];
        }
        SxStatus status = sx_match_odds(sets, best_of, &match, err);
        if (status != SX_OK) {
            return status;
        }
        outlook->match.win += match.win / SX_PHASES;
        outlook->match.sets += match.sets / SX_PHASES;
        for (int n = 0; n <= SX_MAX_SETS / 2; n++) {
            outlook->match.won_to[n] += match.won_to[n] / SX_PHASES;
            outlook->match.lost_to[n] += match.lost_to[n] / SX_PHASES;
        }
    }
    return SX_OK;
}

static SxStatus start_odds_of(const SxRates *rates, const SxRules *rules, bool deciding,
                              SxSetChain **chain, SxStartOdds *odds, SxError *err) {
    SxSetRules set;
    SxStatus status = sx_set_rules_of(rules, deciding, &set, err);
    if (status == SX_OK) {
        status = sx_set_chain_new(rates, &set, chain, err);
    }
    if (status == SX_OK) {
        sx_start_odds(*chain, odds);
    }
    return status;
}

/* Where a starter may leave and come back but once (FIVB 15.6), each place of the order that
 * changes players twice a cycle can do so twice in a set. The places take turns, so all have done
 * it twice before the first would a third time. */
static int limit_of(const SxRules *rules, const int entering[SX_ROTATIONS]) {
    int a_cycle = 0;
    for (int r = 0; r < SX_ROTATIONS; r++) {
        a_cycle += entering[r];
    }
    const bool once = rules->reentry == SX_REENTRY_ONCE_SAME_SUBSTITUTE && a_cycle > 0;
    const bool fewer = rules->substitutions == SX_UNLIMITED || a_cycle < rules->substitutions;
    return once && fewer ? a_cycle : rules->substitutions;
}

/* The chain that is played once the coach stops; NULL if it is the same. */
static SxStatus chain_without(const SxRules *rules, const SxRates *rates, SxSetChain **chain,
                              SxError *err) {
    SxSetRules set;
    if (!rates) {
        return SX_OK;
    }
    SxStatus status = sx_set_rules_of(rules, false, &set, err);
    return status == SX_OK ? sx_set_chain_new(rates, &set, chain, err) : status;
}

static SxStatus look_at_phase(const SxSetChain *chain, SxPhase phase, const SxRules *rules,
                              const SxNeeds *needs, SxOutlook *outlook, SxError *err) {
    const int by_rules = outlook->substitution_limit == SX_UNLIMITED ? SX_MOST_SUBSTITUTIONS
                                                                     : outlook->substitution_limit;
    const int stop = needs->stop_after[phase];
    SxSetChain *without = NULL;
    SxSubstitutionPlan plan = {.limit = stop >= 0 && stop < by_rules ? stop : by_rules};
    memcpy(plan.entering, needs->entering, sizeof plan.entering);
    SxStatus status = chain_without(rules, needs->without[phase], &without, err);
    plan.after = without;
    if (status == SX_OK) {
        status = look_from(chain, phase, &plan, outlook, err);
    }
    sx_set_chain_free(without);
    return status;
}

SxStatus sx_outlook(const SxRates *rates, const SxRules *rules, int start, const SxNeeds *needs,
                    SxOutlook *outlook, SxError *err) {
    SxSetChain *chain = NULL, *decider = NULL;
    memset(outlook, 0, sizeof *outlook);
    SxStatus status = start_odds_of(rates, rules, false, &chain, &outlook->set, err);
    if (status == SX_OK) {
        status = start_odds_of(rates, rules, true, &decider, &outlook->decider, err);
    }
    sx_set_chain_free(decider);
    outlook->substitution_limit = limit_of(rules, needs->entering);
    for (int r = 0; r < SX_ROTATIONS; r++) {
        outlook->substitutes |= needs->entering[r] > 0;
    }
    for (int phase = 0; phase < SX_PHASES && status == SX_OK; phase++) {
        outlook->start[phase] = start >= 0 ? start : outlook->set.best[phase];
        outlook->win += outlook->set.mean[phase][outlook->start[phase]] / SX_PHASES;
        status = look_at_phase(chain, (SxPhase)phase, rules, needs, outlook, err);
    }
    sx_set_chain_free(chain);
    if (status != SX_OK) {
        return status;
    }
    for (int r = 0; r < SX_ROTATIONS; r++) {
        outlook->share[r] =
            (outlook->rallies_in[r][SX_RECEIVE] + outlook->rallies_in[r][SX_SERVE]) /
            outlook->rallies;
    }
    return look_at_match(outlook, rules->best_of, err);
}
