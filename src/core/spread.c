/* Pulls marks apart: the two axes are two least-squares problems under difference constraints;
 * which axis parts an overlapping pair is found by branching on both. */
#include "core/spread.h"

#include <math.h>
#include <string.h>

enum { MOST_NODES = 600, SWEEPS = 120 };
static const double level = 1e-6;   /* the rules do not order players who stand so close */
static const double settled = 1e-9; /* a sweep that moves less is the last */
static const double slip = 1e-7;    /* of an overlap that is none */
static const double outside = 1000; /* cost of a unit beyond the frame */

typedef struct {
    double gap[SX_SLOTS][SX_SLOTS]; /* places before: at[j] >= at[i] + gap[i][j]; by rank */
    double want[SX_SLOTS], half[SX_SLOTS];
    double from, to;
    int slot[SX_SLOTS]; /* by rank */
    int rank[SX_SLOTS]; /* by slot */
} Axis;

typedef struct {
    const SxSpread *spread;
    double best;
    SxSpot *out;
    int nodes;
} Search;

static double along(SxSpot spot, SxAxis axis) {
    return axis == SX_SIDEWAYS ? spot.x : spot.y;
}

static double size_of(const SxSpread *spread, SxAxis axis, int slot) {
    return axis == SX_SIDEWAYS ? spread->wide[slot] : spread->high[slot];
}

static double whole(double value, double unit) {
    return unit > 0 ? ceil(value / unit - slip) * unit : value;
}

/* Ties keep the order that the rules want, then that of the slots. */
static bool comes_before(const SxSpread *spread, SxAxis axis, int a, int b) {
    double apart = along(spread->centre[b], axis) - along(spread->centre[a], axis);
    if (fabs(apart) > level) {
        return apart > 0;
    }
    for (int pair = 0; pair < SX_ORDER_PAIRS; pair++) {
        const SxOrderPair *order = &sx_order_pairs[pair];
        int low = sx_slot_at(order->low, spread->rotation);
        int high = sx_slot_at(order->high, spread->rotation);
        if (order->axis == axis && ((low == a && high == b) || (low == b && high == a))) {
            return low == a;
        }
    }
    return a < b;
}

static void make_axis(const SxSpread *spread, SxAxis axis, Axis *out) {
    *out = (Axis){.from = along(spread->from, axis), .to = along(spread->to, axis)};
    for (int s = 0; s < SX_SLOTS; s++) {
        int rank = 0;
        for (int o = 0; o < SX_SLOTS; o++) {
            rank += o != s && comes_before(spread, axis, o, s);
        }
        out->rank[s] = rank;
        out->slot[rank] = s;
        out->want[rank] = along(spread->centre[s], axis);
        out->half[rank] = size_of(spread, axis, s) / 2;
    }
    for (int pair = 0; pair < SX_ORDER_PAIRS; pair++) {
        const SxOrderPair *order = &sx_order_pairs[pair];
        int low = out->rank[sx_slot_at(order->low, spread->rotation)];
        int high = out->rank[sx_slot_at(order->high, spread->rotation)];
        if (order->axis == axis && fabs(out->want[high] - out->want[low]) > level) {
            int first = low < high ? low : high, last = low < high ? high : low;
            out->gap[first][last] = whole(spread->least, along(spread->unit, axis));
        }
    }
}

/* Nearest in squares: each constraint in turn takes back its last push and pushes anew, until
 * nothing moves. What is left of it is taken from the left to the right. */
static void solve(const Axis *axis, double at[SX_SLOTS]) {
    double push[SX_SLOTS][SX_SLOTS] = {{0}}, edge[2][SX_SLOTS] = {{0}}, moved = 1;
    memcpy(at, axis->want, sizeof axis->want);
    for (int sweep = 0; sweep < SWEEPS && moved > settled; sweep++) {
        moved = 0;
        for (int i = 0; i < SX_SLOTS; i++) {
            for (int j = i + 1; j < SX_SLOTS; j++) {
                double more = fmax((axis->gap[i][j] - at[j] + at[i]) / 2, -push[i][j]);
                push[i][j] += more;
                at[i] -= more;
                at[j] += more;
                moved = fmax(moved, fabs(more));
            }
            double right = fmax(axis->from + axis->half[i] - at[i], -edge[0][i]);
            edge[0][i] += right;
            at[i] += right;
            double left = fmax(at[i] + axis->half[i] - axis->to, -edge[1][i]);
            edge[1][i] += left;
            at[i] -= left;
            moved = fmax(moved, fmax(fabs(right), fabs(left)));
        }
    }
    for (int j = 1; j < SX_SLOTS; j++) {
        for (int i = 0; i < j; i++) {
            at[j] = fmax(at[j], at[i] + axis->gap[i][j]);
        }
    }
}

/* Squares of what was moved; a frame that is too small costs more than any walk. */
static double cost_of(const Axis *axis, const double at[SX_SLOTS]) {
    double cost = 0;
    for (int i = 0; i < SX_SLOTS; i++) {
        double out =
            fmax(fmax(axis->from + axis->half[i] - at[i], at[i] + axis->half[i] - axis->to), 0);
        cost += (at[i] - axis->want[i]) * (at[i] - axis->want[i]) + outside * out;
    }
    return cost;
}

static double apart_wanted(const SxSpread *spread, SxAxis axis, int a, int b) {
    return whole((size_of(spread, axis, a) + size_of(spread, axis, b)) / 2 + spread->air,
                 along(spread->unit, axis));
}

/* The two that overlap most; false if none do. */
static bool worst_overlap(const SxSpread *spread, const SxSpot at[SX_SLOTS], int *a, int *b) {
    double worst = slip;
    for (int i = 0; i < SX_SLOTS; i++) {
        for (int j = i + 1; j < SX_SLOTS; j++) {
            double x = apart_wanted(spread, SX_SIDEWAYS, i, j) - fabs(at[i].x - at[j].x);
            double y = apart_wanted(spread, SX_DEPTH, i, j) - fabs(at[i].y - at[j].y);
            if (fmin(x, y) > worst) {
                worst = fmin(x, y);
                *a = i;
                *b = j;
            }
        }
    }
    return worst > slip;
}

static Axis parted(const SxSpread *spread, const Axis *axis, SxAxis which, int a, int b) {
    Axis with = *axis;
    int first = axis->rank[a] < axis->rank[b] ? axis->rank[a] : axis->rank[b];
    int last = axis->rank[a] + axis->rank[b] - first;
    with.gap[first][last] = apart_wanted(spread, which, a, b);
    return with;
}

static void branch(Search *search, const Axis *across, const Axis *down) {
    double x[SX_SLOTS], y[SX_SLOTS];
    SxSpot at[SX_SLOTS];
    solve(across, x);
    solve(down, y);
    double cost = cost_of(across, x) + cost_of(down, y);
    if (cost >= search->best || search->nodes++ > MOST_NODES) {
        return;
    }
    for (int s = 0; s < SX_SLOTS; s++) {
        at[s] = (SxSpot){x[across->rank[s]], y[down->rank[s]]};
    }
    int a = 0, b = 0;
    if (!worst_overlap(search->spread, at, &a, &b)) {
        search->best = cost;
        memcpy(search->out, at, sizeof at);
        return;
    }
    Axis wider = parted(search->spread, across, SX_SIDEWAYS, a, b);
    Axis deeper = parted(search->spread, down, SX_DEPTH, a, b);
    /* the shorter way first, so that the other is cut off early */
    double short_x = apart_wanted(search->spread, SX_SIDEWAYS, a, b) - fabs(at[a].x - at[b].x);
    double short_y = apart_wanted(search->spread, SX_DEPTH, a, b) - fabs(at[a].y - at[b].y);
    if (short_x < short_y) {
        branch(search, &wider, down);
        branch(search, across, &deeper);
    } else {
        branch(search, across, &deeper);
        branch(search, &wider, down);
    }
}

void sx_spread(const SxSpread *spread, SxSpot out[SX_SLOTS]) {
    Axis across, down;
    Search search = {.spread = spread, .best = INFINITY, .out = out};
    memcpy(out, spread->centre, sizeof spread->centre);
    make_axis(spread, SX_SIDEWAYS, &across);
    make_axis(spread, SX_DEPTH, &down);
    branch(&search, &across, &down);
    for (int s = 0; s < SX_SLOTS; s++) {
        out[s].x =
            spread->unit.x > 0 ? round(out[s].x / spread->unit.x) * spread->unit.x : out[s].x;
        out[s].y =
            spread->unit.y > 0 ? round(out[s].y / spread->unit.y) * spread->unit.y : out[s].y;
    }
}
