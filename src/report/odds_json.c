/* Set odds as JSON. Numbers are written so that reading them gives the same number back. */
#include "sixturn/oddsreport.h"

#include "core/numbers.h"

#include <cjson/cJSON.h>
#include <math.h>

static const char *const phase_names[SX_PHASES] = {[SX_RECEIVE] = "receive", [SX_SERVE] = "serve"};

/* Ten decimals are more than the model can mean, and alike on every machine. */
static double tidy(double value) {
    return round(value * 1e10) / 1e10;
}

static cJSON *numbers(const double *values, int count) {
    cJSON *list = cJSON_CreateArray();
    for (int k = 0; k < count; k++) {
        cJSON_AddItemToArray(list, cJSON_CreateNumber(tidy(values[k])));
    }
    return list;
}

static void add_number(cJSON *parent, const char *key, double value) {
    cJSON_AddNumberToObject(parent, key, tidy(value));
}

/* Up to the last chance that is not 0. */
static cJSON *chances(const double *values, int count) {
    while (count > 1 && tidy(values[count - 1]) == 0) {
        count--;
    }
    return numbers(values, count);
}

static void add_starts(cJSON *root, const char *key, const SxStartOdds *odds) {
    cJSON *both = cJSON_AddObjectToObject(root, key);
    for (int phase = 0; phase < SX_PHASES; phase++) {
        cJSON *item = cJSON_AddObjectToObject(both, phase_names[phase]);
        cJSON *rows = cJSON_AddArrayToObject(item, "by_start_and_their_start");
        cJSON *reply = cJSON_CreateArray();
        for (int r = 0; r < SX_ROTATIONS; r++) {
            cJSON_AddItemToArray(rows, numbers(odds->win[phase][r], SX_ROTATIONS));
            cJSON_AddItemToArray(reply, cJSON_CreateNumber(odds->reply[phase][r] + 1));
        }
        cJSON_AddItemToObject(item, "mean", numbers(odds->mean[phase], SX_ROTATIONS));
        cJSON_AddItemToObject(item, "worst", numbers(odds->worst[phase], SX_ROTATIONS));
        cJSON_AddNumberToObject(item, "best_start", odds->best[phase] + 1);
        cJSON_AddNumberToObject(item, "safe_start", odds->safe[phase] + 1);
        cJSON_AddItemToObject(item, "best_reply", reply);
    }
}

static void add_rotation(cJSON *list, const SxForecast *forecast, int r) {
    const SxOutlook *outlook = &forecast->outlook;
    cJSON *item = cJSON_CreateObject();
    cJSON_AddItemToArray(list, item);
    cJSON_AddNumberToObject(item, "rotation", r + 1);
    add_number(item, "weight", forecast->weight[r]);
    add_number(item, "share", outlook->share[r]);
    for (int phase = 0; phase < SX_PHASES; phase++) {
        cJSON *part = cJSON_AddObjectToObject(item, phase_names[phase]);
        add_number(part, "rallies", outlook->rallies_in[r][phase]);
        add_number(part, "points", outlook->points_in[r][phase]);
    }
}

static void add_match(cJSON *root, const SxRules *rules, const SxMatchOdds *match) {
    const int needed = rules->best_of / 2 + 1;
    cJSON *item = cJSON_AddObjectToObject(root, "match");
    cJSON_AddNumberToObject(item, "best_of", rules->best_of);
    add_number(item, "win", match->win);
    add_number(item, "sets", match->sets);
    cJSON_AddItemToObject(item, "won_to", numbers(match->won_to, needed));
    cJSON_AddItemToObject(item, "lost_to", numbers(match->lost_to, needed));
}

static void add_substitutions(cJSON *root, const SxOutlook *outlook,
                              const SxStuck stuck[SX_PHASES]) {
    if (!outlook->substitutes) {
        cJSON_AddNullToObject(root, "substitutions");
        return;
    }
    cJSON *both = cJSON_AddObjectToObject(root, "substitutions");
    if (outlook->substitution_limit == SX_UNLIMITED) {
        cJSON_AddNullToObject(both, "limit");
    } else {
        cJSON_AddNumberToObject(both, "limit", outlook->substitution_limit);
    }
    for (int phase = 0; phase < SX_PHASES; phase++) {
        const SxSubstitutionOdds *odds = &outlook->substitutions[phase];
        cJSON *item = cJSON_AddObjectToObject(both, phase_names[phase]);
        cJSON_AddItemToObject(item, "needed", chances(odds->needed, SX_MAX_ADVANCES + 1));
        add_number(item, "expected", odds->expected_needed);
        if (outlook->substitution_limit != SX_UNLIMITED) {
            add_number(item, "runs_out", odds->runs_out);
            add_number(item, "our_score", odds->our_score);
            add_number(item, "their_score", odds->their_score);
            add_number(item, "win_unlimited", odds->win_unlimited);
            if (stuck[phase].after.found) {
                cJSON_AddNumberToObject(item, "stop_after", stuck[phase].after.changes);
                add_number(item, "win", odds->win);
                cJSON_AddStringToObject(item, "plays_on_as", stuck[phase].after.system);
            } else {
                cJSON_AddNullToObject(item, "stop_after");
                cJSON_AddNullToObject(item, "win");
                cJSON_AddNullToObject(item, "plays_on_as");
            }
        }
    }
}

static void add_order(cJSON *root, const SxProblem *problem, const SxLineup *lineup) {
    cJSON *order = cJSON_AddArrayToObject(root, "order");
    for (int s = 0; s < SX_SLOTS; s++) {
        cJSON *slot = cJSON_CreateObject();
        cJSON_AddNumberToObject(slot, "slot", s);
        cJSON_AddStringToObject(slot, "front", problem->team->players[lineup->order.front[s]].id);
        cJSON_AddStringToObject(slot, "back", problem->team->players[lineup->order.back[s]].id);
        cJSON_AddItemToArray(order, slot);
    }
}

char *sx_odds_json(const SxProblem *problem, const SxFixture *fixture, const SxForecast *forecast,
                   const SxStuck stuck[SX_PHASES]) {
    const SxOutlook *outlook = &forecast->outlook;
    cJSON *root = cJSON_CreateObject();
    cJSON_AddStringToObject(root, "format", "sixturn-odds-result-1");
    if (!fixture->opponent->even) {
        cJSON_AddStringToObject(root, "opponent", fixture->opponent->name);
    } else {
        cJSON_AddNullToObject(root, "opponent");
    }
    cJSON_AddStringToObject(root, "level", fixture->model->levels[fixture->model->level].id);
    cJSON_AddStringToObject(root, "system", problem->system->id);
    cJSON_AddStringToObject(root, "rules", problem->rules->id);
    cJSON_AddBoolToObject(root, "measured", fixture->measured != NULL);
    cJSON_AddNumberToObject(root, "rounds", forecast->rounds);
    cJSON_AddBoolToObject(root, "settled", forecast->settled);
    add_order(root, problem, &forecast->lineup);
    add_number(root, "win", outlook->win);
    cJSON *start = cJSON_AddObjectToObject(root, "start");
    for (int phase = 0; phase < SX_PHASES; phase++) {
        cJSON_AddNumberToObject(start, phase_names[phase], outlook->start[phase] + 1);
    }
    add_starts(root, "set", &outlook->set);
    add_starts(root, "deciding_set", &outlook->decider);
    add_match(root, problem->rules, &outlook->match);
    add_number(root, "rallies", outlook->rallies);
    cJSON *rotations = cJSON_AddArrayToObject(root, "rotations");
    for (int r = 0; r < SX_ROTATIONS; r++) {
        add_rotation(rotations, forecast, r);
    }
    add_substitutions(root, outlook, stuck);
    SX_PLAIN_NUMBERS;
    char *text = cJSON_Print(root);
    cJSON_Delete(root);
    return text;
}
