/* Exchanges that are made or undone, and rules of thumb, as a coach says them. */
#include "report/lines.h"
#include "sixturn/sentences.h"

#include <stdio.h>

static const double SETS = 100;

/* "4 back for 15", "6 and 8 back for 7 and 1" */
static void phrase_undo(Phrase *phrase, const SxConsidered *it, const SxTeam *team) {
    sx_phrase_numbers(phrase, team, it->out, it->places);
    sx_phrase_add(phrase, " back for ");
    sx_phrase_numbers(phrase, team, it->in, it->places);
}

char *sx_move_text(const SxAdvice *advice, const SxTeam *team, unsigned make, unsigned undo,
                   char *text, size_t size) {
    Phrase phrase = {.used = 0};
    for (int m = 0; m < advice->count; m++) {
        const SxConsidered *it = &advice->exchange[m];
        char one[LINE_WIDTH];
        if (make >> m & 1) {
            sx_phrase_add(&phrase, "%s%s", phrase.used ? "; " : "",
                          sx_considered_text(it, team, one, sizeof one));
        }
        if (undo >> m & 1) {
            sx_phrase_add(&phrase, "%s", phrase.used ? "; " : "");
            phrase_undo(&phrase, it, team);
        }
    }
    snprintf(text, size, "%s", phrase.used ? phrase.text : "nobody changes");
    return text;
}

static void phrase_when(Phrase *phrase, const SxThumbRule *rule) {
    const bool behind = rule->least_lead > -SX_ANY_LEAD, ahead = rule->most_lead < SX_ANY_LEAD;
    sx_phrase_add(phrase, "in rotation %d when we %s", rule->ours + 1,
                  rule->phase == SX_SERVE ? "serve" : "receive");
    if (behind && ahead && rule->least_lead == -rule->most_lead) {
        sx_phrase_add(phrase, " and lead or trail by at most %d", rule->most_lead);
    } else if (behind && ahead) {
        sx_phrase_add(phrase, ", trail by at most %d and lead by at most %d", -rule->least_lead,
                      rule->most_lead);
    } else if (behind) {
        sx_phrase_add(phrase, " and do not trail by more than %d", -rule->least_lead);
    } else if (ahead) {
        sx_phrase_add(phrase, " and do not lead by more than %d", rule->most_lead);
    }
    if (rule->from_points > 0) {
        sx_phrase_add(phrase, ", once %d points are played", rule->from_points);
    }
}

/* She comes back to a place where the libero stands in for her. */
static void phrase_libero(Phrase *phrase, const SxConsidered *it, const SxTeam *team,
                          const SxLineup *lineup, const SxThumbRule *rule) {
    for (int k = 0; k < it->places && !rule->make; k++) {
        const int here = sx_on_court(lineup, rule->ours, rule->phase, it->slot[k]);
        if (here != it->out[k] && sx_is_nominated(lineup, here)) {
            sx_phrase_add(phrase, ", then the libero for %d", team->players[it->out[k]].number);
        }
    }
}

char *sx_thumb_rule_text(const SxAdvice *advice, const SxTeam *team, const SxLineup *lineup,
                         const SxThumbRule *rule, char *text, size_t size) {
    const unsigned exchange = 1u << rule->exchange;
    char move[LINE_WIDTH];
    Phrase when = {.used = 0}, libero = {.used = 0};
    phrase_when(&when, rule);
    sx_move_text(advice, team, rule->make ? exchange : 0, rule->make ? 0 : exchange, move,
                 sizeof move);
    phrase_libero(&libero, &advice->exchange[rule->exchange], team, lineup, rule);
    snprintf(text, size, "%s%s: %s", move, libero.used ? libero.text : "", when.text);
    return text;
}

char *sx_thumb_worth_text(const SxThumb *card, char *text, size_t size) {
    SX_PLAIN_NUMBERS;
    snprintf(text, size,
             "They keep %.1f of the %.1f sets in 100 that best play gains; %.1f are won by them, "
             "%.1f if nobody changes.",
             SETS * (card->win - card->win_without), SETS * (card->win_best - card->win_without),
             SETS * card->win, SETS * card->win_without);
    return text;
}
