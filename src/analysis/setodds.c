/* The exact set chain: the odds of a set from every score, both rotations and the server. */
#include "sixturn/setodds.h"

#include "analysis/setchain.h"

#include <assert.h>
#include <stdlib.h>
#include <string.h>

void sx_rates_by_rotation(const double side_out[SX_ROTATIONS],
                          const double break_point[SX_ROTATIONS], SxRates *rates) {
    for (int ours = 0; ours < SX_ROTATIONS; ours++) {
        for (int theirs = 0; theirs < SX_ROTATIONS; theirs++) {
            rates->receive[ours][theirs] = side_out[ours];
            rates->serve[ours][theirs] = break_point[ours];
        }
    }
}

void sx_rates_mirror(const SxRates *rates, SxRates *theirs) {
    SxRates mirrored;
    for (int i = 0; i < SX_ROTATIONS; i++) {
        for (int j = 0; j < SX_ROTATIONS; j++) {
            mirrored.receive[j][i] = 1 - rates->serve[i][j];
            mirrored.serve[j][i] = 1 - rates->receive[i][j];
        }
    }
    *theirs = mirrored;
}

bool sx_chain_at_tie(const SxSetChain *chain, int ours, int theirs) {
    return chain->rules.cap == 0 && ours == chain->rules.target - 1 && theirs == ours;
}

static double *cell(const SxSetChain *chain, int ours, int theirs) {
    return chain->table +
           ((size_t)ours * (size_t)(chain->limit + 1) + (size_t)theirs) * SX_SERVE_STATES;
}

static void fill_cell(SxSetChain *chain, int ours, int theirs) {
    double *here = cell(chain, ours, theirs);
    const int over = sx_set_winner(&chain->rules, ours, theirs);
    if (over != 0) {
        for (int s = 0; s < SX_SERVE_STATES; s++) {
            here[s] = over > 0;
        }
        return;
    }
    if (sx_chain_at_tie(chain, ours, theirs)) {
        for (int t = 0; t < SX_TRACKS; t++) {
            memcpy(here + t * SX_STEPS, chain->tie[t].win, sizeof chain->tie[t].win);
        }
        return;
    }
    if (ours == chain->limit || theirs == chain->limit) {
        return; /* only reached from a tie, never looked up */
    }
    const double *won = cell(chain, ours + 1, theirs), *lost = cell(chain, ours, theirs + 1);
    for (int t = 0; t < SX_TRACKS; t++) {
        const double *p = chain->win[t];
        for (int k = 0; k < SX_STEPS; k += 2) {
            const int receive = t * SX_STEPS + k, serve = receive + 1;
            const int after = t * SX_STEPS + (k + 2) % SX_STEPS;
            here[receive] = p[k] * won[serve] + (1 - p[k]) * lost[receive];
            here[serve] = p[k + 1] * won[serve] + (1 - p[k + 1]) * lost[after];
        }
    }
}

static SxStatus check_rates(const SxRates *rates, SxError *err) {
    for (int i = 0; i < SX_ROTATIONS; i++) {
        for (int j = 0; j < SX_ROTATIONS; j++) {
            for (int phase = 0; phase < SX_PHASES; phase++) {
                const double rate = phase == SX_RECEIVE ? rates->receive[i][j] : rates->serve[i][j];
                if (!(rate >= 0 && rate <= 1)) {
                    return sx_fail(err, SX_BAD_INPUT,
                                   "our chance to win a rally when we %s in rotation %d and they "
                                   "are in rotation %d is %g; it must be from 0 to 1",
                                   phase == SX_RECEIVE ? "receive" : "serve", i + 1, j + 1, rate);
                }
            }
        }
    }
    return SX_OK;
}

static SxStatus check_rules(const SxSetRules *rules, SxError *err) {
    if (rules->target < 1 || rules->target > SX_MAX_POINTS) {
        return sx_fail(err, SX_BAD_INPUT, "a set goes to 1 to %d points, not to %d", SX_MAX_POINTS,
                       rules->target);
    }
    if (rules->cap != 0 && (rules->cap < rules->target || rules->cap > SX_MAX_POINTS)) {
        return sx_fail(err, SX_BAD_INPUT,
                       "the cap of a set to %d points is 0 (none) or %d to %d, not %d",
                       rules->target, rules->target, SX_MAX_POINTS, rules->cap);
    }
    return SX_OK;
}

SxStatus sx_set_input_check(const SxRates *rates, const SxSetRules *rules, SxError *err) {
    SxStatus status = check_rules(rules, err);
    return status == SX_OK ? check_rates(rates, err) : status;
}

SxStatus sx_serve_state_check(SxServeState state, SxError *err) {
    if (state.ours < 0 || state.ours >= SX_ROTATIONS || state.theirs < 0 ||
        state.theirs >= SX_ROTATIONS || (state.phase != SX_RECEIVE && state.phase != SX_SERVE)) {
        return sx_fail(err, SX_USAGE, "no such start: our rotation %d, their rotation %d",
                       state.ours + 1, state.theirs + 1);
    }
    return SX_OK;
}

SxStatus sx_set_never_ends(int track, SxError *err) {
    return sx_fail(err, SX_BAD_INPUT,
                   "the set would never end: when our rotation 1 receives against their rotation "
                   "%d, every later side-out of both teams is certain",
                   track + 1);
}

static SxStatus solve_ties(SxSetChain *chain, SxError *err) {
    for (int t = 0; t < SX_TRACKS; t++) {
        if (!sx_tie_solve(chain->win[t], &chain->tie[t])) {
            return sx_set_never_ends(t, err);
        }
    }
    return SX_OK;
}

void sx_order_by_step(const SxRates *rates, double win[SX_TRACKS][SX_STEPS]) {
    for (int t = 0; t < SX_TRACKS; t++) {
        for (int k = 0; k < SX_STEPS; k++) {
            const int ours = sx_step_ours(k), theirs = sx_step_theirs(t, k);
            win[t][k] = sx_step_phase(k) == SX_RECEIVE ? rates->receive[ours][theirs]
                                                       : rates->serve[ours][theirs];
        }
    }
}

SxStatus sx_set_chain_new(const SxRates *rates, const SxSetRules *rules, SxSetChain **chain,
                          SxError *err) {
    *chain = NULL;
    SxStatus status = sx_set_input_check(rates, rules, err);
    if (status != SX_OK) {
        return status;
    }
    SxSetChain *made = calloc(1, sizeof *made);
    const int limit = rules->cap > 0 ? rules->cap : rules->target;
    const size_t side = (size_t)limit + 1;
    double *table = malloc(side * side * SX_SERVE_STATES * sizeof *table);
    if (!made || !table) {
        free(made);
        free(table);
        return sx_out_of_memory(err);
    }
    made->rules = *rules;
    made->limit = limit;
    made->table = table;
    sx_order_by_step(rates, made->win);
    if (rules->cap == 0) {
        status = solve_ties(made, err);
    }
    if (status != SX_OK) {
        sx_set_chain_free(made);
        return status;
    }
    for (int ours = limit; ours >= 0; ours--) {
        for (int theirs = limit; theirs >= 0; theirs--) {
            fill_cell(made, ours, theirs);
        }
    }
    *chain = made;
    return SX_OK;
}

void sx_set_chain_free(SxSetChain *chain) {
    if (chain) {
        free(chain->table);
        free(chain);
    }
}

double sx_chain_win(const SxSetChain *chain, int ours, int theirs, int track, int step) {
    const int over = sx_set_winner(&chain->rules, ours, theirs);
    if (over != 0) {
        return over > 0;
    }
    const int tie = chain->rules.target - 1;
    if (chain->rules.cap > 0 || ours < tie || theirs < tie) {
        return cell(chain, ours, theirs)[track * SX_STEPS + step];
    }
    /* beyond target - 1 all only the lead counts */
    const double *value = chain->tie[track].win;
    const double rally = chain->win[track][step];
    const int next = (step + 1) % SX_STEPS;
    if (ours == theirs) {
        return value[step];
    }
    return ours > theirs
               ? rally + (1 - rally) * value[sx_step_phase(step) == SX_SERVE ? next : step]
               : rally * value[sx_step_phase(step) == SX_RECEIVE ? next : step];
}

double sx_set_chain_win(const SxSetChain *chain, int our_points, int their_points,
                        SxServeState state) {
    assert(our_points >= 0 && their_points >= 0);
    return sx_chain_win(chain, our_points, their_points, sx_track_of(state), sx_step_of(state));
}
