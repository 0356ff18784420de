/* The lineup program against plain loops: every order, every libero plan, every passer set of a
 * small roster, scored by arithmetic written anew from the description of the score. No solver.
 * Only the costs of the formations are taken as given; they are checked on their own elsewhere. */
#include "support.h"

#include <criterion/criterion.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { ROSTER = 9, MOST_PLANS = 4096 };

static const double agree = 1e-6;
static const double tie = 1e-7;

/* Who the libero is and for whom, in one rotation. */
typedef struct {
    int libero, slot; /* -1: none */
} Choice;

typedef struct {
    Choice at[6];
    int serves; /* the rotation in which the libero serves, -1 for none */
} LiberoPlan;

typedef struct {
    const Desk *desk;
    int liberos[2];
    int libero_count;
    LiberoPlan plans[MOST_PLANS];
    int plan_count;
    int front[6], back[6];
    long orders;
    bool found;
    double best;
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

static bool plan_is_legal(const Loops *loops, const LiberoPlan *plan) {
    for (int r = 0; r < 6; r++) {
        Choice now = plan->at[r];
        if (now.libero < 0) {
            continue;
        }
        if (loops->desk->system.setter_slot[r] == now.slot) {
            return false; /* the libero is no setter */
        }
        Choice next = plan->at[(r + 1) % 6];
        bool stays = turns_since_serve(now.slot, r) < 2;
        if (stays && (next.libero != now.libero || next.slot != now.slot)) {
            return false; /* she stays until the slot comes to the front */
        }
        if (next.libero >= 0 && next.slot != now.slot && next.slot != (r + 1) % 6) {
            return false; /* FIVB 19: a rally between; only the next slot's own serve gives one */
        }
    }
    return true;
}

static void list_plans(Loops *loops, LiberoPlan *plan, int r) {
    if (r == 6) {
        if (!plan_is_legal(loops, plan)) {
            return;
        }
        for (int serves = -1; serves < (loops->desk->rules.libero_serves ? 6 : 0); serves++) {
            if (serves < 0 || (plan->at[serves].libero >= 0 && plan->at[serves].slot == serves)) {
                plan->serves = serves;
                cr_assert(loops->plan_count < MOST_PLANS);
                loops->plans[loops->plan_count++] = *plan;
            }
        }
        return;
    }
    plan->at[r] = (Choice){-1, -1};
    list_plans(loops, plan, r + 1);
    for (int k = 0; k < loops->libero_count; k++) {
        for (int s = 0; s < 6; s++) {
            if (!in_front(s, r)) {
                plan->at[r] = (Choice){k, s};
                list_plans(loops, plan, r + 1);
            }
        }
    }
}

/* --- the score, part by part --------------------------------------------------------------------
 */

static int owner(const Loops *loops, int s, int r) {
    return in_front(s, r) ? loops->front[s] : loops->back[s];
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

/* Everything but passing and running. */
static double fixed_parts(const Loops *loops, int r, Choice choice, bool serves) {
    static const double attack_share[] = {0.34, 0.24, 0.24}; /* left, centre, right */
    static const double block_share[] = {0.3, 0.4, 0.3};
    static const double back_row_attack = 0.09;
    const SxSystem *system = &loops->desk->system;
    const SxTeam *team = &loops->desk->team;
    const double *weight = loops->desk->plan.weight;
    int duty_setter = system->setter_slot[r];
    double attack = 0;
    double block = 0;
    double dig = 0;
    double serve = 0;
    for (int s = 0; s < 6; s++) {
        bool replaced = choice.libero >= 0 && choice.slot == s;
        if (in_front(s, r)) {
            const SxDuty *duty = &system->duty[s][SX_FRONT];
            block += block_share[duty->lane] * fitted(loops, s, r, SX_BLOCKING);
            if (duty->attacks) {
                double hit = fitted(loops, s, r, SX_ATTACKING);
                if (s != duty_setter) {
                    hit += connection(loops, owner(loops, duty_setter, r), owner(loops, s, r));
                }
                attack += attack_share[duty->lane] * hit;
            }
            continue;
        }
        if (system->duty[s][SX_BACK].attacks && !replaced) {
            attack += back_row_attack * fitted(loops, s, r, SX_ATTACKING);
        }
        /* At our own service the server whom the libero replaces in reception serves herself,
         * unless the libero serves for her. */
        int stands =
            replaced && (s != r || serves) ? loops->liberos[choice.libero] : owner(loops, s, r);
        dig += team->players[stands].skill[SX_DIGGING] / 3;
        if (s == r) {
            serve = team->players[stands].skill[SX_SERVING];
        }
    }
    return weight[SX_PART_ATTACK] * attack + weight[SX_PART_BLOCK] * block +
           weight[SX_PART_SET] * fitted(loops, duty_setter, r, SX_SETTING) +
           weight[SX_PART_SERVE] * serve + weight[SX_PART_DIG] * dig;
}

/* The best passer set: rotations do not touch each other here, so each may be maximised alone. */
static double best_passing(const Loops *loops, int r, Choice choice) {
    static const double coverage[] = {0, 0, 0.88, 0.97, 1, 1};
    const SxPlan *plan = &loops->desk->plan;
    double best = -INFINITY;
    for (unsigned mask = 0; mask < 64; mask++) {
        double sum = 0;
        int count = 0;
        for (int s = 0; s < 6; s++) {
            if (mask & 1u << s) {
                bool replaced = choice.libero >= 0 && choice.slot == s;
                int who = replaced ? loops->liberos[choice.libero] : owner(loops, s, r);
                sum += loops->desk->team.players[who].skill[SX_PASSING];
                count++;
            }
        }
        bool setter_in = mask & 1u << loops->desk->system.setter_slot[r];
        const SxFormation *formation =
            sx_formation_at(loops->desk->table, r, mask, sx_usual_sides(&loops->desk->system, r));
        if (!(plan->passers & 1u << count) || setter_in || !formation || !formation->feasible) {
            continue;
        }
        double value = plan->weight[SX_PART_PASS] * coverage[count] * sum / count -
                       plan->weight[SX_PART_RUN] * formation->cost;
        best = fmax(best, value);
    }
    return best;
}

static double score_plan(const Loops *loops, const LiberoPlan *plan,
                         double value[6][1 + 2 * 6][2]) {
    const SxPlan *wish = &loops->desk->plan;
    double mean = 0;
    double weights = 0;
    double least = INFINITY;
    for (int r = 0; r < 6; r++) {
        Choice c = plan->at[r];
        double score = value[r][c.libero < 0 ? 0 : 1 + c.libero * 6 + c.slot][plan->serves == r];
        mean += wish->rotation_weight[r] * score;
        weights += wish->rotation_weight[r];
        least = fmin(least, score);
    }
    return (1 - wish->balance) * mean / weights + wish->balance * least;
}

static bool holds_libero(const Loops *loops, int libero) {
    for (int s = 0; s < 6; s++) {
        if (loops->front[s] == libero || loops->back[s] == libero) {
            return true;
        }
    }
    return false;
}

static double score_order(const Loops *loops) {
    double value[6][1 + 2 * 6][2];
    bool busy[2] = {false, false};
    for (int k = 0; k < loops->libero_count; k++) {
        busy[k] = holds_libero(loops, loops->liberos[k]);
    }
    for (int r = 0; r < 6; r++) {
        for (int serves = 0; serves < 2; serves++) {
            Choice none = {-1, -1};
            value[r][0][serves] = fixed_parts(loops, r, none, false) + best_passing(loops, r, none);
            for (int k = 0; k < loops->libero_count; k++) {
                for (int s = 0; s < 6; s++) {
                    Choice choice = {k, s};
                    value[r][1 + k * 6 + s][serves] = busy[k] || in_front(s, r)
                                                          ? -INFINITY
                                                          : fixed_parts(loops, r, choice, serves) +
                                                                best_passing(loops, r, choice);
                }
            }
        }
    }
    double best = -INFINITY;
    for (int k = 0; k < loops->plan_count; k++) {
        best = fmax(best, score_plan(loops, &loops->plans[k], value));
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
    double score = score_order(loops);
    if (isinf(score)) {
        return;
    }
    bool better = !loops->found || score > loops->best + tie;
    bool equal = !better && fabs(score - loops->best) <= tie;
    if (better || (equal && canonical_first(loops))) {
        loops->found = true;
        loops->best = better ? score : fmax(score, loops->best);
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
    LiberoPlan plan;
    list_plans(loops, &plan, 0);
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
    cr_assert(loops->orders > 0 && loops->plan_count > 1, "%s: nothing was tried", label);
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
    for (uint64_t seed = 1; seed <= 6; seed++) {
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
    for (uint64_t seed = 21; seed < 24; seed++) {
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
