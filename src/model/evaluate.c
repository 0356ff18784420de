/* Plain arithmetic on a given order: the best libero plan and passers, the score, the wishes. */
#include "sixturn/evaluate.h"

#include "model/lineup_model.h"
#include "sixturn/eligible.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Invented: how the parts of the score are made up. Coverage: fewer passers each guard more floor,
 * so the mean passing of two counts less than that of three or four. Attack shares: three front-row
 * attackers and two back-row attackers, all rated 10, make 10. */
const SxScoring sx_scoring = {
    .coverage = {0, 0, 0.88, 0.97, 1.0, 1.0},
    .front_attack = {[SX_LEFT] = 0.34, [SX_CENTRE] = 0.24, [SX_RIGHT] = 0.24},
    .back_attack = 0.09,
    .block = {[SX_LEFT] = 0.3, [SX_CENTRE] = 0.4, [SX_RIGHT] = 0.3},
};

const SxScoring *sx_scoring_of(const SxProblem *problem) {
    return problem->scoring ? problem->scoring : &sx_scoring;
}

static const double BETTER = 1e-9;

int sx_slot_player(const SxLineup *lineup, int rotation, int slot) {
    return sx_slot_row(slot, rotation) == SX_FRONT ? lineup->order.front[slot]
                                                   : lineup->order.back[slot];
}

int sx_on_court(const SxLineup *lineup, int rotation, SxPhase phase, int slot) {
    const SxRotation *at = &lineup->rotation[rotation];
    bool serves = slot == rotation && phase == SX_SERVE;
    if (at->libero >= 0 && at->libero_slot == slot && (!serves || at->libero_serves)) {
        return at->libero;
    }
    return sx_slot_player(lineup, rotation, slot);
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

static double pass_part(const SxProblem *problem, const SxSix *six, unsigned passers) {
    double sum = 0;
    int count = 0;
    for (int s = 0; s < SX_SLOTS; s++) {
        if (passers >> s & 1) {
            sum += problem->team->players[on_court(six, SX_RECEIVE, s)].skill[SX_PASSING];
            count++;
        }
    }
    return count ? sx_scoring_of(problem)->coverage[count] * sum / count : 0;
}

static void front_parts(const SxProblem *problem, int r, const SxSix *six, int s, double *part) {
    const SxDuty *duty = &problem->system->duty[s][SX_FRONT];
    const SxScoring *scoring = sx_scoring_of(problem);
    int setter_slot = problem->system->setter_slot[r];
    int p = six->player[s];
    if (duty->attacks) {
        double attack = sx_fit_skill(problem, p, s, SX_FRONT, SX_ATTACKING);
        attack += s == setter_slot ? 0 : bonus(problem->team, six->player[setter_slot], p);
        part[SX_PART_ATTACK] += scoring->front_attack[duty->lane] * attack;
    }
    part[SX_PART_BLOCK] +=
        scoring->block[duty->lane] * sx_fit_skill(problem, p, s, SX_FRONT, SX_BLOCKING);
}

static void back_parts(const SxProblem *problem, int r, const SxSix *six, int s, double *part) {
    if (problem->system->duty[s][SX_BACK].attacks &&
        on_court(six, SX_RECEIVE, s) == six->player[s]) {
        part[SX_PART_ATTACK] += sx_scoring_of(problem)->back_attack *
                                sx_fit_skill(problem, six->player[s], s, SX_BACK, SX_ATTACKING);
    }
    const double *skill = problem->team->players[on_court(six, SX_SERVE, s)].skill;
    part[SX_PART_DIG] += skill[SX_DIGGING] / SX_BACK_TURNS;
    if (s == r) {
        part[SX_PART_SERVE] = skill[SX_SERVING];
    }
}

void sx_rotation_parts(const SxProblem *problem, int rotation, const SxSix *six,
                       double part[SX_PARTS]) {
    int setter = problem->system->setter_slot[rotation];
    memset(part, 0, sizeof(double) * SX_PARTS);
    part[SX_PART_SET] = sx_fit_skill(problem, six->player[setter], setter,
                                     sx_slot_row(setter, rotation), SX_SETTING);
    for (int s = 0; s < SX_SLOTS; s++) {
        if (sx_slot_row(s, rotation) == SX_FRONT) {
            front_parts(problem, rotation, six, s, part);
        } else {
            back_parts(problem, rotation, six, s, part);
        }
    }
    part[SX_PART_PASS] = six->receive ? pass_part(problem, six, six->receive->passers) : 0;
    part[SX_PART_RUN] = six->receive ? six->receive->cost : 0;
}

double sx_rotation_score(const SxPlan *plan, const double part[SX_PARTS]) {
    double score = 0;
    for (int k = 0; k < SX_PARTS; k++) {
        score += (k == SX_PART_RUN ? -1 : 1) * plan->weight[k] * part[k];
    }
    return score;
}

void sx_lineup_six(const SxLineup *lineup, int rotation, SxSix *six) {
    const SxRotation *at = &lineup->rotation[rotation];
    for (int s = 0; s < SX_SLOTS; s++) {
        six->player[s] = sx_slot_player(lineup, rotation, s);
    }
    for (int phase = 0; phase < SX_PHASES; phase++) {
        bool out = phase == SX_SERVE && at->libero_slot == rotation && !at->libero_serves;
        six->libero[phase] = out ? SX_NOBODY : at->libero;
        six->libero_slot[phase] = at->libero_slot;
    }
    six->receive = at->receive;
}

static void score_rotation(const SxProblem *problem, SxLineup *lineup, int r) {
    SxRotation *at = &lineup->rotation[r];
    SxSix six;
    at->sides = sx_usual_sides(problem->system, r);
    at->receive = sx_formation_at(problem->table, r, at->passers, at->sides);
    at->front_attackers = sx_front_attackers(problem->system, r);
    sx_lineup_six(lineup, r, &six);
    sx_rotation_parts(problem, r, &six, at->part);
    at->score = sx_rotation_score(problem->plan, at->part);
}

static void score_total(const SxProblem *problem, SxLineup *lineup) {
    const SxPlan *plan = problem->plan;
    double sum = 0;
    double mean = 0;
    for (int r = 0; r < SX_ROTATIONS; r++) {
        sum += plan->rotation_weight[r];
    }
    for (int r = 0; r < SX_ROTATIONS; r++) {
        SxRotation *at = &lineup->rotation[r];
        at->weight = plan->rotation_weight[r] / sum;
        mean += at->weight * at->score;
    }
    double least = lineup->rotation[0].score;
    for (int r = 1; r < SX_ROTATIONS; r++) {
        least = fmin(least, lineup->rotation[r].score);
    }
    lineup->score = (1 - plan->balance) * mean + plan->balance * least;
}

void sx_lineup_score(const SxProblem *problem, SxLineup *lineup) {
    for (int r = 0; r < SX_ROTATIONS; r++) {
        score_rotation(problem, lineup, r);
    }
    score_total(problem, lineup);
}

/* --- wishes -------------------------------------------------------------------------------------
 */

static bool in_order(const SxLineup *lineup, int player, int slot) {
    return lineup->order.front[slot] == player || lineup->order.back[slot] == player;
}

static int slot_of(const SxLineup *lineup, int player) {
    for (int s = 0; s < SX_SLOTS; s++) {
        if (in_order(lineup, player, s)) {
            return s;
        }
    }
    return -1;
}

static bool plays(const SxLineup *lineup, int player) {
    for (int k = 0; k < lineup->libero_count; k++) {
        if (lineup->liberos[k] == player) {
            return true;
        }
    }
    return slot_of(lineup, player) >= 0;
}

static int court_slot(const SxLineup *lineup, int r, int player) {
    for (int s = 0; s < SX_SLOTS; s++) {
        if (sx_on_court(lineup, r, SX_RECEIVE, s) == player) {
            return s;
        }
    }
    return -1;
}

static int rotations_on_court(const SxLineup *lineup, int player) {
    int count = 0;
    for (int r = 0; r < SX_ROTATIONS; r++) {
        count += court_slot(lineup, r, player) >= 0;
    }
    return count;
}

/* Rotations of the player's back-row turn in which the libero does not stand in for her. */
static int rotations_stayed(const SxLineup *lineup, int player) {
    int count = 0;
    for (int r = 0; r < SX_ROTATIONS; r++) {
        int s = court_slot(lineup, r, player);
        count += s >= 0 && sx_slot_row(s, r) == SX_BACK && lineup->order.back[s] == player;
    }
    return count;
}

static bool passing_wish_holds(const SxLineup *lineup, const SxWish *wish, int r,
                               unsigned passers) {
    int s = court_slot(lineup, r, wish->player);
    bool passes = s >= 0 && passers >> s & 1;
    return wish->kind == SX_NEVER_PASSES ? !passes : s < 0 || passes;
}

static bool sets(const SxProblem *problem, const SxLineup *lineup, int player) {
    for (int r = 0; r < SX_ROTATIONS; r++) {
        if (sx_slot_player(lineup, r, problem->system->setter_slot[r]) == player) {
            return true;
        }
    }
    return false;
}

static bool pair_wish_holds(const SxLineup *lineup, const SxWish *wish) {
    int a = slot_of(lineup, wish->player);
    int b = slot_of(lineup, wish->other);
    if (wish->kind == SX_OPPOSITE_PAIR) {
        return (a < 0 && b < 0) || (a >= 0 && b == sx_opposite_slot(a));
    }
    int apart = (a - b + SX_SLOTS) % SX_SLOTS;
    return a < 0 || b < 0 || (apart != 1 && apart != SX_SLOTS - 1);
}

bool sx_wish_holds(const SxProblem *problem, const SxLineup *lineup, const SxWish *wish) {
    int p = wish->player;
    switch (wish->kind) {
    case SX_MUST_PLAY:
        return plays(lineup, p);
    case SX_MUST_SIT:
        return !plays(lineup, p);
    case SX_FIXED_SLOT:
        return in_order(lineup, p, wish->value);
    case SX_OPPOSITE_PAIR:
    case SX_NOT_ADJACENT:
        return pair_wish_holds(lineup, wish);
    case SX_NEVER_PASSES:
    case SX_ALWAYS_PASSES:
        for (int r = 0; r < SX_ROTATIONS; r++) {
            if (!passing_wish_holds(lineup, wish, r, lineup->rotation[r].passers)) {
                return false;
            }
        }
        return true;
    case SX_NOT_FRONT_ROW:
        return slot_of(lineup, p) < 0 || lineup->order.front[slot_of(lineup, p)] != p;
    case SX_NOT_BACK_ROW:
        return rotations_stayed(lineup, p) == 0;
    case SX_MIN_ROTATIONS:
        return rotations_on_court(lineup, p) >= wish->value;
    case SX_LIBERO_FOR:
        return rotations_stayed(lineup, p) == 0;
    case SX_MAX_SUBSTITUTIONS:
        return sx_substitutions_per_cycle(lineup) <= wish->value;
    case SX_MUST_SET:
        return sets(problem, lineup, p);
    case SX_WISH_KINDS:
        break;
    }
    return true;
}

/* --- the best libero plan and passers for an order -----------------------------------------------
 */

typedef struct {
    const SxProblem *problem;
    int liberos[SX_MAX_PLAYERS];
    int libero_count;
    SxLineup now, best;
    bool found;
    bool serve_given; /* a libero already serves in one place of the order */
    /* Best rotation for each (rotation, libero + 1, back turn, serves), once computed. */
    SxRotation memo[SX_ROTATIONS][SX_MAX_PLAYERS + 1][SX_BACK_TURNS][2];
    signed char known[SX_ROTATIONS][SX_MAX_PLAYERS + 1][SX_BACK_TURNS]
                     [2]; /* 1 yes, -1 impossible */
} Search;

static bool passers_allowed(const Search *search, int r, unsigned mask) {
    const SxPlan *plan = search->problem->plan;
    for (int k = 0; k < plan->wish_count; k++) {
        const SxWish *wish = &plan->wishes[k];
        if ((wish->kind == SX_NEVER_PASSES || wish->kind == SX_ALWAYS_PASSES) &&
            !passing_wish_holds(&search->now, wish, r, mask)) {
            return false;
        }
    }
    return true;
}

static bool size_allowed(const SxPlan *plan, unsigned mask) {
    return plan->passers >> sx_count_members(mask) & 1;
}

/* Chooses the passers of rotation r for the libero choice in `now`. */
static bool choose_passers(Search *search, int r) {
    const SxProblem *problem = search->problem;
    const SxPlan *plan = problem->plan;
    SxRotation *at = &search->now.rotation[r];
    double best = -INFINITY;
    unsigned chosen = 0;
    int sides = sx_usual_sides(problem->system, r);
    SxSix six;
    sx_lineup_six(&search->now, r, &six);
    for (unsigned mask = 1; mask < SX_MASKS; mask++) {
        const SxFormation *formation = sx_formation_at(problem->table, r, mask, sides);
        if (!formation || !formation->feasible || !size_allowed(plan, mask) ||
            !passers_allowed(search, r, mask)) {
            continue;
        }
        double value = plan->weight[SX_PART_PASS] * pass_part(problem, &six, mask) -
                       plan->weight[SX_PART_RUN] * formation->cost;
        if (value > best + BETTER) {
            best = value;
            chosen = mask;
        }
    }
    if (!chosen) {
        return false;
    }
    at->passers = chosen;
    score_rotation(problem, &search->now, r);
    return true;
}

/* Sets rotation r of `now` to its best for this libero choice; -1 for no libero. */
static bool set_rotation(Search *search, int r, int libero, int slot, bool serves) {
    int turn = libero >= 0 ? sx_back_turn(slot, r) : 0;
    SxRotation *memo = &search->memo[r][libero + 1][turn][serves];
    signed char *known = &search->known[r][libero + 1][turn][serves];
    if (*known == 0) {
        SxRotation *at = &search->now.rotation[r];
        at->libero = libero;
        at->libero_slot = libero >= 0 ? slot : -1;
        at->libero_serves = serves;
        *known = choose_passers(search, r) ? 1 : -1;
        *memo = *at;
    }
    search->now.rotation[r] = *memo;
    return *known > 0;
}

static void name_liberos(SxLineup *lineup) {
    lineup->libero_count = 0;
    lineup->liberos[0] = lineup->liberos[1] = -1;
    for (int r = 0; r < SX_ROTATIONS; r++) {
        int p = lineup->rotation[r].libero;
        if (p < 0 || (lineup->libero_count > 0 && lineup->liberos[0] == p) ||
            (lineup->libero_count > 1 && lineup->liberos[1] == p)) {
            continue;
        }
        if (lineup->libero_count < 2) {
            lineup->liberos[lineup->libero_count] = p;
        }
        lineup->libero_count++;
    }
    if (lineup->libero_count == 2 && lineup->liberos[0] > lineup->liberos[1]) {
        int swap = lineup->liberos[0];
        lineup->liberos[0] = lineup->liberos[1];
        lineup->liberos[1] = swap;
    }
}

/* Who covers which rotation, chosen slot by slot. */
typedef struct {
    int libero[SX_ROTATIONS], slot[SX_ROTATIONS];
    bool serves[SX_ROTATIONS];
} Cover;

static void finish(Search *search, const Cover *cover) {
    const SxPlan *plan = search->problem->plan;
    for (int r = 0; r < SX_ROTATIONS; r++) {
        if (!set_rotation(search, r, cover->libero[r], cover->slot[r], cover->serves[r])) {
            return;
        }
    }
    score_total(search->problem, &search->now);
    if (search->found && search->now.score <= search->best.score + BETTER) {
        return;
    }
    name_liberos(&search->now);
    if (search->now.libero_count > search->problem->rules->liberos) {
        return;
    }
    for (int k = 0; k < plan->wish_count; k++) {
        if (!sx_wish_holds(search->problem, &search->now, &plan->wishes[k])) {
            return;
        }
    }
    search->best = search->now;
    search->found = true;
}

static void choose_slot(Search *search, Cover *cover, int slot);

/* A rally passes between two replacements (FIVB 19): true if this stay would follow another at
 * once, or another this one. The slot's own serve is such a rally. */
static bool follows_at_once(const Cover *cover, int slot, int turn) {
    int before = (slot + turn + SX_ROTATIONS - 1) % SX_ROTATIONS;
    int after = (slot + SX_BACK_TURNS) % SX_ROTATIONS;
    return (turn > 0 && cover->libero[before] >= 0) ||
           (cover->libero[after] >= 0 && cover->slot[after] != after);
}

static void try_entry(Search *search, Cover *cover, int slot, int libero, int turn, bool serves) {
    if (follows_at_once(cover, slot, turn)) {
        return;
    }
    for (int k = turn; k < SX_BACK_TURNS; k++) {
        if (cover->libero[(slot + k) % SX_ROTATIONS] >= 0) {
            return;
        }
    }
    for (int k = turn; k < SX_BACK_TURNS; k++) {
        int r = (slot + k) % SX_ROTATIONS;
        cover->libero[r] = libero;
        cover->slot[r] = slot;
        cover->serves[r] = serves && k == 0;
    }
    search->serve_given |= serves;
    choose_slot(search, cover, slot + 1);
    if (serves) {
        search->serve_given = false;
    }
    for (int k = turn; k < SX_BACK_TURNS; k++) {
        int r = (slot + k) % SX_ROTATIONS;
        cover->libero[r] = -1;
        cover->serves[r] = false;
    }
}

static void choose_slot(Search *search, Cover *cover, int slot) {
    if (slot == SX_SLOTS) {
        finish(search, cover);
        return;
    }
    choose_slot(search, cover, slot + 1);
    for (int turn = SX_BACK_TURNS - 1; turn >= 0; turn--) {
        if (!sx_libero_may_enter(search->problem->system, slot, turn)) {
            continue;
        }
        for (int k = 0; k < search->libero_count; k++) {
            try_entry(search, cover, slot, search->liberos[k], turn, false);
            if (turn == 0 && search->problem->rules->libero_serves && !search->serve_given) {
                try_entry(search, cover, slot, search->liberos[k], turn, true);
            }
        }
    }
}

static bool holds_place(const SxOrder *order, int player) {
    for (int s = 0; s < SX_SLOTS; s++) {
        if (order->front[s] == player || order->back[s] == player) {
            return true;
        }
    }
    return false;
}

SxStatus sx_evaluate_order(const SxProblem *problem, const SxOrder *order, int start, SxLineup *out,
                           SxError *err) {
    Search *search = calloc(1, sizeof *search);
    if (!search) {
        return sx_out_of_memory(err);
    }
    search->problem = problem;
    search->now.order = *order;
    search->now.start = start;
    for (int p = 0; p < problem->team->player_count; p++) {
        if (sx_can_be_libero(problem, p) && !holds_place(order, p)) {
            search->liberos[search->libero_count++] = p;
        }
    }
    Cover cover;
    for (int r = 0; r < SX_ROTATIONS; r++) {
        cover.libero[r] = cover.slot[r] = -1;
        cover.serves[r] = false;
    }
    choose_slot(search, &cover, 0);
    bool found = search->found;
    if (found) {
        *out = search->best;
    }
    free(search);
    return found ? SX_OK : SX_NO;
}
