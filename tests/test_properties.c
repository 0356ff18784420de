/* What must hold for any team: seeded random rosters. */
#include "support.h"

#include <cjson/cJSON.h>
#include <criterion/criterion.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "sixturn/forecast.h"
#include "sixturn/report.h"

enum { ROSTERS = SANITIZED ? 12 : 240 };

static const double agree = 1e-6;

static double optimum(const Desk *desk) {
    SxSolveOptions options = {.any_tie = true};
    SxLineup lineup;
    SxError err = {.status = SX_OK};
    cr_assert_eq(sx_lineup_solve(&desk->problem, &options, &lineup, &err), SX_OK, "%s",
                 err.message);
    cr_assert_eq(lineup.proof, SX_OPTIMAL);
    return lineup.score;
}

/* A copy's problem borrows from the copy. */
static void borrow(Desk *desk) {
    desk->problem.team = &desk->team;
    desk->problem.rules = &desk->rules;
    desk->problem.system = &desk->system;
    desk->problem.plan = &desk->plan;
}

/* Roster `n` with a system and profile that change from one to the next. */
static Desk *random_desk(int n, Rng *rng) {
    Desk *desk = malloc(sizeof *desk);
    rng->state = 1000 + (uint64_t)n;
    random_team(rng, 10 + rng_below(rng, 5), &desk->team);
    desk_set(desk, all_systems[n % 5], all_rules[n % 6], 1u << 3);
    desk->plan.balance = rng_below(rng, 5) / 4.0;
    return desk;
}

static void check_better_rating(Desk desk, Rng rng, double before, int n) {
    SxPlayer *who = &desk.team.players[rng_below(&rng, desk.team.player_count)];
    int skill = rng_below(&rng, SX_SKILL_COUNT);
    who->skill[skill] = fmin(SX_SKILL_MAX, who->skill[skill] + 0.1 + rng_rating(&rng) / 2);
    borrow(&desk);
    double after = optimum(&desk);
    cr_assert(after >= before - agree, "roster %d: %s of #%d up, score from %.9f to %.9f", n,
              sx_skill_name((SxSkill)skill), who->number, before, after);
}

static void check_player_less(Desk desk, double with, int n) {
    int last = desk.team.player_count - 1;
    if (last < 10) { /* the first ten are needed by every system */
        return;
    }
    desk.team.players[last].available = false;
    borrow(&desk);
    double without = optimum(&desk);
    cr_assert(with >= without - agree, "roster %d: %.9f with, %.9f without", n, with, without);
}

static void check_scaled_weights(Desk desk, Rng rng, const SxLineup *before, int n) {
    double scale = 0.5 + rng_rating(&rng);
    SxLineup after;
    for (int k = 0; k < SX_PARTS; k++) {
        desk.plan.weight[k] *= scale;
    }
    borrow(&desk);
    cr_assert_eq(sx_lineup_solve(&desk.problem, NULL, &after, NULL), SX_OK);
    cr_assert_float_eq(before->score * scale, after.score, agree * 10, "roster %d", n);
    cr_assert_eq(memcmp(&before->order, &after.order, sizeof before->order), 0,
                 "roster %d, scale %g: another order", n, scale);
    for (int r = 0; r < SX_ROTATIONS; r++) {
        cr_assert_eq(before->rotation[r].passers, after.rotation[r].passers, "roster %d", n);
        cr_assert_eq(before->rotation[r].libero, after.rotation[r].libero, "roster %d", n);
    }
}

/* A better rating or a player more never lowers the optimum; weights that are scaled leave the
 * order as it was. One optimum of every roster serves all three. */
Test(properties, more_is_never_worse_and_scale_is_nothing) {
    for (int n = 0; n < ROSTERS; n++) {
        Rng rng;
        Desk *desk = random_desk(n, &rng);
        SxLineup before;
        SxError err = {.status = SX_OK};
        cr_assert_eq(sx_lineup_solve(&desk->problem, NULL, &before, &err), SX_OK, "%s",
                     err.message);
        cr_assert_eq(before.proof, SX_OPTIMAL);
        check_better_rating(*desk, rng, before.score, n);
        if (n < ROSTERS / 2) {
            check_player_less(*desk, before.score, n);
        }
        check_scaled_weights(*desk, rng, &before, n);
        free(desk);
    }
}

static SxStatus score_without(const Desk *desk, int player, double *score) {
    Desk *rest = malloc(sizeof *rest);
    *rest = *desk;
    rest->team.players[player].available = false;
    borrow(rest);
    const SxWork unexplained = {.unexplained = true};
    const SxSolveOptions options = {.any_tie = true, .work = &unexplained};
    SxLineup lineup;
    const SxStatus status = sx_lineup_solve(&rest->problem, &options, &lineup, NULL);
    *score = status == SX_OK ? lineup.score : 0;
    free(rest);
    return status;
}

Test(properties, of_two_equal_players_it_matters_not_who_is_out) {
    int with_a_lineup = 0;
    for (int n = 0; n < ROSTERS / 2; n++) {
        Rng rng;
        Desk *desk = random_desk(n, &rng);
        int a = rng_below(&rng, desk->team.player_count);
        int b = (a + 1 + rng_below(&rng, desk->team.player_count - 1)) % desk->team.player_count;
        SxPlayer *one = &desk->team.players[a];
        SxPlayer *two = &desk->team.players[b];
        /* a twin of a, in addition to what b is needed for: fitness is the better of both */
        for (int k = 0; k < SX_ROLE_COUNT; k++) {
            one->fitness[k] = two->fitness[k] = fmax(one->fitness[k], two->fitness[k]);
        }
        memcpy(two->skill, one->skill, sizeof one->skill);
        double score[2];
        const SxStatus status = score_without(desk, a, &score[0]);
        cr_assert_eq(score_without(desk, b, &score[1]), status, "roster %d", n);
        cr_assert(status == SX_OK || status == SX_NO, "roster %d: %d", n, status);
        cr_assert_float_eq(score[0], score[1], 1e-9, "roster %d: %.12g and %.12g", n, score[0],
                           score[1]);
        with_a_lineup += status == SX_OK;
        free(desk);
    }
    cr_assert_gt(with_a_lineup, ROSTERS / 8);
}

/* --- the order of players in the file -----------------------------------------------------------
 */

static cJSON *team_json(const SxTeam *team, const int *order) {
    cJSON *root = cJSON_CreateObject();
    cJSON_AddStringToObject(root, "format", "sixturn-team-1");
    cJSON_AddStringToObject(root, "name", team->name);
    cJSON *players = cJSON_AddArrayToObject(root, "players");
    for (int k = 0; k < team->player_count; k++) {
        const SxPlayer *player = &team->players[order[k]];
        cJSON *item = cJSON_CreateObject();
        cJSON_AddStringToObject(item, "id", player->id);
        cJSON_AddStringToObject(item, "name", player->name);
        cJSON_AddNumberToObject(item, "number", player->number);
        cJSON *roles = cJSON_AddObjectToObject(item, "roles");
        for (int role = 0; role < SX_ROLE_COUNT; role++) {
            if (player->fitness[role] > 0) {
                cJSON_AddNumberToObject(roles, sx_role_name((SxRole)role), player->fitness[role]);
            }
        }
        cJSON *skills = cJSON_AddObjectToObject(item, "skills");
        for (int skill = 0; skill < SX_SKILL_COUNT; skill++) {
            cJSON_AddNumberToObject(skills, sx_skill_name((SxSkill)skill), player->skill[skill]);
        }
        cJSON_AddItemToArray(players, item);
    }
    return root;
}

/* The whole answer as JSON bytes for a team whose players stand in the file in this order. */
static char *answer(const SxTeam *team, const int *order, int n) {
    Desk *desk = malloc(sizeof *desk);
    cJSON *root = team_json(team, order);
    char *text = cJSON_PrintUnformatted(root);
    SxError err = {.status = SX_OK};
    cr_assert_eq(sx_team_parse(text, strlen(text), "shuffled", &desk->team, &err), SX_OK, "%s: %s",
                 err.path, err.message);
    desk_set(desk, all_systems[n % 5], all_rules[n % 6], 1u << 3);
    SxLineup lineup;
    SxMatchDay day;
    SxRallyModel model;
    SxOpponent even;
    SxOutlook outlook;
    const SxFixture fixture = {&model, &even, NULL};
    memset(&day, 0xA5, sizeof day); /* nothing of it may be read before it is filled */
    cr_assert_eq(sx_rally_load(NULL, &model, &err), SX_OK);
    sx_even_opponent(&desk->team, &model, &even);
    cr_assert_eq(sx_lineup_solve(&desk->problem, NULL, &lineup, &err), SX_OK, "%s", err.message);
    cr_assert_eq(sx_lineup_outlook(&desk->problem, &lineup, &fixture, &outlook, &err), SX_OK);
    cr_assert_eq(sx_match_day(&desk->problem, &lineup, &outlook, &day, &err), SX_OK);
    char *json = sx_plan_json(&desk->problem, &lineup, &day, &outlook);
    free(text);
    cJSON_Delete(root);
    free(desk);
    return json;
}

Test(properties, the_order_in_the_file_changes_no_byte) {
    for (int n = 0; n < ROSTERS / 4; n++) {
        Rng rng = {5000 + (uint64_t)n};
        SxTeam *team = malloc(sizeof *team);
        random_team(&rng, 10 + rng_below(&rng, 5), team);
        if (n % 3 == 0) { /* equal players: the tie-break must not see the file's order either */
            memcpy(team->players[2].skill, team->players[1].skill, sizeof team->players[1].skill);
            memcpy(team->players[2].fitness, team->players[1].fitness,
                   sizeof team->players[1].fitness);
        }
        int order[SX_MAX_PLAYERS];
        for (int k = 0; k < team->player_count; k++) {
            order[k] = k;
        }
        char *first = answer(team, order, n);
        for (int k = team->player_count - 1; k > 0; k--) {
            int other = rng_below(&rng, k + 1);
            int swap = order[k];
            order[k] = order[other];
            order[other] = swap;
        }
        char *second = answer(team, order, n);
        cr_assert_str_eq(first, second, "roster %d", n);
        free(first);
        free(second);
        free(team);
    }
}
