/* Every rotation of every shipped system, both demo teams, every rule profile: is what the program
 * prints legal, and do its sums hold? The checker reads the printed JSON and the data files and
 * shares no code with the model.
 *
 * Sources, by check: FIVB Official Volleyball Rules 7.4 (order), 7.6 (rotation), 19 (libero); the
 * profiles' own fields where the books differ. */
#include "support.h"

#include <cjson/cJSON.h>
#include <criterion/criterion.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

static const char *const teams[] = {"junior-12", "club-16"};

/* The margin in metres that the program promises between two feet. */
static const double margin = 0.30;
static const double rounding = 1e-6;
static const double agree = 1e-9;

static cJSON *read_json(const char *folder, const char *name) {
    char file[128];
    snprintf(file, sizeof file, "datasets/%s%s.json", folder, name);
    char *text = slurp(file);
    cJSON *root = cJSON_Parse(text);
    free(text);
    cr_assert_not_null(root, "%s is no JSON", file);
    return root;
}

static const char *word(const cJSON *item, const char *key) {
    return cJSON_GetStringValue(cJSON_GetObjectItemCaseSensitive(item, key));
}

static cJSON *get(const cJSON *item, const char *key) {
    cJSON *value = cJSON_GetObjectItemCaseSensitive(item, key);
    cr_assert_not_null(value, "no %s", key);
    return value;
}

static bool flag(const cJSON *item, const char *key) {
    return cJSON_IsTrue(get(item, key));
}

/* What one run is about. */
typedef struct {
    cJSON *team, *system, *rules, *result;
    int passers;
    char label[96];
} Case;

static const cJSON *player(const Case *c, const char *id) {
    const cJSON *who;
    cJSON_ArrayForEach(who, get(c->team, "players")) {
        if (strcmp(word(who, "id"), id) == 0) {
            return who;
        }
    }
    cr_assert_fail("%s: no player %s in the team", c->label, id);
    return NULL;
}

static bool has_role(const Case *c, const char *id, const char *role) {
    const cJSON *roles = get(player(c, id), "roles");
    if (cJSON_IsObject(roles)) {
        const cJSON *fitness = cJSON_GetObjectItemCaseSensitive(roles, role);
        return fitness && fitness->valuedouble > 0;
    }
    const cJSON *item;
    cJSON_ArrayForEach(item, roles) {
        if (strcmp(item->valuestring, role) == 0) {
            return true;
        }
    }
    return false;
}

/* Where slot s stands when slot r serves: the server is position 1, and the one who serves next is
 * position 2, since position 2 rotates to 1 (7.6.2). */
static int position_of(int s, int r) {
    return 1 + (s + 6 - r) % 6;
}

static bool is_front(int position) {
    return position >= 2 && position <= 4;
}

/* --- who is on court ----------------------------------------------------------------------------
 */

static const char *ordered_player(const Case *c, int s, int r) {
    const cJSON *slot = cJSON_GetArrayItem(get(c->result, "order"), s);
    return word(slot, is_front(position_of(s, r)) ? "front" : "back");
}

static const cJSON *duty_of(const Case *c, int s) {
    return get(get(c->system, "duties"),
               cJSON_GetArrayItem(get(c->system, "slots"), s)->valuestring);
}

static void check_order(const Case *c) {
    const cJSON *order = get(c->result, "order");
    cr_assert_eq(cJSON_GetArraySize(order), 6);
    for (int s = 0; s < 6; s++) {
        const cJSON *slot = cJSON_GetArrayItem(order, s);
        cr_assert_eq((int)json_number(slot, "slot"), s);
        const cJSON *duty = duty_of(c, s);
        if (!cJSON_IsTrue(cJSON_GetObjectItemCaseSensitive(duty, "split"))) {
            cr_assert_str_eq(word(slot, "front"), word(slot, "back"));
        }
        for (int row = 0; row < 2; row++) {
            const char *role = word(get(duty, row == 0 ? "front" : "back"), "role");
            const char *who = word(slot, row == 0 ? "front" : "back");
            cr_assert(has_role(c, who, role), "%s: %s cannot play %s", c->label, who, role);
            for (int t = 0; t < s; t++) {
                const cJSON *other = cJSON_GetArrayItem(order, t);
                cr_assert_str_neq(who, word(other, "front"), "%s: %s plays twice", c->label, who);
                cr_assert_str_neq(who, word(other, "back"), "%s: %s plays twice", c->label, who);
            }
        }
    }
}

static bool is_named_libero(const Case *c, const char *id) {
    const cJSON *item;
    cJSON_ArrayForEach(item, get(c->result, "libero")) {
        if (strcmp(item->valuestring, id) == 0) {
            return true;
        }
    }
    return false;
}

static void check_liberos(const Case *c) {
    const cJSON *named = get(c->result, "libero");
    cr_assert(cJSON_GetArraySize(named) <= (int)json_number(c->rules, "liberos"), "%s", c->label);
    const cJSON *item;
    cJSON_ArrayForEach(item, named) {
        cr_assert(has_role(c, item->valuestring, "libero"), "%s", c->label);
        for (int s = 0; s < 6; s++) {
            for (int r = 0; r < 6; r++) {
                cr_assert_str_neq(item->valuestring, ordered_player(c, s, r), "%s", c->label);
            }
        }
    }
    int slots_served = 0;
    for (int r = 0; r < 6; r++) {
        const cJSON *rotation = cJSON_GetArrayItem(get(c->result, "rotations"), r);
        slots_served += flag(rotation, "libero_serves");
    }
    /* FIVB 19.3.1.3: she may not serve; elsewhere in one place of the order. */
    cr_assert(slots_served <= (flag(c->rules, "libero_serves") ? 1 : 0), "%s: libero serves %d",
              c->label, slots_served);
}

/* The six spots must hold the six players whose turn it is, the libero in the back row alone. */
static void check_who(const Case *c, int r, const cJSON *spots, bool at_serve) {
    const cJSON *rotation = cJSON_GetArrayItem(get(c->result, "rotations"), r);
    const char *replaced = word(rotation, "libero_for");
    int liberos = 0;
    cr_assert_eq(cJSON_GetArraySize(spots), 6);
    bool seen[7] = {false};
    for (int k = 0; k < 6; k++) {
        const cJSON *spot = cJSON_GetArrayItem(spots, k);
        int position = (int)json_number(spot, "position");
        cr_assert(position >= 1 && position <= 6 && !seen[position], "%s", c->label);
        seen[position] = true;
        const char *who = word(spot, "player");
        const char *own = ordered_player(c, (position - 1 + r) % 6, r);
        for (int j = 0; j < k; j++) {
            cr_assert_str_neq(who, word(cJSON_GetArrayItem(spots, j), "player"), "%s", c->label);
        }
        if (strcmp(who, own) == 0) {
            continue;
        }
        liberos++;
        cr_assert(is_named_libero(c, who), "%s: %s is no libero", c->label, who);
        cr_assert(!is_front(position), "%s: libero in the front row (FIVB 19.3.1.1)", c->label);
        if (!at_serve) { /* at our serve she may be in for another, or in only then */
            cr_assert_not_null(replaced, "%s", c->label);
            cr_assert_str_eq(replaced, own, "%s: the libero stands in for another", c->label);
        }
        if (at_serve && position == 1) {
            cr_assert(flag(rotation, "libero_serves"), "%s", c->label);
        }
    }
    cr_assert_leq(liberos, 1, "%s: rotation %d", c->label, r + 1);
    if (!at_serve) {
        cr_assert_eq(liberos, replaced ? 1 : 0, "%s: rotation %d", c->label, r + 1);
    }
}

/* --- positions ----------------------------------------------------------------------------------
 */

static double coordinate(const cJSON *spots, int position, const char *axis) {
    const cJSON *spot;
    cJSON_ArrayForEach(spot, spots) {
        if ((int)json_number(spot, "position") == position) {
            return json_number(spot, axis);
        }
    }
    return NAN;
}

/* 7.4.3.1: each back-row player is further from the centre line than the matching front-row player
 * (1 and 2, 6 and 3, 5 and 4). 7.4.3.2: the right (left) player of a row is nearer to the right
 * (left) side line than the middle one. Level feet are a fault under some codes; the margin settles
 * both wordings. */
static double least_gap(const cJSON *spots, bool server_exempt) {
    static const int behind[3][2] = {{1, 2}, {6, 3}, {5, 4}};
    static const int left_of[4][2] = {{4, 3}, {3, 2}, {5, 6}, {6, 1}};
    double least = INFINITY;
    for (int k = 0; k < 3; k++) {
        if (!(server_exempt && behind[k][0] == 1)) {
            least = fmin(least, coordinate(spots, behind[k][0], "y") -
                                    coordinate(spots, behind[k][1], "y"));
        }
    }
    for (int k = 0; k < 4; k++) {
        if (!(server_exempt && left_of[k][1] == 1)) {
            least = fmin(least, coordinate(spots, left_of[k][1], "x") -
                                    coordinate(spots, left_of[k][0], "x"));
        }
    }
    return least;
}

static void check_inside(const Case *c, const cJSON *spots, bool server_outside) {
    for (int position = 1; position <= 6; position++) {
        double x = coordinate(spots, position, "x");
        double y = coordinate(spots, position, "y");
        cr_assert(x >= 0 && x <= 9, "%s: x %g", c->label, x);
        if (server_outside && position == 1) {
            cr_assert(y > 9, "%s: the server is on court (FIVB 12.4.3)", c->label);
        } else {
            cr_assert(y > 0 && y <= 9, "%s: y %g", c->label, y);
        }
    }
}

static void check_receive(const Case *c, int r) {
    const cJSON *receive = get(cJSON_GetArrayItem(get(c->result, "rotations"), r), "receive");
    const cJSON *spots = get(receive, "spots");
    check_who(c, r, spots, false);
    check_inside(c, spots, false);
    double gap = least_gap(spots, false);
    cr_assert(gap >= margin - rounding, "%s: rotation %d, receive: %.3f m", c->label, r + 1, gap);
    cr_assert_float_eq(gap, json_number(receive, "margin"), rounding, "%s: margin", c->label);
    const cJSON *passers = get(receive, "passers");
    cr_assert_eq(cJSON_GetArraySize(passers), c->passers, "%s: rotation %d", c->label, r + 1);
    int marked = 0;
    const cJSON *spot;
    cJSON_ArrayForEach(spot, spots) {
        bool named = false;
        const cJSON *id;
        cJSON_ArrayForEach(id, passers) {
            named |= strcmp(id->valuestring, word(spot, "player")) == 0;
        }
        cr_assert_eq(named, flag(spot, "passer"), "%s: passers and spots differ", c->label);
        marked += named;
    }
    cr_assert_eq(marked, c->passers);
}

/* Everybody gets to the base that the system's file gives her, in the time the ball takes; where
 * the rules leave the serving team free all but the server stand there from the start. */
static void check_base(const Case *c, int r, const cJSON *spots) {
    for (int position = 1; position <= 6; position++) {
        int slot = (position - 1 + r) % 6;
        const cJSON *base =
            get(get(duty_of(c, slot), is_front(position) ? "front" : "back"), "base");
        const cJSON *spot = cJSON_GetArrayItem(spots, position - 1);
        double way = hypot(json_number(spot, "x") - cJSON_GetArrayItem(base, 0)->valuedouble,
                           json_number(spot, "y") - cJSON_GetArrayItem(base, 1)->valuedouble);
        cr_assert_float_eq(way, json_number(spot, "run"), 1e-9, "%s: way to base", c->label);
        cr_assert(!flag(spot, "late"), "%s: rotation %d, %d is late", c->label, r + 1, position);
        if (!flag(c->rules, "serving_team_bound") && position != 1) {
            cr_assert_float_eq(way, 0, 1e-9, "%s: not at base at once", c->label);
        }
    }
}

static void check_serve(const Case *c, int r) {
    const cJSON *serve = get(cJSON_GetArrayItem(get(c->result, "rotations"), r), "serve");
    const cJSON *spots = get(serve, "spots");
    check_who(c, r, spots, true);
    check_inside(c, spots, true);
    check_base(c, r, spots);
    if (flag(c->rules, "serving_team_bound")) {
        double gap = least_gap(spots, true);
        cr_assert(gap >= margin - rounding, "%s: rotation %d, serve: %.3f m", c->label, r + 1, gap);
    } else {
        cr_assert(cJSON_IsNull(get(serve, "margin")), "%s", c->label);
    }
}

/* A counted substitution for each change between the players of one slot; twice a cycle. */
static int planned_substitutions(const Case *c) {
    int count = 0;
    for (int s = 0; s < 6; s++) {
        const cJSON *slot = cJSON_GetArrayItem(get(c->result, "order"), s);
        count += strcmp(word(slot, "front"), word(slot, "back")) != 0 ? 2 : 0;
    }
    return count;
}

/* FIVB 15.6 and the profile's limit. */
static void check_substitutions(const Case *c) {
    const int count = planned_substitutions(c);
    cr_assert(count <= (int)json_number(c->rules, "substitutions"), "%s: %d", c->label, count);
}

/* --- sums ---------------------------------------------------------------------------------------
 */

/* Score of a rotation: every part times its weight, the run subtracted. Of the whole: the weighted
 * mean and the weakest rotation, blended by the balance. */
static void check_sums(const Case *c) {
    static const char *const parts[] = {"pass", "attack", "block", "set", "serve", "dig"};
    double mean = 0;
    double least = INFINITY;
    double weights = 0;
    const cJSON *weight = get(c->result, "weights");
    for (int r = 0; r < 6; r++) {
        const cJSON *rotation = cJSON_GetArrayItem(get(c->result, "rotations"), r);
        cr_assert_eq((int)json_number(rotation, "rotation"), r + 1);
        const cJSON *part = get(rotation, "parts");
        double score = -json_number(weight, "run") * json_number(part, "run");
        for (int k = 0; k < 6; k++) {
            double value = json_number(part, parts[k]);
            cr_assert(value >= 0 && value <= 10, "%s: %s is %g", c->label, parts[k], value);
            score += json_number(weight, parts[k]) * value;
        }
        cr_assert_float_eq(score, json_number(rotation, "score"), agree, "%s: rotation %d: %.12g",
                           c->label, r + 1, score);
        cr_assert_float_eq(json_number(part, "run"), json_number(get(rotation, "receive"), "cost"),
                           agree);
        mean += json_number(rotation, "weight") * score;
        weights += json_number(rotation, "weight");
        least = fmin(least, score);
    }
    double balance = json_number(c->result, "balance");
    double total = (1 - balance) * mean + balance * least;
    cr_assert_float_eq(weights, 1, agree, "%s: weights", c->label);
    cr_assert_float_eq(total, json_number(c->result, "score"), agree, "%s: %.12g", c->label, total);
    cr_assert_str_eq(word(c->result, "status"), "optimal");
    cr_assert_float_eq(json_number(c->result, "bound") - json_number(c->result, "score"),
                       json_number(c->result, "gap"), agree);
    cr_assert_float_eq(json_number(c->result, "gap"), 0, agree);
}

static void check_case(const char *team, const char *system, const char *rules, int passers) {
    Case c = {read_json("", team),
              read_json("systems/", system),
              read_json("rules/", rules),
              NULL,
              passers,
              ""};
    snprintf(c.label, sizeof c.label, "%s, %s, %s, %d passers", team, system, rules, passers);
    char words[256];
    snprintf(words, sizeof words,
             "plan datasets/%s.json --system %s --rules %s --passers %d --json", team, system,
             rules, passers);
    Run run = run_sixturn(words);
    cr_assert_eq(run.exit_status, 0, "%s: %s", c.label, run.err);
    c.result = cJSON_Parse(run.out);
    cr_assert_not_null(c.result, "%s", c.label);
    cr_assert_str_eq(word(c.result, "system"), system);
    cr_assert_str_eq(word(c.result, "rules"), rules);
    check_order(&c);
    check_liberos(&c);
    check_substitutions(&c);
    for (int r = 0; r < 6; r++) {
        check_receive(&c, r);
        check_serve(&c, r);
    }
    check_sums(&c);
    cJSON_Delete(c.team);
    cJSON_Delete(c.system);
    cJSON_Delete(c.rules);
    cJSON_Delete(c.result);
    run_free(&run);
}

static void check_system(const char *system) {
    for (int t = 0; t < 2; t++) {
        for (int k = SANITIZED ? 5 * t : 0; k < 6; k += SANITIZED ? 6 : 1) {
            check_case(teams[t], system, all_rules[k], 3);
        }
    }
}

Test(legal_everywhere, five_one_with_the_outside_next) {
    check_system("5-1-outside");
}

Test(legal_everywhere, five_one_with_the_middle_next) {
    check_system("5-1-middle");
}

Test(legal_everywhere, six_two) {
    check_system("6-2");
}

Test(legal_everywhere, six_two_with_double_substitutions) {
    check_system("6-2-double");
}

Test(legal_everywhere, four_two) {
    check_system("4-2");
}

Test(legal_everywhere, two_and_four_passers) {
    for (int t = 0; t < 2; t++) {
        check_case(teams[t], "5-1-outside", "fivb-2024", 2);
        check_case(teams[t], "6-2", "nfhs", 4);
    }
}

/* The checker itself must be able to say no: swapping two neighbours is a fault. */
Test(legal_everywhere, the_checker_sees_a_fault) {
    cJSON *spots = cJSON_CreateArray();
    static const double x[] = {7.5, 7.5, 4.5, 1.5, 1.5, 4.5};
    static const double y[] = {6, 1, 1, 1, 6, 7.5};
    for (int position = 1; position <= 6; position++) {
        cJSON *spot = cJSON_CreateObject();
        cJSON_AddNumberToObject(spot, "position", position);
        cJSON_AddNumberToObject(spot, "x", x[position - 1]);
        cJSON_AddNumberToObject(spot, "y", y[position - 1]);
        cJSON_AddItemToArray(spots, spot);
    }
    cr_assert_float_eq(least_gap(spots, false), 3.0, 1e-12);
    cJSON_SetNumberValue(get(cJSON_GetArrayItem(spots, 5), "y"), 0.9);
    cr_assert_float_eq(least_gap(spots, false), -0.1, 1e-12);
    cJSON_SetNumberValue(get(cJSON_GetArrayItem(spots, 5), "y"), 7.5);
    cJSON_SetNumberValue(get(cJSON_GetArrayItem(spots, 0), "x"), 4.4);
    cr_assert_float_eq(least_gap(spots, false), -0.1, 1e-12);
    cr_assert(least_gap(spots, true) > 0);
    cJSON_Delete(spots);
}
