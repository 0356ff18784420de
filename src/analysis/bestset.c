/* Branch and bound over the places of the serving order, by set odds. */
#include "sixturn/bestset.h"

#include "analysis/bestabove.h"
#include "analysis/parallel.h"
#include "analysis/stays.h"
#include "analysis/stopping.h"
#include "analysis/stops.h"
#include "sixturn/eligible.h"
#include "sixturn/evaluate.h"
#include "sixturn/program.h"

#include <math.h>
#include <pthread.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum {
    MOST_PLACES = SX_SLOTS * SX_ROWS,
    ENOUGH_TASKS = 48 /* parts of the search for the threads to take */
};

/* What our own arithmetic and the score's may differ by. */
static const double AGREE = 1e-9;

typedef struct {
    int slot;
    SxRow row;
    bool both; /* the player holds both rows */
} Place;

typedef struct {
    Seating seating;
    double bound;
    int player; /* who took the last place */
} Node;

typedef struct {
    StayPlan plan;
    Seating seating;
    SxOrder order;
} Found;

/* What one thread works with; handed on from task to task. */
typedef struct Hand {
    Stays *stays;
    StopRoom *stop; /* NULL: no order stops substituting */
    struct Hand *next;
} Hand;

typedef struct {
    const SetFacts *facts;
    Stopping *stopping; /* NULL: no order stops substituting */
    const SxWork *work;
    int top;
    double least; /* orders that win no more do not count; negative: all do */
    bool once;    /* of an order and its half turn one counts */
    Place place[MOST_PLACES];
    int places;
    Node *task;
    int task_count, task_room;
    bool *done;           /* by task */
    pthread_mutex_t lock; /* of what follows */
    Hand *idle;
    Found *found; /* best first, at most top */
    int count;
    double open; /* most that what was left out because of a stop may win */
    long orders;
} Search;

/* --- the list ----------------------------------------------------------------------------------
 */

static int compare(double win, const SxOrder *order, const Found *other) {
    if (fabs(win - other->plan.win) > SX_SAME_SET_ODDS) {
        return win > other->plan.win ? -1 : 1;
    }
    return sx_order_compare(order, &other->order);
}

static SxOrder order_of(const Seating *seating) {
    SxOrder order;
    for (int s = 0; s < SX_SLOTS; s++) {
        order.front[s] = seating->who[s][SX_FRONT];
        order.back[s] = seating->who[s][SX_BACK];
    }
    return order;
}

static void keep(Search *search, const Seating *seating, const StayPlan *plan) {
    const SxOrder order = order_of(seating);
    pthread_mutex_lock(&search->lock);
    int at = search->count;
    while (at > 0 && compare(plan->win, &order, &search->found[at - 1]) < 0) {
        at--;
    }
    if (at < search->top) {
        const int kept = search->count < search->top ? search->count : search->top - 1;
        memmove(&search->found[at + 1], &search->found[at],
                (size_t)(kept - at) * sizeof search->found[0]);
        search->found[at] = (Found){*plan, *seating, order};
        search->count = kept + 1;
    }
    pthread_mutex_unlock(&search->lock);
}

/* The smallest shirt numbers that the open places allow, whoever else takes them. */
static SxOrder smallest_order(const SetFacts *facts, const Seating *seating) {
    SxOrder order = order_of(seating);
    for (int s = 0; s < SX_SLOTS; s++) {
        for (int row = 0; row < SX_ROWS; row++) {
            int *who = row == SX_FRONT ? &order.front[s] : &order.back[s];
            for (int p = 0; *who < 0 && p < facts->problem->team->player_count; p++) {
                const bool hers = row == SX_BACK && order.front[s] == p;
                if ((facts->can[s][row] & player_bit(p)) &&
                    (hers || !(seating->used & player_bit(p)))) {
                    *who = p;
                }
            }
        }
    }
    return order;
}

/* Odds that a complete order must beat to enter the list: with ties those of smaller numbers. */
static double floor_for(Search *search, const Seating *seating, double bound, bool *hopeless) {
    double floor = search->least;
    *hopeless = bound <= floor;
    pthread_mutex_lock(&search->lock);
    if (search->count == search->top && !*hopeless) {
        const Found *last = &search->found[search->top - 1];
        floor = fmax(floor, last->plan.win - SX_SAME_SET_ODDS);
        if (bound < floor) {
            *hopeless = true;
        } else if (bound <= last->plan.win + SX_SAME_SET_ODDS) {
            const SxOrder least = smallest_order(search->facts, seating);
            *hopeless = sx_order_compare(&least, &last->order) >= 0;
        }
    }
    pthread_mutex_unlock(&search->lock);
    return floor;
}

static void leave_open(Search *search, double bound) {
    pthread_mutex_lock(&search->lock);
    search->open = fmax(search->open, bound);
    pthread_mutex_unlock(&search->lock);
}

/* --- wishes on part of an order ----------------------------------------------------------------
 */

static int slot_of(const Seating *seating, int player) {
    for (int s = 0; s < SX_SLOTS; s++) {
        if (seating->who[s][SX_FRONT] == player || seating->who[s][SX_BACK] == player) {
            return s;
        }
    }
    return -1;
}

static bool is_full(const Seating *seating, int s) {
    return seating->who[s][SX_FRONT] >= 0 && seating->who[s][SX_BACK] >= 0;
}

static bool pair_possible(const Seating *seating, const SxWish *wish, int from, int to) {
    const int a = slot_of(seating, from), b = slot_of(seating, to);
    if (wish->kind == SX_OPPOSITE_PAIR) {
        return a < 0 || b == sx_opposite_slot(a) ||
               (b < 0 && !is_full(seating, sx_opposite_slot(a)));
    }
    const int apart = (a - b + SX_SLOTS) % SX_SLOTS;
    return a < 0 || b < 0 || (apart != 1 && apart != SX_SLOTS - 1);
}

static int open_places(const Search *search, const Seating *seating) {
    int open = 0;
    for (int s = 0; s < SX_SLOTS; s++) {
        for (int row = 0; row < (search->facts->differ[s] ? SX_ROWS : 1); row++) {
            open += seating->who[s][row] < 0;
        }
    }
    return open;
}

static bool sets(const SxSystem *system, const Seating *seating, int player) {
    for (int r = 0; r < SX_ROTATIONS; r++) {
        const int s = system->setter_slot[r];
        const int who = seating->who[s][sx_slot_row(s, r)];
        if (who == player || who < 0) {
            return true; /* or may still */
        }
    }
    return false;
}

static bool wishes_possible(const Search *search, const Seating *seating) {
    const SxPlan *plan = search->facts->problem->plan;
    int missing = 0;
    for (int k = 0; k < plan->wish_count; k++) {
        const SxWish *wish = &plan->wishes[k];
        const int s = wish->player >= 0 ? slot_of(seating, wish->player) : -1;
        switch (wish->kind) {
        case SX_OPPOSITE_PAIR:
        case SX_NOT_ADJACENT:
            if (!pair_possible(seating, wish, wish->player, wish->other) ||
                !pair_possible(seating, wish, wish->other, wish->player)) {
                return false;
            }
            break;
        case SX_FIXED_SLOT:
            if (s < 0 && is_full(seating, wish->value)) {
                return false;
            }
            break;
        case SX_MUST_PLAY:
            missing += s < 0 && !(search->facts->liberos & player_bit(wish->player));
            break;
        case SX_MUST_SET:
            if (!sets(search->facts->problem->system, seating, wish->player)) {
                return false;
            }
            break;
        case SX_MUST_SIT:
        case SX_NEVER_PASSES:
        case SX_ALWAYS_PASSES:
        case SX_NOT_FRONT_ROW:
        case SX_NOT_BACK_ROW:
        case SX_MIN_ROTATIONS:
        case SX_LIBERO_FOR:
        case SX_MAX_SUBSTITUTIONS:
        case SX_WISH_KINDS:
            break; /* setfacts.c and stays.c see to it */
        }
    }
    return missing <= open_places(search, seating);
}

/* Of two half turns the one with the smaller number in slot 0. */
static bool is_turned(const Search *search, const Seating *seating) {
    const int first = seating->who[0][SX_FRONT], half = seating->who[SX_SLOTS / 2][SX_FRONT];
    return search->once && first >= 0 && half >= 0 && half < first;
}

/* --- going down --------------------------------------------------------------------------------
 */

static bool take_place(const Search *search, const Seating *before, int depth, int player,
                       Seating *out) {
    const SetFacts *facts = search->facts;
    const Place *place = &search->place[depth];
    const bool hers = place->row == SX_BACK && before->who[place->slot][SX_FRONT] == player;
    const bool split = facts->problem->system->split[place->slot];
    if (!(facts->can[place->slot][place->row] & player_bit(player)) ||
        (hers ? split : (before->used & player_bit(player)) != 0)) {
        return false;
    }
    *out = *before;
    out->who[place->slot][place->row] = (signed char)player;
    if (place->both) {
        out->who[place->slot][SX_BACK] = (signed char)player;
    } else if (place->row == SX_BACK && !split && !hers) {
        out->specialists++;
    }
    out->used |= player_bit(player);
    return out->specialists <= facts->specialists && !is_turned(search, out) &&
           wishes_possible(search, out);
}

static int by_bound(const void *a, const void *b) {
    const Node *left = a, *right = b;
    if (fabs(left->bound - right->bound) > SX_SAME_SET_ODDS) {
        return left->bound > right->bound ? -1 : 1;
    }
    return left->player - right->player;
}

static double value_with_stops(void *context, const StepRates *rates) {
    return sx_stopping_value(context, rates);
}

static void hand_free(Hand *hand) {
    if (hand) {
        sx_stays_free(hand->stays);
        sx_stop_room_free(hand->stop);
    }
    free(hand);
}

static SxStatus hand_take(Search *search, Hand **out, SxError *err) {
    pthread_mutex_lock(&search->lock);
    Hand *hand = search->idle;
    search->idle = hand ? hand->next : NULL;
    pthread_mutex_unlock(&search->lock);
    *out = hand;
    if (hand) {
        return SX_OK;
    }
    *out = hand = calloc(1, sizeof *hand);
    SxStatus status =
        hand ? sx_stays_new(search->facts, search->work, &hand->stays, err) : sx_out_of_memory(err);
    if (status == SX_OK && search->stopping) {
        status = sx_stop_room_new(search->stopping, search->work, &hand->stop, err);
        sx_stays_value(hand->stays, value_with_stops, hand->stop);
    }
    if (status != SX_OK) {
        hand_free(hand);
        *out = NULL;
    }
    return status;
}

static void hand_back(Search *search, Hand *hand) {
    pthread_mutex_lock(&search->lock);
    hand->next = search->idle;
    search->idle = hand;
    pthread_mutex_unlock(&search->lock);
}

static double bound_of(const Search *search, const Hand *hand, const Seating *seating) {
    StepRates rates;
    sx_set_facts_bound(search->facts, seating, &rates);
    return hand->stop ? sx_stopping_bound(hand->stop, seating, &rates)
                      : sx_quick_odds(&search->facts->quick, &rates);
}

static int children(const Search *search, const Hand *hand, const Node *node, int depth,
                    Node *out) {
    const SetFacts *facts = search->facts;
    int count = 0;
    for (int p = 0; p < facts->problem->team->player_count; p++) {
        if (take_place(search, &node->seating, depth, p, &out[count].seating)) {
            /* rounding apart, less is open than above */
            out[count].bound = fmin(node->bound, bound_of(search, hand, &out[count].seating));
            out[count++].player = p;
        }
    }
    if (count) {
        qsort(out, (size_t)count, sizeof *out, by_bound);
    }
    return count;
}

/* Gives a complete order its best plan. STAYS_NONE: none keeps the wishes, or none wins more than
 * floor. */
static SxStatus plan_order(Hand *hand, const Seating *seating, double floor, StayPlan *plan,
                           StaysEnd *end, SxError *err) {
    StepRates most;
    bool hopeless = false;
    plan->win = -1;
    *end = sx_stays_most(hand->stays, seating, &most);
    SxStatus status = SX_OK;
    if (*end == STAYS_FOUND && hand->stop) {
        status = sx_stopping_order(hand->stop, seating, &most, floor, &hopeless, err);
    }
    if (status == SX_OK && *end == STAYS_FOUND) {
        *end = hopeless ? STAYS_NONE : sx_stays_within(hand->stays, &most, floor, plan);
    }
    return *end == STAYS_NO_MEMORY ? sx_out_of_memory(err) : status;
}

static SxStatus settle(Search *search, Hand *hand, const Node *node, double floor, SxError *err) {
    StayPlan plan;
    StaysEnd end;
    SxStatus status = plan_order(hand, &node->seating, floor, &plan, &end, err);
    if (status == SX_OUT_OF_TIME) {
        leave_open(search, node->bound);
        return SX_OK;
    }
    if (status != SX_OK) {
        return status;
    }
    if (end == STAYS_STOPPED) {
        leave_open(search, node->bound);
    }
    if (end == STAYS_FOUND ||
        (end == STAYS_STOPPED && plan.win > fmax(floor, 0))) { /* of the ways walked so far */
        keep(search, &node->seating, &plan);
    }
    return SX_OK;
}

static SxStatus go_down(Search *search, Hand *hand, const Node *node, int depth, SxError *err) {
    Node next[SX_MAX_PLAYERS];
    bool hopeless;
    const double floor = floor_for(search, &node->seating, node->bound, &hopeless);
    if (hopeless) {
        return SX_OK;
    }
    if (sx_parallel_stopped(search->work)) {
        leave_open(search, node->bound);
        return SX_OK;
    }
    if (depth == search->places) {
        pthread_mutex_lock(&search->lock);
        search->orders++;
        pthread_mutex_unlock(&search->lock);
        return settle(search, hand, node, floor, err);
    }
    const int count = children(search, hand, node, depth, next);
    SxStatus status = SX_OK;
    for (int k = 0; k < count && status == SX_OK; k++) {
        status = go_down(search, hand, &next[k], depth + 1, err);
    }
    return status;
}

static SxStatus run_task(void *context, int index, SxError *err) {
    Search *search = context;
    Hand *hand = NULL;
    SxStatus status = hand_take(search, &hand, err);
    if (status == SX_OK) {
        int depth = 0;
        const Node *task = &search->task[index];
        while (depth < search->places &&
               task->seating.who[search->place[depth].slot][search->place[depth].row] >= 0) {
            depth++;
        }
        status = go_down(search, hand, task, depth, err);
        hand_back(search, hand);
    }
    return status;
}

/* --- setting out -------------------------------------------------------------------------------
 */

/* How much the choice of a player for the slot may matter: what the best one has above the mean. */
static double weight_of(const SetFacts *facts, int s) {
    double sum = 0;
    for (int row = 0; row < SX_ROWS; row++) {
        const int count = facts->ranked_count[s][row];
        for (int k = 0; k < WORTHS && count; k++) {
            double mean = 0;
            for (int i = 0; i < count; i++) {
                mean += facts->worth[facts->ranked[s][row][k][i]][s][row][k] / count;
            }
            sum += facts->worth[facts->ranked[s][row][k][0]][s][row][k] - mean;
        }
    }
    for (int r = 0; r < SX_ROTATIONS; r++) {
        if (facts->problem->system->setter_slot[r] == s) {
            sum += SX_SKILL_MAX; /* bonuses are known once the setter is */
        }
    }
    return sum;
}

static void lay_out_places(Search *search) {
    double weight[SX_SLOTS];
    int order[SX_SLOTS];
    for (int s = 0; s < SX_SLOTS; s++) {
        weight[s] = weight_of(search->facts, s);
        int at = s;
        while (at > 0 && weight[order[at - 1]] < weight[s] - SX_SAME_SET_ODDS) {
            order[at] = order[at - 1];
            at--;
        }
        order[at] = s;
    }
    for (int k = 0; k < SX_SLOTS; k++) {
        const int s = order[k];
        search->place[search->places++] = (Place){s, SX_FRONT, !search->facts->differ[s]};
        if (search->facts->differ[s]) {
            search->place[search->places++] = (Place){s, SX_BACK, false};
        }
    }
}

static bool push_task(Search *search, const Node *node) {
    if (search->task_count == search->task_room) {
        const int room = search->task_room ? 2 * search->task_room : 64;
        Node *grown = realloc(search->task, (size_t)room * sizeof *grown);
        if (!grown) {
            return false;
        }
        search->task = grown;
        search->task_room = room;
    }
    search->task[search->task_count++] = *node;
    return true;
}

/* Opens the search place by place until there are tasks enough. */
static SxStatus make_tasks(Search *search, const Hand *hand, SxError *err) {
    Node root = {.bound = 1}, next[SX_MAX_PLAYERS];
    memset(root.seating.who, SX_NOBODY, sizeof root.seating.who);
    if (search->facts->specialists < 0 || !wishes_possible(search, &root.seating)) {
        return SX_OK;
    }
    if (!push_task(search, &root)) {
        return sx_out_of_memory(err);
    }
    for (int depth = 0; depth < search->places && search->task_count < ENOUGH_TASKS; depth++) {
        Node *old = search->task;
        const int count = search->task_count;
        search->task = NULL;
        search->task_count = search->task_room = 0;
        bool room = true;
        for (int k = 0; k < count && room; k++) {
            const int more = children(search, hand, &old[k], depth, next);
            for (int c = 0; c < more && room; c++) {
                room = push_task(search, &next[c]);
            }
        }
        free(old);
        if (!room) {
            return sx_out_of_memory(err);
        }
    }
    if (search->task_count) {
        qsort(search->task, (size_t)search->task_count, sizeof *search->task, by_bound);
    }
    return SX_OK;
}

/* By the score's own arithmetic, unless the time is up: to see how a lineup plays on takes long. */
static SxStatus value(const Search *search, double win, SxLineup *lineup, SxError *err) {
    if (sx_parallel_stopped(search->work) && sx_substitutions_per_cycle(lineup) > 0) {
        lineup->win = win;
        lineup->plays_on_open = true;
        return SX_OK;
    }
    SxStatus status = sx_lineup_win(search->facts->problem, lineup, err);
    if (status == SX_OK && fabs(lineup->win - win) > AGREE) {
        return sx_fail(err, SX_INTERNAL, "search and lineup disagree: %.12g and %.12g", win,
                       lineup->win);
    }
    return status;
}

/* Writes what was found. */
static SxStatus hand_over(Search *search, bool stopped, SxBestOrders *out, SxError *err) {
    const SetFacts *facts = search->facts;
    out->item = calloc((size_t)search->count + 1, sizeof *out->item);
    if (!out->item) {
        return sx_out_of_memory(err);
    }
    for (int k = 0; k < search->count; k++) {
        SxLineup *lineup = &out->item[k];
        const Found *found = &search->found[k];
        sx_stays_lineup(facts, &found->seating, &found->plan, lineup);
        SxStatus status = value(search, found->plan.win, lineup, err);
        if (status != SX_OK) {
            return status;
        }
        const bool proven = !stopped || found->plan.win >= search->open - SX_SAME_SET_ODDS;
        lineup->proof = proven ? SX_OPTIMAL : SX_FEASIBLE;
        lineup->bound = lineup->score;
        lineup->win_bound = proven ? lineup->win : fmax(search->open, search->found[0].plan.win);
        out->proven += proven;
    }
    out->count = search->count;
    out->exhausted = !stopped && search->count < search->top;
    out->orders = search->orders;
    if (out->count) {
        out->bound = out->proven ? out->item[0].win : search->open;
    }
    return SX_OK;
}

SxStatus sx_none_there(const SxProblem *problem, const SxWork *work, SxError *err) {
    SxLineup lineup;
    const SxSolveOptions any = {.any_tie = true, .work = work};
    SxStatus status = sx_lineup_solve(problem, &any, &lineup, err);
    return status == SX_OK ? sx_fail(err, SX_INTERNAL, "the search missed a lineup") : status;
}

void sx_best_orders_free(SxBestOrders *best) {
    free(best->item);
    best->item = NULL;
    best->count = best->proven = 0;
}

static SxStatus search_all(Search *search, SxError *err) {
    search->found = malloc((size_t)search->top * sizeof *search->found);
    if (!search->found) {
        return sx_out_of_memory(err);
    }
    lay_out_places(search);
    Hand *hand = NULL;
    SxStatus status = hand_take(search, &hand, err);
    if (status == SX_OK) {
        status = make_tasks(search, hand, err);
        hand_back(search, hand);
    }
    if (status == SX_OK) {
        search->done = calloc((size_t)search->task_count + 1, sizeof *search->done);
        status = search->done ? sx_parallel_for(search->work, search->task_count, run_task, search,
                                                search->done, err)
                              : sx_out_of_memory(err);
    }
    for (int k = 0; status == SX_OK && k < search->task_count; k++) {
        if (!search->done[k]) { /* stopped before it was begun */
            leave_open(search, search->task[k].bound);
        }
    }
    return status;
}

/* Why nothing was found. */
static SxStatus none_found(const Search *search, bool stopped, SxError *err) {
    if (stopped) {
        return sx_fail(err, SX_OUT_OF_TIME, "no lineup found %s",
                       sx_work_left(search->work) > 0 ? "before the stop"
                                                      : "within the time limit");
    }
    return search->least >= 0 ? sx_fail(err, SX_NO, "no lineup wins that many sets")
                              : sx_none_there(search->facts->problem, search->work, err);
}

static SxStatus best_orders(const SxProblem *problem, int top, double least, const SxWork *work,
                            SxBestOrders *out, SxError *err) {
    SetFacts *facts = NULL;
    memset(out, 0, sizeof *out);
    if (top < 1) {
        return sx_fail(err, SX_USAGE, "a list of at least one order must be asked for");
    }
    SxStatus status = SX_OK;
    if (least < 0 && !(work && work->unexplained)) { /* what would be searched for in vain */
        status = sx_lineup_possible(problem, work, err);
    }
    if (status == SX_OK) {
        status = sx_set_facts_new(problem, &facts, err);
    }
    Search search = {.facts = facts,
                     .work = work,
                     .top = top,
                     .least = least,
                     .once = sx_turn_counts_once(problem),
                     .open = -1};
    pthread_mutex_init(&search.lock, NULL);
    if (status == SX_OK) {
        status = sx_stopping_new(facts, &search.stopping, err);
    }
    if (status == SX_OK) {
        status = search_all(&search, err);
    }
    const bool stopped = search.open >= 0;
    if (status == SX_OK && search.count == 0) {
        status = none_found(&search, stopped, err);
    }
    if (status == SX_OK) {
        status = hand_over(&search, stopped, out, err);
    }
    if (status != SX_OK) {
        sx_best_orders_free(out);
    }
    while (search.idle) {
        Hand *hand = search.idle;
        search.idle = hand->next;
        hand_free(hand);
    }
    sx_stopping_free(search.stopping);
    pthread_mutex_destroy(&search.lock);
    free(search.found);
    free(search.task);
    free(search.done);
    sx_set_facts_free(facts);
    return status;
}

SxStatus sx_best_orders(const SxProblem *problem, int top, const SxWork *work, SxBestOrders *out,
                        SxError *err) {
    return best_orders(problem, top, -1, work, out, err);
}

/* --- one order, one lineup ---------------------------------------------------------------------
 */

static Seating seating_of(const SxOrder *order) {
    Seating seating = {.used = 0};
    for (int s = 0; s < SX_SLOTS; s++) {
        seating.who[s][SX_FRONT] = (signed char)order->front[s];
        seating.who[s][SX_BACK] = (signed char)order->back[s];
        seating.used |= player_bit(order->front[s]) | player_bit(order->back[s]);
    }
    return seating;
}

/* Fills the lineup; SX_NO without a word if the order cannot keep the wishes. */
static SxStatus solve_order(const SetFacts *facts, const Seating *seating, SxLineup *out,
                            SxError *err) {
    Search search = {.facts = facts};
    Hand *hand = NULL;
    StayPlan plan;
    pthread_mutex_init(&search.lock, NULL);
    SxStatus status = sx_stopping_new(facts, &search.stopping, err);
    if (status == SX_OK) {
        status = hand_take(&search, &hand, err);
    }
    StaysEnd end = STAYS_NONE;
    if (status == SX_OK) {
        status = plan_order(hand, seating, -1, &plan, &end, err);
    }
    if (status == SX_OK && end != STAYS_FOUND) {
        status = SX_NO;
    }
    if (status == SX_OK) {
        sx_stays_lineup(facts, seating, &plan, out);
    }
    hand_free(hand);
    sx_stopping_free(search.stopping);
    pthread_mutex_destroy(&search.lock);
    return status;
}

SxStatus sx_order_best(const SxProblem *problem, const SxOrder *order, SxLineup *out,
                       SxError *err) {
    SetFacts *facts = NULL;
    const Seating seating = seating_of(order);
    SxStatus status = sx_set_facts_new(problem, &facts, err);
    if (status == SX_OK) {
        status = solve_order(facts, &seating, out, err);
        for (int k = 0; status == SX_OK && k < problem->plan->wish_count; k++) {
            status = sx_wish_holds(problem, out, &problem->plan->wishes[k]) ? status : SX_NO;
        }
        if (status == SX_NO) {
            status = sx_fail(err, SX_NO, "this order cannot keep the plan's wishes");
        }
    }
    if (status == SX_OK) {
        status = sx_lineup_win(problem, out, err);
        out->win_bound = out->win;
    }
    sx_set_facts_free(facts);
    return status;
}

SxStatus sx_lineup_win(const SxProblem *problem, SxLineup *lineup, SxError *err) {
    const SxFixture known = {problem->against->model, problem->against->opponent, NULL};
    lineup->plays_on_open = false;
    if (sx_substitutions_per_cycle(lineup) == 0) {
        return sx_lineup_odds(problem, lineup, &known, &lineup->win, err);
    }
    SxOutlook outlook;
    SxStatus status = sx_lineup_outlook(problem, lineup, &known, &outlook, err);
    lineup->win = status == SX_OK ? outlook.win : 0;
    if (status == SX_OK) {
        sx_tell_plays_on(&outlook, lineup);
    }
    return status;
}

/* --- weights of a score ------------------------------------------------------------------------
 */

void sx_natural_weights(const SxRallyModel *model, const SxOpponent *opponent,
                        double weight[SX_PARTS]) {
    static const SxSkill skill_of[SX_PARTS] = {
        [SX_PART_PASS] = SX_PASSING, [SX_PART_ATTACK] = SX_ATTACKING, [SX_PART_BLOCK] = SX_BLOCKING,
        [SX_PART_SET] = SX_SETTING,  [SX_PART_SERVE] = SX_SERVING,    [SX_PART_DIG] = SX_DIGGING,
    };
    static const double nudge = 1e-4, rallies = 100;
    const SxSide *theirs = &opponent->rotation[0];
    for (int k = 0; k < SX_PARTS; k++) {
        weight[k] = 0; /* a run counts by what comes late */
        if (k == SX_PART_RUN) {
            continue;
        }
        double part[SX_PARTS] = {0}, won[2];
        part[k] = 1;
        const double a_point = sx_side_of_parts(model, part, 0).rating[skill_of[k]];
        for (int up = 0; up < 2; up++) {
            SxSide ours = *theirs;
            ours.rating[skill_of[k]] += (up ? 1 : -1) * nudge * a_point;
            won[up] = (sx_side_out(model, &ours, theirs) + 1 - sx_side_out(model, theirs, &ours)) /
                      SX_PHASES;
        }
        weight[k] = rallies * (won[1] - won[0]) / (2 * nudge);
    }
}

/* --- either goal -------------------------------------------------------------------------------
 */

static SxStatus best_for_goal(const SxProblem *problem, const SxSolveOptions *options, double least,
                              SxLineup *out, SxError *err) {
    if (!problem->against) {
        return sx_lineup_solve(problem, options, out, err);
    }
    SxBestOrders best;
    SxStatus status = best_orders(problem, 1, least, options->work, &best, err);
    if (status == SX_OK) {
        *out = best.item[0];
        sx_best_orders_free(&best);
    }
    return status;
}

SxStatus sx_best_lineup(const SxProblem *problem, const SxWork *work, SxLineup *out, SxError *err) {
    const SxSolveOptions options = {.work = work};
    return best_for_goal(problem, &options, -1, out, err);
}

SxStatus sx_best_value(const SxProblem *problem, const SxWork *work, SxLineup *out, SxError *err) {
    const SxSolveOptions options = {.work = work, .any_tie = true};
    return best_for_goal(problem, &options, -1, out, err);
}

static SxStatus best_above(const SxProblem *problem, double beat, const SxSolveOptions *options,
                           SxLineup *out, SxError *err) {
    const double least = beat / SX_SETS - AGREE; /* the search may be off by so much */
    SxStatus status = best_for_goal(problem, options, least, out, err);
    return status == SX_OK && sx_value(problem, out) <= beat
               ? sx_fail(err, SX_NO, "no lineup is worth more")
               : status;
}

SxStatus sx_best_above(const SxProblem *problem, double beat, const SxWork *work, SxLineup *out,
                       SxError *err) {
    const SxSolveOptions options = {.work = work};
    return best_above(problem, beat, &options, out, err);
}

SxStatus sx_value_above(const SxProblem *problem, double beat, const SxWork *work, SxLineup *out,
                        SxError *err) {
    const SxSolveOptions options = {.work = work, .any_tie = true};
    return best_above(problem, beat, &options, out, err);
}

SxStatus sx_order_value(const SxProblem *problem, const SxOrder *order, double *value,
                        SxError *err) {
    SxLineup lineup;
    SxStatus status = problem->against ? sx_order_best(problem, order, &lineup, err)
                                       : sx_evaluate_order(problem, order, 0, &lineup, err);
    *value = status == SX_OK ? sx_value(problem, &lineup) : -INFINITY;
    return status == SX_NO ? SX_OK : status;
}

SxStatus sx_value_bound(const SxProblem *problem, double *bound, SxError *err) {
    *bound = INFINITY;
    if (!problem->against) {
        return SX_OK;
    }
    SetFacts *facts = NULL;
    SxStatus status = sx_set_facts_new(problem, &facts, err);
    Search search = {.facts = facts, .once = sx_turn_counts_once(problem)};
    Hand *hand = NULL;
    pthread_mutex_init(&search.lock, NULL);
    if (status == SX_OK) {
        status = sx_stopping_new(facts, &search.stopping, err);
    }
    if (status == SX_OK) {
        status = hand_take(&search, &hand, err);
    }
    if (status == SX_OK) {
        lay_out_places(&search);
        status = make_tasks(&search, hand, err);
    }
    if (status == SX_OK) { /* the best part comes first */
        *bound = search.task_count ? SX_SETS * search.task[0].bound : -1;
    }
    hand_free(hand);
    sx_stopping_free(search.stopping);
    pthread_mutex_destroy(&search.lock);
    free(search.task);
    sx_set_facts_free(facts);
    return status;
}

double sx_value_open(const SxProblem *problem, const SxLineup *lineup) {
    return problem->against ? SX_SETS * lineup->win_bound : lineup->bound;
}

double sx_value(const SxProblem *problem, const SxLineup *lineup) {
    return problem->against ? SX_SETS * lineup->win : lineup->score;
}

double sx_value_tie(const SxProblem *problem) {
    return problem->against ? SX_SETS * SX_SAME_SET_ODDS : SX_SAME_SCORE;
}
