/* A lineup's own substitutions as an exchange: both sixes in all rotations. */
#include "sixturn/ownchange.h"

#include "analysis/exchangerates.h"
#include "analysis/stops.h"

#include <stdio.h>
#include <string.h>

static bool is_shared(const SxLineup *lineup, int s) {
    return lineup->order.front[s] != lineup->order.back[s];
}

/* All places that two players share change at once: one, or two opposite ones. */
static bool find_places(const SxLineup *lineup, int start, SxConsidered *it) {
    *it = (SxConsidered){.use = SX_AS_PLANNED};
    for (int s = 0; s < SX_SLOTS; s++) {
        if (!is_shared(lineup, s)) {
            continue;
        }
        if (it->places > 0 && s != it->slot[0] + SX_SLOTS / 2) {
            return false;
        }
        const int starts = sx_slot_player(lineup, start, s);
        it->slot[it->places] = s;
        it->out[it->places] = starts;
        it->in[it->places++] = lineup->order.front[s] + lineup->order.back[s] - starts;
    }
    return it->places > 0;
}

static void find_rotations(const SxLineup *lineup, SxOwnChange *own) {
    const SxConsidered *it = &own->exchange;
    for (int r = 0; r < SX_ROTATIONS; r++) {
        const bool starts = sx_slot_player(lineup, r, it->slot[0]) == it->out[0];
        own->stay.planned[r] = starts;
        own->come.planned[r] = !starts;
    }
}

static void take_rotation(SxRates *to, const SxRates *from, int r) {
    memcpy(to->receive[r], from->receive[r], sizeof to->receive[r]);
    memcpy(to->serve[r], from->serve[r], sizeof to->serve[r]);
}

/* Of a set if nobody changes, from any start and against any of theirs. */
static SxStatus value(const SxRates *rates, const SxSetRules *rules, double *win, SxError *err) {
    SxSetChain *chain;
    SxStartOdds odds;
    SxStatus status = sx_set_chain_new(rates, rules, &chain, err);
    if (status != SX_OK) {
        return status;
    }
    sx_start_odds(chain, &odds);
    sx_set_chain_free(chain);
    *win = 0;
    for (int phase = 0; phase < SX_PHASES; phase++) {
        for (int r = 0; r < SX_ROTATIONS; r++) {
            *win += odds.mean[phase][r];
        }
    }
    return SX_OK;
}

/* The way to play on that goes best with the planned rotations of the six; found: there is one. */
static SxStatus find_way(const Stops *stops, const SxRates *planned, const SxSetRules *rules,
                         SxOwnSix *six, bool *found, SxError *err) {
    double best = -1;
    for (int k = 0; k < stops->count; k++) {
        const int before = (stops->stop[k].rotation + SX_ROTATIONS - 1) % SX_ROTATIONS;
        SxRates rates = *stops->stop[k].rates;
        double win;
        if (!six->planned[before]) {
            continue; /* it is the other six that plays on so */
        }
        for (int r = 0; r < SX_ROTATIONS; r++) {
            if (six->planned[r]) {
                take_rotation(&rates, planned, r);
            }
        }
        const SxStatus status = value(&rates, rules, &win, err);
        if (status != SX_OK) {
            return status;
        }
        if (win > best) {
            best = win;
            six->rates = rates;
            snprintf(six->system, sizeof six->system, "%s", stops->after[k].system);
        }
    }
    *found = *found && best >= 0;
    return SX_OK;
}

static SxStatus find_ways(const Stops *stops, const SxProblem *problem, const SxLineup *lineup,
                          const SxFixture *fixture, SxOwnChange *own, SxError *err) {
    SxRates planned;
    SxSetRules rules;
    sx_lineup_rates(lineup, fixture, &planned);
    own->found = true;
    SxStatus status = sx_set_rules_of(problem->rules, false, &rules, err);
    if (status == SX_OK) {
        status = find_way(stops, &planned, &rules, &own->stay, &own->found, err);
    }
    return status == SX_OK ? find_way(stops, &planned, &rules, &own->come, &own->found, err)
                           : status;
}

SxStatus sx_own_change(const SxProblem *problem, const SxLineup *lineup, const SxFixture *fixture,
                       int start, SxOwnChange *own, SxError *err) {
    Shelf *shelf = NULL;
    Stops stops;
    memset(own, 0, sizeof *own);
    memset(&stops, 0, sizeof stops);
    if (!find_places(lineup, start, &own->exchange)) {
        return SX_OK;
    }
    find_rotations(lineup, own);
    SxStatus status = sx_shelf_new(problem, fixture, &shelf, err);
    if (status == SX_OK) {
        status = sx_stops_list(shelf, lineup, &stops, err);
    }
    if (status == SX_OK) {
        status = find_ways(&stops, problem, lineup, fixture, own, err);
    }
    sx_stops_free(&stops);
    sx_shelf_free(shelf);
    return status;
}

void sx_own_change_turn(SxOwnChange *own) {
    const SxOwnSix stay = own->stay;
    SxConsidered *it = &own->exchange;
    own->stay = own->come;
    own->come = stay;
    for (int k = 0; k < it->places; k++) {
        const int out = it->out[k];
        it->out[k] = it->in[k];
        it->in[k] = out;
    }
}

/* Other exchanges change the rotations that are not planned as they change the planned ones. */
static void rates_with(const SxOwnSix *six, const SxRates *base, const SxRates *planned,
                       SxRates *out) {
    SxRates moved = *planned;
    sx_move_rates(&six->rates, base, &moved);
    for (int r = 0; r < SX_ROTATIONS; r++) {
        take_rotation(out, six->planned[r] ? planned : &moved, r);
    }
}

static void add_own(const SxOwnChange *own, int count, SxExchanges *exchanges, SxRates *rates) {
    const SxConsidered *it = &own->exchange;
    const SxRates base = rates[0];
    const unsigned made = 1u << count;
    SxExchange *exchange = &exchanges->exchange[count];
    exchange->cost = it->places;
    for (int k = 0; k < it->places; k++) {
        exchange->slots |= 1u << it->slot[k];
        exchange->players |= (uint64_t)1 << it->in[k];
    }
    exchanges->count = count + 1;
    for (unsigned mask = 0; mask < made; mask++) {
        const SxRates planned = rates[mask];
        rates_with(&own->stay, &base, &planned, &rates[mask]);
        rates_with(&own->come, &base, &planned, &rates[made + mask]);
    }
}

SxStatus sx_consider_with_own(const SxProblem *problem, const SxLineup *lineup,
                              const SxFixture *fixture, const SxConsidered *considered, int count,
                              const SxOwnChange *own, SxExchanges *exchanges, SxRates *rates,
                              SxError *err) {
    const bool adds = own && own->found;
    if (adds && count >= SX_MAX_EXCHANGES) {
        return sx_fail(err, SX_USAGE,
                       "0 to %d exchanges can be considered beside the lineup's own, not %d",
                       SX_MAX_EXCHANGES - 1, count);
    }
    const SxStatus status =
        sx_consider_these(problem, lineup, fixture, considered, count, exchanges, rates, err);
    if (status == SX_OK && adds) {
        add_own(own, count, exchanges, rates);
    }
    return status;
}
