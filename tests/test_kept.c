/* A coach's own formations and wishes in the plan: drawn as she drew them, refused when they are
 * not legal, and never cheaper for one wish more. */
#include "sixturn/kept.h"
#include "sixturn/session.h"
#include "support.h"

#include <criterion/criterion.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define JUNIORS "datasets/junior-12.json"
#define PLAN(formations) "{\"format\": \"sixturn-plan-1\", \"formations\": [" formations "]}"

static SxStatus open_with(const char *plan, SxSession **session, SxError *err) {
    SxSessionInput input;
    sx_session_input_default(&input);
    input.team.name = JUNIORS;
    input.plan = (SxSource){plan, strlen(plan), "mine.json"};
    *err = (SxError){.status = SX_OK};
    return sx_session_new(&input, session, err);
}

static SxStatus plan_with(const char *plan, SxSession **session, SxAnswer **answer, SxError *err) {
    SxAsk ask;
    *answer = NULL;
    SxStatus status = open_with(plan, session, err);
    sx_ask_default(SX_ASK_PLAN, &ask);
    return status == SX_OK ? sx_session_ask(*session, &ask, answer, err) : status;
}

static void expect_refused(const char *plan, SxStatus expected, const char *path,
                           const char *words) {
    SxSession *session = NULL;
    SxAnswer *answer = NULL;
    SxError err;
    cr_expect_eq(plan_with(plan, &session, &answer, &err), expected, "%s: %s: %s", plan, err.path,
                 err.message);
    cr_expect_str_eq(err.path, path);
    cr_expect(strstr(err.message, words), "'%s' does not say '%s'", err.message, words);
    sx_answer_free(answer);
    sx_session_free(session);
}

/* --- whole formations ---------------------------------------------------------------------------
 */

/* Rotation 3: left front, right back and middle back pass; the setter is in the left back. */
#define SPOTS_BUT_LAST                                                                             \
    "{\"position\": 1, \"x\": 7.2, \"y\": 6.0, \"passes\": true},"                                 \
    "{\"position\": 2, \"x\": 8.0, \"y\": 1.0},"                                                   \
    "{\"position\": 3, \"x\": 6.0, \"y\": 1.2},"                                                   \
    "{\"position\": 4, \"x\": 2.0, \"y\": 5.0, \"passes\": true},"                                 \
    "{\"position\": 6, \"x\": 4.5, \"y\": 6.5, \"passes\": true},"
#define SPOTS SPOTS_BUT_LAST "{\"position\": 5, \"x\": 1.5, \"y\": 5.5}"

static void expect_drawn(const SxAnswer *answer) {
    static const SxSpot drawn[SX_POSITIONS] = {{7.2, 6.0}, {8.0, 1.0}, {6.0, 1.2},
                                               {2.0, 5.0}, {1.5, 5.5}, {4.5, 6.5}};
    const SxRotation *third = &answer->plan.forecast.lineup.rotation[2];
    for (int p = 1; p <= SX_POSITIONS; p++) {
        const SxSpot at = third->receive->spot[sx_slot_at(p, 2)];
        cr_expect_eq(at.x, drawn[p - 1].x, "position %d: x %.3f", p, at.x);
        cr_expect_eq(at.y, drawn[p - 1].y, "position %d: y %.3f", p, at.y);
        const bool passes = p == 1 || p == 4 || p == 6;
        cr_expect_eq(third->passers >> sx_slot_at(p, 2) & 1, (unsigned)passes);
    }
}

Test(kept, a_legal_formation_is_drawn_exactly) {
    SxSession *session = NULL;
    SxAnswer *answer = NULL;
    SxError err;
    cr_assert_eq(
        plan_with(PLAN("{\"rotation\": 3, \"spots\": [" SPOTS "]}"), &session, &answer, &err),
        SX_OK, "%s", err.message);
    expect_drawn(answer);
    sx_answer_free(answer);
    sx_session_free(session);
}

Test(kept, an_illegal_formation_is_refused_with_the_fault_and_the_smallest_change) {
    /* the setter in the left back stands 20 cm before the left front, who is at 5.0 */
    expect_refused(PLAN("{\"rotation\": 3, \"spots\": [" SPOTS_BUT_LAST
                        "{\"position\": 5, \"x\": 1.5, \"y\": 4.8}]}"),
                   SX_NO, "", "left back is 20 cm nearer the net than left front");
    expect_refused(PLAN("{\"rotation\": 3, \"spots\": [" SPOTS_BUT_LAST
                        "{\"position\": 5, \"x\": 1.5, \"y\": 4.8}]}"),
                   SX_NO, "", "the smallest change that mends it: ");
}

Test(kept, the_number_of_passers_is_one_that_the_plan_allows) {
    expect_refused(PLAN("{\"rotation\": 3, \"spots\": [" SPOTS_BUT_LAST
                        "{\"position\": 5, \"x\": 1.5, \"y\": 5.5, \"passes\": true}]}"),
                   SX_NO, "", "4 players pass in rotation 3");
}

/* --- by player ----------------------------------------------------------------------------------
 */

/* The lineup without any wish: its six in rotation 3, by position. */
static void six_of_rotation_3(int number[SX_POSITIONS]) {
    SxSession *session = NULL;
    SxAnswer *answer = NULL;
    SxError err;
    cr_assert_eq(plan_with("{\"format\": \"sixturn-plan-1\"}", &session, &answer, &err), SX_OK);
    for (int p = 1; p <= SX_POSITIONS; p++) {
        const int player =
            sx_on_court(&answer->plan.forecast.lineup, 2, SX_RECEIVE, sx_slot_at(p, 2));
        number[p - 1] = answer->problem->team->players[player].number;
    }
    sx_answer_free(answer);
    sx_session_free(session);
}

/* A drawn formation of these six; rotation 3 as above. */
static void write_drawn(const int number[SX_POSITIONS], char *text, size_t size) {
    static const SxSpot spot[SX_POSITIONS] = {{7.2, 6.0}, {8.0, 1.0}, {6.0, 1.2},
                                              {2.0, 5.0}, {1.5, 5.5}, {4.5, 6.5}};
    size_t used = (size_t)snprintf(text, size,
                                   "{\"format\": \"sixturn-plan-1\", \"formations\": "
                                   "[{\"rotation\": 3, \"passers\": [%d, %d, %d], \"drawn\": "
                                   "{\"format\": \"sixturn-formation-1\", \"phase\": \"receive\", "
                                   "\"players\": [",
                                   number[0], number[3], number[5]);
    for (int k = 0; k < SX_POSITIONS; k++) {
        used += (size_t)snprintf(text + used, size - used,
                                 "%s{\"number\": %d, \"position\": %d, \"x\": %.1f, \"y\": %.1f}",
                                 k ? "," : "", number[k], k + 1, spot[k].x, spot[k].y);
    }
    snprintf(text + used, size - used, "]}}]}");
}

Test(kept, a_drawn_formation_holds_where_its_six_stand) {
    int number[SX_POSITIONS];
    char plan[2000];
    SxSession *session = NULL;
    SxAnswer *answer = NULL;
    SxError err;
    six_of_rotation_3(number);
    write_drawn(number, plan, sizeof plan);
    SxStatus status = plan_with(plan, &session, &answer, &err);
    cr_assert(status == SX_OK || strstr(err.message, "in this lineup"), "%s", err.message);
    if (status == SX_OK) {
        expect_drawn(answer);
    }
    sx_answer_free(answer);
    sx_session_free(session);
    const int other = number[0];
    number[0] = number[1];
    number[1] = other;
    write_drawn(number, plan, sizeof plan);
    expect_refused(plan, SX_NO, "", "is kept at right back in rotation 3, but");
}

Test(kept, a_place_by_player_follows_her) {
    int number[SX_POSITIONS];
    char plan[300], words[100];
    SxSession *session = NULL;
    SxAnswer *answer = NULL;
    SxError err;
    six_of_rotation_3(number);
    snprintf(plan, sizeof plan,
             PLAN("{\"rotation\": 3, \"wishes\": [{\"player\": %d, \"x\": 8.0, \"y\": 0.8}]}"),
             number[1]);
    cr_assert_eq(plan_with(plan, &session, &answer, &err), SX_OK, "%s", err.message);
    const SxLineup *lineup = &answer->plan.forecast.lineup;
    const int slot = sx_slot_at(2, 2);
    cr_expect_eq(answer->problem->team->players[sx_on_court(lineup, 2, SX_RECEIVE, slot)].number,
                 number[1]);
    cr_expect_eq(lineup->rotation[2].receive->spot[slot].x, 8.0);
    cr_expect_eq(lineup->rotation[2].receive->spot[slot].y, 0.8);
    sx_answer_free(answer);
    sx_session_free(session);
    for (int shirt = 1; shirt <= 12; shirt++) {
        bool plays = false;
        for (int k = 0; k < SX_POSITIONS; k++) {
            plays |= number[k] == shirt;
        }
        if (!plays) {
            snprintf(plan, sizeof plan,
                     PLAN("{\"rotation\": 3, \"wishes\": [{\"player\": %d, \"passes\": false}]}"),
                     shirt);
            snprintf(words, sizeof words, "#%d ", shirt);
            expect_refused(plan, SX_NO, "", words);
            expect_refused(plan, SX_NO, "", "is not on court when we receive in rotation 3");
            return;
        }
    }
}

/* --- what the file may say ----------------------------------------------------------------------
 */

Test(kept, mistakes_are_told_where_they_are) {
    expect_refused(PLAN("{\"rotation\": 7, \"server_x\": 1}"), SX_BAD_INPUT,
                   "formations[0].rotation", "7");
    expect_refused(PLAN("{\"rotation\": 1}"), SX_BAD_INPUT, "formations[0]", "'spots'");
    expect_refused(PLAN("{\"rotation\": 1, \"server_x\": 1}, {\"rotation\": 1, \"server_x\": 2}"),
                   SX_BAD_INPUT, "formations[1].rotation", "rotation 1 is given twice");
    expect_refused(PLAN("{\"rotation\": 1, \"wishes\": [{\"position\": 2}]}"), SX_BAD_INPUT,
                   "formations[0].wishes[0]", "expected a wish");
    expect_refused(PLAN("{\"rotation\": 1, \"wishes\": [{\"passes\": true}]}"), SX_BAD_INPUT,
                   "formations[0].wishes[0]", "'player' or 'position'");
    expect_refused(PLAN("{\"rotation\": 1, \"wishes\": [{\"position\": 2, \"x\": 3}]}"),
                   SX_BAD_INPUT, "formations[0].wishes[0]", "both 'x' and 'y'");
    expect_refused(PLAN("{\"rotation\": 1, \"wishes\": [{\"position\": 1, \"at_net\": true}, "
                        "{\"position\": 1, \"passes\": true}]}"),
                   SX_BAD_INPUT, "formations[0].wishes[1]", "given twice");
    expect_refused(PLAN("{\"rotation\": 1, \"spots\": []}"), SX_BAD_INPUT, "formations[0].spots",
                   "6");
    expect_refused(PLAN("{\"rotation\": 1, \"wishes\": [{\"position\": 1, \"attacks_from\": "
                        "\"left\"}]}"),
                   SX_OK, "", "");
}

/* A wish: its members told in full; what does not go together. */
Test(kept, mistakes_in_wishes_are_told) {
#define WISH(members) PLAN("{\"rotation\": 1, \"wishes\": [{" members "}]}")
    static const char *const told[][2] = {
        {WISH("\"player\": 1, \"position\": 2, \"passes\": true"), "not both"},
        {WISH("\"position\": 2, \"y\": 3"), "both 'x' and 'y'"},
        {WISH("\"position\": 2, \"lane\": 1, \"passes\": false"), "and not pass"},
        {WISH("\"position\": 2, \"passes\": \"often\""), "true or false"},
        {WISH("\"position\": 2, \"behind\": 99"), "99"},
        {WISH("\"position\": 2, \"behind\": {\"position\": 7}"), "7"},
        {WISH("\"position\": 2, \"attacks_from\": \"above\""), "above"},
        {PLAN(
             "{\"rotation\": 1, \"wishes\": [{\"position\": 1, \"at_net\": true}], \"spots\": []}"),
         "one of"},
        {PLAN("{\"rotation\": 1, \"server_x\": 1, \"passers\": [1, 2]}"), "drawn"},
        {PLAN("{\"rotation\": 1, \"drawn\": 3, \"passers\": [1, 2]}"), "a drawn formation"},
        {PLAN("{\"rotation\": 1, \"drawn\": \"datasets/no-such.json\", \"passers\": [1, 2]}"),
         "no-such.json"},
        {PLAN("{\"rotation\": 1, \"drawn\": {\"format\": \"no\"}, \"passers\": [1, 2]}"), "format"},
        {PLAN("{\"rotation\": 3, \"spots\": [" SPOTS_BUT_LAST "{\"position\": 5, \"x\": 1.5}]}"),
         "both 'x' and 'y'"},
        {PLAN("{\"rotation\": 3, \"spots\": [" SPOTS_BUT_LAST "{\"position\": 6, \"x\": 1, "
              "\"y\": 6}]}"),
         "given twice"},
    };
#undef WISH
    for (size_t k = 0; k < sizeof told / sizeof *told; k++) {
        SxSession *session = NULL;
        SxAnswer *answer = NULL;
        SxError err;
        cr_expect_eq(plan_with(told[k][0], &session, &answer, &err), SX_BAD_INPUT, "%s",
                     told[k][0]);
        cr_expect_eq(strncmp(err.path, "formations[0]", 13), 0, "%s: %s", told[k][0], err.path);
        cr_expect_not_null(strstr(err.message, told[k][1]), "%s: '%s' does not say '%s'",
                           told[k][0], err.message, told[k][1]);
        sx_answer_free(answer);
        sx_session_free(session);
    }
}

Test(kept, wishes_that_cannot_hold_are_a_no) {
    /* the order: left front is left of middle front */
    expect_refused(PLAN("{\"rotation\": 1, \"wishes\": [{\"position\": 4, \"x\": 8, \"y\": 2}, "
                        "{\"position\": 3, \"x\": 2, \"y\": 2}]}"),
                   SX_NO, "", "the wishes cannot all hold");
    expect_refused(PLAN("{\"rotation\": 1, \"wishes\": [{\"position\": 4, \"attacks_from\": "
                        "\"left\"}, {\"position\": 2, \"attacks_from\": \"left\"}]}"),
                   SX_NO, "", "cannot attack from there");
}

Test(kept, the_server_stands_where_the_plan_says) {
    SxSession *session = NULL;
    SxAnswer *answer = NULL;
    SxError err;
    cr_assert_eq(plan_with(PLAN("{\"rotation\": 2, \"server_x\": 7.5}"), &session, &answer, &err),
                 SX_OK, "%s", err.message);
    cr_expect_eq(answer->plan.day.serve.at[1].spot[1].x, 7.5);
    cr_expect_gt(answer->plan.day.serve.at[1].spot[1].y, SX_COURT_DEPTH);
    sx_answer_free(answer);
    sx_session_free(session);
}

/* --- any wishes ---------------------------------------------------------------------------------
 */

enum { DRAWS = SANITIZED ? 2 : 25 };

static SxKeptPlace random_place(Rng *rng, int position) {
    SxKeptPlace place = {.who = {SX_NOBODY, position},
                         .passes = -1,
                         .lane = -1,
                         .attacks_from = -1,
                         .behind = {SX_NOBODY, 0}};
    switch (rng_below(rng, 5)) {
    case 0:
        place.passes = rng_below(rng, 2);
        break;
    case 1:
        place.lane = rng_below(rng, 3);
        break;
    case 2:
        place.at_net = true;
        break;
    case 3:
        place.behind.position = 2 + rng_below(rng, 3);
        break;
    default:
        place.attacks_from = rng_below(rng, SX_LANES);
    }
    return place;
}

/* The best score with what the plan keeps; -infinity if it cannot be kept. */
static double score_of(Desk *desk, const SxPlan *plan) {
    SxFormationOptions options;
    SxFormationTable *table = NULL;
    SxProblem problem = desk->problem;
    SxLineup lineup;
    SxError err = {.status = SX_OK};
    sx_formation_default(&options);
    options.every_side = true;
    cr_assert_eq(sx_formation_table_build(&desk->system, plan->passers, plan->setter_passes,
                                          &options, &table, &err),
                 SX_OK);
    SxStatus status = sx_kept_apply(plan, &desk->rules, &desk->system, table, &err);
    problem.plan = plan;
    problem.table = table;
    if (status == SX_OK) {
        status = sx_lineup_solve(&problem, &(SxSolveOptions){.any_tie = true}, &lineup, &err);
    }
    cr_assert(status == SX_OK || status == SX_NO, "%s", err.message);
    sx_formation_table_free(table);
    return status == SX_OK ? lineup.score : -INFINITY;
}

Test(kept, removing_a_wish_never_costs_more, .timeout = 280) {
    static const double tie = 1e-5; /* what the program's answers may differ by */
    static Desk desk;
    Rng rng = {5};
    int kept_draws = 0;
    for (int n = 0; n < DRAWS; n++) {
        const int system = rng_below(&rng, 5), rotation = rng_below(&rng, SX_ROTATIONS);
        desk_read(&desk, JUNIORS, all_systems[system], "fivb-2025");
        SxPlan plan = desk.plan;
        SxKept *kept = &plan.kept[rotation];
        snprintf(kept->origin, sizeof kept->origin, "formations[0]");
        const int first = rng_below(&rng, SX_POSITIONS);
        for (int k = 0; k < 3; k++) {
            const int position = 1 + (first + 2 * k) % SX_POSITIONS;
            SxKeptPlace place = random_place(&rng, position);
            if (place.behind.position != position) {
                kept->place[kept->count++] = place;
            }
        }
        const double all = score_of(&desk, &plan);
        kept_draws += all > -INFINITY;
        kept->count--;
        const double fewer = score_of(&desk, &plan);
        cr_expect_geq(fewer, all - tie, "draw %d, %s, rotation %d: %.6f, with the wish %.6f", n,
                      all_systems[system], rotation + 1, fewer, all);
    }
    cr_expect_gt(kept_draws, DRAWS / 5, "%d of %d can be kept", kept_draws, DRAWS);
}

/* --- prices -------------------------------------------------------------------------------------
 */

/* The six of rotation 3, from where they stand to their tasks. */
static double metres_in_3(const SxAnswer *answer) {
    const SxFormation *third = answer->plan.forecast.lineup.rotation[2].receive;
    double sum = 0;
    for (int s = 0; s < SX_SLOTS; s++) {
        const SxSpot to = sx_receive_task(answer->problem->system, 2, s, third->sides);
        sum += hypot(to.x - third->spot[s].x, to.y - third->spot[s].y);
    }
    return sum;
}

static double win_with(const char *plan, double *metres) {
    SxSession *session = NULL;
    SxAnswer *answer = NULL;
    SxError err;
    cr_assert_eq(plan_with(plan, &session, &answer, &err), SX_OK, "%s", err.message);
    const double win = answer->plan.forecast.outlook.win;
    *metres = metres_in_3(answer);
    sx_answer_free(answer);
    sx_session_free(session);
    return win;
}

/* The price of the only wish, and of what is kept, is what another session finds without it. */
static void expect_price(const char *plan, const char *without, const char *sits) {
    static const double agree = 1e-6; /* sets of 100 */
    SxSession *session = NULL;
    SxAnswer *answer = NULL;
    SxError err;
    cr_assert_eq(plan_with(plan, &session, &answer, &err), SX_OK, "%s", err.message);
    const SxPrices *prices = &answer->plan.prices;
    cr_assert_eq(prices->count, 1);
    const SxPrice *price = &prices->price[0];
    double metres;
    const double cost = 100 * (win_with(without, &metres) - answer->plan.forecast.outlook.win);
    cr_expect(price->known && price->binds);
    cr_expect_float_eq(price->sets, cost, agree, "%.6f, not %.6f", price->sets, cost);
    if (price->rotation >= 0) {
        const double more = metres_in_3(answer) - metres;
        cr_expect_float_eq(price->run, more, agree, "%.3f m, not %.3f", price->run, more);
    }
    bool found = !sits;
    for (int k = 0; k < price->sit_count; k++) {
        found |= strcmp(answer->problem->team->players[price->sits[k]].id, sits) == 0;
    }
    cr_expect(found, "%s sits because of it", sits);
    sx_answer_free(answer);
    sx_session_free(session);
}

Test(prices, are_what_the_plan_without_the_wish_wins_more) {
    expect_price(
        "{\"format\": \"sixturn-plan-1\", \"wishes\": {\"must_sit\": [\"nele-brandahl\"]}}",
        "{\"format\": \"sixturn-plan-1\"}", "nele-brandahl");
    expect_price(PLAN("{\"rotation\": 3, \"spots\": [" SPOTS "]}"),
                 "{\"format\": \"sixturn-plan-1\"}", NULL);
}

/* --- obeyed everywhere --------------------------------------------------------------------------
 */

#define KEPT PLAN("{\"rotation\": 3, \"spots\": [" SPOTS "]}")

static SxStatus ask_of(SxSession *session, SxQuestion question, SxAnswer **answer, SxError *err) {
    static const char *const first[] = {"1"};
    SxAsk ask;
    sx_ask_default(question, &ask);
    ask.absent.players = ask.worth.players = first;
    ask.absent.count = ask.worth.count = 1;
    return sx_session_ask(session, &ask, answer, err);
}

/* As drawn in SPOTS, passers too. */
static void expect_third(const SxRotation *third, const char *where) {
    static const SxSpot drawn[SX_POSITIONS] = {{7.2, 6.0}, {8.0, 1.0}, {6.0, 1.2},
                                               {2.0, 5.0}, {1.5, 5.5}, {4.5, 6.5}};
    for (int p = 1; p <= SX_POSITIONS; p++) {
        const int slot = sx_slot_at(p, 2);
        cr_expect_eq(third->receive->spot[slot].x, drawn[p - 1].x, "%s, position %d", where, p);
        cr_expect_eq(third->receive->spot[slot].y, drawn[p - 1].y, "%s, position %d", where, p);
        cr_expect_eq(third->passers >> slot & 1, (unsigned)(p == 1 || p == 4 || p == 6));
    }
}

/* One session for each question, so that none lives on what another has settled. */
Test(kept, holds_in_every_question_with_the_same_odds) {
    static const SxQuestion questions[] = {SX_ASK_PLAN,   SX_ASK_ODDS,   SX_ASK_RANK,
                                           SX_ASK_SHEET,  SX_ASK_REPORT, SX_ASK_MOMENT,
                                           SX_ASK_RECEIVE};
    double win = NAN;
    for (size_t k = 0; k < sizeof questions / sizeof *questions; k++) {
        char where[24];
        SxSession *session = NULL;
        SxAnswer *a = NULL;
        SxError err;
        snprintf(where, sizeof where, "question %d", (int)questions[k]);
        cr_assert_eq(open_with(KEPT, &session, &err), SX_OK);
        cr_assert_eq(ask_of(session, questions[k], &a, &err), SX_OK, "%s: %s", where, err.message);
        const SxForecast *forecast = a->question == SX_ASK_ODDS      ? &a->odds.forecast
                                     : a->question == SX_ASK_MOMENT  ? &a->moment.forecast
                                     : a->question == SX_ASK_RECEIVE ? &a->receive.forecast
                                                                     : &a->plan.forecast;
        const bool ranked = a->question == SX_ASK_RANK;
        const SxLineup *lineup = ranked ? &a->rank.ranking.item[0] : &forecast->lineup;
        const double wins = ranked ? lineup->win : forecast->outlook.win;
        expect_third(&lineup->rotation[2], where);
        win = k == 0 ? wins : win;
        cr_expect_float_eq(wins, win, 1e-9, "%s: %.9f, not %.9f", where, wins, win);
        sx_answer_free(a);
        sx_session_free(session);
    }
}

/* The worst that a coach can keep: every other order, too, has it in that rotation. */
Test(kept, holds_in_all_ranked_orders) {
    SxSession *session = NULL;
    SxAnswer *answer = NULL;
    SxError err;
    cr_assert_eq(open_with(KEPT, &session, &err), SX_OK);
    cr_assert_eq(ask_of(session, SX_ASK_RANK, &answer, &err), SX_OK);
    cr_expect_gt(answer->rank.ranking.count, 3);
    for (int k = 0; k < answer->rank.ranking.count; k++) {
        expect_third(&answer->rank.ranking.item[k].rotation[2], "rank");
    }
    sx_answer_free(answer);
    sx_session_free(session);
}

/* What the best lineup does anyhow is free, one wish at a time or all at once. */
Test(prices, of_wishes_that_do_not_bind_are_nothing) {
    static const char *const plans[] = {
        "{\"format\": \"sixturn-plan-1\", \"wishes\": {\"must_play\": [1, 3]}}",
        "{\"format\": \"sixturn-plan-1\", \"wishes\": {\"must_play\": [1, 3], "
        "\"must_sit\": [5]}}"};
    for (int k = 0; k < 2; k++) {
        SxSession *session = NULL;
        SxAnswer *answer = NULL;
        SxError err;
        cr_assert_eq(plan_with(plans[k], &session, &answer, &err), SX_OK, "%s", err.message);
        const SxPrices *prices = &answer->plan.prices;
        cr_assert_eq(prices->count, 2 + k);
        for (int w = 0; w < 2 + k; w++) {
            const bool sits =
                prices->price[w].wish >= 0 &&
                answer->problem->plan->wishes[prices->price[w].wish].kind == SX_MUST_SIT;
            cr_expect(prices->price[w].known);
            cr_expect_eq(prices->price[w].binds, sits, "plan %d, wish %d", k, w);
            cr_expect(sits ? prices->price[w].sets > 0 : fabs(prices->price[w].sets) < 1e-6);
        }
        sx_answer_free(answer);
        sx_session_free(session);
    }
}

/* plan, odds and report name one price. */
Test(prices, of_kept_formations_are_the_same_in_plan_odds_and_report) {
    static const SxQuestion questions[] = {SX_ASK_PLAN, SX_ASK_ODDS, SX_ASK_REPORT};
    SxSession *session = NULL;
    SxError err;
    SxPrice price[3];
    cr_assert_eq(open_with(KEPT, &session, &err), SX_OK);
    for (int k = 0; k < 3; k++) {
        SxAnswer *answer = NULL;
        cr_assert_eq(ask_of(session, questions[k], &answer, &err), SX_OK, "%s", err.message);
        const SxPrices *prices = k == 0   ? &answer->plan.prices
                                 : k == 1 ? &answer->odds.prices
                                          : &answer->report.prices;
        cr_assert_eq(prices->count, 1);
        price[k] = prices->price[0];
        if (k == 1) {
            char *text = sx_answer_text(answer);
            cr_expect_not_null(strstr(text, "your formation of rotation 3"));
            free(text);
        }
        char *page = NULL;
        size_t size = 0;
        if (k == 2 && sx_answer_file(answer, &page, &size, &err) == SX_OK) { /* if it can draw */
            char cell[32];
            snprintf(cell, sizeof cell, ">%+.1f<", price[k].run);
            const char *table = strstr(page, "What your own formations cost");
            cr_assert_not_null(table);
            cr_expect_not_null(strstr(table, cell), "no %s", cell);
        }
        free(page);
        sx_answer_free(answer);
    }
    for (int k = 1; k < 3; k++) {
        cr_expect_float_eq(price[k].sets, price[0].sets, 1e-9);
        cr_expect_float_eq(price[k].run, price[0].run, 1e-9);
    }
    sx_session_free(session);
}
