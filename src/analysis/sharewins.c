/* Sets that share playing time, each lineup chosen anew to win most sets. */
#include "sixturn/shares.h"

#include "analysis/sharesets.h"
#include "sixturn/bestset.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

typedef struct {
    const SxWork *run;
    SxPlan without; /* the plan without shares */
    SxPlan plan;    /* and with what one set has to give */
    SxProblem problem;
    /* Rotations that a set has to give. */
    signed char owes[SX_MAX_SHARED_SETS][SX_MAX_PLAYERS];
} Work;

/* What a player gets beyond her share is not asked of the sets: the first gives it back. */
static void share_out(const SxShares *shares, int player, Work *work) {
    int left = shares->need[player];
    for (int n = shares->sets - 1; n >= 0; n--) {
        const int given = shares->got[player][n] < left ? shares->got[player][n] : left;
        work->owes[n][player] = (signed char)given;
        left -= given;
    }
}

/* The lineup that was chosen by score keeps the wishes too, and is there if the time is up; none
 * wins more than `most`. */
static SxStatus win_more(Work *work, double most, SxLineup *lineup, SxError *err) {
    SxLineup best;
    SxStatus status = sx_lineup_win(&work->problem, lineup, err);
    if (status != SX_OK) {
        return status;
    }
    lineup->proof = SX_FEASIBLE;
    lineup->win_bound = most;
    status = sx_best_lineup(&work->problem, work->run, &best, err);
    if (status == SX_OK && (best.proof == SX_OPTIMAL || best.win > lineup->win)) {
        *lineup = best;
    } else if (status == SX_OK) {
        lineup->win_bound = fmin(best.win_bound, most);
    }
    return status == SX_OUT_OF_TIME ? SX_OK
           : status == SX_NO        ? sx_fail(err, SX_INTERNAL, "a set breaks a wish")
                                    : status;
}

static int more_sets_first(const void *a, const void *b) {
    const SxLineup *left = a, *right = b;
    if (left->win != right->win) {
        return left->win > right->win ? -1 : 1;
    }
    return memcmp(left->order.front, right->order.front, sizeof left->order.front);
}

static SxStatus choose(Work *work, int players, SxShares *shares, SxError *err) {
    SxStatus status = SX_OK;
    for (int p = 0; p < players; p++) {
        share_out(shares, p, work);
    }
    for (int n = 0; n < shares->sets && status == SX_OK; n++) {
        if (n > 0 && memcmp(work->owes[n], work->owes[n - 1], sizeof work->owes[n]) == 0) {
            shares->set[n] = shares->set[n - 1];
            continue;
        }
        work->plan = work->without;
        status = sx_shares_ask(&work->plan, work->owes[n], players, err);
        if (status == SX_OK) {
            status = win_more(work, shares->free.win_bound, &shares->set[n], err);
        }
    }
    return status;
}

SxStatus sx_shares_to_win(const SxProblem *problem, const SxWork *run, SxShares *shares,
                          SxError *err) {
    Work *work = calloc(1, sizeof *work);
    if (!work) {
        return sx_out_of_memory(err);
    }
    work->run = run;
    work->without = *problem->plan;
    sx_plan_drop_wishes(&work->without, SX_MIN_ROTATIONS);
    work->plan = work->without;
    work->problem = *problem;
    work->problem.plan = &work->plan;
    SxStatus status = sx_best_lineup(&work->problem, run, &shares->free, err);
    if (status == SX_OK) {
        status = choose(work, problem->team->player_count, shares, err);
    }
    free(work);
    if (status == SX_OK) {
        qsort(shares->set, (size_t)shares->sets, sizeof shares->set[0], more_sets_first);
        sx_shares_count(shares);
        shares->by_sets = true;
        for (int n = 0; n < shares->sets; n++) {
            shares->win += shares->set[n].win / shares->sets;
            shares->win_bound += shares->set[n].win_bound / shares->sets;
        }
    }
    return status;
}
