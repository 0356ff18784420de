/* sixturn receive: what else to do in a rotation. Each choice is legal by this file's own table of
 * the seven relations (FIVB 7.4.2, 7.4.3), worth what the lineup wins with it by a table built for
 * it, none that is cheaper is missing, and the one that is kept is drawn as it was told. */
#define _POSIX_C_SOURCE 200809L
#include "sixturn/bestset.h"
#include "sixturn/evaluate.h"
#include "sixturn/kept.h"
#include "sixturn/session.h"
#include "support.h"

#include <cjson/cJSON.h>
#include <criterion/criterion.h>
#include <math.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#define JUNIORS "datasets/junior-12.json"
#define JUNIOR_PLAN "datasets/junior-12-plan.json"
#define CLUB "datasets/club-16.json"

static SxSession *open_session(const char *team, const char *system, const char *plan) {
    SxSessionInput input;
    SxSession *session = NULL;
    SxError err = {.status = SX_OK};
    sx_session_input_default(&input);
    input.team.name = team;
    input.system.name = system;
    if (plan) {
        input.plan = (SxSource){plan, strlen(plan), "mine.json"};
    }
    cr_assert_eq(sx_session_new(&input, &session, &err), SX_OK, "%s", err.message);
    return session;
}

static SxAnswer *others_of(SxSession *session, int rotation, int top, int keep) {
    SxAsk ask;
    SxAnswer *answer = NULL;
    SxError err = {.status = SX_OK};
    sx_ask_default(SX_ASK_RECEIVE, &ask);
    ask.receive = (SxReceiveAsk){.rotation = rotation, .top = top, .keep = keep};
    cr_assert_eq(sx_session_ask(session, &ask, &answer, &err), SX_OK, "%s", err.message);
    return answer;
}

/* --- legal, different, rightly priced -----------------------------------------------------------
 */

static void expect_legal(const SxFormation *f, int rotation, const char *where) {
    for (int k = 0; k < RELATIONS; k++) {
        const SxSpot a = f->spot[(relations[k].less - 1 + rotation) % 6],
                     b = f->spot[(relations[k].more - 1 + rotation) % 6];
        const double room = relations[k].axis == 'x' ? b.x - a.x : b.y - a.y;
        cr_expect_geq(room, 0.30 - 1e-9, "%s: positions %d and %d: %.3f m", where,
                      relations[k].less, relations[k].more, room);
    }
    for (int s = 0; s < SX_SLOTS; s++) {
        cr_expect(f->spot[s].x >= 0 && f->spot[s].x <= 9 && f->spot[s].y >= 0 && f->spot[s].y <= 9);
    }
}

static bool same_way(const SxFormation *a, const SxFormation *b) {
    bool near = true;
    for (int s = 0; s < SX_SLOTS; s++) {
        near &= hypot(a->spot[s].x - b->spot[s].x, a->spot[s].y - b->spot[s].y) < SX_ELSEWHERE;
    }
    return near && a->sides == b->sides && a->passers == b->passers &&
           memcmp(a->lane, b->lane, sizeof a->lane) == 0;
}

/* What the lineup wins with the table's formation of these passers and sides in one rotation. */
static double wins_with(const SxProblem *problem, const SxLineup *lineup, int rotation,
                        unsigned passers, int sides) {
    SxLineup with = *lineup;
    SxError err;
    with.rotation[rotation].passers = passers;
    with.rotation[rotation].sides = sides;
    sx_lineup_score(problem, &with);
    cr_assert_eq(sx_lineup_win(problem, &with, &err), SX_OK);
    return 100 * with.win;
}

static bool wishes_hold(const SxProblem *problem, const SxLineup *lineup, int rotation,
                        const SxFormation *f) {
    SxLineup with = *lineup;
    with.rotation[rotation].passers = f->passers;
    with.rotation[rotation].sides = f->sides;
    with.rotation[rotation].receive = f;
    for (int k = 0; k < problem->plan->wish_count; k++) {
        if (!sx_wish_holds(problem, &with, &problem->plan->wishes[k])) {
            return false;
        }
    }
    return true;
}

/* Of each set of passers and sides the table has the cheapest formation: nothing there wins more
 * than the last choice and is not told, but what is too like others. */
static void expect_none_missing(const SxProblem *problem, const SxLineup *lineup,
                                const SxAlternatives *others, int rotation) {
    const double own = 100 * others->win;
    const double last = others->count ? others->item[others->count - 1].sets : INFINITY;
    int looked = 0;
    for (unsigned mask = 1; mask < SX_MASKS; mask++) {
        for (int sides = 0; sides < SX_SIDES; sides++) {
            const SxFormation *f = sx_formation_at(problem->table, rotation, mask, sides);
            bool told = f && same_way(f, lineup->rotation[rotation].receive);
            if (!f || !f->feasible || !wishes_hold(problem, lineup, rotation, f)) {
                continue;
            }
            looked++;
            for (int k = 0; k < others->count; k++) {
                told |= others->item[k].formation.passers == mask &&
                        others->item[k].formation.sides == sides;
            }
            const double loss = own - wins_with(problem, lineup, rotation, mask, sides);
            cr_expect(told || loss >= last - 0.051,
                      "rotation %d: passers %x, sides %d cost %.3f only, the last %.3f",
                      rotation + 1, mask, sides, loss, last);
        }
    }
    cr_expect_eq(looked, others->choices);
}

static void expect_prices(const SxProblem *asked, const SxLineup *lineup,
                          const SxAlternatives *others, int rotation) {
    for (int k = 0; k < others->count; k++) {
        const SxFormation *f = &others->item[k].formation;
        SxProblem problem = *asked;
        SxPlan plan = *problem.plan;
        SxFormationTable *table = NULL;
        SxError err = {.status = SX_OK};
        double metres = 0;
        sx_keep_formation(problem.system, rotation, f, &plan.kept[rotation]);
        cr_assert_eq(sx_plan_formation_table(&plan, problem.system, NULL, &table, &err), SX_OK);
        cr_assert_eq(sx_kept_apply(&plan, problem.rules, problem.system, table, &err), SX_OK, "%s",
                     err.message);
        problem.plan = &plan;
        problem.table = table;
        const double loss =
            100 * others->win - wins_with(&problem, lineup, rotation, f->passers, f->sides);
        cr_expect_float_eq(others->item[k].sets, loss, 1e-6,
                           "rotation %d, choice %d: %.4f, not %.4f", rotation + 1, k + 1,
                           others->item[k].sets, loss);
        for (int s = 0; s < SX_SLOTS; s++) {
            const SxSpot to = sx_receive_task(problem.system, rotation, s, f->sides);
            metres += hypot(to.x - f->spot[s].x, to.y - f->spot[s].y);
        }
        cr_expect_float_eq(others->item[k].run, metres, 1e-6);
        sx_formation_table_free(table);
    }
}

static void expect_good(SxSession *session, int rotation, int top, const char *where) {
    SxAnswer *answer = others_of(session, rotation, top, 0);
    const SxAlternatives *others = &answer->receive.others;
    cr_expect_eq(others->rotation, rotation);
    cr_expect_gt(others->count, 2, "%s, rotation %d: %d choices", where, rotation + 1,
                 others->count);
    cr_expect(others->whole);
    for (int k = 0; k < others->count; k++) {
        const SxFormation *f = &others->item[k].formation;
        expect_legal(f, rotation, where);
        cr_expect_eq(sx_count_members(f->passers), 3);
        cr_expect(!same_way(f, answer->receive.forecast.lineup.rotation[rotation].receive));
        for (int n = 0; n < k; n++) {
            cr_expect(!same_way(f, &others->item[n].formation), "choices %d and %d", n + 1, k + 1);
            cr_expect_leq(others->item[n].sets, others->item[k].sets + 0.05 + 1e-9);
        }
    }
    const SxLineup *lineup = &answer->receive.forecast.lineup;
    expect_prices(answer->problem, lineup, others, rotation);
    expect_none_missing(answer->problem, lineup, others, rotation);
    sx_answer_free(answer);
}

enum { EVERY_OF_OWN = SANITIZED ? 3 : 1, EVERY_OF_OTHERS = SANITIZED ? 6 : 2 };

Test(receive, lists_legal_and_different_formations_at_their_price, .timeout = 280) {
    static const struct {
        const char *team, *system;
    } cases[] = {{JUNIORS, "5-1-outside"}, {JUNIORS, "4-2"}, {CLUB, "5-1-middle"}};
    for (size_t k = 0; k < sizeof cases / sizeof *cases; k++) {
        SxSession *session = open_session(cases[k].team, cases[k].system, NULL);
        for (int r = 0; r < SX_ROTATIONS; r += k ? EVERY_OF_OTHERS : EVERY_OF_OWN) {
            expect_good(session, r, 6, cases[k].system);
        }
        sx_session_free(session);
    }
}

enum { DRAWS = SANITIZED ? 2 : 8 };

/* Rosters with every role and side, and every option of the plan. */
Test(receive, holds_for_random_teams_and_plans, .timeout = 280) {
    static Desk desk;
    static SxRallyModel model;
    SxOpponent opponent;
    Rng rng = {77};
    SxError err = {.status = SX_OK};
    int looked = 0;
    cr_assert_eq(sx_rally_load(NULL, &model, &err), SX_OK);
    for (int n = 0; n < DRAWS; n++) {
        SxLineup lineup;
        SxOutlook outlook;
        SxAlternatives others;
        const int rotation = rng_below(&rng, SX_ROTATIONS);
        memset(&desk.team, 0, sizeof desk.team);
        random_team(&rng, 10 + rng_below(&rng, 3), &desk.team);
        random_roles(&rng, &desk.team);
        desk_set(&desk, all_systems[n % 3], all_rules[rng_below(&rng, 6)], 1u << 3);
        random_options(&rng, &desk.team, &desk.plan);
        desk.plan.specialists = 0; /* a set is then worth what the limit of substitutions leaves */
        sx_even_opponent(&desk.team, &model, &opponent);
        const SxFixture fixture = {&model, &opponent, NULL};
        desk.problem.against = &fixture;
        if (sx_best_value(&desk.problem, NULL, &lineup, &err) != SX_OK ||
            sx_substitutions_per_cycle(&lineup) > 0) {
            continue;
        }
        cr_assert_eq(sx_lineup_outlook(&desk.problem, &lineup, &fixture, &outlook, &err), SX_OK);
        cr_assert_eq(sx_alternatives(&desk.problem, &fixture, &lineup, outlook.win, rotation, 4,
                                     NULL, &others, &err),
                     SX_OK, "%s", err.message);
        for (int k = 0; k < others.count; k++) {
            expect_legal(&others.item[k].formation, rotation, "random");
        }
        expect_prices(&desk.problem, &lineup, &others, rotation);
        expect_none_missing(&desk.problem, &lineup, &others, rotation);
        looked += others.count > 0;
    }
    cr_expect_gt(looked, DRAWS / 3, "%d of %d draws have another formation", looked, DRAWS);
}

Test(receive, a_player_who_never_passes_does_not) {
    SxSession *session = open_session(JUNIORS, NULL,
                                      "{\"format\": \"sixturn-plan-1\", \"wishes\": "
                                      "{\"never_pass\": [\"ylva-sandkamp\"]}}");
    for (int r = 0; r < SX_ROTATIONS; r += EVERY_OF_OWN) {
        SxAnswer *answer = others_of(session, r, 6, 0);
        const SxLineup *lineup = &answer->receive.forecast.lineup;
        for (int k = 0; k < answer->receive.others.count; k++) {
            for (int s = 0; s < SX_SLOTS; s++) {
                const bool passes = answer->receive.others.item[k].formation.passers >> s & 1;
                const int who = sx_on_court(lineup, r, SX_RECEIVE, s);
                cr_expect(!passes ||
                          strcmp(answer->problem->team->players[who].id, "ylva-sandkamp") != 0);
            }
        }
        sx_answer_free(answer);
    }
    sx_session_free(session);
}

/* The lineup is known, then somebody stops: there is no answer, not an empty one. */
Test(receive, stopped_before_anything_was_found_is_out_of_time) {
    volatile sig_atomic_t stop = 0;
    SxSessionInput input;
    SxSession *session = NULL;
    SxAnswer *answer = NULL;
    SxAsk ask;
    SxError err = {.status = SX_OK};
    sx_session_input_default(&input);
    input.team.name = JUNIORS;
    input.work.stop = &stop;
    cr_assert_eq(sx_session_new(&input, &session, &err), SX_OK);
    sx_ask_default(SX_ASK_PLAN, &ask);
    cr_assert_eq(sx_session_ask(session, &ask, &answer, &err), SX_OK, "%s", err.message);
    sx_answer_free(answer);
    stop = 1;
    sx_ask_default(SX_ASK_RECEIVE, &ask);
    cr_expect_eq(sx_session_ask(session, &ask, &answer, &err), SX_OUT_OF_TIME);
    cr_expect_null(answer);
    sx_session_free(session);
}

/* The weak rotation is the one that a coach wants to mend. */
Test(receive, asks_of_the_weak_rotation_if_none_is_named) {
    SxSession *session = open_session(JUNIORS, NULL, NULL);
    SxAnswer *answer = others_of(session, SX_NOT_SAID, 1, 0);
    const SxLineup *lineup = &answer->receive.forecast.lineup;
    double least = INFINITY;
    for (int r = 0; r < SX_ROTATIONS; r++) {
        least = fmin(least, lineup->rotation[r].score);
    }
    cr_expect_eq(lineup->rotation[answer->receive.others.rotation].score, least);
    sx_answer_free(answer);
    sx_session_free(session);
}

/* --- one of them into the plan ------------------------------------------------------------------
 */

/* The kept formation stands in the lineup as it was told, and the lineup planned anew wins at least
 * what the choice promised. */
Test(receive, what_is_kept_is_drawn_and_costs_no_more_than_told) {
    for (int r = 0; r < SX_ROTATIONS; r += EVERY_OF_OWN) {
        SxSession *session = open_session(JUNIORS, NULL, NULL);
        SxAnswer *answer = others_of(session, r, 3, 3), *again = NULL;
        const SxAlternative choice = answer->receive.others.item[2];
        const double promised = 100 * answer->receive.others.win - choice.sets;
        SxSession *kept = open_session(JUNIORS, NULL, answer->receive.plan);
        SxAsk ask;
        SxError err = {.status = SX_OK};
        sx_ask_default(SX_ASK_PLAN, &ask);
        cr_assert_eq(sx_session_ask(kept, &ask, &again, &err), SX_OK, "%s", err.message);
        const SxRotation *at = &again->plan.forecast.lineup.rotation[r];
        cr_expect_eq(at->passers, choice.formation.passers);
        cr_expect_eq(at->sides, choice.formation.sides);
        for (int s = 0; s < SX_SLOTS; s++) {
            cr_expect_float_eq(at->receive->spot[s].x, choice.formation.spot[s].x, 1e-9);
            cr_expect_float_eq(at->receive->spot[s].y, choice.formation.spot[s].y, 1e-9);
        }
        cr_expect_geq(100 * again->plan.forecast.outlook.win, promised - 1e-6);
        cr_expect_eq(again->plan.prices.count, 1, "the price of the kept formation is told");
        cr_expect_eq(again->plan.prices.price[0].rotation, r);
        sx_answer_free(again);
        sx_session_free(kept);
        sx_answer_free(answer);
        sx_session_free(session);
    }
}

static char folder[] = "/tmp/sixturn-receive-XXXXXX";
static char file[64];

static void make_folder(void) {
    cr_assert_not_null(mkdtemp(folder));
    snprintf(file, sizeof file, "%s/mine.json", folder);
}

static void remove_folder(void) {
    remove(file);
    cr_expect_eq(rmdir(folder), 0, "something was left behind");
}

static void write_plan(const char *text) {
    FILE *out = fopen(file, "w");
    cr_assert(out && fputs(text, out) >= 0 && fclose(out) == 0);
}

static cJSON *read_plan(void) {
    char *text = slurp(file);
    cJSON *plan = cJSON_Parse(text);
    free(text);
    cr_assert_not_null(plan);
    return plan;
}

/* @: the file. */
static void expect_run(const char *words, int status, const char *told) {
    char line[256];
    const char *at = strchr(words, '@');
    const int before = at ? (int)(at - words) : (int)strlen(words);
    snprintf(line, sizeof line, "%.*s%s%s", before, words, at ? file : "", at ? at + 1 : "");
    Run run = run_sixturn(line);
    cr_expect_eq(run.exit_status, status, "%s: %d: %s", line, run.exit_status, run.err);
    cr_expect(strstr(status ? run.err : run.out, told), "%s: '%s' does not say '%s'", line,
              status ? run.err : run.out, told);
    run_free(&run);
}

TestSuite(receive_keep, .init = make_folder, .fini = remove_folder);

Test(receive_keep, the_rest_of_the_plan_stays) {
    char *before = slurp(JUNIOR_PLAN);
    write_plan(before);
    expect_run("receive " JUNIORS " --plan @ --rotation 2 --keep 1", 0, "choice 1");
    cJSON *plan = read_plan(), *old = cJSON_Parse(before);
    cJSON *kept = cJSON_DetachItemFromObject(plan, "formations");
    cr_expect(cJSON_Compare(plan, old, true), "other members changed");
    cr_assert_eq(cJSON_GetArraySize(kept), 1);
    const cJSON *entry = cJSON_GetArrayItem(kept, 0);
    cr_expect_eq(cJSON_GetObjectItem(entry, "rotation")->valueint, 2);
    cr_expect_eq(cJSON_GetArraySize(cJSON_GetObjectItem(entry, "spots")), 6);
    cJSON_Delete(kept);
    cJSON_Delete(plan);
    cJSON_Delete(old);
    free(before);
}

Test(receive_keep, takes_the_place_of_what_was_kept_but_for_the_server) {
    write_plan(
        "{\"format\": \"sixturn-plan-1\", \"formations\": [{\"rotation\": 5, \"server_x\": 2}, "
        "{\"rotation\": 2, \"server_x\": 8.25, \"wishes\": [{\"position\": 3, \"at_net\": "
        "true}]}]}");
    expect_run("receive " JUNIORS " --plan @ --rotation 2 --keep 2", 0, "Written: ");
    cJSON *plan = read_plan(), *kept = cJSON_GetObjectItem(plan, "formations");
    cr_assert_eq(cJSON_GetArraySize(kept), 2);
    const cJSON *entry = cJSON_GetArrayItem(kept, 1);
    cr_expect_null(cJSON_GetObjectItem(entry, "wishes"));
    cr_expect_eq(cJSON_GetObjectItem(entry, "server_x")->valuedouble, 8.25);
    cr_expect_eq(cJSON_GetArraySize(cJSON_GetObjectItem(entry, "spots")), 6);
    cJSON_Delete(plan);
    expect_run("plan " JUNIORS " --plan @", 0, "your formation of rotation 2 (formations[1])");
}

Test(receive_keep, a_new_plan_says_its_system) {
    expect_run("receive " JUNIORS " --system 4-2 --rotation 1 --keep 1 -o @", 0, "Written: ");
    cJSON *plan = read_plan();
    cr_expect_str_eq(cJSON_GetObjectItem(plan, "system")->valuestring, "4-2");
    cJSON_Delete(plan);
    expect_run("plan " JUNIORS " --plan @", 0, "your formation of rotation 1");
    expect_run("receive " JUNIORS " --plan @ --system 5-1-outside --keep 1", 2,
               "the plan is for the system 4-2");
}

Test(receive_keep, nothing_is_written_where_it_cannot_be) {
    expect_run("receive " JUNIORS " --keep 1", 2, "--keep needs a plan");
    expect_run("receive " JUNIORS " -o @", 2, "-o goes with --keep");
    expect_run("receive " JUNIORS " --keep 21 -o @", 2, "--keep");
    expect_run("receive " JUNIORS " --rotation 7", 2, "--rotation");
    expect_run("receive " JUNIORS " --keep 1 -o @/below.json", 4, "cannot write");
    write_plan("who,wish,whom,value\n7,must play,,\n");
    char sheet[80];
    snprintf(sheet, sizeof sheet, "%s/mine.csv", folder);
    cr_assert_eq(rename(file, sheet), 0);
    char words[200];
    snprintf(words, sizeof words, "receive " JUNIORS " --plan %s --keep 1", sheet);
    Run run = run_sixturn(words);
    cr_expect_eq(run.exit_status, 2);
    cr_expect_not_null(strstr(run.err, "a sheet of wishes holds no formations"), "%s", run.err);
    run_free(&run);
    char *text = slurp(sheet);
    cr_expect_str_eq(text, "who,wish,whom,value\n7,must play,,\n");
    free(text);
    remove(sheet);
    /* four passers, where the plan allows three */
    write_plan("{\"format\": \"sixturn-plan-1\", \"passers\": 3}");
    expect_run("receive " JUNIORS " --plan @ --passers 4 --keep 1", 1, "4 players pass");
    char *same = slurp(file);
    cr_expect_str_eq(same, "{\"format\": \"sixturn-plan-1\", \"passers\": 3}");
    free(same);
}
