/* The best move at a moment, and the card of rules of thumb, as text. */
#include "report/matchday.h"
#include "sixturn/oddsreport.h"
#include "sixturn/sentences.h"

#include <math.h>
#include <string.h>

enum { INDENT = 10, NEXT_BEST = 2 };
static const double SETS = 100;
/* Gains that round to 0.0 sets in 100. */
static const double NOTHING = 0.0005;
static const double SHOWN = 0.001; /* a tenth of a set in 100 */

typedef struct {
    FILE *out;
    const SxProblem *problem;
    const SxLineup *lineup;
    const SxFixture *fixture;
    const SxAdvice *advice;
    const SxOutlook *planned; /* NULL: the lineup does not substitute by itself */
} View;

static void phrase_move(const View *view, Phrase *phrase, unsigned make, unsigned undo) {
    char text[LINES_TEXT];
    sx_phrase_add(phrase, "%s",
                  sx_move_text(view->advice, view->problem->team, make, undo, text, sizeof text));
}

static void phrase_sets(Phrase *phrase, double odds) {
    sx_phrase_add(phrase, "%.1f", SETS * fabs(odds));
}

static void print_head(const View *view) {
    const SxAdvice *advice = view->advice;
    Phrase head = {.used = 0};
    sx_phrase_add(&head, "%s, %d-%d%s: our rotation %d, %s", view->problem->team->name,
                  advice->our_points, advice->their_points,
                  advice->deciding ? " in the deciding set" : "", advice->serve.ours + 1,
                  advice->serve.phase == SX_SERVE ? "we serve" : "they serve");
    if (view->fixture->opponent->rotations_told > 1 && advice->theirs_known) {
        sx_phrase_add(&head, ", their rotation %d", advice->serve.theirs + 1);
    } else if (!advice->theirs_known) {
        sx_phrase_add(&head, ", their rotation not said (each of six counts alike)");
    }
    if (advice->left == SX_UNLIMITED) {
        sx_phrase_add(&head, "; substitutions without a limit");
    } else {
        sx_phrase_add(&head, "; %d of %d substitutions left", advice->left,
                      view->problem->rules->substitutions);
    }
    sx_lines_wrap(view->out, 0, 0, head.text);
    if (view->fixture->measured) {
        fprintf(view->out, "How often we win the rally: from our own log of %d rallies\n",
                view->fixture->measured->rallies);
    }
}

/* --- where to start -----------------------------------------------------------------------------
 */

/* "in rotation 6 if they serve first, in 1 if we do" */
static void phrase_starts(Phrase *phrase, int receiving, int serving) {
    if (receiving == serving) {
        sx_phrase_add(phrase, "in rotation %d whoever serves first", receiving + 1);
    } else {
        sx_phrase_add(phrase, "in rotation %d if they serve first, in %d if we do", receiving + 1,
                      serving + 1);
    }
}

static void phrase_reply(Phrase *phrase, const SxStarts *starts, int theirs) {
    phrase_starts(phrase, starts->reply[SX_RECEIVE][theirs], starts->reply[SX_SERVE][theirs]);
}

static double most_gained(const SxStarts *starts) {
    double most = 0;
    for (int phase = 0; phase < SX_PHASES; phase++) {
        for (int theirs = 0; theirs < SX_ROTATIONS; theirs++) {
            const double(*win)[SX_ROTATIONS] = starts->win[phase];
            most = fmax(most, win[starts->reply[phase][theirs]][theirs] -
                                  win[starts->start[phase]][theirs]);
        }
    }
    return most;
}

static void print_replies(const View *view, const SxStarts *starts) {
    static const char *const first[SX_PHASES] = {
        [SX_RECEIVE] = "they serve first", [SX_SERVE] = "we serve first"};
    fprintf(view->out, "%-*s%-18s", INDENT, "", "their start");
    for (int theirs = 0; theirs < SX_ROTATIONS; theirs++) {
        fprintf(view->out, "%8d", theirs + 1);
    }
    for (int phase = 0; phase < SX_PHASES; phase++) {
        fprintf(view->out, "\n%-*s%-18s", INDENT, "", first[phase]);
        for (int theirs = 0; theirs < SX_ROTATIONS; theirs++) {
            fprintf(view->out, "%8d", starts->reply[phase][theirs] + 1);
        }
        fprintf(view->out, "\n%-*s%-18s", INDENT, "", "  sets in 100 more");
        for (int theirs = 0; theirs < SX_ROTATIONS; theirs++) {
            const double(*win)[SX_ROTATIONS] = starts->win[phase];
            fprintf(view->out, "%+8.1f",
                    sx_plain_value(SETS * (win[starts->reply[phase][theirs]][theirs] -
                                           win[starts->start[phase]][theirs]),
                                   1));
        }
    }
    fputc('\n', view->out);
}

/* Their start as said, and what changes when they turn their order between two sets. */
static void phrase_turns(Phrase *line, const SxStarts *starts, int theirs) {
    const int on = (theirs + 1) % SX_ROTATIONS, back = (theirs + SX_ROTATIONS - 1) % SX_ROTATIONS;
    phrase_reply(line, starts, theirs);
    sx_phrase_add(line, ", as they start in %d. If they turn on to %d: ", theirs + 1, on + 1);
    phrase_reply(line, starts, on);
    sx_phrase_add(line, "; back to %d: ", back + 1);
    phrase_reply(line, starts, back);
}

/* Between two sets: the answer to their start. */
static void print_starts(const View *view, const SxStarts *starts) {
    const SxAdvice *advice = view->advice;
    const bool matters = most_gained(starts) >= SHOWN;
    Phrase line = {.used = 0};
    sx_phrase_add(&line, "Start     ");
    if (matters && advice->theirs_known) {
        phrase_turns(&line, starts, advice->serve.theirs);
    } else {
        phrase_starts(&line, starts->start[SX_RECEIVE], starts->start[SX_SERVE]);
        sx_phrase_add(&line, view->problem->plan->start >= 0 ? ", as the plan says"
                             : matters                       ? ", while theirs is not known"
                                                             : "");
    }
    sx_phrase_add(&line, matters ? ". Best against each start of theirs:"
                                 : ", wherever they start and however they turn their order: "
                                   "another start gains less than a tenth of a set in 100");
    sx_lines_wrap_spaced(view->out, line.text, INDENT);
    if (matters) {
        print_replies(view, starts);
    }
}

/* --- what to do ---------------------------------------------------------------------------------
 */

static bool is_hold(const SxChoice *move) {
    return !move->make && !move->undo;
}

static void print_do(const View *view) {
    const SxChoice *best = &view->advice->move[0];
    Phrase line = {.used = 0};
    sx_phrase_add(&line, "Do now    ");
    phrase_move(view, &line, best->make, best->undo);
    if (best->win - view->advice->hold < NOTHING) {
        sx_phrase_add(&line, "; but to hold for a rally costs next to nothing");
    } else {
        sx_phrase_add(&line, ": ");
        phrase_sets(&line, best->win - view->advice->hold);
        sx_phrase_add(&line, " sets in 100 more than to hold for this rally");
    }
    sx_lines_wrap_spaced(view->out, line.text, INDENT);
}

static void print_until(const View *view) {
    const SxNextChange *next = &view->advice->next;
    Phrase line = {.used = 0};
    sx_phrase_add(&line, "Until     ");
    if (!(next->ever > 0)) {
        sx_phrase_add(&line, "the end: no change pays any more in this set");
    } else {
        sx_phrase_add(&line,
                      "a change pays, as it will in %.0f of 100 sets from here, at %.0f-%.0f on "
                      "average; most often ",
                      SETS * next->ever, next->our_points, next->their_points);
        phrase_move(view, &line, next->make, next->undo);
        sx_phrase_add(&line, " when we %s in rotation %d",
                      next->phase == SX_SERVE ? "serve" : "receive", next->ours + 1);
    }
    sx_lines_wrap_spaced(view->out, line.text, INDENT);
}

static void print_hold(const View *view) {
    const SxAdvice *advice = view->advice;
    fputs("Do now    hold: nobody changes", view->out);
    fputs(advice->count == 0   ? "; nobody on the bench would help here\n"
          : advice->moves == 1 ? "; the rules allow no change that was considered\n"
                               : "\n",
          view->out);
    if (advice->count > 0) {
        print_until(view);
    }
}

static void print_next_best(const View *view) {
    const SxAdvice *advice = view->advice;
    for (int k = 1; k < advice->moves && k < NEXT_BEST; k++) {
        const SxChoice *move = &advice->move[k];
        const double loss = advice->move[0].win - move->win;
        Phrase line = {.used = 0};
        sx_phrase_add(&line, "Next best ");
        if (is_hold(move)) {
            sx_phrase_add(&line, "to hold");
        } else {
            phrase_move(view, &line, move->make, move->undo);
        }
        if (loss < NOTHING) {
            sx_phrase_add(&line, ", as good but for less than a twentieth of a set in 100");
        } else {
            sx_phrase_add(&line, ": ");
            phrase_sets(&line, loss);
            sx_phrase_add(&line, " less");
        }
        sx_lines_wrap_spaced(view->out, line.text, INDENT);
    }
}

static void print_odds(const View *view) {
    const SxAdvice *advice = view->advice;
    fprintf(view->out, "Then      %.1f sets of 100 are won with best play from here",
            SETS * advice->move[0].win);
    fprintf(view->out, "; %.1f if nobody\n%*schanges any more\n", SETS * advice->without, INDENT,
            "");
}

/* --- who may come and go ------------------------------------------------------------------------
 */

static const char *standing_word(const View *view, int m) {
    const SxAdvice *advice = view->advice;
    switch (advice->state[m]) {
    case SX_EXCHANGE_FRESH:
        return advice->may_make[m] ? "can be made" : "cannot be made now";
    case SX_EXCHANGE_MADE:
        return advice->may_undo[m] ? "made, may go back" : "made, cannot go back";
    case SX_EXCHANGE_UNDONE:
        break;
    }
    return advice->may_make[m] ? "went back, may return" : "went back, used up";
}

/* Compared with holding, if this alone is done now; NAN if it cannot be. */
static double gain_alone(const SxAdvice *advice, int m) {
    const bool undo = advice->state[m] == SX_EXCHANGE_MADE;
    for (int k = 0; k < advice->moves; k++) {
        const SxChoice *move = &advice->move[k];
        if (move->make == (undo ? 0 : 1u << m) && move->undo == (undo ? 1u << m : 0)) {
            return move->win - advice->hold;
        }
    }
    return NAN;
}

static void print_exchange(const View *view, int m) {
    enum { EXCHANGE_WIDTH = 49, STANDING_WIDTH = 24 };
    const SxConsidered *it = &view->advice->exchange[m];
    char text[LINE_WIDTH];
    const double gain = gain_alone(view->advice, m);
    fputs("  ", view->out);
    sx_lines_field(view->out, sx_considered_text(it, view->problem->team, text, sizeof text),
                   EXCHANGE_WIDTH);
    sx_lines_field(view->out, standing_word(view, m), STANDING_WIDTH);
    if (isnan(gain)) {
        fputs("   -\n", view->out);
    } else {
        fprintf(view->out, "%+5.1f\n", sx_plain_value(SETS * gain, 1));
    }
}

static void print_exchanges(const View *view) {
    const SxAdvice *advice = view->advice;
    if (advice->count == 0) {
        return;
    }
    const int others = advice->count - advice->own.found;
    fprintf(view->out, "\n%-73s%s\n",
            others == 0               ? "Exchanges considered"
            : advice->named == others ? "Exchanges considered, as told"
            : advice->named == 0      ? "Exchanges considered, from the bench by sixturn"
                                      : "Exchanges considered, as told and from the bench",
            "  now");
    for (int m = 0; m < advice->count; m++) {
        print_exchange(view, m);
    }
}

/* How to tell it: "6:7+8:1" */
static void phrase_told(const View *view, Phrase *phrase, const char *option) {
    const SxConsidered *it = &view->advice->own.exchange;
    const SxPlayer *players = view->problem->team->players;
    sx_phrase_add(phrase, "%s", option);
    for (int k = 0; k < it->places; k++) {
        sx_phrase_add(phrase, "%s%d:%d", k ? "+" : " ", players[it->out[k]].number,
                      players[it->in[k]].number);
    }
}

static unsigned not_planned(const SxOwnSix *six) {
    unsigned rotations = 0;
    for (int r = 0; r < SX_ROTATIONS; r++) {
        rotations |= six->planned[r] ? 0 : 1u << r;
    }
    return rotations;
}

/* Which of the lineup's own are on court, and how they play in rotations that are not theirs. */
static void print_own(const View *view) {
    const SxOwnChange *own = &view->advice->own;
    const SxConsidered *it = &own->exchange;
    const bool made = view->advice->state[view->advice->count - 1] == SX_EXCHANGE_MADE;
    Phrase line = {.used = 0};
    sx_phrase_add(&line, "On court: ");
    sx_phrase_numbers(&line, view->problem->team, made ? it->in : it->out, it->places);
    if (!view->advice->own_told) {
        sx_phrase_add(&line, " (if not, say ");
        phrase_told(view, &line, made ? "--back" : "--made");
        const bool counts = view->advice->left != SX_UNLIMITED && !view->advice->used_told;
        sx_phrase_add(&line, counts ? "; how many were made, with --used)" : ")");
    }
    for (int side = 0; side < 2; side++) {
        const SxOwnSix *six = side ? &own->come : &own->stay;
        sx_phrase_add(&line, side ? "; if " : ". If ");
        sx_phrase_numbers(&line, view->problem->team, side ? it->in : it->out, it->places);
        sx_phrase_add(&line, " %s on in ", it->places > 1 ? "stay" : "stays");
        sx_phrase_rotations(&line, not_planned(six));
        sx_phrase_add(&line, ", play as %s there", six->system);
    }
    sx_phrase_add(&line, ".");
    sx_lines_wrap(view->out, 0, 0, line.text);
}

static void print_return(const View *view) {
    const bool once = view->problem->rules->reentry == SX_REENTRY_ONCE_SAME_SUBSTITUTE;
    fputs(once ? "A starter goes out once and comes back once, for the same substitute.\n"
               : "Players may go and come back again, always to the same place.\n",
          view->out);
    if (view->advice->own.found) {
        print_own(view);
    }
    if (view->advice->planned) {
        const bool none = view->planned && sx_makes_none(view->planned);
        fputs("The lineup's own substitutions go on beside these and are not counted here: say\n"
              "with --used how many of them were made.\n",
              view->out);
        if (none) {
            sx_lines_line(view->out,
                          "As it is best to make none of them, ask with --system %s instead.",
                          view->planned->after[0].system);
        }
    }
}

/* When to make the lineup's own substitutions. */
static void print_planned(const View *view) {
    fputs("\nThe lineup's own substitutions, from the start of the set\n", view->out);
    sx_stopping_lines(view->out, view->planned);
}

static void print_standing(const View *view) {
    fputs("\nExact for the rally odds of the model or the log, which are an estimate; a gain\n"
          "of a few tenths is within what ratings can say. The referees' count prevails.\n",
          view->out);
}

/* --- the card -----------------------------------------------------------------------------------
 */

static void print_rule(const View *view, const SxThumbRule *rule, int number) {
    char text[LINES_TEXT];
    Phrase line = {.used = 0};
    sx_phrase_add(&line, "%d. %s", number,
                  sx_thumb_rule_text(view->advice, view->problem->team, view->lineup, rule, text,
                                     sizeof text));
    sx_lines_wrap_spaced(view->out, line.text, 3);
}

static void print_card(const View *view, const SxThumb *card) {
    char worth[LINES_TEXT];
    fprintf(view->out, "\nRules of thumb%s\n",
            view->advice->serving_known ? "" : ", whoever serves first");
    for (int k = 0; k < card->count; k++) {
        print_rule(view, &card->rule[k], k + 1);
    }
    if (card->count == 0) {
        fputs("Change nobody: no rule gains a twentieth of a set in 100.\n", view->out);
    }
    sx_lines_wrap(view->out, 0, 0, sx_thumb_worth_text(card, worth, sizeof worth));
    if (!view->advice->serving_known) {
        sx_lines_line(view->out,
                      "Counted is a start in rotation %d, whoever serves first; plan and odds take "
                      "the best start for each, and %s.",
                      view->advice->serve.ours + 1,
                      view->advice->own.found ? "make the lineup's own changes only"
                                              : "nobody changes");
    }
}

char *sx_moment_text(const SxProblem *problem, const SxLineup *lineup, const SxFixture *fixture,
                     const SxAdvice *advice, const SxStarts *starts, const SxThumb *card,
                     const SxOutlook *planned) {
    Lines page;
    if (!sx_lines_open(&page)) {
        return NULL;
    }
    const View view = {page.out, problem, lineup, fixture, advice, planned};
    print_head(&view);
    if (planned) {
        print_planned(&view);
    }
    if (starts) {
        fputc('\n', page.out);
        print_starts(&view, starts);
    }
    if (card && planned) {
        fputs("\nRules of thumb for the bench beside these are not given: both would use up the\n"
              "same substitutions.\n",
              page.out);
    } else if (card) {
        print_card(&view, card);
    } else {
        fputs(starts ? "" : "\n", page.out);
        if (is_hold(&advice->move[0])) {
            print_hold(&view);
        } else {
            print_do(&view);
        }
        print_next_best(&view);
        print_odds(&view);
        print_exchanges(&view);
    }
    print_return(&view);
    print_standing(&view);
    sx_lines_caution(page.out);
    return sx_lines_close(&page);
}
