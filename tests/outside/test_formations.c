/* The formation program against a cost function written anew, against formations laid out by hand,
 * and against common practice.
 *
 * The cost, as the terms tell it; metres, along x and y apart; what a run has beyond 2.5 m along
 * one axis counts twice.
 *   run to the next task: setter on duty 0.5 a metre; a passer 0.5 if she attacks from the front
 *   row, 0.3 in a middle's place in the back, else 0.1; of the others the front-row middle 0.7,
 *   front row 0.6 (a hitter straight back from the net 0.2), back row 0.3; and a thousandth a metre
 *   for each number of her position
 *   off the passing lane: 2 a metre, within the system's tolerance
 *   an order relation that holds by less than 0.6 m: 0.1 for each metre that it lacks
 *   for each who does not pass: 2 beside an outer passer unless 2.7 m ahead or 1.4 m behind; 2 in a
 *   seam unless as far ahead or behind of both; 1 within 1 m straight behind a passer and less than
 *   2.4 m; 0.5 within half a metre of the box from a front-row hitter to her approach; 0.5 within
 *   0.6 m beside an approach and nearer the net than its start; and 1.5 for a back-row player who
 *   waits nearer the net than 7 m
 *   the setter on duty who does not pass: 1 for each who is more than a metre in front of her and
 *   less than half a metre beside her way (a passer: beside her start, and in front at all); 1 if
 *   she starts behind a seam; in the back row 0.8 if nobody who does not pass stands up to 0.9 m
 *   beside her and up to 1.1 m in front
 * Legal spots: the order by the margin; 0.3 m from the lines, 0.8 m from the net; nobody but
 * passers inside a passer's area (2.5 m sideways, 0.9 m on the side line's side of the outermost
 * lanes, 2.7 m ahead, 1.0 m behind); 0.7 m between any two, along x or y. */
#include "support.h"

#include "sixturn/legality.h"

#include <criterion/criterion.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

static const double margin = 0.30;
static const double agree = 1e-6;
/* A spot written in metres may miss a whole centimetre by this much. */
static const double hair = 1e-9;

/* A formation by position (index 1 to 6), as the checker sees it. */
typedef struct {
    const SxSystem *system;
    int rotation;
    SxPhase phase;
    bool bound;
    double x[7], y[7];
    bool passes[7];
    int lane[7];
    int passers;
    int sides;
} Layout;

static int slot_in(const Layout *at, int position) {
    return (at->rotation + position - 1) % 6;
}

static bool front(int position) {
    return position >= 2 && position <= 4;
}

static const SxDuty *duty_in(const Layout *at, int position) {
    return &at->system->duty[slot_in(at, position)][front(position) ? SX_FRONT : SX_BACK];
}

static int setter_position(const Layout *at) {
    return 1 + (at->system->setter_slot[at->rotation] + 6 - at->rotation) % 6;
}

/* Lanes of positions 4, 3, 2 in lexicographic order. */
static SxLane lane_of(const Layout *at, int position) {
    static const char *const words[] = {"012", "021", "102", "120", "201", "210"};
    return (SxLane)(words[at->sides][4 - position] - '0');
}

static SxSpot task_of(const Layout *at, int position) {
    if (at->phase == SX_SERVE) {
        return duty_in(at, position)->base;
    }
    if (position == setter_position(at)) {
        return at->system->setting_target;
    }
    if (!front(position) || lane_of(at, position) == duty_in(at, position)->lane) {
        return duty_in(at, position)->task;
    }
    /* the approach of whoever attacks from that lane in this system */
    for (int attacks = 1; attacks >= 0; attacks--) {
        for (int s = 0; s < 6; s++) {
            const SxDuty *duty = &at->system->duty[s][SX_FRONT];
            if (duty->lane == lane_of(at, position) && duty->attacks == attacks) {
                return duty->task;
            }
        }
    }
    cr_assert_fail("no such lane");
    return (SxSpot){0, 0};
}

static bool hitter(const Layout *at, int i) {
    return front(i) && duty_in(at, i)->attacks && i != setter_position(at);
}

/* --- what is allowed ----------------------------------------------------------------------------
 */

/* Only relations that name `who` are looked at; 0 for all. */
static bool in_order(const Layout *at, int who) {
    static const int sideways[4][2] = {{4, 3}, {3, 2}, {5, 6}, {6, 1}};
    static const int depth[3][2] = {{2, 1}, {3, 6}, {4, 5}};
    bool server_free = at->phase == SX_SERVE;
    if (!at->bound) {
        return true;
    }
    for (int k = 0; k < 4; k++) {
        int l = sideways[k][0], r = sideways[k][1];
        if ((!who || who == l || who == r) && !(server_free && r == 1) &&
            at->x[r] - at->x[l] < margin - hair) {
            return false;
        }
    }
    for (int k = 0; k < 3; k++) {
        int f = depth[k][0], b = depth[k][1];
        if ((!who || who == f || who == b) && !(server_free && b == 1) &&
            at->y[b] - at->y[f] < margin - hair) {
            return false;
        }
    }
    return true;
}

static bool inside(const Layout *at, int i) {
    bool server = at->phase == SX_SERVE && i == 1;
    return at->x[i] >= 0.3 - hair && at->x[i] <= 8.7 + hair &&
           (server || (at->y[i] >= 0.8 - hair && at->y[i] <= 8.7 + hair));
}

static bool in_area(const Layout *at, int other, int passer) {
    double left = at->lane[passer] == 0 ? 0.9 : 2.5;
    double right = at->lane[passer] == at->passers - 1 ? 0.9 : 2.5;
    double dx = at->x[other] - at->x[passer];
    double dy = at->y[other] - at->y[passer];
    return dx > -left + hair && dx < right - hair && dy > -2.7 + hair && dy < 1.0 - hair;
}

static bool crowded(const Layout *at, int i, int j) {
    if (at->passes[i] != at->passes[j] && (at->passes[i] ? in_area(at, j, i) : in_area(at, i, j))) {
        return true;
    }
    return fabs(at->x[i] - at->x[j]) < 0.7 - hair && fabs(at->y[i] - at->y[j]) < 0.7 - hair;
}

static SxSpot lane_spot(const Layout *at, int position) {
    return at->system->lanes[at->passers][at->lane[position]];
}

static bool in_lane(const Layout *at, int i) {
    SxSpot lane = lane_spot(at, i);
    return fabs(at->x[i] - lane.x) <= at->system->lane_tolerance_x + hair &&
           fabs(at->y[i] - lane.y) <= at->system->lane_tolerance_y + hair;
}

/* What `who` (0: everybody) may not do where she stands; NULL if nothing. */
static const char *breach(const Layout *at, int who) {
    if (!in_order(at, who)) {
        return "order";
    }
    for (int i = 1; i <= 6; i++) {
        if (who && i != who) {
            continue;
        }
        if (!inside(at, i)) {
            return "outside";
        }
        if (at->passes[i] && !in_lane(at, i)) {
            return "off the lane";
        }
        for (int j = 1; j <= 6; j++) {
            if (j != i && crowded(at, i, j)) {
                return "crowded";
            }
        }
    }
    return NULL;
}

/* --- what it costs ------------------------------------------------------------------------------
 */

static double stretch(double distance) {
    return distance + fmax(0, distance - 2.5);
}

static double run_price(const Layout *at, int i) {
    SxRole role = duty_in(at, i)->role;
    if (at->phase == SX_SERVE) {
        return 1.0;
    }
    if (i == setter_position(at)) {
        return 0.5;
    }
    if (at->passes[i]) {
        return hitter(at, i) ? 0.5 : role == SX_MIDDLE && !front(i) ? 0.3 : 0.1;
    }
    if (front(i)) {
        return role == SX_MIDDLE ? 0.7 : 0.6;
    }
    return 0.3;
}

static double player_cost(const Layout *at, int i) {
    SxSpot task = task_of(at, i);
    bool server = at->phase == SX_SERVE && i == 1;
    double dx = at->x[i] - task.x, dy = at->y[i] - task.y;
    double price = run_price(at, i), tie = 0.001 * i;
    bool peels = at->phase == SX_RECEIVE && hitter(at, i) && !at->passes[i] && dy < 0;
    double price_y = peels ? 0.2 : price;
    double cost = price * stretch(fabs(dx)) + tie * fabs(dx);
    if (!server) {
        cost += price_y * stretch(fabs(dy)) + tie * fabs(dy);
    }
    if (at->passes[i]) {
        SxSpot lane = lane_spot(at, i);
        cost += 2 * (fabs(at->x[i] - lane.x) + fabs(at->y[i] - lane.y));
    }
    return cost;
}

static int passer_in_lane(const Layout *at, int lane) {
    for (int i = 1; i <= 6; i++) {
        if (at->passes[i] && at->lane[i] == lane) {
            return i;
        }
    }
    return 0;
}

static bool between(double low, double value, double high) {
    return value > low + hair && value < high - hair;
}

/* What player n costs by standing in the room of the passers. */
static double passers_room(const Layout *at, int n) {
    double cost = 0;
    for (int lane = 0; lane < at->passers; lane++) {
        int i = passer_in_lane(at, lane);
        double dx = at->x[n] - at->x[i], dy = at->y[n] - at->y[i];
        bool beside = between(-2.7, dy, 1.4);
        cost += lane == 0 && dx < -hair && beside ? 2 : 0;
        cost += lane == at->passers - 1 && dx > hair && beside ? 2 : 0;
        cost += between(-1, dx, 1) && between(0, dy, 2.4) ? 1 : 0;
        if (lane + 1 < at->passers) {
            int k = passer_in_lane(at, lane + 1);
            bool seam = between(at->x[i], at->x[n], at->x[k]);
            bool ahead = at->y[n] <= fmin(at->y[i], at->y[k]) - 2.7 + hair;
            bool behind = at->y[n] >= fmax(at->y[i], at->y[k]) + 1.4 - hair;
            cost += seam && !ahead && !behind ? 2 : 0;
            bool starts_behind = at->y[n] > fmin(at->y[i], at->y[k]) + hair;
            cost += n == setter_position(at) && seam && starts_behind ? 1 : 0;
        }
    }
    return cost;
}

/* What player n costs by standing where hitter i runs. */
static double hitters_room(const Layout *at, int n, int i) {
    SxSpot to = task_of(at, i);
    double cost = 0;
    bool beside = between(fmin(at->x[i], to.x) - 0.5, at->x[n], fmax(at->x[i], to.x) + 0.5);
    bool level = between(fmin(at->y[i], to.y) - 0.5, at->y[n], fmax(at->y[i], to.y) + 0.5);
    cost += beside && level ? 0.5 : 0;
    cost += between(to.x - 0.6, at->x[n], to.x + 0.6) && at->y[n] < to.y - hair ? 0.5 : 0;
    return cost;
}

static bool hides(const Layout *at, int s, int h) {
    return fabs(at->x[s] - at->x[h]) <= 0.9 + hair && at->y[s] >= at->y[h] - hair &&
           at->y[s] - at->y[h] <= 1.1 + hair;
}

static double setters_way(const Layout *at) {
    int s = setter_position(at);
    double target = at->system->setting_target.x, cost = 0;
    bool hidden = false;
    if (at->passes[s]) {
        return 0;
    }
    for (int j = 1; j <= 6; j++) {
        if (j == s) {
            continue;
        }
        bool way = between(fmin(at->x[s], target) - 0.5, at->x[j], fmax(at->x[s], target) + 0.5);
        bool start = between(at->x[s] - 0.5, at->x[j], at->x[s] + 0.5);
        double ahead = at->y[s] - at->y[j];
        cost += at->passes[j] ? start && ahead > hair : way && ahead > 1 + hair;
        hidden |= front(j) && !at->passes[j] && hides(at, s, j);
    }
    return cost + (front(s) || hidden ? 0 : 0.8);
}

/* What no player costs alone. */
static double together(const Layout *at) {
    static const int low[7][2] = {{4, 3}, {3, 2}, {5, 6}, {6, 1}, {2, 1}, {3, 6}, {4, 5}};
    double cost = 0;
    if (at->phase == SX_SERVE) {
        return 0;
    }
    for (int k = 0; k < 7; k++) {
        int a = low[k][0], b = low[k][1];
        double slack = k < 4 ? at->x[b] - at->x[a] : at->y[b] - at->y[a];
        cost += 0.1 * fmax(0, 0.6 - slack);
    }
    for (int n = 1; n <= 6; n++) {
        if (at->passes[n]) {
            continue;
        }
        cost += passers_room(at, n);
        cost += !front(n) && n != setter_position(at) && at->y[n] < 7 - hair ? 1.5 : 0;
        for (int i = 2; i <= 4; i++) {
            cost += i != n && hitter(at, i) ? hitters_room(at, n, i) : 0;
        }
    }
    return cost + setters_way(at);
}

static double cost_of(const Layout *at) {
    double cost = together(at);
    for (int i = 1; i <= 6; i++) {
        cost += player_cost(at, i);
    }
    return cost;
}

static Layout layout_of(const SxSystem *system, int r, const SxFormation *f, SxPhase phase,
                        bool bound) {
    Layout at = {.system = system, .rotation = r, .phase = phase, .bound = bound};
    at.sides = f->sides;
    for (int i = 1; i <= 6; i++) {
        int slot = slot_in(&at, i);
        at.x[i] = f->spot[slot].x;
        at.y[i] = f->spot[slot].y;
        at.passes[i] = f->passers >> slot & 1;
        at.lane[i] = f->lane[slot];
        at.passers += at.passes[i];
    }
    return at;
}

/* --- (a) nobody can be moved to lower the cost --------------------------------------------------
 */

/* Tries every spot of a 5 cm grid for every player alone. True if one is better; it says which. */
static bool find_better_move(Layout at, double cost, char *what, size_t size) {
    enum { STEPS = 180 };
    const double step = 0.05;
    for (int i = 1; i <= 6; i++) {
        bool server = at.phase == SX_SERVE && i == 1;
        double x = at.x[i];
        double y = at.y[i];
        double others = cost - player_cost(&at, i) - together(&at);
        for (int a = 0; a <= STEPS; a++) {
            at.x[i] = a * step;
            for (int b = 0; b <= (server ? 0 : STEPS); b++) {
                at.y[i] = server ? y : b * step;
                double now = others + player_cost(&at, i);
                if (now >= cost - agree || breach(&at, i)) {
                    continue;
                }
                now += together(&at);
                if (now < cost - agree) {
                    snprintf(what, size, "position %d to (%.2f, %.2f): %.4f < %.4f", i, at.x[i],
                             at.y[i], now, cost);
                    return true;
                }
            }
        }
        at.x[i] = x;
        at.y[i] = y;
    }
    return false;
}

static void check_formation(const SxSystem *system, int r, const SxFormation *f, SxPhase phase,
                            bool bound, const char *label) {
    Layout at = layout_of(system, r, f, phase, bound);
    const char *wrong = breach(&at, 0);
    cr_assert_null(wrong, "%s: %s", label, wrong);
    double cost = cost_of(&at);
    cr_assert(f->optimal);
    cr_assert_float_eq(cost, f->cost, agree, "%s: cost %.6f, the program says %.6f", label, cost,
                       f->cost);
    char what[96] = "";
    cr_assert_not(find_better_move(at, cost, what, sizeof what), "%s: %s", label, what);
}

static void load(const char *id, SxSystem *system) {
    SxError err = {.status = SX_OK};
    cr_assert_eq(sx_system_load(id, system, &err), SX_OK, "%s", err.message);
}

static void receive_by(const SxSystem *system, int r, unsigned passers, int sides, SxFormation *f) {
    SxError err = {.status = SX_OK};
    SxFormationOptions options;
    sx_formation_default(&options);
    options.sides = sides;
    cr_assert_eq(sx_formation_receive(system, r, passers, &options, f, &err), SX_OK, "%s",
                 err.message);
}

static void receive(const SxSystem *system, int r, unsigned passers, SxFormation *f) {
    receive_by(system, r, passers, SX_USUAL_SIDES, f);
}

static int bits_of(unsigned mask) {
    return __builtin_popcount(mask);
}

static void check_all_of_size(const char *id, int size) {
    SxSystem system;
    load(id, &system);
    int feasible = 0;
    for (int r = 0; r < 6; r++) {
        for (unsigned mask = 1; mask < 64; mask++) {
            if (bits_of(mask) != size || (mask >> system.setter_slot[r] & 1)) {
                continue;
            }
            SxFormation f;
            receive_by(&system, r, mask, (int)(mask + (unsigned)r) % SX_SIDES, &f);
            if (f.feasible) {
                char label[80];
                snprintf(label, sizeof label, "%s, rotation %d, passers %#x, sides %d", id, r + 1,
                         mask, f.sides);
                check_formation(&system, r, &f, SX_RECEIVE, true, label);
                feasible++;
            } else {
                cr_assert(f.reason[0] != '\0', "no reason");
            }
        }
    }
    cr_assert(feasible >= 6, "%s, %d passers: only %d", id, size, feasible);
}

Test(moves, no_one_is_better_elsewhere_in_the_5_1_outside) {
    check_all_of_size("5-1-outside", 3);
}

Test(moves, no_one_is_better_elsewhere_in_the_5_1_middle) {
    check_all_of_size("5-1-middle", 3);
}

Test(moves, no_one_is_better_elsewhere_in_the_6_2) {
    check_all_of_size("6-2", 3);
}

Test(moves, no_one_is_better_elsewhere_in_the_6_2_double) {
    check_all_of_size("6-2-double", 3);
}

Test(moves, no_one_is_better_elsewhere_in_the_4_2) {
    check_all_of_size("4-2", 3);
}

Test(moves, no_one_is_better_elsewhere_with_two_four_or_five) {
    check_all_of_size("6-2", 2);
    check_all_of_size("6-2", 4);
    check_all_of_size("4-2", 5);
}

Test(moves, no_one_is_better_elsewhere_at_our_serve) {
    static const char *const rules_ids[] = {"fivb-2024", "fivb-2025"};
    for (int k = 0; k < 5; k++) {
        SxSystem system;
        load(all_systems[k], &system);
        for (int n = 0; n < 2; n++) {
            SxRules rules;
            cr_assert_eq(sx_rules_load(rules_ids[n], &rules, NULL), SX_OK);
            for (int r = 0; r < 6; r++) {
                SxFormation f;
                char label[80];
                snprintf(label, sizeof label, "%s, %s, serve %d", all_systems[k], rules_ids[n],
                         r + 1);
                cr_assert_eq(sx_formation_serve(&system, &rules, r, NULL, &f, NULL), SX_OK);
                check_formation(&system, r, &f, SX_SERVE, rules.serving_team_bound, label);
            }
        }
    }
}

/* --- (b) the usual six formations, laid out by hand ---------------------------------------------
 *
 * Common practice, no source: both outsides and the libero (for the back-row middle) pass. Spots by
 * position 1 to 6; passers by position, from left to right. */

typedef struct {
    SxSpot spot[6];
    int passers[3];
} Hand;

/* Costs by hand and of the program, and where the program is better:
 *   setter in 1: 18.9 and 14.7. The libero passes on the right and the right-front outside in the
 *     middle, nearer her approach; the setter stands beside the libero, out of every seam.
 *   setter in 6: 8.2 and 7.0. The middle and the right-side hitter keep further off the net, nearer
 *     their approaches, with the setter just behind them.
 *   setter in 5: 9.5 and 7.0. The setter pushes up to the middle of the court, as far as the player
 *     in 6 lets her, which saves her more than two metres.
 *   setter in front (5-1): 8.6, 5.7, 9.1 and 6.8, 4.0, 6.9. The same, with the opposite in the back
 *     row placed in a gap nearer her base. */

/* Setter in 1 behind the right passer; in 6 up at the net behind the right-side hitter; in 5 up the
 * left behind the middle. Rotations 4 to 6 of the 6-2 are the same with the twins. */
static const Hand hand_6_2[3] = {
    {{{8.2, 6.7}, {7.0, 6.3}, {4.4, 2.6}, {3.9, 1.0}, {1.6, 6.3}, {4.3, 6.8}}, {5, 6, 2}},
    {{{7.4, 6.3}, {7.0, 2.5}, {6.5, 1.0}, {1.6, 6.0}, {4.2, 6.8}, {5.4, 1.7}}, {4, 5, 1}},
    {{{7.4, 6.3}, {8.4, 3.4}, {1.6, 6.0}, {1.0, 2.6}, {1.9, 3.0}, {4.5, 6.8}}, {3, 6, 1}},
};

/* The 5-1: as the 6-2 while the setter is behind; then she stands at the net and the opposite waits
 * in the back. */
static const Hand hand_5_1[6] = {
    {{{8.2, 6.7}, {7.0, 6.3}, {4.4, 2.6}, {3.9, 1.0}, {1.6, 6.3}, {4.3, 6.8}}, {5, 6, 2}},
    {{{7.4, 6.3}, {7.0, 2.5}, {6.5, 1.0}, {1.6, 6.0}, {4.2, 6.8}, {5.4, 1.7}}, {4, 5, 1}},
    {{{7.4, 6.3}, {8.4, 3.4}, {1.6, 6.0}, {1.0, 2.6}, {1.9, 3.0}, {4.5, 6.8}}, {3, 6, 1}},
    {{{8.4, 7.4}, {7.2, 6.0}, {4.4, 2.6}, {3.9, 0.8}, {1.6, 6.3}, {4.5, 6.8}}, {5, 6, 2}},
    {{{7.4, 6.3}, {6.5, 2.5}, {5.8, 0.8}, {1.6, 6.0}, {4.2, 6.8}, {5.8, 8.0}}, {4, 5, 1}},
    {{{7.4, 6.3}, {6.0, 0.9}, {1.7, 6.0}, {0.9, 2.6}, {1.7, 7.6}, {4.5, 6.8}}, {3, 6, 1}},
};

static Layout hand_layout(const SxSystem *system, int r, const Hand *hand) {
    Layout at = {.system = system, .rotation = r, .phase = SX_RECEIVE, .bound = true, .passers = 3};
    at.sides = sx_usual_sides(system, r);
    for (int i = 1; i <= 6; i++) {
        at.x[i] = hand->spot[i - 1].x;
        at.y[i] = hand->spot[i - 1].y;
        at.lane[i] = -1;
    }
    for (int lane = 0; lane < 3; lane++) {
        at.passes[hand->passers[lane]] = true;
        at.lane[hand->passers[lane]] = lane;
    }
    return at;
}

static void check_hand(const SxSystem *system, int r, const Hand *hand) {
    Layout at = hand_layout(system, r, hand);
    const char *wrong = breach(&at, 0);
    cr_assert_null(wrong, "the hand-laid rotation %d of %s: %s", r + 1, system->id, wrong);
    unsigned mask = 0;
    for (int lane = 0; lane < 3; lane++) {
        mask |= 1u << slot_in(&at, hand->passers[lane]);
    }
    SxFormation f;
    receive(system, r, mask, &f);
    cr_assert(f.feasible, "%s rotation %d: %s", system->id, r + 1, f.reason);
    cr_expect(f.cost <= cost_of(&at) + agree, "%s rotation %d: program %.3f, by hand %.3f",
              system->id, r + 1, f.cost, cost_of(&at));
}

Test(by_hand, the_six_usual_formations_of_the_6_2) {
    SxSystem system;
    load("6-2", &system);
    for (int r = 0; r < 6; r++) {
        check_hand(&system, r, &hand_6_2[r % 3]);
    }
}

Test(by_hand, the_six_usual_formations_of_the_5_1) {
    SxSystem system;
    load("5-1-outside", &system);
    for (int r = 0; r < 6; r++) {
        check_hand(&system, r, &hand_5_1[r]);
    }
}

/* The checker can say no: without her lane, in the seam, or out of order. */
Test(by_hand, the_checker_sees_what_is_wrong) {
    SxSystem system;
    load("6-2", &system);
    Layout at = hand_layout(&system, 0, &hand_6_2[0]);
    at.x[1] = 7.5; /* the setter beside her passer */
    cr_assert_str_eq(breach(&at, 0), "crowded");
    at = hand_layout(&system, 0, &hand_6_2[0]);
    at.x[3] = 3.8; /* the middle left of the left front */
    cr_assert_str_eq(breach(&at, 0), "order");
    at = hand_layout(&system, 0, &hand_6_2[0]);
    at.y[5] = 8.6;
    cr_assert_str_eq(breach(&at, 0), "off the lane");
}

/* And the search for a better spot can find one: by hand the middle stands off her approach. */
Test(by_hand, the_search_for_a_better_spot_finds_one) {
    SxSystem system;
    load("6-2", &system);
    Layout at = hand_layout(&system, 1, &hand_6_2[1]);
    char what[96] = "";
    cr_assert(find_better_move(at, cost_of(&at), what, sizeof what));
}

/* --- (c) common practice, no source -------------------------------------------------------------
 */

/* Both outsides and the back-row middle's place, which the libero takes. */
static unsigned usual_passers(const SxSystem *system, int r) {
    unsigned mask = 0;
    for (int s = 0; s < 6; s++) {
        bool in_front = (s - r + 6) % 6 >= 1 && (s - r + 6) % 6 <= 3;
        SxRole role = system->duty[s][in_front ? SX_FRONT : SX_BACK].role;
        if (role == SX_OUTSIDE || (role == SX_MIDDLE && !in_front)) {
            mask |= 1u << s;
        }
    }
    cr_assert_eq(bits_of(mask), 3);
    return mask;
}

Test(practice, three_passers_in_all_six_rotations) {
    for (int k = 0; k < 5; k++) {
        SxSystem system;
        load(all_systems[k], &system);
        for (int r = 0; r < 6; r++) {
            SxFormation f;
            receive(&system, r, usual_passers(&system, r), &f);
            cr_expect(f.feasible, "%s rotation %d: %s", all_systems[k], r + 1, f.reason);
        }
    }
}

/* A back-row setter runs at most 6 m, or a neighbour in the order holds her, or she must wait
 * behind a front-row player who passes. */
Test(practice, the_release_is_short_or_a_neighbour_holds_her) {
    for (int k = 0; k < 5; k++) {
        SxSystem system;
        load(all_systems[k], &system);
        for (int r = 0; r < 6; r++) {
            SxFormation f;
            receive(&system, r, usual_passers(&system, r), &f);
            Layout at = layout_of(&system, r, &f, SX_RECEIVE, true);
            int s = setter_position(&at);
            double run =
                hypot(at.x[s] - system.setting_target.x, at.y[s] - system.setting_target.y);
            cr_expect_float_eq(run, f.run[system.setter_slot[r]], agree);
            bool held = false;
            for (int n = 0; n < SX_ORDER_PAIRS; n++) {
                held |= (sx_order_pairs[n].low == s || sx_order_pairs[n].high == s) &&
                        f.slack[n] <= margin + 0.05;
            }
            int partner = s == 1 ? 2 : s == 6 ? 3 : 4;
            bool behind_a_passer = !front(s) && at.passes[partner] && run <= 8.0;
            cr_expect(front(s) || run <= 6.0 || held || behind_a_passer, "%s rotation %d: %.2f m",
                      all_systems[k], r + 1, run);
        }
    }
}

/* Rotations 4 to 6 of a symmetric system are 1 to 3 with the twin in each place. */
Test(practice, the_second_half_mirrors_the_first) {
    static const char *const symmetric[] = {"6-2", "6-2-double", "4-2"};
    for (int k = 0; k < 3; k++) {
        SxSystem system;
        load(symmetric[k], &system);
        cr_assert(sx_system_is_mirrored(&system));
        for (int r = 0; r < 3; r++) {
            SxFormation first, second;
            receive(&system, r, usual_passers(&system, r), &first);
            receive(&system, r + 3, usual_passers(&system, r + 3), &second);
            cr_expect_float_eq(first.cost, second.cost, agree);
            for (int s = 0; s < 6; s++) {
                int twin = (s + 3) % 6;
                cr_expect_float_eq(first.spot[s].x, second.spot[twin].x, agree);
                cr_expect_float_eq(first.spot[s].y, second.spot[twin].y, agree);
            }
        }
    }
}

Test(practice, like_roles_stand_opposite) {
    for (int k = 0; k < 5; k++) {
        SxSystem system;
        load(all_systems[k], &system);
        for (int s = 0; s < 3; s++) {
            for (int row = 0; row < SX_ROWS; row++) {
                SxRole a = system.duty[s][row].role;
                SxRole b = system.duty[s + 3][row].role;
                bool pair = (a == SX_SETTER && b == SX_OPPOSITE);
                cr_expect(a == b || pair, "%s: slots %d and %d", all_systems[k], s, s + 3);
            }
        }
    }
}

/* The named freedoms of the 6-2, asked of the legality check and of our own. */
static void expect_legal(const char *what, const SxSystem *system, int r, const SxSpot *spots,
                         bool legal) {
    Layout at = {.system = system, .rotation = r, .phase = SX_RECEIVE, .bound = true};
    for (int i = 1; i <= 6; i++) {
        at.x[i] = spots[i - 1].x;
        at.y[i] = spots[i - 1].y;
    }
    cr_expect_eq(in_order(&at, 0), legal, "%s", what);
    SxRules rules;
    cr_assert_eq(sx_rules_load("fivb-2025", &rules, NULL), SX_OK);
    SxStance stance;
    sx_stance_default(&stance);
    memcpy(stance.spot, spots, sizeof stance.spot);
    stance.phase = SX_RECEIVE;
    SxLegality found;
    sx_legality(&stance, &rules, 0, &found);
    cr_expect_eq(found.legal, legal, "%s: the legality check disagrees", what);
}

Test(practice, the_named_freedoms_hold) {
    SxSystem system;
    load("6-2", &system);
    /* setter in 1: the right-front outside far left, right of the middle and before the setter */
    SxSpot far_left[6] = {{8.4, 6.9}, {1.6, 6.3}, {1.2, 2.6}, {0.6, 3.4}, {4.0, 6.6}, {7.2, 6.3}};
    expect_legal("far left", &system, 0, far_left, true);
    far_left[1].x = 1.0;
    expect_legal("left of the middle", &system, 0, far_left, false);
    far_left[1] = (SxSpot){1.6, 7.2};
    expect_legal("behind the setter", &system, 0, far_left, false);
    /* setter in 6: between 5 and 1 */
    SxSpot between[6] = {{7.4, 6.3}, {7.0, 2.5}, {6.5, 1.0}, {1.6, 6.0}, {4.2, 6.8}, {5.4, 1.7}};
    expect_legal("between 5 and 1", &system, 1, between, true);
    between[5].x = 4.1;
    expect_legal("left of 5", &system, 1, between, false);
    between[5].x = 7.5;
    expect_legal("right of 1", &system, 1, between, false);
    /* setter in 5: up along the left, left of 6 and behind 4 */
    SxSpot up[6] = {{7.4, 6.3}, {8.4, 3.4}, {1.6, 6.0}, {1.0, 0.9}, {1.9, 1.3}, {4.5, 6.8}};
    expect_legal("up the left", &system, 2, up, true);
    up[4].y = 0.8;
    expect_legal("before 4", &system, 2, up, false);
    up[4] = (SxSpot){4.6, 1.5};
    expect_legal("right of 6", &system, 2, up, false);
}
