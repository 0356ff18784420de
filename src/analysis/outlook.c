/* What the set odds tell a coach: all starts compared, and averages over what is not known. */
#include "sixturn/outlook.h"

#include "analysis/limitodds.h"
#include "analysis/setcourse.h"

#include <stdio.h>
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

/* Sets of one difference of the rotations, or of all where theirs are alike. */
typedef struct {
    LimitRoom *room;
    LimitChoices *choices;
    StartOdds win[MOST_STOPS + 1]; /* by changes of rotation that may still be made */
} Track;

/* One kind of set, to our points or deciding: the chain as the lineup plays it, and the chains of
 * the stops. */
typedef struct {
    const SxNeeds *needs;
    SxSetChain *chain;
    SxSetChain **after;     /* by stop; stops with the same rates share one */
    int by_rules;           /* substitutions allowed */
    int most[SX_ROTATIONS]; /* changes of rotation by our start, the last of them before a way to
                               play on; NEVER_STOPS: there is none */
    int tracks;             /* 1 where their rotations make no difference, before or after */
    Track track[SX_TRACKS];
} Game;

enum { NEVER_STOPS = -1 };

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
    for (int t = 0; t < SX_TRACKS; t++) {
        sx_limit_room_free(game->track[t].room);
        sx_limit_choices_free(game->track[t].choices);
    }
    free(game->after);
    sx_set_chain_free(game->chain);
}

/* The rotation on entering which changes are due once n changes of rotation are made. */
static int rotation_due(const SxNeeds *needs, int start, int n) {
    int r = start;
    for (int seen = -1; seen < n;) {
        r = (r + 1) % SX_ROTATIONS;
        seen += needs->entering[r] > 0;
    }
    return r;
}

/* Substitutions made by then. */
static int made_by(const SxNeeds *needs, int start, int n) {
    int made = 0;
    for (int k = 0; k < n; k++) {
        made += needs->entering[rotation_due(needs, start, k)];
    }
    return made;
}

static bool has_way(const SxNeeds *needs, int rotation) {
    bool has = false;
    for (int k = 0; k < needs->stop_count; k++) {
        has = has || needs->stop[k].rotation == rotation;
    }
    return has;
}

/* The last moment that the rules allow and from which there is a way to play on. */
static int most_changes(const SxNeeds *needs, int start, int by_rules) {
    int most = NEVER_STOPS;
    for (int n = 0; n <= MOST_STOPS && made_by(needs, start, n) <= by_rules; n++) {
        most = has_way(needs, rotation_due(needs, start, n)) ? n : most;
    }
    return most;
}

static int most_of_all(const Game *game) {
    int most = 0;
    for (int r = 0; r < SX_ROTATIONS; r++) {
        most = game->most[r] > most ? game->most[r] : most;
    }
    return most;
}

static QuickOdds quick_of(const Game *game) {
    return (QuickOdds){.rules = game->chain->rules, .tracks = 1, .start = -1};
}

static StepRates rates_on(const SxSetChain *chain, int track) {
    StepRates rates;
    memset(&rates, 0, sizeof rates);
    memcpy(rates.of[0], chain->win[track], sizeof rates.of[0]);
    return rates;
}

static void run_plan(const Game *game, int track, bool fixed, int most, StartOdds *out) {
    const StepRates rates = rates_on(game->chain, track);
    LimitPlan plan = {.rates = &rates, .most = most, .fixed = fixed};
    for (int r = 0; r < SX_ROTATIONS; r++) {
        plan.entering[r] = game->needs->entering[r] > 0;
    }
    sx_limit_odds(game->track[track].room, &plan, out);
}

/* Chooses what to do at every score. */
static SxStatus choose_stops(Game *game, SxError *err) {
    const QuickOdds quick = quick_of(game);
    const int most = most_of_all(game);
    for (int t = 0; t < game->tracks; t++) {
        Track *track = &game->track[t];
        track->room = sx_limit_room(&quick);
        track->choices = sx_limit_choices(&quick, most);
        if (!track->room || !track->choices) {
            return sx_out_of_memory(err);
        }
        for (int k = 0; k < game->needs->stop_count; k++) {
            const StepRates rates = rates_on(game->after[k], t);
            sx_limit_way(track->room, &rates, 1U << game->needs->stop[k].rotation);
        }
        sx_limit_note(track->room, track->choices);
        run_plan(game, t, false, most, track->win);
        sx_limit_note(track->room, NULL);
    }
    return SX_OK;
}

static SxStatus game_new(const SxRates *rates, const SxRules *rules, bool deciding,
                         const SxNeeds *needs, int by_rules, Game *game, SxError *err) {
    SxSetRules set;
    bool alike = rotations_alike(rates);
    *game = (Game){.needs = needs, .by_rules = by_rules};
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
        } else {
            status = sx_set_chain_new(then, &set, &game->after[k], err);
            alike = alike && rotations_alike(then);
        }
    }
    game->tracks = alike ? 1 : SX_TRACKS;
    for (int r = 0; r < SX_ROTATIONS; r++) {
        game->most[r] = needs->stop_count ? most_changes(needs, r, by_rules) : NEVER_STOPS;
    }
    return status == SX_OK && needs->stop_count ? choose_stops(game, err) : status;
}

static int track_at(const Game *game, SxServeState start) {
    return game->tracks == 1 ? 0 : sx_track_of(start);
}

/* All starts with the limit. */
static void start_odds_with_limit(const Game *game, SxStartOdds *odds) {
    memset(odds, 0, sizeof *odds);
    for (int phase = 0; phase < SX_PHASES; phase++) {
        for (int ours = 0; ours < SX_ROTATIONS; ours++) {
            for (int theirs = 0; theirs < SX_ROTATIONS; theirs++) {
                const SxServeState start = {ours, theirs, (SxPhase)phase};
                const int most = game->most[ours];
                odds->win[phase][ours][theirs] =
                    most == NEVER_STOPS ? sx_set_chain_win(game->chain, 0, 0, start)
                                        : game->track[track_at(game, start)].win[most][phase][ours];
            }
        }
    }
    compare_starts(odds);
}

/* --- the course of a set that follows the score -------------------------------------------------
 */

enum { MOST_LEAD = SX_MAX_POINTS, LEADS = 2 * MOST_LEAD + 1 };

/* Sets that come to the changes due, and those whose changes end there, by the lead. */
typedef struct {
    double made[LEADS], ended[LEADS];
    double by_way[SX_MOST_STOPS];
} Tally;

/* Less is no reason to look at the score: a twentieth of a set in 100. */
static const double TO_SPEAK_OF = 0.0005;
/* A rule is not made finer for fewer of the sets that come to it. */
static const double SLIGHT = 0.01;

/* A start, followed. */
typedef struct {
    const Game *game;
    SxServeState start;
    int track;
    double weight;
    Tally *tally;            /* by changes of rotation made; MOST_STOPS + 1 */
    const SxStopping *rules; /* followed, as far as told; NULL: the best choice at every score */
} Follow;

/* Changes of rotation due at a side-out of ours, or SX_GO_ON if there is none. */
static int changes_due(const Follow *follow, int side_outs) {
    const int rotated = (side_outs + (follow->start.phase == SX_RECEIVE)) / 2;
    const int *entering = follow->game->needs->entering;
    int n = SX_GO_ON;
    for (int k = 1; k <= rotated; k++) {
        n += entering[(follow->start.ours + k) % SX_ROTATIONS] > 0;
    }
    return entering[(follow->start.ours + rotated) % SX_ROTATIONS] > 0 ? n : SX_GO_ON;
}

/* The way that the rules tell of; false if they do not reach so far. */
static bool way_by_rule(const SxStopping *rules, int changes, int lead, int *way) {
    for (int k = 0; rules && k < rules->count; k++) {
        const SxHalt *halt = &rules->halt[k];
        const bool made = halt->rule == SX_CHANGE_MADE ||
                          (halt->rule == SX_CHANGE_MADE_FROM && lead >= halt->lead) ||
                          (halt->rule == SX_CHANGE_MADE_UP_TO && lead <= halt->lead);
        if (halt->changes == changes && (made || halt->stop >= 0)) {
            *way = made ? MAKE_CHANGE : halt->stop;
            return true;
        }
    }
    return false;
}

static int halt_by_choice(void *context, int side_outs, int ours, int theirs, double share) {
    const Follow *follow = context;
    const Game *game = follow->game;
    const int n = changes_due(follow, side_outs), start = follow->start.ours;
    int way;
    if (n == SX_GO_ON) {
        return SX_GO_ON;
    }
    if (!way_by_rule(follow->rules, made_by(game->needs, start, n), ours - theirs, &way)) {
        way = sx_limit_choice(game->track[follow->track].choices, 0, game->most[start] - n,
                              rotation_due(game->needs, start, n), ours, theirs);
    }
    if (!follow->rules) {
        const int lead = ours - theirs + MOST_LEAD;
        Tally *tally = &follow->tally[n];
        (way == MAKE_CHANGE ? tally->made : tally->ended)[lead] += follow->weight * share;
        if (way != MAKE_CHANGE) {
            tally->by_way[way] += follow->weight * share;
        }
    }
    return way == MAKE_CHANGE ? SX_GO_ON : way;
}

/* The rule by the lead that gets the fewest sets wrong. */
static void find_rule(const Tally *tally, SxHalt *halt) {
    double made = 0, ended = 0, made_below = 0, ended_below = 0;
    for (int k = 0; k < LEADS; k++) {
        made += tally->made[k];
        ended += tally->ended[k];
    }
    halt->due = made + ended;
    halt->stopped = ended;
    halt->rule = ended <= made ? SX_CHANGE_MADE : SX_CHANGE_NOT_MADE;
    double wrong = ended <= made ? ended : made;
    for (int k = 0; k < LEADS; k++) {
        const double from = made_below + ended - ended_below;
        made_below += tally->made[k];
        ended_below += tally->ended[k];
        const double up_to = made - made_below + ended_below;
        const double least = from < up_to ? from : up_to;
        if (least < wrong - SLIGHT * halt->due) {
            halt->rule = from < up_to ? SX_CHANGE_MADE_FROM : SX_CHANGE_MADE_UP_TO;
            halt->lead = k - MOST_LEAD;
            wrong = least;
        }
    }
    halt->stop = -1;
    for (int k = 0; k < SX_MOST_STOPS; k++) {
        const bool more = halt->stop < 0 || tally->by_way[k] > tally->by_way[halt->stop];
        halt->stop = tally->by_way[k] > 0 && more ? k : halt->stop;
    }
}

static void tell_stopping(const Game *game, int start, const Tally *tally, SxStopping *out) {
    const int most = game->most[start];
    for (int n = 0; n <= most && out->count < SX_MOST_HALTS; n++) {
        SxHalt *halt = &out->halt[out->count];
        *halt = (SxHalt){.changes = made_by(game->needs, start, n),
                         .rotation = rotation_due(game->needs, start, n)};
        find_rule(&tally[n], halt);
        out->count += halt->due > 0;
    }
}

/* The best end that is settled before the set, in one way. */
static void try_fixed(const Game *game, SxPhase phase, int start, int k, SxStopping *out) {
    StartOdds odds[MOST_STOPS + 1];
    double win[MOST_STOPS + 1] = {0};
    const int most = game->most[start];
    for (int t = 0; t < game->tracks; t++) {
        const StepRates rates = rates_on(game->after[k], t);
        sx_limit_clear(game->track[t].room);
        sx_limit_way(game->track[t].room, &rates, 1U << game->needs->stop[k].rotation);
        run_plan(game, t, true, most, odds);
        for (int n = 0; n <= most; n++) {
            win[n] += odds[n][phase][start] / game->tracks;
        }
    }
    for (int n = 0; n <= most; n++) {
        const int changes = made_by(game->needs, start, n);
        const bool later = changes > out->fixed_changes && win[n] >= out->fixed_win - SAME_ODDS;
        if (rotation_due(game->needs, start, n) == game->needs->stop[k].rotation &&
            (win[n] > out->fixed_win + SAME_ODDS || later)) {
            out->fixed_win = win[n];
            out->fixed_changes = changes;
            out->fixed_stop = k;
        }
    }
}

/* The course of what is followed, to the last change that may be made. */
static void set_out(Follow *follow, SxCourse *course) {
    const Game *game = follow->game;
    const SxServeState start = follow->start;
    int rotated = 1;
    follow->track = track_at(game, start);
    *course = sx_course_from(game->chain, start);
    while (changes_due(follow, 2 * rotated - (start.phase == SX_RECEIVE)) <
           game->most[start.ours]) {
        rotated++;
    }
    course->last = 2 * rotated - (start.phase == SX_RECEIVE);
    course->halt = halt_by_choice;
    course->context = follow;
    course->way = (const SxSetChain *const *)game->after;
}

/* What a start wins by the rules told of it. */
static double win_by_rules(const Game *game, SxPhase phase, int ours, const SxStopping *rules) {
    double win = 0;
    for (int theirs = 0; theirs < game->tracks; theirs++) {
        SxTrace trace;
        SxCourse course;
        Follow follow = {.game = game, .start = {ours, theirs, phase}, .rules = rules};
        set_out(&follow, &course);
        sx_course_follow(&course, &trace);
        win += trace.won / game->tracks;
    }
    return win;
}

/* What a start brings with its best play. */
static SxStatus follow_start(const Game *game, SxServeState start, const SxSubstitutionPlan *plan,
                             Tally *tally, SxSubstitutionOdds *one, SxError *err) {
    SxStatus status = sx_substitution_odds(game->chain, start, plan, one, err);
    if (status != SX_OK || game->most[start.ours] == NEVER_STOPS) {
        return status;
    }
    SxTrace trace;
    SxCourse course;
    Follow follow = {.game = game, .start = start, .weight = 1.0 / SX_ROTATIONS, .tally = tally};
    set_out(&follow, &course);
    sx_course_follow(&course, &trace);
    sx_course_odds(&course, &trace, &one->set);
    one->win = one->set.win;
    one->runs_out = trace.stopped;
    one->runs_out_after = 0;
    one->our_score = trace.stopped > 0 ? trace.our_score / trace.stopped : 0;
    one->their_score = trace.stopped > 0 ? trace.their_score / trace.stopped : 0;
    return SX_OK;
}

bool sx_makes_none(const SxOutlook *outlook) {
    bool none = true;
    for (int phase = 0; phase < SX_PHASES; phase++) {
        const SxAfterLimit *after = &outlook->after[phase];
        none = none && after->found && after->changes == 0 && !outlook->stopping[phase].by_score;
    }
    return none;
}

void sx_tell_plays_on(const SxOutlook *outlook, SxLineup *lineup) {
    snprintf(lineup->plays_on_as, sizeof lineup->plays_on_as, "%s",
             sx_makes_none(outlook) ? outlook->after[0].system : "");
    lineup->plays_on_open = false;
}

static SxStatus look_from(const Game *game, SxPhase phase, SxOutlook *outlook, SxError *err) {
    SxSubstitutionOdds *sum = &outlook->substitutions[phase];
    const int ours = outlook->start[phase];
    SxSubstitutionPlan plan = {.limit = game->by_rules};
    Tally *tally = NULL;
    memcpy(plan.entering, game->needs->entering, sizeof plan.entering);
    if (outlook->substitutes && game->most[ours] != NEVER_STOPS) {
        tally = calloc(MOST_STOPS + 1, sizeof *tally);
        if (!tally) {
            return sx_out_of_memory(err);
        }
    }
    SxStatus status = SX_OK;
    for (int theirs = 0; theirs < SX_ROTATIONS && status == SX_OK; theirs++) {
        const SxServeState start = {ours, theirs, phase};
        SxSubstitutionOdds one;
        status = outlook->substitutes ? follow_start(game, start, &plan, tally, &one, err)
                                      : sx_set_odds(game->chain, start, &one.set, err);
        if (status == SX_OK && outlook->substitutes) {
            add_substitutions(sum, &one);
        }
        if (status == SX_OK) {
            add_set(outlook, &one.set, 1.0 / (SX_ROTATIONS * SX_PHASES));
        }
    }
    if (status == SX_OK && tally) {
        SxStopping *stopping = &outlook->stopping[phase];
        stopping->win = sum->win;
        tell_stopping(game, ours, tally, stopping);
        stopping->rule_win = win_by_rules(game, phase, ours, stopping);
        for (int k = 0; k < game->needs->stop_count; k++) {
            try_fixed(game, phase, ours, k, stopping);
        }
    }
    outlook->stopping[phase].by_score =
        outlook->stopping[phase].rule_win - outlook->stopping[phase].fixed_win >= TO_SPEAK_OF;
    free(tally);
    if (sum->runs_out > 0) {
        sum->our_score /= sum->runs_out;
        sum->their_score /= sum->runs_out;
    }
    return status;
}

static SxStatus check_stops(const SxNeeds *needs, SxError *err) {
    if (needs->stop_count > SX_MOST_STOPS) {
        return sx_fail(err, SX_USAGE, "%d ways to play on; at most %d can be compared",
                       needs->stop_count, SX_MOST_STOPS);
    }
    for (int k = 0; k < needs->stop_count; k++) {
        const SxStop *stop = &needs->stop[k];
        if (stop->rotation < 0 || stop->rotation >= SX_ROTATIONS ||
            needs->entering[stop->rotation] <= 0 || !stop->rates) {
            return sx_fail(err, SX_USAGE, "no such stop: nothing is due on entering rotation %d",
                           stop->rotation + 1);
        }
    }
    return SX_OK;
}

static SxStatus look(const Game *set, const Game *decider, int start, SxOutlook *outlook,
                     SxError *err) {
    if (outlook->substitutes && outlook->substitution_limit != SX_UNLIMITED) {
        start_odds_with_limit(set, &outlook->set);
        start_odds_with_limit(decider, &outlook->decider);
    } else {
        sx_start_odds(set->chain, &outlook->set);
        sx_start_odds(decider->chain, &outlook->decider);
    }
    SxStatus status = SX_OK;
    for (int phase = 0; phase < SX_PHASES && status == SX_OK; phase++) {
        const int ours = start >= 0 ? start : outlook->set.best[phase];
        outlook->start[phase] = ours;
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
