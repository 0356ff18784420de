/* Plain loops over the orders and libero plans of a small roster, and the score by arithmetic
 * written anew from its description. */
#include "outside/loops.h"

#include <math.h>

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
int loops_libero_of(int state) {
    return state == 0 ? -1 : (state - 1) / 3;
}

int loops_slot_of(int state, int r) {
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

bool loops_hold(const Loops *loops, int player) {
    for (int s = 0; s < 6; s++) {
        if (loops->front[s] == player || loops->back[s] == player) {
            return true;
        }
    }
    return false;
}

void loops_fill_values(const Loops *loops, Values *values) {
    for (int r = 0; r < 6; r++) {
        for (int state = 0; state < STATES; state++) {
            int k = loops_libero_of(state), s = loops_slot_of(state, r);
            bool can =
                k < loops->libero_count && (k < 0 || (!loops_hold(loops, loops->liberos[k]) &&
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
bool loops_follows(int before, int old, int now, int state) {
    int r = now / 2;
    if (old == 0 || state == 0 || loops_slot_of(old, before / 2) == loops_slot_of(state, r)) {
        return true;
    }
    return now % 2 == 0 && loops_slot_of(state, r) == r;
}

bool loops_serves(int situation, int state) {
    return situation % 2 == 0 && state > 0 && loops_slot_of(state, situation / 2) == situation / 2;
}

/* --- all orders ---------------------------------------------------------------------------------
 */

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
            loops->judge(loops);
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

void loops_all_orders(Loops *loops) {
    fill_slot(loops, 0, 0, 0, 0);
}
