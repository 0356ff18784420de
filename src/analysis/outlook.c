/* What the set odds tell a coach: all starts compared, and averages over what is not known. */
#include "sixturn/outlook.h"

#include "analysis/setcourse.h"

#include <stdlib.h>
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

static void compare_theirs(SxStartOdds *odds, int phase) {
    for (int ours = 0; ours < SX_ROTATIONS; ours++) {
        odds->mean[phase][ours] = 0;
        odds->worst[phase][ours] = 1;
        for (int theirs = 0; theirs < SX_ROTATIONS; theirs++) {
            const double win = odds->win[phase][ours][theirs];
            odds->mean[phase][ours] += win / SX_ROTATIONS;
            if (win < odds->worst[phase][ours]) {
                odds->worst[phase][ours] = win;
            }
        }
    }
}

static void compare_starts(SxStartOdds *odds) {
    for (int phase = 0; phase < SX_PHASES; phase++) {
        compare_theirs(odds, phase);
        compare_ours(odds, phase);
    }
}

void sx_start_odds(const SxSetChain *chain, SxStartOdds *odds) {
    memset(odds, 0, sizeof *odds);
    for (int phase = 0; phase < SX_PHASES; phase++) {
        for (int ours = 0; ours < SX_ROTATIONS; ours++) {
            for (int theirs = 0; theirs < SX_ROTATIONS; theirs++) {
                const SxServeState start = {ours, theirs, (SxPhase)phase};
                odds->win[phase][ours][theirs] = sx_set_chain_win(chain, 0, 0, start);
            }
        }
    }
    compare_starts(odds);
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

/* One kind of set, to our points or deciding: the chain as the lineup plays it, and the chains of
 * the stops. */
typedef struct {
    const SxNeeds *needs;
    SxSetChain *chain;
    SxSetChain **after; /* by stop; stops with the same rates share one. NULL: as before */
    int by_rules;       /* substitutions allowed */
    bool alike;         /* their rotations make no difference, before or after */
} Game;

static bool rotations_alike(const SxRates *rates) {
    for (int i = 0; i < SX_ROTATIONS; i++) {
        for (int j = 1; j < SX_ROTATIONS; j++) {
            if (rates->receive[i][j] != rates->receive[i][0] ||
                rates->serve[i][j] != rates->serve[i][0]) {
                return false;
            }
        }
    }
    return true;
}

/* The stop before that has the same rates; k if there is none. */
static int first_alike(const SxNeeds *needs, int k) {
    int j = 0;
    while (needs->stop[j].rates != needs->stop[k].rates) {
        j++;
    }
    return j;
}

static void game_free(Game *game) {
    for (int k = 0; game->after && k < game->needs->stop_count; k++) {
        if (first_alike(game->needs, k) == k) {
            sx_set_chain_free(game->after[k]);
        }
    }
    free(game->after);
    sx_set_chain_free(game->chain);
}

static SxStatus game_new(const SxRates *rates, const SxRules *rules, bool deciding,
                         const SxNeeds *needs, int by_rules, Game *game, SxError *err) {
    SxSetRules set;
    *game = (Game){.needs = needs, .by_rules = by_rules, .alike = rotations_alike(rates)};
    SxStatus status = sx_set_rules_of(rules, deciding, &set, err);
    if (status == SX_OK) {
        status = sx_set_chain_new(rates, &set, &game->chain, err);
    }
    if (status == SX_OK && needs->stop_count > 0) {
        game->after = calloc((size_t)needs->stop_count, sizeof(SxSetChain *));
        status = game->after ? SX_OK : sx_out_of_memory(err);
    }
    for (int k = 0; k < needs->stop_count && status == SX_OK; k++) {
        const int first = first_alike(needs, k);
        const SxRates *then = needs->stop[k].rates;
        if (first < k) {
            game->after[k] = game->after[first];
        } else if (then) {
            status = sx_set_chain_new(then, &set, &game->after[k], err);
            game->alike = game->alike && rotations_alike(then);
        }
    }
    return status;
}

/* stop: an index, or -1 for the rules' own limit. */
static SxSubstitutionPlan plan_of(const Game *game, int stop) {
    SxSubstitutionPlan plan = {.limit = game->by_rules};
    memcpy(plan.entering, game->needs->entering, sizeof plan.entering);
    if (stop >= 0) {
        plan.limit = game->needs->stop[stop].changes;
        plan.after = game->after[stop];
    }
    return plan;
}

/* Set odds against each of their starts with the stop; returns their mean. */
static double odds_with_stop(const Game *game, SxPhase phase, int ours, int stop,
                             double win[SX_ROTATIONS]) {
    const SxSubstitutionPlan plan = plan_of(game, stop);
    double mean = 0;
    for (int theirs = 0; theirs < SX_ROTATIONS; theirs++) {
        if (theirs == 0 || !game->alike) {
            const SxServeState start = {ours, theirs, phase};
            SxTrace trace;
            int rotation;
            const SxCourse course = sx_course_of_plan(game->chain, start, &plan, &rotation);
            sx_course_follow(&course, &trace);
            win[theirs] = trace.won;
        } else {
            win[theirs] = win[0];
        }
        mean += win[theirs] / SX_ROTATIONS;
    }
    return mean;
}

/* Values a start with its best stop. */
static int best_stop(const Game *game, SxPhase phase, int ours, double win[SX_ROTATIONS]) {
    const SxNeeds *needs = game->needs;
    int best = -1;
    double most = 0;
    for (int k = 0; k < needs->stop_count; k++) {
        if (needs->stop[k].start != ours) {
            continue;
        }
        double here[SX_ROTATIONS];
        const double mean = odds_with_stop(game, phase, ours, k, here);
        const bool later = best < 0 || needs->stop[k].changes > needs->stop[best].changes;
        if (best < 0 || mean > most + SAME_ODDS || (later && mean >= most - SAME_ODDS)) {
            best = k;
            most = mean;
            memcpy(win, here, sizeof here);
        }
    }
    if (best < 0) {
        odds_with_stop(game, phase, ours, -1, win);
    }
    return best;
}

/* All starts with the limit; stops gets the best stop of each, or holds it if it is given. */
static void start_odds_with_limit(const Game *game, bool given, int stops[SX_PHASES][SX_ROTATIONS],
                                  SxStartOdds *odds) {
    memset(odds, 0, sizeof *odds);
    for (int phase = 0; phase < SX_PHASES; phase++) {
        for (int ours = 0; ours < SX_ROTATIONS; ours++) {
            double *win = odds->win[phase][ours];
            if (given) {
                odds_with_stop(game, (SxPhase)phase, ours, stops[phase][ours], win);
            } else {
                stops[phase][ours] = best_stop(game, (SxPhase)phase, ours, win);
            }
        }
    }
    compare_starts(odds);
}

static SxStatus look_from(const Game *game, SxPhase phase, SxOutlook *outlook, SxError *err) {
    SxSubstitutionOdds *sum = &outlook->substitutions[phase];
    const SxSubstitutionPlan plan = plan_of(game, outlook->stop[phase]);
    for (int theirs = 0; theirs < SX_ROTATIONS; theirs++) {
        const SxServeState start = {outlook->start[phase], theirs, phase};
        SxSubstitutionOdds one;
        SxStatus status = outlook->substitutes
                              ? sx_substitution_odds(game->chain, start, &plan, &one, err)
                              : sx_set_odds(game->chain, start, &one.set, err);
        if (status != SX_OK) {
            return status;
        }
        if (outlook->substitutes) {
            add_substitutions(sum, &one);
        }
        add_set(outlook, &one.set, 1.0 / (SX_ROTATIONS * SX_PHASES));
    }
    if (sum->runs_out > 0) {
        sum->our_score /= sum->runs_out;
        sum->their_score /= sum->runs_out;
    }
    return SX_OK;
}

static SxStatus check_stops(const SxNeeds *needs, SxError *err) {
    for (int k = 0; k < needs->stop_count; k++) {
        const SxStop *stop = &needs->stop[k];
        if (stop->start < 0 || stop->start >= SX_ROTATIONS || stop->changes < 0 ||
            stop->changes > SX_MOST_SUBSTITUTIONS) {
            return sx_fail(err, SX_USAGE, "no such stop: start in rotation %d, %d substitutions",
                           stop->start + 1, stop->changes);
        }
    }
    return SX_OK;
}

static SxStatus look(const Game *set, const Game *decider, int start, SxOutlook *outlook,
                     SxError *err) {
    int stops[SX_PHASES][SX_ROTATIONS];
    memset(stops, -1, sizeof stops);
    if (outlook->substitutes && outlook->substitution_limit != SX_UNLIMITED) {
        start_odds_with_limit(set, false, stops, &outlook->set);
        start_odds_with_limit(decider, true, stops, &outlook->decider);
    } else {
        sx_start_odds(set->chain, &outlook->set);
        sx_start_odds(decider->chain, &outlook->decider);
    }
    SxStatus status = SX_OK;
    for (int phase = 0; phase < SX_PHASES && status == SX_OK; phase++) {
        const int ours = start >= 0 ? start : outlook->set.best[phase];
        outlook->start[phase] = ours;
        outlook->stop[phase] = stops[phase][ours];
        outlook->win += outlook->set.mean[phase][ours] / SX_PHASES;
        status = look_from(set, (SxPhase)phase, outlook, err);
    }
    return status;
}

SxStatus sx_outlook(const SxRates *rates, const SxRules *rules, int start, const SxNeeds *needs,
                    SxOutlook *outlook, SxError *err) {
    Game set = {.needs = needs}, decider = {.needs = needs};
    memset(outlook, 0, sizeof *outlook);
    outlook->substitution_limit = limit_of(rules, needs->entering);
    for (int r = 0; r < SX_ROTATIONS; r++) {
        outlook->substitutes |= needs->entering[r] > 0;
    }
    const int by_rules = outlook->substitution_limit == SX_UNLIMITED ? SX_MOST_SUBSTITUTIONS
                                                                     : outlook->substitution_limit;
    SxStatus status = check_stops(needs, err);
    if (status == SX_OK) {
        status = game_new(rates, rules, false, needs, by_rules, &set, err);
    }
    if (status == SX_OK) {
        status = game_new(rates, rules, true, needs, by_rules, &decider, err);
    }
    if (status == SX_OK) {
        status = look(&set, &decider, start, outlook, err);
    }
    game_free(&set);
    game_free(&decider);
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
