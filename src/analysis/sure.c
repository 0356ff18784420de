/* How often the best order stays first when ratings are a little off, by slopes. */
#include "sixturn/sure.h"

#include "analysis/disturb.h"
#include "analysis/setparts.h"
#include "sixturn/bestset.h"
#include "sixturn/eligible.h"
#include "sixturn/evaluate.h"
#include "sixturn/setvalue.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* The odds of an order by every rating. */
typedef struct {
    double by[SX_MAX_PLAYERS][SX_SKILL_COUNT];
} Slope;

typedef struct {
    const SxProblem *problem;
    const SxBestOrders *best;
    int draws;
    Slope *slope;       /* by order */
    double *lead;       /* sums over the draws: what the order wins more than the first, */
    double *lead_2;     /* and its square */
    int *first;         /* draws in which it is first */
    SxTeam drawn, team; /* to work on */
} Sure;

/* --- slopes ------------------------------------------------------------------------------------
 */

/* Set odds by every rating of our side, in each rotation. */
static SxStatus side_slopes(const SxProblem *problem, const SxLineup *lineup,
                            const SxSide side[SX_ROTATIONS],
                            double out[SX_ROTATIONS][SX_SKILL_COUNT], SxError *err) {
    const SxFixture known = {problem->against->model, problem->against->opponent, NULL};
    SxSetRules rules;
    SxRates rates, slope;
    SxSetValue value;
    SxStatus status = sx_set_rules_of(problem->rules, false, &rules, err);
    if (status == SX_OK) {
        sx_lineup_rates(lineup, &known, &rates);
        status = sx_set_value(&rates, &rules, problem->plan->start, &value, &slope, err);
    }
    for (int r = 0; r < SX_ROTATIONS && status == SX_OK; r++) {
        for (int k = 0; k < SX_SKILL_COUNT; k++) {
            out[r][k] = sx_rates_rise(&known, side[r], k, r, &slope);
        }
    }
    return status;
}

/* A rating moves only the part of its own skill, and that in proportion: one look at a point more
 * in everything tells all slopes of a player. */
static SxStatus find_slope(Sure *sure, int order, SxError *err) {
    const SxLineup *lineup = &sure->best->item[order];
    SxSide side[SX_ROTATIONS], then[SX_ROTATIONS];
    double by_side[SX_ROTATIONS][SX_SKILL_COUNT];
    SxProblem moved = *sure->problem;
    moved.team = &sure->team;
    sx_set_sides(sure->problem->against->model, lineup, side);
    SxStatus status = side_slopes(sure->problem, lineup, side, by_side, err);
    for (int p = 0; p < sure->team.player_count && status == SX_OK; p++) {
        if (!sx_lineup_has(lineup, p)) {
            continue;
        }
        SxLineup other = *lineup;
        SxPlayer *who = &sure->team.players[p];
        const SxPlayer was = *who;
        for (int k = 0; k < SX_SKILL_COUNT; k++) {
            who->skill[k] += 1;
        }
        sx_lineup_score(&moved, &other);
        sx_set_sides(sure->problem->against->model, &other, then);
        *who = was;
        for (int k = 0; k < SX_SKILL_COUNT; k++) {
            for (int r = 0; r < SX_ROTATIONS; r++) {
                sure->slope[order].by[p][k] +=
                    by_side[r][k] * (then[r].rating[k] - side[r].rating[k]);
            }
        }
    }
    return status;
}

/* --- draws -------------------------------------------------------------------------------------
 */

static double value_of(const Sure *sure, int order) {
    const SxTeam *team = sure->problem->team;
    const Slope *slope = &sure->slope[order];
    double win = sure->best->item[order].win;
    for (int p = 0; p < team->player_count; p++) {
        for (int k = 0; k < SX_SKILL_COUNT; k++) {
            win += slope->by[p][k] * (sure->drawn.players[p].skill[k] - team->players[p].skill[k]);
        }
    }
    return win;
}

static void draw_once(Sure *sure, const SxDoubtOptions *options, int draw) {
    sure->drawn = *sure->problem->team;
    sx_disturb(options, draw, &sure->drawn);
    const double own = value_of(sure, 0);
    double most = own;
    int first = 0;
    for (int k = 1; k < sure->best->count; k++) {
        const double win = value_of(sure, k);
        sure->lead[k] += win - own;
        sure->lead_2[k] += (win - own) * (win - own);
        if (win > most) {
            most = win;
            first = k;
        }
    }
    sure->first[first]++;
}

/* Is the lag less than what the doubt gives it as standard deviation? */
static bool as_good(const Sure *sure, int order) {
    const double mean = sure->lead[order] / sure->draws;
    const double square = sure->lead_2[order] / sure->draws;
    return order == 0 || mean * mean <= square - mean * mean;
}

/* --- what is usual -----------------------------------------------------------------------------
 */

static bool off_her_role(const SxProblem *problem, const SxLineup *lineup, int p, int s, int row) {
    const SxPlayer *who = &problem->team->players[p];
    const int owner = row == SX_FRONT ? lineup->order.front[s] : lineup->order.back[s];
    double most = 0;
    for (int role = 0; role < SX_ROLE_COUNT; role++) {
        most = fmax(most, who->fitness[role]);
    }
    return owner == p && who->fitness[problem->system->duty[s][row].role] < most;
}

static int count_unusual(const SxProblem *problem, const SxLineup *lineup) {
    int count = 0;
    for (int p = 0; p < problem->team->player_count; p++) {
        bool unusual = false;
        for (int s = 0; s < SX_SLOTS; s++) {
            for (int row = 0; row < SX_ROWS; row++) {
                unusual = unusual || off_her_role(problem, lineup, p, s, row);
            }
            for (int r = 0; r < SX_ROTATIONS; r++) {
                unusual = unusual || (lineup->order.front[s] == p &&
                                      sx_attacks_away(problem, p, r, s, lineup->rotation[r].sides));
            }
        }
        count += unusual;
    }
    return count;
}

/* --- the whole ---------------------------------------------------------------------------------
 */

/* Lists those as good; the simplest takes the last place if it would not be told. */
static void list_rivals(const Sure *sure, SxSure *out) {
    SxRival simplest = {.unusual = SX_MAX_PLAYERS + 1};
    int at = 0;
    for (int k = 0; k < sure->best->count; k++) {
        if (!as_good(sure, k)) {
            continue;
        }
        const SxRival rival = {sure->best->item[k], (double)sure->first[k] / sure->draws,
                               count_unusual(sure->problem, &sure->best->item[k])};
        if (out->as_good < SX_SURE_RIVALS) {
            out->rival[out->count++] = rival;
        }
        if (rival.unusual < simplest.unusual) {
            simplest = rival;
            at = out->as_good;
        }
        out->as_good++;
    }
    if (at >= SX_SURE_RIVALS) {
        at = SX_SURE_RIVALS - 1;
        out->rival[at] = simplest;
    }
    out->simplest = at;
    for (int k = 0; k < out->count; k++) {
        for (int r = 0; r < SX_ROTATIONS; r++) {
            out->rival[k].lineup.rotation[r].receive = NULL; /* borrowed from the problem's table */
        }
    }
}

static SxStatus estimate(Sure *sure, SxSure *out, SxError *err) {
    const SxDoubtOptions options = {.size = SX_SURE_POINTS, .draws = sure->draws, .seed = 1};
    const size_t count = (size_t)sure->best->count;
    SxStatus status = SX_OK;
    sure->team = *sure->problem->team;
    sure->slope = calloc(count, sizeof *sure->slope);
    sure->lead = calloc(count, sizeof *sure->lead);
    sure->lead_2 = calloc(count, sizeof *sure->lead_2);
    sure->first = calloc(count, sizeof *sure->first);
    if (!sure->slope || !sure->lead || !sure->lead_2 || !sure->first) {
        status = sx_out_of_memory(err);
    }
    for (int k = 0; k < sure->best->count && status == SX_OK; k++) {
        status = find_slope(sure, k, err);
    }
    for (int draw = 0; draw < sure->draws && status == SX_OK; draw++) {
        draw_once(sure, &options, draw);
    }
    if (status == SX_OK) {
        out->known = true;
        out->draws = sure->draws;
        out->orders = sure->best->count;
        out->first = (double)sure->first[0] / sure->draws;
        list_rivals(sure, out);
    }
    free(sure->slope);
    free(sure->lead);
    free(sure->lead_2);
    free(sure->first);
    return status;
}

/* Slopes know nothing of a limit of substitutions. */
static bool may_substitute(const SxProblem *problem) {
    return problem->plan->specialists > 0 || sx_system_splits(problem->system);
}

SxStatus sx_how_sure(const SxProblem *problem, int draws, const SxWork *work, SxSure *out,
                     SxError *err) {
    SxBestOrders best = {0};
    memset(out, 0, sizeof *out);
    if (draws < 1) {
        return sx_fail(err, SX_USAGE, "a doubt needs at least one draw");
    }
    if (!problem->against || may_substitute(problem)) {
        return SX_OK;
    }
    SxStatus status = sx_best_orders(problem, SX_SURE_ORDERS, work, &best, err);
    if (status != SX_OK) {
        return status == SX_OUT_OF_TIME ? SX_OK : status;
    }
    Sure *sure = calloc(1, sizeof *sure);
    status = sure ? SX_OK : sx_out_of_memory(err);
    if (status == SX_OK && best.proven == best.count) {
        sure->problem = problem;
        sure->best = &best;
        sure->draws = draws;
        status = estimate(sure, out, err);
    }
    free(sure);
    sx_best_orders_free(&best);
    return status;
}
