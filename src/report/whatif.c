/* What-if answers as tables of words: kept formations, absences, setters, systems. */
#include "report/whatif.h"

#include "core/numbers.h"
#include "report/lines.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { CELL = 512, MOST_SETTERS = 12 };

static bool add_table(WhatIf *what_if, const char *title, const char *note, int columns,
                      const char *const *heads, int most_rows) {
    char **cell = calloc((size_t)(most_rows + 1) * columns, sizeof *cell);
    if (!cell) {
        return false;
    }
    for (int c = 0; c < columns; c++) {
        cell[c] = strdup(heads[c]);
        what_if->failed = what_if->failed || !cell[c];
    }
    what_if->cell[what_if->count] = cell;
    what_if->table[what_if->count++] = (SxTable){.title = title,
                                                 .note = note,
                                                 .rows = 1,
                                                 .columns = columns,
                                                 .cells = (const char *const *)cell};
    return true;
}

static void set_cell(WhatIf *what_if, int column, const char *format, ...)
    __attribute__((format(printf, 3, 4)));

/* Writes into the last row of the newest table. */
static void set_cell(WhatIf *what_if, int column, const char *format, ...) {
    char text[CELL];
    const SxTable *table = &what_if->table[what_if->count - 1];
    SX_PLAIN_NUMBERS;
    va_list args;
    va_start(args, format);
    vsnprintf(text, sizeof text, format, args);
    va_end(args);
    char **cell = &what_if->cell[what_if->count - 1][(table->rows - 1) * table->columns + column];
    free(*cell);
    *cell = strdup(text);
    what_if->failed = what_if->failed || !*cell;
}

static void new_row(WhatIf *what_if) {
    what_if->table[what_if->count - 1].rows++;
}

static void absence_row(WhatIf *what_if, const SxTeam *team, const SxSystemSet *systems,
                        const SxAbsence *absence) {
    const SxPlayer *who = &team->players[absence->player[0]];
    Phrase moves = {.used = 0};
    new_row(what_if);
    set_cell(what_if, 0, "%d %s", who->number, who->name);
    if (absence->possible) {
        sx_phrase_moves(&moves, team, &absence->difference);
        set_cell(what_if, 1, "%.1f", sx_plain_value(absence->loss, 1));
    } else {
        set_cell(what_if, 1, "no legal lineup");
    }
    set_cell(what_if, 2, "%s",
             moves.used          ? moves.text
             : absence->possible ? "nothing changes"
                                 : "");
    if (absence->better_system >= 0) {
        set_cell(what_if, 3, "%s (%.1f)", systems->entry[absence->better_system].system.name,
                 absence->system_score);
    } else {
        set_cell(what_if, 3, "stay");
    }
}

static SxStatus add_absences(WhatIf *what_if, const SxTeam *team, const SxSystemSet *systems,
                             const SxAbsences *absences, SxError *err) {
    static const char *const heads[] = {"Without", "Lost", "Then", "System"};
    if (!add_table(what_if, "If a player is absent",
                   "Sets of 100 (or points, if the score is the goal), the hardest loss first. Who "
                   "is fit to play is for the medical staff to say.",
                   4, heads, absences->count)) {
        return sx_out_of_memory(err);
    }
    for (int i = 0; i < absences->count; i++) {
        if (absences->item[i].done) {
            absence_row(what_if, team, systems, &absences->item[i]);
        }
    }
    return SX_OK;
}

static SxStatus add_systems(WhatIf *what_if, const SxProblem *problem, const SxSystemSet *systems,
                            const SxSystemBest *best, SxError *err) {
    static const char *const heads[] = {"System", "Value", "Weakest rotation",
                                        "Substitutions in six rotations"};
    if (!add_table(what_if, "If the team plays another system", NULL, 4, heads, systems->count)) {
        return sx_out_of_memory(err);
    }
    for (int k = 0; k < systems->count; k++) {
        if (!best[k].done) {
            continue;
        }
        new_row(what_if);
        set_cell(what_if, 0, "%s", systems->entry[k].system.name);
        if (!best[k].possible) {
            set_cell(what_if, 1, "no legal lineup");
            set_cell(what_if, 2, "-");
            set_cell(what_if, 3, "-");
            continue;
        }
        const SxLineup *lineup = &best[k].lineup;
        int weak = sx_weak_rotation(lineup);
        set_cell(what_if, 1, "%.1f", sx_value(problem, lineup));
        set_cell(what_if, 2, "%d (%.2f)", weak + 1, lineup->rotation[weak].score);
        set_cell(what_if, 3, "%d", best[k].need.a_cycle);
    }
    return SX_OK;
}

static void setter_row(WhatIf *what_if, const SxTeam *team, const SxSystemSet *systems,
                       double score, const SxSetterChoice *choice) {
    const SxPlayer *players = team->players, *a = &players[choice->setter[0]];
    new_row(what_if);
    if (choice->setter[1] >= 0) {
        const SxPlayer *b = &players[choice->setter[1]];
        set_cell(what_if, 0, "%d %s and %d %s", a->number, a->name, b->number, b->name);
    } else {
        set_cell(what_if, 0, "%d %s", a->number, a->name);
    }
    set_cell(what_if, 1, "%s", systems->entry[choice->system].system.name);
    set_cell(what_if, 2, "%.1f", choice->value);
    set_cell(what_if, 3, "%+.1f", sx_plain_value(choice->value - score, 1));
}

static SxStatus add_setters(WhatIf *what_if, const SxTeam *team, const SxSystemSet *systems,
                            double score, const SxSetterChoices *choices, SxError *err) {
    static const char *const heads[] = {"Setting", "System", "Value", "Against this lineup"};
    if (!add_table(what_if, "If others set", "Sets of 100 (or points); at most the twelve best.", 4,
                   heads, MOST_SETTERS)) {
        return sx_out_of_memory(err);
    }
    int rows = 0;
    for (int i = 0; i < choices->count && rows < MOST_SETTERS; i++) {
        if (choices->item[i].done && choices->item[i].possible) {
            setter_row(what_if, team, systems, score, &choices->item[i]);
            rows++;
        }
    }
    return SX_OK;
}

static SxStatus add_prices(WhatIf *what_if, const SxProblem *problem, const SxPrices *prices,
                           SxError *err) {
    static const char *const heads[] = {"Your formation of", "Costs, sets of 100",
                                        "More to move, metres", "Sits because of it"};
    if (!add_table(what_if, "What your own formations cost",
                   "Each alone, against the lineup planned anew without it; prices of several do "
                   "not add up.",
                   4, heads, prices->count)) {
        return sx_out_of_memory(err);
    }
    for (int k = 0; k < prices->count; k++) {
        const SxPrice *price = &prices->price[k];
        Phrase sits = {.used = 0};
        if (!price->known || price->rotation < 0) {
            continue;
        }
        for (int n = 0; n < price->sit_count; n++) {
            sx_phrase_add(&sits, "%s", n ? ", " : "");
            sx_phrase_player(&sits, problem->team, price->sits[n]);
        }
        new_row(what_if);
        set_cell(what_if, 0, "rotation %d", price->rotation + 1);
        set_cell(what_if, 1, "%.1f", sx_plain_value(price->sets, 1));
        set_cell(what_if, 2, "%+.1f", sx_plain_value(price->run, 1));
        set_cell(what_if, 3, "%s", sits.used ? sits.text : "nobody");
    }
    return SX_OK;
}

SxStatus sx_what_if_tell(const SxProblem *problem, const SxSystemSet *systems,
                         const SxLineup *lineup, const SxPrices *prices, const SxAbsences *absences,
                         const SxSetterChoices *setters, const SxSystemBest *best, bool stopped,
                         WhatIf *what_if, SxError *err) {
    *what_if = (WhatIf){.count = 0};
    SxStatus status = prices->count ? add_prices(what_if, problem, prices, err) : SX_OK;
    if (status == SX_OK) {
        status = add_absences(what_if, problem->team, systems, absences, err);
    }
    if (status == SX_OK) {
        status =
            add_setters(what_if, problem->team, systems, sx_value(problem, lineup), setters, err);
    }
    if (status == SX_OK) {
        status = add_systems(what_if, problem, systems, best, err);
    }
    for (int t = 0; t < what_if->count && stopped; t++) {
        what_if->table[t].note = "Stopped early: some rows are not worked out.";
    }
    return status == SX_OK && what_if->failed ? sx_out_of_memory(err) : status;
}

void sx_what_if_free(WhatIf *what_if) {
    for (int t = 0; t < what_if->count; t++) {
        const SxTable *table = &what_if->table[t];
        for (int c = 0; c < table->rows * table->columns; c++) {
            free(what_if->cell[t][c]);
        }
        free(what_if->cell[t]);
    }
}
