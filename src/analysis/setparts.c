/* What each part of each rotation contributes to the odds of a set: the derivative followed along
 * the straight line between two sides (Aumann and Shapley's values of a game, from memory), so that
 * the parts add up to the whole. */
#include "analysis/setparts.h"

#include "sixturn/bestset.h"
#include "sixturn/outlook.h"
#include "sixturn/setvalue.h"

#include <math.h>
#include <string.h>

/* Gauss and Legendre's points and weights on 0 to 1, four of them. */
enum { POINTS = 4 };
static const double point[POINTS] = {0.06943184420297371, 0.33000947820757187, 0.6699905217924281,
                                     0.9305681557970263};
static const double share[POINTS] = {0.17392742256872693, 0.32607257743127307, 0.32607257743127307,
                                     0.17392742256872693};
static const double NUDGE = 1e-4; /* rating points; the rally odds are smooth */

static const SxPart part_of[SX_SKILL_COUNT] = {
    [SX_PASSING] = SX_PART_PASS,   [SX_SETTING] = SX_PART_SET,   [SX_ATTACKING] = SX_PART_ATTACK,
    [SX_BLOCKING] = SX_PART_BLOCK, [SX_SERVING] = SX_PART_SERVE, [SX_DIGGING] = SX_PART_DIG,
};

void sx_set_sides(const SxRallyModel *model, const SxLineup *lineup, SxSide side[SX_ROTATIONS]) {
    for (int r = 0; r < SX_ROTATIONS; r++) {
        const SxRotation *at = &lineup->rotation[r];
        side[r] = sx_side_of_parts(model, at->part, at->front_attackers);
    }
}

/* One number of a side: a rating, or behind them the attackers in front. */
static double *coordinate(SxSide *side, int k) {
    return k < SX_SKILL_COUNT ? &side->rating[k] : &side->more_attackers;
}

double sx_rates_rise(const SxFixture *fixture, SxSide side, int k, int r, const SxRates *slope) {
    const SxSide *theirs = fixture->opponent->rotation;
    const double here = *coordinate(&side, k);
    double sum = 0;
    for (int up = -1; up <= 1; up += 2) {
        *coordinate(&side, k) = here + up * NUDGE;
        for (int j = 0; j < SX_ROTATIONS; j++) {
            sum += up * slope->receive[r][j] * sx_side_out(fixture->model, &side, &theirs[j]);
            sum -= up * slope->serve[r][j] * sx_side_out(fixture->model, &theirs[j], &side);
        }
    }
    return sum / (2 * NUDGE);
}

SxStatus sx_set_parts(const SxProblem *problem, const SxSide from[SX_ROTATIONS],
                      const SxSide to[SX_ROTATIONS], double out[SX_ROTATIONS][SX_PARTS],
                      SxError *err) {
    const SxFixture *fixture = problem->against;
    SxSetRules rules;
    SxStatus status = sx_set_rules_of(problem->rules, false, &rules, err);
    memset(out, 0, SX_ROTATIONS * sizeof out[0]);
    for (int n = 0; n < POINTS && status == SX_OK; n++) {
        SxSide between[SX_ROTATIONS];
        SxRates rates, slope;
        SxSetValue value;
        for (int r = 0; r < SX_ROTATIONS; r++) {
            SxSide a = from[r], b = to[r];
            for (int k = 0; k <= SX_SKILL_COUNT; k++) {
                *coordinate(&between[r], k) =
                    *coordinate(&a, k) + point[n] * (*coordinate(&b, k) - *coordinate(&a, k));
            }
        }
        sx_rally_rates(fixture->model, between, fixture->opponent->rotation, &rates);
        status = sx_set_value(&rates, &rules, problem->plan->start, &value, &slope, err);
        for (int r = 0; r < SX_ROTATIONS && status == SX_OK; r++) {
            for (int k = 0; k <= SX_SKILL_COUNT; k++) {
                SxSide a = from[r], b = to[r];
                const double step = *coordinate(&b, k) - *coordinate(&a, k);
                const SxPart part = k < SX_SKILL_COUNT ? part_of[k] : SX_PART_ATTACK;
                if (step != 0) {
                    out[r][part] += SX_SETS * share[n] * step *
                                    sx_rates_rise(fixture, between[r], k, r, &slope);
                }
            }
        }
    }
    return status;
}

SxStatus sx_sets_by_part(const SxProblem *problem, const SxLineup *lineup, double out[SX_PARTS],
                         SxError *err) {
    SxSide ours[SX_ROTATIONS];
    double part[SX_ROTATIONS][SX_PARTS];
    sx_set_sides(problem->against->model, lineup, ours);
    SxStatus status = sx_set_parts(problem, problem->against->opponent->rotation, ours, part, err);
    for (int k = 0; k < SX_PARTS; k++) {
        out[k] = 0;
        for (int r = 0; r < SX_ROTATIONS && status == SX_OK; r++) {
            out[k] += part[r][k];
        }
    }
    return status;
}
