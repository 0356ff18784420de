/* Set odds as JSON. Numbers are written so that reading them gives the same number back. */
#include "sixturn/oddsreport.h"

#include "core/jsonwrite.h"
#include "core/numbers.h"
#include "report/matchday.h"

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
        sx_push(list, cJSON_CreateNumber(tidy(values[k])));
    }
    return list;
}

static void add_number(cJSON *parent, const char *key, double value) {
    sx_put_number(parent, key, tidy(value));
}

/* Up to the last chance that is not 0. */
static cJSON *chances(const double *values, int count) {
    while (count > 1 && tidy(values[count - 1]) == 0) {
        count--;
    }
    return numbers(values, count);
}

static void add_starts(cJSON *root, const char *key, const SxStartOdds *odds) {
    cJSON *both = sx_put_object(root, key);
    for (int phase = 0; phase < SX_PHASES; phase++) {
        cJSON *item = sx_put_object(both, phase_names[phase]);
        cJSON *rows = sx_put_array(item, "by_start_and_their_start");
        cJSON *reply = cJSON_CreateArray();
        for (int r = 0; r < SX_ROTATIONS; r++) {
            sx_push(rows, numbers(odds->win[phase][r], SX_ROTATIONS));
            sx_push(reply, cJSON_CreateNumber(odds->reply[phase][r] + 1));
        }
        sx_put(item, "mean", numbers(odds->mean[phase], SX_ROTATIONS));
        sx_put(item, "worst", numbers(odds->worst[phase], SX_ROTATIONS));
        sx_put_number(item, "best_start", odds->best[phase] + 1);
        sx_put_number(item, "safe_start", odds->safe[phase] + 1);
        sx_put(item, "best_reply", reply);
    }
}

static void add_rotation(cJSON *list, const SxForecast *forecast, int r) {
    const SxOutlook *outlook = &forecast->outlook;
    cJSON *item = sx_push_object(list);
    sx_put_number(item, "rotation", r + 1);
    add_number(item, "weight", forecast->weight[r]);
    add_number(item, "share", outlook->share[r]);
    for (int phase = 0; phase < SX_PHASES; phase++) {
        cJSON *part = sx_put_object(item, phase_names[phase]);
        add_number(part, "rallies", outlook->rallies_in[r][phase]);
        add_number(part, "points", outlook->points_in[r][phase]);
    }
}

static void add_match(cJSON *root, const SxRules *rules, const SxMatchOdds *match) {
    const int needed = rules->best_of / 2 + 1;
    cJSON *item = sx_put_object(root, "match");
    sx_put_number(item, "best_of", rules->best_of);
    add_number(item, "win", match->win);
    add_number(item, "sets", match->sets);
    sx_put(item, "won_to", numbers(match->won_to, needed));
    sx_put(item, "lost_to", numbers(match->lost_to, needed));
}

/* Changes that are due, one after the other, and when they are made. */
static void add_moments(cJSON *item, const SxStopping *stopping) {
    static const char *const rules[] = {[SX_CHANGE_MADE] = "made",
                                        [SX_CHANGE_MADE_FROM] = "made_from_lead",
                                        [SX_CHANGE_MADE_UP_TO] = "made_up_to_lead",
                                        [SX_CHANGE_NOT_MADE] = "not_made"};
    cJSON *list = sx_put_array(item, "moments");
    for (int n = 0; n < stopping->count; n++) {
        const SxHalt *halt = &stopping->halt[n];
        cJSON *moment = sx_push_object(list);
        sx_put_number(moment, "made_before", halt->changes);
        sx_put_number(moment, "rotation", halt->rotation + 1);
        add_number(moment, "due", halt->due);
        add_number(moment, "ends_here", halt->stopped);
        sx_put_text(moment, "rule", rules[halt->rule]);
        if (halt->rule == SX_CHANGE_MADE_FROM || halt->rule == SX_CHANGE_MADE_UP_TO) {
            sx_put_number(moment, "lead", halt->lead);
        } else {
            sx_put_null(moment, "lead");
        }
    }
}

static void add_substitutions(cJSON *root, const SxOutlook *outlook) {
    if (!outlook->substitutes) {
        sx_put_null(root, "substitutions");
        return;
    }
    cJSON *both = sx_put_object(root, "substitutions");
    if (outlook->substitution_limit == SX_UNLIMITED) {
        sx_put_null(both, "limit");
    } else {
        sx_put_number(both, "limit", outlook->substitution_limit);
    }
    for (int phase = 0; phase < SX_PHASES; phase++) {
        const SxSubstitutionOdds *odds = &outlook->substitutions[phase];
        cJSON *item = sx_put_object(both, phase_names[phase]);
        sx_put(item, "needed", chances(odds->needed, SX_MAX_ADVANCES + 1));
        add_number(item, "expected", odds->expected_needed);
        if (outlook->substitution_limit != SX_UNLIMITED) {
            add_number(item, "runs_out", odds->runs_out);
            add_number(item, "our_score", odds->our_score);
            add_number(item, "their_score", odds->their_score);
            add_number(item, "win_unlimited", odds->win_unlimited);
            if (outlook->after[phase].found) {
                sx_put_number(item, "stop_after", outlook->after[phase].changes);
                add_number(item, "win", odds->win);
                sx_put_text(item, "plays_on_as", outlook->after[phase].system);
                add_number(item, "win_settled_before", outlook->stopping[phase].fixed_win);
                add_number(item, "win_by_rules", outlook->stopping[phase].rule_win);
                add_moments(item, &outlook->stopping[phase]);
            } else {
                sx_put_null(item, "stop_after");
                sx_put_null(item, "win");
                sx_put_null(item, "plays_on_as");
                sx_put_null(item, "win_settled_before");
                sx_put_null(item, "win_by_rules");
                sx_put_array(item, "moments");
            }
        }
    }
}

static void add_order(cJSON *root, const SxProblem *problem, const SxLineup *lineup) {
    cJSON *order = sx_put_array(root, "order");
    for (int s = 0; s < SX_SLOTS; s++) {
        cJSON *slot = cJSON_CreateObject();
        sx_put_number(slot, "slot", s);
        sx_put_text(slot, "front", problem->team->players[lineup->order.front[s]].id);
        sx_put_text(slot, "back", problem->team->players[lineup->order.back[s]].id);
        sx_push(order, slot);
    }
}

char *sx_odds_json(const SxProblem *problem, const SxFixture *fixture, const SxForecast *forecast,
                   const SxPrices *prices) {
    const SxOutlook *outlook = &forecast->outlook;
    cJSON *root = cJSON_CreateObject();
    sx_put_text(root, "format", "sixturn-odds-result-1");
    if (!fixture->opponent->even) {
        sx_put_text(root, "opponent", fixture->opponent->name);
    } else {
        sx_put_null(root, "opponent");
    }
    sx_put_text(root, "level", fixture->model->levels[fixture->model->level].id);
    sx_put_text(root, "system", problem->system->id);
    sx_put_text(root, "rules", problem->rules->id);
    sx_put_bool(root, "measured", fixture->measured != NULL);
    sx_put_number(root, "rounds", forecast->rounds);
    sx_put_bool(root, "settled", forecast->settled);
    add_order(root, problem, &forecast->lineup);
    add_number(root, "win", outlook->win);
    cJSON *start = sx_put_object(root, "start");
    for (int phase = 0; phase < SX_PHASES; phase++) {
        sx_put_number(start, phase_names[phase], outlook->start[phase] + 1);
    }
    add_starts(root, "set", &outlook->set);
    add_starts(root, "deciding_set", &outlook->decider);
    add_match(root, problem->rules, &outlook->match);
    add_number(root, "rallies", outlook->rallies);
    cJSON *rotations = sx_put_array(root, "rotations");
    for (int r = 0; r < SX_ROTATIONS; r++) {
        add_rotation(rotations, forecast, r);
    }
    add_substitutions(root, outlook);
    sx_price_list_json(root, problem, prices);
    return sx_put_print(root);
}
