/* Playing time over several sets, as text and as JSON. */
#include "report/lines.h"

#include "core/jsonwrite.h"
#include "sixturn/analysis_report.h"

enum { NAME_WIDTH = 24 };

static int sum(const SxShares *shares, int player) {
    int all = 0;
    for (int n = 0; n < shares->sets; n++) {
        all += shares->got[player][n];
    }
    return all;
}

static void print_sets(FILE *out, const SxProblem *problem, const SxShares *shares) {
    for (int n = 0; n < shares->sets; n++) {
        const SxLineup *lineup = &shares->set[n];
        Phrase order = {.used = 0};
        sx_phrase_order(&order, problem, lineup);
        int weak = sx_weak_rotation(lineup);
        fprintf(out, "  set %d  %.3f  order %s; weak: rotation %d (%.2f)\n", n + 1, lineup->score,
                order.text, weak + 1, lineup->rotation[weak].score);
    }
}

static void print_table(FILE *out, const SxProblem *problem, const SxShares *shares) {
    fprintf(out, "\nRotations on court in reception\n%*s", NAME_WIDTH + 7, "");
    for (int n = 0; n < shares->sets; n++) {
        fprintf(out, "  set %d", n + 1);
    }
    fputs("    all  share\n", out);
    for (int p = 0; p < problem->team->player_count; p++) {
        if (sum(shares, p) == 0 && shares->need[p] == 0) {
            continue;
        }
        fprintf(out, "  #%-4d", problem->team->players[p].number);
        sx_lines_field(out, problem->team->players[p].name, NAME_WIDTH);
        for (int n = 0; n < shares->sets; n++) {
            fprintf(out, "%7d", shares->got[p][n]);
        }
        fprintf(out, "%7d", sum(shares, p));
        if (shares->need[p]) {
            fprintf(out, "%7d", shares->need[p]);
        }
        fputc('\n', out);
    }
}

char *sx_shares_text(const SxProblem *problem, const SxShares *shares) {
    Lines page;
    if (!sx_lines_open(&page)) {
        return NULL;
    }
    double mean = shares->total / shares->sets;
    sx_lines_line(page.out, "%s: playing time over %d set%s, system %s, rules %s",
                  problem->team->name, shares->sets, shares->sets == 1 ? "" : "s",
                  problem->system->id, problem->rules->id);
    Phrase head = {.used = 0};
    sx_phrase_add(&head, "Mean %.3f points a set; the shares cost %.3f a set against %.3f without.",
                  mean, shares->free_score - mean, shares->free_score);
    if (shares->proof == SX_OPTIMAL) {
        sx_phrase_add(&head, " Proven: no lineups that keep the shares have more.");
    } else {
        sx_phrase_add(&head, " Not proven the best: at most %.3f a set more is possible.",
                      (shares->bound - shares->total) / shares->sets);
    }
    sx_lines_wrap(page.out, 0, 0, head.text);
    fputc('\n', page.out);
    print_sets(page.out, problem, shares);
    print_table(page.out, problem, shares);
    fputs("\nThe sets may be played in any order. Watch the load of growing players.\n", page.out);
    sx_lines_caution(page.out);
    return sx_lines_close(&page);
}

char *sx_shares_json(const SxProblem *problem, const SxShares *shares) {
    cJSON *root = cJSON_CreateObject();
    sx_put_text(root, "format", "sixturn-shares-1");
    sx_put_text(root, "status", shares->proof == SX_OPTIMAL ? "optimal" : "feasible");
    sx_put_number(root, "total", shares->total);
    sx_put_number(root, "bound", shares->bound);
    sx_put_number(root, "score_without_shares", shares->free_score);
    SxProblem by_score = *problem; /* shares are points of score, whatever else the goal is */
    by_score.against = NULL;
    cJSON *sets = sx_put_array(root, "sets");
    for (int n = 0; n < shares->sets; n++) {
        cJSON *object = sx_push_object(sets);
        sx_json_lineup(object, &by_score, &shares->set[n]);
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
    }
    return sx_json_finish(root);
}
