/* The bench during a set: what the rules allow after the substitutions made so far. */
#include "sixturn/bench.h"

enum { NOWHERE = -1 };

void sx_bench_start(const SxRules *rules, const SxTeam *team, const int starters[SX_SLOTS],
                    const int *liberos, int count, SxBench *out) {
    *out = (SxBench){.rules = rules, .players = team->player_count};
    for (int p = 0; p < SX_MAX_PLAYERS; p++) {
        out->place[p] = NOWHERE;
    }
    for (int s = 0; s < SX_SLOTS; s++) {
        out->starter[s] = out->holder[s] = starters[s];
        out->place[starters[s]] = s;
    }
    for (int k = 0; k < count; k++) {
        out->libero[liberos[k]] = true;
    }
}

static int place_of(const SxBench *bench, int player) {
    for (int s = 0; s < SX_SLOTS; s++) {
        if (bench->holder[s] == player) {
            return s;
        }
    }
    return NOWHERE;
}

/* FIVB 15.6. */
static SxSwapVerdict judge_once(const SxBench *bench, SxSwap swap, int slot) {
    const int starter = bench->starter[slot];
    if (swap.out != starter) {
        return swap.in == starter ? SX_SWAP_ALLOWED : SX_SWAP_HER_STARTER;
    }
    return bench->left[slot] > 0 || bench->place[swap.in] != NOWHERE ? SX_SWAP_SPENT
                                                                     : SX_SWAP_ALLOWED;
}

SxSwapVerdict sx_bench_judge(const SxBench *bench, SxSwap swap) {
    const int slot = place_of(bench, swap.out);
    if (bench->libero[swap.out] || bench->libero[swap.in]) {
        return SX_SWAP_LIBERO;
    }
    if (slot == NOWHERE) {
        return SX_SWAP_NOT_ON_COURT;
    }
    if (place_of(bench, swap.in) != NOWHERE) {
        return SX_SWAP_ON_COURT;
    }
    if (bench->place[swap.in] != NOWHERE && bench->place[swap.in] != slot) {
        return SX_SWAP_OTHER_PLACE;
    }
    if (sx_bench_left(bench) == 0) {
        return SX_SWAP_NONE_LEFT;
    }
    return bench->rules->reentry == SX_REENTRY_SAME_SLOT ? SX_SWAP_ALLOWED
                                                         : judge_once(bench, swap, slot);
}

SxSwapVerdict sx_bench_make(SxBench *bench, SxSwap swap) {
    const SxSwapVerdict verdict = sx_bench_judge(bench, swap);
    if (verdict == SX_SWAP_ALLOWED) {
        const int slot = place_of(bench, swap.out);
        bench->left[slot] += swap.out == bench->starter[slot];
        bench->holder[slot] = swap.in;
        bench->place[swap.in] = slot;
        bench->made++;
    }
    return verdict;
}

bool sx_bench_may_return(const SxBench *bench, int player, int *place) {
    *place = bench->place[player];
    return *place != NOWHERE &&
           sx_bench_judge(bench, (SxSwap){bench->holder[*place], player}) == SX_SWAP_ALLOWED;
}

int sx_bench_left(const SxBench *bench) {
    const int most = bench->rules->substitutions;
    return most == SX_UNLIMITED ? SX_UNLIMITED : bench->made < most ? most - bench->made : 0;
}

const char *sx_swap_reason(SxSwapVerdict verdict) {
    switch (verdict) {
    case SX_SWAP_NONE_LEFT:
        return "the substitutions of this set are used up";
    case SX_SWAP_NOT_ON_COURT:
        return "who is to leave is not on court";
    case SX_SWAP_ON_COURT:
        return "who is to come in is on court already";
    case SX_SWAP_LIBERO:
        return "a libero is replaced, not substituted";
    case SX_SWAP_OTHER_PLACE:
        return "she has played in another place of the order in this set";
    case SX_SWAP_HER_STARTER:
        return "a substitute leaves only for the starter whom she came in for (FIVB 15.6)";
    case SX_SWAP_SPENT:
        return "a starter leaves and comes back once, a substitute comes in once (FIVB 15.6)";
    default:
        return "";
    }
}
