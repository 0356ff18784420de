/* The coach's wishes: rows of the lineup program, and checks of a finished lineup. Which functions
 * belong to which wish is told by core/wish_table.h. */
#include "model/lineup_build.h"
#include "sixturn/evaluate.h"

#include <math.h>
#include <stdio.h>

/* --- rows ---------------------------------------------------------------------------------------
 */

/* Names carry the wish's place in the plan: a player may have many. */
static Name wish_name(const Builder *b, const char *what, const SxWish *wish, int s, int r) {
    char kind[48];
    snprintf(kind, sizeof kind, "wish%d_%s", (int)(wish - b->plan->wishes), what);
    return sx_build_name(b, kind, wish->player, s, r);
}

static void rows_presence(Builder *b, const SxWish *wish) {
    MipRow *row = sx_build_row(b);
    for (int s = 0; s < SX_SLOTS; s++) {
        if (wish->kind != SX_FIXED_SLOT || s == wish->value) {
            sx_build_place(b, row, wish->player, s, 1);
        }
    }
    if (wish->kind != SX_FIXED_SLOT) {
        sx_build_add(row, b->m->named[wish->player], 1);
    }
    bool sits = wish->kind == SX_MUST_SIT;
    sx_build_put(b, row, wish_name(b, "place", wish, NO_INDEX, NO_INDEX), sits ? 0 : 1,
                 sits ? 0 : HUGE_VAL);
}

/* Whoever of the two has slot s, in whichever row, has the other opposite, in whichever row: in a
 * slot shared with a specialist one of them may hold both rows and the other only one. */
static void opposite_of(Builder *b, const SxWish *wish, int player, int other) {
    for (int s = 0; s < SX_SLOTS; s++) {
        const int *fills = b->m->fills[player][s];
        for (int k = 0; k < (fills[SX_FRONT] == fills[SX_BACK] ? 1 : SX_ROWS); k++) {
            char kind[48];
            snprintf(kind, sizeof kind, "wish%d_opposite%d", (int)(wish - b->plan->wishes), k);
            if (fills[k]) {
                MipRow *row = sx_build_row(b);
                sx_build_add(row, fills[k], 1);
                sx_build_place(b, row, other, sx_opposite_slot(s), -1);
                sx_build_put(b, row, sx_build_name(b, kind, player, s, NO_INDEX), -HUGE_VAL, 0);
            }
        }
    }
}

static void rows_opposite(Builder *b, const SxWish *wish) {
    opposite_of(b, wish, wish->player, wish->other);
    opposite_of(b, wish, wish->other, wish->player);
}

static void rows_apart(Builder *b, const SxWish *wish) {
    for (int s = 0; s < SX_SLOTS; s++) {
        for (int step = 1; step < SX_SLOTS; step += SX_SLOTS - 2) {
            /* each row apart, so that a slot shared with a specialist is counted once */
            for (int k = 0; k < SX_ROWS * SX_ROWS; k++) {
                char kind[24];
                snprintf(kind, sizeof kind, "apart%d_%d", step, k);
                MipRow *row = sx_build_row(b);
                sx_build_add(row, b->m->fills[wish->player][s][k / SX_ROWS], 1);
                sx_build_add(row, b->m->fills[wish->other][(s + step) % SX_SLOTS][k % SX_ROWS], 1);
                sx_build_put(b, row, wish_name(b, kind, wish, s, NO_INDEX), -HUGE_VAL, 1);
            }
        }
    }
}

static void rows_passing(Builder *b, const SxWish *wish) {
    for (int r = 0; r < SX_ROTATIONS; r++) {
        for (int s = 0; s < SX_SLOTS; s++) {
            MipRow *row = sx_build_row(b);
            for (int n = SX_MIN_PASSERS; n <= SX_MAX_PASSERS; n++) {
                sx_build_add(row, b->m->passes[wish->player][s][r][n], 1);
            }
            if (wish->kind == SX_ALWAYS_PASSES) {
                sx_build_on_court(b, row, wish->player, s, r, SX_RECEIVE, -1);
            }
            sx_build_put(b, row, wish_name(b, "passing", wish, s, r), 0, 0);
        }
    }
}

static void rows_not_front(Builder *b, const SxWish *wish) {
    MipRow *row = sx_build_row(b);
    for (int s = 0; s < SX_SLOTS; s++) {
        sx_build_add(row, b->m->fills[wish->player][s][SX_FRONT], 1);
    }
    sx_build_put(b, row, wish_name(b, "not_front", wish, NO_INDEX, NO_INDEX), 0, 0);
}

/* Somebody else stands there in every situation of her back row but her own serve. */
static void rows_not_back(Builder *b, const SxWish *wish) {
    MipRow *row = sx_build_row(b);
    for (int r = 0; r < SX_ROTATIONS; r++) {
        for (int s = 0; s < SX_SLOTS; s++) {
            sx_build_add(row, b->m->self[wish->player][s][r][SX_RECEIVE], 1);
            sx_build_add(row, s == r ? 0 : b->m->self[wish->player][s][r][SX_SERVE], 1);
        }
    }
    sx_build_put(b, row, wish_name(b, "not_back", wish, NO_INDEX, NO_INDEX), 0, 0);
}

/* That somebody else is the libero: no substitute takes the back row of her slot. */
static void rows_libero_for(Builder *b, const SxWish *wish) {
    rows_not_back(b, wish);
    for (int s = 0; s < SX_SLOTS; s++) {
        const int *fills = b->m->fills[wish->player][s];
        if (!b->system->split[s] && fills[SX_FRONT] != fills[SX_BACK]) {
            MipRow *row = sx_build_row(b);
            sx_build_add(row, fills[SX_FRONT], 1);
            sx_build_add(row, fills[SX_BACK], -1);
            sx_build_put(b, row, wish_name(b, "libero", wish, s, NO_INDEX), -HUGE_VAL, 0);
        }
    }
}

/* Who is on court plays: this follows, but not from the relaxation, in which a part of a place has
 * a part of its rotations. */
static void rows_rotations(Builder *b, const SxWish *wish) {
    if (wish->value > 0) {
        rows_presence(b, wish);
    }
    MipRow *row = sx_build_row(b);
    for (int r = 0; r < SX_ROTATIONS; r++) {
        for (int s = 0; s < SX_SLOTS; s++) {
            sx_build_on_court(b, row, wish->player, s, r, SX_RECEIVE, 1);
        }
    }
    sx_build_put(b, row, wish_name(b, "rotations", wish, NO_INDEX, NO_INDEX), wish->value,
                 HUGE_VAL);
}

static void rows_substitutions(Builder *b, const SxWish *wish) {
    sx_build_substitutions(b, wish_name(b, "changes", wish, NO_INDEX, NO_INDEX), wish->value);
}

static void rows_must_set(Builder *b, const SxWish *wish) {
    int seen[SX_SLOTS][SX_ROWS] = {0};
    MipRow *row = sx_build_row(b);
    for (int r = 0; r < SX_ROTATIONS; r++) {
        int s = b->system->setter_slot[r];
        SxRow at = sx_slot_row(s, r);
        if (!seen[s][at]) {
            seen[s][at] = 1;
            sx_build_add(row, b->m->fills[wish->player][s][at], 1);
        }
    }
    sx_build_put(b, row, wish_name(b, "sets", wish, NO_INDEX, NO_INDEX), 1, HUGE_VAL);
}

/* --- checks -------------------------------------------------------------------------------------
 */

static bool in_slot(const SxLineup *lineup, int player, int slot) {
    return lineup->order.front[slot] == player || lineup->order.back[slot] == player;
}

static int slot_of(const SxLineup *lineup, int player) {
    for (int s = 0; s < SX_SLOTS; s++) {
        if (in_slot(lineup, player, s)) {
            return s;
        }
    }
    return SX_NOBODY;
}

static int court_slot(const SxLineup *lineup, int r, SxPhase phase, int player) {
    for (int s = 0; s < SX_SLOTS; s++) {
        if (sx_on_court(lineup, r, phase, s) == player) {
            return s;
        }
    }
    return SX_NOBODY;
}

static bool check_plays(const SxProblem *problem, const SxLineup *lineup, const SxWish *wish) {
    (void)problem;
    for (int k = 0; k < lineup->libero_count; k++) {
        if (lineup->liberos[k] == wish->player) {
            return true;
        }
    }
    return slot_of(lineup, wish->player) >= 0;
}

static bool check_sits(const SxProblem *problem, const SxLineup *lineup, const SxWish *wish) {
    return !check_plays(problem, lineup, wish);
}

static bool check_slot(const SxProblem *problem, const SxLineup *lineup, const SxWish *wish) {
    (void)problem;
    return in_slot(lineup, wish->player, wish->value);
}

static bool check_opposite(const SxProblem *problem, const SxLineup *lineup, const SxWish *wish) {
    (void)problem;
    int a = slot_of(lineup, wish->player), b = slot_of(lineup, wish->other);
    return (a < 0 && b < 0) || (a >= 0 && b == sx_opposite_slot(a));
}

static bool check_apart(const SxProblem *problem, const SxLineup *lineup, const SxWish *wish) {
    (void)problem;
    int a = slot_of(lineup, wish->player), b = slot_of(lineup, wish->other);
    int apart = (a - b + SX_SLOTS) % SX_SLOTS;
    return a < 0 || b < 0 || (apart != 1 && apart != SX_SLOTS - 1);
}

static bool check_passing(const SxProblem *problem, const SxLineup *lineup, const SxWish *wish) {
    (void)problem;
    for (int r = 0; r < SX_ROTATIONS; r++) {
        int s = court_slot(lineup, r, SX_RECEIVE, wish->player);
        bool passes = s >= 0 && lineup->rotation[r].passers >> s & 1;
        if (wish->kind == SX_NEVER_PASSES ? passes : s >= 0 && !passes) {
            return false;
        }
    }
    return true;
}

static bool check_not_front(const SxProblem *problem, const SxLineup *lineup, const SxWish *wish) {
    (void)problem;
    int s = slot_of(lineup, wish->player);
    return s < 0 || lineup->order.front[s] != wish->player;
}

static bool check_not_back(const SxProblem *problem, const SxLineup *lineup, const SxWish *wish) {
    (void)problem;
    int own = slot_of(lineup, wish->player);
    for (int r = 0; own >= 0 && r < SX_ROTATIONS; r++) {
        for (int phase = 0; phase < SX_PHASES; phase++) {
            bool serves = phase == SX_SERVE && own == r;
            if (!serves && sx_slot_row(own, r) == SX_BACK &&
                sx_on_court(lineup, r, (SxPhase)phase, own) == wish->player) {
                return false;
            }
        }
    }
    return true;
}

static bool check_libero_for(const SxProblem *problem, const SxLineup *lineup, const SxWish *wish) {
    int s = slot_of(lineup, wish->player);
    bool substituted = s >= 0 && !problem->system->split[s] &&
                       lineup->order.front[s] == wish->player &&
                       lineup->order.back[s] != wish->player;
    return !substituted && check_not_back(problem, lineup, wish);
}

static bool check_rotations(const SxProblem *problem, const SxLineup *lineup, const SxWish *wish) {
    (void)problem;
    int count = 0;
    for (int r = 0; r < SX_ROTATIONS; r++) {
        count += court_slot(lineup, r, SX_RECEIVE, wish->player) >= 0;
    }
    return count >= wish->value;
}

static bool check_substitutions(const SxProblem *problem, const SxLineup *lineup,
                                const SxWish *wish) {
    (void)problem;
    return sx_substitutions_per_cycle(lineup) <= wish->value;
}

static bool check_sets(const SxProblem *problem, const SxLineup *lineup, const SxWish *wish) {
    for (int r = 0; r < SX_ROTATIONS; r++) {
        if (sx_slot_player(lineup, r, problem->system->setter_slot[r]) == wish->player) {
            return true;
        }
    }
    return false;
}

/* --- the table ----------------------------------------------------------------------------------
 */

static const struct {
    void (*rows)(Builder *b, const SxWish *wish);
    bool (*check)(const SxProblem *problem, const SxLineup *lineup, const SxWish *wish);
    unsigned about;
} wishes[SX_WISH_KINDS] = {
#define WISH(kind, key, reader, sentence, rows, check, about, ...) [kind] = {rows, check, about},
#include "core/wish_table.h"
#undef WISH
};

void sx_build_wish(Builder *b, const SxWish *wish) {
    wishes[wish->kind].rows(b, wish);
}

bool sx_wish_holds(const SxProblem *problem, const SxLineup *lineup, const SxWish *wish) {
    return wishes[wish->kind].check(problem, lineup, wish);
}

unsigned sx_wish_about(const SxWish *wish) {
    return wishes[wish->kind].about;
}
