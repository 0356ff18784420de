/* A lineup as JSON. Numbers are written so that reading them gives the same number back. */
#include "report/matchday.h"
#include "sixturn/evaluate.h"

#include "core/jsonwrite.h"
#include "core/numbers.h"
#include "sixturn/bestset.h"

#include <cjson/cJSON.h>
#include <math.h>
#include <stdlib.h>

static const char *id_of(const SxProblem *problem, int player) {
    return problem->team->players[player].id;
}

static void add_ids(cJSON *parent, const char *key, const SxProblem *problem, const int *players,
                    int count) {
    cJSON *list = sx_put_array(parent, key);
    for (int k = 0; k < count; k++) {
        sx_push(list, cJSON_CreateString(id_of(problem, players[k])));
    }
}

static void add_id_or_null(cJSON *parent, const char *key, const SxProblem *problem, int player) {
    if (player < 0) {
        sx_put_null(parent, key);
    } else {
        sx_put_text(parent, key, id_of(problem, player));
    }
}

/* Pairs of players whose runs meet on the way. */
static void add_crossings(cJSON *parent, const SxProblem *problem, const SxLineup *lineup, int r,
                          SxPhase phase, const SxFormation *formation) {
    SxCrossing crossing[SX_MAX_CROSSINGS];
    int count = sx_meeting_runs(problem, r, phase, formation, crossing);
    cJSON *list = sx_put_array(parent, "runs_meet");
    for (int k = 0; k < count; k++) {
        cJSON *pair = cJSON_CreateArray();
        const int slots[2] = {crossing[k].a, crossing[k].b};
        for (int n = 0; n < 2; n++) {
            sx_push(pair,
                    cJSON_CreateString(id_of(problem, sx_on_court(lineup, r, phase, slots[n]))));
        }
        sx_push(list, pair);
    }
}

static void add_spots(cJSON *parent, const SxProblem *problem, const SxLineup *lineup, int r,
                      SxPhase phase, const SxFormation *formation) {
    cJSON *spots = sx_put_array(parent, "spots");
    for (int position = 1; position <= SX_POSITIONS; position++) {
        int slot = sx_slot_at(position, r);
        cJSON *spot = cJSON_CreateObject();
        sx_put_number(spot, "position", position);
        sx_put_text(spot, "player", id_of(problem, sx_on_court(lineup, r, phase, slot)));
        sx_put_number(spot, "x", formation->spot[slot].x);
        sx_put_number(spot, "y", formation->spot[slot].y);
        sx_put_bool(spot, "passer", formation->passers >> slot & 1);
        SxRun run = sx_player_run(problem, r, phase, formation, slot);
        sx_put_number(spot, "run", run.task);
        sx_put_number(spot, "run_seconds", run.task_time);
        sx_put_bool(spot, "late", run.late);
        sx_put_number(spot, "run_to_base", run.base);
        if (phase == SX_RECEIVE && sx_row_of(position) == SX_FRONT &&
            sx_is_front_hitter(problem->system, r, slot)) {
            sx_put_text(spot, "attacks_from",
                        sx_lane_name(sx_side_lane(formation->sides, position)));
        }
        sx_push(spots, spot);
    }
    if (isfinite(formation->margin)) {
        sx_put_number(parent, "margin", formation->margin);
    } else {
        sx_put_null(parent, "margin");
    }
    sx_put_number(parent, "cost", formation->cost);
    add_crossings(parent, problem, lineup, r, phase, formation);
}

static void add_receive(cJSON *parent, const SxProblem *problem, const SxLineup *lineup, int r) {
    const SxRotation *at = &lineup->rotation[r];
    cJSON *receive = sx_put_object(parent, "receive");
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
    cJSON *item = sx_push_object(list);
    sx_put_number(item, "rotation", r + 1);
    sx_put_number(item, "score", at->score);
    sx_put_number(item, "weight", at->weight);
    cJSON *parts = sx_put_object(item, "parts");
    for (int k = 0; k < SX_PARTS; k++) {
        sx_put_number(parts, sx_part_name((SxPart)k), at->part[k]);
    }
    add_id_or_null(item, "libero_for", problem,
                   at->libero >= 0 ? sx_slot_player(lineup, r, at->libero_slot) : -1);
    add_id_or_null(item, "libero", problem, at->libero);
    sx_put_bool(item, "libero_serves", at->libero_serves);
    add_receive(item, problem, lineup, r);
    add_spots(sx_put_object(item, "serve"), problem, lineup, r, SX_SERVE, &serve->at[r]);
}

static void add_order(cJSON *root, const SxProblem *problem, const SxLineup *lineup) {
    cJSON *order = sx_put_array(root, "order");
    for (int s = 0; s < SX_SLOTS; s++) {
        cJSON *slot = cJSON_CreateObject();
        sx_put_number(slot, "slot", s);
        sx_put_text(slot, "front", id_of(problem, lineup->order.front[s]));
        sx_put_text(slot, "back", id_of(problem, lineup->order.back[s]));
        sx_push(order, slot);
    }
}

/* What was aimed at. Sets are of 100. */
static void add_goal(cJSON *root, const SxProblem *problem, const SxLineup *lineup) {
    sx_put_text(root, "goal", problem->against ? "set" : "score");
    if (problem->against) {
        sx_put_text(root, "against", problem->against->opponent->name);
        sx_put_number(root, "sets", SX_SETS * lineup->win);
        sx_put_number(root, "sets_bound", SX_SETS * lineup->win_bound);
        sx_put_number(root, "sets_gap", SX_SETS * (lineup->win_bound - lineup->win));
    }
}

char *sx_plan_json(const SxProblem *problem, const SxLineup *lineup, const SxMatchDay *day,
                   const SxOutlook *outlook) {
    cJSON *root = cJSON_CreateObject();
    sx_put_text(root, "format", "sixturn-plan-result-1");
    sx_put_text(root, "status", lineup->proof == SX_OPTIMAL ? "optimal" : "feasible");
    add_goal(root, problem, lineup);
    if (day->sure) {
        sx_sure_json(root, problem, day->sure);
    }
    sx_put_number(root, "score", lineup->score);
    sx_put_number(root, "bound", lineup->bound);
    sx_put_number(root, "gap", lineup->gap);
    sx_put_text(root, "system", problem->system->id);
    sx_put_text(root, "rules", problem->rules->id);
    sx_put_number(root, "start_rotation", lineup->start + 1);
    sx_put_number(root, "balance", problem->plan->balance);
    cJSON *weights = sx_put_object(root, "weights");
    for (int k = 0; k < SX_PARTS; k++) {
        sx_put_number(weights, sx_part_name((SxPart)k), problem->plan->weight[k]);
    }
    if (outlook) {
        cJSON *start = sx_put_object(root, "best_start");
        sx_put_number(start, "receiving", outlook->start[SX_RECEIVE] + 1);
        sx_put_number(start, "serving", outlook->start[SX_SERVE] + 1);
    }
    add_order(root, problem, lineup);
    add_ids(root, "libero", problem, lineup->liberos, lineup->libero_count);
    cJSON *rotations = sx_put_array(root, "rotations");
    for (int r = 0; r < SX_ROTATIONS; r++) {
        add_rotation(rotations, problem, lineup, r, &day->serve);
    }
    sx_matchday_json(root, problem, lineup, day);
    if (day->prices) {
        sx_prices_json(root, problem, lineup, day->prices);
    }
    return sx_put_print(root);
}
