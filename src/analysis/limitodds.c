/* Whole tables of set odds, one for each number of changes left; a change leads from a table to the
 * one before it, or to the best of the tables of playing on. */
#include "analysis/limitodds.h"

#include "analysis/stepvalues.h"

#include <stdlib.h>
#include <string.h>

enum { HALF = SX_HALF_STEPS };

/* At a tie, besides the values, those of being one ahead while we serve. */
typedef struct {
    SxSixes *serve; /* [ours][theirs], the values at our serve; 1 or 0 where the set is over */
    StepValues start;
    StepValues tie;
    double ahead[SX_STEPS]; /* at a tie, one ahead, in a step in which we serve */
} Table;

/* The most that playing on is worth when a change is due, and in which way. At a tie, level and one
 * ahead; we serve. */
enum { TIE_LEVEL, TIE_AHEAD, TIE_LEADS };
typedef struct {
    double *score; /* [ours][theirs], the side-out counted */
    short *way;
    bool raised; /* something is not 0 */
    double tie[TIE_LEADS];
    short tie_way[TIE_LEADS];
} Halt;

struct LimitRoom {
    QuickOdds quick;
    int limit; /* points beyond which no table goes */
    SxSixes won[SX_MAX_POINTS + 1];
    Table table[2], after;
    int ways;
    Halt halt[SX_TRACKS][SX_ROTATIONS]; /* by the rotation entered */
    LimitChoices *choices;
};

struct LimitChoices {
    int limit, cells, most;
    bool tie; /* play from target - 1 all on does not end at a cap */
    int target;
    short *way; /* [track][left][rotation][score, then the leads at a tie] */
};

static int least(int a, int b) {
    return a < b ? a : b;
}

static int points_of(const SxSetRules *rules) {
    return rules->cap > 0 ? rules->cap : rules->target;
}

static bool halt_new(Halt *halt, size_t cells) {
    halt->score = calloc(cells, sizeof *halt->score);
    halt->way = calloc(cells, sizeof *halt->way);
    return halt->score && halt->way;
}

static bool table_new(Table *table, const SxSetRules *rules, int limit) {
    table->serve = malloc((size_t)limit * (size_t)limit * sizeof *table->serve);
    for (int k = 0; table->serve && k < limit * limit; k++) {
        table->serve[k] = sx_sixes_all(sx_set_winner(rules, k / limit, k % limit) > 0 ? 1 : 0);
    }
    return table->serve != NULL;
}

LimitRoom *sx_limit_room(const QuickOdds *quick) {
    LimitRoom *room = calloc(1, sizeof *room);
    if (!room) {
        return NULL;
    }
    room->quick = *quick;
    room->limit = points_of(&quick->rules);
    const size_t cells = (size_t)room->limit * (size_t)room->limit;
    for (int theirs = 0; theirs <= SX_MAX_POINTS; theirs++) {
        room->won[theirs] = sx_sixes_all(1);
    }
    bool made = table_new(&room->table[0], &quick->rules, room->limit);
    made = table_new(&room->table[1], &quick->rules, room->limit) && made;
    made = table_new(&room->after, &quick->rules, room->limit) && made;
    for (int t = 0; t < quick->tracks; t++) {
        for (int r = 0; r < SX_ROTATIONS; r++) {
            made = halt_new(&room->halt[t][r], cells) && made;
        }
    }
    if (!made) {
        sx_limit_room_free(room);
        return NULL;
    }
    sx_limit_clear(room);
    return room;
}

void sx_limit_room_free(LimitRoom *room) {
    if (!room) {
        return;
    }
    free(room->table[0].serve);
    free(room->table[1].serve);
    free(room->after.serve);
    for (int k = 0; k < SX_TRACKS * SX_ROTATIONS; k++) {
        Halt *halt = &room->halt[k / SX_ROTATIONS][k % SX_ROTATIONS];
        free(halt->score);
        free(halt->way);
    }
    free(room);
}

void sx_limit_clear(LimitRoom *room) {
    const size_t cells = (size_t)room->limit * (size_t)room->limit;
    room->ways = 0;
    for (int t = 0; t < room->quick.tracks; t++) {
        for (int r = 0; r < SX_ROTATIONS; r++) {
            Halt *halt = &room->halt[t][r];
            if (halt->raised) {
                memset(halt->score, 0, cells * sizeof *halt->score);
                memset(halt->way, 0, cells * sizeof *halt->way);
                memset(halt->tie, 0, sizeof halt->tie);
                memset(halt->tie_way, 0, sizeof halt->tie_way);
            }
            halt->raised = false;
        }
    }
}

/* Where a change leads: into the table before, or to playing on. */
typedef struct {
    bool entering[SX_ROTATIONS];
    const Table *next; /* NULL: no change may be made any more */
    const Halt *halt;  /* by rotation; NULL: every change is made */
} Changes;

/* The rotation that the side-out made in a receive step leads into. */
static int rotation_after(int receive_step) {
    return sx_step_ours((receive_step + 1) % SX_STEPS);
}

/* Does it come with a change? NULL: there are none. */
static bool is_change(const Changes *changes, int receive_step) {
    return changes && changes->entering[rotation_after(receive_step)];
}

static double better(double make, double stop) {
    return stop > make ? stop : make;
}

/* A change is due after the side-out of a receive step, at a tie. */
static double due_at_tie(const Changes *changes, int receive_step, int lead) {
    const int then = (receive_step + 1) % SX_STEPS;
    const Table *next = changes->next;
    const double make = !next               ? 0
                        : lead == TIE_AHEAD ? next->ahead[then]
                                            : next->tie.serve[then / 2];
    return better(make, changes->halt ? changes->halt[rotation_after(receive_step)].tie[lead] : 0);
}

/* Play from a tie. Two rallies end the set or lead to a tie one or two steps on, unless a change
 * comes between, which leads elsewhere. Backwards round the steps every value becomes a linear
 * function of the first two. */
static void solve_tie(Table *table, const double p[SX_STEPS], const Changes *changes) {
    double now[SX_STEPS + 2] = {0}, first[SX_STEPS + 2] = {0}, second[SX_STEPS + 2] = {0};
    first[SX_STEPS] = second[SX_STEPS + 1] = 1;
    for (int k = SX_STEPS - 1; k >= 0; k--) {
        const int then = (k + 1) % SX_STEPS;
        const double miss = 1 - p[k], next_miss = 1 - p[then];
        double here, one, two; /* v[k] = here + one v[k+1] + two v[k+2] */
        if (k % 2 == 0) {
            const bool change = is_change(changes, k);
            here = change ? p[k] * (due_at_tie(changes, k, TIE_AHEAD) +
                                    miss * due_at_tie(changes, k, TIE_LEVEL))
                          : p[k] * p[then];
            two = change ? 0 : p[k] * next_miss;
            one = change ? 0 : miss * p[k];
        } else {
            const bool change = is_change(changes, then);
            here =
                p[k] * p[k] + (change ? miss * p[then] * due_at_tie(changes, then, TIE_LEVEL) : 0);
            one = p[k] * miss;
            two = change ? 0 : miss * p[then];
        }
        now[k] = here + one * now[k + 1] + two * now[k + 2];
        first[k] = one * first[k + 1] + two * first[k + 2];
        second[k] = one * second[k + 1] + two * second[k + 2];
    }
    sx_step_solve(now, first, second, &table->tie);
    for (int k = 1; k < SX_STEPS; k += 2) {
        table->ahead[k] = p[k] + (1 - p[k]) * table->tie.receive[k / 2 + 1];
    }
}

static SxRowRates row_rates(const double p[SX_STEPS], const Changes *changes) {
    SxRowRates rates = sx_row_rates(p);
    long long mask[HALF];
    for (int m = 0; m < HALF; m++) {
        mask[m] = is_change(changes, 2 * m) ? -1 : 0;
    }
    rates.told = (SxSixesMask){{mask[0], mask[1]}, {mask[2], mask[3]}, {mask[4], mask[5]}};
    return rates;
}

/* Their points below which our next point ends the set, ours being so many before it. */
static int wins_below(const LimitRoom *room, int ours) {
    return ours + 1 >= room->limit               ? SX_MAX_POINTS + 1
           : ours + 1 < room->quick.rules.target ? 0
                                                 : ours;
}

/* What our side-outs lead to where a change is due, by their points. */
static void tell_side_outs(const LimitRoom *room, const Changes *changes, int ours, int high,
                           int low, SxSixes *told) {
    const int won = wins_below(room, ours);
    for (int m = 0; m < HALF; m++) {
        if (!is_change(changes, 2 * m)) {
            continue;
        }
        const double *stop =
            changes->halt ? changes->halt[rotation_after(2 * m)].score : NULL; /* playing on */
        for (int theirs = low; theirs <= high; theirs++) {
            const int point = (ours + 1) * room->limit + theirs;
            double value = theirs < won    ? 1
                           : changes->next ? sx_sixes_at(&changes->next->serve[point], m)
                                           : 0;
            if (stop && theirs >= won) {
                value = better(value, stop[point]);
            }
            sx_sixes_put(&told[theirs], m, value);
        }
    }
}

static const SxSixes *row_above(const LimitRoom *room, const Table *table, int ours) {
    return ours + 1 < room->limit ? &table->serve[(ours + 1) * room->limit] : room->won;
}

static void fill_row(const LimitRoom *room, Table *table, const SxRowRates *rates,
                     const Changes *changes, int ours, SxSixes *down) {
    const SxSetRules *rules = &room->quick.rules;
    SxSixes told[SX_MAX_POINTS + 1], *out = &table->serve[ours * room->limit];
    const SxSixes *up = row_above(room, table, ours);
    int high = ours < rules->target - 1 ? rules->target - 1 : least(ours + 1, room->limit - 1);
    const int low = ours < rules->target ? 0 : ours - 1;
    *down = sx_sixes_all(0);
    if (rules->cap == 0 && ours == rules->target - 1) {
        *down = sx_sixes_of(table->tie.receive);
        out[ours] = sx_sixes_of(table->tie.serve);
        high = ours - 1;
    }
    if (changes) {
        tell_side_outs(room, changes, ours, high, low, told);
        sx_sixes_row(rates, high, low, told, up, down, out);
    } else {
        sx_sixes_row(rates, high, low, NULL, up, down, out);
    }
}

/* This row and that with a point of ours less. */
static void fill_two_rows(const LimitRoom *room, Table *table, const SxRowRates *rates,
                          const Changes *changes, int ours, SxSixes *down) {
    const int high = room->quick.rules.target - 1;
    SxSixes told[2][SX_MAX_POINTS + 1];
    const SxSixes *const both[2] = {told[0], told[1]};
    const SxSixes *up = row_above(room, table, ours);
    SxSixes *const out[2] = {&table->serve[ours * room->limit],
                             &table->serve[(ours - 1) * room->limit]};
    *down = sx_sixes_all(0);
    if (changes) {
        tell_side_outs(room, changes, ours, high, 0, told[0]);
        tell_side_outs(room, changes, ours - 1, high, 0, told[1]);
        sx_sixes_two_rows(rates, high, both, up, down, out);
    } else {
        sx_sixes_two_rows(rates, high, NULL, up, down, out);
    }
}

/* changes NULL: none are made. */
static void fill(const LimitRoom *room, Table *table, const double p[SX_STEPS],
                 const Changes *changes) {
    const SxSetRules *rules = &room->quick.rules;
    const SxRowRates rates = row_rates(p, changes);
    SxSixes down;
    if (rules->cap == 0) {
        solve_tie(table, p, changes);
    }
    int ours = room->limit - 1;
    for (; ours >= rules->target - 1 || ours % 2 == 0; ours--) {
        fill_row(room, table, &rates, changes, ours, &down);
    }
    for (; ours > 0; ours -= 2) {
        fill_two_rows(room, table, &rates, changes, ours, &down);
    }
    sx_sixes_values(&down, &table->serve[0], &table->start);
}

static void raise_tie(Halt *halt, int lead, double value, short way) {
    if (value > halt->tie[lead]) {
        halt->tie[lead] = value;
        halt->tie_way[lead] = way;
    }
}

/* Raises what playing on is worth on entering a rotation to a table. */
static void raise_halt(const LimitRoom *room, Halt *halt, int rotation, short way) {
    const int m = (rotation + SX_ROTATIONS - 1) % SX_ROTATIONS; /* serve[m] is in it */
    const int cells = room->limit * room->limit;
    halt->raised = true;
    for (int k = 0; k < cells; k++) {
        const double value = sx_sixes_at(&room->after.serve[k], m);
        if (value > halt->score[k]) {
            halt->score[k] = value;
            halt->way[k] = way;
        }
    }
    if (room->quick.rules.cap == 0) {
        raise_tie(halt, TIE_LEVEL, room->after.tie.serve[m], way);
        raise_tie(halt, TIE_AHEAD, room->after.ahead[2 * m + 1], way);
    }
}

void sx_limit_way(LimitRoom *room, const StepRates *rates, unsigned rotations) {
    for (int t = 0; t < room->quick.tracks; t++) {
        double p[SX_STEPS] = {0};
        sx_step_rates(rates->of[t], p);
        fill(room, &room->after, p, NULL);
        for (int r = 0; r < SX_ROTATIONS; r++) {
            if (rotations >> r & 1) {
                raise_halt(room, &room->halt[t][r], r, (short)room->ways);
            }
        }
    }
    room->ways++;
}

/* --- what is chosen ----------------------------------------------------------------------------
 */

LimitChoices *sx_limit_choices(const QuickOdds *quick, int most) {
    LimitChoices *choices = calloc(1, sizeof *choices);
    if (!choices) {
        return NULL;
    }
    choices->limit = points_of(&quick->rules);
    choices->cells = choices->limit * choices->limit + TIE_LEADS;
    choices->most = most;
    choices->tie = quick->rules.cap == 0;
    choices->target = quick->rules.target;
    const size_t tables = (size_t)quick->tracks * (size_t)(most + 1) * SX_ROTATIONS;
    choices->way = calloc(tables * (size_t)choices->cells, sizeof *choices->way);
    if (!choices->way) {
        free(choices);
        return NULL;
    }
    return choices;
}

void sx_limit_choices_free(LimitChoices *choices) {
    if (choices) {
        free(choices->way);
    }
    free(choices);
}

void sx_limit_note(LimitRoom *room, LimitChoices *choices) {
    room->choices = choices;
}

static short *choices_at(const LimitChoices *choices, int track, int left, int rotation) {
    return choices->way +
           ((track * (choices->most + 1) + left) * SX_ROTATIONS + rotation) * choices->cells;
}

int sx_limit_choice(const LimitChoices *choices, int track, int left, int rotation, int ours,
                    int theirs) {
    const short *way = choices_at(choices, track, left, rotation);
    const int cells = choices->limit * choices->limit;
    if (choices->tie && ours >= choices->target - 1 && theirs >= choices->target - 1) {
        return way[cells + (ours > theirs ? TIE_AHEAD : TIE_LEVEL)];
    }
    return way[ours * choices->limit + theirs];
}

static short choose(double make, double stop, short way) {
    static const double same = 1e-12; /* then the change is made */
    return stop > make + same ? way : MAKE_CHANGE;
}

static void note_choices(const LimitRoom *room, int track, int left, const Changes *changes) {
    const int cells = room->limit * room->limit;
    for (int r = 0; r < SX_ROTATIONS; r++) {
        const int m = (r + SX_ROTATIONS - 1) % SX_ROTATIONS;
        const Table *next = changes->next;
        const Halt *halt = changes->halt ? &changes->halt[r] : NULL;
        short *way = choices_at(room->choices, track, left, r);
        for (int k = 0; k < cells + TIE_LEADS && changes->entering[r]; k++) {
            const bool tied = k >= cells;
            const double make = !next                    ? -1
                                : k == cells + TIE_LEVEL ? next->tie.serve[m]
                                : tied                   ? next->ahead[2 * m + 1]
                                                         : sx_sixes_at(&next->serve[k], m);
            const double stop = !halt ? -1 : tied ? halt->tie[k - cells] : halt->score[k];
            way[k] = choose(make, stop, !halt ? 0 : tied ? halt->tie_way[k - cells] : halt->way[k]);
        }
    }
}

/* --- all numbers of changes --------------------------------------------------------------------
 */

void sx_limit_odds(LimitRoom *room, const LimitPlan *plan, StartOdds *out) {
    const int tracks = room->quick.tracks;
    memset(out, 0, (size_t)(plan->most + 1) * sizeof *out);
    for (int t = 0; t < tracks; t++) {
        double p[SX_STEPS] = {0};
        sx_step_rates(plan->rates->of[t], p);
        Changes changes = {.halt = room->halt[t]};
        memcpy(changes.entering, plan->entering, sizeof changes.entering);
        for (int n = 0; n <= plan->most; n++) {
            Table *now = &room->table[n % 2];
            fill(room, now, p, &changes);
            sx_step_starts(&now->start, tracks, out[n]);
            if (room->choices) {
                note_choices(room, t, n, &changes);
            }
            changes.next = now;
            changes.halt = plan->fixed ? NULL : room->halt[t];
        }
    }
}
