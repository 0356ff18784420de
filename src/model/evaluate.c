/* Plain arithmetic: the parts of one rotation, the score of a complete lineup. */
#include "sixturn/evaluate.h"

#include "sixturn/eligible.h"

#include <math.h>
#include <string.h>

static const double BETTER = 1e-9;

int sx_slot_player(const SxLineup *lineup, int rotation, int slot) {
    return sx_slot_row(slot, rotation) == SX_FRONT ? lineup->order.front[slot]
                                                   : lineup->order.back[slot];
}

int sx_on_court(const SxLineup *lineup, int rotation, SxPhase phase, int slot) {
    const SxRotation *at = &lineup->rotation[rotation];
    int libero = phase == SX_SERVE ? at->serve_libero : at->libero;
    int in = phase == SX_SERVE ? at->serve_libero_slot : at->libero_slot;
    return libero >= 0 && in == slot ? libero : sx_slot_player(lineup, rotation, slot);
}

int sx_weak_rotation(const SxLineup *lineup) {
    int weak = 0;
    for (int r = 1; r < SX_ROTATIONS; r++) {
        if (lineup->rotation[r].score < lineup->rotation[weak].score - BETTER) {
            weak = r;
        }
    }
    return weak;
}

int sx_substitutions_per_cycle(const SxLineup *lineup) {
    int count = 0;
    for (int s = 0; s < SX_SLOTS; s++) {
        count += lineup->order.front[s] != lineup->order.back[s] ? 2 : 0;
    }
    return count;
}

bool sx_is_nominated(const SxLineup *lineup, int player) {
    for (int k = 0; k < lineup->libero_count; k++) {
        if (lineup->liberos[k] == player) {
            return true;
        }
    }
    return false;
}

bool sx_lineup_has(const SxLineup *lineup, int player) {
    for (int s = 0; s < SX_SLOTS; s++) {
        if (lineup->order.front[s] == player || lineup->order.back[s] == player) {
            return true;
        }
    }
    return sx_is_nominated(lineup, player);
}

/* --- the parts of a rotation --------------------------------------------------------------------
 */

static double bonus(const SxTeam *team, int setter, int hitter) {
    double sum = 0;
    for (int k = 0; k < team->connection_count; k++) {
        const SxConnection *link = &team->connections[k];
        if (link->setter == setter && link->hitter == hitter) {
            sum += link->bonus;
        }
    }
    return sum;
}

static int on_court(const SxSix *six, SxPhase phase, int slot) {
    return six->libero[phase] >= 0 && six->libero_slot[phase] == slot ? six->libero[phase]
                                                                      : six->player[slot];
}

static double pass_part(const SxProblem *problem, const SxSix *six) {
    double sum = 0;
    int count = 0;
    for (int s = 0; six->receive && s < SX_SLOTS; s++) {
        if (six->receive->passers >> s & 1) {
            sum += problem->team->players[on_court(six, SX_RECEIVE, s)].skill[SX_PASSING];
            count++;
        }
    }
    return count ? sx_scoring_of(problem)->coverage[count] * sum / count : 0;
}

double sx_attack_rating(const SxProblem *problem, int rotation, const int player[SX_SLOTS],
                        int slot, int sides) {
    int p = player[slot];
    double rating = sx_fit_skill(problem, p, slot, sx_slot_row(slot, rotation), SX_ATTACKING);
    if (sx_is_front_hitter(problem->system, rotation, slot)) {
        rating += bonus(problem->team, player[problem->system->setter_slot[rotation]], p);
    }
    return rating - sx_attack_loss(problem, p, rotation, slot, sides);
}

static int usual_sides(const SxProblem *problem, int rotation, const SxSix *six) {
    return six->receive ? six->receive->sides : sx_usual_sides(problem->system, rotation);
}

static double attack_part(const SxProblem *problem, int r, const SxSix *six) {
    int sides = usual_sides(problem, r, six);
    int replaced = six->libero[SX_RECEIVE] >= 0 ? six->libero_slot[SX_RECEIVE] : SX_NOBODY;
    double total = sx_attack_total(problem, r, sides, replaced);
    double sum = 0;
    for (int s = 0; s < SX_SLOTS; s++) {
        double share = s == replaced ? 0 : sx_attack_share(problem, r, s, sides);
        if (share > 0) {
            sum += share * sx_attack_rating(problem, r, six->player, s, sides);
        }
    }
    if (six->receive) {
        sum -= sx_scoring_of(problem)->late_attack *
               sx_attack_lateness(problem, r, six->receive, replaced);
    }
    return total > 0 ? sum / total : 0;
}

static double set_part(const SxProblem *problem, int r, const SxSix *six) {
    int setter = problem->system->setter_slot[r];
    double set =
        sx_fit_skill(problem, six->player[setter], setter, sx_slot_row(setter, r), SX_SETTING);
    return six->receive ? set - sx_scoring_of(problem)->late_set * six->receive->late[setter] : set;
}

void sx_rotation_parts(const SxProblem *problem, int rotation, const SxSix *six,
                       double part[SX_PARTS]) {
    memset(part, 0, sizeof(double) * SX_PARTS);
    part[SX_PART_PASS] = pass_part(problem, six);
    part[SX_PART_ATTACK] = attack_part(problem, rotation, six);
    part[SX_PART_SET] = set_part(problem, rotation, six);
    part[SX_PART_RUN] = six->receive ? six->receive->cost : 0;
    for (int s = 0; s < SX_SLOTS; s++) {
        if (sx_slot_row(s, rotation) == SX_FRONT) {
            part[SX_PART_BLOCK] +=
                sx_scoring_of(problem)->block[problem->system->duty[s][SX_FRONT].lane] *
                sx_fit_skill(problem, six->player[s], s, SX_FRONT, SX_BLOCKING);
            continue;
        }
        const double *skill = problem->team->players[on_court(six, SX_SERVE, s)].skill;
        part[SX_PART_DIG] += skill[SX_DIGGING] / SX_BACK_TURNS;
        if (s == rotation) {
            part[SX_PART_SERVE] = skill[SX_SERVING];
        }
    }
}

double sx_rotation_score(const SxPlan *plan, const double part[SX_PARTS]) {
    double score = 0;
    for (int k = 0; k < SX_PARTS; k++) {
        score += (k == SX_PART_RUN ? -1 : 1) * plan->weight[k] * part[k];
    }
    return score;
}

/* --- the score of a lineup ----------------------------------------------------------------------
 */

void sx_lineup_six(const SxLineup *lineup, int rotation, SxSix *six) {
    const SxRotation *at = &lineup->rotation[rotation];
    for (int s = 0; s < SX_SLOTS; s++) {
        six->player[s] = sx_slot_player(lineup, rotation, s);
    }
    six->libero[SX_RECEIVE] = at->libero;
    six->libero_slot[SX_RECEIVE] = at->libero_slot;
    six->libero[SX_SERVE] = at->serve_libero;
    six->libero_slot[SX_SERVE] = at->serve_libero_slot;
    six->receive = at->receive;
}

bool sx_plain_mean_decides(const SxPlan *plan) {
    bool open = plan->balance >= 1;
    for (int r = 0; r < SX_ROTATIONS; r++) {
        open |= plan->rotation_weight[r] == 0;
    }
    return open;
}

double sx_plain_mean(const SxLineup *lineup) {
    double sum = 0;
    for (int r = 0; r < SX_ROTATIONS; r++) {
        sum += lineup->rotation[r].score;
    }
    return sum / SX_ROTATIONS;
}

void sx_lineup_score(const SxProblem *problem, SxLineup *lineup) {
    const SxPlan *plan = problem->plan;
    double sum = 0, mean = 0, least = INFINITY;
    for (int r = 0; r < SX_ROTATIONS; r++) {
        sum += plan->rotation_weight[r];
    }
    for (int r = 0; r < SX_ROTATIONS; r++) {
        SxRotation *at = &lineup->rotation[r];
        SxSix six;
        at->receive = sx_formation_at(problem->table, r, at->passers, at->sides);
        at->front_attackers = sx_front_attackers(problem->system, r);
        sx_lineup_six(lineup, r, &six);
        sx_rotation_parts(problem, r, &six, at->part);
        at->score = sx_rotation_score(plan, at->part);
        at->weight = plan->rotation_weight[r] / sum;
        mean += at->weight * at->score;
        least = fmin(least, at->score);
    }
    lineup->score = (1 - plan->balance) * mean + plan->balance * least;
}
