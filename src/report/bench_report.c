/* A substitution: allowed or not, how many are left, who may come back, what it costs. */
#include "sixturn/benchreport.h"

#include "core/jsonwrite.h"
#include "report/lines.h"

static double hundred(double win) {
    return 100 * win;
}

static void print_left(FILE *out, const SxTeam *team, const SxBench *bench) {
    const int left = sx_bench_left(bench);
    if (left != SX_UNLIMITED) {
        sx_lines_line(out, "%d substitution%s left in this set.", left, left == 1 ? "" : "s");
    }
    for (int p = 0, place; p < bench->players; p++) {
        if (sx_bench_may_return(bench, p, &place)) {
            const SxPlayer *who = &team->players[p], *on = &team->players[bench->holder[place]];
            sx_lines_line(out, "#%d %s may come back for #%d %s.", who->number, who->name,
                          on->number, on->name);
        }
    }
}

char *sx_bench_text(const SxTeam *team, const SxBenchAnswer *answer) {
    const SxPlayer *out = &team->players[answer->swap.out], *in = &team->players[answer->swap.in];
    Lines page;
    if (!sx_lines_open(&page)) {
        return NULL;
    }
    if (answer->verdict == SX_SWAP_ALLOWED) {
        sx_lines_line(page.out, "#%d %s for #%d %s: allowed.", in->number, in->name, out->number,
                      out->name);
    } else {
        sx_lines_line(page.out, "#%d %s for #%d %s: NOT ALLOWED, %s.", in->number, in->name,
                      out->number, out->name, sx_swap_reason(answer->verdict));
    }
    print_left(page.out, team, &answer->after);
    if (answer->valued) {
        sx_lines_line(page.out,
                      "With her in that place from the start: %.1f sets of 100 instead of %.1f.",
                      hundred(answer->win_after), hundred(answer->win_before));
    } else {
        sx_lines_line(page.out, "What it costs cannot be said: %s", answer->why_no_value);
    }
    sx_lines_caution(page.out);
    return sx_lines_close(&page);
}

static void put_returns(cJSON *root, const SxTeam *team, const SxBench *bench) {
    cJSON *list = sx_put_array(root, "may_return");
    for (int p = 0, place; p < bench->players; p++) {
        if (sx_bench_may_return(bench, p, &place)) {
            cJSON *item = sx_push_object(list);
            sx_put_text(item, "player", team->players[p].id);
            sx_put_text(item, "for", team->players[bench->holder[place]].id);
        }
    }
}

char *sx_bench_json(const SxTeam *team, const SxBenchAnswer *answer) {
    cJSON *root = cJSON_CreateObject();
    const int left = sx_bench_left(&answer->after);
    sx_put_text(root, "format", "sixturn-bench-1");
    sx_put_text(root, "out", team->players[answer->swap.out].id);
    sx_put_text(root, "in", team->players[answer->swap.in].id);
    sx_put_bool(root, "allowed", answer->verdict == SX_SWAP_ALLOWED);
    sx_put_text(root, "reason", sx_swap_reason(answer->verdict));
    if (left == SX_UNLIMITED) {
        sx_put_null(root, "left");
    } else {
        sx_put_number(root, "left", left);
    }
    put_returns(root, team, &answer->after);
    cJSON *sets = sx_put_object(root, "sets_of_100");
    sx_put_number(sets, "before", hundred(answer->win_before));
    if (answer->valued) {
        sx_put_number(sets, "after", hundred(answer->win_after));
    } else {
        sx_put_text(sets, "no_value", answer->why_no_value);
    }
    return sx_put_print(root);
}
