/* Columns and rows of the lineup program for the rules of the game: the order, substitutions, the
 * libero. */
#include "model/lineup_build.h"

#include "sixturn/eligible.h"

#include <math.h>

static int players(const Builder *b) {
    return b->team->player_count;
}

/* --- the order ----------------------------------------------------------------------------------
 */

static void add_fills(Builder *b) {
    for (int s = 0; s < SX_SLOTS; s++) {
        bool differ = sx_rows_differ(b->problem, s);
        for (int p = 0; p < players(b); p++) {
            int *fills = b->m->fills[p][s];
            if (sx_can_fill(b->problem, p, s, SX_FRONT)) {
                fills[SX_FRONT] = sx_build_column(
                    b, sx_build_name(b, differ ? "front" : "plays", p, s, NO_INDEX), true);
            }
            if (!differ) {
                fills[SX_BACK] = fills[SX_FRONT];
            } else if (sx_can_fill(b->problem, p, s, SX_BACK)) {
                fills[SX_BACK] = sx_build_column(b, sx_build_name(b, "back", p, s, NO_INDEX), true);
            }
        }
        if (differ && !b->system->split[s]) {
            b->m->shared[s] =
                sx_build_column(b, sx_build_name(b, "shared", NO_INDEX, s, NO_INDEX), true);
        }
    }
}

static void add_places(Builder *b) {
    for (int s = 0; s < SX_SLOTS; s++) {
        for (int row = 0; row < (sx_rows_differ(b->problem, s) ? SX_ROWS : 1); row++) {
            MipRow *terms = sx_build_row(b);
            for (int p = 0; p < players(b); p++) {
                sx_build_add(terms, b->m->fills[p][s][row], 1);
            }
            sx_build_put(
                b, terms,
                sx_build_name(b, row == SX_FRONT ? "place" : "place_back", NO_INDEX, s, NO_INDEX),
                1, 1);
        }
    }
}

/* In a shared slot one player may hold both rows: a column that is 1 if she has either. */
static int add_has(Builder *b, int p, int s) {
    const int *fills = b->m->fills[p][s];
    if (!fills[SX_FRONT] && !fills[SX_BACK]) {
        return 0;
    }
    int has = sx_build_column(b, sx_build_name(b, "has", p, s, NO_INDEX), false);
    for (int row = 0; row < SX_ROWS; row++) {
        if (fills[row]) {
            MipRow *terms = sx_build_row(b);
            sx_build_add(terms, has, 1);
            sx_build_add(terms, fills[row], -1);
            sx_build_put(
                b, terms,
                sx_build_name(b, row == SX_FRONT ? "has_front" : "has_back", p, s, NO_INDEX), 0,
                HUGE_VAL);
        }
    }
    return has;
}

static void add_one_place_each(Builder *b) {
    for (int p = 0; p < players(b); p++) {
        int has[SX_SLOTS];
        for (int s = 0; s < SX_SLOTS; s++) {
            has[s] = b->m->shared[s] ? add_has(b, p, s) : 0;
        }
        MipRow *terms = sx_build_row(b);
        for (int s = 0; s < SX_SLOTS; s++) {
            if (b->m->shared[s]) {
                sx_build_add(terms, has[s], 1);
            } else {
                sx_build_place(b, terms, p, s, 1);
            }
        }
        sx_build_add(terms, b->m->named[p], 1);
        sx_build_put(b, terms, sx_build_name(b, "player", p, NO_INDEX, NO_INDEX), -HUGE_VAL, 1);
    }
}

/* --- substitutions ------------------------------------------------------------------------------
 */

static void add_shares(Builder *b) {
    for (int s = 0; s < SX_SLOTS; s++) {
        for (int p = 0; b->m->shared[s] && p < players(b); p++) {
            const int *fills = b->m->fills[p][s];
            for (int row = 0; (fills[SX_FRONT] || fills[SX_BACK]) && row < SX_ROWS; row++) {
                MipRow *terms = sx_build_row(b);
                sx_build_add(terms, fills[row], 1);
                sx_build_add(terms, fills[1 - row], -1);
                sx_build_add(terms, b->m->shared[s], -1);
                sx_build_put(b, terms,
                             sx_build_name(b, row == SX_FRONT ? "share_front" : "share_back", p, s,
                                           NO_INDEX),
                             -HUGE_VAL, 0);
            }
        }
    }
    MipRow *terms = sx_build_row(b);
    for (int s = 0; s < SX_SLOTS; s++) {
        sx_build_add(terms, b->m->shared[s], 1);
    }
    sx_build_put(b, terms, (Name){"leave"}, -HUGE_VAL, b->plan->specialists);
}

void sx_build_substitutions(Builder *b, Name name, int most) {
    enum { THERE_AND_BACK = 2 };
    int fixed = 0;
    MipRow *terms = sx_build_row(b);
    for (int s = 0; s < SX_SLOTS; s++) {
        fixed += b->system->split[s] ? THERE_AND_BACK : 0;
        sx_build_add(terms, b->m->shared[s], THERE_AND_BACK);
    }
    sx_build_put(b, terms, name, -HUGE_VAL, most - fixed);
}

/* --- the libero ---------------------------------------------------------------------------------
 */

static bool may_stand_in(const Builder *b, int s, int r, SxPhase phase) {
    return sx_libero_may_replace(b->system, s, r) &&
           (phase == SX_RECEIVE || s != r || b->rules->libero_serves);
}

static void add_libero_columns(Builder *b) {
    for (int p = 0; p < players(b); p++) {
        if (!sx_can_be_libero(b->problem, p)) {
            continue;
        }
        b->m->named[p] =
            sx_build_column(b, sx_build_name(b, "libero", p, NO_INDEX, NO_INDEX), true);
        for (int r = 0; r < SX_ROTATIONS; r++) {
            for (int s = 0; s < SX_SLOTS; s++) {
                for (int phase = 0; phase < SX_PHASES; phase++) {
                    if (may_stand_in(b, s, r, (SxPhase)phase)) {
                        b->m->in[p][s][r][phase] = sx_build_column(
                            b, sx_build_name(b, phase == SX_SERVE ? "in_serve" : "in", p, s, r),
                            true);
                    }
                }
            }
        }
    }
}

static bool any_libero(const Builder *b, int s, int r, SxPhase phase) {
    for (int p = 0; p < players(b); p++) {
        if (b->m->in[p][s][r][phase]) {
            return true;
        }
    }
    return false;
}

/* Products 'p fills the slot and no libero is in for it': at most x, and with the liberos they
 * make one. */
static void add_self(Builder *b, int s, int r, SxPhase phase) {
    const char *kind = phase == SX_SERVE ? "self_serve" : "self";
    bool product = any_libero(b, s, r, phase);
    for (int p = 0; p < players(b); p++) {
        int fills = b->m->fills[p][s][SX_BACK];
        int *self = &b->m->self[p][s][r][phase];
        *self = fills;
        if (fills && product) {
            *self = sx_build_column(b, sx_build_name(b, kind, p, s, r), false);
            MipRow *terms = sx_build_row(b);
            sx_build_add(terms, *self, 1);
            sx_build_add(terms, fills, -1);
            sx_build_put(b, terms, sx_build_name(b, kind, p, s, r), -HUGE_VAL, 0);
        }
    }
    if (product) {
        MipRow *terms = sx_build_row(b);
        for (int p = 0; p < players(b); p++) {
            sx_build_add(terms, b->m->self[p][s][r][phase], 1);
        }
        sx_build_any_libero(b, terms, s, r, phase, 1);
        sx_build_put(
            b, terms,
            sx_build_name(b, phase == SX_SERVE ? "filled_serve" : "filled", NO_INDEX, s, r), 1, 1);
    }
}

static void add_presence(Builder *b) {
    for (int r = 0; r < SX_ROTATIONS; r++) {
        for (int s = 0; s < SX_SLOTS; s++) {
            for (int phase = 0; sx_slot_row(s, r) == SX_BACK && phase < SX_PHASES; phase++) {
                add_self(b, s, r, (SxPhase)phase);
            }
        }
    }
}

static void add_naming(Builder *b) {
    MipRow *terms = sx_build_row(b);
    for (int p = 0; p < players(b); p++) {
        sx_build_add(terms, b->m->named[p], 1);
    }
    sx_build_put(b, terms, (Name){"liberos"}, -HUGE_VAL, b->rules->liberos);
    for (int p = 0; p < players(b); p++) {
        if (!b->m->named[p]) {
            continue;
        }
        for (int r = 0; r < SX_ROTATIONS; r++) {
            for (int phase = 0; phase < SX_PHASES; phase++) {
                terms = sx_build_row(b);
                for (int s = 0; s < SX_SLOTS; s++) {
                    sx_build_add(terms, b->m->in[p][s][r][phase], 1);
                }
                sx_build_add(terms, b->m->named[p], -1);
                sx_build_put(
                    b, terms,
                    sx_build_name(b, phase == SX_SERVE ? "named_serve" : "named", p, NO_INDEX, r),
                    -HUGE_VAL, 0);
            }
        }
        terms = sx_build_row(b);
        sx_build_add(terms, b->m->named[p], 1);
        for (int at = 0; at < SX_ROTATIONS * SX_SLOTS * SX_PHASES; at++) {
            int r = at / (SX_SLOTS * SX_PHASES), s = at / SX_PHASES % SX_SLOTS;
            sx_build_add(terms, b->m->in[p][s][r][at % SX_PHASES], -1);
        }
        sx_build_put(b, terms, sx_build_name(b, "used", p, NO_INDEX, NO_INDEX), -HUGE_VAL, 0);
    }
}

/* From each situation to the next: receiving in a rotation follows serving in it; then the next
 * rotation serves. */
static void add_rally(Builder *b, int s, int r, SxPhase phase) {
    if (!any_libero(b, s, r, phase)) {
        return;
    }
    SxPhase next = phase == SX_SERVE ? SX_RECEIVE : SX_SERVE;
    int to = next == SX_SERVE ? (r + 1) % SX_ROTATIONS : r;
    MipRow *terms = sx_build_row(b);
    sx_build_any_libero(b, terms, s, r, phase, 1);
    int before = terms->count;
    for (int other = 0; other < SX_SLOTS; other++) {
        bool comes_to_serve = next == SX_SERVE && other == to;
        if (other != s && !comes_to_serve) {
            sx_build_any_libero(b, terms, other, to, next, 1);
        }
    }
    if (terms->count == before) {
        sx_mip_row_clear(terms);
        return;
    }
    sx_build_put(b, terms,
                 sx_build_name(b, phase == SX_SERVE ? "rally_serve" : "rally", NO_INDEX, s, r),
                 -HUGE_VAL, 1);
}

static void add_libero_rows(Builder *b) {
    add_naming(b);
    for (int r = 0; r < SX_ROTATIONS; r++) {
        for (int phase = 0; phase < SX_PHASES; phase++) {
            MipRow *terms = sx_build_row(b);
            for (int s = 0; s < SX_SLOTS; s++) {
                sx_build_any_libero(b, terms, s, r, (SxPhase)phase, 1);
            }
            sx_build_put(
                b, terms,
                sx_build_name(b, phase == SX_SERVE ? "one_serve" : "one", NO_INDEX, NO_INDEX, r),
                -HUGE_VAL, 1);
            for (int s = 0; s < SX_SLOTS; s++) {
                add_rally(b, s, r, (SxPhase)phase);
            }
        }
    }
    MipRow *terms = sx_build_row(b);
    for (int r = 0; r < SX_ROTATIONS; r++) {
        sx_build_any_libero(b, terms, r, r, SX_SERVE, 1);
    }
    sx_build_put(b, terms, (Name){"libserve"}, -HUGE_VAL, 1);
}

void sx_build_rules(Builder *b) {
    add_fills(b);
    add_libero_columns(b);
    add_presence(b);
    add_places(b);
    add_one_place_each(b);
    add_shares(b);
    if (b->rules->substitutions != SX_UNLIMITED) {
        sx_build_substitutions(b, (Name){"changes"}, b->rules->substitutions);
    }
    if (b->rules->liberos > 0) {
        add_libero_rows(b);
    }
}
