/* The even opponent: the best seven of the squad, found by trying all, and defined for any squad.
 */
#include "sixturn/forecast.h"
#include "support.h"

#include <criterion/criterion.h>
#include <glpk.h>
#include <math.h>
#include <string.h>

static const SxRole serving_order[SX_SLOTS] = {SX_SETTER,   SX_OUTSIDE, SX_MIDDLE,
                                               SX_OPPOSITE, SX_OUTSIDE, SX_MIDDLE};

static SxRallyModel shipped(void) {
    SxRallyModel model;
    SxError err = {0};
    cr_assert_eq(sx_rally_load(NULL, &model, &err), SX_OK, "%s", err.message);
    return model;
}

static double at_net(const SxTeam *team, int p, SxRole role, SxSkill skill) {
    const double fitness = team->players[p].fitness[role];
    return team->players[p].skill[skill] * (fitness > 0 ? fitness : 1);
}

/* Seven players in a 5-1, rotation by rotation, by what each does there; seven[6] is the libero. */
static SxSide play(const SxTeam *team, const SxScoring *scoring, const int seven[7]) {
    SxSide side = {.more_attackers = 0};
    for (int r = 0; r < SX_ROTATIONS; r++) {
        double balls = 0, attack = 0, block = 0, lanes = 0;
        for (int s = 0; s < SX_SLOTS; s++) {
            const SxRole role = serving_order[s];
            const SxPlayer *who = &team->players[seven[s]];
            const SxLane lane = role == SX_OUTSIDE  ? SX_LEFT
                                : role == SX_MIDDLE ? SX_CENTRE
                                                    : SX_RIGHT;
            double ball = 0;
            if (sx_slot_row(s, r) == SX_FRONT) {
                ball = role == SX_SETTER ? scoring->setter_attack : scoring->front_attack[lane];
                block += scoring->block[lane] * at_net(team, seven[s], role, SX_BLOCKING);
                lanes += scoring->block[lane];
            } else {
                ball = role == SX_OUTSIDE || role == SX_OPPOSITE ? scoring->back_attack : 0;
                const bool libero = role == SX_MIDDLE && s != r;
                side.rating[SX_DIGGING] +=
                    team->players[seven[libero ? 6 : s]].skill[SX_DIGGING] / 18;
            }
            attack += ball * at_net(team, seven[s], role, SX_ATTACKING);
            balls += ball;
            if (s == r) {
                side.rating[SX_SERVING] += who->skill[SX_SERVING] / 6;
            }
        }
        side.rating[SX_ATTACKING] += attack / balls / 6;
        side.rating[SX_BLOCKING] += block / lanes / 6;
    }
    side.rating[SX_SETTING] = at_net(team, seven[0], SX_SETTER, SX_SETTING);
    side.rating[SX_PASSING] =
        (team->players[seven[1]].skill[SX_PASSING] + team->players[seven[4]].skill[SX_PASSING] +
         team->players[seven[6]].skill[SX_PASSING]) /
        3;
    return side;
}

/* What a side is worth, to first order at the average, as the header says 'worth most'. */
static double worth(const SxRallyModel *model, const SxSide *side) {
    const SxSide average = sx_average_side();
    double sum = 0;
    for (int k = 0; k < SX_SKILL_COUNT; k++) {
        SxSide better = average;
        better.rating[k] += 1;
        sum += (side->rating[k] - SX_AVERAGE_RATING) *
               (sx_side_out(model, &better, &average) - sx_side_out(model, &average, &better));
    }
    return sum;
}

typedef struct {
    const SxTeam *team;
    const SxRallyModel *model;
    SxScoring scoring;
    int seven[7];
    bool used[SX_MAX_PLAYERS];
    double best;
    SxSide side;
} Trial;

static void try_all(Trial *trial, int place) {
    if (place == 7) {
        const int *at = trial->seven;
        const int twins[7] = {at[0], at[4], at[5], at[3], at[1], at[2], at[6]};
        SxSide side = play(trial->team, &trial->scoring, at);
        const SxSide turned = play(trial->team, &trial->scoring, twins);
        for (int k = 0; k < SX_SKILL_COUNT; k++) { /* whichever of the twins follows the setter */
            side.rating[k] = (side.rating[k] + turned.rating[k]) / 2;
        }
        const double value = worth(trial->model, &side);
        if (value > trial->best) {
            trial->best = value;
            trial->side = side;
        }
        return;
    }
    const SxRole role = place == 6 ? SX_LIBERO : serving_order[place];
    for (int p = 0; p < trial->team->player_count; p++) {
        if (!trial->used[p] && trial->team->players[p].fitness[role] > 0) {
            trial->used[p] = true;
            trial->seven[place] = p;
            try_all(trial, place + 1);
            trial->used[p] = false;
        }
    }
}

Test(even, it_is_the_best_seven_of_all) {
    const SxRallyModel model = shipped();
    Rng rng = {17};
    for (int n = 0; n < 60; n++) {
        SxTeam team;
        random_team(&rng, 10 + n % 7, &team);
        Trial trial = {.team = &team, .model = &model, .best = -INFINITY};
        sx_rally_scoring(&model, &trial.scoring);
        try_all(&trial, 0);
        SxOpponent even;
        sx_even_opponent(&team, &model, &even);
        cr_assert(even.even && even.rotations_told == 1);
        cr_assert_float_eq(worth(&model, &even.rotation[0]), trial.best, 1e-12);
        for (int k = 0; k < SX_SKILL_COUNT; k++) {
            cr_assert_float_eq(even.rotation[0].rating[k], trial.side.rating[k], 1e-9);
            cr_assert_eq(even.rotation[0].rating[k], even.rotation[5].rating[k]);
        }
    }
}

/* Nobody's injury, no plan and no rule changes whom we are measured against. */
Test(even, it_does_not_look_at_who_is_available) {
    const SxRallyModel model = shipped();
    Rng rng = {4};
    SxTeam team;
    SxOpponent all, some;
    random_team(&rng, 14, &team);
    sx_even_opponent(&team, &model, &all);
    for (int p = 0; p < team.player_count; p += 2) {
        team.players[p].available = false;
    }
    sx_even_opponent(&team, &model, &some);
    cr_assert_eq(memcmp(&all, &some, sizeof all), 0);
}

/* Any squad has one: of one role only, of six, all equal, nobody for a place. */
Test(even, every_squad_has_one) {
    const SxRallyModel model = shipped();
    Rng rng = {8};
    for (int n = 0; n < 400; n++) {
        SxTeam team;
        random_team(&rng, 10 + n % 55, &team);
        team.player_count = 6 + n % (team.player_count - 5);
        const unsigned roles = (unsigned)n % 64;
        for (int p = 0; p < team.player_count; p++) {
            for (int role = 0; role < SX_ROLE_COUNT; role++) {
                if (roles >> role & 1) {
                    team.players[p].fitness[role] = 0;
                }
            }
        }
        SxOpponent even;
        sx_even_opponent(&team, &model, &even);
        for (int k = 0; k < SX_SKILL_COUNT; k++) {
            const double rating = even.rotation[n % 6].rating[k];
            cr_assert(rating >= 0 && rating <= SX_SKILL_MAX, "%s %g", sx_skill_name((SxSkill)k),
                      rating);
        }
    }
    SxTeam equal = {.player_count = 9}, nobody = {.player_count = 5};
    SxOpponent even;
    for (int p = 0; p < equal.player_count; p++) {
        for (int k = 0; k < SX_SKILL_COUNT; k++) {
            equal.players[p].skill[k] = 6.5;
        }
    }
    sx_even_opponent(&equal, &model, &even);
    for (int k = 0; k < SX_SKILL_COUNT; k++) {
        cr_assert_float_eq(even.rotation[0].rating[k], 6.5, 1e-12, "roles unknown, all alike");
    }
    sx_even_opponent(&nobody, &model, &even);
    cr_assert_eq(even.rotation[0].rating[SX_DIGGING], SX_AVERAGE_RATING);
}

/* A normal squad's lineup in the usual system wins about half of the sets. */
Test(even, the_usual_lineup_wins_about_half) {
    static Desk desk;
    static SxForecast forecast;
    const SxRallyModel model = shipped();
    SxOpponent even;
    SxError err = {0};
    glp_term_out(GLP_OFF);
    static const char *const teams[] = {"datasets/junior-12.json", "datasets/club-16.json"};
    for (int n = 0; n < 2; n++) {
        const SxFixture fixture = {&model, &even, NULL};
        desk_read(&desk, teams[n], "5-1-outside", "fivb-2025");
        sx_even_opponent(&desk.team, &model, &even);
        cr_assert_eq(sx_forecast(&desk.problem, NULL, &fixture, &forecast, &err), SX_OK);
        cr_log_info("%s: %.4f", teams[n], forecast.outlook.win);
        cr_assert(forecast.outlook.win > 0.46 && forecast.outlook.win < 0.54, "%s: %.4f", teams[n],
                  forecast.outlook.win);
    }
}
