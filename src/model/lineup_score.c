/* Columns and rows of the lineup program for the score: the formation and the passers of each
 * rotation, the attack of whoever is there, and the parts that the places decide. */
#include "model/lineup_build.h"

#include "sixturn/eligible.h"
#include "sixturn/evaluate.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum {
    MOST_CHOICES = SX_MASKS * SX_SIDES * (1 + SX_BACK_TURNS),
    MOST_CLASSES = SX_SIDES * (1 + SX_BACK_TURNS)
};
/* Shares this close are the same: they are sums of the same few constants. */
static const double SAME_SHARE = 1e-12;

/* One choice of a rotation; `replaced` is the back-row attacker whom the libero replaces in
 * reception, SX_NOBODY if none. */
typedef struct {
    const SxFormation *formation;
    int replaced;
    int column;
} Choice;

typedef struct {
    int count;
    Choice item[MOST_CHOICES];
} Choices;

static int players(const Builder *b) {
    return b->team->player_count;
}

static double weight(const Builder *b, SxPart part) {
    return b->plan->weight[part];
}

/* --- choices of a rotation ----------------------------------------------------------------------
 */

static bool any_libero(const Builder *b, int s, int r) {
    for (int p = 0; p < players(b); p++) {
        if (b->m->in[p][s][r][SX_RECEIVE]) {
            return true;
        }
    }
    return false;
}

static bool ever_attacks(const Builder *b, int r, int s) {
    for (int sides = 0; sides < SX_SIDES; sides++) {
        if (sx_attack_share(b->problem, r, s, sides) > 0) {
            return weight(b, SX_PART_ATTACK) > 0;
        }
    }
    return false;
}

/* The back-row attackers whose place the libero may take, after SX_NOBODY. Without a weight on
 * attack it does not matter. */
static int list_replaced(const Builder *b, int r, int *replaced) {
    int count = 0;
    replaced[count++] = SX_NOBODY;
    for (int s = 0; s < SX_SLOTS; s++) {
        if (sx_slot_row(s, r) == SX_BACK && ever_attacks(b, r, s) && any_libero(b, s, r)) {
            replaced[count++] = s;
        }
    }
    return count;
}

static double choice_points(const Builder *b, int r, const Choice *choice) {
    const SxScoring *scoring = sx_scoring_of(b->problem);
    const SxFormation *formation = choice->formation;
    double total = sx_attack_total(b->problem, r, formation->sides, choice->replaced);
    double late = sx_attack_lateness(b->problem, r, formation, choice->replaced);
    double points =
        -weight(b, SX_PART_RUN) * formation->cost -
        weight(b, SX_PART_SET) * scoring->late_set * formation->late[b->system->setter_slot[r]];
    return total > 0 ? points - weight(b, SX_PART_ATTACK) * scoring->late_attack * late / total
                     : points;
}

/* --- sides that cannot pay ---
 *
 * With the same passers and the same libero, other sides than the usual ones can be left out if no
 * players who may be there gain as much by them as they cost. */

static double share_of(const Builder *b, int r, int s, int sides, int replaced) {
    double total = sx_attack_total(b->problem, r, sides, replaced);
    return s != replaced && total > 0 ? sx_attack_share(b->problem, r, s, sides) / total : 0;
}

/* The most that any setter's connection adds to (sign 1) or takes from (-1) this hitter. */
static double most_bonus(const Builder *b, int p, double sign) {
    double most = 0;
    for (int k = 0; k < b->team->connection_count; k++) {
        const SxConnection *link = &b->team->connections[k];
        most = link->hitter == p ? fmax(most, sign * link->bonus) : most;
    }
    return most;
}

static double attack_gain(const Builder *b, int r, int s, int p, int sides, int usual,
                          int replaced) {
    double share = share_of(b, r, s, sides, replaced), before = share_of(b, r, s, usual, replaced);
    double rating = sx_fit_skill(b->problem, p, s, sx_slot_row(s, r), SX_ATTACKING);
    double lost = sx_attack_loss(b->problem, p, r, s, sides);
    double lost_before = sx_attack_loss(b->problem, p, r, s, usual);
    double gain = share * (rating - lost) - before * (rating - lost_before);
    return sx_is_front_hitter(b->system, r, s)
               ? gain + fabs(share - before) * most_bonus(b, p, share > before ? 1 : -1)
               : gain;
}

static double most_gain(const Builder *b, int r, int sides, int usual, int replaced) {
    double sum = 0;
    for (int s = 0; s < SX_SLOTS; s++) {
        double most = -HUGE_VAL;
        for (int p = 0; s != replaced && p < players(b); p++) {
            if (b->m->fills[p][s][sx_slot_row(s, r)]) {
                most = fmax(most, attack_gain(b, r, s, p, sides, usual, replaced));
            }
        }
        sum += most > -HUGE_VAL ? most : 0;
    }
    return weight(b, SX_PART_ATTACK) * sum;
}

static void add_choice_column(Builder *b, int r, Choice *choice) {
    char kind[64];
    int used = snprintf(kind, sizeof kind, "choice_m%u_a%d", choice->formation->passers,
                        choice->formation->sides);
    if (choice->replaced >= 0) {
        snprintf(kind + used, sizeof kind - (size_t)used, "_l%d", choice->replaced);
    }
    choice->column = sx_build_column(b, sx_build_name(b, kind, NO_INDEX, NO_INDEX, r), false);
    sx_build_score(b, r, choice->column, choice_points(b, r, choice));
}

static void list_choices(Builder *b, int r, Choices *choices) {
    int replaced[1 + SX_BACK_TURNS];
    int count = list_replaced(b, r, replaced);
    int usual = sx_usual_sides(b->system, r);
    double gain[SX_SIDES][1 + SX_BACK_TURNS];
    for (int sides = 0; sides < SX_SIDES; sides++) {
        for (int k = 0; k < count; k++) {
            gain[sides][k] = most_gain(b, r, sides, usual, replaced[k]);
        }
    }
    choices->count = 0;
    for (unsigned mask = 1; mask < SX_MASKS; mask++) {
        const SxFormation *plain = sx_formation_at(b->problem->table, r, mask, usual);
        for (int sides = 0; sides < SX_SIDES; sides++) {
            const SxFormation *f = sx_formation_at(b->problem->table, r, mask, sides);
            if (!f || !f->feasible || !(b->plan->passers >> sx_count_members(mask) & 1)) {
                continue;
            }
            for (int k = 0; k < count; k++) {
                const Choice choice = {f, replaced[k], 0}, other = {plain, replaced[k], 0};
                if (sides == usual || !plain || !plain->feasible ||
                    gain[sides][k] + choice_points(b, r, &choice) > choice_points(b, r, &other)) {
                    choices->item[choices->count++] = choice;
                }
            }
        }
    }
}

static void add_choices(Builder *b, int r, Choices *choices) {
    for (int k = 0; k < choices->count; k++) {
        add_choice_column(b, r, &choices->item[k]);
    }
    MipRow *row = sx_build_row(b);
    for (int k = 0; k < choices->count; k++) {
        sx_build_add(row, choices->item[k].column, 1);
    }
    sx_build_put(b, row, sx_build_name(b, "choice", NO_INDEX, NO_INDEX, r), 1, 1);
    int replaced[1 + SX_BACK_TURNS];
    int count = list_replaced(b, r, replaced);
    for (int j = 1; j < count; j++) {
        row = sx_build_row(b);
        for (int k = 0; k < choices->count; k++) {
            if (choices->item[k].replaced == replaced[j]) {
                sx_build_add(row, choices->item[k].column, 1);
            }
        }
        sx_build_any_libero(b, row, replaced[j], r, SX_RECEIVE, -1);
        sx_build_put(b, row, sx_build_name(b, "for", NO_INDEX, replaced[j], r), 0, 0);
    }
}

/* --- passing ------------------------------------------------------------------------------------
 */

static bool can_be_there(const Builder *b, int p, int s, int r) {
    if (sx_slot_row(s, r) == SX_FRONT) {
        return b->m->fills[p][s][SX_FRONT];
    }
    return b->m->self[p][s][r][SX_RECEIVE] || b->m->in[p][s][r][SX_RECEIVE];
}

static void add_passing(Builder *b, int r, int s, int p) {
    if (!can_be_there(b, p, s, r)) {
        return;
    }
    MipRow *row = sx_build_row(b);
    for (int n = SX_MIN_PASSERS; n <= SX_MAX_PASSERS; n++) {
        if (b->plan->passers >> n & 1) {
            char kind[16];
            snprintf(kind, sizeof kind, "pass%d", n);
            int *passes = &b->m->passes[p][s][r][n];
            *passes = sx_build_column(b, sx_build_name(b, kind, p, s, r), false);
            sx_build_score(b, r, *passes,
                           weight(b, SX_PART_PASS) * sx_scoring_of(b->problem)->coverage[n] *
                               b->team->players[p].skill[SX_PASSING] / n);
            sx_build_add(row, *passes, 1);
        }
    }
    sx_build_on_court(b, row, p, s, r, SX_RECEIVE, -1);
    sx_build_put(b, row, sx_build_name(b, "passing", p, s, r), -HUGE_VAL, 0);
}

static void add_passers(Builder *b, int r, int s, const Choices *choices) {
    for (int p = 0; p < players(b); p++) {
        add_passing(b, r, s, p);
    }
    for (int n = SX_MIN_PASSERS; n <= SX_MAX_PASSERS; n++) {
        MipRow *row = sx_build_row(b);
        for (int k = 0; k < choices->count; k++) {
            unsigned mask = choices->item[k].formation->passers;
            if (sx_count_members(mask) == n && mask >> s & 1) {
                sx_build_add(row, choices->item[k].column, -1);
            }
        }
        for (int p = 0; p < players(b); p++) {
            sx_build_add(row, b->m->passes[p][s][r][n], 1);
        }
        char kind[16];
        snprintf(kind, sizeof kind, "passers%d", n);
        sx_build_put(b, row, sx_build_name(b, kind, NO_INDEX, s, r), 0, 0);
    }
}

/* --- attack -------------------------------------------------------------------------------------
 */

/* Choices that give one slot the same share of the balls from the same lane. */
typedef struct {
    double share; /* of all balls, 0 to 1 */
    int sides;    /* of one of them: tells the lane */
} Class;

typedef struct {
    int count;
    Class item[MOST_CLASSES];
    int of[MOST_CHOICES]; /* class of each choice; -1 where the libero has the slot */
    int column[SX_MAX_PLAYERS][MOST_CLASSES];
} Classes;

static bool same_lane(const Builder *b, int r, int s, int one, int other) {
    const SxScoring *scoring = sx_scoring_of(b->problem);
    int position = sx_position(s, r);
    return (scoring->away == 0 && scoring->across == 0) || !sx_is_front_hitter(b->system, r, s) ||
           sx_side_lane(one, position) == sx_side_lane(other, position);
}

static int class_of(const Builder *b, int r, int s, const Choice *choice, Classes *classes) {
    int sides = choice->formation->sides;
    double total = sx_attack_total(b->problem, r, sides, choice->replaced);
    double share = total > 0 ? sx_attack_share(b->problem, r, s, sides) / total : 0;
    for (int g = 0; g < classes->count; g++) {
        if (fabs(classes->item[g].share - share) < SAME_SHARE &&
            same_lane(b, r, s, classes->item[g].sides, sides)) {
            return g;
        }
    }
    classes->item[classes->count] = (Class){share, sides};
    return classes->count++;
}

/* The place's own column: she is there to attack. */
static int attacker(const Builder *b, int r, int s, int p) {
    return sx_slot_row(s, r) == SX_FRONT ? b->m->fills[p][s][SX_FRONT]
                                         : b->m->self[p][s][r][SX_RECEIVE];
}

static void add_hits(Builder *b, int r, int s, int p, Classes *classes) {
    int there = attacker(b, r, s, p);
    MipRow *row = sx_build_row(b);
    for (int g = 0; there && g < classes->count; g++) {
        char kind[24];
        snprintf(kind, sizeof kind, "attack%d", g);
        classes->column[p][g] = classes->count == 1
                                    ? there
                                    : sx_build_column(b, sx_build_name(b, kind, p, s, r), false);
        sx_build_add(row, classes->column[p][g], 1);
    }
    if (!there || classes->count == 1) {
        sx_mip_row_clear(row);
        return;
    }
    b->m->attacks[p][s][r] = classes->column[p][0];
    b->m->attack_classes[s][r] = classes->count;
    sx_build_add(row, there, -1);
    sx_build_put(b, row, sx_build_name(b, "hits", p, s, r), 0, 0);
}

static void score_hits(Builder *b, int r, int s, int p, const Classes *classes) {
    for (int g = 0; g < classes->count; g++) {
        double rating = sx_fit_skill(b->problem, p, s, sx_slot_row(s, r), SX_ATTACKING) -
                        sx_attack_loss(b->problem, p, r, s, classes->item[g].sides);
        sx_build_score(b, r, classes->column[p][g],
                       weight(b, SX_PART_ATTACK) * classes->item[g].share * rating);
    }
}

static void add_attack(Builder *b, int r, int s, const Choices *choices, Classes *classes) {
    memset(classes, 0, sizeof *classes);
    for (int k = 0; k < choices->count; k++) {
        const Choice *choice = &choices->item[k];
        classes->of[k] = choice->replaced == s ? -1 : class_of(b, r, s, choice, classes);
    }
    for (int p = 0; p < players(b); p++) {
        add_hits(b, r, s, p, classes);
        score_hits(b, r, s, p, classes);
    }
    for (int g = 0; classes->count > 1 && g < classes->count; g++) {
        MipRow *row = sx_build_row(b);
        for (int k = 0; k < choices->count; k++) {
            if (classes->of[k] == g) {
                sx_build_add(row, choices->item[k].column, -1);
            }
        }
        for (int p = 0; p < players(b); p++) {
            sx_build_add(row, classes->column[p][g], 1);
        }
        char kind[24];
        snprintf(kind, sizeof kind, "from%d", g);
        sx_build_put(b, row, sx_build_name(b, kind, NO_INDEX, s, r), 0, 0);
    }
}

/* --- connections --------------------------------------------------------------------------------
 */

/* Products made so far, by the place of the setter and of the hitter. */
typedef struct {
    int both[SX_MAX_CONNECTIONS][SX_SLOTS][SX_ROWS][SX_SLOTS];
} Products;

typedef struct {
    Choices choices;
    Classes classes;
    Products products;
} Work;

/* The setter's place is part of the names. */
static int add_both(Builder *b, int link, int setter, int hitter, int s) {
    char kind[48];
    const SxConnection *pair = &b->team->connections[link];
    const char *place = glp_get_col_name(b->m->mip, setter);
    snprintf(kind, sizeof kind, "both_%s", place);
    Name name = sx_build_name(b, kind, pair->hitter, s, NO_INDEX);
    int both = sx_build_column(b, name, false);
    const int factor[2] = {setter, hitter};
    for (int k = 0; k < 2; k++) {
        snprintf(kind, sizeof kind, "both%d_%s", k, place);
        MipRow *row = sx_build_row(b);
        sx_build_add(row, both, 1);
        sx_build_add(row, factor[k], -1);
        sx_build_put(b, row, sx_build_name(b, kind, pair->hitter, s, NO_INDEX), -HUGE_VAL, 0);
    }
    MipRow *row = sx_build_row(b);
    sx_build_add(row, both, 1);
    sx_build_add(row, setter, -1);
    sx_build_add(row, hitter, -1);
    sx_build_put(b, row, name, -1, HUGE_VAL);
    return both;
}

/* The bonus by the hitter's attack class: 'both' shared out over the classes as her own place is.
 */
static void add_bonus(Builder *b, int r, int s, int link, int both, const Classes *classes) {
    const SxConnection *pair = &b->team->connections[link];
    double points = weight(b, SX_PART_ATTACK) * pair->bonus;
    if (classes->count == 1) {
        sx_build_score(b, r, both, points * classes->item[0].share);
        return;
    }
    int part[MOST_CLASSES];
    for (int g = 0; g < classes->count; g++) {
        char kind[48];
        snprintf(kind, sizeof kind, "link%d_p%d", g, b->team->players[pair->setter].number);
        Name name = sx_build_name(b, kind, pair->hitter, s, r);
        part[g] = sx_build_column(b, name, false);
        sx_build_score(b, r, part[g], points * classes->item[g].share);
        MipRow *row = sx_build_row(b);
        sx_build_add(row, part[g], 1);
        sx_build_add(row, classes->column[pair->hitter][g], -1);
        sx_build_put(b, row, name, -HUGE_VAL, 0);
    }
    MipRow *row = sx_build_row(b);
    for (int g = 0; g < classes->count; g++) {
        sx_build_add(row, part[g], 1);
    }
    sx_build_add(row, both, -1);
    sx_build_put(b, row, sx_build_name(b, "link", pair->hitter, s, r), 0, 0);
}

static void add_connections(Builder *b, int r, int s, const Classes *classes, Products *products) {
    int duty = b->system->setter_slot[r];
    SxRow row = sx_slot_row(duty, r);
    if (!sx_is_front_hitter(b->system, r, s)) {
        return;
    }
    for (int k = 0; k < b->team->connection_count; k++) {
        const SxConnection *link = &b->team->connections[k];
        int setter = b->m->fills[link->setter][duty][row];
        int hitter = b->m->fills[link->hitter][s][SX_FRONT];
        if (!setter || !hitter || link->bonus == 0) {
            continue;
        }
        bool one_place = b->m->fills[link->setter][duty][SX_FRONT] == setter;
        int *both = &products->both[k][duty][one_place ? SX_FRONT : row][s];
        if (!*both) {
            *both = add_both(b, k, setter, hitter, s);
        }
        add_bonus(b, r, s, k, *both, classes);
    }
}

/* --- the parts that the places decide -----------------------------------------------------------
 */

static void score_places(Builder *b, int r, int s, int p) {
    const double *skill = b->team->players[p].skill;
    if (sx_slot_row(s, r) == SX_FRONT) {
        sx_build_score(b, r, b->m->fills[p][s][SX_FRONT],
                       weight(b, SX_PART_BLOCK) *
                           sx_scoring_of(b->problem)->block[b->system->duty[s][SX_FRONT].lane] *
                           sx_fit_skill(b->problem, p, s, SX_FRONT, SX_BLOCKING));
    } else {
        double points = weight(b, SX_PART_DIG) * skill[SX_DIGGING] / SX_BACK_TURNS;
        points += s == r ? weight(b, SX_PART_SERVE) * skill[SX_SERVING] : 0;
        sx_build_score(b, r, b->m->self[p][s][r][SX_SERVE], points);
        sx_build_score(b, r, b->m->in[p][s][r][SX_SERVE], points);
    }
    if (s == b->system->setter_slot[r]) {
        SxRow row = sx_slot_row(s, r);
        sx_build_score(b, r, b->m->fills[p][s][row],
                       weight(b, SX_PART_SET) * sx_fit_skill(b->problem, p, s, row, SX_SETTING));
    }
}

static void add_rotation(Builder *b, int r, Work *work) {
    Choices *choices = &work->choices;
    list_choices(b, r, choices);
    add_choices(b, r, choices);
    for (int s = 0; s < SX_SLOTS; s++) {
        add_passers(b, r, s, choices);
        for (int p = 0; p < players(b); p++) {
            score_places(b, r, s, p);
        }
        if (ever_attacks(b, r, s)) {
            add_attack(b, r, s, choices, &work->classes);
            add_connections(b, r, s, &work->classes, &work->products);
        }
    }
}

void sx_build_scores(Builder *b) {
    b->work = calloc(1, sizeof(Work));
    if (!b->work) {
        sx_solver_out_of_memory();
    }
    for (int r = 0; r < SX_ROTATIONS; r++) {
        add_rotation(b, r, b->work);
    }
}

/* --- objective ----------------------------------------------------------------------------------
 */

static void add_cost(glp_prob *mip, const MipRow *score, double share) {
    for (int k = 1; k <= score->count; k++) {
        double cost = glp_get_obj_coef(mip, score->column[k]);
        glp_set_obj_coef(mip, score->column[k], cost + share * score->value[k]);
    }
}

void sx_build_objective(Builder *b) {
    LineupModel *m = b->m;
    double balance = b->plan->balance, total = 0;
    for (int r = 0; r < SX_ROTATIONS; r++) {
        total += b->plan->rotation_weight[r];
        sx_mip_row_merge(&m->score[r]);
    }
    if (balance > 0) {
        m->weakest = sx_mip_column(m->mip, "weakest", -HUGE_VAL, HUGE_VAL, balance, false);
    }
    for (int r = 0; r < SX_ROTATIONS; r++) {
        add_cost(m->mip, &m->score[r], (1 - balance) * b->plan->rotation_weight[r] / total);
        if (balance > 0) {
            MipRow *row = sx_build_row(b);
            for (int k = 1; k <= m->score[r].count; k++) {
                sx_build_add(row, m->score[r].column[k], m->score[r].value[k]);
            }
            sx_build_add(row, m->weakest, -1);
            sx_build_put(b, row, sx_build_name(b, "weakest", NO_INDEX, NO_INDEX, r), 0, HUGE_VAL);
        }
    }
}

void sx_lineup_model_plain(LineupModel *model) {
    for (int j = 0; j <= glp_get_num_cols(model->mip); j++) {
        glp_set_obj_coef(model->mip, j, 0);
    }
    for (int r = 0; r < SX_ROTATIONS; r++) {
        add_cost(model->mip, &model->score[r], 1.0 / SX_ROTATIONS);
    }
}
