/* What to do at a moment of a set: the exchanges at hand put into the chain of best play, asked for
 * its choices, against the rotation that they are in or the mean of all six. */
#include "sixturn/advice.h"

#include "analysis/stands.h"
#include "sixturn/outlook.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static const double SAME = 1e-12; /* odds nearer than this are equal */
static const double BENCH_WORTH =
    0.0002; /* a fiftieth of a set in 100, for an exchange to be tried */
enum { BENCH_MOST = 3, SEEN = SX_ROTATIONS * SX_PHASES };

/* All that one answer is worked out from. */
typedef struct {
    const SxProblem *problem;
    const SxLineup *lineup;
    const SxFixture *fixture;
    SxSetRules rules;
    SxMoment moment[SEEN]; /* all that it may be: each of their rotations, each server */
    int moments;
    SxExchanges exchanges;
    SxRates *rates;
    SxPolicy *policy[SEEN];
} Case;

/* --- the standing -------------------------------------------------------------------------------
 */

/* Made once, undone twice. */
static int counted(const SxConsidered *it, SxExchangeState state) {
    return (int)state * it->places;
}

static int all_counted(const SxStanding *standing) {
    int used = 0;
    for (int m = 0; m < standing->count; m++) {
        used += counted(&standing->named[m], standing->state[m]);
    }
    return used;
}

static SxStatus fill_score(const SxStanding *standing, const Case *c, SxAdvice *advice,
                           SxError *err) {
    const int ours = standing->our_points, theirs = standing->their_points;
    const bool begins = ours == 0 && theirs == 0;
    if (ours < 0 || theirs < 0 || ours > SX_MAX_POINTS || theirs > SX_MAX_POINTS) {
        return sx_fail(err, SX_USAGE, "there is no score %d-%d", ours, theirs);
    }
    if (sx_set_winner(&c->rules, ours, theirs) != 0) {
        return sx_fail(err, SX_USAGE, "at %d-%d a set to %d is over", ours, theirs,
                       c->rules.target);
    }
    if (!begins && (standing->ours == SX_NOT_SAID || standing->serving == SX_NOT_SAID)) {
        return sx_fail(err, SX_USAGE, "at %d-%d our rotation must be said, and who serves", ours,
                       theirs);
    }
    advice->our_points = ours;
    advice->their_points = theirs;
    advice->deciding = standing->deciding;
    advice->serve.ours = standing->ours == SX_NOT_SAID ? c->lineup->start : standing->ours;
    advice->serve.phase =
        standing->serving == SX_NOT_SAID ? SX_RECEIVE : (SxPhase)standing->serving;
    advice->serving_known = standing->serving != SX_NOT_SAID;
    advice->serve.theirs = standing->theirs == SX_NOT_SAID ? 0 : standing->theirs;
    advice->theirs_known =
        standing->theirs != SX_NOT_SAID || c->fixture->opponent->rotations_told == 1;
    return sx_serve_state_check(advice->serve, err);
}

/* Where the lineup's own stands: as said, else as it plans, but for what the count does not allow.
 */
static SxExchangeState own_state(const SxStanding *standing, const SxRules *rules,
                                 const SxAdvice *advice) {
    const int ours = advice->serve.ours, once = advice->own.exchange.places;
    const int free = standing->used - all_counted(standing);
    const bool said = standing->used != SX_NOT_SAID;
    if (!advice->own.found) {
        return SX_EXCHANGE_FRESH;
    }
    if (standing->own_state != SX_NOT_SAID) {
        return (SxExchangeState)standing->own_state;
    }
    if (advice->own.come.planned[ours]) {
        return said && free < once ? SX_EXCHANGE_FRESH : SX_EXCHANGE_MADE;
    }
    return said && free >= 2 * once && rules->reentry != SX_REENTRY_SAME_SLOT ? SX_EXCHANGE_UNDONE
                                                                              : SX_EXCHANGE_FRESH;
}

static SxStatus fill_changes(const SxStanding *standing, const SxRules *rules, SxExchangeState own,
                             SxAdvice *advice, SxError *err) {
    const int least = all_counted(standing) + counted(&advice->own.exchange, own);
    advice->used_told = standing->used != SX_NOT_SAID;
    advice->used = advice->used_told ? standing->used : least;
    if (advice->used < least) {
        return sx_fail(err, SX_USAGE,
                       "what was made and undone counts %d substitutions, so they cannot be %d",
                       least, advice->used);
    }
    if (rules->substitutions != SX_UNLIMITED && advice->used > rules->substitutions) {
        return sx_fail(err, SX_USAGE, "%d substitutions are more than the %d allowed (rules %s)",
                       advice->used, rules->substitutions, rules->id);
    }
    advice->left =
        rules->substitutions == SX_UNLIMITED ? SX_UNLIMITED : rules->substitutions - advice->used;
    return SX_OK;
}

/* both: also if we serve, unless it is known who does. */
static void fill_moments(Case *c, const SxAdvice *advice, bool both) {
    const int rotations = advice->theirs_known ? 1 : SX_ROTATIONS;
    const int phases = both && !advice->serving_known ? SX_PHASES : 1;
    c->moments = rotations * phases;
    for (int k = 0; k < c->moments; k++) {
        SxMoment *moment = &c->moment[k];
        *moment = (SxMoment){.our_points = advice->our_points,
                             .their_points = advice->their_points,
                             .serve = advice->serve,
                             .left = advice->left};
        if (!advice->theirs_known) {
            moment->serve.theirs = k % rotations;
        }
        if (k >= rotations) {
            moment->serve.phase = SX_SERVE;
        }
        memcpy(moment->exchange, advice->state, sizeof advice->state);
    }
}

static SxStatus add_bench(Case *c, const SxStanding *standing, SxAdvice *advice, SxError *err) {
    SxConsidered found[SX_MAX_EXCHANGES];
    int count = 0;
    const int room = SX_MAX_EXCHANGES - standing->count - advice->own.found;
    const SxBenchSearch search = {.rules = c->rules,
                                  .from = c->moment,
                                  .from_count = 1, /* which are useful hardly depends on theirs */
                                  .taken = standing->named,
                                  .taken_count = standing->count,
                                  .most = room < BENCH_MOST ? room : BENCH_MOST,
                                  .worth = BENCH_WORTH};
    SxStatus status =
        sx_consider_bench_at(c->problem, c->lineup, c->fixture, &search, found, &count, err);
    for (int k = 0; status == SX_OK && k < count; k++) {
        advice->exchange[advice->count] = found[k];
        advice->state[advice->count++] = SX_EXCHANGE_FRESH;
    }
    return status;
}

/* Those of the coach, those of the bench, then the lineup's own. */
static SxStatus fill_exchanges(Case *c, const SxStanding *standing, SxExchangeState own,
                               SxAdvice *advice, SxError *err) {
    advice->count = advice->named = standing->count;
    memcpy(advice->exchange, standing->named, sizeof advice->exchange);
    memcpy(advice->state, standing->state, sizeof advice->state);
    fill_moments(c, advice, false);
    SxStatus status = standing->from_bench ? add_bench(c, standing, advice, err) : SX_OK;
    if (status == SX_OK && advice->own.found) {
        advice->state[advice->count] = own;
        advice->exchange[advice->count++] = advice->own.exchange;
    }
    return status;
}

/* --- solving ------------------------------------------------------------------------------------
 */

static void case_free(Case *c) {
    for (int k = 0; k < SEEN; k++) {
        sx_policy_free(c->policy[k]);
    }
    free(c->rates);
}

static SxStatus solve(Case *c, const SxAdvice *advice, SxError *err) {
    c->rates = malloc(((size_t)1 << advice->count) * sizeof *c->rates);
    if (!c->rates) {
        return sx_out_of_memory(err);
    }
    SxStatus status = sx_consider_with_own(c->problem, c->lineup, c->fixture, advice->exchange,
                                           advice->count - advice->own.found, &advice->own,
                                           &c->exchanges, c->rates, err);
    for (int k = 0; status == SX_OK && k < c->moments; k++) {
        status = sx_policy_new(&c->exchanges, &c->rules, &c->moment[k], &c->policy[k], err);
    }
    return status;
}

/* --- what it says -------------------------------------------------------------------------------
 */

static int move_like(const SxAdvice *advice, const SxChoice *choice) {
    for (int k = 0; k < advice->moves; k++) {
        if (advice->move[k].make == choice->make && advice->move[k].undo == choice->undo) {
            return k;
        }
    }
    return -1;
}

/* The same moves are allowed against each of their rotations. */
static SxStatus gather_moves(const Case *c, SxAdvice *advice, SxError *err) {
    for (int k = 0; k < c->moments; k++) {
        SxChoice choice[SX_MAX_CHOICES];
        int count;
        SxStatus status = sx_policy_choices(c->policy[k], &c->moment[k], choice, &count, err);
        if (status != SX_OK) {
            return status;
        }
        for (int j = 0; j < count; j++) {
            int at = move_like(advice, &choice[j]);
            if (at < 0 && k == 0) {
                at = advice->moves++;
                advice->move[at] = choice[j];
                advice->move[at].win = 0;
            }
            if (at >= 0) {
                advice->move[at].win += choice[j].win / c->moments;
            }
        }
    }
    qsort(advice->move, (size_t)advice->moves, sizeof *advice->move, sx_by_win);
    for (int k = 0; k < advice->moves; k++) {
        const SxChoice *move = &advice->move[k];
        if (!move->make && !move->undo) {
            advice->hold = move->win;
        }
        for (int m = 0; m < advice->count; m++) {
            advice->may_make[m] |= move->make == 1u << m && !move->undo;
            advice->may_undo[m] |= move->undo == 1u << m && !move->make;
        }
    }
    return SX_OK;
}

static bool holds(const SxAdvice *advice) {
    return !advice->move[0].make && !advice->move[0].undo;
}

/* The first changes of all six, each as likely as the others. */
static void add_next(SxNextChange seen[SEEN], int moments, SxNextChange *next) {
    double ours = 0, theirs = 0;
    for (int k = 0; k < moments; k++) {
        double chance = 0;
        for (int j = 0; j < moments; j++) {
            const bool like = seen[j].make == seen[k].make && seen[j].undo == seen[k].undo &&
                              seen[j].ours == seen[k].ours && seen[j].phase == seen[k].phase;
            chance += like ? seen[j].chance / moments : 0;
        }
        if (chance > next->chance) {
            const double ever = next->ever;
            *next = seen[k];
            next->ever = ever;
            next->chance = chance;
        }
        next->ever += seen[k].ever / moments;
        ours += seen[k].ever * seen[k].our_points / moments;
        theirs += seen[k].ever * seen[k].their_points / moments;
    }
    next->our_points = next->ever > 0 ? ours / next->ever : 0;
    next->their_points = next->ever > 0 ? theirs / next->ever : 0;
}

static SxStatus look_ahead(const Case *c, SxAdvice *advice, SxError *err) {
    SxNextChange seen[SEEN];
    for (int k = 0; k < c->moments; k++) {
        double without;
        SxStatus status = sx_policy_win_without(c->policy[k], &c->moment[k], &without, err);
        if (status == SX_OK && holds(advice)) {
            status = sx_policy_next(c->policy[k], &c->moment[k], &seen[k], err);
        }
        if (status != SX_OK) {
            return status;
        }
        advice->without += without / c->moments;
    }
    if (holds(advice)) {
        add_next(seen, c->moments, &advice->next);
    }
    return SX_OK;
}

SxStatus sx_advice(const SxProblem *problem, const SxLineup *lineup, const SxFixture *fixture,
                   const SxStanding *standing, SxAdvice *advice, SxError *err) {
    Case c = {.problem = problem, .lineup = lineup, .fixture = fixture};
    memset(advice, 0, sizeof *advice);
    if (standing->own && standing->own->found) {
        advice->own = *standing->own;
        advice->own_told = standing->own_state != SX_NOT_SAID;
    }
    advice->planned = !advice->own.found && sx_substitutions_per_cycle(lineup) > 0;
    const int most = SX_MAX_EXCHANGES - advice->own.found;
    if (standing->count < 0 || standing->count > most) {
        return sx_fail(err, SX_USAGE, "at most %d exchanges can be considered%s, found %d", most,
                       advice->own.found ? " beside the lineup's own" : "", standing->count);
    }
    SxStatus status = sx_set_rules_of(problem->rules, standing->deciding, &c.rules, err);
    if (status == SX_OK) {
        status = fill_score(standing, &c, advice, err);
    }
    const SxExchangeState own = own_state(standing, problem->rules, advice);
    if (status == SX_OK) {
        status = fill_changes(standing, problem->rules, own, advice, err);
    }
    if (status == SX_OK) {
        status = fill_exchanges(&c, standing, own, advice, err);
    }
    if (status == SX_OK) {
        fill_moments(&c, advice, false);
        status = solve(&c, advice, err);
    }
    if (status == SX_OK) {
        status = gather_moves(&c, advice, err);
    }
    if (status == SX_OK) {
        status = look_ahead(&c, advice, err);
    }
    case_free(&c);
    return status;
}

/* --- the card -----------------------------------------------------------------------------------
 */

/* Odds by the rules, mean over their rotations. */
static SxStatus mean_by_rules(const Case *c, const SxThumb *card, double *win, SxError *err) {
    *win = 0;
    SxStatus status = SX_OK;
    for (int k = 0; status == SX_OK && k < c->moments; k++) {
        double one = 0;
        status = sx_thumb_win(c->policy[k], &c->moment[k], card->rule, card->count, &one, err);
        *win += one / c->moments;
    }
    return status;
}

/* What best play and no change at all give, mean over the moments. */
static SxStatus mean_bounds(const Case *c, SxThumb *card, SxError *err) {
    SxStatus status = SX_OK;
    for (int k = 0; status == SX_OK && k < c->moments; k++) {
        double best = 0, without = 0;
        status = sx_policy_win(c->policy[k], &c->moment[k], &best, err);
        if (status == SX_OK) {
            status = sx_policy_win_without(c->policy[k], &c->moment[k], &without, err);
        }
        card->win_best += best / c->moments;
        card->win_without += without / c->moments;
    }
    return status;
}

/* Rules are sought against the first of their rotations, for either server, and valued against
 * all; the better ones stay. */
static SxStatus find_rules(const Case *c, double worth, SxThumb *card, SxError *err) {
    SxThumb best = {.win = -1};
    SxStatus status = mean_bounds(c, &best, err);
    for (int k = 0; status == SX_OK && k < c->moments; k++) {
        SxThumb found;
        if (k > 0 && c->moment[k].serve.phase == c->moment[k - 1].serve.phase) {
            continue;
        }
        status = sx_thumb(c->policy[k], &c->moment[k], worth, &found, err);
        if (status == SX_OK) {
            status = mean_by_rules(c, &found, &found.win, err);
        }
        if (status == SX_OK && found.win > best.win + SAME) {
            found.win_best = best.win_best;
            found.win_without = best.win_without;
            best = found;
        }
    }
    *card = best;
    return status;
}

SxStatus sx_advice_card(const SxProblem *problem, const SxLineup *lineup, const SxFixture *fixture,
                        const SxAdvice *advice, double worth, SxThumb *card, SxError *err) {
    Case c = {.problem = problem, .lineup = lineup, .fixture = fixture};
    memset(card, 0, sizeof *card);
    SxStatus status = sx_set_rules_of(problem->rules, advice->deciding, &c.rules, err);
    if (status == SX_OK) {
        fill_moments(&c, advice, true);
        status = solve(&c, advice, err);
    }
    if (status == SX_OK) {
        status = find_rules(&c, worth, card, err);
    }
    case_free(&c);
    return status;
}
