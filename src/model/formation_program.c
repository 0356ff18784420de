/* The formation program, written down: bounds, order, lanes, runs, and every principle of a good
 * formation as a choice. What each costs and the distances it speaks of are the terms. */
#include "model/formation_program.h"

#include "model/late.h"

#include <assert.h>
#include <math.h>
#include <string.h>

enum { CM = 100 };

/* Breaks ties, in order of position: a thousandth a metre. */
static const double tie_cost = 0.001;

typedef struct {
    const Request *request;
    Program *program;
    int slot[SX_POSITIONS];
    bool passes[SX_POSITIONS];
    int passers;
    int setter; /* place of the setter on duty if she does not pass, else -1 */
    int task[AXES][SX_POSITIONS];
} Draft;

int sx_request_centimetres(const Request *request, SxFormationRoom room) {
    return (int)lround(request->terms->room[room] * CM);
}

static int room(const Draft *d, SxFormationRoom which) {
    return sx_request_centimetres(d->request, which);
}

static double cost(const Draft *d, SxFormationCost which) {
    return d->request->terms->cost[which];
}

/* Grains a centimetre of so much a metre. */
static int64_t slope(double a_metre) {
    return llround(a_metre * GRAINS_A_METRE / CM);
}

static bool is_front(int place) {
    return sx_row_of(place + 1) == SX_FRONT;
}

static const SxDuty *duty(const Draft *d, int place) {
    return &d->request->system->duty[d->slot[place]][sx_row_of(place + 1)];
}

static bool on_duty(const Draft *d, int place) {
    return d->slot[place] == d->request->system->setter_slot[d->request->rotation];
}

static bool hits(const Draft *d, int place) {
    return is_front(place) && duty(d, place)->attacks && !on_duty(d, place);
}

SxSpot sx_request_task(const Request *request, int place) {
    int slot = sx_slot_at(place + 1, request->rotation);
    return request->phase == SX_SERVE
               ? sx_task_spot(request->system, request->rotation, slot, SX_SERVE)
               : sx_receive_task(request->system, request->rotation, slot, request->sides);
}

/* --- bounds and order ---------------------------------------------------------------------------
 */

static void bound(Draft *d, int axis, int high, int low, int gap) {
    assert(d->program->bounds < MOST_BOUNDS);
    d->program->bound[d->program->bounds++] = (Need){axis, high, low, gap};
}

static void pull(Draft *d, SxFormationCost term, int axis, int place, int at, int64_t below,
                 int64_t above) {
    Costs *costs = &d->program->costs[axis];
    assert(costs->pulls < SPOTS_PULLS);
    costs->pull[costs->pulls++] = (Pull){place, at, below, above, (int)term};
}

static bool server(const Draft *d, int place) {
    return d->request->free_server && place == 0;
}

static void add_court(Draft *d) {
    for (int i = 0; i < SX_POSITIONS; i++) {
        int side = room(d, SX_ROOM_LINE_GAP);
        int(*low)[SX_POSITIONS] = d->program->low, (*high)[SX_POSITIONS] = d->program->high;
        low[AXIS_X][i] = side;
        high[AXIS_X][i] = (int)(SX_COURT_WIDTH * CM) - side;
        low[AXIS_Y][i] = room(d, SX_ROOM_NET_GAP);
        high[AXIS_Y][i] = (int)(SX_COURT_DEPTH * CM) - side;
        if (server(d, i)) {
            low[AXIS_Y][i] = high[AXIS_Y][i] =
                (int)(SX_COURT_DEPTH * CM) + room(d, SX_ROOM_SERVER_DEPTH);
        }
    }
}

static void add_order(Draft *d) {
    for (int k = 0; k < SX_ORDER_PAIRS && d->request->bound; k++) {
        const SxOrderPair *pair = &sx_order_pairs[k];
        int high = pair->high - 1, low = pair->low - 1;
        if (server(d, high) || server(d, low)) {
            continue;
        }
        int axis = pair->axis == SX_SIDEWAYS ? AXIS_X : AXIS_Y;
        bound(d, axis, high, low, d->request->margin);
        if (d->request->phase == SX_RECEIVE) {
            Costs *costs = &d->program->costs[axis];
            costs->push[costs->pushes++] =
                (Push){high, low, room(d, SX_ROOM_CLEAR), slope(cost(d, SX_COST_CLEAR_ORDER))};
        }
    }
}

/* --- runs and lanes -----------------------------------------------------------------------------
 */

static SxFormationCost run_term(const Draft *d, int i) {
    if (d->request->phase == SX_SERVE) {
        return SX_COST_BASE_RUN;
    }
    if (on_duty(d, i)) {
        return SX_COST_SETTER_RUN;
    }
    bool middle = duty(d, i)->role == SX_MIDDLE;
    if (d->passes[i]) {
        return hits(d, i)               ? SX_COST_PASSING_HITTER_RUN
               : middle && !is_front(i) ? SX_COST_LIBERO_RUN
                                        : SX_COST_PASSER_RUN;
    }
    if (!is_front(i)) {
        return SX_COST_DEFENDER_RUN;
    }
    return middle ? SX_COST_MIDDLE_RUN : SX_COST_HITTER_RUN;
}

/* `nearer`: the term while she stands at less than her task; what is beyond a long way costs more.
 */
static void add_run(Draft *d, int axis, int i, SxFormationCost nearer, SxFormationCost term) {
    int64_t tie = slope(tie_cost * (i + 1));
    int far = room(d, SX_ROOM_LONG_WAY), to = d->task[axis][i];
    double more = cost(d, SX_COST_LONG_RUN);
    pull(d, nearer, axis, i, to, slope(cost(d, nearer)) + tie, 0);
    pull(d, term, axis, i, to, 0, slope(cost(d, term)) + tie);
    pull(d, SX_COST_LONG_RUN, axis, i, to - far, slope(more * cost(d, nearer)), 0);
    pull(d, SX_COST_LONG_RUN, axis, i, to + far, 0, slope(more * cost(d, term)));
}

static void add_runs(Draft *d) {
    for (int i = 0; i < SX_POSITIONS; i++) {
        SxFormationCost term = run_term(d, i);
        bool peels = d->request->phase == SX_RECEIVE && hits(d, i) && !d->passes[i];
        add_run(d, AXIS_X, i, term, term);
        if (!server(d, i)) {
            add_run(d, AXIS_Y, i, peels ? SX_COST_BACK_OFF : term, term);
        }
    }
}

static void add_lane(Draft *d, int i) {
    const SxSystem *system = d->request->system;
    SxSpot at = system->lanes[d->passers][d->request->lane[i]];
    int spot[AXES] = {(int)lround(at.x * CM), (int)lround(at.y * CM)};
    int tolerance[AXES] = {(int)lround(system->lane_tolerance_x * CM),
                           (int)lround(system->lane_tolerance_y * CM)};
    int64_t price = slope(cost(d, SX_COST_OFF_LANE));
    for (int axis = 0; axis < AXES; axis++) {
        bound(d, axis, i, SPOTS_ZERO, spot[axis] - tolerance[axis]);
        bound(d, axis, SPOTS_ZERO, i, -spot[axis] - tolerance[axis]);
        pull(d, SX_COST_OFF_LANE, axis, i, spot[axis], price, price);
    }
}

/* --- choices ------------------------------------------------------------------------------------
 */

static Choice *choice(Draft *d, int term, int who, int other, bool may_pay) {
    assert(d->program->choices < MOST_CHOICES);
    Choice *made = &d->program->choice[d->program->choices++];
    *made = (Choice){.term = term, .who = who, .other = other, .may_pay = may_pay};
    if (may_pay) {
        made->price = llround(d->request->terms->cost[term] * GRAINS_A_METRE);
    }
    return made;
}

static Way *way(Choice *choice) {
    assert(choice->ways < MOST_WAYS);
    return &choice->way[choice->ways++];
}

static void need(Way *way, int axis, int high, int low, int gap) {
    assert(way->count < MOST_NEEDS);
    way->need[way->count++] = (Need){axis, high, low, gap};
}

static void way_of_one(Choice *choice, int axis, int high, int low, int gap) {
    need(way(choice), axis, high, low, gap);
}

static void add_elbow_room(Draft *d, int a, int b) {
    Choice *apart = choice(d, SX_COST_COUNT, a, b, false);
    int elbow = room(d, SX_ROOM_ELBOW);
    for (int axis = 0; axis < AXES; axis++) {
        way_of_one(apart, axis, a, b, elbow);
        way_of_one(apart, axis, b, a, elbow);
    }
}

static bool outer(const Draft *d, int passer, bool left) {
    return d->request->lane[passer] == (left ? 0 : d->passers - 1);
}

static void add_area(Draft *d, int n, int passer) {
    Choice *clear = choice(d, SX_COST_PASSER_AREA, n, passer, d->request->areas_may_pay);
    int seam = room(d, SX_ROOM_AREA_SEAM), edge = room(d, SX_ROOM_AREA_EDGE);
    way_of_one(clear, AXIS_X, passer, n, outer(d, passer, true) ? edge : seam);
    way_of_one(clear, AXIS_X, n, passer, outer(d, passer, false) ? edge : seam);
    way_of_one(clear, AXIS_Y, passer, n, room(d, SX_ROOM_AREA_AHEAD));
    way_of_one(clear, AXIS_Y, n, passer, room(d, SX_ROOM_AREA_BEHIND));
}

static void add_line_serve(Draft *d, int n, int passer, bool left) {
    Choice *clear = choice(d, SX_COST_LINE_SERVE, n, passer, true);
    way_of_one(clear, AXIS_X, left ? n : passer, left ? passer : n, 0);
    way_of_one(clear, AXIS_Y, passer, n, room(d, SX_ROOM_AREA_AHEAD));
    way_of_one(clear, AXIS_Y, n, passer, room(d, SX_ROOM_LINE_BEHIND));
}

static void add_behind(Draft *d, int n, int passer) {
    Choice *clear = choice(d, SX_COST_BEHIND_PASSER, n, passer, true);
    int side = room(d, SX_ROOM_BEHIND_SIDE);
    way_of_one(clear, AXIS_X, passer, n, side);
    way_of_one(clear, AXIS_X, n, passer, side);
    way_of_one(clear, AXIS_Y, passer, n, 0);
    way_of_one(clear, AXIS_Y, n, passer, room(d, SX_ROOM_BEHIND_DEPTH));
}

static void add_seam(Draft *d, int n, int left, int right) {
    Choice *clear = choice(d, SX_COST_SEAM, n, left, true);
    int ahead = room(d, SX_ROOM_AREA_AHEAD), behind = room(d, SX_ROOM_LINE_BEHIND);
    way_of_one(clear, AXIS_X, left, n, 0);
    way_of_one(clear, AXIS_X, n, right, 0);
    Way *front = way(clear), *back = way(clear);
    need(front, AXIS_Y, left, n, ahead);
    need(front, AXIS_Y, right, n, ahead);
    need(back, AXIS_Y, n, left, behind);
    need(back, AXIS_Y, n, right, behind);
}

static void add_seam_run(Draft *d, int left, int right) {
    Choice *clear = choice(d, SX_COST_SEAM_RUN, d->setter, left, true);
    way_of_one(clear, AXIS_X, left, d->setter, 0);
    way_of_one(clear, AXIS_X, d->setter, right, 0);
    Way *front = way(clear);
    need(front, AXIS_Y, left, d->setter, 0);
    need(front, AXIS_Y, right, d->setter, 0);
}

static void add_passers_room(Draft *d, int n) {
    for (int i = 0; i < SX_POSITIONS; i++) {
        if (!d->passes[i]) {
            continue;
        }
        add_area(d, n, i);
        add_behind(d, n, i);
        for (int left = 0; left < 2; left++) {
            if (outer(d, i, left)) {
                add_line_serve(d, n, i, left);
            }
        }
        for (int right = 0; right < SX_POSITIONS; right++) {
            if (d->request->lane[right] == d->request->lane[i] + 1) {
                add_seam(d, n, i, right);
                if (n == d->setter) {
                    add_seam_run(d, i, right);
                }
            }
        }
    }
}

/* n is left of both ends of the way of `runner`, or right of them. */
static void ways_beside(Draft *d, Choice *clear, int n, int runner) {
    int side = room(d, SX_ROOM_PATH_SIDE), to = d->task[AXIS_X][runner];
    Way *left = way(clear), *right = way(clear);
    need(left, AXIS_X, runner, n, side);
    need(left, AXIS_X, SPOTS_ZERO, n, side - to);
    need(right, AXIS_X, n, runner, side);
    need(right, AXIS_X, n, SPOTS_ZERO, side + to);
}

static void add_setter_path(Draft *d, int n) {
    Choice *clear = choice(d, SX_COST_SETTER_PATH, n, d->setter, true);
    int side = room(d, SX_ROOM_PATH_SIDE);
    if (d->passes[n]) {
        way_of_one(clear, AXIS_Y, n, d->setter, 0);
        way_of_one(clear, AXIS_X, n, d->setter, side);
        way_of_one(clear, AXIS_X, d->setter, n, side);
        return;
    }
    way_of_one(clear, AXIS_Y, n, d->setter, -room(d, SX_ROOM_TUCK));
    ways_beside(d, clear, n, d->setter);
}

static void add_hitter_path(Draft *d, int n, int hitter) {
    Choice *clear = choice(d, SX_COST_HITTER_PATH, n, hitter, true);
    int side = room(d, SX_ROOM_PATH_SIDE), to = d->task[AXIS_Y][hitter];
    ways_beside(d, clear, n, hitter);
    Way *behind = way(clear), *before = way(clear);
    need(behind, AXIS_Y, n, hitter, side);
    need(behind, AXIS_Y, n, SPOTS_ZERO, side + to);
    need(before, AXIS_Y, hitter, n, side);
    need(before, AXIS_Y, SPOTS_ZERO, n, side - to);
}

static void add_approach(Draft *d, int n, int hitter) {
    Choice *clear = choice(d, SX_COST_APPROACH, n, hitter, true);
    int side = room(d, SX_ROOM_APPROACH_SIDE);
    way_of_one(clear, AXIS_X, SPOTS_ZERO, n, side - d->task[AXIS_X][hitter]);
    way_of_one(clear, AXIS_X, n, SPOTS_ZERO, side + d->task[AXIS_X][hitter]);
    way_of_one(clear, AXIS_Y, n, SPOTS_ZERO, d->task[AXIS_Y][hitter]);
}

/* The way in which `who` hides behind or beside a front-row player. */
static void hiding(const Draft *d, Way *hidden, int who, int behind) {
    int side = room(d, SX_ROOM_HIDE_SIDE);
    need(hidden, AXIS_X, who, behind, -side);
    need(hidden, AXIS_X, behind, who, -side);
    need(hidden, AXIS_Y, who, behind, 0);
    need(hidden, AXIS_Y, behind, who, -room(d, SX_ROOM_HIDE_DEPTH));
}

static void add_hiding(Draft *d) {
    if (d->setter < 0 || is_front(d->setter)) {
        return;
    }
    Choice *hidden = choice(d, SX_COST_SETTER_OPEN, d->setter, -1, true);
    for (int i = 0; i < SX_POSITIONS; i++) {
        if (is_front(i) && !d->passes[i]) {
            hiding(d, way(hidden), d->setter, i);
        }
    }
}

static void add_principles(Draft *d, int n) {
    add_passers_room(d, n);
    if (!is_front(n) && n != d->setter) {
        way_of_one(choice(d, SX_COST_UP_FRONT, n, -1, true), AXIS_Y, n, SPOTS_ZERO,
                   room(d, SX_ROOM_DEEP));
    }
    for (int i = 0; i < SX_POSITIONS; i++) {
        if (i != n && hits(d, i)) {
            add_hitter_path(d, n, i);
            add_approach(d, n, i);
        }
    }
}

static void add_choices(Draft *d) {
    bool receive = d->request->phase == SX_RECEIVE && !d->request->only_hard;
    for (int i = 0; i < SX_POSITIONS; i++) {
        for (int n = 0; n < i; n++) {
            add_elbow_room(d, n, i);
        }
    }
    for (int i = 0; i < SX_POSITIONS && receive; i++) {
        if (!d->passes[i]) {
            add_principles(d, i);
        }
        if (d->setter >= 0 && i != d->setter) {
            add_setter_path(d, i);
        }
    }
    if (receive) {
        add_hiding(d);
    }
}

/* --- wishes -------------------------------------------------------------------------------------
 */

static void hold(Draft *d, int place, SxSpot spot) {
    int at[AXES] = {(int)lround(spot.x * CM), (int)lround(spot.y * CM)};
    for (int axis = 0; axis < AXES; axis++) {
        d->program->low[axis][place] = d->program->high[axis][place] = at[axis];
    }
}

static void add_wishes(Draft *d) {
    const SxFormationWishes *wishes = d->request->wishes;
    for (int i = 0; wishes && i < SX_POSITIONS; i++) {
        int slot = d->slot[i];
        if (wishes->fixed[slot]) {
            hold(d, i, wishes->spot[slot]);
        }
        if (wishes->at_net[slot]) {
            bound(d, AXIS_Y, SPOTS_ZERO, i, -room(d, SX_ROOM_AT_NET));
        }
        if (wishes->behind[slot] >= 0) {
            Way hidden = {0};
            hiding(d, &hidden, i, sx_position(wishes->behind[slot], d->request->rotation) - 1);
            for (int k = 0; k < hidden.count; k++) {
                bound(d, hidden.need[k].axis, hidden.need[k].high, hidden.need[k].low,
                      hidden.need[k].gap);
            }
        }
    }
}

/* The setter hides behind no front-row player before this place, and behind this one if any. */
static void add_shape(Draft *d) {
    int hides = d->request->hides;
    for (int i = 1; hides != HIDES_FREE && d->setter >= 0 && i < SX_POSITIONS; i++) {
        if (!is_front(i) || d->passes[i] || i == d->setter) {
            continue;
        }
        Way hidden = {0};
        hiding(d, &hidden, d->setter, i);
        if (i == hides) {
            for (int k = 0; k < hidden.count; k++) {
                bound(d, hidden.need[k].axis, hidden.need[k].high, hidden.need[k].low,
                      hidden.need[k].gap);
            }
            return;
        }
        Choice *open = choice(d, SX_COST_COUNT, d->setter, i, false);
        for (int k = 0; k < hidden.count; k++) {
            /* the opposite of high - low >= gap, in whole centimetres */
            way_of_one(open, hidden.need[k].axis, hidden.need[k].low, hidden.need[k].high,
                       1 - hidden.need[k].gap);
        }
    }
}

/* ------------------------------------------------------------------------------------------------
 */

static void open_draft(Draft *d, const Request *request, Program *program) {
    memset(program, 0, sizeof *program);
    *d = (Draft){.request = request, .program = program, .setter = -1};
    for (int i = 0; i < SX_POSITIONS; i++) {
        d->slot[i] = sx_slot_at(i + 1, request->rotation);
        d->passes[i] = request->lane[i] >= 0;
        d->passers += d->passes[i];
        SxSpot task = sx_request_task(request, i);
        d->task[AXIS_X][i] = (int)lround(task.x * CM);
        d->task[AXIS_Y][i] = (int)lround(task.y * CM);
        if (request->phase == SX_RECEIVE && on_duty(d, i) && !d->passes[i]) {
            d->setter = i;
        }
    }
}

void sx_program_make(const Request *request, Program *program) {
    Draft d;
    open_draft(&d, request, program);
    add_court(&d);
    add_order(&d);
    add_runs(&d);
    for (int i = 0; i < SX_POSITIONS; i++) {
        if (d.passes[i]) {
            add_lane(&d, i);
        }
    }
    add_choices(&d);
    add_wishes(&d);
    add_shape(&d);
}

/* --- the price of given spots -------------------------------------------------------------------
 */

static int coordinate(int spot[AXES][SX_POSITIONS], int axis, int place) {
    return place == SPOTS_ZERO ? 0 : spot[axis][place];
}

static bool holds(const Way *way, int spot[AXES][SX_POSITIONS]) {
    for (int k = 0; k < way->count; k++) {
        const Need *need = &way->need[k];
        if (coordinate(spot, need->axis, need->high) - coordinate(spot, need->axis, need->low) <
            need->gap) {
            return false;
        }
    }
    return true;
}

bool sx_program_breaks(const Program *program, int choice, int spot[AXES][SX_POSITIONS]) {
    const Choice *c = &program->choice[choice];
    for (int k = 0; k < c->ways; k++) {
        if (holds(&c->way[k], spot)) {
            return false;
        }
    }
    return true;
}

int64_t sx_program_price(const Program *program, int spot[AXES][SX_POSITIONS],
                         int64_t term[SX_COST_COUNT]) {
    int64_t sum = 0;
    memset(term, 0, SX_COST_COUNT * sizeof *term);
    for (int axis = 0; axis < AXES; axis++) {
        const Costs *costs = &program->costs[axis];
        sum += sx_spots_cost(costs, spot[axis]);
        for (int k = 0; k < costs->pulls; k++) {
            const Pull *one = &costs->pull[k];
            term[one->term] += sx_pull_cost(one, spot[axis][one->place]);
        }
        for (int k = 0; k < costs->pushes; k++) {
            const Push *push = &costs->push[k];
            term[SX_COST_CLEAR_ORDER] +=
                sx_push_cost(push, spot[axis][push->high] - spot[axis][push->low]);
        }
    }
    for (int k = 0; k < program->choices; k++) {
        const Choice *c = &program->choice[k];
        if (c->may_pay && sx_program_breaks(program, k, spot)) {
            term[c->term] += c->price;
            sum += c->price;
        }
    }
    return sum;
}
