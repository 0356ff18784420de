/* Rules of thumb: what they are worth, exactly, and a search for good ones.
 *
 * Rules are a policy that need not be the best one, so its odds follow from the same tables as the
 * best play's, filled in the same order, with the rules in the place of the maximum. */
#include "sixturn/thumb.h"

#include "analysis/stands.h"

#include <stdlib.h>
#include <string.h>

typedef struct {
    const SxPolicy *policy;
    SxThumbRule rule[SX_MAX_THUMB_RULES];
    int count;
    int start, step; /* the stand and step of the moment asked for */
    int ours, theirs;
    SxStandValues *values; /* by stand */
    double *cells;
    bool *met; /* by stand: the rules can lead to it */
} Trial;

/* A rule that can be followed in a stand, and what then holds. */
typedef struct {
    int least_lead, most_lead, from_points, step;
    int next; /* the stand to which it leads */
} Option;

typedef struct {
    int count;
    Option option[SX_MAX_THUMB_RULES];
} Options;

static bool fits_score(const Option *option, int ours, int theirs) {
    const int lead = ours - theirs;
    return lead >= option->least_lead && lead <= option->most_lead &&
           ours + theirs >= option->from_points;
}

/* The last rule first, so that of several that apply the first one is obeyed. */
static void find_options(const Trial *trial, const SxStand *stand, Options *options) {
    options->count = 0;
    for (int k = trial->count - 1; k >= 0; k--) {
        const SxThumbRule *rule = &trial->rule[k];
        const bool made = stand->state[rule->exchange] == SX_EXCHANGE_MADE;
        const int next =
            made != rule->make ? sx_stand_after(trial->policy, stand, rule->exchange) : -1;
        if (next >= 0) {
            const SxServeState at = {.ours = rule->ours, .phase = rule->phase};
            options->option[options->count++] = (Option){rule->least_lead, rule->most_lead,
                                                         rule->from_points, sx_step_of(at), next};
        }
    }
}

/* Marks the stands to which the rules can lead: a change leads to a smaller number. */
static void mark_met(Trial *trial) {
    memset(trial->met, 0, (size_t)trial->start + 1);
    trial->met[trial->start] = true;
    for (int k = trial->start; k >= 0; k--) {
        Options options;
        if (!trial->met[k]) {
            continue;
        }
        find_options(trial, &trial->policy->stand[k], &options);
        for (int r = 0; r < options.count; r++) {
            trial->met[options.option[r].next] = true;
        }
    }
}

static bool fill_tie(const Trial *trial, const SxStand *stand, const Options *options,
                     SxStandValues *values) {
    const SxPolicy *policy = trial->policy;
    const int tie = policy->rules.target - 1;
    double change[SX_TIE_STATES] = {0}, value[SX_TIE_STATES];
    bool changes[SX_TIE_STATES] = {false}, any = false;
    for (int lead = -1; lead <= 1; lead++) {
        const int ours = tie + (lead > 0), theirs = tie + (lead < 0);
        for (int k = 0; k < options->count; k++) {
            const Option *option = &options->option[k];
            if (fits_score(option, ours, theirs)) {
                const int at = sx_tie_state(lead, option->step);
                changes[at] = any = true;
                change[at] = sx_stand_value(policy, &trial->values[option->next], ours, theirs,
                                            option->step);
            }
        }
    }
    if (!any) {
        return sx_stand_plain_tie(policy, stand->mask, values);
    }
    if (!sx_stand_tie(policy, stand->mask, change, changes, value)) {
        return false;
    }
    memcpy(values->tie, value, sizeof values->tie);
    return true;
}

static void fill_score(const Trial *trial, const SxStand *stand, const Options *options,
                       SxStandValues *values, int ours, int theirs) {
    const SxPolicy *policy = trial->policy;
    double *here = sx_stand_cell(policy, values, ours, theirs);
    sx_stand_hold(policy, stand->mask, values, ours, theirs, here);
    for (int k = 0; k < options->count; k++) {
        const Option *option = &options->option[k];
        if (fits_score(option, ours, theirs)) {
            here[option->step] =
                sx_stand_cell(policy, &trial->values[option->next], ours, theirs)[option->step];
        }
    }
}

static void fill_scores(const Trial *trial, const SxStand *stand, const Options *options,
                        SxStandValues *values) {
    const SxPolicy *policy = trial->policy;
    for (int ours = policy->from_ours + policy->width - 1; ours >= policy->from_ours; ours--) {
        for (int theirs = policy->from_theirs + policy->height - 1; theirs >= policy->from_theirs;
             theirs--) {
            if (!sx_stand_beyond_tie(policy, ours, theirs) &&
                sx_set_winner(&policy->rules, ours, theirs) == 0) {
                fill_score(trial, stand, options, values, ours, theirs);
            }
        }
    }
}

/* The odds by the trial's rules; negative if play by them never ends. */
static double judge(Trial *trial) {
    const SxPolicy *policy = trial->policy;
    mark_met(trial);
    for (int k = 0; k <= trial->start; k++) {
        const SxStand *stand = &policy->stand[k];
        Options options;
        if (!trial->met[k]) {
            continue;
        }
        find_options(trial, stand, &options);
        if (policy->rules.cap == 0 && !fill_tie(trial, stand, &options, &trial->values[k])) {
            return -1;
        }
        fill_scores(trial, stand, &options, &trial->values[k]);
    }
    return sx_stand_value(policy, &trial->values[trial->start], trial->ours, trial->theirs,
                          trial->step);
}

static SxStatus open_trial(const SxPolicy *policy, const SxMoment *from, Trial *trial,
                           SxError *err) {
    *trial = (Trial){.policy = policy, .ours = from->our_points, .theirs = from->their_points};
    SxStatus status = sx_stand_find(policy, from, &trial->start, &trial->step, err);
    if (status != SX_OK) {
        return status;
    }
    const size_t cells = sx_stand_cells(policy), stands = (size_t)trial->start + 1;
    trial->values = calloc(stands, sizeof *trial->values);
    trial->cells = malloc((cells * stands + 1) * sizeof *trial->cells);
    trial->met = calloc(stands, sizeof *trial->met);
    if (!trial->values || !trial->cells || !trial->met) {
        free(trial->values);
        free(trial->cells);
        free(trial->met);
        return sx_out_of_memory(err);
    }
    for (size_t k = 0; k < stands; k++) {
        trial->values[k].table = trial->cells + k * cells;
    }
    return SX_OK;
}

static void close_trial(Trial *trial) {
    free(trial->values);
    free(trial->cells);
    free(trial->met);
}

SxStatus sx_thumb_win(const SxPolicy *policy, const SxMoment *from, const SxThumbRule *rule,
                      int count, double *win, SxError *err) {
    Trial trial;
    if (count < 0 || count > SX_MAX_THUMB_RULES) {
        return sx_fail(err, SX_USAGE, "0 to %d rules of thumb, not %d", SX_MAX_THUMB_RULES, count);
    }
    for (int k = 0; k < count; k++) {
        if (rule[k].exchange < 0 || rule[k].exchange >= policy->exchanges.count) {
            return sx_fail(err, SX_USAGE, "rule %d is about an exchange that is not considered",
                           k + 1);
        }
    }
    SxStatus status = open_trial(policy, from, &trial, err);
    if (status != SX_OK) {
        return status;
    }
    trial.count = count;
    if (count > 0) {
        memcpy(trial.rule, rule, (size_t)count * sizeof *rule);
    }
    *win = judge(&trial);
    close_trial(&trial);
    return *win >= 0 ? SX_OK
                     : sx_fail(err, SX_BAD_INPUT, "by these rules of thumb a set may never end");
}

/* --- the search ----------------------------------------------------------------------------------
 */

/* Leads and points that a coach can keep in mind. */
static const int lead_bounds[] = {1, 2, 3, 4, 6, 8, SX_ANY_LEAD};
static const int point_bounds[] = {0, 10, 15, 20, 25, 30, 35, 40};
enum {
    LEADS = sizeof lead_bounds / sizeof *lead_bounds,
    POINTS = sizeof point_bounds / sizeof *point_bounds,
    PLACES = 4 /* in which an exchange is tried */
};

static const double BETTER = 1e-9; /* a gain that is one; ties go to what is tried first */

/* Keeps the trial's rules if they are better than the best so far. */
static bool improves(Trial *trial, double *best) {
    const double win = judge(trial);
    if (win <= *best + BETTER) {
        return false;
    }
    *best = win;
    return true;
}

static SxThumbRule rule_at(int exchange, bool make, int step) {
    return (SxThumbRule){.exchange = exchange,
                         .make = make,
                         .ours = sx_step_ours(step),
                         .phase = sx_step_phase(step),
                         .least_lead = -SX_ANY_LEAD,
                         .most_lead = SX_ANY_LEAD};
}

/* What best play gains in each step by changing the exchange in this stand, over all scores. */
static void gain_by_step(const Trial *trial, int stand, int exchange, double gain[SX_STEPS]) {
    const SxPolicy *policy = trial->policy;
    const int next = stand < 0 ? -1 : sx_stand_after(policy, &policy->stand[stand], exchange);
    memset(gain, 0, SX_STEPS * sizeof *gain);
    for (int k = 0; next >= 0 && k < policy->width * policy->height; k++) {
        const int ours = policy->from_ours + k / policy->height;
        const int theirs = policy->from_theirs + k % policy->height;
        if (sx_set_winner(&policy->rules, ours, theirs) == 0) {
            const SxStand *now = &policy->stand[stand];
            const double *other = sx_stand_row(policy, &policy->stand[next].best, ours, theirs);
            double hold[SX_STEPS];
            sx_stand_hold(policy, now->mask, &now->best, ours, theirs, hold);
            for (int step = 0; step < SX_STEPS; step++) {
                const double more = other[step] - hold[step];
                gain[step] += more > BETTER ? more : 0;
            }
        }
    }
}

/* To make an exchange: the steps that gain most, at most PLACES of them. */
static int steps_to_make(double gain[SX_STEPS], int step[PLACES]) {
    int count = 0;
    while (count < PLACES) {
        int most = 0;
        for (int k = 1; k < SX_STEPS; k++) {
            most = gain[k] > gain[most] ? k : most;
        }
        if (!(gain[most] > 0)) {
            break;
        }
        gain[most] = 0;
        step[count++] = most;
    }
    return count;
}

/* To undo it: the first steps after it was made in which that gains, at most PLACES of them. */
static int steps_to_undo(const double gain[SX_STEPS], int after, int step[PLACES]) {
    int count = 0;
    for (int k = 1; k < SX_STEPS && count < PLACES; k++) {
        if (gain[(after + k) % SX_STEPS] > 0) {
            step[count++] = (after + k) % SX_STEPS;
        }
    }
    return count;
}

/* Where to make the exchange and where to undo it (or never), whatever the score. */
static void search_places(Trial *trial, int exchange, bool made_now, double *best) {
    const int first = trial->count, start = trial->start;
    int made = start, make[PLACES] = {trial->step}, undo[PLACES], makes = 1;
    double gain[SX_STEPS];
    SxThumbRule kept[2];
    int kept_count = 0;
    if (!made_now) {
        gain_by_step(trial, start, exchange, gain);
        makes = steps_to_make(gain, make);
        made = sx_stand_after(trial->policy, &trial->policy->stand[start], exchange);
    }
    gain_by_step(trial, made, exchange, gain);
    for (int i = 0; i < makes; i++) {
        const int undos = steps_to_undo(gain, make[i] - made_now + SX_STEPS, undo);
        for (int j = 0; j <= undos; j++) {
            trial->count = first;
            if (!made_now) {
                trial->rule[trial->count++] = rule_at(exchange, true, make[i]);
            }
            if (j < undos) {
                trial->rule[trial->count++] = rule_at(exchange, false, undo[j]);
            }
            if (trial->count > first && improves(trial, best)) {
                kept_count = trial->count - first;
                memcpy(kept, &trial->rule[first], (size_t)kept_count * sizeof *kept);
            }
        }
    }
    trial->count = first + kept_count;
    memcpy(&trial->rule[first], kept, (size_t)kept_count * sizeof *kept);
}

/* One bound of a rule: the value of a list that is best, or the one it has. */
static void search_bound(Trial *trial, int *bound, const int *list, int count, int sign,
                         double *best) {
    int kept = *bound;
    for (int k = 0; k < count; k++) {
        *bound = sign * list[k];
        if (improves(trial, best)) {
            kept = *bound;
        }
    }
    *bound = kept;
}

/* At which leads, and from which point of the set on, one rule is worth following. */
static void search_scores(Trial *trial, SxThumbRule *rule, double *best) {
    search_bound(trial, &rule->least_lead, lead_bounds, LEADS, -1, best);
    search_bound(trial, &rule->most_lead, lead_bounds, LEADS, 1, best);
    search_bound(trial, &rule->from_points, point_bounds, POINTS, 1, best);
}

/* The exchange whose rules gain most; true if that is worth a line. */
static bool add_exchange(Trial *trial, unsigned *used, double worth, double *win) {
    const Trial before = *trial;
    Trial kept = *trial;
    double most = *win + worth;
    int chosen = -1;
    for (int m = 0; m < trial->policy->exchanges.count; m++) {
        if (*used >> m & 1) {
            continue;
        }
        const SxExchangeState now = trial->policy->stand[trial->start].state[m];
        double best = *win;
        *trial = before;
        search_places(trial, m, now == SX_EXCHANGE_MADE, &best);
        for (int k = before.count; k < trial->count; k++) {
            search_scores(trial, &trial->rule[k], &best);
        }
        if (trial->count > before.count && best > most) {
            most = best;
            kept = *trial;
            chosen = m;
        }
    }
    *trial = kept;
    if (chosen < 0) {
        return false;
    }
    *win = most;
    *used |= 1u << chosen;
    return true;
}

SxStatus sx_thumb(const SxPolicy *policy, const SxMoment *from, double worth, SxThumb *out,
                  SxError *err) {
    Trial trial;
    unsigned used = 0;
    memset(out, 0, sizeof *out);
    SxStatus status = sx_policy_win(policy, from, &out->win_best, err);
    if (status == SX_OK) {
        status = open_trial(policy, from, &trial, err);
    }
    if (status != SX_OK) {
        return status;
    }
    out->win = out->win_without = judge(&trial);
    while (out->win >= 0 && add_exchange(&trial, &used, worth > 0 ? worth : BETTER, &out->win)) {
    }
    out->count = trial.count;
    memcpy(out->rule, trial.rule, sizeof out->rule);
    close_trial(&trial);
    return out->win >= 0 ? SX_OK
                         : sx_fail(err, SX_BAD_INPUT, "without any exchange a set may never end");
}
