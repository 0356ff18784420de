/* The yardstick and its slopes: the set chain kept to one number, backwards for the odds, forwards
 * for how often each rally is played. */
#include "sixturn/setvalue.h"

#include "analysis/setchain.h"

#include <stdlib.h>
#include <string.h>

/* Closer than this two starts are equally good, and the lower rotation is named. */
static const double SAME_ODDS = 1e-12;

/* One number for each step of a track, receiving and serving apart; receive[SX_ROTATIONS] is
 * receive[0] again, where the last serve leads to when it is lost. */
typedef struct {
    double receive[SX_ROTATIONS + 1], serve[SX_ROTATIONS];
} Cell;

/* Set odds by score. With two rows only the last two are kept. */
typedef struct {
    const SxSetRules *rules;
    int limit; /* no side gets more points before the end or the tie */
    int rows;
    Cell *cell;
} Table;

static Cell *at(const Table *table, int ours, int theirs) {
    return table->cell + (ours % table->rows) * (table->limit + 1) + theirs;
}

static Cell filled(double value) {
    Cell cell;
    for (int i = 0; i < SX_ROTATIONS; i++) {
        cell.receive[i] = cell.serve[i] = value;
    }
    cell.receive[SX_ROTATIONS] = value;
    return cell;
}

static Cell by_phase(const double step[SX_STEPS]) {
    Cell cell;
    for (int i = 0; i < SX_ROTATIONS; i++) {
        cell.receive[i] = step[2 * i];
        cell.serve[i] = step[2 * i + 1];
    }
    cell.receive[SX_ROTATIONS] = cell.receive[0];
    return cell;
}

static bool is_tie(const Table *table, int ours, int theirs) {
    return table->rules->cap == 0 && ours == table->rules->target - 1 && theirs == ours;
}

/* Chance by chance, by hand: this loop is where a search spends its time. */
static void fill_cell(const Cell *rally, const Cell *won, const Cell *lost, Cell *here) {
    for (int i = 0; i < SX_ROTATIONS; i++) {
        here->receive[i] =
            lost->receive[i] + rally->receive[i] * (won->serve[i] - lost->receive[i]);
        here->serve[i] =
            lost->receive[i + 1] + rally->serve[i] * (won->serve[i] - lost->receive[i + 1]);
    }
    here->receive[SX_ROTATIONS] = here->receive[0];
}

/* The odds from 0-0. tie: the odds from target - 1 all; unused with a cap. */
static void fill_table(const Table *table, const Cell *rally, const Cell *tie) {
    const Cell won = filled(1), lost = filled(0);
    for (int theirs = 0; theirs <= table->limit; theirs++) {
        *at(table, table->limit, theirs) = won;
    }
    for (int ours = table->limit - 1; ours >= 0; ours--) {
        *at(table, ours, table->limit) = lost;
        for (int theirs = table->limit - 1; theirs >= 0; theirs--) {
            Cell *here = at(table, ours, theirs);
            const int over = sx_set_winner(table->rules, ours, theirs);
            if (over != 0) {
                *here = over > 0 ? won : lost;
            } else if (is_tie(table, ours, theirs)) {
                *here = *tie;
            } else {
                fill_cell(rally, at(table, ours + 1, theirs), at(table, ours, theirs + 1), here);
            }
        }
    }
}

/* One rally of the sets at a score: what it is worth, and where they go. */
static void play_cell(const Cell *rally, const Cell *mass, const Cell *won, const Cell *lost,
                      Cell *slope, Cell *if_won, Cell *if_lost) {
    for (int i = 0; i < SX_ROTATIONS; i++) {
        const double receive = mass->receive[i], serve = mass->serve[i];
        const double side_out = receive * rally->receive[i], point = serve * rally->serve[i];
        slope->receive[i] += receive * (won->serve[i] - lost->receive[i]);
        slope->serve[i] += serve * (won->serve[i] - lost->receive[i + 1]);
        if_won->serve[i] += side_out + point;
        if_lost->receive[i] += receive - side_out;
        if_lost->receive[(i + 1) % SX_ROTATIONS] += serve - point;
    }
}

/* Follows the starts forwards; entered gets the sets that reach the tie. mass has two rows. */
static void follow(const Table *table, const Table *mass, const Cell *rally, const Cell *starts,
                   Cell *slope, Cell *entered) {
    memset(mass->cell, 0, 2 * (size_t)(mass->limit + 1) * sizeof *mass->cell);
    *at(mass, 0, 0) = *starts;
    for (int ours = 0; ours < table->limit; ours++) {
        memset(at(mass, ours + 1, 0), 0, (size_t)(mass->limit + 1) * sizeof *mass->cell);
        for (int theirs = 0; theirs < table->limit; theirs++) {
            const Cell *here = at(mass, ours, theirs);
            if (sx_set_winner(table->rules, ours, theirs) != 0) {
                continue;
            }
            if (is_tie(table, ours, theirs)) {
                *entered = *here;
            } else {
                play_cell(rally, here, at(table, ours + 1, theirs), at(table, ours, theirs + 1),
                          slope, at(mass, ours + 1, theirs), at(mass, ours, theirs + 1));
            }
        }
    }
}

/* A track against one of their starts, or one for all if their rotations are alike. */
typedef struct {
    double win[SX_STEPS]; /* rally odds by step */
    double tie[SX_STEPS];
    Table table; /* whole if slopes are wanted */
} Track;

static bool rotations_alike(const SxRates *rates) {
    for (int i = 0; i < SX_ROTATIONS; i++) {
        for (int j = 1; j < SX_ROTATIONS; j++) {
            if (rates->receive[i][j] != rates->receive[i][0] ||
                rates->serve[i][j] != rates->serve[i][0]) {
                return false;
            }
        }
    }
    return true;
}

static SxStatus solve_track(Track *track, int number, Cell *first, SxError *err) {
    const Cell rally = by_phase(track->win);
    Cell tie = filled(0);
    if (track->table.rules->cap == 0) {
        if (!sx_tie_win(track->win, track->tie)) {
            return sx_set_never_ends(number, err);
        }
        tie = by_phase(track->tie);
    }
    fill_table(&track->table, &rally, &tie);
    *first = *at(&track->table, 0, 0);
    return SX_OK;
}

static void choose_starts(SxSetValue *value, int start) {
    value->win = 0;
    for (int phase = 0; phase < SX_PHASES; phase++) {
        value->start[phase] = start < 0 ? 0 : start;
        for (int r = 1; start < 0 && r < SX_ROTATIONS; r++) {
            if (value->by_start[phase][r] >
                value->by_start[phase][value->start[phase]] + SAME_ODDS) {
                value->start[phase] = r;
            }
        }
        value->win += value->by_start[phase][value->start[phase]] / SX_PHASES;
    }
}

/* Serving step i is our rotation i + 1: the serve that follows the side-out of rotation i. */
static int serving(int i) {
    return (i + 1) % SX_ROTATIONS;
}

static void add_starts(SxSetValue *value, const Cell *first, double share) {
    for (int i = 0; i < SX_ROTATIONS; i++) {
        value->by_start[SX_RECEIVE][i] += share * first->receive[i];
        value->by_start[SX_SERVE][serving(i)] += share * first->serve[i];
    }
}

/* The slopes of one track, each set that starts on it weighing share. */
static void slope_of_track(const Track *track, const Table *mass, const SxSetValue *value,
                           double share, double slope[SX_STEPS]) {
    const Cell rally = by_phase(track->win);
    Cell starts = filled(0), by_rally = filled(0), at_tie = filled(0);
    double entered[SX_STEPS];
    starts.receive[value->start[SX_RECEIVE]] = share / SX_PHASES;
    starts.serve[(value->start[SX_SERVE] + SX_ROTATIONS - 1) % SX_ROTATIONS] = share / SX_PHASES;
    follow(&track->table, mass, &rally, &starts, &by_rally, &at_tie);
    for (int i = 0; i < SX_ROTATIONS; i++) {
        slope[2 * i] = by_rally.receive[i];
        slope[2 * i + 1] = by_rally.serve[i];
        entered[2 * i] = at_tie.receive[i];
        entered[2 * i + 1] = at_tie.serve[i];
    }
    if (track->table.rules->cap == 0) {
        sx_tie_slope(track->win, track->tie, entered, slope);
    }
}

/* A track's slopes belong to the pairings it meets; one track for all is shared out evenly. */
static void put_slope(const double slope[SX_STEPS], int track, bool alike, SxRates *out) {
    for (int k = 0; k < SX_STEPS; k++) {
        const int ours = sx_step_ours(k), theirs = sx_step_theirs(track, k);
        double *row = sx_step_phase(k) == SX_RECEIVE ? out->receive[ours] : out->serve[ours];
        for (int j = 0; alike && j < SX_ROTATIONS; j++) {
            row[j] = slope[k] / SX_ROTATIONS;
        }
        if (!alike) {
            row[theirs] = slope[k];
        }
    }
}

SxStatus sx_set_value(const SxRates *rates, const SxSetRules *rules, int start, SxSetValue *value,
                      SxRates *slope, SxError *err) {
    SxStatus status = sx_set_input_check(rates, rules, err);
    if (status == SX_OK && (start < -1 || start >= SX_ROTATIONS)) {
        status = sx_fail(err, SX_USAGE, "no such start: our rotation %d", start + 1);
    }
    if (status != SX_OK) {
        return status;
    }
    const bool alike = rotations_alike(rates);
    const int tracks = alike ? 1 : SX_TRACKS;
    const int limit = rules->cap > 0 ? rules->cap : rules->target;
    const int rows = slope ? limit + 1 : 2;
    const size_t row = (size_t)limit + 1, whole = row * (size_t)rows;
    double win[SX_TRACKS][SX_STEPS];
    Track track[SX_TRACKS];
    /* the tables, and two rows to follow the sets in */
    Cell *cells = malloc(((slope ? (size_t)tracks : 1) * whole + 2 * row) * sizeof *cells);
    if (!cells) {
        return sx_out_of_memory(err);
    }
    memset(value, 0, sizeof *value);
    sx_order_by_step(rates, win);
    for (int t = 0; t < tracks && status == SX_OK; t++) {
        Cell first = filled(0);
        memcpy(track[t].win, win[t], sizeof win[t]);
        track[t].table = (Table){rules, limit, rows, cells + (slope ? (size_t)t * whole : 0)};
        status = solve_track(&track[t], t, &first, err);
        if (status == SX_OK) {
            add_starts(value, &first, 1.0 / tracks);
        }
    }
    if (status == SX_OK) {
        choose_starts(value, start);
    }
    for (int t = 0; t < tracks && status == SX_OK && slope; t++) {
        const Table mass = {rules, limit, 2, cells + (size_t)tracks * whole};
        double by_step[SX_STEPS];
        slope_of_track(&track[t], &mass, value, 1.0 / tracks, by_step);
        put_slope(by_step, t, alike, slope);
    }
    free(cells);
    return status;
}
