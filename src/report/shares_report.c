/* Playing time over several sets, as text and as JSON. */
#include "report/lines.h"

#include "core/jsonwrite.h"
#include "sixturn/analysis_report.h"
#include "sixturn/slip.h"

#include <math.h>
#include <string.h>

enum { NAME_WIDTH = 24, TITLE_SIZE = 32 };

static int sum(const SxShares *shares, int player) {
    int all = 0;
    for (int n = 0; n < shares->sets; n++) {
        all += shares->got[player][n];
    }
    return all;
}

/* Equal lineups stand next to each other, for they are sorted by score and order. */
static bool is_alike(const SxLineup *a, const SxLineup *b) {
    return a->score == b->score && a->start == b->start &&
           memcmp(&a->order, &b->order, sizeof a->order) == 0;
}

/* "set 1", "sets 2 and 3", "sets 1 to 4". */
static void name_sets(int first, int last, char title[TITLE_SIZE]) {
    if (first == last) {
        snprintf(title, TITLE_SIZE, "set %d", first + 1);
    } else {
        snprintf(title, TITLE_SIZE, "sets %d %s %d", first + 1, last == first + 1 ? "and" : "to",
                 last + 1);
    }
}

static void print_slips(FILE *out, const SxProblem *problem, const SxShares *shares, int first,
                        int last) {
    SxSlip slip[SX_PHASES];
    char text[SX_SLIP_SIZE], title[TITLE_SIZE];
    name_sets(first, last, title);
    for (int phase = 0; phase < SX_PHASES; phase++) {
        sx_slip_from(&shares->set[first], problem->team,
                     shares->valued ? shares->outlook[first].start[phase]
                                    : shares->set[first].start,
                     &slip[phase]);
    }
    fputs(sx_slips_text(slip, title, text, sizeof text), out);
}

static void print_set(FILE *out, const SxProblem *problem, const SxShares *shares, int first,
                      int last) {
    const SxLineup *lineup = &shares->set[first];
    Phrase phrase = {.used = 0};
    char title[TITLE_SIZE];
    const int weak = sx_weak_rotation(lineup);
    name_sets(first, last, title);
    title[0] = 'S';
    sx_phrase_add(&phrase, "%s: ", title);
    if (shares->by_sets) {
        sx_phrase_add(&phrase, "%.1f sets of 100", SX_SETS * lineup->win);
    } else if (shares->valued) {
        sx_phrase_add(&phrase, "%.3f points, %.1f sets of 100", lineup->score,
                      SX_SETS * shares->outlook[first].win);
    } else {
        sx_phrase_add(&phrase, "%.3f points", lineup->score);
    }
    sx_phrase_add(&phrase, "; order ");
    sx_phrase_order(&phrase, problem, lineup);
    sx_phrase_add(&phrase, "; weakest: rotation %d", weak + 1);
    fputc('\n', out);
    sx_lines_wrap(out, 0, 2, phrase.text);
    print_slips(out, problem, shares, first, last);
}

static void print_sets(FILE *out, const SxProblem *problem, const SxShares *shares) {
    for (int first = 0, last; first < shares->sets; first = last + 1) {
        last = first;
        while (last + 1 < shares->sets && is_alike(&shares->set[first], &shares->set[last + 1])) {
            last++;
        }
        print_set(out, problem, shares, first, last);
    }
}

static void print_table(FILE *out, const SxProblem *problem, const SxShares *shares) {
    fprintf(out, "\nPlaying time: rotations of six in each set, counted when they serve\n%*s",
            NAME_WIDTH + 7, "");
    for (int n = 0; n < shares->sets; n++) {
        fprintf(out, "  set %d", n + 1);
    }
    fputs("    all  wished\n", out);
    bool told[SX_MAX_PLAYERS] = {false};
    for (int p = 0; p < problem->team->player_count; p++) {
        const SxPlayer *who = &problem->team->players[p];
        if (!who->available) {
            continue;
        }
        told[p] = true;
        fprintf(out, "  #%-4d", who->number);
        sx_lines_field(out, who->name, NAME_WIDTH - 2);
        fprintf(out, "%-2s", sx_estimated_mark(who));
        for (int n = 0; n < shares->sets; n++) {
            fprintf(out, "%7d", shares->got[p][n]);
        }
        fprintf(out, "%7d", sum(shares, p));
        if (shares->need[p]) {
            fprintf(out, "%8d", shares->need[p]);
        }
        fputc('\n', out);
    }
    sx_lines_estimated(out, problem->team, told);
}

static void print_points(FILE *out, const SxShares *shares) {
    const double mean = shares->total / shares->sets;
    Phrase head = {.used = 0};
    sx_phrase_add(&head,
                  "Mean %.3f points a set; sharing the playing time costs %.3f of %.3f a set.",
                  mean, shares->free_score - mean, shares->free_score);
    if (shares->proof == SX_OPTIMAL) {
        sx_phrase_add(&head, " Proven: no lineups that give everybody her time have more.");
    } else {
        sx_phrase_add(&head, " Not proven the best: at most %.3f a set more is possible.",
                      (shares->bound - shares->total) / shares->sets);
    }
    sx_lines_wrap(out, 0, 0, head.text);
}

/* What is proven of the sets won, and what only of the points by which time was shared out. */
static void print_wins(FILE *out, const SxProblem *problem, const SxShares *shares) {
    const double more = shares->win_bound - shares->win;
    Phrase head = {.used = 0};
    sx_phrase_add(&head, "Wins %.1f of 100 sets against %s, mean of %d; without sharing %.1f. ",
                  SX_SETS * shares->win, problem->against->opponent->name, shares->sets,
                  SX_SETS * shares->free.win);
    if (more <= SX_SAME_SET_ODDS) {
        sx_phrase_add(&head, "Proven: no lineups with this playing time in each set win more. ");
    } else {
        sx_phrase_add(&head, "The best found in the time; at most %.1f more are possible. ",
                      SX_SETS * more);
    }
    sx_phrase_add(&head, "Who plays how much in which set is chosen by points of score, which add "
                         "up over sets: ");
    if (shares->proof == SX_OPTIMAL) {
        sx_phrase_add(&head, "proven the best by these.");
    } else {
        sx_phrase_add(&head, "at most %.3f a set from the best by these.",
                      (shares->bound - shares->total) / shares->sets);
    }
    sx_lines_wrap(out, 0, 0, head.text);
}

char *sx_shares_text(const SxProblem *problem, const SxShares *shares) {
    Lines page;
    if (!sx_lines_open(&page)) {
        return NULL;
    }
    sx_lines_line(page.out, "%s: playing time over %d set%s, system %s, rules %s",
                  problem->team->name, shares->sets, shares->sets == 1 ? "" : "s",
                  problem->system->id, problem->rules->id);
    if (shares->by_sets) {
        print_wins(page.out, problem, shares);
    } else {
        print_points(page.out, shares);
    }
    print_table(page.out, problem, shares);
    print_sets(page.out, problem, shares);
    fputs("\nThe sets may be played in any order. 'sheet' and 'report' draw one of them with\n"
          "--sets N --set K. Watch the load of growing players.\n",
          page.out);
    sx_lines_caution(page.out);
    return sx_lines_close(&page);
}

char *sx_shares_json(const SxProblem *problem, const SxShares *shares) {
    cJSON *root = cJSON_CreateObject();
    sx_put_text(root, "format", "sixturn-shares-1");
    if (shares->by_sets) {
        sx_put_number(root, "mean_sets", SX_SETS * shares->win);
        sx_put_number(root, "mean_sets_bound", SX_SETS * shares->win_bound);
        sx_put_number(root, "sets_without_shares", SX_SETS * shares->free.win);
    }
    cJSON *points = sx_put_object(root, "shared_out_by_points");
    sx_put_text(points, "status", shares->proof == SX_OPTIMAL ? "optimal" : "feasible");
    sx_put_number(points, "total", shares->total);
    sx_put_number(points, "bound", shares->bound);
    sx_put_number(points, "without_shares", shares->free_score);
    SxProblem chosen = *problem;
    chosen.against = shares->by_sets ? problem->against : NULL;
    cJSON *sets = sx_put_array(root, "sets");
    for (int n = 0; n < shares->sets; n++) {
        cJSON *object = sx_push_object(sets);
        sx_json_lineup(object, &chosen, &shares->set[n]);
    }
    cJSON *list = sx_put_array(root, "players");
    for (int p = 0; p < problem->team->player_count; p++) {
        if (sum(shares, p) == 0 && shares->need[p] == 0) {
            continue;
        }
        cJSON *object = sx_push_object(list);
        sx_json_player(object, "player", problem->team, p);
        sx_put_number(object, "share", shares->need[p]);
        sx_put_number(object, "rotations", sum(shares, p));
        cJSON *by_set = sx_put_array(object, "by_set");
        for (int n = 0; n < shares->sets; n++) {
            sx_push(by_set, cJSON_CreateNumber(shares->got[p][n]));
        }
    }
    return sx_json_finish(root);
}
