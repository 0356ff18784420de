/* Mending: the result is legal, and nothing shorter exists.
 *
 * Optimality is checked without a solver. Sideways and depth separate, and each is the sum of
 * convex functions of one coordinate or of the difference of two: an L-natural-convex function, for
 * which a whole-number point is a global minimum if no set of coordinates can be shifted together
 * by +1 or by -1 for the better (K. Murota, Discrete Convex Analysis, SIAM 2003, chapter 7; from
 * memory). All 63 sets of players, both ways, both axes are tried. */
#include "sixturn/mend.h"

#include <criterion/criterion.h>
#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

static SxRules profile(bool bound, bool level_is_fault) {
    SxRules rules;
    memset(&rules, 0, sizeof rules);
    rules.liberos = 2;
    rules.serving_team_bound = bound;
    rules.level_is_fault = level_is_fault;
    return rules;
}

static SxStance open_stance(void) {
    static const SxSpot spots[SX_POSITIONS] = {{7.5, 6.5}, {7.5, 2},   {4.5, 2},
                                               {1.5, 2},   {1.5, 6.5}, {4.5, 7.5}};
    SxStance stance;
    sx_stance_default(&stance);
    memcpy(stance.spot, spots, sizeof spots);
    return stance;
}

static uint64_t lot = 777;

static int draw(int below) {
    lot ^= lot << 13;
    lot ^= lot >> 7;
    lot ^= lot << 17;
    return (int)(lot % (uint64_t)below);
}

/* Whole multiples of grid centimetres. */
static SxStance random_stance(int spread, int grid, bool serve) {
    SxStance stance = open_stance();
    stance.phase = serve ? SX_SERVE : SX_RECEIVE;
    for (int i = 0; i < SX_POSITIONS; i++) {
        double x = stance.spot[i].x * 100 + draw(2 * spread + 1) - spread;
        double y = stance.spot[i].y * 100 + draw(2 * spread + 1) - spread;
        stance.spot[i] = (SxSpot){round(x / grid) * grid / 100, round(y / grid) * grid / 100};
        stance.reach[i] = draw(3) ? 0 : draw(3) * 10 / 100.0;
    }
    return stance;
}

static SxStance moved_to(const SxStance *stance, const SxSpot *spot) {
    SxStance moved = *stance;
    memcpy(moved.spot, spot, sizeof moved.spot);
    return moved;
}

static double movement(const SxStance *from, const SxSpot *to) {
    double total = 0;
    for (int i = 0; i < SX_POSITIONS; i++) {
        total += fabs(from->spot[i].x - to[i].x) + fabs(from->spot[i].y - to[i].y);
    }
    return total;
}

/* Legal, clear by the margin, and (if asked) with everybody in a place of her own. */
static bool is_clear(const SxStance *stance, const SxRules *rules, double margin, bool room) {
    SxLegality result;
    sx_legality(stance, rules, margin, &result);
    for (int i = 0; i < result.finding_count; i++) {
        if (room || result.finding[i].kind != SX_ONE_PLACE) {
            return false;
        }
    }
    return true;
}

static void shift(SxSpot *spot, unsigned set, SxAxis axis, double step) {
    for (int i = 0; i < SX_POSITIONS; i++) {
        if (set >> i & 1) {
            *(axis == SX_SIDEWAYS ? &spot[i].x : &spot[i].y) += step;
        }
    }
}

/* True if no joint shift by 1 cm is shorter, room for bodies left aside. */
static bool no_shorter_neighbour(const SxStance *stance, const SxRules *rules, double margin,
                                 const SxMend *mend) {
    for (unsigned set = 1; set < 1u << SX_POSITIONS; set++) {
        for (int way = 0; way < 4; way++) {
            SxSpot spot[SX_POSITIONS];
            memcpy(spot, mend->spot, sizeof spot);
            shift(spot, set, way & 1 ? SX_DEPTH : SX_SIDEWAYS, way & 2 ? 0.01 : -0.01);
            SxStance moved = moved_to(stance, spot);
            if (movement(stance, spot) < mend->total - 1e-6 &&
                is_clear(&moved, rules, margin, false)) {
                return false;
            }
        }
    }
    return true;
}

static bool whole_centimetres(const SxSpot *spot) {
    for (int i = 0; i < SX_POSITIONS; i++) {
        if (fabs(spot[i].x * 100 - round(spot[i].x * 100)) > 1e-9 ||
            fabs(spot[i].y * 100 - round(spot[i].y * 100)) > 1e-9) {
            return false;
        }
    }
    return true;
}

Test(mend, a_legal_formation_does_not_move) {
    SxStance stance = open_stance();
    SxRules rules = profile(true, true);
    for (int fewest = 0; fewest < 2; fewest++) {
        SxMendOptions options = {.margin = 0.3, .fewest = fewest};
        SxMend mend;
        cr_assert_eq(sx_mend(&stance, &rules, &options, &mend, NULL), SX_OK);
        cr_assert_eq(mend.moved, 0);
        cr_assert_eq(mend.total, 0);
        cr_assert_eq(memcmp(mend.spot, stance.spot, sizeof mend.spot), 0);
    }
}

/* 12 cm too near the net and a margin of 30 cm: 42 cm. */
Test(mend, one_fault_costs_its_centimetres_and_the_margin) {
    SxStance stance = open_stance();
    stance.spot[5] = (SxSpot){5.5, 1.88};
    SxRules rules = profile(true, false);
    SxMend mend;
    cr_assert_eq(sx_mend(&stance, &rules, NULL, &mend, NULL), SX_OK);
    cr_assert_float_eq(mend.total, 0.42, 1e-9);
}

Test(mend, a_level_pair_moves_one_centimetre_where_level_is_a_fault) {
    SxStance stance = open_stance();
    stance.spot[5] = (SxSpot){5.5, 2.0};
    SxMendOptions options = {.margin = 0};
    SxMend mend;
    SxRules older = profile(true, true), newer = profile(true, false);
    cr_assert_eq(sx_mend(&stance, &older, &options, &mend, NULL), SX_OK);
    cr_assert_float_eq(mend.total, 0.01, 1e-9);
    cr_assert_eq(sx_mend(&stance, &newer, &options, &mend, NULL), SX_OK);
    cr_assert_eq(mend.total, 0);
}

Test(mend, two_in_one_place_step_apart) {
    SxStance stance = open_stance();
    stance.spot[3] = (SxSpot){2.5, 4.0}; /* left front */
    stance.spot[5] = (SxSpot){2.6, 4.1}; /* middle back: no rule orders these two */
    stance.spot[4] = (SxSpot){1.0, 6.5};
    SxRules rules = profile(true, false);
    SxMend mend;
    cr_assert_eq(sx_mend(&stance, &rules, NULL, &mend, NULL), SX_OK);
    cr_assert_float_eq(mend.total, 0.20, 1e-9);
    SxStance moved = moved_to(&stance, mend.spot);
    cr_assert(is_clear(&moved, &rules, 0.3, true));
}

Test(mend, random_formations_become_legal_by_the_shortest_way) {
    int proven = 0, moved_any = 0;
    for (int n = 0; n < 1500; n++) {
        bool serve = draw(3) == 0;
        SxStance stance = random_stance((int[]){40, 150, 500}[draw(3)], 1 + draw(5), serve);
        SxRules rules = profile(draw(2), draw(2));
        SxMendOptions options = {.margin = (double[]){0, 0.1, 0.3, 0.5}[draw(4)]};
        double need = rules.level_is_fault && options.margin < 0.01 ? 0.01 : options.margin;
        SxMend mend;
        cr_assert_eq(sx_mend(&stance, &rules, &options, &mend, NULL), SX_OK);
        SxStance moved = moved_to(&stance, mend.spot);
        cr_assert(is_clear(&moved, &rules, options.margin, true));
        cr_assert(whole_centimetres(mend.spot));
        cr_assert_float_eq(movement(&stance, mend.spot), mend.total, 1e-9);
        /* The theorem covers programs without the choice of sides for two in one place: those where
         * every body has room at the optimum anyway. A miss there would be one here. */
        bool shortest = no_shorter_neighbour(&stance, &rules, need, &mend);
        proven += shortest;
        moved_any += mend.moved > 0;
        if (!shortest) {
            bool had_choice = false;
            for (int a = 0; a < SX_POSITIONS; a++) {
                for (int b = a + 1; b < SX_POSITIONS; b++) {
                    double x = fabs(mend.spot[a].x - mend.spot[b].x);
                    double y = fabs(mend.spot[a].y - mend.spot[b].y);
                    had_choice |= fabs(fmax(x, y) - SX_BODY_ROOM) < 1e-9;
                }
            }
            cr_assert(had_choice, "a shorter way exists in case %d", n);
        }
    }
    cr_assert_gt(proven, 1000);
    cr_assert_gt(moved_any, 700);
}

/* Two players free on a grid of 10 cm, all data on it: its best point is an optimum. */
static double grid_search(const SxStance *stance, const SxRules *rules, double margin, int a,
                          int b) {
    enum { REACH = 6 };
    double best = INFINITY;
    SxStance moved = *stance;
    for (int i = -REACH; i <= REACH; i++) {
        for (int j = -REACH; j <= REACH; j++) {
            moved.spot[a] = (SxSpot){stance->spot[a].x + i * 0.1, stance->spot[a].y + j * 0.1};
            for (int k = -REACH; k <= REACH; k++) {
                for (int l = -REACH; l <= REACH; l++) {
                    double length = (abs(i) + abs(j) + abs(k) + abs(l)) * 0.1;
                    if (length >= best - 1e-9) {
                        continue;
                    }
                    moved.spot[b] =
                        (SxSpot){stance->spot[b].x + k * 0.1, stance->spot[b].y + l * 0.1};
                    if (is_clear(&moved, rules, margin, true)) {
                        best = length;
                    }
                }
            }
        }
    }
    return best;
}

Test(mend, no_grid_search_finds_a_shorter_way) {
    int answered = 0;
    for (int n = 0; n < 300; n++) {
        SxStance stance = open_stance();
        int a = draw(SX_POSITIONS), b = (a + 1 + draw(SX_POSITIONS - 1)) % SX_POSITIONS;
        SxStance jumbled = random_stance(draw(2) ? 250 : 450, 10, false);
        stance.spot[a] = jumbled.spot[a];
        stance.spot[b] = jumbled.spot[b];
        SxRules rules = profile(true, draw(2));
        SxMendOptions options = {.margin = 0.3};
        for (int i = 0; i < SX_POSITIONS; i++) {
            options.locked[i] = i != a && i != b;
        }
        SxMend mend;
        SxStatus status = sx_mend(&stance, &rules, &options, &mend, NULL);
        double best = grid_search(&stance, &rules, options.margin, a, b);
        if (status == SX_NO) {
            cr_assert(isinf(best));
        } else {
            cr_assert_leq(mend.total, best + 1e-9);
        }
        if (isfinite(best) && best <= 0.6) { /* all ways this short are on the grid */
            cr_assert_float_eq(mend.total, best, 1e-9);
            answered += best > 0;
        }
    }
    cr_assert_gt(answered, 30);
}

static int bits(unsigned set) {
    int count = 0;
    for (; set; set >>= 1) {
        count += set & 1;
    }
    return count;
}

/* Every set of players that may move, from the smallest up. */
static void best_by_sets(const SxStance *stance, const SxRules *rules, int *players,
                         double *total) {
    *players = SX_POSITIONS + 1;
    *total = INFINITY;
    for (unsigned set = 0; set < 1u << SX_POSITIONS; set++) {
        SxMendOptions options = {.margin = 0.3};
        SxMend mend;
        for (int i = 0; i < SX_POSITIONS; i++) {
            options.locked[i] = !(set >> i & 1);
        }
        if (bits(set) <= *players && sx_mend(stance, rules, &options, &mend, NULL) == SX_OK) {
            *total = bits(set) < *players ? mend.total : fmin(*total, mend.total);
            *players = bits(set);
        }
    }
}

Test(mend, fewest_players_is_the_smallest_of_all_sets) {
    int differs = 0;
    for (int n = 0; n < 60; n++) {
        SxStance stance = random_stance(draw(2) ? 200 : 400, 5, draw(3) == 0);
        SxRules rules = profile(true, draw(2));
        SxMendOptions options = {.margin = 0.3, .fewest = true};
        SxMend fewest, least;
        int players;
        double total;
        best_by_sets(&stance, &rules, &players, &total);
        cr_assert_eq(sx_mend(&stance, &rules, &options, &fewest, NULL), SX_OK);
        cr_assert_eq(fewest.moved, players);
        cr_assert_float_eq(fewest.total, total, 1e-6);
        SxStance moved = moved_to(&stance, fewest.spot);
        cr_assert(is_clear(&moved, &rules, 0.3, true));
        cr_assert_eq(sx_mend(&stance, &rules, NULL, &least, NULL), SX_OK);
        cr_assert_leq(least.total, fewest.total + 1e-9);
        differs += least.moved > fewest.moved;
    }
    cr_assert_gt(differs, 5);
}

/* Middle back stands 5 cm too far right of where right back lets her and in left front's place,
 * deep in the corner. Two players need 5 + 20 cm; middle back alone, with the end line behind
 * her, 40. */
Test(mend, fewest_players_may_take_a_longer_way) {
    SxStance stance = open_stance();
    stance.spot[0] = (SxSpot){2.40, 6.5};
    stance.spot[3] = (SxSpot){2.00, 8.70};
    stance.spot[4] = (SxSpot){0.50, 9.00};
    stance.spot[5] = (SxSpot){2.10, 8.75};
    stance.reach[5] = 0.05;
    SxRules rules = profile(true, true);
    SxMendOptions options = {.margin = 0.3};
    SxMend mend;
    cr_assert_eq(sx_mend(&stance, &rules, &options, &mend, NULL), SX_OK);
    cr_assert_float_eq(mend.total, 0.25, 1e-9);
    cr_assert_eq(mend.moved, 2);
    options.fewest = true;
    cr_assert_eq(sx_mend(&stance, &rules, &options, &mend, NULL), SX_OK);
    cr_assert_float_eq(mend.total, 0.40, 1e-9);
    cr_assert_eq(mend.moved, 1);
}

Test(mend, locks_that_conflict_are_named_and_no_others) {
    SxStance stance = open_stance();
    stance.spot[5] = (SxSpot){5.5, 1.5};
    SxRules rules = profile(true, false);
    SxMendOptions options = {.margin = 0.3, .locked = {true, false, true, true, false, true}};
    SxMend mend;
    SxError err = {.status = SX_OK};
    cr_assert_eq(sx_mend(&stance, &rules, &options, &mend, &err), SX_NO);
    const bool expected[SX_POSITIONS] = {false, false, true, false, false, true};
    cr_assert_eq(memcmp(mend.conflict, expected, sizeof expected), 0);
    cr_assert_not_null(strstr(err.message, "middle front and middle back"), "%s", err.message);
    options.locked[2] = false;
    cr_assert_eq(sx_mend(&stance, &rules, &options, &mend, &err), SX_OK);
    cr_assert_eq(mend.spot[5].y, stance.spot[5].y);
}

Test(mend, a_wrong_person_is_not_mended_by_moving) {
    SxStance stance = open_stance();
    stance.libero[2] = true;
    SxRules rules = profile(true, false);
    SxMend mend;
    SxError err = {.status = SX_OK};
    cr_assert_eq(sx_mend(&stance, &rules, NULL, &mend, &err), SX_NO);
    cr_assert_not_null(strstr(err.message, "middle front"), "%s", err.message);
}

Test(mend, a_margin_out_of_range_is_refused) {
    SxStance stance = open_stance();
    SxRules rules = profile(true, false);
    SxMendOptions options = {.margin = -0.1};
    SxMend mend;
    cr_assert_eq(sx_mend(&stance, &rules, &options, &mend, NULL), SX_USAGE);
    options.margin = NAN;
    cr_assert_eq(sx_mend(&stance, &rules, &options, &mend, NULL), SX_USAGE);
}
