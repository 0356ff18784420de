/* The best move at a moment, and the card of rules of thumb, as JSON. */
#include "report/lines.h"

#include "core/jsonwrite.h"
#include "sixturn/oddsreport.h"

#include <math.h>

static const char *const phase_names[SX_PHASES] = {[SX_RECEIVE] = "receive", [SX_SERVE] = "serve"};

/* Ten decimals are more than the model can mean, and alike on every machine. */
static void add_odds(cJSON *parent, const char *key, double value) {
    sx_put_number(parent, key, round(value * 1e10) / 1e10);
}

static void add_left(cJSON *parent, const char *key, int number) {
    if (number == SX_UNLIMITED) {
        sx_put_null(parent, key);
    } else {
        sx_put_number(parent, key, number);
    }
}

/* Exchanges of a mask by their place in the list, from 0. */
static void add_mask(cJSON *parent, const char *key, unsigned mask) {
    cJSON *list = sx_put_array(parent, key);
    for (int m = 0; mask >> m; m++) {
        if (mask >> m & 1) {
            sx_push(list, cJSON_CreateNumber(m));
        }
    }
}

static void add_exchange(cJSON *list, const SxProblem *problem, const SxAdvice *advice, int m) {
    static const char *const uses[] = {
        [SX_FOR_SERVE] = "serve",     [SX_FOR_DEFENCE] = "back row", [SX_FOR_FRONT] = "front row",
        [SX_FOR_SETTING] = "setting", [SX_FOR_PAIR] = "double",      [SX_AS_PLANNED] = "planned"};
    static const char *const states[] = {
        [SX_EXCHANGE_FRESH] = "fresh", [SX_EXCHANGE_MADE] = "made", [SX_EXCHANGE_UNDONE] = "back"};
    const SxConsidered *it = &advice->exchange[m];
    cJSON *item = sx_push_object(list);
    sx_json_players(item, "out", problem->team, it->out, it->places);
    sx_json_players(item, "in", problem->team, it->in, it->places);
    sx_put_text(item, "use", uses[it->use]);
    sx_put_bool(item, "told", m < advice->named);
    sx_put_text(item, "state", states[advice->state[m]]);
    sx_put_bool(item, "may_make", advice->may_make[m]);
    sx_put_bool(item, "may_undo", advice->may_undo[m]);
}

static void add_own_six(cJSON *parent, const char *key, const SxOwnSix *six) {
    cJSON *item = sx_put_object(parent, key);
    cJSON *list = sx_put_array(item, "planned");
    for (int r = 0; r < SX_ROTATIONS; r++) {
        if (six->planned[r]) {
            sx_push(list, cJSON_CreateNumber(r + 1));
        }
    }
    sx_put_text(item, "else_as", six->system);
}

/* The lineup's own substitutions: which exchange they are, and how both sixes play. */
static void add_own(cJSON *root, const SxAdvice *advice) {
    if (!advice->own.found) {
        sx_put_null(root, "own");
        return;
    }
    cJSON *item = sx_put_object(root, "own");
    sx_put_number(item, "exchange", advice->count - 1);
    sx_put_bool(item, "told", advice->own_told);
    add_own_six(item, "out_stays", &advice->own.stay);
    add_own_six(item, "in_comes", &advice->own.come);
}

static void add_moves(cJSON *root, const SxAdvice *advice) {
    cJSON *list = sx_put_array(root, "moves");
    for (int k = 0; k < advice->moves; k++) {
        const SxChoice *move = &advice->move[k];
        cJSON *item = sx_push_object(list);
        add_mask(item, "make", move->make);
        add_mask(item, "undo", move->undo);
        sx_put_number(item, "substitutions", move->changes);
        add_odds(item, "win", move->win);
        add_odds(item, "gain", move->win - advice->hold);
    }
}

static void add_next(cJSON *root, const SxAdvice *advice) {
    const SxNextChange *next = &advice->next;
    if (!(next->ever > 0)) {
        sx_put_null(root, "next");
        return;
    }
    cJSON *item = sx_put_object(root, "next");
    add_odds(item, "ever", next->ever);
    add_mask(item, "make", next->make);
    add_mask(item, "undo", next->undo);
    sx_put_number(item, "rotation", next->ours + 1);
    sx_put_text(item, "phase", phase_names[next->phase]);
    add_odds(item, "chance", next->chance);
    add_odds(item, "our_points", next->our_points);
    add_odds(item, "their_points", next->their_points);
}

static void add_lead(cJSON *parent, const char *key, int lead) {
    if (lead <= -SX_ANY_LEAD || lead >= SX_ANY_LEAD) {
        sx_put_null(parent, key);
    } else {
        sx_put_number(parent, key, lead);
    }
}

static void add_card(cJSON *root, const SxThumb *card) {
    if (!card) {
        sx_put_null(root, "card");
        return;
    }
    cJSON *item = sx_put_object(root, "card");
    cJSON *list = sx_put_array(item, "rules");
    for (int k = 0; k < card->count; k++) {
        const SxThumbRule *rule = &card->rule[k];
        cJSON *line = sx_push_object(list);
        sx_put_number(line, "exchange", rule->exchange);
        sx_put_text(line, "do", rule->make ? "make" : "undo");
        sx_put_number(line, "rotation", rule->ours + 1);
        sx_put_text(line, "phase", phase_names[rule->phase]);
        add_lead(line, "least_lead", rule->least_lead);
        add_lead(line, "most_lead", rule->most_lead);
        sx_put_number(line, "from_points", rule->from_points);
    }
    add_odds(item, "win", card->win);
    add_odds(item, "win_best", card->win_best);
    add_odds(item, "win_without", card->win_without);
}

/* By who serves first: the start while theirs is not known, and the best against each of theirs. */
static void add_starts(cJSON *root, const SxStarts *starts) {
    if (!starts) {
        sx_put_null(root, "starts");
        return;
    }
    cJSON *both = sx_put_object(root, "starts");
    for (int phase = 0; phase < SX_PHASES; phase++) {
        cJSON *item = sx_put_object(both, phase_names[phase]);
        const int start = starts->start[phase];
        sx_put_number(item, "start", start + 1);
        cJSON *list = sx_put_array(item, "against");
        for (int theirs = 0; theirs < SX_ROTATIONS; theirs++) {
            const int reply = starts->reply[phase][theirs];
            cJSON *line = sx_push_object(list);
            sx_put_number(line, "their_start", theirs + 1);
            sx_put_number(line, "start", reply + 1);
            add_odds(line, "win", starts->win[phase][reply][theirs]);
            add_odds(line, "gain",
                     starts->win[phase][reply][theirs] - starts->win[phase][start][theirs]);
        }
    }
}

char *sx_moment_json(const SxProblem *problem, const SxFixture *fixture, const SxAdvice *advice,
                     const SxStarts *starts, const SxThumb *card) {
    cJSON *root = cJSON_CreateObject();
    sx_put_text(root, "format", "sixturn-moment-1");
    if (!fixture->opponent->even) {
        sx_put_text(root, "opponent", fixture->opponent->name);
    } else {
        sx_put_null(root, "opponent");
    }
    sx_put_text(root, "system", problem->system->id);
    sx_put_text(root, "rules", problem->rules->id);
    sx_put_bool(root, "measured", fixture->measured != NULL);
    sx_put_number(root, "our_points", advice->our_points);
    sx_put_number(root, "their_points", advice->their_points);
    sx_put_bool(root, "deciding", advice->deciding);
    sx_put_number(root, "rotation", advice->serve.ours + 1);
    sx_put_text(root, "phase", phase_names[advice->serve.phase]);
    if (advice->theirs_known && fixture->opponent->rotations_told > 1) {
        sx_put_number(root, "their_rotation", advice->serve.theirs + 1);
    } else {
        sx_put_null(root, "their_rotation");
    }
    sx_put_number(root, "used", advice->used);
    add_left(root, "left", advice->left);
    sx_put_bool(root, "planned_besides", advice->planned);
    add_own(root, advice);
    add_odds(root, "win", advice->move[0].win);
    add_odds(root, "win_if_held", advice->hold);
    add_odds(root, "win_without", advice->without);
    add_moves(root, advice);
    add_next(root, advice);
    cJSON *list = sx_put_array(root, "exchanges");
    for (int m = 0; m < advice->count; m++) {
        add_exchange(list, problem, advice, m);
    }
    add_starts(root, starts);
    add_card(root, card);
    return sx_json_finish(root);
}
