/* Ratings are opinions: how often each of the top orders comes out best when they are off. */
#include "sixturn/doubt.h"

#include "analysis/bestabove.h"
#include "analysis/disturb.h"
#include "analysis/parallel.h"
#include "sixturn/bestset.h"
#include "sixturn/eligible.h"
#include "sixturn/program.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static const double Z_95 = 1.959963984540054; /* the normal law's 97.5 % point */
static const double TWO_PI = 6.283185307179586;
/* Reversals rarer than this are taken as beyond the doubt. */
static const double RARE = 0.05;

uint64_t sx_random(uint64_t *state) {
    uint64_t z = *state += UINT64_C(0x9e3779b97f4a7c15);
    z = (z ^ (z >> 30)) * UINT64_C(0xbf58476d1ce4e5b9);
    z = (z ^ (z >> 27)) * UINT64_C(0x94d049bb133111eb);
    return z ^ (z >> 31);
}

/* In (0, 1): the middle of one of 2^53 equal steps. */
static double unit(uint64_t *state) {
    return ((double)(sx_random(state) >> 11) + 0.5) * 0x1p-53;
}

/* Box and Muller's transform (1958). */
static double normal(uint64_t *state) {
    double radius = sqrt(-2 * log(unit(state)));
    return radius * cos(TWO_PI * unit(state));
}

SxShare sx_wilson(int count, int trials) {
    double n = trials;
    double share = count / n;
    double z2 = Z_95 * Z_95;
    double middle = (share + z2 / (2 * n)) / (1 + z2 / n);
    double half = Z_95 / (1 + z2 / n) * sqrt(share * (1 - share) / n + z2 / (4 * n * n));
    return (SxShare){count, fmax(0, middle - half), fmin(1, middle + half)};
}

enum { OTHER = -1 };

typedef struct {
    const SxProblem *problem;
    const SxRanking *ranking;
    const SxDoubtOptions *options;
    int *winner; /* by draw: place in the ranking, or OTHER */
    bool *reversed, *done;
    SxWork alone;
} Drawing;

void sx_disturb(const SxDoubtOptions *options, int draw, SxTeam *team) {
    uint64_t mix = options->seed;
    uint64_t state = sx_random(&mix) ^ ((uint64_t)draw * UINT64_C(0xd1342543de82ef95) + 1);
    for (int p = 0; p < team->player_count; p++) {
        for (int k = 0; k < SX_SKILL_COUNT; k++) {
            double off =
                options->spread == SX_SPREAD_NORMAL ? normal(&state) : 2 * unit(&state) - 1;
            double *skill = &team->players[p].skill[k];
            *skill = fmin(SX_SKILL_MAX, fmax(0, *skill + options->size * off));
        }
    }
}

/* The best order under the ratings as drawn. What the first two of the ranking are worth spares the
 * search all that is worth less. */
static SxStatus best_of_draw(const Drawing *drawing, const SxProblem *problem, double known,
                             SxLineup *out, SxError *err) {
    const double beat = known - sx_value_tie(problem);
    SxStatus status = SX_NO;
    if (problem->against && isfinite(beat)) {
        status = sx_best_above(problem, beat, &drawing->alone, out, err);
    }
    return status == SX_NO ? sx_best_value(problem, &drawing->alone, out, err) : status;
}

/* Its place in the ranking. */
static int place_of(const Drawing *drawing, const SxProblem *problem, const SxOrder *order) {
    const SxRanking *ranking = drawing->ranking;
    SxOrder turned = *order;
    int place = OTHER;
    if (sx_turn_counts_once(problem)) {
        sx_order_turn(order, &turned);
    }
    for (int k = 0; k < ranking->count; k++) {
        if (sx_order_compare(&ranking->item[k].order, order) == 0 ||
            sx_order_compare(&ranking->item[k].order, &turned) == 0) {
            place = k;
        }
    }
    return place;
}

static SxStatus draw_under(Drawing *drawing, const SxProblem *problem, int index, SxError *err) {
    enum { COMPARED = 2 };
    const SxRanking *ranking = drawing->ranking;
    double value[COMPARED] = {-INFINITY, -INFINITY};
    SxLineup lineup;
    SxStatus status = SX_OK;
    for (int k = 0; k < COMPARED && ranking->count > 1 && status == SX_OK; k++) {
        status = sx_order_value(problem, &ranking->item[k].order, &value[k], err);
    }
    if (status == SX_OK) {
        drawing->reversed[index] = value[1] > value[0];
        status = best_of_draw(drawing, problem, fmax(value[0], value[1]), &lineup, err);
    }
    if (status == SX_OK) {
        drawing->winner[index] = place_of(drawing, problem, &lineup.order);
    }
    return status;
}

static SxStatus draw_once(void *context, int index, SxError *err) {
    Drawing *drawing = context;
    SxTeam *team = malloc(sizeof *team);
    if (!team) {
        return sx_out_of_memory(err);
    }
    *team = *drawing->problem->team;
    sx_disturb(drawing->options, index, team);
    SxProblem problem = *drawing->problem;
    problem.team = team;
    const SxStatus status = draw_under(drawing, &problem, index, err);
    free(team);
    return status;
}

static void count_draws(const Drawing *drawing, SxDoubt *out) {
    int other = 0, reversed = 0;
    for (int k = 0; k < drawing->options->draws; k++) {
        if (!drawing->done[k]) {
            continue;
        }
        out->draws++;
        reversed += drawing->reversed[k];
        if (drawing->winner[k] == OTHER) {
            other++;
        } else {
            out->best[drawing->winner[k]].count++;
        }
    }
    if (out->draws == 0) {
        return;
    }
    for (int k = 0; k < drawing->ranking->count; k++) {
        out->best[k] = sx_wilson(out->best[k].count, out->draws);
    }
    out->other = sx_wilson(other, out->draws);
    out->reversed = sx_wilson(reversed, out->draws);
    out->within_doubt = out->reversed.high >= RARE;
}

void sx_doubt_free(SxDoubt *doubt) {
    free(doubt->best);
    doubt->best = NULL;
}

SxStatus sx_doubt(const SxProblem *problem, const SxRanking *ranking, const SxDoubtOptions *options,
                  const SxWork *run, SxDoubt *out, SxError *err) {
    memset(out, 0, sizeof *out);
    if (options->draws < 1 || !(options->size > 0)) {
        return sx_fail(err, SX_USAGE, "a doubt needs at least one draw and more than 0 points");
    }
    size_t draws = (size_t)options->draws;
    Drawing drawing = {.problem = problem,
                       .ranking = ranking,
                       .options = options,
                       .winner = calloc(draws, sizeof(int)),
                       .reversed = calloc(draws, sizeof(bool)),
                       .done = calloc(draws, sizeof(bool)),
                       .alone = sx_work_alone(run)};
    out->best = calloc((size_t)ranking->count + 1, sizeof *out->best);
    SxStatus status = SX_OK;
    if (!drawing.winner || !drawing.reversed || !drawing.done || !out->best) {
        status = sx_out_of_memory(err);
    } else {
        status = sx_parallel_for(run, options->draws, draw_once, &drawing, drawing.done, err);
    }
    if (status == SX_OK) {
        count_draws(&drawing, out);
    } else {
        sx_doubt_free(out);
    }
    free(drawing.winner);
    free(drawing.reversed);
    free(drawing.done);
    return status;
}
