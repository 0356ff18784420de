/* The terms of the formation program: the shipped file, a coach's own, and every mistake told. */
#define _POSIX_C_SOURCE 200809L
#include "sixturn/session.h"
#include "support.h"

#include <criterion/criterion.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const char shipped_file[] = "datasets/formation-terms.json";

/* The shipped file with one passage replaced. */
static char *changed(const char *from, const char *to) {
    FILE *in = fopen(shipped_file, "rb");
    cr_assert_not_null(in);
    char *text = calloc(1, 1 << 16), *made = calloc(1, 1 << 16);
    cr_assert_gt(fread(text, 1, (1 << 16) - 1, in), 0u);
    fclose(in);
    const char *at = strstr(text, from);
    cr_assert_not_null(at, "'%s' is not in the file", from);
    snprintf(made, 1 << 16, "%.*s%s%s", (int)(at - text), text, to, at + strlen(from));
    free(text);
    return made;
}

Test(formationterms, the_compiled_in_are_those_of_the_file) {
    SxFormationTerms built_in, read;
    SxError err = {.status = SX_OK};
    cr_assert_eq(sx_formation_terms_load(NULL, &built_in, &err), SX_OK, "%s", err.message);
    cr_assert_eq(sx_formation_terms_load(shipped_file, &read, &err), SX_OK, "%s", err.message);
    for (int k = 0; k < SX_COST_COUNT; k++) {
        cr_expect_eq(built_in.cost[k], read.cost[k], "%s", sx_formation_cost_name(k));
    }
    for (int k = 0; k < SX_ROOM_COUNT; k++) {
        cr_expect_eq(built_in.room[k], read.room[k], "%s", sx_formation_room_name(k));
    }
    cr_expect_eq(read.cost[SX_COST_OFF_LANE], 2.0);
    cr_expect_eq(read.room[SX_ROOM_ELBOW], 0.70);
}

typedef struct {
    const char *from, *to, *path, *told;
} Mistake;

Test(formationterms, every_mistake_is_told_with_its_place) {
    static const Mistake mistakes[] = {
        {"\"seam\": {\"value\": 2.00", "\"seam\": {\"value\": -1", "costs.seam.value", "0"},
        {"\"seam\": {\"value\": 2.00", "\"seam\": {\"value\": 0.0005", "costs.seam.value",
         "thousandths"},
        {"\"elbow\": {\"value\": 0.70", "\"elbow\": {\"value\": 0.701", "rooms.elbow.value",
         "centimetres"},
        {"\"elbow\"", "\"elbows\"", "rooms.elbows", "elbow"},
        {"sixturn-formation-terms-1", "sixturn-team-1", "format", "sixturn-formation-terms-1"},
        {"\"unit\": \"a metre\"", "\"unit\": 7", "costs.off_lane.unit", "text"},
    };
    for (size_t k = 0; k < sizeof mistakes / sizeof *mistakes; k++) {
        SxFormationTerms terms = {{7}, {7}};
        SxError err = {.status = SX_OK};
        char *text = changed(mistakes[k].from, mistakes[k].to);
        cr_expect_eq(sx_formation_terms_parse(text, strlen(text), "mine.json", &terms, &err),
                     SX_BAD_INPUT);
        cr_expect_str_eq(err.path, mistakes[k].path);
        cr_expect_not_null(strstr(err.message, mistakes[k].told), "%s", err.message);
        cr_expect_eq(terms.cost[0], 7, "touched though the file is wrong");
        free(text);
    }
}

/* A coach to whom the way of the setter is everything gets her nearer to the target. */
Test(formationterms, another_taste_is_another_formation) {
    SxFormationTerms terms;
    SxSystem system;
    SxError err = {.status = SX_OK};
    SxFormationOptions options;
    SxFormation usual, hers;
    char *text = changed("\"setter_run\": {\"value\": 0.50", "\"setter_run\": {\"value\": 9.00");
    cr_assert_eq(sx_formation_terms_parse(text, strlen(text), "mine.json", &terms, &err), SX_OK,
                 "%s", err.message);
    free(text);
    cr_assert_eq(sx_system_load("5-1-outside", &system, &err), SX_OK);
    sx_formation_default(&options);
    unsigned passers = 1u << 1 | 1u << 4 | 1u << 5;
    cr_assert_eq(sx_formation_receive(&system, 0, passers, &options, &usual, &err), SX_OK);
    options.terms = &terms;
    cr_assert_eq(sx_formation_receive(&system, 0, passers, &options, &hers, &err), SX_OK);
    cr_expect_lt(hers.run[0], usual.run[0] - 0.3, "%.2f m, %.2f m", hers.run[0], usual.run[0]);
}

/* --- in every question ---------------------------------------------------------------------------
 */

static SxStatus ask_with(const char *terms, SxQuestion question, SxSession **session,
                         SxAnswer **answer, SxError *err) {
    SxSessionInput input;
    SxAsk ask;
    *answer = NULL;
    *err = (SxError){.status = SX_OK};
    sx_session_input_default(&input);
    sx_ask_default(question, &ask);
    ask.report.brief = true;
    input.team.name = "datasets/junior-12.json";
    if (terms) {
        input.formation_terms = (SxSource){terms, strlen(terms), "mine.json"};
    }
    SxStatus status = sx_session_new(&input, session, err);
    return status == SX_OK ? sx_session_ask(*session, &ask, answer, err) : status;
}

static const SxLineup *lineup_of(const SxAnswer *answer) {
    return answer->question == SX_ASK_ODDS     ? &answer->odds.forecast.lineup
           : answer->question == SX_ASK_MOMENT ? &answer->moment.forecast.lineup
           : answer->question == SX_ASK_RANK   ? &answer->rank.ranking.item[0]
                                               : &answer->plan.forecast.lineup;
}

/* What six spots cost by these terms, added up term by term. */
static double price(const SxSystem *system, int rotation, const SxFormation *f,
                    const SxFormationTerms *terms) {
    SxFormationOptions options;
    SxError err;
    double term[SX_COST_COUNT], sum = 0;
    sx_formation_default(&options);
    options.terms = terms;
    cr_assert_eq(sx_formation_price(system, rotation, f, &options, term, &err), SX_OK);
    for (int k = 0; k < SX_COST_COUNT; k++) {
        sum += term[k];
    }
    return sum;
}

/* The best by her terms for the same passers and sides: shipped tables are of no use for her. */
static int expect_hers(const SxAnswer *answer, const SxFormationTerms *hers) {
    const SxSystem *system = answer->problem->system;
    const SxLineup *lineup = lineup_of(answer);
    int others = 0;
    for (int r = 0; r < SX_ROTATIONS; r++) {
        const SxFormation *got = lineup->rotation[r].receive;
        SxFormationOptions options;
        SxFormation usual, best;
        sx_formation_default(&options);
        options.sides = got->sides;
        cr_assert_eq(sx_formation_receive(system, r, got->passers, &options, &usual, NULL), SX_OK);
        options.terms = hers;
        cr_assert_eq(sx_formation_receive(system, r, got->passers, &options, &best, NULL), SX_OK);
        cr_expect_float_eq(price(system, r, got, hers), best.cost, 1e-9, "rotation %d", r + 1);
        for (int s = 0; s < SX_SLOTS; s++) {
            cr_expect_eq(got->spot[s].x, best.spot[s].x);
            cr_expect_eq(got->spot[s].y, best.spot[s].y);
        }
        others += price(system, r, &usual, hers) > price(system, r, got, hers) + 0.5;
    }
    return others;
}

Test(formationterms, her_file_holds_in_every_question_that_has_formations) {
    static const SxQuestion questions[] = {SX_ASK_PLAN,  SX_ASK_ODDS,   SX_ASK_RANK,
                                           SX_ASK_SHEET, SX_ASK_REPORT, SX_ASK_MOMENT};
    SxFormationTerms terms;
    SxError err = {.status = SX_OK};
    char *text = changed("\"setter_run\": {\"value\": 0.50", "\"setter_run\": {\"value\": 9.00");
    cr_assert_eq(sx_formation_terms_parse(text, strlen(text), "mine.json", &terms, &err), SX_OK);
    for (size_t k = 0; k < (SANITIZED ? 2 : sizeof questions / sizeof *questions); k++) {
        SxSession *session = NULL;
        SxAnswer *answer = NULL;
        cr_assert_eq(ask_with(text, questions[k], &session, &answer, &err), SX_OK, "%s",
                     err.message);
        cr_expect_gt(expect_hers(answer, &terms), 0, "question %d: nothing differs",
                     (int)questions[k]);
        sx_answer_free(answer);
        sx_session_free(session);
    }
    free(text);
}

/* A copy that changes nothing gives the very same answer. */
Test(formationterms, a_copy_of_the_shipped_file_changes_nothing) {
    char *text = slurp(shipped_file);
    SxSession *session[2];
    SxAnswer *answer[2];
    SxError err;
    char *told[2];
    for (int k = 0; k < 2; k++) {
        cr_assert_eq(ask_with(k ? text : NULL, SX_ASK_PLAN, &session[k], &answer[k], &err), SX_OK);
        told[k] = sx_answer_text(answer[k]);
    }
    cr_expect_str_eq(told[0], told[1]);
    for (int k = 0; k < 2; k++) {
        free(told[k]);
        sx_answer_free(answer[k]);
        sx_session_free(session[k]);
    }
    free(text);
}

/* A file of its own with one passage of the shipped one replaced; file is a template of mkstemp. */
static void write_changed(char *file, const char *from, const char *to) {
    char *text = changed(from, to);
    FILE *out = fdopen(mkstemp(file), "w");
    cr_assert(out && fputs(text, out) >= 0 && fclose(out) == 0);
    free(text);
}

/* Those who play on when the substitutions are used up stand by the same terms as the six before:
 * the search and the lineup agree. */
Test(formationterms, they_hold_also_when_the_substitutions_are_used_up) {
    if (SANITIZED) {
        cr_skip_test(
            "other terms and the search after the limit have sanitized tests of their own");
    }
    static const char *const teams[] = {"junior-12", "club-16"};
    char file[] = "/tmp/sixturn-terms-XXXXXX";
    write_changed(file, "\"passing_hitter_run\": {\"value\": 0.50",
                  "\"passing_hitter_run\": {\"value\": 8");
    for (int t = 0; t < 2; t++) {
        char words[256];
        snprintf(words, sizeof words,
                 "plan datasets/%s.json --system 6-2-double --formation-terms %s", teams[t], file);
        Run run = run_sixturn(words);
        cr_expect_eq(run.exit_status, 0, "%s: %s", words, run.err);
        cr_expect_not_null(strstr(run.out, "proven"), "%s", words);
        run_free(&run);
    }
    remove(file);
}

/* Each command that makes formations takes the file, and tells what is wrong in it. */
Test(formationterms, every_command_takes_the_file_and_tells_its_faults) {
    static const char *const commands[] = {
        "plan datasets/junior-12.json",
        "plan datasets/junior-12.json --sets 2",
        "odds datasets/junior-12.json",
        "receive datasets/junior-12.json",
        "rank datasets/junior-12.json",
        "absent datasets/junior-12.json 1",
        "setters datasets/junior-12.json",
        "systems datasets/junior-12.json",
        "worth datasets/junior-12.json",
        "moment datasets/junior-12.json",
        "fit datasets/club-16.json datasets/club-16-log.csv",
        "sheet datasets/junior-12.json -o /nowhere/sheet.svg",
        "report datasets/junior-12.json -o /nowhere/report.html",
        "versus datasets/junior-12.json datasets/junior-12-plan.json datasets/junior-12-own.json",
    };
    char file[] = "/tmp/sixturn-terms-XXXXXX";
    write_changed(file, "\"seam\": {\"value\": 2.00", "\"seam\": {\"value\": \"much\"");
    for (size_t k = 0; k < sizeof commands / sizeof *commands; k++) {
        char words[256], place[128];
        snprintf(words, sizeof words, "%s --formation-terms %s", commands[k], file);
        snprintf(place, sizeof place, "%s: costs.seam.value", file);
        Run run = run_sixturn(words);
        cr_expect_eq(run.exit_status, 3, "%s: %d", words, run.exit_status);
        cr_expect_not_null(strstr(run.err, place), "%s: %s", words, run.err);
        cr_expect_str_empty(run.out);
        run_free(&run);
    }
    remove(file);
}
