/* What is usually drawn (common practice, no source) against what the program chooses: for every
 * row the same shape, or one that costs less by the stated terms.
 *
 * A row tells the usual shape as wishes, by position: who passes in which lane, who attacks from
 * where, who hides behind or beside whom, who stays at the net, and for the rest a predicate on
 * spots. The passers are both outsides and the libero in the middle's place; where a row wants
 * others, any three with the libero. The program chooses the sides. */
#include "sixturn/formation.h"
#include "sixturn/formationterms.h"

#include <criterion/criterion.h>
#include <math.h>
#include <stdio.h>

static const double agree = 1e-6;

/* Spots by position 1 to 6. */
typedef struct {
    SxSpot at[7];
} Picture;

typedef bool Predicate(const Picture *picture);

enum { ANY = 0, NOBODY = 9 };

/* By position 1 to 6, 0: nothing said. lane: 1 left, 2 centre, 3 right, NOBODY: does not pass;
 * attack: 'l', 'c', 'r'; behind: the position she hides behind or beside. */
typedef struct {
    const char *system;
    int rotation; /* 1 to 6 */
    int lane[7];
    char attack[7];
    int behind[7];
    bool at_net[7];
    Predicate *spots; /* NULL: nothing more */
    const char *told;
} Row;

static double far(SxSpot a, SxSpot b) {
    return hypot(a.x - b.x, a.y - b.y);
}

static bool setter_behind_the_outside(const Picture *p) {
    return p->at[1].y > p->at[2].y && far(p->at[1], p->at[2]) <= 2.2 && p->at[1].x >= p->at[2].x;
}

static bool free_middle_on_the_right(const Picture *p) {
    return p->at[2].x > p->at[3].x && p->at[2].y > p->at[3].y;
}

static bool setter_and_middle_left(const Picture *p) {
    return p->at[4].x < 4.5 && p->at[3].x < 4.5 && far(p->at[3], p->at[4]) <= 2.0;
}

static bool deep(const Picture *p, int position, const int others[5]) {
    bool clear = p->at[position].y >= 7.5;
    for (int k = 0; k < 5 && others[k]; k++) {
        clear &= fabs(p->at[position].x - p->at[others[k]].x) >= 1.0 - agree ||
                 p->at[position].y - p->at[others[k]].y >= 2.0;
    }
    return clear;
}

static bool six_is_deep(const Picture *p) {
    return deep(p, 6, (int[5]){4, 5, 1});
}

static bool five_is_deep(const Picture *p) {
    return deep(p, 5, (int[5]){3, 6, 1});
}

static bool setter_pushed_up(const Picture *p) {
    return p->at[5].y <= 3.6 && p->at[5].x > 3.5 && p->at[4].x < p->at[5].x;
}

static bool setter_behind_middle_at_the_right(const Picture *p) {
    return p->at[2].x > 6 && p->at[2].y <= 2 && p->at[1].y <= 2.5;
}

static bool setter_left_opposite_deep_right(const Picture *p) {
    return p->at[4].x < 4.5 && p->at[4].y <= 1.5 && p->at[1].x > 7.5 && p->at[1].y >= 7.2;
}

static bool setter_left_of_the_target(const Picture *p) {
    return p->at[3].x < 5 && p->at[3].y <= 1.5;
}

static const Row rows[] = {
    {"5-1-outside",
     1,
     {0, 0, 3, 0, 0, 0, 2},
     {0, 0, 'r', 0, 'l'},
     {0},
     {0},
     setter_behind_the_outside,
     "opposite hits left, outside passes and hits right, setter behind her, libero centre"},
    {"5-1-outside",
     2,
     {0},
     {0, 0, 'c', 'r', 'l'},
     {0, 0, 0, 0, 0, 0, 3},
     {0, 0, 0, true},
     free_middle_on_the_right,
     "opposite at the net, setter behind her, middle right"},
    {"5-1-outside",
     3,
     {0, 3, 0, 1, 0, 0, 2},
     {0, 0, 'r', 'l', 'c'},
     {0},
     {0},
     setter_pushed_up,
     "setter pushed up to the middle beside the middle"},
    {"5-1-outside",
     4,
     {0, 0, 1, 0, 0, 2},
     {0},
     {0},
     {0},
     setter_and_middle_left,
     "setter and middle left, outside passes left, back outside centre"},
    {"5-1-outside", 5, {0}, {0}, {0}, {0}, six_is_deep, "back-row opposite deep, out of the way"},
    {"5-1-outside", 6, {0}, {0}, {0}, {0}, five_is_deep, "back-row opposite deep, out of the way"},
    {"5-1-middle",
     1,
     {0, 0, 0, 3},
     {0, 0, 0, 'r', 'l'},
     {0, 2},
     {0},
     setter_behind_middle_at_the_right,
     "outside passes and hits right, opposite left, setter behind the middle at the right"},
    {"5-1-middle",
     2,
     {0},
     {0, 0, 'r', 'l'},
     {0, 0, 0, 0, 0, 0, 3},
     {0},
     NULL,
     "outside hits right, opposite left, setter tucked behind the opposite"},
    {"5-1-middle",
     3,
     {0, 0, 0, 0, NOBODY},
     {0},
     {0, 0, 0, 0, 0, 4},
     {0, 0, 0, 0, true},
     NULL,
     "outside at the net and not passing, setter behind her"},
    {"5-1-middle",
     4,
     {0, 0, 0, 1, 0, 2},
     {0},
     {0},
     {0},
     setter_left_opposite_deep_right,
     "outside left, libero centre, setter left at the net, opposite deep right"},
    {"5-1-middle",
     5,
     {0, 3, 2, 0, 0, 1},
     {0, 0, 'l', 0, 'c'},
     {0},
     {0},
     setter_left_of_the_target,
     "back outside left, outside centre, libero right"},
    {"4-2",
     1,
     {0, 0, 1, 0, 0, 2},
     {0},
     {0},
     {0},
     setter_and_middle_left,
     "setter and middle left, outside passes left, back outside centre"},
    {"4-2", 2, {0}, {0}, {0}, {0}, six_is_deep, "back-row setter deep, out of the way"},
    {"4-2", 3, {0}, {0}, {0}, {0}, five_is_deep, "back-row setter deep, out of the way"},
    {"4-2",
     4,
     {0, 0, 1, 0, 0, 2},
     {0},
     {0},
     {0},
     setter_and_middle_left,
     "setter and middle left, outside passes left, back outside centre"},
    {"4-2", 5, {0}, {0}, {0}, {0}, six_is_deep, "back-row setter deep, out of the way"},
    {"4-2", 6, {0}, {0}, {0}, {0}, five_is_deep, "back-row setter deep, out of the way"},
};

enum { ROWS = sizeof rows / sizeof *rows };

static unsigned libero_and_outsides(const SxSystem *system, int r, unsigned *libero) {
    unsigned mask = *libero = 0;
    for (int s = 0; s < SX_SLOTS; s++) {
        SxRow row = sx_slot_row(s, r);
        SxRole role = system->duty[s][row].role;
        *libero |= role == SX_MIDDLE && row == SX_BACK ? 1u << s : 0;
        mask |= role == SX_OUTSIDE ? 1u << s : 0;
    }
    return mask | *libero;
}

static double whole_cost(const SxSystem *system, int r, const SxFormation *f) {
    SxFormationTerms terms;
    cr_assert_eq(sx_formation_terms_load(NULL, &terms, NULL), SX_OK);
    return f->cost + sx_formation_away(system, r, f->sides, &terms);
}

/* The cheapest with any three passers that the row allows, or with the usual three. */
static double cheapest(const SxSystem *system, const Row *row, const SxFormationWishes *wishes,
                       SxFormation *best) {
    int r = row->rotation - 1;
    bool others = false;
    unsigned libero, usual = libero_and_outsides(system, r, &libero), never = 0;
    for (int position = 1; position <= 6; position++) {
        others |= row->lane[position] == NOBODY;
        never |= row->lane[position] == NOBODY ? 1u << sx_slot_at(position, r) : 0;
    }
    SxFormationOptions options;
    sx_formation_default(&options);
    options.sides = SX_BEST_SIDES;
    options.wishes = wishes;
    double least = INFINITY;
    for (unsigned mask = 1; mask < SX_MASKS; mask++) {
        bool with_setter = mask >> system->setter_slot[r] & 1;
        if (sx_count_members(mask) != 3 || (mask & libero) != libero || with_setter ||
            (!others && mask != usual) || (wishes && mask & never)) {
            continue;
        }
        SxFormation f;
        SxError err = {.status = SX_OK};
        SxStatus status = sx_formation_receive(system, r, mask, &options, &f, &err);
        cr_assert(status == SX_OK || status == SX_NO, "%s", err.message);
        if (status == SX_OK && f.feasible && whole_cost(system, r, &f) < least) {
            least = whole_cost(system, r, &f);
            *best = f;
        }
    }
    return least;
}

static void to_wishes(const Row *row, SxFormationWishes *wishes) {
    int r = row->rotation - 1;
    sx_formation_no_wishes(wishes);
    for (int position = 1; position <= 6; position++) {
        int slot = sx_slot_at(position, r);
        if (row->lane[position] && row->lane[position] != NOBODY) {
            wishes->lane[slot] = row->lane[position] - 1;
        }
        if (row->attack[position]) {
            wishes->attacks_from[slot] = row->attack[position] == 'l'   ? SX_LEFT
                                         : row->attack[position] == 'c' ? SX_CENTRE
                                                                        : SX_RIGHT;
        }
        if (row->behind[position]) {
            wishes->behind[slot] = sx_slot_at(row->behind[position], r);
        }
        wishes->at_net[slot] = row->at_net[position];
    }
}

static bool has_shape(const Row *row, const SxFormation *f) {
    int r = row->rotation - 1;
    Picture picture = {{{0, 0}}};
    bool same = true;
    for (int position = 1; position <= 6; position++) {
        picture.at[position] = f->spot[sx_slot_at(position, r)];
    }
    for (int position = 1; position <= 6; position++) {
        int slot = sx_slot_at(position, r), lane = row->lane[position];
        SxSpot at = picture.at[position], other = picture.at[row->behind[position]];
        if (lane) {
            same &= f->lane[slot] == (lane == NOBODY ? -1 : lane - 1);
        }
        if (row->attack[position]) {
            same &= "lcr"[sx_side_lane(f->sides, position)] == row->attack[position];
        }
        if (row->behind[position]) {
            same &= fabs(at.x - other.x) <= 0.9 + agree && at.y >= other.y &&
                    at.y <= other.y + 1.1 + agree;
        }
        same &= !row->at_net[position] || at.y <= 1.5 + agree;
    }
    return same && (!row->spots || row->spots(&picture));
}

/* The table goes to the log, for the README. */
Test(usual_formations, are_chosen_or_cost_more_by_the_stated_terms) {
    int same = 0;
    for (int k = 0; k < ROWS; k++) {
        const Row *row = &rows[k];
        SxSystem system;
        SxError err = {.status = SX_OK};
        SxFormation chosen = {0}, usual = {0};
        SxFormationWishes wishes;
        cr_assert_eq(sx_system_load(row->system, &system, &err), SX_OK, "%s", err.message);
        double ours = cheapest(&system, row, NULL, &chosen);
        cr_assert(isfinite(ours));
        to_wishes(row, &wishes);
        double theirs = cheapest(&system, row, &wishes, &usual);
        bool is_same = has_shape(row, &chosen);
        same += is_same;
        cr_expect(is_same || theirs >= ours + agree, "%s %d: %s; ours %.2f, usual %.2f",
                  row->system, row->rotation, row->told, ours, theirs);
        if (is_same) {
            cr_expect_float_eq(theirs, ours, agree, "%s %d: the wishes of the chosen shape cost",
                               row->system, row->rotation);
        }
        fprintf(stderr, "%-12s %d  %-5s  %5.2f  %5.2f  %s\n", row->system, row->rotation,
                is_same ? "same" : "other", ours, theirs, row->told);
    }
    cr_expect(3 * same >= 2 * ROWS, "%d of %d are the usual shape", same, ROWS);
}
