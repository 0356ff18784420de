/* The question of the moment: what the coach says of the set, in words, becomes a standing. */
#include "session/questions.h"
#include "sixturn/oddsreport.h"

#include <stdio.h>
#include <string.h>

/* One or two digits; false if there are none. */
static bool take_points(const char **text, int *points) {
    const size_t digits = strspn(*text, "0123456789");
    *points = 0;
    for (size_t k = 0; k < digits && k < 2; k++) {
        *points = 10 * *points + ((*text)[k] - '0');
    }
    *text += digits;
    return digits == 1 || digits == 2;
}

static SxStatus read_score(const char *score, SxStanding *standing, SxError *err) {
    const char *at = score;
    if (!score) {
        return SX_OK;
    }
    const bool ours = take_points(&at, &standing->our_points) && *at == '-';
    at += ours;
    return ours && take_points(&at, &standing->their_points) && !*at
               ? SX_OK
               : sx_fail(err, SX_USAGE, "a score is written as 14-17, ours first; found '%s'",
                         score);
}

/* One name from the text up to a mark; false if it is empty or too long. */
static bool take_name(const char **text, const char *marks, char name[SX_ID_SIZE]) {
    const size_t length = strcspn(*text, marks);
    if (length == 0 || length >= SX_ID_SIZE) {
        return false;
    }
    memcpy(name, *text, length);
    name[length] = '\0';
    *text += length;
    return true;
}

static SxStatus not_an_exchange(const char *text, SxError *err) {
    return sx_fail(err, SX_USAGE,
                   "an exchange is written as 9:12, who starts and who comes in for her, or as "
                   "9:12+4:3 for two at once; found '%s'",
                   text);
}

/* Players as told, who goes out and who comes in. */
typedef struct {
    int places;
    int out[2], in[2];
} Swaps;

static SxStatus read_swaps(const SxTeam *team, const char *text, Swaps *swaps, SxError *err) {
    const char *rest = text;
    swaps->places = 0;
    do {
        char name[2][SX_ID_SIZE];
        const int k = swaps->places;
        rest += k > 0;
        if (k == 2 || !take_name(&rest, ":", name[0]) || *rest++ != ':' ||
            !take_name(&rest, "+", name[1])) {
            return not_an_exchange(text, err);
        }
        swaps->out[k] = sx_questions_player(team, name[0], err);
        swaps->in[k] = swaps->out[k] < 0 ? -1 : sx_questions_player(team, name[1], err);
        if (swaps->in[k] < 0) {
            return SX_USAGE;
        }
        swaps->places++;
    } while (*rest == '+');
    return SX_OK;
}

/* Away, or wished to sit; she may have played before. */
static bool is_out(const SxProblem *problem, int player) {
    return !problem->team->players[player].available ||
           sx_plan_has_wish(problem->plan, SX_MUST_SIT, player);
}

static SxStatus check_here(const SxAnswer *answer, const SxConsidered *it, SxError *err) {
    for (int k = 0; k < it->places; k++) {
        if (is_out(answer->problem, it->in[k])) {
            const SxPlayer *players = answer->problem->team->players;
            return sx_fail(err, SX_USAGE,
                           "#%d cannot come in for #%d: she is away, or the plan has her sit",
                           players[it->in[k]].number, players[it->out[k]].number);
        }
    }
    return SX_OK;
}

static bool same_exchange(const SxConsidered *a, const SxConsidered *b) {
    bool same = a->places == b->places;
    for (int k = 0; same && k < a->places; k++) {
        const int l = a->places == 2 && a->slot[0] != b->slot[0] ? 1 - k : k;
        same = a->slot[k] == b->slot[l] && a->in[k] == b->in[l];
    }
    return same;
}

/* What is told of the lineup's own change, by place: a bit for each that is told so. */
typedef struct {
    SxOwnChange change;
    unsigned told[SX_EXCHANGE_UNDONE + 1];
} Own;

static unsigned all_told(const Own *own) {
    return own->told[SX_EXCHANGE_FRESH] | own->told[SX_EXCHANGE_MADE] |
           own->told[SX_EXCHANGE_UNDONE];
}

/* The places of the lineup's own change that are told of; 0: it is about others. */
static unsigned own_places(const SxConsidered *it, const Swaps *swaps) {
    unsigned places = 0;
    for (int j = 0; j < swaps->places; j++) {
        unsigned place = 0;
        for (int k = 0; k < it->places; k++) {
            const bool same = swaps->out[j] == it->out[k] && swaps->in[j] == it->in[k];
            place |= same ? 1u << k : 0;
        }
        if (!place) {
            return 0;
        }
        places |= place;
    }
    return places;
}

/* Takes what is told of it; false if it is about others. Told the other way round, the set started
 * with the other six. */
static bool take_own(Own *own, const Swaps *swaps, SxExchangeState state) {
    if (!own->change.found) {
        return false;
    }
    unsigned places = own_places(&own->change.exchange, swaps);
    if (!places && !all_told(own)) {
        SxOwnChange turned = own->change;
        sx_own_change_turn(&turned);
        places = own_places(&turned.exchange, swaps);
        own->change = places ? turned : own->change;
    }
    own->told[state] |= places;
    return places != 0;
}

/* Both places are told alike, or none. */
static SxStatus settle_own(const SxTeam *team, const Own *own, SxStanding *standing, SxError *err) {
    const SxConsidered *it = &own->change.exchange;
    const unsigned both = (1u << it->places) - 1;
    const unsigned moved = own->told[SX_EXCHANGE_MADE] | own->told[SX_EXCHANGE_UNDONE];
    standing->own = &own->change;
    standing->own_state = !moved                        ? SX_NOT_SAID
                          : own->told[SX_EXCHANGE_MADE] ? SX_EXCHANGE_MADE
                                                        : SX_EXCHANGE_UNDONE;
    if (!moved || own->told[standing->own_state] == both) {
        return SX_OK;
    }
    const SxPlayer *players = team->players;
    return sx_fail(err, SX_USAGE,
                   "the lineup's own substitution changes two places at once: %d:%d+%d:%d",
                   players[it->out[0]].number, players[it->in[0]].number,
                   players[it->out[1]].number, players[it->in[1]].number);
}

static SxStatus add_exchange(const SxConsidered *it, const char *text, SxExchangeState state,
                             SxStanding *standing, SxError *err) {
    int m = 0;
    while (m < standing->count && !same_exchange(it, &standing->named[m])) {
        m++;
    }
    if (m < standing->count) { /* one that is only considered may be made already */
        return state == SX_EXCHANGE_FRESH ? SX_OK
                                          : sx_fail(err, SX_USAGE, "%s is told twice", text);
    }
    if (m == SX_MAX_EXCHANGES) {
        return sx_fail(err, SX_USAGE, "more than %d exchanges are told", SX_MAX_EXCHANGES);
    }
    standing->named[m] = *it;
    standing->state[m] = state;
    standing->count++;
    return SX_OK;
}

/* Adds the exchanges of a list in this state. */
static SxStatus add_list(const SxSession *session, const SxAnswer *answer,
                         const SxExchangeNames *names, SxExchangeState state, Own *own,
                         SxStanding *standing, SxError *err) {
    SxStatus status = SX_OK;
    for (int k = 0; k < names->count && status == SX_OK; k++) {
        Swaps swaps;
        SxConsidered it;
        status = read_swaps(&session->team, names->item[k], &swaps, err);
        if (status != SX_OK || take_own(own, &swaps, state)) {
            continue;
        }
        status = sx_consider_named(answer->problem, &answer->moment.forecast.lineup,
                                   answer->fixture, swaps.places, swaps.out, swaps.in, &it, err);
        if (status == SX_OK && state != SX_EXCHANGE_UNDONE) {
            status = check_here(answer, &it, err);
        }
        if (status == SX_OK) {
            status = add_exchange(&it, names->item[k], state, standing, err);
        }
    }
    return status;
}

/* Where players may return any number of times, one who went back and is out now may not: what she
 * was in for counts among the substitutions and is nothing to think of any more. */
static void forget_who_is_out(const SxAnswer *answer, SxStanding *standing) {
    int told = 0, kept = 0;
    for (int m = 0; m < standing->count; m++) {
        told += (int)standing->state[m] * standing->named[m].places; /* back: out and in again */
    }
    for (int m = 0; m < standing->count; m++) {
        if (standing->state[m] == SX_EXCHANGE_UNDONE &&
            check_here(answer, &standing->named[m], NULL) != SX_OK) {
            standing->used = standing->used == SX_NOT_SAID ? told : standing->used;
            continue;
        }
        standing->named[kept] = standing->named[m];
        standing->state[kept++] = standing->state[m];
    }
    standing->count = kept;
}

/* A set starts as the lineup does unless another start is said. */
static SxStatus find_own(const SxMomentAsk *ask, const SxAnswer *answer, const SxStanding *standing,
                         SxOwnChange *own, SxError *err) {
    const SxLineup *lineup = &answer->moment.forecast.lineup;
    const bool begins = standing->our_points + standing->their_points == 0;
    const int start = ask->started != SX_NOT_SAID              ? ask->started
                      : begins && ask->rotation != SX_NOT_SAID ? ask->rotation
                                                               : lineup->start;
    return sx_own_change(answer->problem, lineup, answer->fixture, start, own, err);
}

static SxStatus read_standing(const SxSession *session, const SxMomentAsk *ask,
                              const SxAnswer *answer, Own *own, SxStanding *standing,
                              SxError *err) {
    *standing = (SxStanding){.ours = ask->rotation,
                             .serving = ask->serving,
                             .theirs = ask->their_rotation,
                             .used = ask->used,
                             .deciding = ask->deciding,
                             .from_bench = ask->consider.count == 0};
    SxStatus status = read_score(ask->score, standing, err);
    if (status == SX_OK) {
        status = find_own(ask, answer, standing, &own->change, err);
    }
    if (status == SX_OK) {
        status = add_list(session, answer, &ask->made, SX_EXCHANGE_MADE, own, standing, err);
    }
    if (status == SX_OK) {
        status = add_list(session, answer, &ask->back, SX_EXCHANGE_UNDONE, own, standing, err);
    }
    if (status == SX_OK) {
        status = add_list(session, answer, &ask->consider, SX_EXCHANGE_FRESH, own, standing, err);
    }
    if (status == SX_OK && answer->problem->rules->reentry == SX_REENTRY_SAME_SLOT) {
        forget_who_is_out(answer, standing);
    }
    return status == SX_OK ? settle_own(&session->team, own, standing, err) : status;
}

static SxStatus ask_moment(SxSession *session, const SxAsk *ask, SxAnswer *answer, SxError *err) {
    SxMomentAnswer *moment = &answer->moment;
    SxStanding standing;
    Own own = {.told = {0}};
    SxStatus status = sx_session_need_system(session, err);
    if (status == SX_OK) {
        status = sx_session_lineup(session, &session->bench, err);
    }
    if (status != SX_OK) {
        return status;
    }
    moment->forecast = session->bench.forecast;
    moment->for_card = ask->moment.card;
    const SxLineup *lineup = &moment->forecast.lineup;
    status = read_standing(session, &ask->moment, answer, &own, &standing, err);
    if (status == SX_OK) {
        status =
            sx_advice(answer->problem, lineup, answer->fixture, &standing, &moment->advice, err);
    }
    const SxAdvice *advice = &moment->advice;
    moment->for_start = status == SX_OK && answer->fixture->opponent->rotations_told > 1 &&
                        advice->our_points + advice->their_points == 0 && advice->used == 0;
    if (moment->for_start) {
        status = sx_starts(answer->problem, lineup, answer->fixture, advice, &moment->starts, err);
    }
    return status == SX_OK && moment->for_card && !advice->planned
               ? sx_advice_card(answer->problem, lineup, answer->fixture, &moment->advice,
                                SX_THUMB_WORTH, &moment->card, err)
               : status;
}

static char *moment_report(const SxAnswer *answer, bool json) {
    const SxMomentAnswer *moment = &answer->moment;
    const SxStarts *starts = moment->for_start ? &moment->starts : NULL;
    const SxThumb *card = moment->for_card ? &moment->card : NULL;
    const bool planned = moment->advice.planned;
    return json ? sx_moment_json(answer->problem, answer->fixture, &moment->advice, starts,
                                 planned ? NULL : card)
                : sx_moment_text(answer->problem, &moment->forecast.lineup, answer->fixture,
                                 &moment->advice, starts, card,
                                 planned ? &moment->forecast.outlook : NULL);
}

const Question sx_question_moment = {ask_moment, moment_report, NULL, NULL};
