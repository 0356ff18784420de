/* The best play from any moment: a Markov decision process on the set chain, solved backwards.
 *
 * What the coach may still do is a 'stand': the state of every exchange and the changes left. A
 * change leads to another stand and never back (each costs a substitution or cannot be made twice),
 * so the stands form a graph without cycles; each is solved after those that it leads to. Within a
 * stand
 *
 *   V(state) = max( p V'(rally won) + (1 - p) V'(rally lost),  V of every stand one change on )
 *
 * for all scores and steps of one track (see setchain.h), the play from target - 1 all by policy
 * iteration on its 36 states (a tie, one ahead, one behind; twelve steps). */
#include "analysis/stands.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum {
    STATES = 3,         /* SxExchangeState */
    CODES = 729,        /* 3 ^ SX_MAX_EXCHANGES */
    MOST_LEFT = 99,     /* changes */
    MOST_ROUNDS = 1000, /* of policy iteration; a handful is usual */
    MOST_STANDS = 8192  /* some 500 MB of tables */
};

static const double SAME = 1e-12; /* odds nearer than this are equal */

/* --- what the rules allow ------------------------------------------------------------------- */

static bool may_return(const SxExchanges *exchanges) {
    return exchanges->reentry == SX_REENTRY_SAME_SLOT;
}

/* A substitute bound to another place, where players may return only to their own. */
static bool bound_elsewhere(const SxExchange *a, const SxExchange *b) {
    return (a->players & b->players) && a->slots != b->slots;
}

/* Does it matter that an exchange was made, once it is undone? */
static bool leaves_a_trace(const SxExchanges *exchanges, int m) {
    if (!may_return(exchanges)) {
        return true;
    }
    for (int k = 0; k < exchanges->count; k++) {
        if (k != m && bound_elsewhere(&exchanges->exchange[k], &exchanges->exchange[m])) {
            return true;
        }
    }
    return false;
}

static bool lets_make(const SxExchanges *exchanges, int m, int k, SxExchangeState state) {
    const SxExchange *a = &exchanges->exchange[m], *b = &exchanges->exchange[k];
    const bool share = (a->slots & b->slots) || (a->players & b->players);
    if (!share || state == SX_EXCHANGE_FRESH) {
        return true;
    }
    return may_return(exchanges) && state == SX_EXCHANGE_UNDONE && !bound_elsewhere(a, b);
}

static bool affordable(const SxStand *stand, const SxExchange *exchange) {
    return stand->left >= exchange->cost;
}

static bool can_make(const SxExchanges *exchanges, const SxStand *stand, int m) {
    const SxExchangeState state = stand->state[m];
    if (state == SX_EXCHANGE_MADE || (state == SX_EXCHANGE_UNDONE && !may_return(exchanges)) ||
        !affordable(stand, &exchanges->exchange[m])) {
        return false;
    }
    for (int k = 0; k < exchanges->count; k++) {
        if (k != m && !lets_make(exchanges, m, k, stand->state[k])) {
            return false;
        }
    }
    return true;
}

static bool can_undo(const SxExchanges *exchanges, const SxStand *stand, int m) {
    return stand->state[m] == SX_EXCHANGE_MADE && affordable(stand, &exchanges->exchange[m]);
}

/* The stand after exchange m is made or, if it is made, undone. */
static SxStand changed(const SxExchanges *exchanges, const SxStand *stand, int m) {
    SxStand next = {.left = stand->left - exchanges->exchange[m].cost,
                    .mask = stand->mask ^ 1u << m};
    memcpy(next.state, stand->state, sizeof next.state);
    const bool undone = stand->state[m] == SX_EXCHANGE_MADE;
    next.state[m] = !undone                        ? SX_EXCHANGE_MADE
                    : leaves_a_trace(exchanges, m) ? SX_EXCHANGE_UNDONE
                                                   : SX_EXCHANGE_FRESH;
    return next;
}

static bool can_change(const SxExchanges *exchanges, const SxStand *stand, int m) {
    return can_make(exchanges, stand, m) || can_undo(exchanges, stand, m);
}

/* --- values ----------------------------------------------------------------------------------- */

double *sx_stand_cell(const SxPolicy *policy, const SxStandValues *values, int ours, int theirs) {
    return values->table + ((size_t)(ours - policy->from_ours) * (size_t)policy->height +
                            (size_t)(theirs - policy->from_theirs)) *
                               SX_STEPS;
}

bool sx_stand_beyond_tie(const SxPolicy *policy, int ours, int theirs) {
    const int tie = policy->rules.target - 1;
    return policy->rules.cap == 0 && ours >= tie && theirs >= tie;
}

const double *sx_stand_row(const SxPolicy *policy, const SxStandValues *values, int ours,
                           int theirs) {
    static const double won[SX_STEPS] = {1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1}, lost[SX_STEPS] = {0};
    const int over = sx_set_winner(&policy->rules, ours, theirs);
    if (over != 0) {
        return over > 0 ? won : lost;
    }
    return sx_stand_beyond_tie(policy, ours, theirs) ? values->tie[ours - theirs + 1]
                                                     : sx_stand_cell(policy, values, ours, theirs);
}

double sx_stand_value(const SxPolicy *policy, const SxStandValues *values, int ours, int theirs,
                      int step) {
    /* A table is filled from its end, so what follows a score is there.
     * NOLINTNEXTLINE(clang-analyzer-core.uninitialized.UndefReturn) */
    return sx_stand_row(policy, values, ours, theirs)[step];
}

/* The step after a rally: a side-out of either team leads to the next one. */
static int step_after(int step, bool won) {
    const bool side_out = (sx_step_phase(step) == SX_RECEIVE) == won;
    return side_out ? (step + 1) % SX_STEPS : step;
}

void sx_stand_hold(const SxPolicy *policy, unsigned mask, const SxStandValues *values, int ours,
                   int theirs, double out[SX_STEPS]) {
    const double *p = policy->win[mask];
    const double *won = sx_stand_row(policy, values, ours + 1, theirs);
    const double *lost = sx_stand_row(policy, values, ours, theirs + 1);
    /* as step_after: even steps are ours to receive */
    for (int step = 0; step < SX_STEPS; step += 2) {
        const int next = step + 1, after = next + 1 < SX_STEPS ? next + 1 : 0;
        out[step] = p[step] * won[next] + (1 - p[step]) * lost[step];
        out[next] = p[next] * won[next] + (1 - p[next]) * lost[after];
    }
}

static double hold_value(const SxPolicy *policy, const SxStand *stand, int ours, int theirs,
                         int step) {
    double hold[SX_STEPS];
    sx_stand_hold(policy, stand->mask, &stand->best, ours, theirs, hold);
    return hold[step];
}

/* The best of the stands one change on; -1 if there is none. */
static double change_value(const SxPolicy *policy, const SxStand *stand, int ours, int theirs,
                           int step) {
    double best = -1;
    for (int k = 0; k < stand->next_count; k++) {
        best = fmax(
            best, sx_stand_value(policy, &policy->stand[stand->next[k]].best, ours, theirs, step));
    }
    return best;
}

/* A side-out leads to the next step at another score, never to one of this cell. */
static void fill_score(const SxPolicy *policy, SxStand *stand, int ours, int theirs) {
    double *here = sx_stand_cell(policy, &stand->best, ours, theirs);
    sx_stand_hold(policy, stand->mask, &stand->best, ours, theirs, here);
    for (int k = 0; k < stand->next_count; k++) {
        const double *other =
            sx_stand_cell(policy, &policy->stand[stand->next[k]].best, ours, theirs);
        for (int step = 0; step < SX_STEPS; step++) {
            here[step] = other[step] > here[step] ? other[step] : here[step];
        }
    }
}

static void fill_table(const SxPolicy *policy, SxStand *stand) {
    for (int ours = policy->from_ours + policy->width - 1; ours >= policy->from_ours; ours--) {
        for (int theirs = policy->from_theirs + policy->height - 1; theirs >= policy->from_theirs;
             theirs--) {
            if (!sx_stand_beyond_tie(policy, ours, theirs) &&
                sx_set_winner(&policy->rules, ours, theirs) == 0) {
                fill_score(policy, stand, ours, theirs);
            }
        }
    }
}

/* --- the play from a tie ---------------------------------------------------------------------- */

/* Rows of a linear system: value = sum of coefficient * value + constant. */
typedef struct {
    double a[SX_TIE_STATES][SX_TIE_STATES + 1];
} Linear;

int sx_tie_state(int lead, int step) {
    return (lead + 1) * SX_STEPS + step;
}

/* Adds `chance` of coming to a lead in a step, which may be the end of the set. */
static void add_chance(Linear *linear, int row, int lead, int step, double chance) {
    if (lead > 1) {
        linear->a[row][SX_TIE_STATES] += chance;
    } else if (lead >= -1) {
        linear->a[row][sx_tie_state(lead, step)] -= chance;
    }
}

/* Gauss-Jordan elimination with pivoting by column; false if the system is singular. */
static bool solve_linear(Linear *linear, double *value) {
    for (int c = 0; c < SX_TIE_STATES; c++) {
        int pivot = c;
        for (int r = c + 1; r < SX_TIE_STATES; r++) {
            if (fabs(linear->a[r][c]) > fabs(linear->a[pivot][c])) {
                pivot = r;
            }
        }
        if (!(fabs(linear->a[pivot][c]) > 0)) {
            return false;
        }
        for (int k = 0; k <= SX_TIE_STATES && pivot != c; k++) {
            const double swap = linear->a[c][k];
            linear->a[c][k] = linear->a[pivot][k];
            linear->a[pivot][k] = swap;
        }
        for (int r = 0; r < SX_TIE_STATES; r++) {
            const double factor = linear->a[r][c] / linear->a[c][c];
            for (int k = c; r != c && factor != 0 && k <= SX_TIE_STATES; k++) {
                linear->a[r][k] -= factor * linear->a[c][k];
            }
        }
    }
    for (int r = 0; r < SX_TIE_STATES; r++) {
        value[r] = linear->a[r][SX_TIE_STATES] / linear->a[r][r];
    }
    return true;
}

bool sx_stand_tie(const SxPolicy *policy, unsigned mask, const double change[SX_TIE_STATES],
                  const bool changes[SX_TIE_STATES], double value[SX_TIE_STATES]) {
    Linear linear = {{{0}}};
    for (int lead = -1; lead <= 1; lead++) {
        for (int step = 0; step < SX_STEPS; step++) {
            const int row = sx_tie_state(lead, step);
            const double p = policy->win[mask][step];
            linear.a[row][row] += 1;
            if (changes[row]) {
                linear.a[row][SX_TIE_STATES] = change[row];
                continue;
            }
            add_chance(&linear, row, lead + 1, step_after(step, true), p);
            add_chance(&linear, row, lead - 1, step_after(step, false), 1 - p);
        }
    }
    return solve_linear(&linear, value);
}

static double tie_hold(const SxPolicy *policy, unsigned mask, const double *value, int lead,
                       int step) {
    const double p = policy->win[mask][step];
    const double won = lead == 1 ? 1 : value[sx_tie_state(lead + 1, step_after(step, true))];
    const double lost = lead == -1 ? 0 : value[sx_tie_state(lead - 1, step_after(step, false))];
    return p * won + (1 - p) * lost;
}

bool sx_stand_plain_tie(const SxPolicy *policy, unsigned mask, SxStandValues *values) {
    double win[SX_STEPS], value[SX_TIE_STATES] = {0};
    if (!sx_tie_win(policy->win[mask], win)) {
        return false;
    }
    for (int step = 0; step < SX_STEPS; step++) {
        value[sx_tie_state(0, step)] = win[step];
    }
    for (int step = 0; step < SX_STEPS; step++) {
        values->tie[1][step] = win[step];
        values->tie[0][step] = tie_hold(policy, mask, value, -1, step);
        values->tie[2][step] = tie_hold(policy, mask, value, 1, step);
    }
    return true;
}

/* Policy iteration, from 'change at once everywhere', whose value is that of the next stands: every
 * step on the way makes some state better and none worse, so play always ends. */
static bool solve_tie(const SxPolicy *policy, SxStand *stand) {
    if (stand->next_count == 0) {
        return sx_stand_plain_tie(policy, stand->mask, &stand->best);
    }
    double change[SX_TIE_STATES], value[SX_TIE_STATES];
    bool changes[SX_TIE_STATES];
    const int tie = policy->rules.target - 1;
    for (int lead = -1; lead <= 1; lead++) {
        for (int step = 0; step < SX_STEPS; step++) {
            const int at = sx_tie_state(lead, step);
            change[at] = change_value(policy, stand, tie + (lead > 0), tie + (lead < 0), step);
            changes[at] = true;
            value[at] = change[at];
        }
    }
    bool better = true;
    for (int round = 0; better && round < MOST_ROUNDS; round++) {
        better = false;
        for (int lead = -1; lead <= 1; lead++) {
            for (int step = 0; step < SX_STEPS; step++) {
                const int at = sx_tie_state(lead, step);
                if (changes[at] && tie_hold(policy, stand->mask, value, lead, step) > change[at]) {
                    changes[at] = false;
                    better = true;
                }
            }
        }
        if (better && !sx_stand_tie(policy, stand->mask, change, changes, value)) {
            return false;
        }
        for (int at = 0; at < SX_TIE_STATES; at++) {
            if (!changes[at] && value[at] < change[at] - SAME) {
                changes[at] = true;
                better = true;
            }
        }
    }
    memcpy(stand->best.tie, value, sizeof stand->best.tie);
    return true;
}

/* --- building --------------------------------------------------------------------------------- */

static int code_of(const SxStand *stand) {
    int code = 0;
    for (int m = SX_MAX_EXCHANGES - 1; m >= 0; m--) {
        code = STATES * code + (int)stand->state[m];
    }
    return code;
}

static int *index_of(const SxPolicy *policy, const SxStand *stand) {
    return &policy->index[code_of(stand) * (MOST_LEFT + 1) + stand->left];
}

/* The number of a solved stand, -1 if it is none. Without a limit the changes made are not counted:
 * the stand that has most left then stands for all. */
static int number_of(const SxPolicy *policy, SxStand stand, bool unlimited) {
    int number = *index_of(policy, &stand);
    while (unlimited && number < 0 && stand.left > 0) {
        stand.left--;
        number = *index_of(policy, &stand);
    }
    return number;
}

static SxStatus know_rates(SxPolicy *policy, unsigned mask, SxError *err) {
    if (policy->known[mask]) {
        return SX_OK;
    }
    SxStatus status = sx_set_input_check(&policy->rates[mask], &policy->rules, err);
    for (int step = 0; status == SX_OK && step < SX_STEPS; step++) {
        const int ours = sx_step_ours(step), theirs = sx_step_theirs(policy->track, step);
        policy->win[mask][step] = sx_step_phase(step) == SX_RECEIVE
                                      ? policy->rates[mask].receive[ours][theirs]
                                      : policy->rates[mask].serve[ours][theirs];
    }
    policy->known[mask] = status == SX_OK;
    return status;
}

static SxStatus solve_stand(SxPolicy *policy, SxStand *stand, SxError *err) {
    SxStatus status = know_rates(policy, stand->mask, err);
    if (status != SX_OK) {
        return status;
    }
    stand->best.table = malloc((sx_stand_cells(policy) + 1) * sizeof *stand->best.table);
    if (!stand->best.table) {
        return sx_out_of_memory(err);
    }
    if (policy->rules.cap == 0 && !solve_tie(policy, stand)) {
        return sx_fail(err, SX_BAD_INPUT,
                       "the set would never end: every side-out of both teams is certain");
    }
    fill_table(policy, stand);
    return SX_OK;
}

static SxStatus keep(SxPolicy *policy, const SxStand *stand, int *number, SxError *err) {
    if (policy->count == MOST_STANDS) {
        return sx_fail(err, SX_USAGE,
                       "these exchanges can be combined in more than %d ways; consider fewer",
                       MOST_STANDS);
    }
    if (policy->count == policy->room) {
        const int room = policy->room ? 2 * policy->room : 64;
        SxStand *grown = realloc(policy->stand, (size_t)room * sizeof *grown);
        if (!grown) {
            return sx_out_of_memory(err);
        }
        policy->stand = grown;
        policy->room = room;
    }
    policy->stand[policy->count] = *stand;
    *number = policy->count++;
    return SX_OK;
}

/* Solves a stand after all that it leads to. */
static SxStatus add_stand(SxPolicy *policy, SxStand stand, int *number, SxError *err) {
    int *known = index_of(policy, &stand);
    if (*known >= 0) {
        *number = *known;
        return SX_OK;
    }
    for (int m = 0; m < policy->exchanges.count; m++) {
        if (can_change(&policy->exchanges, &stand, m)) {
            SxStatus status = add_stand(policy, changed(&policy->exchanges, &stand, m),
                                        &stand.next[stand.next_count], err);
            if (status != SX_OK) {
                return status;
            }
            stand.next_count++;
        }
    }
    SxStatus status = solve_stand(policy, &stand, err);
    if (status == SX_OK) {
        status = keep(policy, &stand, known, err);
    }
    if (status != SX_OK) {
        free(stand.best.table);
        return status;
    }
    *number = *known;
    return SX_OK;
}

static SxStatus check_moves(const SxExchanges *exchanges, SxError *err) {
    if (exchanges->count < 0 || exchanges->count > SX_MAX_EXCHANGES) {
        return sx_fail(err, SX_USAGE, "0 to %d exchanges can be considered, not %d",
                       SX_MAX_EXCHANGES, exchanges->count);
    }
    for (int m = 0; m < exchanges->count; m++) {
        const SxExchange *exchange = &exchanges->exchange[m];
        if (exchange->cost < 1 || exchange->cost > SX_SLOTS || exchange->slots == 0 ||
            exchange->slots >= 1u << SX_SLOTS) {
            return sx_fail(err, SX_USAGE, "exchange %d changes no place or counts %d substitutions",
                           m + 1, exchange->cost);
        }
    }
    return SX_OK;
}

/* The moment's stand; SX_USAGE if the rules could not have led to it. */
static SxStatus stand_of(const SxExchanges *exchanges, const SxMoment *moment, SxStand *stand,
                         SxError *err) {
    *stand = (SxStand){.left = moment->left == SX_UNLIMITED ? SX_MANY_CHANGES : moment->left};
    if (stand->left < 0 || stand->left > MOST_LEFT) {
        return sx_fail(err, SX_USAGE, "0 to %d substitutions may be left, not %d", MOST_LEFT,
                       moment->left);
    }
    for (int m = 0; m < exchanges->count; m++) {
        SxExchangeState state = moment->exchange[m];
        if (state == SX_EXCHANGE_UNDONE && !leaves_a_trace(exchanges, m)) {
            state = SX_EXCHANGE_FRESH;
        }
        stand->state[m] = state;
        stand->mask |= (unsigned)(state == SX_EXCHANGE_MADE) << m;
        for (int k = 0; state == SX_EXCHANGE_MADE && k < m; k++) {
            if (moment->exchange[k] == SX_EXCHANGE_MADE &&
                !lets_make(exchanges, m, k, SX_EXCHANGE_MADE)) {
                return sx_fail(err, SX_USAGE, "exchanges %d and %d cannot both be made", k + 1,
                               m + 1);
            }
        }
    }
    return SX_OK;
}

static SxStatus check_moment(const SxMoment *from, SxError *err) {
    if (from->our_points < 0 || from->their_points < 0 || from->our_points > SX_MAX_POINTS ||
        from->their_points > SX_MAX_POINTS) {
        return sx_fail(err, SX_USAGE, "no such score: %d-%d", from->our_points, from->their_points);
    }
    return sx_serve_state_check(from->serve, err);
}

static void set_frame(SxPolicy *policy, const SxMoment *from) {
    const int end = policy->rules.cap > 0 ? policy->rules.cap : policy->rules.target;
    policy->track = sx_track_of(from->serve);
    policy->from_ours = from->our_points < end ? from->our_points : end;
    policy->from_theirs = from->their_points < end ? from->their_points : end;
    policy->width = end - policy->from_ours;
    policy->height = end - policy->from_theirs;
}

static SxStatus copy_moves(SxPolicy *policy, const SxExchanges *exchanges, SxError *err) {
    const size_t masks = (size_t)1 << exchanges->count;
    policy->exchanges = *exchanges;
    policy->rates = malloc(masks * sizeof *policy->rates);
    policy->index = malloc((size_t)CODES * (MOST_LEFT + 1) * sizeof *policy->index);
    if (!policy->rates || !policy->index) {
        return sx_out_of_memory(err);
    }
    memcpy(policy->rates, exchanges->rates, masks * sizeof *policy->rates);
    policy->exchanges.rates = policy->rates;
    for (int k = 0; k < CODES * (MOST_LEFT + 1); k++) {
        policy->index[k] = -1;
    }
    return SX_OK;
}

SxStatus sx_policy_new(const SxExchanges *exchanges, const SxSetRules *rules, const SxMoment *from,
                       SxPolicy **policy, SxError *err) {
    SxStand stand;
    int number;
    *policy = NULL;
    SxStatus status = check_moves(exchanges, err);
    if (status == SX_OK) {
        status = check_moment(from, err);
    }
    if (status == SX_OK) {
        status = stand_of(exchanges, from, &stand, err);
    }
    if (status != SX_OK) {
        return status;
    }
    SxPolicy *made = calloc(1, sizeof *made);
    if (!made) {
        return sx_out_of_memory(err);
    }
    made->rules = *rules;
    status = copy_moves(made, exchanges, err);
    if (status == SX_OK) {
        status = sx_set_input_check(&made->rates[stand.mask], rules, err);
    }
    if (status == SX_OK) {
        set_frame(made, from);
        status = add_stand(made, stand, &number, err);
    }
    if (status != SX_OK) {
        sx_policy_free(made);
        return status;
    }
    *policy = made;
    return SX_OK;
}

void sx_policy_free(SxPolicy *policy) {
    if (policy) {
        for (int k = 0; k < policy->count; k++) {
            free(policy->stand[k].best.table);
        }
        free(policy->stand);
        free(policy->rates);
        free(policy->index);
        free(policy);
    }
}

size_t sx_stand_cells(const SxPolicy *policy) {
    return (size_t)policy->width * (size_t)policy->height * SX_STEPS;
}

size_t sx_policy_states(const SxPolicy *policy) {
    return (size_t)policy->count * sx_stand_cells(policy);
}

/* --- asking ----------------------------------------------------------------------------------- */

SxStatus sx_stand_find(const SxPolicy *policy, const SxMoment *moment, int *number, int *step,
                       SxError *err) {
    SxStand asked;
    SxStatus status = check_moment(moment, err);
    if (status == SX_OK) {
        status = stand_of(&policy->exchanges, moment, &asked, err);
    }
    if (status != SX_OK) {
        return status;
    }
    *number = number_of(policy, asked, moment->left == SX_UNLIMITED);
    if (*number < 0 || sx_track_of(moment->serve) != policy->track ||
        moment->our_points < policy->from_ours || moment->their_points < policy->from_theirs) {
        return sx_fail(err, SX_USAGE, "this moment cannot follow the one that was solved");
    }
    *step = sx_step_of(moment->serve);
    return SX_OK;
}

static SxStatus find(const SxPolicy *policy, const SxMoment *moment, const SxStand **stand,
                     int *step, SxError *err) {
    int number;
    SxStatus status = sx_stand_find(policy, moment, &number, step, err);
    if (status == SX_OK) {
        *stand = &policy->stand[number];
    }
    return status;
}

int sx_stand_after(const SxPolicy *policy, const SxStand *stand, int m) {
    if (!can_change(&policy->exchanges, stand, m)) {
        return -1;
    }
    const SxStand next = changed(&policy->exchanges, stand, m);
    return *index_of(policy, &next);
}

SxStatus sx_policy_win(const SxPolicy *policy, const SxMoment *moment, double *win, SxError *err) {
    const SxStand *stand;
    int step;
    SxStatus status = find(policy, moment, &stand, &step, err);
    if (status == SX_OK) {
        *win = sx_stand_value(policy, &stand->best, moment->our_points, moment->their_points, step);
    }
    return status;
}

/* Gathers the choices by trying every order of changes, each exchange at most once. */
typedef struct {
    const SxPolicy *policy;
    const SxStand *first;
    int ours, theirs, step;
    SxChoice *choice;
    int count;
} Gathering;

static void gather(Gathering *g, const SxStand *stand, unsigned touched) {
    const unsigned make = stand->mask & ~g->first->mask, undo = g->first->mask & ~stand->mask;
    for (int k = 0; k < g->count; k++) {
        if (g->choice[k].make == make && g->choice[k].undo == undo) {
            return;
        }
    }
    if (g->count == SX_MAX_CHOICES) {
        return;
    }
    const bool over = sx_set_winner(&g->policy->rules, g->ours, g->theirs) != 0;
    g->choice[g->count++] = (SxChoice){
        .make = make,
        .undo = undo,
        .changes = g->first->left - stand->left,
        .win = over ? sx_stand_value(g->policy, &stand->best, g->ours, g->theirs, g->step)
                    : hold_value(g->policy, stand, g->ours, g->theirs, g->step)};
    for (int m = 0; m < g->policy->exchanges.count; m++) {
        const int next = touched >> m & 1 ? -1 : sx_stand_after(g->policy, stand, m);
        if (next >= 0) {
            gather(g, &g->policy->stand[next], touched | 1u << m);
        }
    }
}

int sx_by_win(const void *a, const void *b) {
    const SxChoice *first = a, *second = b;
    if (fabs(first->win - second->win) > SAME) {
        return first->win > second->win ? -1 : 1;
    }
    if (first->changes != second->changes) {
        return first->changes - second->changes;
    }
    const unsigned x = first->make | first->undo, y = second->make | second->undo;
    return x < y ? -1 : x > y;
}

SxStatus sx_policy_choices(const SxPolicy *policy, const SxMoment *moment,
                           SxChoice choice[SX_MAX_CHOICES], int *count, SxError *err) {
    const SxStand *stand;
    int step;
    SxStatus status = find(policy, moment, &stand, &step, err);
    if (status != SX_OK) {
        return status;
    }
    Gathering g = {policy, stand, moment->our_points, moment->their_points, step, choice, 0};
    gather(&g, stand, 0);
    qsort(choice, (size_t)g.count, sizeof *choice, sx_by_win);
    *count = g.count;
    return SX_OK;
}

SxMoment sx_moment_after(const SxExchanges *exchanges, const SxMoment *moment,
                         const SxChoice *choice, bool won) {
    SxMoment next = *moment;
    for (int m = 0; m < exchanges->count; m++) {
        if (choice->make >> m & 1) {
            next.exchange[m] = SX_EXCHANGE_MADE;
        } else if (choice->undo >> m & 1) {
            next.exchange[m] = SX_EXCHANGE_UNDONE;
        }
    }
    next.left -= next.left == SX_UNLIMITED ? 0 : choice->changes;
    const bool side_out = (moment->serve.phase == SX_RECEIVE) == won;
    next.our_points += won;
    next.their_points += !won;
    if (side_out) {
        int *rotation = won ? &next.serve.ours : &next.serve.theirs;
        *rotation = (*rotation + 1) % SX_ROTATIONS;
        next.serve.phase = won ? SX_SERVE : SX_RECEIVE;
    }
    return next;
}

SxStatus sx_policy_win_without(const SxPolicy *policy, const SxMoment *moment, double *win,
                               SxError *err) {
    const SxStand *stand;
    int step;
    SxSetChain *chain;
    SxStatus status = find(policy, moment, &stand, &step, err);
    if (status == SX_OK) {
        status = sx_set_chain_new(&policy->rates[stand->mask], &policy->rules, &chain, err);
    }
    if (status == SX_OK) {
        *win = sx_set_chain_win(chain, moment->our_points, moment->their_points, moment->serve);
        sx_set_chain_free(chain);
    }
    return status;
}

/* --- the next change -------------------------------------------------------------------------- */

/* Play after the tie is followed for so many rallies; what is left then is below any digit shown.
 */
enum { MOST_RALLIES = 400 };

/* Sets that have not been changed yet, by lead (from -MOST to MOST) and step, for one number of
 * rallies played. */
enum { MOST_LEAD = SX_MAX_POINTS, LEAD_COUNT = 2 * MOST_LEAD + 1 };

typedef struct {
    unsigned make, undo;
    double chance[SX_STEPS];
} FirstChange;

typedef struct {
    const SxPolicy *policy;
    const SxStand *stand;
    FirstChange first[SX_MAX_CHOICES];
    int count;
    SxNextChange *next;
} Watch;

static bool changes_now(const Watch *watch, int ours, int theirs, int step) {
    return change_value(watch->policy, watch->stand, ours, theirs, step) >
           hold_value(watch->policy, watch->stand, ours, theirs, step) + SAME;
}

static void note_change(Watch *watch, int ours, int theirs, int step, double chance) {
    SxChoice choice[SX_MAX_CHOICES];
    Gathering g = {watch->policy, watch->stand, ours, theirs, step, choice, 0};
    gather(&g, watch->stand, 0);
    qsort(choice, (size_t)g.count, sizeof *choice, sx_by_win);
    int k = 0;
    while (k < watch->count &&
           (watch->first[k].make != choice[0].make || watch->first[k].undo != choice[0].undo)) {
        k++;
    }
    if (k == watch->count) {
        watch->first[watch->count++] =
            (FirstChange){.make = choice[0].make, .undo = choice[0].undo};
    }
    watch->first[k].chance[step] += chance;
    watch->next->ever += chance;
    watch->next->our_points += chance * ours;
    watch->next->their_points += chance * theirs;
}

/* One rally on: from `now` to `then`. Returns the chance that is still to be followed. */
static double follow(Watch *watch, int points, double (*now)[SX_STEPS], double (*then)[SX_STEPS]) {
    double open = 0;
    for (int l = 0; l < LEAD_COUNT; l++) {
        const int lead = l - MOST_LEAD, ours = (points + lead) / 2, theirs = points - ours;
        for (int step = 0; step < SX_STEPS; step++) {
            const double chance = now[l][step];
            now[l][step] = 0;
            if (!(chance > 0) || sx_set_winner(&watch->policy->rules, ours, theirs) != 0) {
                continue;
            }
            if (changes_now(watch, ours, theirs, step)) {
                note_change(watch, ours, theirs, step, chance);
                continue;
            }
            const double p = watch->policy->win[watch->stand->mask][step];
            then[l + 1][step_after(step, true)] += chance * p;
            then[l - 1][step_after(step, false)] += chance * (1 - p);
            open += chance;
        }
    }
    return open;
}

static void sum_up(const Watch *watch) {
    SxNextChange *next = watch->next;
    for (int k = 0; k < watch->count; k++) {
        for (int step = 0; step < SX_STEPS; step++) {
            if (watch->first[k].chance[step] > next->chance) {
                next->chance = watch->first[k].chance[step];
                next->make = watch->first[k].make;
                next->undo = watch->first[k].undo;
                next->ours = sx_step_ours(step);
                next->phase = sx_step_phase(step);
            }
        }
    }
    if (next->ever > 0) {
        next->our_points /= next->ever;
        next->their_points /= next->ever;
    }
}

SxStatus sx_policy_next(const SxPolicy *policy, const SxMoment *moment, SxNextChange *next,
                        SxError *err) {
    Watch watch = {.policy = policy, .next = next};
    int step;
    memset(next, 0, sizeof *next);
    SxStatus status = find(policy, moment, &watch.stand, &step, err);
    if (status != SX_OK) {
        return status;
    }
    double(*board)[LEAD_COUNT][SX_STEPS] = calloc(2, sizeof *board);
    if (!board) {
        return sx_out_of_memory(err);
    }
    int points = moment->our_points + moment->their_points;
    board[0][moment->our_points - moment->their_points + MOST_LEAD][step] = 1;
    for (int rally = 0; rally < MOST_RALLIES; rally++, points++) {
        if (!(follow(&watch, points, board[rally % 2], board[(rally + 1) % 2]) > 0)) {
            break;
        }
    }
    free(board);
    sum_up(&watch);
    return SX_OK;
}
