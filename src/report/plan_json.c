/* A lineup as JSON. Numbers are written so that reading them gives the same number back. */
#include "report/matchday.h"

#include "core/numbers.h"

#include <cjson/cJSON.h>
#include <math.h>
#include <stdlib.h>

static const char *id_of(const SxProblem *problem, int player) {
    return problem->team->players[player].id;
}

static void add_ids(cJSON *parent, const char *key, const SxProblem *problem, const int *players,
                    int count) {
    cJSON *list = cJSON_AddArrayToObject(parent, key);
    for (int k = 0; k < count; k++) {
        cJSON_AddItemToArray(list, cJSON_CreateString(id_of(problem, players[k])));
    }
}

static void add_id_or_null(cJSON *parent, const char *key, const SxProblem *problem, int player) {
    if (player < 0) {
        cJSON_AddNullToObject(parent, key);
    } else {
        cJSON_AddStringToObject(parent, key, id_of(problem, player));
    }
}

/* Pairs of players whose runs meet on the way. */
static void add_crossings(cJSON *parent, const SxProblem *problem, const SxLineup *lineup, int r,
                          SxPhase phase, const SxFormation *formation) {
    SxCrossing crossing[SX_MAX_CROSSINGS];
    int count = sx_meeting_runs(problem, r, phase, formation, crossing);
    cJSON *list = cJSON_AddArrayToObject(parent, "runs_meet");
    for (int k = 0; k < count; k++) {
        cJSON *pair = cJSON_CreateArray();
        const int slots[2] = {crossing[k].a, crossing[k].b};
        for (int n = 0; n < 2; n++) {
            cJSON_AddItemToArray(
                pair, cJSON_CreateString(id_of(problem, sx_on_court(lineup, r, phase, slots[n]))));
        }
        cJSON_AddItemToArray(list, pair);
    }
}

static void add_spots(cJSON *parent, const SxProblem *problem, const SxLineup *lineup, int r,
                      SxPhase phase, const SxFormation *formation) {
    cJSON *spots = cJSON_AddArrayToObject(parent, "spots");
    for (int position = 1; position <= SX_POSITIONS; position++) {
        int slot = sx_slot_at(position, r);
        cJSON *spot = cJSON_CreateObject();
        cJSON_AddNumberToObject(spot, "position", position);
        cJSON_AddStringToObject(spot, "player",
                                id_of(problem, sx_on_court(lineup, r, phase, slot)));
        cJSON_AddNumberToObject(spot, "x", formation->spot[slot].x);
        cJSON_AddNumberToObject(spot, "y", formation->spot[slot].y);
        cJSON_AddBoolToObject(spot, "passer", formation->passers >> slot & 1);
        SxRun run = sx_player_run(problem, r, phase, formation, slot);
        cJSON_AddNumberToObject(spot, "run", run.task);
        cJSON_AddNumberToObject(spot, "run_seconds", run.task_time);
        cJSON_AddBoolToObject(spot, "late", run.late);
        cJSON_AddNumberToObject(spot, "run_to_base", run.base);
        cJSON_AddItemToArray(spots, spot);
    }
    if (isfinite(formation->margin)) {
        cJSON_AddNumberToObject(parent, "margin", formation->margin);
    } else {
        cJSON_AddNullToObject(parent, "margin");
    }
    cJSON_AddNumberToObject(parent, "cost", formation->cost);
    add_crossings(parent, problem, lineup, r, phase, formation);
}

static void add_receive(cJSON *parent, const SxProblem *problem, const SxLineup *lineup, int r) {
    const SxRotation *at = &lineup->rotation[r];
    cJSON *receive = cJSON_AddObjectToObject(parent, "receive");
    int passers[SX_SLOTS];
    int count = 0;
    for (int lane = 0; lane < SX_MAX_PASSERS; lane++) { /* from left to right */
        for (int s = 0; s < SX_SLOTS; s++) {
            if (at->passers >> s & 1 && at->receive->lane[s] == lane) {
                passers[count++] = sx_on_court(lineup, r, SX_RECEIVE, s);
            }
        }
    }
    add_ids(receive, "passers", problem, passers, count);
    add_spots(receive, problem, lineup, r, SX_RECEIVE, at->receive);
}

static void add_rotation(cJSON *list, const SxProblem *problem, const SxLineup *lineup, int r,
                         const SxServeFormations *serve) {
    const SxRotation *at = &lineup->rotation[r];
    cJSON *item = cJSON_CreateObject();
    cJSON_AddItemToArray(list, item);
    cJSON_AddNumberToObject(item, "rotation", r + 1);
    cJSON_AddNumberToObject(item, "score", at->score);
    cJSON_AddNumberToObject(item, "weight", at->weight);
    cJSON *parts = cJSON_AddObjectToObject(item, "parts");
    for (int k = 0; k < SX_PARTS; k++) {
        cJSON_AddNumberToObject(parts, sx_part_name((SxPart)k), at->part[k]);
    }
    add_id_or_null(item, "libero_for", problem,
                   at->libero >= 0 ? sx_slot_player(lineup, r, at->libero_slot) : -1);
    add_id_or_null(item, "libero", problem, at->libero);
    cJSON_AddBoolToObject(item, "libero_serves", at->libero_serves);
    add_receive(item, problem, lineup, r);
    add_spots(cJSON_AddObjectToObject(item, "serve"), problem, lineup, r, SX_SERVE, &serve->at[r]);
}

static void add_order(cJSON *root, const SxProblem *problem, const SxLineup *lineup) {
    cJSON *order = cJSON_AddArrayToObject(root, "order");
    for (int s = 0; s < SX_SLOTS; s++) {
        cJSON *slot = cJSON_CreateObject();
        cJSON_AddNumberToObject(slot, "slot", s);
        cJSON_AddStringToObject(slot, "front", id_of(problem, lineup->order.front[s]));
        cJSON_AddStringToObject(slot, "back", id_of(problem, lineup->order.back[s]));
        cJSON_AddItemToArray(order, slot);
    }
}

static void add_goal(cJSON *root, const SxGoalSet *goal) {
    cJSON *item = cJSON_AddObjectToObject(root, "goal_set");
    cJSON_AddNumberToObject(item, "win", goal->win);
    cJSON_AddNumberToObject(item, "win_of_best_score", goal->win_of_best_score);
    cJSON_AddNumberToObject(item, "place_of_best_score", goal->place);
    cJSON_AddNumberToObject(item, "orders", goal->orders);
}

char *sx_plan_json(const SxProblem *problem, const SxLineup *lineup, const SxMatchDay *day,
                   const SxOutlook *outlook, const SxGoalSet *goal) {
    cJSON *root = cJSON_CreateObject();
    cJSON_AddStringToObject(root, "format", "sixturn-plan-result-1");
    static const char *const proofs[] = {
        [SX_OPTIMAL] = "optimal", [SX_FEASIBLE] = "feasible", [SX_CHOSEN] = "chosen"};
    cJSON_AddStringToObject(root, "status", proofs[lineup->proof]);
    cJSON_AddNumberToObject(root, "score", lineup->score);
    cJSON_AddNumberToObject(root, "bound", lineup->bound);
    cJSON_AddNumberToObject(root, "gap", lineup->gap);
    cJSON_AddStringToObject(root, "system", problem->system->id);
    cJSON_AddStringToObject(root, "rules", problem->rules->id);
    cJSON_AddNumberToObject(root, "start_rotation", lineup->start + 1);
    cJSON_AddNumberToObject(root, "balance", problem->plan->balance);
    cJSON *weights = cJSON_AddObjectToObject(root, "weights");
    for (int k = 0; k < SX_PARTS; k++) {
        cJSON_AddNumberToObject(weights, sx_part_name((SxPart)k), problem->plan->weight[k]);
    }
    if (outlook) {
        cJSON *start = cJSON_AddObjectToObject(root, "best_start");
        cJSON_AddNumberToObject(start, "receiving", outlook->start[SX_RECEIVE] + 1);
        cJSON_AddNumberToObject(start, "serving", outlook->start[SX_SERVE] + 1);
    }
    add_order(root, problem, lineup);
    add_ids(root, "libero", problem, lineup->liberos, lineup->libero_count);
    cJSON *rotations = cJSON_AddArrayToObject(root, "rotations");
    for (int r = 0; r < SX_ROTATIONS; r++) {
        add_rotation(rotations, problem, lineup, r, &day->serve);
    }
    matchday_json(root, problem, lineup, day);
    if (goal) {
        add_goal(root, goal);
    }
    SX_PLAIN_NUMBERS;
    char *text = cJSON_Print(root);
    cJSON_Delete(root);
    return text;
}
