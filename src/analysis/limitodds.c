/* Whole tables of set odds, one for each number of changes left; a change leads from a table to the
 * one before it, or to the best of the tables of playing on. */
#include "analysis/limitodds.h"

#include "analysis/stepvalues.h"

#include <stdlib.h>
#include <string.h>

enum { HALF = SX_HALF_STEPS };

/* At a tie, besides the values, those of being one ahead while we serve. */
typedef struct {
    StepValues *cell; /* [ours][theirs] */
    StepValues tie;
    double ahead[SX_STEPS]; /* at a tie, one ahead, in a step in which we serve */
} Table;

/* The most that playing on is worth when a change is due, and in which way. At a tie, level and one
 * ahead; we serve. */
enum { TIE_LEVEL, TIE_AHEAD, TIE_LEADS };
typedef struct {
    double *score; /* [ours][theirs], the side-out counted */
    short *way;
    double tie[TIE_LEADS];
    short tie_way[TIE_LEADS];
} Halt;

struct LimitRoom {
    QuickOdds quick;
    int limit; /* points beyond which no table goes */
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

static int points_of(const SxSetRules *rules) {
    return rules->cap > 0 ? rules->cap : rules->target;
}

static bool halt_new(Halt *halt, size_t cells) {
    halt->score = calloc(cells, sizeof *halt->score);
    halt->way = calloc(cells, sizeof *halt->way);
    return halt->score && halt->way;
}

LimitRoom *sx_limit_room(const QuickOdds *quick) {
    LimitRoom *room = calloc(1, sizeof *room);
    if (!room) {
        return NULL;
    }
    room->quick = *quick;
    room->limit = points_of(&quick->rules);
    const size_t cells = (size_t)room->limit * (size_t)room->limit;
    room->table[0].cell = malloc(cells * sizeof(StepValues));
    room->table[1].cell = malloc(cells * sizeof(StepValues));
    room->after.cell = malloc(cells * sizeof(StepValues));
    bool made = room->table[0].cell && room->table[1].cell && room->after.cell;
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
    free(room->table[0].cell);
    free(room->table[1].cell);
    free(room->after.cell);
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
            memset(halt->score, 0, cells * sizeof *halt->score);
            memset(halt->way, 0, cells * sizeof *halt->way);
            memset(halt->tie, 0, sizeof halt->tie);
            memset(halt->tie_way, 0, sizeof halt->tie_way);
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

/* changes NULL: none are made. */
static void fill(const LimitRoom *room, Table *table, const double p[SX_STEPS],
                 const Changes *changes) {
    const SxSetRules *rules = &room->quick.rules;
    const int limit = room->limit;
    const int tied = rules->cap > 0 ? limit : rules->target - 1;
    StepValues won, lost;
    double receive[HALF], serve[HALF];
    const double *stop[HALF]; /* what playing on is worth where a change is due */
    bool change[HALF];
    sx_step_split(p, receive, serve);
    for (int m = 0; m < HALF; m++) {
        change[m] = is_change(changes, 2 * m);
        stop[m] = change[m] && changes->halt ? changes->halt[rotation_after(2 * m)].score : NULL;
    }
    sx_step_values_fill(&won, 1);
    sx_step_values_fill(&lost, 0);
    if (rules->cap == 0) {
        solve_tie(table, p, changes);
    }
    for (int ours = limit - 1; ours >= 0; ours--) {
        for (int theirs = limit - 1; theirs >= 0; theirs--) {
            StepValues *here = &table->cell[ours * limit + theirs];
            const int over = sx_set_winner(rules, ours, theirs);
            if (ours == tied && theirs == tied) {
                *here = table->tie;
                continue;
            }
            if (over != 0) {
                *here = over > 0 ? won : lost;
                continue;
            }
            const bool wins = sx_set_winner(rules, ours + 1, theirs) != 0;
            const bool loses = sx_set_winner(rules, ours, theirs + 1) != 0;
            const int point = (ours + 1) * limit + theirs;
            const double *up = wins ? won.serve : here[limit].serve;
            const double *down = loses ? lost.receive : here[1].receive;
            const double *then = wins             ? won.serve
                                 : !changes       ? up
                                 : !changes->next ? lost.serve
                                                  : changes->next->cell[point].serve;
            double side_out[HALF];
            for (int m = 0; m < HALF; m++) {
                side_out[m] = change[m] ? then[m] : up[m];
                if (stop[m] && !wins) {
                    side_out[m] = better(side_out[m], stop[m][point]);
                }
            }
            sx_step_rally(receive, serve, side_out, up, down, here);
        }
    }
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
    for (int k = 0; k < cells; k++) {
        const double value = room->after.cell[k].serve[m];
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
                                                         : next->cell[k].serve[m];
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
            sx_step_starts(&now->cell[0], tracks, out[n]);
            if (room->choices) {
                note_choices(room, t, n, &changes);
            }
            changes.next = now;
            changes.halt = plan->fixed ? NULL : room->halt[t];
        }
    }
}
