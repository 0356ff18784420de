/* The lineup program against plain loops: every order, every libero plan, every passer set and
 * every choice of sides of a small roster, scored by arithmetic written anew from the description
 * of the score. No solver. Only the formations (cost and lateness) are taken as given; they are
 * checked on their own elsewhere. */
#include "outside/loops.h"

#include <criterion/criterion.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "sixturn/libero.h"

enum { ROSTER = 9, MOST_LEVELS = 6 * STATES * STATES };

static const double agree = 1e-6;
static const double tie = 1e-7;

/* --- the libero over the cycle ------------------------------------------------------------------
 */

/* The best sum of weight times rotation score over all libero plans in which no rotation scores
 * less than `least` (-INFINITY if there is none), by looking forward from each first state. */
static double best_sum(const Values *values, const double *weight, double least) {
    double best = -INFINITY;
    for (int first = 0; first < STATES; first++) {
        double sum[STATES][2]; /* by state now, and whether a libero has served */
        for (int state = 0; state < STATES; state++) {
            sum[state][0] = sum[state][1] = -INFINITY;
        }
        if (values->at[0][0][first] == -INFINITY) {
            continue;
        }
        sum[first][loops_serves(0, first)] = 0;
        for (int t = 1; t < 12; t++) {
            double next[STATES][2];
            for (int state = 0; state < STATES; state++) {
                next[state][0] = next[state][1] = -INFINITY;
                for (int old = 0; old < STATES; old++) {
                    double gain = 0;
                    if (values->at[t / 2][t % 2][state] == -INFINITY ||
                        !loops_follows(t - 1, old, t, state)) {
                        continue;
                    }
                    if (t % 2 == 1) {
                        double score = values->at[t / 2][0][old] + values->at[t / 2][1][state];
                        if (score < least) {
                            continue;
                        }
                        gain = weight[t / 2] * score;
                    }
                    for (int served = 0; served < 2 - loops_serves(t, state); served++) {
                        double *to = &next[state][served + loops_serves(t, state)];
                        *to = fmax(*to, sum[old][served] + gain);
                    }
                }
            }
            memcpy(sum, next, sizeof sum);
        }
        for (int state = 0; state < STATES; state++) {
            if (loops_follows(11, state, 0, first)) {
                best = fmax(best, fmax(sum[state][0], sum[state][1]));
            }
        }
    }
    return best;
}

/* Every score that a rotation can have is tried as the least one, but for those with which the best
 * mean of all would still be worse than what is known. *plain is the best plain mean among the best
 * lineups where only the least rotation counts. */
static double score_order(const Loops *loops, double *plain) {
    static const double equal[6] = {1 / 6.0, 1 / 6.0, 1 / 6.0, 1 / 6.0, 1 / 6.0, 1 / 6.0};
    const SxPlan *plan = &loops->desk->plan;
    double weight[6], total = 0, best = -INFINITY, balance = plan->balance;
    Values values;
    loops_fill_values(loops, &values);
    *plain = 0;
    for (int r = 0; r < 6; r++) {
        total += plan->rotation_weight[r];
    }
    for (int r = 0; r < 6; r++) {
        weight[r] = plan->rotation_weight[r] / total;
    }
    const double most = best_sum(&values, balance < 1 ? weight : equal, -INFINITY);
    if (balance == 0 || isinf(most)) {
        return most;
    }
    for (int k = 0; k < MOST_LEVELS; k++) {
        int r = k / (STATES * STATES), u = k / STATES % STATES, q = k % STATES;
        double least = values.at[r][0][u] + values.at[r][1][q];
        double known = loops->found ? fmax(best, loops->best) : best;
        if (isinf(least) || (1 - balance) * most + balance * least < known - tie) {
            continue;
        }
        double mean = best_sum(&values, balance < 1 ? weight : equal, least - 1e-12);
        double score = isinf(mean) ? -INFINITY : (1 - balance) * mean + balance * least;
        if (balance == 1 && score > best - tie) {
            *plain = score > best + tie ? mean : fmax(*plain, mean);
        }
        best = fmax(best, score);
    }
    return best;
}

/* --- all orders ---------------------------------------------------------------------------------
 */

static bool earlier(const int *a, const int *b) {
    for (int s = 0; s < 6; s++) {
        if (a[s] != b[s]) {
            return a[s] < b[s];
        }
    }
    return false;
}

/* Players stand in the team by shirt number, so indices compare as numbers do. */
static bool canonical_first(const Loops *loops) {
    if (memcmp(loops->front, loops->best_front, sizeof loops->front) != 0) {
        return earlier(loops->front, loops->best_front);
    }
    return earlier(loops->back, loops->best_back);
}

static void judge(Loops *loops) {
    loops->orders++;
    double plain, score = score_order(loops, &plain);
    if (isinf(score)) {
        return;
    }
    bool better = !loops->found || score > loops->best + tie ||
                  (score > loops->best - tie && plain > loops->best_plain + tie);
    bool equal =
        !better && fabs(score - loops->best) <= tie && fabs(plain - loops->best_plain) <= tie;
    if (better || (equal && canonical_first(loops))) {
        loops->found = true;
        loops->best = better ? score : fmax(score, loops->best);
        loops->best_plain = better ? plain : fmax(plain, loops->best_plain);
        memcpy(loops->best_front, loops->front, sizeof loops->front);
        memcpy(loops->best_back, loops->back, sizeof loops->back);
    }
}

static void enumerate(const Desk *desk, Loops *loops) {
    memset(loops, 0, sizeof *loops);
    loops->desk = desk;
    for (int p = 0; p < desk->team.player_count; p++) {
        if (desk->team.players[p].fitness[SX_LIBERO] > 0 && loops->libero_count < 2) {
            loops->liberos[loops->libero_count++] = p;
        }
    }
    loops->judge = judge;
    loops_all_orders(loops);
}

static void compare(const Desk *desk, const char *label) {
    Loops *loops = malloc(sizeof *loops);
    enumerate(desk, loops);
    SxLineup lineup;
    SxError err = {.status = SX_OK};
    SxStatus status = sx_lineup_solve(&desk->problem, NULL, &lineup, &err);
    cr_assert_eq(status, loops->found ? SX_OK : SX_NO, "%s: status %d, %s", label, status,
                 err.message);
    cr_assert(loops->orders > 0, "%s: nothing was tried", label);
    if (loops->found) {
        cr_assert_float_eq(lineup.score, loops->best, agree, "%s: loops %.9f, program %.9f (%ld)",
                           label, loops->best, lineup.score, loops->orders);
        for (int s = 0; s < 6; s++) {
            cr_assert(lineup.order.front[s] == loops->best_front[s] &&
                          lineup.order.back[s] == loops->best_back[s],
                      "%s: slot %d holds %d/%d, the canonical order has %d/%d", label, s,
                      lineup.order.front[s], lineup.order.back[s], loops->best_front[s],
                      loops->best_back[s]);
        }
    }
    free(loops);
}

static void small_team(Rng *rng, Desk *desk) {
    static const SxRole hitters[] = {SX_OUTSIDE, SX_MIDDLE, SX_OPPOSITE};
    random_team(rng, ROSTER, &desk->team);
    for (int p = 0; p < ROSTER; p++) { /* versatile players: more orders to try */
        for (int k = 0; k < 3; k++) {
            SxPlayer *player = &desk->team.players[p];
            if (player->fitness[SX_SETTER] < 1 && player->fitness[SX_LIBERO] == 0 &&
                player->fitness[hitters[k]] == 0 && rng_below(rng, 3)) {
                player->fitness[hitters[k]] = (3 + rng_below(rng, 7)) / 10.0;
            }
        }
    }
    for (int k = 0; k < 4; k++) {
        desk->team.connections[k] =
            (SxConnection){k % 2 ? 0 : 6, rng_below(rng, ROSTER), (rng_below(rng, 41) - 20) / 10.0};
    }
    desk->team.connection_count = 4;
}

static void compare_random(uint64_t seed, const char *system, const char *rules, unsigned sizes,
                           double balance, int specialists) {
    Rng rng = {seed};
    Desk *desk = malloc(sizeof *desk);
    small_team(&rng, desk);
    desk_set(desk, system, rules, sizes);
    desk->plan.balance = balance;
    desk->plan.specialists = specialists;
    if (seed % 2) {
        for (int r = 0; r < 6; r++) {
            desk->plan.rotation_weight[r] = 1 + rng_below(&rng, 5);
        }
    }
    if (specialists) {
        desk->team.players[3 + seed % 3].fitness[SX_SPECIALIST] = 0.8;
        desk->team.players[2].fitness[SX_SPECIALIST] = 0.6;
    }
    if (seed % 3 == 0) { /* a libero who may also play outside */
        desk->team.players[5].fitness[SX_OUTSIDE] = 0.7;
    }
    char label[128];
    snprintf(label, sizeof label, "seed %d, %s, %s, balance %g, specialists %d", (int)seed, system,
             rules, balance, specialists);
    compare(desk, label);
    free(desk);
}

static void compare_system(const char *system) {
    static const double balances[] = {0.25, 0, 0.6, 1};
    for (uint64_t seed = 1; seed <= (SANITIZED ? 1 : 6); seed++) {
        compare_random(seed, system, seed % 2 ? "fivb-2025" : "ncaa-women", 1u << 3,
                       balances[seed % 4], 0);
    }
    compare_random(7, system, "usav", 1u << 2 | 1u << 3 | 1u << 4, 0.25, 0);
}

Test(enumeration, five_one_with_the_outside_next) {
    compare_system("5-1-outside");
}

Test(enumeration, five_one_with_the_middle_next) {
    compare_system("5-1-middle");
}

Test(enumeration, six_two) {
    compare_system("6-2");
}

Test(enumeration, six_two_with_double_substitutions) {
    compare_system("6-2-double");
}

Test(enumeration, four_two) {
    compare_system("4-2");
}

Test(enumeration, specialists_for_the_back_row) {
    compare_random(8, "5-1-outside", "fivb-2025", 1u << 3, 0.25, 1);
    if (!SANITIZED) {
        compare_random(9, "6-2", "nfhs", 1u << 3, 0.5, 1);
        compare_random(10, "4-2", "usav", 1u << 3, 0, 2);
    }
}

/* Two equal players: of the two equal orders the smaller shirt numbers come first. */
Test(enumeration, equal_players_are_named_by_shirt_number) {
    for (uint64_t seed = 21; seed < (SANITIZED ? 22 : 24); seed++) {
        Rng rng = {seed};
        Desk *desk = malloc(sizeof *desk);
        random_team(&rng, ROSTER, &desk->team);
        SxPlayer *twin = &desk->team.players[7];
        memcpy(twin->skill, desk->team.players[3].skill, sizeof twin->skill);
        memcpy(twin->fitness, desk->team.players[3].fitness, sizeof twin->fitness);
        memcpy(desk->team.players[2].skill, desk->team.players[1].skill, sizeof twin->skill);
        memcpy(desk->team.players[2].fitness, desk->team.players[1].fitness, sizeof twin->fitness);
        desk_set(desk, seed % 2 ? "5-1-outside" : "6-2", "fivb-2024", 1u << 3);
        compare(desk, "twins");
        free(desk);
    }
}

static void make_twins(SxTeam *team, int one, int other) {
    memcpy(team->players[other].skill, team->players[one].skill, sizeof team->players[one].skill);
    memcpy(team->players[other].fitness, team->players[one].fitness,
           sizeof team->players[one].fitness);
}

/* The same where two players share a slot: equal setters, whose place is the back row of both
 * shared slots, equal opposites in front of them, and equal specialists for the back row. */
Test(enumeration, equal_players_in_the_back_row_are_named_by_shirt_number) {
    for (uint64_t seed = 51; seed < (SANITIZED ? 54 : 57); seed++) {
        const bool double_change = seed % 2;
        Rng rng = {seed};
        Desk *desk = malloc(sizeof *desk);
        random_team(&rng, ROSTER + 1, &desk->team);
        make_twins(&desk->team, 0, 6);
        make_twins(&desk->team, 4, 8);
        if (double_change && seed % 4 == 1) { /* a third setter */
            make_twins(&desk->team, 0, 9);
        }
        if (!double_change) {
            desk->team.players[3].fitness[SX_SPECIALIST] = 1;
            make_twins(&desk->team, 3, 7);
            make_twins(&desk->team, 3, 8);
        }
        desk_set(desk, double_change ? "6-2-double" : "5-1-outside", "usav", 1u << 3);
        desk->plan.specialists = double_change ? 0 : 1;
        desk->plan.balance = seed % 3 ? 0.25 : 1;
        compare(desk, "twins in the back row");
        free(desk);
    }
}

/* Two liberos, of whom each may be named. */
Test(enumeration, two_liberos) {
    for (uint64_t seed = 31; seed < 33; seed++) {
        Rng rng = {seed};
        Desk *desk = malloc(sizeof *desk);
        random_team(&rng, ROSTER + 1, &desk->team);
        desk->team.players[9] = desk->team.players[5];
        desk->team.players[9].number = 10;
        snprintf(desk->team.players[9].id, sizeof desk->team.players[9].id, "player-10");
        for (int k = 0; k < SX_SKILL_COUNT; k++) {
            desk->team.players[9].skill[k] = rng_rating(&rng);
        }
        desk_set(desk, "5-1-outside", seed % 2 ? "ncaa-women" : "fivb-2025", 1u << 3);
        compare(desk, "two liberos");
        free(desk);
    }
}

/* Every way to share out the sides of the first ball, what it costs to attack away from one's own
 * side and to come late, the setter's second ball; players with up to six roles; two liberos, one
 * of whom may serve. */
Test(enumeration, sides_lateness_and_liberos_who_serve) {
    static const SxScoring scoring = {.coverage = {0, 0, 0.9, 0.95, 1, 1},
                                      .front_attack = {0.3, 0.2, 0.25},
                                      .back_attack = 0.1,
                                      .setter_attack = 0.05,
                                      .block = {0.3, 0.4, 0.3},
                                      .away = 1.5,
                                      .across = 0.7,
                                      .late_attack = 2,
                                      .late_set = 3};
    SxFormationOptions options;
    sx_formation_default(&options);
    options.every_side = true;
    for (uint64_t seed = 41; seed < 45; seed++) {
        Rng rng = {seed};
        Desk *desk = malloc(sizeof *desk);
        random_team(&rng, ROSTER, &desk->team);
        for (int p = 0; p < ROSTER; p++) {
            desk->team.players[p].attacks_from = (unsigned)rng_below(&rng, 8);
        }
        desk->team.players[8].fitness[SX_LIBERO] = 0.9;
        desk->team.connections[0] = (SxConnection){0, 3, 1.5};
        desk->team.connection_count = 1;
        desk_set(desk, seed % 2 ? "5-1-outside" : "4-2", "ncaa-women", 1u << 3);
        cr_assert_eq(
            sx_formation_table_build(&desk->system, 1u << 3, false, &options, &desk->table, NULL),
            SX_OK);
        desk->problem.table = desk->table;
        desk->problem.scoring = &scoring;
        desk->plan.balance = seed % 4 < 2 ? 0.25 : 0.5;
        compare(desk, "sides");
        sx_formation_table_free(desk->table);
        free(desk);
    }
}

/* The first team by the college rules, whose second libero serves: no legal libero plan for the
 * order found, each told by its twelve situations, scores more. */
Test(enumeration, no_libero_plan_of_the_first_team_scores_more) {
    Desk *desk = malloc(sizeof *desk);
    desk_read(desk, "datasets/club-16.json", "5-1-outside", "ncaa-women");
    SxLineup lineup;
    cr_assert_eq(sx_lineup_solve(&desk->problem, NULL, &lineup, NULL), SX_OK);
    Loops *loops = calloc(1, sizeof *loops);
    loops->desk = desk;
    memcpy(loops->front, lineup.order.front, sizeof loops->front);
    memcpy(loops->back, lineup.order.back, sizeof loops->back);
    int tried = 0;
    for (int one = 0; one < desk->team.player_count; one++) {
        for (int two = one + 1; two < desk->team.player_count; two++) {
            if (desk->team.players[one].fitness[SX_LIBERO] > 0 &&
                desk->team.players[two].fitness[SX_LIBERO] > 0 && !loops_hold(loops, one) &&
                !loops_hold(loops, two)) {
                double plain;
                loops->liberos[0] = one;
                loops->liberos[1] = two;
                loops->libero_count = 2;
                tried++;
                cr_assert_leq(score_order(loops, &plain), lineup.score + agree);
            }
        }
    }
    cr_assert(tried > 0);
    SxLiberoPlan plan;
    SxLiberoFault faults[SX_LIBERO_FAULTS];
    sx_libero_plan(&lineup, &plan);
    cr_assert_eq(sx_libero_check(&plan, &desk->rules, faults), 0);
    free(loops);
    free(desk);
}
