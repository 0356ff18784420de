/* Set odds as text, 80 columns wide, for a coach at a terminal. */
#include "sixturn/oddsreport.h"

#include "core/numbers.h"
#include "core/stream.h"
#include "report/lines.h"
#include "report/matchday.h"
#include "sixturn/sentences.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

/* Odds that differ by less are told as no difference: far within what ratings can say. */
static const double NO_DIFFERENCE = 0.005;
static const double SHOWN = 0.001; /* a tenth of a set in 100 */
static const double RARE = 0.005;  /* not shown in a list of chances */
enum { ODDS_WIDTH = 79 };

typedef struct {
    FILE *out;
    const SxProblem *problem;
    const SxFixture *fixture;
    const SxForecast *forecast;
} View;

static const char *const first_service[SX_PHASES] = {
    [SX_RECEIVE] = "they serve first", [SX_SERVE] = "we serve first"};

static double percent(double chance) {
    return 100 * chance;
}

static bool their_rotations_differ(const View *page) {
    return page->fixture->opponent->rotations_told > 1;
}

static void print_head(const View *page) {
    const SxRallyModel *model = page->fixture->model;
    const SxLevel *level = &model->levels[model->level];
    const SxOpponent *opponent = page->fixture->opponent;
    fprintf(page->out, "%s against %s\n", page->problem->team->name, opponent->name);
    if (opponent->even) {
        fputs("(in each rotation as good as our own squad at its best)\n", page->out);
    }
    fprintf(page->out, "System %s, rules %s\n", page->problem->system->id,
            page->problem->rules->id);
    fprintf(page->out, "Level of play: %s (side-out %.2f between average teams)\n", level->name,
            level->side_out);
    if (page->fixture->measured) {
        fprintf(page->out, "How often we win the rally: from our own log of %d rallies\n",
                page->fixture->measured->rallies);
    }
}

static void print_rotations(const View *page) {
    const SxOutlook *outlook = &page->forecast->outlook;
    fputs("\nOur rotations        side-out  break     rallies a set     points a set  how\n"
          "  server                        point   receive   serve   for   against  often\n",
          page->out);
    for (int r = 0; r < SX_ROTATIONS; r++) {
        const double receive = outlook->rallies_in[r][SX_RECEIVE];
        const double serve = outlook->rallies_in[r][SX_SERVE];
        const double *points = outlook->points_in[r];
        const int server = sx_on_court(&page->forecast->lineup, r, SX_SERVE, r);
        fprintf(page->out,
                "  %d  #%-3d serves        %.3f    %.3f   %6.2f  %6.2f  %6.2f  %6.2f  %5.1f %%\n",
                r + 1, page->problem->team->players[server].number,
                receive > 0 ? points[SX_RECEIVE] / receive : 0.0,
                serve > 0 ? points[SX_SERVE] / serve : 0.0, receive, serve,
                points[SX_RECEIVE] + points[SX_SERVE],
                receive + serve - points[SX_RECEIVE] - points[SX_SERVE],
                percent(outlook->share[r]));
    }
}

static void print_weights(const View *page) {
    const SxForecast *forecast = page->forecast;
    if (page->problem->plan->rotation_weight_given) {
        fputs("The lineup weighs the rotations as the plan says.\n", page->out);
    } else if (forecast->settled) {
        fputs("The lineup counts each rotation as often as it is played.\n", page->out);
    } else {
        fprintf(page->out,
                "The lineup counts each rotation as often as it is played: the two did not come\n"
                "to agree in %d rounds, this is the last.\n",
                forecast->rounds);
    }
}

static void print_starts(const View *page) {
    const SxOutlook *outlook = &page->forecast->outlook;
    const double(*mean)[SX_ROTATIONS] = outlook->set.mean;
    fprintf(page->out, "\nOdds of a set to %d, by the rotation we start in\n",
            page->problem->rules->set_points);
    if (outlook->substitutes && outlook->substitution_limit != SX_UNLIMITED) {
        fputs("(the limit of substitutions counted, with the best rule for when to stop)\n",
              page->out);
    }
    fputs("               they serve first   we serve first\n", page->out);
    for (int r = 0; r < SX_ROTATIONS; r++) {
        fprintf(page->out, "  rotation %d       %5.1f %%%s          %5.1f %%%s\n", r + 1,
                percent(mean[SX_RECEIVE][r]), r == outlook->set.best[SX_RECEIVE] ? "*" : " ",
                percent(mean[SX_SERVE][r]), r == outlook->set.best[SX_SERVE] ? "*" : "");
    }
    fputs("  * the best start", page->out);
    fputs(their_rotations_differ(page) ? "; their start unknown, all six equally likely\n" : "\n",
          page->out);
}

/* Their start across, ours down. */
static void print_pairings(const View *page, SxPhase phase) {
    const SxStartOdds *set = &page->forecast->outlook.set;
    fprintf(page->out, "\nIf %s, by their start (across) and ours (down)\n          ",
            first_service[phase]);
    for (int theirs = 0; theirs < SX_ROTATIONS; theirs++) {
        fprintf(page->out, "%8d", theirs + 1);
    }
    fputs("   worst\n", page->out);
    for (int ours = 0; ours < SX_ROTATIONS; ours++) {
        fprintf(page->out, "  %d       ", ours + 1);
        for (int theirs = 0; theirs < SX_ROTATIONS; theirs++) {
            fprintf(page->out, "%7.1f%c", percent(set->win[phase][ours][theirs]),
                    set->reply[phase][theirs] == ours ? '*' : ' ');
        }
        fprintf(page->out, "%7.1f\n", percent(set->worst[phase][ours]));
    }
    fprintf(page->out, "  * our best reply. Safe choice: rotation %d, %.1f %% whatever they do.\n",
            set->safe[phase] + 1, percent(set->worst[phase][set->safe[phase]]));
}

static void print_choice(const View *page) {
    const SxOutlook *outlook = &page->forecast->outlook;
    const int *start = outlook->start;
    const double receive = outlook->set.mean[SX_RECEIVE][start[SX_RECEIVE]];
    const double serve = outlook->set.mean[SX_SERVE][start[SX_SERVE]];
    if (page->problem->plan->start >= 0) {
        fprintf(page->out, "\nThe plan starts in rotation %d.", start[SX_SERVE] + 1);
    } else if (start[SX_RECEIVE] == start[SX_SERVE]) {
        fprintf(page->out, "\nStart in rotation %d.", start[SX_SERVE] + 1);
    } else {
        fprintf(page->out,
                "\nStart in rotation %d when they serve first, in rotation %d when we do.",
                start[SX_RECEIVE] + 1, start[SX_SERVE] + 1);
    }
    if (fabs(receive - serve) < NO_DIFFERENCE) {
        fputs("\nServe or receive first: no difference to speak of.\n", page->out);
    } else {
        fprintf(page->out, "\nServe or receive first: %s, by %.1f percentage points.\n",
                receive > serve ? "receive" : "serve", percent(fabs(receive - serve)));
    }
}

/* The most that knowing their start gains. */
static double most_gained(const SxOutlook *outlook) {
    double most = 0;
    for (int phase = 0; phase < SX_PHASES; phase++) {
        for (int theirs = 0; theirs < SX_ROTATIONS; theirs++) {
            const double(*win)[SX_ROTATIONS] = outlook->set.win[phase];
            most = fmax(most, win[outlook->set.reply[phase][theirs]][theirs] -
                                  win[outlook->start[phase]][theirs]);
        }
    }
    return most;
}

/* Our best start by theirs, with what it gains on the one start for all. */
static void print_replies(const View *page) {
    const SxOutlook *outlook = &page->forecast->outlook;
    if (most_gained(outlook) < SHOWN) {
        fputs("Start so against any start of theirs, and if they turn their order between sets:\n"
              "another start gains less than a tenth of a set in 100.\n",
              page->out);
        return;
    }
    fputs("\nWhere to start if their start is known, and sets of 100 more than by the start\n"
          "above; they may turn their order between sets: then look at their new start\n"
          "  their start       ",
          page->out);
    for (int theirs = 0; theirs < SX_ROTATIONS; theirs++) {
        fprintf(page->out, "%8d", theirs + 1);
    }
    for (int phase = 0; phase < SX_PHASES; phase++) {
        const SxStartOdds *set = &outlook->set;
        fprintf(page->out, "\n  %-18s", first_service[phase]);
        for (int theirs = 0; theirs < SX_ROTATIONS; theirs++) {
            fprintf(page->out, "%8d", set->reply[phase][theirs] + 1);
        }
        fprintf(page->out, "\n%20s", "");
        for (int theirs = 0; theirs < SX_ROTATIONS; theirs++) {
            const double(*win)[SX_ROTATIONS] = set->win[phase];
            fprintf(page->out, "%+8.1f",
                    sx_plain_value(percent(win[set->reply[phase][theirs]][theirs] -
                                           win[outlook->start[phase]][theirs]),
                                   1));
        }
    }
    fputc('\n', page->out);
}

static void print_match(const View *page) {
    const SxOutlook *outlook = &page->forecast->outlook;
    const SxRules *rules = page->problem->rules;
    const int needed = rules->best_of / 2 + 1;
    fprintf(page->out, "\nOne set %.1f %%. The match, best of %d, deciding set to %d: %.1f %%\n ",
            percent(outlook->win), rules->best_of, rules->deciding_points,
            percent(outlook->match.win));
    for (int n = 0; n < needed; n++) {
        fprintf(page->out, " %d-%d %.1f %%,", needed, n, percent(outlook->match.won_to[n]));
    }
    for (int n = needed - 1; n >= 0; n--) {
        fprintf(page->out, " %d-%d %.1f %%%s", n, needed, percent(outlook->match.lost_to[n]),
                n > 0 ? "," : "\n");
    }
}

/* One chance of a list, on a new line if this one is full. */
static void print_chance(const View *page, int *column, int n, double chance) {
    char item[32];
    const int length = snprintf(item, sizeof item, " %d: %.0f %%,", n, percent(chance));
    if (*column + length > ODDS_WIDTH) {
        *column = fprintf(page->out, "\n   ") - 1;
    }
    *column += fprintf(page->out, "%s", item);
}

static void print_substitutions(const View *page, SxPhase phase) {
    const SxSubstitutionOdds *odds = &page->forecast->outlook.substitutions[phase];
    int column = fprintf(page->out, "  If %s:", first_service[phase]);
    for (int n = 0; n <= SX_MAX_ADVANCES; n++) {
        if (odds->needed[n] >= RARE) {
            print_chance(page, &column, n, odds->needed[n]);
        }
    }
    fprintf(page->out, "\n    %.1f on average.", odds->expected_needed);
    const SxAfterLimit *after = &page->forecast->outlook.after[phase];
    char text[SX_STOPPING_SIZE];
    fputc('\n', page->out);
    if (odds->runs_out > 0 && after->found) {
        sx_lines_wrap(
            page->out, 4, 4,
            sx_stopping_text(&page->forecast->outlook.stopping[phase], after, text, sizeof text));
        snprintf(text, sizeof text,
                 "So the changes end in %.1f %% of the sets, at about %.0f-%.0f. A set is then won "
                 "in %.1f %%; could the changes go on, in %.1f %%.",
                 percent(odds->runs_out), odds->our_score, odds->their_score, percent(odds->win),
                 percent(odds->win_unlimited));
        sx_lines_wrap(page->out, 4, 4, text);
    } else if (odds->runs_out > 0) {
        char times[SX_ORDINAL_SIZE];
        snprintf(text, sizeof text,
                 "They run out in %.1f %% of the sets, the %s time we rotate, at about %.0f-%.0f; "
                 "the six on court then fit no shipped system.",
                 percent(odds->runs_out), sx_ordinal(odds->runs_out_after, times, sizeof times),
                 odds->our_score, odds->their_score);
        sx_lines_wrap(page->out, 4, 4, text);
    }
}

static void print_limit(const View *page) {
    const int allowed = page->problem->rules->substitutions;
    const int limit = page->forecast->outlook.substitution_limit;
    if (!page->forecast->outlook.substitutes) {
        return;
    }
    fputs("\nSubstitutions the lineup asks for in a set", page->out);
    if (limit == SX_UNLIMITED) {
        fputs("; the rules set no limit\n", page->out);
    } else if (limit == allowed) {
        fprintf(page->out, ", of the %d allowed\n", limit);
    } else {
        fprintf(page->out, ". A starter may leave and return\nbut once, so %d are possible\n",
                limit);
    }
    for (int phase = 0; phase < SX_PHASES; phase++) {
        print_substitutions(page, (SxPhase)phase);
    }
}

/* How far the figures may be trusted. */
static void print_standing(const View *page) {
    const SxLevel *level = sx_rally_level(page->fixture->model);
    int constants = 0;
    for (int k = 0; k < SX_READINGS; k++) {
        constants += level->read[k];
    }
    fprintf(page->out,
            "\nThe chain from rally odds to set odds is exact; the rally odds are a model. For\n"
            "this level of play %d of its %d constants are invented (which ones:\n"
            "datasets/rally-model.json): trust which start is better more than the\n"
            "percentages.\n",
            level->read[SX_READ_INVENTED], constants);
}

char *sx_odds_text(const SxProblem *problem, const SxFixture *fixture, const SxForecast *forecast,
                   const SxPrices *prices) {
    SX_PLAIN_NUMBERS;
    SxStream text;
    if (!sx_stream_open(&text)) {
        return NULL;
    }
    const View page = {text.out, problem, fixture, forecast};
    print_head(&page);
    print_starts(&page);
    print_choice(&page);
    if (their_rotations_differ(&page)) {
        print_replies(&page);
    }
    for (int phase = 0; phase < SX_PHASES && their_rotations_differ(&page); phase++) {
        print_pairings(&page, (SxPhase)phase);
    }
    print_rotations(&page);
    print_weights(&page);
    print_match(&page);
    print_limit(&page);
    sx_kept_prices_text(page.out, problem, prices);
    print_standing(&page);
    return sx_stream_close(&text);
}
