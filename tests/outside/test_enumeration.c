/* The lineup program against plain loops: every order, every libero plan, every passer set and
 * every choice of sides of a small roster, scored by arithmetic written anew from the description
 * of the score. No solver. Only the formations (cost and lateness) are taken as given; they are
 * checked on their own elsewhere. */
#include "support.h"

#include <criterion/criterion.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "sixturn/libero.h"

enum { ROSTER = 9, STATES = 7, MOST_LEVELS = 6 * STATES * STATES };

static const double agree = 1e-6;
static const double tie = 1e-7;

typedef struct {
    const Desk *desk;
    int liberos[2];
    int libero_count;
    int front[6], back[6];
    long orders;
    bool found;
    double best, best_plain;
    int best_front[6], best_back[6];
} Loops;

/* --- the rules of the game, told by slot and turn -----------------------------------------------
 */

/* A slot serves in its own rotation, then stands in positions 6 and 5; after that it is in front.
 */
static int turns_since_serve(int s, int r) {
    return (r - s + 6) % 6;
}

static bool in_front(int s, int r) {
    return turns_since_serve(s, r) > 2;
}

/* Who is in: nobody (state 0), or libero k for the slot that served `turn` rotations ago. */
static int libero_of(int state) {
    return state == 0 ? -1 : (state - 1) / 3;
}

static int slot_of(int state, int r) {
    return state == 0 ? -1 : (r - (state - 1) % 3 + 6) % 6;
}

/* --- the score, part by part --------------------------------------------------------------------
 */

static int owner(const Loops *loops, int s, int r) {
    return in_front(s, r) ? loops->front[s] : loops->back[s];
}

static const SxScoring *scoring_of(const Loops *loops) {
    return loops->desk->problem.scoring ? loops->desk->problem.scoring : &sx_scoring;
}

/* A skill counts by how well the player fits the role of that slot in that row. */
static double fitted(const Loops *loops, int s, int r, SxSkill skill) {
    const SxPlayer *who = &loops->desk->team.players[owner(loops, s, r)];
    SxRole role = loops->desk->system.duty[s][in_front(s, r) ? SX_FRONT : SX_BACK].role;
    return who->skill[skill] * who->fitness[role];
}

static double connection(const Loops *loops, int setter, int hitter) {
    const SxTeam *team = &loops->desk->team;
    double sum = 0;
    for (int k = 0; k < team->connection_count; k++) {
        if (team->connections[k].setter == setter && team->connections[k].hitter == hitter) {
            sum += team->connections[k].bonus;
        }
    }
    return sum;
}

/* At home on a side: as the team says, else by her roles (outside left, middle centre, opposite and
 * setter right). */
static bool at_home(const SxPlayer *who, SxLane lane) {
    if (who->attacks_from) {
        return who->attacks_from >> lane & 1;
    }
    bool left = who->fitness[SX_OUTSIDE] > 0, centre = who->fitness[SX_MIDDLE] > 0;
    bool right = who->fitness[SX_OPPOSITE] > 0 || who->fitness[SX_SETTER] > 0;
    if (!left && !centre && !right) {
        return true;
    }
    return lane == SX_LEFT ? left : lane == SX_CENTRE ? centre : right;
}

/* What a hitter loses there: little if only left and right are exchanged. */
static double from_home(const SxPlayer *who, SxLane lane, const SxScoring *scoring) {
    if (at_home(who, lane)) {
        return 0;
    }
    bool exchanged =
        (lane == SX_LEFT && at_home(who, SX_RIGHT)) || (lane == SX_RIGHT && at_home(who, SX_LEFT));
    return exchanged ? scoring->across : scoring->away;
}

/* Balls go to whoever is there to attack: each one's share is that of her place over the shares of
 * all who are there. */
static double attack(const Loops *loops, int r, const SxFormation *f, int taken) {
    const SxSystem *system = &loops->desk->system;
    const SxScoring *scoring = scoring_of(loops);
    int duty_setter = system->setter_slot[r];
    double shares = 0, points = 0;
    for (int s = 0; s < 6; s++) {
        double share = 0, rating = fitted(loops, s, r, SX_ATTACKING);
        if (s == duty_setter) {
            share = in_front(s, r) ? scoring->setter_attack : 0;
        } else if (in_front(s, r) && system->duty[s][SX_FRONT].attacks) {
            SxLane lane = sx_side_lane(f->sides, sx_position(s, r));
            share = scoring->front_attack[lane];
            rating += connection(loops, owner(loops, duty_setter, r), owner(loops, s, r));
            rating -= from_home(&loops->desk->team.players[owner(loops, s, r)], lane, scoring);
            rating -= scoring->late_attack * f->late[s];
        } else if (!in_front(s, r) && system->duty[s][SX_BACK].attacks && s != taken) {
            share = scoring->back_attack;
            rating -= scoring->late_attack * f->late[s];
        }
        shares += share;
        points += share * rating;
    }
    return shares > 0 ? points / shares : 0;
}

/* What a rotation is worth by who is in while we receive: passing, attack, setting, running; the
 * best passers and sides. Rotations do not touch each other here, so each may be maximised alone.
 */
static double receiving(const Loops *loops, int r, int libero, int taken) {
    const SxPlan *plan = &loops->desk->plan;
    const SxScoring *scoring = scoring_of(loops);
    int duty_setter = loops->desk->system.setter_slot[r];
    double best = -INFINITY;
    for (unsigned mask = 0; mask < 64; mask++) {
        double sum = 0;
        int count = 0;
        for (int s = 0; s < 6; s++) {
            if (mask & 1u << s) {
                int who = s == taken ? libero : owner(loops, s, r);
                sum += loops->desk->team.players[who].skill[SX_PASSING];
                count++;
            }
        }
        if (!(plan->passers & 1u << count) || mask & 1u << duty_setter) {
            continue;
        }
        for (int sides = 0; sides < 6; sides++) {
            const SxFormation *f = sx_formation_at(loops->desk->table, r, mask, sides);
            if (!f || !f->feasible) {
                continue;
            }
            double set = fitted(loops, duty_setter, r, SX_SETTING) -
                         scoring->late_set * f->late[duty_setter];
            double value = plan->weight[SX_PART_PASS] * scoring->coverage[count] * sum / count +
                           plan->weight[SX_PART_ATTACK] * attack(loops, r, f, taken) +
                           plan->weight[SX_PART_SET] * set - plan->weight[SX_PART_RUN] * f->cost;
            best = fmax(best, value);
        }
    }
    return best;
}

/* What it is worth by who is in while we serve: block, serve, digging. */
static double serving(const Loops *loops, int r, int libero, int taken) {
    const double *weight = loops->desk->plan.weight;
    double value = 0;
    for (int s = 0; s < 6; s++) {
        if (in_front(s, r)) {
            value += weight[SX_PART_BLOCK] *
                     scoring_of(loops)->block[loops->desk->system.duty[s][SX_FRONT].lane] *
                     fitted(loops, s, r, SX_BLOCKING);
            continue;
        }
        const double *skill =
            loops->desk->team.players[s == taken ? libero : owner(loops, s, r)].skill;
        value += weight[SX_PART_DIG] * skill[SX_DIGGING] / 3;
        value += s == r ? weight[SX_PART_SERVE] * skill[SX_SERVING] : 0;
    }
    return value;
}

/* --- the libero over the cycle ------------------------------------------------------------------
 */

/* Values of the twelve situations: first serving (0), then receiving (1) in each rotation. */
typedef struct {
    double at[6][2][STATES];
} Values;

static bool holds(const Loops *loops, int player) {
    for (int s = 0; s < 6; s++) {
        if (loops->front[s] == player || loops->back[s] == player) {
            return true;
        }
    }
    return false;
}

static void fill_values(const Loops *loops, Values *values) {
    for (int r = 0; r < 6; r++) {
        for (int state = 0; state < STATES; state++) {
            int k = libero_of(state), s = slot_of(state, r);
            bool can =
                k < loops->libero_count && (k < 0 || (!holds(loops, loops->liberos[k]) &&
                                                      s != loops->desk->system.setter_slot[r]));
            int libero = k < 0 || !can ? -1 : loops->liberos[k];
            bool may_serve = s != r || loops->desk->rules.libero_serves;
            values->at[r][0][state] = can && may_serve ? serving(loops, r, libero, s) : -INFINITY;
            values->at[r][1][state] = can ? receiving(loops, r, libero, s) : -INFINITY;
        }
    }
}

/* FIVB 19: out for one place and in for another takes a rally between; a libero may come straight
 * in to serve where the profile lets her. Situations count from 0 to 11. */
static bool follows(int before, int old, int now, int state) {
    int r = now / 2;
    if (old == 0 || state == 0 || slot_of(old, before / 2) == slot_of(state, r)) {
        return true;
    }
    return now % 2 == 0 && slot_of(state, r) == r;
}

static bool serves(int situation, int state) {
    return situation % 2 == 0 && state > 0 && slot_of(state, situation / 2) == situation / 2;
}

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
        sum[first][serves(0, first)] = 0;
        for (int t = 1; t < 12; t++) {
            double next[STATES][2];
            for (int state = 0; state < STATES; state++) {
                next[state][0] = next[state][1] = -INFINITY;
                for (int old = 0; old < STATES; old++) {
                    double gain = 0;
                    if (values->at[t / 2][t % 2][state] == -INFINITY ||
                        !follows(t - 1, old, t, state)) {
                        continue;
                    }
                    if (t % 2 == 1) {
                        double score = values->at[t / 2][0][old] + values->at[t / 2][1][state];
                        if (score < least) {
                            continue;
                        }
                        gain = weight[t / 2] * score;
                    }
                    for (int served = 0; served < 2 - serves(t, state); served++) {
                        double *to = &next[state][served + serves(t, state)];
                        *to = fmax(*to, sum[old][served] + gain);
                    }
                }
            }
            memcpy(sum, next, sizeof sum);
        }
        for (int state = 0; state < STATES; state++) {
            if (follows(11, state, 0, first)) {
                best = fmax(best, fmax(sum[state][0], sum[state][1]));
            }
        }
    }
    return best;
}

/* Every score that a rotation can have is tried as the least one. *plain is the best plain mean
 * among the best lineups where only the least rotation counts. */
static double score_order(const Loops *loops, double *plain) {
    static const double equal[6] = {1 / 6.0, 1 / 6.0, 1 / 6.0, 1 / 6.0, 1 / 6.0, 1 / 6.0};
    const SxPlan *plan = &loops->desk->plan;
    double weight[6], total = 0, best = -INFINITY, balance = plan->balance;
    Values values;
    fill_values(loops, &values);
    *plain = 0;
    for (int r = 0; r < 6; r++) {
        total += plan->rotation_weight[r];
    }
    for (int r = 0; r < 6; r++) {
        weight[r] = plan->rotation_weight[r] / total;
    }
    if (balance == 0) {
        return best_sum(&values, weight, -INFINITY);
    }
    for (int k = 0; k < MOST_LEVELS; k++) {
        int r = k / (STATES * STATES), u = k / STATES % STATES, q = k % STATES;
        double least = values.at[r][0][u] + values.at[r][1][q];
        if (isinf(least)) {
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

static bool sets_somewhere(const SxSystem *system, int s) {
    for (int r = 0; r < 6; r++) {
        if (system->setter_slot[r] == s) {
            return true;
        }
    }
    return false;
}

/* May these two share slot s, and does that use up a specialist? */
static bool may_share(const Loops *loops, int s, int front, int back, int *specialists) {
    const SxSystem *system = &loops->desk->system;
    const SxPlayer *f = &loops->desk->team.players[front];
    const SxPlayer *b = &loops->desk->team.players[back];
    SxRole front_role = system->duty[s][SX_FRONT].role;
    SxRole back_role = system->duty[s][SX_BACK].role;
    *specialists = 0;
    if (system->split[s]) {
        return front != back && f->fitness[front_role] > 0 && b->fitness[back_role] > 0;
    }
    if (front == back) {
        return f->fitness[front_role] > 0 &&
               (f->fitness[back_role] > 0 ||
                (loops->desk->plan.specialists > 0 && f->fitness[SX_SPECIALIST] > 0));
    }
    *specialists = 1;
    return !sets_somewhere(system, s) && f->fitness[front_role] > 0 &&
           (b->fitness[back_role] > 0 || b->fitness[SX_SPECIALIST] > 0);
}

static void fill_slot(Loops *loops, int s, unsigned used, int specialists, int changes) {
    if (s == 6) {
        int most = loops->desk->rules.substitutions;
        if (most == SX_UNLIMITED || changes <= most) {
            judge(loops);
        }
        return;
    }
    const SxTeam *team = &loops->desk->team;
    for (int f = 0; f < team->player_count; f++) {
        for (int b = 0; b < team->player_count; b++) {
            int needed;
            if ((used >> f & 1) || (used >> b & 1) || !team->players[f].available ||
                !team->players[b].available || !may_share(loops, s, f, b, &needed) ||
                specialists + needed > loops->desk->plan.specialists) {
                continue;
            }
            loops->front[s] = f;
            loops->back[s] = b;
            fill_slot(loops, s + 1, used | 1u << f | 1u << b, specialists + needed,
                      changes + (f != b ? 2 : 0));
        }
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
    fill_slot(loops, 0, 0, 0, 0);
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
    for (uint64_t seed = 1; seed <= (SANITIZED ? 2 : 6); seed++) {
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
    compare_random(9, "6-2", "nfhs", 1u << 3, 0.5, 1);
    compare_random(10, "4-2", "usav", 1u << 3, 0, 2);
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
                desk->team.players[two].fitness[SX_LIBERO] > 0 && !holds(loops, one) &&
                !holds(loops, two)) {
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
