/* What a skill is worth, found by solving again with other ratings.
 *
 * The best score with a player in the lineup never falls when a skill of hers rises (no weight is
 * negative), and the best score without her does not move: so what is enough for an order with her
 * bounds the least raise, and a search for less of it refutes the rest. */
#include "sixturn/worth.h"

#include "analysis/bestabove.h"
#include "analysis/parallel.h"
#include "sixturn/bestset.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Closer to a hundredth than this is that hundredth. */
static const double ROUNDING = 1e-7;

/* Copies of the problem that may be changed. */
typedef struct {
    SxTeam team;
    SxPlan plan;
    SxProblem problem;
} Copy;

static Copy *copy_problem(const SxProblem *problem, SxError *err) {
    Copy *copy = malloc(sizeof *copy);
    if (!copy) {
        sx_out_of_memory(err);
        return NULL;
    }
    copy->team = *problem->team;
    copy->plan = *problem->plan;
    copy->problem = *problem;
    copy->problem.team = &copy->team;
    copy->problem.plan = &copy->plan;
    return copy;
}

/* --- the least raise ----------------------------------------------------------------------------
 */

typedef struct {
    const SxProblem *problem;
    SxWorth *out;
    double without; /* best value with the player sitting */
    SxWork alone;
} Raising;

static void raise_skill(const SxTeam *from, int player, int which, int hundredths, SxTeam *to) {
    for (int k = 0; k < SX_SKILL_COUNT; k++) {
        double skill = from->players[player].skill[k];
        if (k == which || which == SX_ALL_SKILLS) {
            double raised = skill + (double)hundredths / SX_STEPS_A_POINT;
            skill = fmin(raised, fmax(skill, SX_SKILL_MAX));
        }
        to->players[player].skill[k] = skill;
    }
}

static int room_to_rise(const SxPlayer *player, int which) {
    double least = SX_SKILL_MAX;
    for (int k = 0; k < SX_SKILL_COUNT; k++) {
        if (k == which || which == SX_ALL_SKILLS) {
            least = fmin(least, player->skill[k]);
        }
    }
    return (int)ceil((SX_SKILL_MAX - least) * SX_STEPS_A_POINT - ROUNDING);
}

/* The problem after a raise. */
static Copy *copy_raised(const Raising *raising, int which, int hundredths, SxError *err) {
    Copy *copy = copy_problem(raising->problem, err);
    if (copy) {
        raise_skill(raising->problem->team, raising->out->player, which, hundredths, &copy->team);
    }
    return copy;
}

static SxStatus must_play(Copy *copy, int player, SxError *err) {
    return sx_plan_wish(&copy->plan, SX_MUST_PLAY, player, -1, 0, "worth", err);
}

/* Does the best lineup hold the player after the raise? Only if it is as good as any without her;
 * when both are equally good, canonical order says. *order is then one that does. */
static SxStatus enters(const Raising *raising, int which, int hundredths, bool *in, SxOrder *order,
                       SxError *err) {
    const double tie = sx_value_tie(raising->problem);
    const int player = raising->out->player;
    SxLineup lineup;
    *in = false;
    Copy *copy = copy_raised(raising, which, hundredths, err);
    if (!copy) {
        return SX_NO_MEMORY;
    }
    SxStatus status = must_play(copy, player, err);
    if (status == SX_OK) {
        status = sx_only_proven(sx_value_above(&copy->problem, raising->without - 2 * tie,
                                               &raising->alone, &lineup, err),
                                &lineup, err);
    }
    const double lead = status == SX_OK ? sx_value(&copy->problem, &lineup) - raising->without : 0;
    *in = status == SX_OK && lead > tie;
    if (status == SX_OK && fabs(lead) <= tie) {
        copy->plan.wish_count--;
        status = sx_only_proven(sx_best_lineup(&copy->problem, &raising->alone, &lineup, err),
                                &lineup, err);
        *in = status == SX_OK && sx_lineup_has(&lineup, player);
    }
    if (*in) {
        *order = lineup.order;
    }
    free(copy);
    return status == SX_NO ? SX_OK : status;
}

/* Is this order with her worth more than the best lineup without her? Where that cannot be told
 * for lack of memory, a search will. */
static bool order_leads(const Raising *raising, int which, int hundredths, const SxOrder *order) {
    SxError none = {.status = SX_OK};
    double value = -INFINITY;
    Copy *copy = copy_raised(raising, which, hundredths, &none);
    if (copy && must_play(copy, raising->out->player, &none) == SX_OK) {
        (void)sx_order_value(&copy->problem, order, &value, &none);
    }
    free(copy);
    return value > raising->without + sx_value_tie(raising->problem);
}

/* The least raise above `low` with which this order leads, `high` if none below it does. */
static int least_for_order(const Raising *raising, int which, int low, int high,
                           const SxOrder *order) {
    while (high - low > 1) {
        const int middle = low + (high - low) / 2;
        *(order_leads(raising, which, middle, order) ? &high : &low) = middle;
    }
    return high;
}

static SxStatus find_lineup(const Raising *raising, int which, SxRaise *raise, SxError *err) {
    Copy *copy = copy_raised(raising, which, raise->raise, err);
    if (!copy) {
        return SX_NO_MEMORY;
    }
    SxStatus status = sx_only_proven(
        sx_best_lineup(&copy->problem, &raising->alone, &raise->lineup, err), &raise->lineup, err);
    free(copy);
    return status == SX_OK ? sx_difference(raising->problem, &raising->out->best, &raise->lineup,
                                           &raise->difference, err)
                           : status;
}

/* A lineup that holds her after a raise may need less of it, which takes no search to find: that
 * is where to look next. Mostly nothing less will do; after a few orders halving takes over. */
static SxStatus least_raise(void *context, int which, SxError *err) {
    enum { ORDERS = 4 };
    Raising *raising = context;
    SxRaise *raise = &raising->out->raise[which];
    SxOrder order;
    int low = 0; /* not enough */
    int high = room_to_rise(&raising->problem->team->players[raising->out->player], which);
    SxStatus status = high > 0 ? enters(raising, which, high, &raise->enough, &order, err) : SX_OK;
    if (raise->enough) {
        high = least_for_order(raising, which, low, high, &order);
    }
    for (int n = 0; status == SX_OK && raise->enough && high - low > 1; n++) {
        const int at = n < ORDERS ? high - 1 : low + (high - low) / 2;
        bool in = false;
        status = enters(raising, which, at, &in, &order, err);
        if (in) {
            high = least_for_order(raising, which, low, at, &order);
        } else {
            low = at;
        }
    }
    raise->raise = high;
    if (status == SX_OK && raise->enough) {
        status = find_lineup(raising, which, raise, err);
    }
    raise->done = status == SX_OK;
    return status;
}

/* The best lineup with this wish about the player; possible false if there is none. */
static SxStatus solve_wishing(const SxProblem *problem, const SxWork *run, SxWishKind kind,
                              int player, bool *possible, SxLineup *lineup, SxError *err) {
    Copy *copy = copy_problem(problem, err);
    if (!copy) {
        return SX_NO_MEMORY;
    }
    SxStatus status = sx_plan_wish(&copy->plan, kind, player, -1, 0, "worth", err);
    if (status == SX_OK) {
        status = sx_only_proven(sx_best_lineup(&copy->problem, run, lineup, err), lineup, err);
        *possible = status == SX_OK;
        status = status == SX_NO ? SX_OK : status;
    }
    free(copy);
    return status;
}

SxStatus sx_worth(const SxProblem *problem, int player, const SxWork *run, SxWorth *out,
                  SxError *err) {
    memset(out, 0, sizeof *out);
    out->player = player;
    SxStatus status = sx_best_lineup(problem, run, &out->best, err);
    if (status == SX_OK && out->best.proof == SX_FEASIBLE) {
        return SX_OK; /* what is missing to the best is not known */
    }
    if (status == SX_OK) {
        status = solve_wishing(problem, run, SX_MUST_PLAY, player, &out->can_play, &out->with, err);
    }
    if (status != SX_OK) {
        return status;
    }
    out->known = true;
    out->plays = sx_lineup_has(&out->best, player);
    if (out->plays || !out->can_play) {
        for (int k = 0; k < SX_RAISES; k++) {
            out->raise[k] = (SxRaise){.done = true, .enough = out->plays};
        }
        return SX_OK;
    }
    out->missing = sx_value(problem, &out->best) - sx_value(problem, &out->with);
    /* She does not play, so the best lineup is the best one without her. */
    Raising raising = {problem, out, sx_value(problem, &out->best), sx_work_alone(run)};
    return sx_parallel_for(run, SX_RAISES, least_raise, &raising, NULL, err);
}

/* --- what a point is worth ----------------------------------------------------------------------
 */

typedef struct {
    const SxProblem *problem;
    SxPointValues *out;
    SxWork alone;
} Valuing;

static SxStatus value_point(void *context, int index, SxError *err) {
    Valuing *valuing = context;
    SxPointValue *item = &valuing->out->item[index];
    Copy *copy = copy_problem(valuing->problem, err);
    if (!copy) {
        return SX_NO_MEMORY;
    }
    double *skill = &copy->team.players[item->player].skill[item->skill];
    item->step = fmax(0, fmin(1, SX_SKILL_MAX - *skill));
    *skill += item->step;
    /* The best order as ratings are is mostly the best one still; of those without her none is
     * worth more than before. */
    double value;
    SxLineup lineup;
    SxStatus status = sx_order_value(&copy->problem, &valuing->out->best.order, &value, err);
    if (status == SX_OK) {
        (void)must_play(copy, item->player, NULL); /* the search is right without */
        status = sx_only_proven(
            sx_value_above(&copy->problem, value, &valuing->alone, &lineup, err), &lineup, err);
        value = status == SX_OK ? sx_value(&copy->problem, &lineup) : value;
        status = status == SX_NO ? SX_OK : status;
    }
    free(copy);
    if (status == SX_OK) {
        item->gain = value - sx_value(valuing->problem, &valuing->out->best);
        item->done = true;
    }
    return status;
}

static int larger_gain(const void *a, const void *b) {
    const SxPointValue *left = a, *right = b;
    if (left->done != right->done) {
        return left->done ? -1 : 1;
    }
    if (fabs(left->gain - right->gain) > ROUNDING) {
        return left->gain > right->gain ? -1 : 1;
    }
    return left->player != right->player ? left->player - right->player
                                         : (int)left->skill - (int)right->skill;
}

void sx_point_values_free(SxPointValues *values) {
    free(values->item);
    values->item = NULL;
    values->count = 0;
}

SxStatus sx_point_values(const SxProblem *problem, const SxWork *run, SxPointValues *out,
                         SxError *err) {
    memset(out, 0, sizeof *out);
    SxStatus status = sx_best_lineup(problem, run, &out->best, err);
    if (status != SX_OK) {
        return status;
    }
    out->item = calloc(SX_MAX_PLAYERS * SX_SKILL_COUNT, sizeof *out->item);
    if (!out->item) {
        return sx_out_of_memory(err);
    }
    for (int p = 0; p < problem->team->player_count; p++) {
        for (int k = 0; sx_lineup_has(&out->best, p) && k < SX_SKILL_COUNT; k++) {
            out->item[out->count++] = (SxPointValue){.player = p, .skill = (SxSkill)k};
        }
    }
    Valuing valuing = {problem, out, sx_work_alone(run)};
    status = out->best.proof == SX_FEASIBLE
                 ? SX_OK
                 : sx_parallel_for(run, out->count, value_point, &valuing, NULL, err);
    if (status != SX_OK) {
        sx_point_values_free(out);
        return status;
    }
    qsort(out->item, (size_t)out->count, sizeof *out->item, larger_gain);
    return SX_OK;
}
