/* What the wishes cost and who sits, as part of the plan's text and JSON. */
#include "core/jsonwrite.h"
#include "report/lines.h"
#include "report/matchday.h"
#include "sixturn/prices.h"

#include <math.h>
#include <stdio.h>

static void name_it(const SxPrice *price, const SxProblem *problem, char *text, size_t size) {
    if (price->rotation >= 0) {
        snprintf(text, size, "your formation of rotation %d (%s)", price->rotation + 1,
                 problem->plan->kept[price->rotation].origin);
    } else {
        sx_wish_text(&problem->plan->wishes[price->wish], problem->team, text, size);
    }
}

/* Who sits because the wish says so needs no word. */
static bool is_told_to_sit(const SxProblem *problem, const SxPrice *price, int player) {
    if (price->rotation >= 0) {
        return false;
    }
    const SxWish *wish = &problem->plan->wishes[price->wish];
    return wish->kind == SX_MUST_SIT && wish->player == player;
}

static void print_price(FILE *out, const SxProblem *problem, const SxPrice *price) {
    char what[2 * SX_NAME_SIZE + SX_WISH_ORIGIN + 128];
    Phrase phrase = {.used = 0};
    name_it(price, problem, what, sizeof what);
    sx_phrase_add(&phrase, "%5.1f  %s", price->sets, what);
    if (!problem->against) {
        sx_phrase_add(&phrase, ", %.2f points", price->points);
    }
    if (price->rotation >= 0) {
        sx_phrase_add(&phrase, ", %+.1f m to move", sx_plain_value(price->run, 1));
    }
    const char *between = "; sits for it: ";
    for (int k = 0; k < price->sit_count; k++) {
        if (!is_told_to_sit(problem, price, price->sits[k])) {
            sx_phrase_add(&phrase, "%s#%d", between, problem->team->players[price->sits[k]].number);
            between = ", ";
        }
    }
    sx_lines_wrap_spaced(out, phrase.text, 7);
}

static void print_bench(FILE *out, const SxProblem *problem, const SxLineup *lineup) {
    int players[SX_MAX_PLAYERS];
    const int count = sx_bench_of(problem, lineup, players);
    if (count == 0) {
        return;
    }
    fputs("\nOn the bench, with the roles that each covers\n", out);
    for (int k = 0; k < count; k++) {
        const SxPlayer *who = &problem->team->players[players[k]];
        Phrase phrase = {.used = 0};
        const char *between = ": ";
        sx_phrase_add(&phrase, "  #%d %s", who->number, who->name);
        for (int role = 0; role < SX_ROLE_COUNT; role++) {
            if (who->fitness[role] > 0) {
                sx_phrase_add(&phrase, "%s%s", between, sx_role_name((SxRole)role));
                between = ", ";
            }
        }
        sx_lines_wrap_spaced(out, phrase.text, 6);
    }
}

void sx_prices_text(FILE *out, const SxProblem *problem, const SxLineup *lineup,
                    const SxPrices *prices) {
    int binding = 0, unknown = prices->left_out;
    for (int k = 0; k < prices->count; k++) {
        const SxPrice *price = &prices->price[k];
        unknown += !price->known;
        if (price->known && (price->binds || price->rotation >= 0)) {
            if (binding++ == 0) {
                fputs("\nWhat the wishes cost, each alone, in sets of 100\n", out);
            }
            print_price(out, problem, price);
        }
    }
    if (binding == 0 && prices->count > unknown) {
        fputs("\nThe wishes cost nothing: the lineup would be as good without any one of them.\n",
              out);
    }
    if (unknown) {
        fprintf(out, "  %d %s not priced.\n", unknown, unknown == 1 ? "wish was" : "wishes were");
    }
    print_bench(out, problem, lineup);
}

void sx_kept_prices_text(FILE *out, const SxProblem *problem, const SxPrices *prices) {
    int told = 0;
    for (int k = 0; k < prices->count; k++) {
        const SxPrice *price = &prices->price[k];
        if (price->known && price->rotation >= 0) {
            if (told++ == 0) {
                fputs("\nWhat your own formations cost, each alone, in sets of 100\n", out);
            }
            print_price(out, problem, price);
        }
    }
}

void sx_price_list_json(cJSON *root, const SxProblem *problem, const SxPrices *prices) {
    cJSON *list = sx_put_array(root, "prices");
    for (int k = 0; k < prices->count; k++) {
        const SxPrice *price = &prices->price[k];
        char what[2 * SX_NAME_SIZE + SX_WISH_ORIGIN + 128];
        if (!price->known) {
            continue;
        }
        cJSON *item = sx_push_object(list);
        name_it(price, problem, what, sizeof what);
        sx_put_text(item, "wish", what);
        sx_put_bool(item, "binds", price->binds);
        sx_put_number(item, "sets", price->sets);
        if (price->rotation >= 0) {
            sx_put_number(item, "rotation", price->rotation + 1);
            sx_put_number(item, "run", price->run);
        }
        sx_json_players(item, "sits", problem->team, price->sits, price->sit_count);
    }
}

void sx_prices_json(cJSON *root, const SxProblem *problem, const SxLineup *lineup,
                    const SxPrices *prices) {
    sx_price_list_json(root, problem, prices);
    int players[SX_MAX_PLAYERS];
    const int count = sx_bench_of(problem, lineup, players);
    sx_json_players(root, "bench", problem->team, players, count);
}
