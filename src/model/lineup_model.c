/* Builds the lineup program: columns for who fills which slot, the libero's replacements and the
 * passers; rows for the system, the rules and the wishes; the six rotation scores as objective. */
#include "model/lineup_model.h"

#include "sixturn/eligible.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

typedef struct {
    LineupModel *m;
    const SxTeam *team;
    const SxRules *rules;
    const SxSystem *system;
    const SxPlan *plan;
    const bool *wishes; /* which of the plan's count; NULL: all */
    MipRow row;
    MipRow score[SX_ROTATIONS];
} Builder;

bool sx_libero_may_enter(const SxSystem *system, int slot, int turn) {
    for (int k = turn; k < SX_BACK_TURNS; k++) {
        if (system->setter_slot[(slot + k) % SX_ROTATIONS] == slot) {
            return false;
        }
    }
    return true;
}

/* Columns carry shirt numbers, so that a reader of the exported model knows who is meant. */
static int column(Builder *b, const char *kind, int player, int slot, int third, double cost,
                  bool integer) {
    char name[64];
    int used =
        snprintf(name, sizeof name, "%s_p%d_s%d", kind, b->team->players[player].number, slot);
    if (third >= 0) {
        snprintf(name + used, sizeof name - (size_t)used, "_%d", third);
    }
    return mip_column(b->m->mip, name, 0, 1, cost, integer);
}

static int put(Builder *b, double low, double high) {
    return mip_row_put(b->m->mip, &b->row, NULL, low, high);
}

static void add(Builder *b, int at, double value) {
    if (at) {
        mip_row_add(&b->row, at, value);
    }
}

static int players(const Builder *b) {
    return b->team->player_count;
}

/* --- columns ------------------------------------------------------------------------------------
 */

static void add_fill_columns(Builder *b) {
    for (int s = 0; s < SX_SLOTS; s++) {
        bool differ = sx_rows_differ(b->m->problem, s);
        for (int p = 0; p < players(b); p++) {
            int(*fills)[SX_ROWS] = &b->m->fills[p][s];
            if (sx_can_fill(b->m->problem, p, s, SX_FRONT)) {
                (*fills)[SX_FRONT] = column(b, differ ? "front" : "plays", p, s, -1, 0, true);
            }
            if (!differ) {
                (*fills)[SX_BACK] = (*fills)[SX_FRONT];
            } else if (sx_can_fill(b->m->problem, p, s, SX_BACK)) {
                (*fills)[SX_BACK] = column(b, "back", p, s, -1, 0, true);
            }
        }
        if (differ && !b->system->split[s]) {
            char name[32];
            snprintf(name, sizeof name, "specialist_s%d", s);
            b->m->specialist_in[s] = mip_column(b->m->mip, name, 0, 1, 0, true);
        }
    }
}

static void add_libero_columns(Builder *b) {
    for (int p = 0; p < players(b); p++) {
        if (!sx_can_be_libero(b->m->problem, p)) {
            continue;
        }
        char name[32];
        snprintf(name, sizeof name, "libero_p%d", b->team->players[p].number);
        b->m->nominated[p] = mip_column(b->m->mip, name, 0, 1, 0, true);
        for (int s = 0; s < SX_SLOTS; s++) {
            for (int k = 0; k < SX_BACK_TURNS; k++) {
                if (sx_libero_may_enter(b->system, s, k)) {
                    b->m->enters[p][s][k] = column(b, "enters", p, s, k, 0, true);
                }
            }
            if (b->rules->libero_serves && b->m->enters[p][s][0]) {
                b->m->libero_serves[p][s] = column(b, "libserve", p, s, -1, 0, true);
            }
        }
    }
}

static bool any_libero_in(const Builder *b, int s, int k) {
    for (int p = 0; p < players(b); p++) {
        for (int from = 0; from <= k; from++) {
            if (b->m->enters[p][s][from]) {
                return true;
            }
        }
    }
    return false;
}

static bool any_libero_serve(const Builder *b, int s) {
    for (int p = 0; p < players(b); p++) {
        if (b->m->libero_serves[p][s]) {
            return true;
        }
    }
    return false;
}

/* Adds 'libero p is in for slot s at back turn k'. */
static void add_in(Builder *b, int p, int s, int k, double value) {
    for (int from = 0; from <= k; from++) {
        add(b, b->m->enters[p][s][from], value);
    }
}

/* Products 'p fills the slot and the libero is not in', linearised: at most `fills`, and together
 * with the libero they make one. */
static void add_presence_columns(Builder *b) {
    for (int s = 0; s < SX_SLOTS; s++) {
        for (int k = 0; k < SX_BACK_TURNS; k++) {
            bool product = any_libero_in(b, s, k);
            for (int p = 0; p < players(b); p++) {
                int fills = b->m->fills[p][s][SX_BACK];
                b->m->stays[p][s][k] =
                    fills && product ? column(b, "stays", p, s, k, 0, false) : fills;
                if (fills && product) {
                    add(b, b->m->stays[p][s][k], 1);
                    add(b, fills, -1);
                    put(b, -HUGE_VAL, 0);
                }
            }
            for (int p = 0; product && p < players(b); p++) {
                add(b, b->m->stays[p][s][k], 1);
                add_in(b, p, s, k, 1);
            }
            if (product) {
                put(b, 1, 1);
            }
        }
        bool product = any_libero_serve(b, s);
        for (int p = 0; p < players(b); p++) {
            int fills = b->m->fills[p][s][SX_BACK];
            b->m->own_serve[p][s] =
                fills && product ? column(b, "ownserve", p, s, -1, 0, false) : fills;
            if (fills && product) {
                add(b, b->m->own_serve[p][s], 1);
                add(b, fills, -1);
                put(b, -HUGE_VAL, 0);
            }
        }
        for (int p = 0; product && p < players(b); p++) {
            add(b, b->m->own_serve[p][s], 1);
            add(b, b->m->libero_serves[p][s], 1);
        }
        if (product) {
            put(b, 1, 1);
        }
    }
}

/* --- rules of the game --------------------------------------------------------------------------
 */

static void add_one_player_each_place(Builder *b) {
    for (int s = 0; s < SX_SLOTS; s++) {
        for (int row = 0; row < (sx_rows_differ(b->m->problem, s) ? SX_ROWS : 1); row++) {
            for (int p = 0; p < players(b); p++) {
                add(b, b->m->fills[p][s][row], 1);
            }
            put(b, 1, 1);
        }
    }
}

/* A column that says player p has slot s in either row. In a slot that a specialist may share, one
 * player may hold both rows. */
static void add_presence(Builder *b, int p, int s, double value) {
    int front = b->m->fills[p][s][SX_FRONT];
    int back = b->m->fills[p][s][SX_BACK];
    add(b, front, value);
    if (back != front) {
        add(b, back, value);
    }
}

static void add_one_place_each_player(Builder *b) {
    for (int p = 0; p < players(b); p++) {
        int has[SX_SLOTS] = {0};
        for (int s = 0; s < SX_SLOTS; s++) {
            if (b->m->specialist_in[s]) {
                int front = b->m->fills[p][s][SX_FRONT];
                int back = b->m->fills[p][s][SX_BACK];
                if (!front && !back) {
                    continue;
                }
                has[s] = column(b, "has", p, s, -1, 0, false);
                for (int row = 0; row < SX_ROWS; row++) {
                    if (b->m->fills[p][s][row]) {
                        add(b, has[s], 1);
                        add(b, b->m->fills[p][s][row], -1);
                        put(b, 0, HUGE_VAL);
                    }
                }
            }
        }
        for (int s = 0; s < SX_SLOTS; s++) {
            if (has[s]) {
                add(b, has[s], 1);
            } else if (!b->m->specialist_in[s]) {
                add_presence(b, p, s, 1);
            }
        }
        add(b, b->m->nominated[p], 1);
        if (b->row.count) {
            put(b, -HUGE_VAL, 1);
        }
    }
}

static void add_specialists(Builder *b) {
    for (int s = 0; s < SX_SLOTS; s++) {
        if (!b->m->specialist_in[s]) {
            continue;
        }
        for (int p = 0; p < players(b); p++) {
            int front = b->m->fills[p][s][SX_FRONT];
            int back = b->m->fills[p][s][SX_BACK];
            if (!front && !back) {
                continue;
            }
            for (int sign = -1; sign <= 1; sign += 2) {
                add(b, front, sign);
                add(b, back, -sign);
                add(b, b->m->specialist_in[s], -1);
                put(b, -HUGE_VAL, 0);
            }
        }
    }
}

/* Two counted substitutions a cycle for every slot whose rows hold two players. */
static int substitution_row(Builder *b) {
    int fixed = 0;
    for (int s = 0; s < SX_SLOTS; s++) {
        fixed += b->system->split[s] ? 2 : 0;
        add(b, b->m->specialist_in[s], 2);
    }
    return fixed;
}

static void limit_substitutions(Builder *b, int most) {
    int fixed = substitution_row(b);
    if (b->row.count || fixed > most) {
        put(b, -HUGE_VAL, most - fixed);
    }
}

static void add_substitution_rows(Builder *b) {
    if (b->rules->substitutions != SX_UNLIMITED) {
        limit_substitutions(b, b->rules->substitutions);
    }
    for (int s = 0; s < SX_SLOTS; s++) {
        add(b, b->m->specialist_in[s], 1);
    }
    if (b->row.count) {
        put(b, -HUGE_VAL, b->plan->specialists);
    }
}

/* A rally between two replacements (FIVB 19): when a stay has ended, the next slot's own serve is
 * that rally, but a stay that begins at a later turn would follow at once. */
static void add_rests(Builder *b) {
    for (int r = 0; r < SX_ROTATIONS; r++) {
        int ended = (r + SX_SLOTS - SX_BACK_TURNS) % SX_SLOTS;
        for (int p = 0; p < players(b); p++) {
            add_in(b, p, ended, SX_BACK_TURNS - 1, 1);
            for (int k = 1; k < SX_BACK_TURNS; k++) {
                add(b, b->m->enters[p][(r + SX_SLOTS - k) % SX_SLOTS][k], 1);
            }
        }
        if (b->row.count) {
            put(b, -HUGE_VAL, 1);
        }
    }
}

static void add_libero_rows(Builder *b) {
    for (int p = 0; p < players(b); p++) {
        add(b, b->m->nominated[p], 1);
    }
    if (!b->row.count) {
        return;
    }
    put(b, -HUGE_VAL, b->rules->liberos);
    for (int p = 0; p < players(b); p++) {
        if (!b->m->nominated[p]) {
            continue;
        }
        for (int r = 0; r < SX_ROTATIONS; r++) {
            for (int s = 0; s < SX_SLOTS; s++) {
                int k = sx_back_turn(s, r);
                if (k >= 0) {
                    add_in(b, p, s, k, 1);
                }
            }
            add(b, b->m->nominated[p], -1);
            put(b, -HUGE_VAL, 0);
        }
        add(b, b->m->nominated[p], 1);
        for (int s = 0; s < SX_SLOTS; s++) {
            add_in(b, p, s, SX_BACK_TURNS - 1, -1);
        }
        put(b, -HUGE_VAL, 0);
        for (int s = 0; s < SX_SLOTS; s++) {
            if (b->m->libero_serves[p][s]) {
                add(b, b->m->libero_serves[p][s], 1);
                add(b, b->m->enters[p][s][0], -1);
                put(b, -HUGE_VAL, 0);
            }
        }
    }
    for (int r = 0; r < SX_ROTATIONS; r++) { /* one libero on court */
        for (int s = 0; s < SX_SLOTS; s++) {
            for (int p = 0; sx_back_turn(s, r) >= 0 && p < players(b); p++) {
                add_in(b, p, s, sx_back_turn(s, r), 1);
            }
        }
        put(b, -HUGE_VAL, 1);
    }
    add_rests(b);
    for (int s = 0; s < SX_SLOTS; s++) { /* serving in one place of the order */
        for (int p = 0; p < players(b); p++) {
            add(b, b->m->libero_serves[p][s], 1);
        }
    }
    if (b->row.count) {
        put(b, -HUGE_VAL, 1);
    }
}

/* --- passing ------------------------------------------------------------------------------------
 */

/* Terms of 'player p, in her own right, is on court for slot s in rotation r', or as the libero. */
static void add_on_court(Builder *b, int p, int s, int r, double value) {
    int k = sx_back_turn(s, r);
    if (k < 0) {
        add(b, b->m->fills[p][s][SX_FRONT], value);
    } else {
        add(b, b->m->stays[p][s][k], value);
        add_in(b, p, s, k, value);
    }
}

static bool can_be_on_court(Builder *b, int p, int s, int r) {
    add_on_court(b, p, s, r, 1);
    bool can = b->row.count > 0;
    mip_row_clear(&b->row);
    return can;
}

static void add_pass_columns(Builder *b, int s, int r, const int *formation) {
    for (int p = 0; p < players(b); p++) {
        if (!can_be_on_court(b, p, s, r)) {
            continue;
        }
        for (int n = SX_MIN_PASSERS; n <= SX_MAX_PASSERS; n++) {
            if (b->plan->passers >> n & 1) {
                char kind[16];
                snprintf(kind, sizeof kind, "pass%d", n);
                int at = column(b, kind, p, s, r, 0, false);
                b->m->passes[p][s][r][n] = at;
                mip_row_add(&b->score[r], at,
                            b->plan->weight[SX_PART_PASS] *
                                sx_scoring_of(b->m->problem)->coverage[n] *
                                b->team->players[p].skill[SX_PASSING] / n);
                add(b, at, 1);
            }
        }
        add_on_court(b, p, s, r, -1);
        put(b, -HUGE_VAL, 0);
    }
    for (int n = SX_MIN_PASSERS; n <= SX_MAX_PASSERS; n++) {
        if (!(b->plan->passers >> n & 1)) {
            continue;
        }
        for (unsigned mask = 1; mask < SX_MASKS; mask++) {
            if (formation[mask] && sx_count_members(mask) == n && mask >> s & 1) {
                add(b, formation[mask], -1);
            }
        }
        for (int p = 0; p < players(b); p++) {
            add(b, b->m->passes[p][s][r][n], 1);
        }
        if (b->row.count) {
            put(b, 0, 0);
        }
    }
}

/* The formation columns may stay continuous: with the players fixed, each rotation's best mixture
 * of formations is no better than the best one in it. */
static void add_passing(Builder *b, int r) {
    int formation[SX_MASKS] = {0};
    int sides = sx_usual_sides(b->system, r);
    for (unsigned mask = 1; mask < SX_MASKS; mask++) {
        const SxFormation *f = sx_formation_at(b->m->problem->table, r, mask, sides);
        if (f && f->feasible && b->plan->passers >> sx_count_members(mask) & 1) {
            char name[48];
            snprintf(name, sizeof name, "formation_r%d_m%u", r + 1, mask);
            formation[mask] = mip_column(b->m->mip, name, 0, 1, 0, false);
            mip_row_add(&b->score[r], formation[mask], -b->plan->weight[SX_PART_RUN] * f->cost);
            add(b, formation[mask], 1);
        }
    }
    /* An empty row says 0 = 1: no formation, no lineup. */
    put(b, 1, 1);
    for (int s = 0; s < SX_SLOTS; s++) {
        add_pass_columns(b, s, r, formation);
    }
}

/* --- the other parts of the score ---------------------------------------------------------------
 */

static void score_term(Builder *b, int r, int at, double value) {
    if (at && value != 0) {
        mip_row_add(&b->score[r], at, value);
    }
}

static void score_front(Builder *b, int p, int s, int r) {
    const SxDuty *duty = &b->system->duty[s][SX_FRONT];
    int at = b->m->fills[p][s][SX_FRONT];
    if (duty->attacks) {
        score_term(b, r, at,
                   b->plan->weight[SX_PART_ATTACK] *
                       sx_scoring_of(b->m->problem)->front_attack[duty->lane] *
                       sx_fit_skill(b->m->problem, p, s, SX_FRONT, SX_ATTACKING));
    }
    score_term(b, r, at,
               b->plan->weight[SX_PART_BLOCK] * sx_scoring_of(b->m->problem)->block[duty->lane] *
                   sx_fit_skill(b->m->problem, p, s, SX_FRONT, SX_BLOCKING));
}

static void score_back(Builder *b, int p, int s, int r) {
    int k = sx_back_turn(s, r);
    const SxPlayer *who = &b->team->players[p];
    const double *weight = b->plan->weight;
    if (b->system->duty[s][SX_BACK].attacks) {
        score_term(b, r, b->m->stays[p][s][k],
                   weight[SX_PART_ATTACK] * sx_scoring_of(b->m->problem)->back_attack *
                       sx_fit_skill(b->m->problem, p, s, SX_BACK, SX_ATTACKING));
    }
    double dig = weight[SX_PART_DIG] * who->skill[SX_DIGGING] / SX_BACK_TURNS;
    if (k == 0) {
        double serve = weight[SX_PART_SERVE] * who->skill[SX_SERVING];
        score_term(b, r, b->m->own_serve[p][s], dig + serve);
        score_term(b, r, b->m->libero_serves[p][s], dig + serve);
        return;
    }
    score_term(b, r, b->m->stays[p][s][k], dig);
    for (int from = 0; from <= k; from++) {
        score_term(b, r, b->m->enters[p][s][from], dig);
    }
}

static void add_scores(Builder *b) {
    for (int r = 0; r < SX_ROTATIONS; r++) {
        int setter = b->system->setter_slot[r];
        SxRow setter_row = sx_slot_row(setter, r);
        for (int p = 0; p < players(b); p++) {
            for (int s = 0; s < SX_SLOTS; s++) {
                if (sx_slot_row(s, r) == SX_FRONT) {
                    score_front(b, p, s, r);
                } else {
                    score_back(b, p, s, r);
                }
            }
            score_term(b, r, b->m->fills[p][setter][setter_row],
                       b->plan->weight[SX_PART_SET] *
                           sx_fit_skill(b->m->problem, p, setter, setter_row, SX_SETTING));
        }
    }
}

/* The product 'this setter and this hitter are both in', once for each pair of places. */
static int add_product(Builder *b, int setter, int hitter) {
    int both = mip_column(b->m->mip, NULL, 0, 1, 0, false);
    int factor[2] = {setter, hitter};
    for (int k = 0; k < 2; k++) {
        add(b, both, 1);
        add(b, factor[k], -1);
        put(b, -HUGE_VAL, 0);
    }
    add(b, both, 1);
    add(b, setter, -1);
    add(b, hitter, -1);
    put(b, -1, HUGE_VAL);
    return both;
}

static void add_connection(Builder *b, const SxConnection *link) {
    int made[SX_SLOTS][SX_ROWS][SX_SLOTS] = {0};
    for (int r = 0; r < SX_ROTATIONS; r++) {
        int ss = b->system->setter_slot[r];
        SxRow row = sx_slot_row(ss, r);
        int setter = b->m->fills[link->setter][ss][row];
        for (int s = 0; setter && s < SX_SLOTS; s++) {
            const SxDuty *duty = &b->system->duty[s][SX_FRONT];
            int hitter = b->m->fills[link->hitter][s][SX_FRONT];
            if (s == ss || sx_slot_row(s, r) != SX_FRONT || !duty->attacks || !hitter) {
                continue;
            }
            if (!made[ss][row][s]) {
                made[ss][row][s] = add_product(b, setter, hitter);
            }
            score_term(b, r, made[ss][row][s],
                       b->plan->weight[SX_PART_ATTACK] *
                           sx_scoring_of(b->m->problem)->front_attack[duty->lane] * link->bonus);
        }
    }
}

/* --- wishes -------------------------------------------------------------------------------------
 */

/* Whoever of the two has slot s, in whichever row, has the other opposite, in whichever row: in a
 * slot shared with a specialist one of them may hold both rows and the other only one. */
static void wish_opposite(Builder *b, int player, int other) {
    for (int s = 0; s < SX_SLOTS; s++) {
        const int *fills = b->m->fills[player][s];
        for (int row = 0; row < (fills[SX_FRONT] == fills[SX_BACK] ? 1 : SX_ROWS); row++) {
            if (fills[row]) {
                add(b, fills[row], 1);
                add_presence(b, other, sx_opposite_slot(s), -1);
                put(b, -HUGE_VAL, 0);
            }
        }
    }
}

static void wish_apart(Builder *b, const SxWish *wish) {
    for (int s = 0; s < SX_SLOTS; s++) {
        for (int step = 1; step < SX_SLOTS; step += SX_SLOTS - 2) {
            /* each row apart, so that a slot shared with a specialist is counted once */
            for (int row = 0; row < SX_ROWS * SX_ROWS; row++) {
                add(b, b->m->fills[wish->player][s][row / SX_ROWS], 1);
                add(b, b->m->fills[wish->other][(s + step) % SX_SLOTS][row % SX_ROWS], 1);
                if (b->row.count) {
                    put(b, -HUGE_VAL, 1);
                }
            }
        }
    }
}

static void wish_passing(Builder *b, const SxWish *wish) {
    for (int r = 0; r < SX_ROTATIONS; r++) {
        for (int s = 0; s < SX_SLOTS; s++) {
            for (int n = SX_MIN_PASSERS; n <= SX_MAX_PASSERS; n++) {
                add(b, b->m->passes[wish->player][s][r][n], 1);
            }
            if (wish->kind == SX_ALWAYS_PASSES) {
                add_on_court(b, wish->player, s, r, -1);
            }
            if (b->row.count) {
                put(b, 0, 0);
            }
        }
    }
}

static void wish_rotations(Builder *b, const SxWish *wish) {
    for (int r = 0; r < SX_ROTATIONS; r++) {
        for (int s = 0; s < SX_SLOTS; s++) {
            add_on_court(b, wish->player, s, r, 1);
        }
    }
    put(b, wish->value, HUGE_VAL);
}

static void wish_libero_for(Builder *b, const SxWish *wish) {
    for (int s = 0; s < SX_SLOTS; s++) {
        int fills = b->m->fills[wish->player][s][SX_BACK];
        if (!fills) {
            continue;
        }
        for (int p = 0; p < players(b); p++) {
            add(b, b->m->enters[p][s][0], 1);
        }
        add(b, fills, -1);
        put(b, 0, HUGE_VAL);
    }
}

static void wish_must_set(Builder *b, const SxWish *wish) {
    int seen[SX_SLOTS][SX_ROWS] = {0};
    for (int r = 0; r < SX_ROTATIONS; r++) {
        int s = b->system->setter_slot[r];
        SxRow row = sx_slot_row(s, r);
        int at = b->m->fills[wish->player][s][row];
        if (!seen[s][row] && at) {
            seen[s][row] = 1;
            add(b, at, 1);
        }
    }
    put(b, 1, HUGE_VAL);
}

static void wish_presence(Builder *b, const SxWish *wish) {
    for (int s = 0; s < SX_SLOTS; s++) {
        if (wish->kind != SX_FIXED_SLOT || s == wish->value) {
            add_presence(b, wish->player, s, 1);
        }
    }
    if (wish->kind != SX_FIXED_SLOT) {
        add(b, b->m->nominated[wish->player], 1);
    }
    if (wish->kind == SX_MUST_SIT) {
        put(b, 0, 0);
    } else {
        put(b, 1, HUGE_VAL);
    }
}

static void wish_row(Builder *b, const SxWish *wish) {
    for (int s = 0; s < SX_SLOTS; s++) {
        if (wish->kind == SX_NOT_FRONT_ROW) {
            add(b, b->m->fills[wish->player][s][SX_FRONT], 1);
            continue;
        }
        for (int k = 0; k < SX_BACK_TURNS; k++) {
            add(b, b->m->stays[wish->player][s][k], 1);
        }
    }
    put(b, 0, 0);
}

static void add_wish(Builder *b, const SxWish *wish) {
    switch (wish->kind) {
    case SX_MUST_PLAY:
    case SX_MUST_SIT:
    case SX_FIXED_SLOT:
        wish_presence(b, wish);
        break;
    case SX_OPPOSITE_PAIR:
        wish_opposite(b, wish->player, wish->other);
        wish_opposite(b, wish->other, wish->player);
        break;
    case SX_NOT_ADJACENT:
        wish_apart(b, wish);
        break;
    case SX_NEVER_PASSES:
    case SX_ALWAYS_PASSES:
        wish_passing(b, wish);
        break;
    case SX_NOT_FRONT_ROW:
    case SX_NOT_BACK_ROW:
        wish_row(b, wish);
        break;
    case SX_MIN_ROTATIONS:
        wish_rotations(b, wish);
        break;
    case SX_LIBERO_FOR:
        wish_libero_for(b, wish);
        break;
    case SX_MAX_SUBSTITUTIONS:
        limit_substitutions(b, wish->value);
        break;
    case SX_MUST_SET:
        wish_must_set(b, wish);
        break;
    case SX_WISH_KINDS:
        break;
    }
}

/* --- objective ----------------------------------------------------------------------------------
 */

static void add_objective(Builder *b) {
    double total = 0;
    double balance = b->plan->balance;
    for (int r = 0; r < SX_ROTATIONS; r++) {
        total += b->plan->rotation_weight[r];
    }
    if (balance > 0) {
        b->m->weakest = mip_column(b->m->mip, "weakest", -HUGE_VAL, HUGE_VAL, balance, false);
    }
    for (int r = 0; r < SX_ROTATIONS; r++) {
        double share = (1 - balance) * b->plan->rotation_weight[r] / total;
        MipRow *score = &b->score[r];
        mip_row_merge(score);
        for (int k = 1; k <= score->count; k++) {
            double cost = glp_get_obj_coef(b->m->mip, score->column[k]);
            glp_set_obj_coef(b->m->mip, score->column[k], cost + share * score->value[k]);
        }
        if (balance > 0) {
            char name[32];
            snprintf(name, sizeof name, "score_r%d", r + 1);
            mip_row_add(score, b->m->weakest, -1);
            mip_row_put(b->m->mip, score, name, 0, HUGE_VAL);
        }
    }
}

/* Of two orders that are half a turn apart, keep the one with the smaller shirt number in slot 0.
 */
static void add_symmetry_row(Builder *b) {
    if (!sx_halves_alike(b->m->problem)) {
        return;
    }
    for (int p = 0; p < players(b); p++) {
        add(b, b->m->fills[p][0][SX_FRONT], p);
        add(b, b->m->fills[p][SX_SLOTS / 2][SX_FRONT], -p);
    }
    put(b, -HUGE_VAL, -1);
}

static SxStatus build(void *data, SxError *err) {
    (void)err;
    Builder *b = data;
    LineupModel *m = b->m;
    m->mip = glp_create_prob();
    glp_set_prob_name(m->mip, "sixturn_lineup");
    glp_set_obj_name(m->mip, "points");
    glp_set_obj_dir(m->mip, GLP_MAX);
    add_fill_columns(b);
    add_libero_columns(b);
    add_presence_columns(b);
    add_one_player_each_place(b);
    add_one_place_each_player(b);
    add_specialists(b);
    add_substitution_rows(b);
    add_libero_rows(b);
    for (int r = 0; r < SX_ROTATIONS; r++) {
        add_passing(b, r);
    }
    add_scores(b);
    for (int k = 0; k < b->team->connection_count; k++) {
        add_connection(b, &b->team->connections[k]);
    }
    for (int k = 0; k < b->plan->wish_count; k++) {
        if (!b->wishes || b->wishes[k]) {
            add_wish(b, &b->plan->wishes[k]);
        }
    }
    add_objective(b);
    add_symmetry_row(b);
    return SX_OK;
}

static void free_rows(Builder *b) {
    mip_row_free(&b->row);
    for (int r = 0; r < SX_ROTATIONS; r++) {
        mip_row_free(&b->score[r]);
    }
}

SxStatus sx_lineup_model_build(const SxProblem *problem, const bool *wishes, LineupModel **model,
                               SxError *err) {
    Builder *b = calloc(1, sizeof *b);
    LineupModel *m = calloc(1, sizeof *m);
    if (!b || !m) {
        free(b);
        free(m);
        return sx_out_of_memory(err);
    }
    *b = (Builder){.m = m,
                   .team = problem->team,
                   .rules = problem->rules,
                   .system = problem->system,
                   .plan = problem->plan,
                   .wishes = wishes};
    m->problem = problem;
    SxStatus status = sx_solver_run(build, b, &m->mip, err);
    free_rows(b);
    free(b);
    if (status == SX_OK) {
        *model = m;
    } else {
        sx_lineup_model_free(m);
    }
    return status;
}

void sx_lineup_model_free(LineupModel *model) {
    if (model) {
        if (model->mip) {
            glp_delete_prob(model->mip);
        }
        mip_row_free(&model->row);
        free(model);
    }
}

/* --- orders -------------------------------------------------------------------------------------
 */

/* Gathers the columns of an order; each shared column once. Returns how many there are. */
static int order_columns(const LineupModel *model, const SxOrder *order, int *out) {
    int count = 0;
    for (int s = 0; s < SX_SLOTS; s++) {
        int front = model->fills[order->front[s]][s][SX_FRONT];
        int back = model->fills[order->back[s]][s][SX_BACK];
        if (front) {
            out[count++] = front;
        }
        if (back && back != front) {
            out[count++] = back;
        }
    }
    return count;
}

void sx_lineup_model_cut(LineupModel *model, const SxOrder *order) {
    int columns[SX_SLOTS * SX_ROWS];
    int count = order_columns(model, order, columns);
    MipRow *row = &model->row;
    for (int k = 0; k < count; k++) {
        mip_row_add(row, columns[k], 1);
    }
    mip_row_put(model->mip, row, NULL, -HUGE_VAL, count - 1);
}

/* The columns that, summed, count a player's rotations in reception; a column may come again. */
static int reception_columns(const LineupModel *model, int p, int *out) {
    int count = 0;
    for (int r = 0; r < SX_ROTATIONS; r++) {
        for (int s = 0; s < SX_SLOTS; s++) {
            int k = sx_back_turn(s, r);
            if (k < 0) {
                out[count++] = model->fills[p][s][SX_FRONT];
                continue;
            }
            out[count++] = model->stays[p][s][k];
            for (int from = 0; from <= k; from++) {
                out[count++] = model->enters[p][s][from];
            }
        }
    }
    return count;
}

enum { RECEPTION_COLUMNS = SX_ROTATIONS * SX_SLOTS * (1 + SX_BACK_TURNS) };

void sx_lineup_model_reward(LineupModel *model, int player, double points) {
    int columns[RECEPTION_COLUMNS];
    int count = reception_columns(model, player, columns);
    for (int k = 0; k < count; k++) {
        if (columns[k]) {
            double cost = glp_get_obj_coef(model->mip, columns[k]);
            glp_set_obj_coef(model->mip, columns[k], cost + points);
        }
    }
}

int sx_lineup_model_receptions(const LineupModel *model, int player) {
    int columns[RECEPTION_COLUMNS];
    int count = reception_columns(model, player, columns);
    double sum = 0;
    for (int k = 0; k < count; k++) {
        sum += columns[k] ? glp_mip_col_val(model->mip, columns[k]) : 0;
    }
    return (int)lround(sum);
}

void sx_lineup_model_fix(LineupModel *model, const SxOrder *order) {
    int columns[SX_SLOTS * SX_ROWS];
    int count = order_columns(model, order, columns);
    for (int k = 0; k < count; k++) {
        glp_set_col_bnds(model->mip, columns[k], GLP_FX, 1, 1);
    }
}

void sx_lineup_model_order(const LineupModel *model, SxOrder *order) {
    for (int s = 0; s < SX_SLOTS; s++) {
        for (int p = 0; p < model->problem->team->player_count; p++) {
            int front = model->fills[p][s][SX_FRONT];
            int back = model->fills[p][s][SX_BACK];
            if (front && glp_mip_col_val(model->mip, front) > 0.5) {
                order->front[s] = p;
            }
            if (back && glp_mip_col_val(model->mip, back) > 0.5) {
                order->back[s] = p;
            }
        }
    }
}
