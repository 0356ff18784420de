/* Whole tables of set odds, one for each number of changes left; a change leads from a table to the
 * one before it, the first leads to the table of playing on. */
#include "analysis/limitodds.h"

#include <stdlib.h>
#include <string.h>

enum { HALF = SX_STEPS / 2 };

static const double LEAST_MISS = 1e-13; /* as in quickodds.c */

/* Values by step, as in quickodds.c; and, at a tie, those of being one ahead while we serve. */
typedef struct {
    double receive[HALF + 1], serve[HALF];
} Values;

typedef struct {
    Values *cell; /* [ours][theirs] */
    Values tie;
    double ahead[SX_STEPS]; /* at a tie, one ahead, in a step in which we serve */
} Table;

struct LimitRoom {
    SxSetRules rules;
    int limit; /* points beyond which no table goes */
    Table table[2], after;
};

LimitRoom *sx_limit_room(const SxSetRules *rules) {
    LimitRoom *room = calloc(1, sizeof *room);
    if (!room) {
        return NULL;
    }
    room->rules = *rules;
    room->limit = rules->cap > 0 ? rules->cap : rules->target;
    const size_t cells = (size_t)room->limit * (size_t)room->limit;
    room->table[0].cell = malloc(cells * sizeof(Values));
    room->table[1].cell = malloc(cells * sizeof(Values));
    room->after.cell = malloc(cells * sizeof(Values));
    if (!room->table[0].cell || !room->table[1].cell || !room->after.cell) {
        sx_limit_room_free(room);
        return NULL;
    }
    return room;
}

void sx_limit_room_free(LimitRoom *room) {
    if (room) {
        free(room->table[0].cell);
        free(room->table[1].cell);
        free(room->after.cell);
    }
    free(room);
}

static Values constant(double value) {
    Values values;
    for (int m = 0; m < HALF; m++) {
        values.receive[m] = values.serve[m] = value;
    }
    values.receive[HALF] = value;
    return values;
}

/* Does the side-out made in a step lead into a rotation with a change? */
static bool is_change(const bool entering[SX_ROTATIONS], int receive_step) {
    return entering && entering[sx_step_ours((receive_step + 1) % SX_STEPS)];
}

/* Play from a tie. Two rallies end the set or lead to a tie one or two steps on, unless a change
 * comes between, which leads into the table `next`. Backwards round the steps every value becomes a
 * linear function of the first two. */
static void solve_tie(Table *table, const double p[SX_STEPS], const bool entering[SX_ROTATIONS],
                      const Table *next) {
    double now[SX_STEPS + 2] = {0}, first[SX_STEPS + 2] = {0}, second[SX_STEPS + 2] = {0};
    first[SX_STEPS] = second[SX_STEPS + 1] = 1;
    for (int k = SX_STEPS - 1; k >= 0; k--) {
        const int then = (k + 1) % SX_STEPS;
        const double miss = 1 - p[k], next_miss = 1 - p[then];
        double here, one, two; /* v[k] = here + one v[k+1] + two v[k+2] */
        if (k % 2 == 0) {
            const bool change = is_change(entering, k);
            here = change ? p[k] * (next->ahead[then] + miss * next->tie.serve[k / 2])
                          : p[k] * p[then];
            two = change ? 0 : p[k] * next_miss;
            one = change ? 0 : miss * p[k];
        } else {
            const bool change = is_change(entering, then);
            const int serve = (then + 1) % SX_STEPS;
            here = p[k] * p[k] + (change ? miss * p[then] * next->tie.serve[serve / 2] : 0);
            one = p[k] * miss;
            two = change ? 0 : miss * p[then];
        }
        now[k] = here + one * now[k + 1] + two * now[k + 2];
        first[k] = one * first[k + 1] + two * first[k + 2];
        second[k] = one * second[k + 1] + two * second[k + 2];
    }
    const double a = 1 - first[0], b = second[0], c = first[1], d = 1 - second[1];
    const double v1 = (a * now[1] + c * now[0]) / (a * d - b * c);
    const double v0 = (now[0] + b * v1) / a;
    for (int k = 0; k < SX_STEPS; k++) {
        const double value = now[k] + first[k] * v0 + second[k] * v1;
        *(k % 2 == 0 ? &table->tie.receive[k / 2] : &table->tie.serve[k / 2]) = value;
    }
    table->tie.receive[HALF] = table->tie.receive[0];
    for (int k = 1; k < SX_STEPS; k += 2) {
        table->ahead[k] = p[k] + (1 - p[k]) * table->tie.receive[k / 2 + 1];
    }
}

/* entering NULL: no changes. */
static void fill(const LimitRoom *room, Table *table, const double p[SX_STEPS],
                 const bool entering[SX_ROTATIONS], const Table *next) {
    const int limit = room->limit;
    const int tied = room->rules.cap > 0 ? limit : room->rules.target - 1;
    const Values won = constant(1), lost = constant(0);
    double receive[HALF], serve[HALF];
    bool change[HALF];
    for (int m = 0; m < HALF; m++) {
        receive[m] = p[2 * m];
        serve[m] = p[2 * m + 1];
        change[m] = is_change(entering, 2 * m);
    }
    if (room->rules.cap == 0) {
        solve_tie(table, p, entering, next);
    }
    for (int ours = limit - 1; ours >= 0; ours--) {
        for (int theirs = limit - 1; theirs >= 0; theirs--) {
            Values *here = &table->cell[ours * limit + theirs];
            const int over = sx_set_winner(&room->rules, ours, theirs);
            if (ours == tied && theirs == tied) {
                *here = table->tie;
                continue;
            }
            if (over != 0) {
                *here = over > 0 ? won : lost;
                continue;
            }
            const bool wins = sx_set_winner(&room->rules, ours + 1, theirs) != 0;
            const bool loses = sx_set_winner(&room->rules, ours, theirs + 1) != 0;
            const double *up = wins ? won.serve : here[limit].serve;
            const double *down = loses ? lost.receive : here[1].receive;
            const double *then =
                wins || !next ? won.serve : next->cell[(ours + 1) * limit + theirs].serve;
            for (int m = 0; m < HALF; m++) {
                const double side_out = change[m] ? then[m] : up[m];
                here->receive[m] = down[m] + receive[m] * (side_out - down[m]);
                here->serve[m] = down[m + 1] + serve[m] * (up[m] - down[m + 1]);
            }
            here->receive[HALF] = here->receive[0];
        }
    }
}

static void clamp(const double win[SX_STEPS], double out[SX_STEPS]) {
    for (int k = 0; k < SX_STEPS; k++) {
        out[k] = win[k] < 1 - LEAST_MISS ? win[k] : 1 - LEAST_MISS;
    }
}

void sx_limit_odds(LimitRoom *room, const QuickOdds *quick, const StepRates *before,
                   const StepRates *after, const bool entering[SX_ROTATIONS], int most,
                   StartOdds *out) {
    memset(out, 0, (size_t)(most + 1) * sizeof *out);
    for (int t = 0; t < quick->tracks; t++) {
        double p[SX_STEPS];
        clamp(after->of[t], p);
        fill(room, &room->after, p, NULL, NULL);
        clamp(before->of[t], p);
        const Table *next = &room->after;
        for (int n = 0; n <= most; n++) {
            Table *now = &room->table[n % 2];
            fill(room, now, p, entering, next);
            for (int m = 0; m < HALF; m++) {
                out[n][SX_RECEIVE][m] += now->cell[0].receive[m] / quick->tracks;
                out[n][SX_SERVE][(m + 1) % SX_ROTATIONS] += now->cell[0].serve[m] / quick->tracks;
            }
            next = now;
        }
    }
}
