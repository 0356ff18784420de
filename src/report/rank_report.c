/* The ranking of orders as text and as JSON. */
#include "report/lines.h"

#include "core/jsonwrite.h"
#include "sixturn/analysis_report.h"
#include "sixturn/bestset.h"

#include <string.h>

enum { TERMS = 4, INDENT = 5 };

static void print_what_counts(FILE *out, const SxLineup *lineup) {
    Phrase phrase = {.used = 0};
    for (int k = 0; k < SX_PARTS; k++) {
        sx_phrase_add(&phrase, "%s%s %.2f", k ? ", " : "", sx_part_word((SxPart)k),
                      sx_mean_part(lineup, (SxPart)k));
    }
    int weak = sx_weak_rotation(lineup);
    sx_phrase_add(&phrase, "; weak: rotation %d (%.2f)", weak + 1, lineup->rotation[weak].score);
    sx_lines_wrap(out, INDENT, INDENT, phrase.text);
}

static void print_item(FILE *out, const SxProblem *problem, const SxRanking *ranking, int k) {
    const SxLineup *lineup = &ranking->item[k];
    Phrase order = {.used = 0};
    sx_phrase_order(&order, problem, lineup);
    Phrase value = {.used = 0};
    sx_phrase_value(&value, problem, sx_value(problem, lineup));
    if (k > 0) {
        const double behind = sx_value(problem, lineup) - sx_value(problem, &ranking->item[0]);
        const int decimals = problem->against ? 2 : 3;
        sx_phrase_add(&value, " (%.*f)", decimals, sx_plain_value(behind, decimals));
    }
    fprintf(out, "\n%3d. %s  order %s%s\n", k + 1, value.text, order.text,
            k < ranking->proven ? "" : "  not proven");
    sx_lines_plays_on(out, INDENT, lineup);
    print_what_counts(out, lineup);
    if (k == 0 || k >= ranking->explained) {
        return;
    }
    const SxDifference *difference = &ranking->difference[k];
    Phrase what = {.used = 0};
    sx_phrase_moves(&what, problem->team, difference);
    sx_phrase_add(&what, "%s", difference->move_count && difference->term_count ? ": " : "");
    sx_phrase_terms(&what, difference, TERMS);
    if (what.used == 0) {
        sx_phrase_add(&what, "nobody changes places: the set starts three rotations on");
    }
    sx_lines_wrap(out, INDENT, INDENT, what.text);
}

static void print_share(FILE *out, const SxShare *share, int draws) {
    fprintf(out, "%5.1f %%  (%.1f to %.1f)", 100.0 * share->count / draws, 100 * share->low,
            100 * share->high);
}

static void print_doubt(FILE *out, const SxProblem *problem, const SxRanking *ranking,
                        const SxDoubt *doubt, const SxDoubtOptions *options) {
    fprintf(out, "\nIf every rating is known to about %g points (%s, %d draws, seed %llu)\n",
            options->size, options->spread == SX_SPREAD_NORMAL ? "normal" : "uniform", doubt->draws,
            (unsigned long long)options->seed);
    if (doubt->draws == 0) {
        fputs("  stopped before the first draw\n", out);
        return;
    }
    fputs("  order   is the best of all in\n", out);
    for (int k = 0; k < ranking->count; k++) {
        fprintf(out, "  %4d.  ", k + 1);
        print_share(out, &doubt->best[k], doubt->draws);
        fputc('\n', out);
    }
    fputs("  other  ", out);
    print_share(out, &doubt->other, doubt->draws);
    fputs("\n  In brackets: 95 % interval, for the number of draws.\n", out);
    if (ranking->count < 2) {
        return;
    }
    Phrase verdict = {.used = 0};
    sx_phrase_add(&verdict, "The second beats the first in %.1f %% of the draws (%.1f to %.1f): ",
                  100.0 * doubt->reversed.count / doubt->draws, 100 * doubt->reversed.low,
                  100 * doubt->reversed.high);
    sx_phrase_add(&verdict,
                  problem->against ? "the %.2f %s between them are "
                                   : "the %.3f %s between them are ",
                  sx_value(problem, &ranking->item[0]) - sx_value(problem, &ranking->item[1]),
                  sx_value_unit(problem));
    sx_phrase_add(&verdict, doubt->within_doubt ? "within the doubt; choose by what you know."
                                                : "more than the doubt.");
    sx_lines_wrap(out, 2, 2, verdict.text);
}

char *sx_rank_text(const SxProblem *problem, const SxRanking *ranking, const SxDoubt *doubt,
                   const SxDoubtOptions *doubt_options) {
    Lines page;
    if (!sx_lines_open(&page)) {
        return NULL;
    }
    sx_lines_line(page.out, "%s: system %s, rules %s", problem->team->name, problem->system->id,
                  problem->rules->id);
    if (ranking->proven == ranking->count) {
        fprintf(page.out, "The best %d order%s, proven: no other order %s more than the last.\n",
                ranking->count, ranking->count == 1 ? "" : "s",
                problem->against ? "wins" : "scores");
    } else if (ranking->proven == 0) {
        fputs("Stopped early: the best found so far; none is proven yet.\n", page.out);
    } else if (ranking->proven == 1) {
        fputs("Stopped early: the best found so far; the first is proven.\n", page.out);
    } else {
        fprintf(page.out, "Stopped early: the best found so far; the first %d are proven.\n",
                ranking->proven);
    }
    if (ranking->exhausted) {
        fputs("There are no more.\n", page.out);
    }
    sx_lines_wrap(
        page.out, 0, 0,
        problem->plan->start >= 0
            ? "Orders are shirt numbers from the first server on; L is the libero."
            : "Orders are shirt numbers in serving order, L is the libero; each is listed "
              "once, whoever serves first in it.");
    for (int k = 0; k < ranking->count; k++) {
        print_item(page.out, problem, ranking, k);
    }
    if (ranking->difference && ranking->explained < ranking->count) {
        fprintf(page.out, "\nStopped early: what sets %d of them apart is not worked out.\n",
                ranking->count - ranking->explained);
    }
    if (doubt) {
        print_doubt(page.out, problem, ranking, doubt, doubt_options);
    }
    fputs(problem->against
              ? "\nThe number is sets won of 100; in brackets: sets behind the first. Beside\n"
                "what counts: sets of 100 more or less by it, in the rotations named together.\n"
              : "\nIn brackets: points behind the first. Beside what counts: points more or\n"
                "less than the first has, on average over the rotations named.\n",
          page.out);
    sx_lines_caution(page.out);
    return sx_lines_close(&page);
}

static void json_share(cJSON *parent, const char *key, const SxShare *share, int draws) {
    cJSON *object = sx_put_object(parent, key);
    sx_put_number(object, "share", draws ? (double)share->count / draws : 0);
    sx_put_number(object, "low", share->low);
    sx_put_number(object, "high", share->high);
}

static void json_doubt(cJSON *root, const SxDoubt *doubt, const SxDoubtOptions *options) {
    cJSON *object = sx_put_object(root, "doubt");
    sx_put_number(object, "points", options->size);
    sx_put_text(object, "spread", options->spread == SX_SPREAD_NORMAL ? "normal" : "uniform");
    sx_put_number(object, "draws", doubt->draws);
    sx_put_number(object, "seed", (double)options->seed);
    json_share(object, "other", &doubt->other, doubt->draws);
    json_share(object, "second_beats_first", &doubt->reversed, doubt->draws);
    sx_put_bool(object, "within_doubt", doubt->within_doubt);
}

char *sx_rank_json(const SxProblem *problem, const SxRanking *ranking, const SxDoubt *doubt,
                   const SxDoubtOptions *doubt_options) {
    cJSON *root = cJSON_CreateObject();
    sx_put_text(root, "format", "sixturn-rank-1");
    sx_put_bool(root, "complete", ranking->proven == ranking->count);
    sx_put_bool(root, "exhausted", ranking->exhausted);
    cJSON *orders = sx_put_array(root, "orders");
    for (int k = 0; k < ranking->count; k++) {
        cJSON *item = sx_push_object(orders);
        sx_put_number(item, "rank", k + 1);
        sx_put_bool(item, "proven", k < ranking->proven);
        sx_json_lineup(item, problem, &ranking->item[k]);
        if (k < ranking->explained) {
            sx_json_difference(item, "difference", problem, &ranking->difference[k]);
        }
        if (doubt) {
            json_share(item, "best_in", &doubt->best[k], doubt->draws);
        }
    }
    if (doubt) {
        json_doubt(root, doubt, doubt_options);
    }
    return sx_json_finish(root);
}
