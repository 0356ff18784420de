/* What players are worth by place, and upper bounds of rally odds for orders not yet complete. */
#include "analysis/setfacts.h"

#include "sixturn/eligible.h"
#include "sixturn/evaluate.h"
#include "sixturn/outlook.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static const SxSkill skill_of[WORTHS] = {
    [WORTH_ATTACK + SX_LEFT] = SX_ATTACKING,
    [WORTH_ATTACK + SX_CENTRE] = SX_ATTACKING,
    [WORTH_ATTACK + SX_RIGHT] = SX_ATTACKING,
    [WORTH_SECOND_BALL] = SX_ATTACKING,
    [WORTH_BLOCK] = SX_BLOCKING,
    [WORTH_PASS] = SX_PASSING,
    [WORTH_SET] = SX_SETTING,
    [WORTH_SERVE] = SX_SERVING,
    [WORTH_DIG] = SX_DIGGING,
};

/* --- who may, and what they are worth ----------------------------------------------------------
 */

static void find_worth(SetFacts *facts, int p, int s, SxRow row) {
    const SxProblem *problem = facts->problem;
    double *worth = facts->worth[p][s][row];
    for (int k = 0; k < WORTHS; k++) {
        const bool raw = k == WORTH_PASS || k == WORTH_SERVE || k == WORTH_DIG;
        worth[k] = raw ? problem->team->players[p].skill[skill_of[k]]
                       : sx_fit_skill(problem, p, s, row, skill_of[k]);
    }
    const unsigned usual = sx_usual_lanes(&problem->team->players[p]);
    for (int lane = 0; row == SX_FRONT && lane < SX_LANES; lane++) {
        worth[WORTH_ATTACK + lane] -= sx_away_loss(sx_scoring_of(problem), usual, (SxLane)lane);
    }
}

static void find_candidates(SetFacts *facts) {
    const SxProblem *problem = facts->problem;
    for (int p = 0; p < problem->team->player_count; p++) {
        for (int s = 0; s < SX_SLOTS; s++) {
            for (int row = 0; row < SX_ROWS; row++) {
                find_worth(facts, p, s, (SxRow)row);
                if (sx_can_fill(problem, p, s, (SxRow)row)) {
                    facts->can[s][row] |= player_bit(p);
                }
            }
        }
        if (sx_can_be_libero(problem, p)) {
            facts->liberos |= player_bit(p);
        }
    }
}

static void keep_from_slot(SetFacts *facts, int s, PlayerSet out) {
    facts->can[s][SX_FRONT] &= ~out;
    facts->can[s][SX_BACK] &= ~out;
}

/* What a wish forbids whatever the others do. */
static void apply_wish(SetFacts *facts, const SxWish *wish) {
    const PlayerSet who = wish->player >= 0 ? player_bit(wish->player) : 0;
    for (int s = 0; s < SX_SLOTS; s++) {
        switch (wish->kind) {
        case SX_MUST_SIT:
            keep_from_slot(facts, s, who);
            break;
        case SX_FIXED_SLOT:
            if (s != wish->value) {
                keep_from_slot(facts, s, who);
            } else if (!facts->differ[s]) {
                keep_from_slot(facts, s, ~who);
            }
            break;
        case SX_NOT_FRONT_ROW:
            facts->can[s][SX_FRONT] &= ~who;
            facts->can[s][SX_BACK] &= facts->differ[s] ? ~(PlayerSet)0 : ~who;
            break;
        case SX_MUST_PLAY:
        case SX_OPPOSITE_PAIR:
        case SX_NOT_ADJACENT:
        case SX_NEVER_PASSES:
        case SX_ALWAYS_PASSES:
        case SX_NOT_BACK_ROW:
        case SX_MIN_ROTATIONS:
        case SX_LIBERO_FOR:
        case SX_MAX_SUBSTITUTIONS:
        case SX_MUST_SET:
        case SX_WISH_KINDS:
            break;
        }
    }
    if (wish->kind == SX_MUST_SIT || wish->kind == SX_FIXED_SLOT) {
        facts->liberos &= ~who;
    }
}

static int least(int a, int b) {
    return a < b ? a : b;
}

static void count_specialists(SetFacts *facts) {
    const SxProblem *problem = facts->problem;
    int split = 0;
    for (int s = 0; s < SX_SLOTS; s++) {
        split += problem->system->split[s];
    }
    facts->specialists = problem->plan->specialists;
    if (problem->rules->substitutions != SX_UNLIMITED) {
        facts->specialists = least(facts->specialists, problem->rules->substitutions / 2 - split);
    }
    for (int k = 0; k < problem->plan->wish_count; k++) {
        const SxWish *wish = &problem->plan->wishes[k];
        if (wish->kind == SX_MIN_ROTATIONS && wish->value > SX_ROTATIONS) {
            facts->specialists = -1; /* only several sets can give so many */
        }
        if (wish->kind == SX_MAX_SUBSTITUTIONS) {
            facts->specialists =
                wish->value < 2 * split ? -1 : least(facts->specialists, wish->value / 2 - split);
        }
    }
}

static void rank_place(SetFacts *facts, int s, SxRow row) {
    const int players = facts->problem->team->player_count;
    for (int k = 0; k < WORTHS; k++) {
        unsigned char *list = facts->ranked[s][row][k];
        int count = 0;
        for (int p = 0; p < players; p++) {
            if (!(facts->can[s][row] & player_bit(p))) {
                continue;
            }
            int at = count++;
            while (at > 0 && facts->worth[list[at - 1]][s][row][k] < facts->worth[p][s][row][k]) {
                list[at] = list[at - 1];
                at--;
            }
            list[at] = (unsigned char)p;
        }
        facts->ranked_count[s][row] = count;
    }
}

static double raw_worth(const SetFacts *facts, int p, int k) {
    return facts->problem->team->players[p].skill[skill_of[k]];
}

static void rank_liberos(SetFacts *facts) {
    for (int k = 0; k < WORTHS; k++) {
        int count = 0;
        for (int p = 0; p < facts->problem->team->player_count; p++) {
            if (!(facts->liberos & player_bit(p))) {
                continue;
            }
            int at = count++;
            unsigned char *list = facts->ranked_libero[k];
            while (at > 0 && raw_worth(facts, list[at - 1], k) < raw_worth(facts, p, k)) {
                list[at] = list[at - 1];
                at--;
            }
            list[at] = (unsigned char)p;
        }
        facts->libero_count = count;
    }
}

static void find_bonuses(SetFacts *facts) {
    const SxTeam *team = facts->problem->team;
    for (int k = 0; k < team->connection_count; k++) {
        const SxConnection *link = &team->connections[k];
        facts->bonus[link->setter][link->hitter] += link->bonus;
    }
    for (int p = 0; p < team->player_count; p++) {
        for (int s = 0; s < SX_SLOTS; s++) {
            for (int h = 0; h < team->player_count; h++) {
                if (facts->can[s][SX_FRONT] & player_bit(h)) {
                    double *most = &facts->most_bonus[p][s];
                    *most = fmax(*most, facts->bonus[p][h]);
                    facts->most_bonus[SX_MAX_PLAYERS][s] =
                        fmax(facts->most_bonus[SX_MAX_PLAYERS][s], *most);
                }
            }
        }
    }
}

/* --- formations ---------------------------------------------------------------------------------
 */

static bool libero_may(const SetFacts *facts, int r, int s) {
    return sx_libero_may_replace(facts->problem->system, s, r);
}

static SxLane lane_of(const SetFacts *facts, int r, int sides, int s) {
    return facts->row[r][s] == SX_FRONT ? sx_side_lane(sides, sx_position(s, r))
                                        : facts->problem->system->duty[s][SX_BACK].lane;
}

static Worth attack_worth(const SetFacts *facts, int r, int sides, int s) {
    if (s == facts->problem->system->setter_slot[r]) {
        return WORTH_SECOND_BALL;
    }
    return WORTH_ATTACK + (facts->row[r][s] == SX_FRONT ? (int)lane_of(facts, r, sides, s) : 0);
}

static void lay_out_rotation(SetFacts *facts, int r) {
    facts->front_attackers[r] = sx_front_attackers(facts->problem->system, r);
    for (int phase = 0; phase < SX_PHASES; phase++) {
        facts->step[r][phase] = sx_step_of((SxServeState){r, 0, (SxPhase)phase});
    }
    for (int s = 0; s < SX_SLOTS; s++) {
        facts->row[r][s] = sx_slot_row(s, r);
        facts->libero_slots[r] |= (unsigned)libero_may(facts, r, s) << s;
        for (int sides = 0; sides < SX_SIDES; sides++) {
            facts->asks[r][sides][s] = attack_worth(facts, r, sides, s);
        }
    }
}

static void find_shares(SetFacts *facts, int r, int sides, int gone) {
    double *share = facts->share[r][sides][gone];
    const double total = sx_attack_total(facts->problem, r, sides, gone);
    for (int s = 0; s < SX_SLOTS; s++) {
        share[s] =
            s != gone && total > 0 ? sx_attack_share(facts->problem, r, s, sides) / total : 0;
    }
}

static void add_choice(SetFacts *facts, int r, unsigned passers, int sides,
                       const SxFormation *formation) {
    const SxScoring *scoring = sx_scoring_of(facts->problem);
    Choice *choice = &facts->choice[r][facts->choice_count[r]++];
    const int n = sx_count_members(passers);
    *choice = (Choice){.passers = passers, .sides = sides, .factor = scoring->coverage[n] / n};
    const int passings = facts->passing_count[r];
    if (passings == 0 || facts->passing[r][passings - 1].passers != passers) {
        facts->passing[r][facts->passing_count[r]++] = (Passing){passers, choice->factor};
    }
    choice->set_late = scoring->late_set * formation->late[facts->problem->system->setter_slot[r]];
    for (int gone = 0; gone <= NO_SLOT; gone++) {
        for (int s = 0; s < SX_SLOTS; s++) {
            if (s != facts->problem->system->setter_slot[r]) {
                choice->attack_late[gone] +=
                    facts->share[r][sides][gone][s] * scoring->late_attack * formation->late[s];
            }
        }
        double *least_late = &facts->least_late[r][sides][gone];
        *least_late = facts->side_used[r][sides] ? fmin(*least_late, choice->attack_late[gone])
                                                 : choice->attack_late[gone];
    }
    facts->side_used[r][sides] = true;
    facts->least_set_late[r] = facts->choice_count[r] == 1
                                   ? choice->set_late
                                   : fmin(facts->least_set_late[r], choice->set_late);
}

static void find_choices(SetFacts *facts) {
    const SxProblem *problem = facts->problem;
    for (int r = 0; r < SX_ROTATIONS; r++) {
        lay_out_rotation(facts, r);
        for (int sides = 0; sides < SX_SIDES; sides++) {
            for (int gone = 0; gone <= NO_SLOT; gone++) {
                find_shares(facts, r, sides, gone);
            }
        }
        const int usual = sx_usual_sides(problem->system, r);
        for (unsigned mask = 1; mask < SX_MASKS; mask++) {
            for (int k = 0; k < SX_SIDES; k++) { /* the usual sides first: ties keep the first */
                const int sides = k == 0 ? usual : k <= usual ? k - 1 : k;
                const SxFormation *formation = sx_formation_at(problem->table, r, mask, sides);
                if (formation && formation->feasible &&
                    problem->plan->passers >> sx_count_members(mask) & 1) {
                    add_choice(facts, r, mask, sides, formation);
                }
            }
        }
    }
}

/* --- the opponent ------------------------------------------------------------------------------
 */

static bool all_alike(const SxSide theirs[SX_ROTATIONS]) {
    for (int r = 1; r < SX_ROTATIONS; r++) {
        if (theirs[r].more_attackers != theirs[0].more_attackers) {
            return false;
        }
        for (int k = 0; k < SX_SKILL_COUNT; k++) {
            if (theirs[r].rating[k] != theirs[0].rating[k]) {
                return false;
            }
        }
    }
    return true;
}

SxStatus sx_set_facts_new(const SxProblem *problem, SetFacts **out, SxError *err) {
    SetFacts *facts = calloc(1, sizeof *facts);
    *out = facts;
    if (!facts) {
        return sx_out_of_memory(err);
    }
    facts->problem = problem;
    facts->model = problem->against->model;
    sx_side_outs(facts->model, &facts->side_outs);
    memcpy(facts->theirs, problem->against->opponent->rotation, sizeof facts->theirs);
    facts->quick.tracks = all_alike(facts->theirs) ? 1 : SX_TRACKS;
    facts->quick.start = problem->plan->start;
    for (int s = 0; s < SX_SLOTS; s++) {
        facts->differ[s] = sx_rows_differ(problem, s);
    }
    find_candidates(facts);
    for (int k = 0; k < problem->plan->wish_count; k++) {
        apply_wish(facts, &problem->plan->wishes[k]);
    }
    count_specialists(facts);
    for (int s = 0; s < SX_SLOTS; s++) {
        rank_place(facts, s, SX_FRONT);
        rank_place(facts, s, SX_BACK);
    }
    rank_liberos(facts);
    find_bonuses(facts);
    find_choices(facts);
    return sx_set_rules_of(problem->rules, false, &facts->quick.rules, err);
}

void sx_set_facts_free(SetFacts *facts) {
    free(facts);
}

/* --- rates -------------------------------------------------------------------------------------
 */

static SxSide side_of(const SetFacts *facts, int r, const double part[SX_PARTS]) {
    return sx_side_of_parts(facts->model, part, facts->front_attackers[r]);
}

static void side_outs(const SetFacts *facts, const SxSide *ours, SituationRates rates) {
    for (int j = 0; j < facts->quick.tracks; j++) {
        rates[j] = sx_side_outs_of(&facts->side_outs, ours, &facts->theirs[j]);
    }
}

static void break_points(const SetFacts *facts, const SxSide *ours, SituationRates rates) {
    for (int j = 0; j < facts->quick.tracks; j++) {
        rates[j] = 1 - sx_side_outs_of(&facts->side_outs, &facts->theirs[j], ours);
    }
}

void sx_set_facts_put(const SetFacts *facts, int step, const SituationRates rates, StepRates *out) {
    for (int t = 0; t < facts->quick.tracks; t++) {
        const int theirs = facts->quick.tracks > 1 ? sx_step_theirs(t, step) : 0;
        out->of[t][step] = rates[theirs];
    }
}

/* --- bounds ------------------------------------------------------------------------------------
 */

typedef struct {
    double worth[SX_SLOTS][SX_ROWS][WORTHS];
    double bonus[SX_ROTATIONS][SX_SLOTS]; /* of the setter on duty with a front-row slot */
    double libero[WORTHS];
    bool any_libero;
} Best;

/* The first of the list who is not among these. */
static int best_left(const unsigned char *list, int count, PlayerSet used) {
    for (int k = 0; k < count; k++) {
        if (!(used & player_bit(list[k]))) {
            return list[k];
        }
    }
    return SX_NOBODY;
}

static void best_in_place(const SetFacts *facts, const Seating *seating, int s, SxRow row,
                          double *worth) {
    const int who = seating->who[s][row];
    if (who >= 0) {
        memcpy(worth, facts->worth[who][s][row], sizeof facts->worth[who][s][row]);
        return;
    }
    const PlayerSet gone =
        seating->used | (seating->allowed ? ~seating->allowed[s][row] : (PlayerSet)0);
    const int front = seating->who[s][SX_FRONT]; /* may hold both rows, or share them */
    const bool both = facts->differ[s] && !facts->problem->system->split[s];
    const bool shared = !both || seating->specialists < facts->specialists;
    for (int k = 0; k < WORTHS; k++) {
        const int p = shared || front < 0
                          ? best_left(facts->ranked[s][row][k], facts->ranked_count[s][row], gone)
                          : SX_NOBODY;
        worth[k] = p >= 0 ? facts->worth[p][s][row][k] : 0;
        if (both && row == SX_BACK && front >= 0) {
            worth[k] = fmax(worth[k], facts->worth[front][s][row][k]);
        }
    }
}

static double best_bonus(const SetFacts *facts, const Seating *seating, int r, int s) {
    const int setter_slot = facts->problem->system->setter_slot[r];
    const int setter = seating->who[setter_slot][facts->row[r][setter_slot]];
    const int hitter = seating->who[s][SX_FRONT];
    if (setter >= 0 && hitter >= 0) {
        return facts->bonus[setter][hitter];
    }
    return facts->most_bonus[setter >= 0 ? setter : SX_MAX_PLAYERS][s];
}

static void find_best(const SetFacts *facts, const Seating *seating, Best *best) {
    for (int s = 0; s < SX_SLOTS; s++) {
        best_in_place(facts, seating, s, SX_FRONT, best->worth[s][SX_FRONT]);
        best_in_place(facts, seating, s, SX_BACK, best->worth[s][SX_BACK]);
    }
    for (int r = 0; r < SX_ROTATIONS; r++) {
        for (int s = 0; s < SX_SLOTS; s++) {
            const bool hits =
                facts->row[r][s] == SX_FRONT && s != facts->problem->system->setter_slot[r];
            best->bonus[r][s] = hits ? best_bonus(facts, seating, r, s) : 0;
        }
    }
    best->any_libero = false;
    for (int k = WORTH_PASS; k < WORTHS; k++) {
        const int p = best_left(facts->ranked_libero[k], facts->libero_count, seating->used);
        best->any_libero |= p >= 0;
        best->libero[k] = p >= 0 ? raw_worth(facts, p, k) : 0;
    }
}

static double larger(double a, double b) {
    return b > a ? b : a;
}

/* What every slot brings to the attack from these sides. */
static void attack_by_slot(const SetFacts *facts, const Best *best, int r, int sides,
                           double out[SX_SLOTS]) {
    for (int s = 0; s < SX_SLOTS; s++) {
        const SxRow row = facts->row[r][s];
        out[s] = best->worth[s][row][facts->asks[r][sides][s]] + best->bonus[r][s];
    }
}

static double shared_attack(const double share[SX_SLOTS], const double by_slot[SX_SLOTS]) {
    double sum = 0;
    for (int s = 0; s < SX_SLOTS; s++) {
        sum += share[s] * by_slot[s];
    }
    return sum;
}

static double most_attack(const SetFacts *facts, const Best *best, int r) {
    const unsigned gone_for = best->any_libero ? facts->libero_slots[r] : 0;
    double most = 0, by_slot[SX_SLOTS];
    for (int sides = 0; sides < SX_SIDES; sides++) {
        if (!facts->side_used[r][sides]) {
            continue;
        }
        attack_by_slot(facts, best, r, sides, by_slot);
        for (int gone = 0; gone <= NO_SLOT; gone++) {
            if (gone == NO_SLOT || gone_for >> gone & 1) {
                most = larger(most, shared_attack(facts->share[r][sides][gone], by_slot) -
                                        facts->least_late[r][sides][gone]);
            }
        }
    }
    return most;
}

static double most_pass(const SetFacts *facts, const Best *best, int r) {
    double own[SX_SLOTS], libero_gains[SX_SLOTS], most = 0;
    for (int s = 0; s < SX_SLOTS; s++) {
        const bool libero = best->any_libero && facts->libero_slots[r] >> s & 1;
        own[s] = best->worth[s][facts->row[r][s]][WORTH_PASS];
        libero_gains[s] = libero ? best->libero[WORTH_PASS] - own[s] : 0;
    }
    for (int c = 0; c < facts->passing_count[r]; c++) {
        const Passing *passing = &facts->passing[r][c];
        double sum = 0, gain = 0;
        for (int s = 0; s < SX_SLOTS; s++) {
            if (passing->passers >> s & 1) {
                sum += own[s];
                gain = larger(gain, libero_gains[s]);
            }
        }
        most = larger(most, passing->factor * (sum + gain));
    }
    return most;
}

static double most_dig(const SetFacts *facts, const Best *best, int r) {
    double sum = 0, gain = 0;
    for (int s = 0; s < SX_SLOTS; s++) {
        if (facts->row[r][s] == SX_FRONT) {
            continue;
        }
        const double own = best->worth[s][SX_BACK][WORTH_DIG];
        sum += own;
        if (best->any_libero && facts->libero_slots[r] >> s & 1) {
            gain = larger(gain, best->libero[WORTH_DIG] - own);
        }
    }
    return (sum + gain) / SX_BACK_TURNS;
}

static double block_of(const SetFacts *facts, double worth[SX_SLOTS][SX_ROWS][WORTHS], int r) {
    const SxScoring *scoring = sx_scoring_of(facts->problem);
    double sum = 0;
    for (int s = 0; s < SX_SLOTS; s++) {
        if (facts->row[r][s] == SX_FRONT) {
            sum += scoring->block[facts->problem->system->duty[s][SX_FRONT].lane] *
                   worth[s][SX_FRONT][WORTH_BLOCK];
        }
    }
    return sum;
}

void sx_set_facts_bound(const SetFacts *facts, const Seating *seating, StepRates *out) {
    Best best;
    find_best(facts, seating, &best);
    for (int r = 0; r < SX_ROTATIONS; r++) {
        const int setter_slot = facts->problem->system->setter_slot[r];
        const SxRow setter_row = facts->row[r][setter_slot];
        double part[SX_PARTS] = {0};
        part[SX_PART_PASS] = most_pass(facts, &best, r);
        part[SX_PART_ATTACK] = most_attack(facts, &best, r);
        part[SX_PART_SET] =
            best.worth[setter_slot][setter_row][WORTH_SET] - facts->least_set_late[r];
        part[SX_PART_BLOCK] = block_of(facts, best.worth, r);
        part[SX_PART_SERVE] = best.worth[r][SX_BACK][WORTH_SERVE];
        if (best.any_libero && facts->problem->rules->libero_serves &&
            facts->libero_slots[r] >> r & 1) {
            part[SX_PART_SERVE] = fmax(part[SX_PART_SERVE], best.libero[WORTH_SERVE]);
        }
        part[SX_PART_DIG] = most_dig(facts, &best, r);
        SituationRates rates;
        const SxSide ours = side_of(facts, r, part);
        side_outs(facts, &ours, rates);
        sx_set_facts_put(facts, facts->step[r][SX_RECEIVE], rates, out);
        break_points(facts, &ours, rates);
        sx_set_facts_put(facts, facts->step[r][SX_SERVE], rates, out);
    }
}

/* --- complete orders ---------------------------------------------------------------------------
 */

static const double *worth_of(const SetFacts *facts, const Seating *seating, int r, int s) {
    const SxRow row = facts->row[r][s];
    return facts->worth[seating->who[s][row]][s][row];
}

static double passing_of(const SetFacts *facts, const Seating *seating, int r, int libero, int slot,
                         unsigned passers) {
    double sum = 0;
    for (int s = 0; s < SX_SLOTS; s++) {
        if (passers >> s & 1) {
            sum += libero >= 0 && s == slot ? raw_worth(facts, libero, WORTH_PASS)
                                            : worth_of(facts, seating, r, s)[WORTH_PASS];
        }
    }
    return sum;
}

static double attacking_of(const SetFacts *facts, const Seating *seating, int r, int gone,
                           int sides) {
    const double *share = facts->share[r][sides][gone];
    const int setter_slot = facts->problem->system->setter_slot[r];
    const int setter = seating->who[setter_slot][facts->row[r][setter_slot]];
    double sum = 0;
    for (int s = 0; s < SX_SLOTS; s++) {
        if (share[s] == 0) {
            continue;
        }
        const bool front = facts->row[r][s] == SX_FRONT;
        const double link =
            front && s != setter_slot ? facts->bonus[setter][seating->who[s][SX_FRONT]] : 0;
        sum += share[s] * (worth_of(facts, seating, r, s)[facts->asks[r][sides][s]] + link);
    }
    return sum;
}

static bool beaten(const double *a, const double *b, int tracks) {
    for (int j = 0; j < tracks; j++) {
        if (a[j] > b[j]) {
            return false;
        }
    }
    return true;
}

/* Keeps the rates that no other beats everywhere; of equal ones the first. */
static int keep_best(const SetFacts *facts, const Choice *choice, const SituationRates new,
                     int count, int most, const Choice **choices, SituationRates *rates) {
    const int tracks = facts->quick.tracks;
    for (int k = 0; k < count; k++) {
        if (beaten(new, rates[k], tracks)) {
            return count;
        }
    }
    int kept = 0;
    for (int k = 0; k < count; k++) {
        if (!beaten(rates[k], new, tracks)) {
            memmove(rates[kept], rates[k], sizeof rates[k]);
            choices[kept++] = choices[k];
        }
    }
    if (kept < most) {
        memcpy(rates[kept], new, (size_t)tracks * sizeof new[0]);
        choices[kept++] = choice;
    }
    return kept;
}

/* Parts of formations that were valued. One with no part better than another's adds nothing. */
enum { VALUED_PARTS = 3, MOST_VALUED = 8 };
typedef struct {
    int count;
    double part[MOST_VALUED][VALUED_PARTS];
} Valued;

static bool adds_nothing(const Valued *valued, const double part[VALUED_PARTS]) {
    for (int k = 0; k < valued->count; k++) {
        bool better = false;
        for (int p = 0; p < VALUED_PARTS; p++) {
            better = better || part[p] > valued->part[k][p];
        }
        if (!better) {
            return true;
        }
    }
    return false;
}

int sx_set_facts_receive(const SetFacts *facts, const Seating *seating, int rotation, int libero,
                         int slot, PassersAllowed allowed, const void *context, int most,
                         const Choice **choices, SituationRates *rates) {
    const int setter_slot = facts->problem->system->setter_slot[rotation];
    const double set = worth_of(facts, seating, rotation, setter_slot)[WORTH_SET];
    const int gone = libero >= 0 ? slot : NO_SLOT;
    double attack[SX_SIDES];
    for (int sides = 0; sides < SX_SIDES; sides++) {
        attack[sides] = facts->side_used[rotation][sides]
                            ? attacking_of(facts, seating, rotation, gone, sides)
                            : 0;
    }
    int count = 0;
    unsigned before = 0;
    double pass = 0;
    bool fine = false;
    Valued valued = {.count = 0};
    for (int c = 0; c < facts->choice_count[rotation]; c++) {
        const Choice *choice = &facts->choice[rotation][c];
        if (choice->passers != before) {
            before = choice->passers;
            fine = !allowed || allowed(context, rotation, before);
            pass = fine ? passing_of(facts, seating, rotation, libero, slot, before) : 0;
        }
        if (!fine) {
            continue;
        }
        double part[SX_PARTS] = {0};
        part[SX_PART_PASS] = choice->factor * pass;
        part[SX_PART_ATTACK] = attack[choice->sides] - choice->attack_late[gone];
        part[SX_PART_SET] = set - choice->set_late;
        const double parts[VALUED_PARTS] = {part[SX_PART_PASS], part[SX_PART_ATTACK],
                                            part[SX_PART_SET]};
        if (adds_nothing(&valued, parts)) {
            continue;
        }
        if (valued.count < MOST_VALUED) {
            memcpy(valued.part[valued.count++], parts, sizeof parts);
        }
        SituationRates new;
        const SxSide ours = side_of(facts, rotation, part);
        side_outs(facts, &ours, new);
        count = keep_best(facts, choice, new, count, most, choices, rates);
    }
    return count;
}

void sx_set_facts_serve(const SetFacts *facts, const Seating *seating, int rotation, int libero,
                        int slot, SituationRates rates) {
    double part[SX_PARTS] = {0};
    for (int s = 0; s < SX_SLOTS; s++) {
        const double *worth = worth_of(facts, seating, rotation, s);
        if (facts->row[rotation][s] == SX_FRONT) {
            part[SX_PART_BLOCK] += sx_scoring_of(facts->problem)
                                       ->block[facts->problem->system->duty[s][SX_FRONT].lane] *
                                   worth[WORTH_BLOCK];
            continue;
        }
        const bool in = libero >= 0 && s == slot;
        part[SX_PART_DIG] +=
            (in ? raw_worth(facts, libero, WORTH_DIG) : worth[WORTH_DIG]) / SX_BACK_TURNS;
        if (s == rotation) {
            part[SX_PART_SERVE] = in ? raw_worth(facts, libero, WORTH_SERVE) : worth[WORTH_SERVE];
        }
    }
    const SxSide ours = side_of(facts, rotation, part);
    break_points(facts, &ours, rates);
}
