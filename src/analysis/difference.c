/* What differs between two lineups: who changes places, and which part of the score moves where. */
#include "sixturn/difference.h"

#include "analysis/setparts.h"
#include "sixturn/bestset.h"
#include "sixturn/eligible.h"
#include "sixturn/program.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { HALF_TURN = SX_ROTATIONS / 2 };
/* Weighted points in one rotation that are too few to be told. */
static const double TOO_FEW = 0.005;

typedef struct {
    const SxProblem *problem;
    SxOrder from, to; /* `to` turned so that places match */
    SxDifference *out;
} Comparing;

static int at(const SxOrder *order, int slot, SxRow row) {
    return row == SX_FRONT ? order->front[slot] : order->back[slot];
}

static bool holds(const SxOrder *order, int player) {
    for (int s = 0; s < SX_SLOTS; s++) {
        if (order->front[s] == player || order->back[s] == player) {
            return true;
        }
    }
    return false;
}

static int places_in_common(const SxOrder *a, const SxOrder *b) {
    int count = 0;
    for (int s = 0; s < SX_SLOTS; s++) {
        count += (a->front[s] == b->front[s]) + (a->back[s] == b->back[s]);
    }
    return count;
}

static void add_move(Comparing *c, SxMoveKind kind, int player, int other, SxRole role, SxRow row) {
    if (c->out->move_count < SX_MAX_MOVES) {
        c->out->move[c->out->move_count++] = (SxMove){kind, player, other, role, row};
    }
}

/* Looks for the place to which the player who was here went, if this one came from there. */
static bool is_swap(const Comparing *c, int slot, SxRow row, int *other_slot) {
    for (int s = 0; s < SX_SLOTS; s++) {
        if (s != slot && at(&c->from, s, row) == at(&c->to, slot, row) &&
            at(&c->to, s, row) == at(&c->from, slot, row)) {
            *other_slot = s;
            return true;
        }
    }
    return false;
}

static void compare_place(Comparing *c, int slot, SxRow row, SxRow shown) {
    int before = at(&c->from, slot, row);
    int now = at(&c->to, slot, row);
    if (before == now) {
        return;
    }
    SxRole role = c->problem->system->duty[slot][row].role;
    int other_slot;
    if (is_swap(c, slot, row, &other_slot)) {
        bool alike = c->problem->system->duty[other_slot][row].role == role;
        if (slot < other_slot) {
            add_move(c, SX_MOVE_SWAPS, before, now, alike ? role : SX_ROLE_COUNT, shown);
        }
        return;
    }
    bool is_new = !holds(&c->from, now);
    bool leaves = !holds(&c->to, before);
    add_move(c,
             !is_new  ? SX_MOVE_TAKES
             : leaves ? SX_MOVE_REPLACES
                      : SX_MOVE_JOINS,
             now, before, role, shown);
    if (leaves && !is_new) {
        add_move(c, SX_MOVE_LEAVES, before, now, role, shown);
    }
}

static void compare_orders(Comparing *c) {
    for (int s = 0; s < SX_SLOTS; s++) {
        bool together = c->from.front[s] == c->from.back[s] && c->to.front[s] == c->to.back[s];
        compare_place(c, s, SX_FRONT, together ? SX_ROWS : SX_FRONT);
        if (!together) {
            compare_place(c, s, SX_BACK, SX_BACK);
        }
    }
}

static void compare_liberos(Comparing *c, const SxLineup *from, const SxLineup *to) {
    int gone[2], come[2];
    int gone_count = 0, come_count = 0;
    for (int k = 0; k < from->libero_count; k++) {
        if (!sx_is_nominated(to, from->liberos[k])) {
            gone[gone_count++] = from->liberos[k];
        }
    }
    for (int k = 0; k < to->libero_count; k++) {
        if (!sx_is_nominated(from, to->liberos[k])) {
            come[come_count++] = to->liberos[k];
        }
    }
    for (int k = 0; k < gone_count || k < come_count; k++) {
        add_move(c, SX_MOVE_LIBERO, k < come_count ? come[k] : -1, k < gone_count ? gone[k] : -1,
                 SX_LIBERO, SX_ROWS);
    }
}

/* In sets of 100, by rotation of `from`. */
static SxStatus compare_sets(Comparing *c, const SxLineup *from, const SxLineup *to, SxError *err) {
    SxDifference *out = c->out;
    const SxRallyModel *model = c->problem->against->model;
    SxSide sides[2][SX_ROTATIONS], turned[SX_ROTATIONS];
    sx_set_sides(model, from, sides[0]);
    sx_set_sides(model, to, sides[1]);
    for (int r = 0; r < SX_ROTATIONS; r++) {
        turned[r] = sides[1][(r + out->turn) % SX_ROTATIONS];
    }
    SxStatus status = sx_set_parts(c->problem, sides[0], turned, out->part, err);
    if (status != SX_OK) {
        return status;
    }
    out->score = sx_value(c->problem, to) - sx_value(c->problem, from);
    out->rest = out->score;
    for (int r = 0; r < SX_ROTATIONS; r++) {
        for (int k = 0; k < SX_PARTS; k++) {
            out->rotation[r] += out->part[r][k];
        }
        out->rest -= out->rotation[r];
        if (out->rotation[r] < out->rotation[out->worst_rotation] - TOO_FEW / 1000) {
            out->worst_rotation = r;
        }
    }
    return SX_OK;
}

static void compare_parts(Comparing *c, const SxLineup *from, const SxLineup *to) {
    SxDifference *out = c->out;
    for (int r = 0; r < SX_ROTATIONS; r++) {
        const SxRotation *a = &from->rotation[r];
        const SxRotation *b = &to->rotation[(r + out->turn) % SX_ROTATIONS];
        for (int k = 0; k < SX_PARTS; k++) {
            double sign = k == SX_PART_RUN ? -1 : 1;
            out->part[r][k] = sign * c->problem->plan->weight[k] * (b->part[k] - a->part[k]);
        }
        out->rotation[r] = b->score - a->score;
        if (out->rotation[r] < out->rotation[out->worst_rotation] - TOO_FEW / 1000) {
            out->worst_rotation = r;
        }
    }
    out->score = to->score - from->score;
}

static int larger_share(const void *a, const void *b) {
    const SxPartTerm *left = a, *right = b;
    double difference = fabs(right->share) - fabs(left->share);
    if (difference != 0) {
        return difference > 0 ? 1 : -1;
    }
    return (int)left->part - (int)right->part;
}

static void gather_terms(const SxProblem *problem, SxDifference *out, const SxLineup *from) {
    const bool sets = problem->against != NULL;
    for (int k = 0; k < SX_PARTS; k++) {
        for (int sign = -1; sign <= 1; sign += 2) {
            SxPartTerm term = {.part = (SxPart)k};
            int count = 0;
            for (int r = 0; r < SX_ROTATIONS; r++) {
                if (sign * out->part[r][k] >= TOO_FEW) {
                    term.rotations |= 1u << r;
                    term.points += out->part[r][k];
                    term.share += (sets ? 1 : from->rotation[r].weight) * out->part[r][k];
                    count++;
                }
            }
            if (count) {
                term.points /= sets ? 1 : count;
                out->term[out->term_count++] = term;
            }
        }
    }
    qsort(out->term, (size_t)out->term_count, sizeof out->term[0], larger_share);
}

SxStatus sx_difference(const SxProblem *problem, const SxLineup *from, const SxLineup *to,
                       SxDifference *out, SxError *err) {
    memset(out, 0, sizeof *out);
    Comparing c = {.problem = problem, .from = from->order, .to = to->order, .out = out};
    if (sx_turn_counts_once(problem)) {
        SxOrder turned;
        sx_order_turn(&to->order, &turned);
        if (places_in_common(&from->order, &turned) > places_in_common(&from->order, &to->order)) {
            c.to = turned;
            out->turn = HALF_TURN;
        }
    }
    compare_orders(&c);
    compare_liberos(&c, from, to);
    SxStatus status = SX_OK;
    if (problem->against) {
        status = compare_sets(&c, from, to, err);
    } else {
        compare_parts(&c, from, to);
    }
    gather_terms(problem, out, from);
    return status;
}
