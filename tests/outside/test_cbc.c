/* The exported integer program, solved by another solver: coinor-cbc from Debian. Both demo teams,
 * every shipped system, CPLEX LP and MPS. Skipped, and said so, only where cbc is not installed. */
#define _POSIX_C_SOURCE 200809L
#include "support.h"

#include <cjson/cJSON.h>
#include <criterion/criterion.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

static const double agree = 1e-6;

static bool cbc_is_here(void) {
    Run run = run_shell("command -v cbc");
    bool here = run.exit_status == 0;
    run_free(&run);
    return here;
}

/* The optimum as cbc's own solution file states it: 'Optimal - objective value V'. The relaxation
 * is so close that branching takes less than cuts and heuristics. */
static double cbc_optimum(const char *model, const char *label) {
    char command[256];
    snprintf(
        command, sizeof command,
        "cbc %s ratioGap 0 allowableGap 0 cuts off heuristics off solve solution %s.sol >/dev/null "
        "&& head -n 1 %s.sol",
        model, model, model);
    Run run = run_shell(command);
    static const char head[] = "Optimal - objective value ";
    cr_assert_eq(run.exit_status, 0, "%s: cbc failed: %s", label, run.err);
    cr_assert_eq(strncmp(run.out, head, strlen(head)), 0, "%s: cbc says '%s'", label, run.out);
    double value = strtod(run.out + strlen(head), NULL);
    run_free(&run);
    return value;
}

static double printed_score(const Run *run, const char *label) {
    cJSON *root = cJSON_Parse(run->out);
    cr_assert_not_null(root, "%s", label);
    double score = cJSON_GetObjectItem(root, "score")->valuedouble;
    cJSON_Delete(root);
    return score;
}

/* Solves our export both ways and compares. Readers of LP files differ on whether cbc's reported
 * value of a maximum keeps its sign, so sizes are compared; a score is positive here. */
static void check(const char *team, const char *system, const char *more) {
    char folder[] = "/tmp/sixturn-cbc-XXXXXX";
    cr_assert_not_null(mkdtemp(folder));
    static const char *const endings[] = {"lp", "mps"};
    for (int k = 0; k < 2; k++) {
        char label[160], words[320], model[64], solution[72];
        snprintf(model, sizeof model, "%s/model.%s", folder, endings[k]);
        snprintf(solution, sizeof solution, "%s.sol", model);
        snprintf(label, sizeof label, "%s, %s, %s %s", team, system, endings[k], more);
        snprintf(words, sizeof words,
                 "plan datasets/%s.json --system %s %s --goal score --json --write-model %s", team,
                 system, more, model);
        Run run = run_sixturn(words);
        cr_assert_eq(run.exit_status, 0, "%s: %s", label, run.err);
        double ours = printed_score(&run, label);
        double theirs = cbc_optimum(model, label);
        cr_assert(ours > 0);
        if (k == 1) {
            cr_assert(theirs < 0, "%s: MPS minimises the negative score, found %g", label, theirs);
        }
        cr_assert_float_eq(fabs(theirs), ours, agree, "%s: cbc %.9f, sixturn %.9f", label, theirs,
                           ours);
        run_free(&run);
        remove(model);
        remove(solution);
    }
    rmdir(folder);
}

static void check_team(const char *team) {
    if (!cbc_is_here()) {
        cr_skip_test("cbc is not installed (Debian package coinor-cbc): nothing was compared");
    }
    for (int k = 0; k < 5; k++) {
        check(team, all_systems[k], "");
    }
}

Test(cbc, agrees_on_the_juniors) {
    check_team("junior-12");
}

Test(cbc, agrees_on_the_first_team) {
    check_team("club-16");
}

Test(cbc, agrees_with_wishes_and_other_rules) {
    if (!cbc_is_here()) {
        cr_skip_test("cbc is not installed (Debian package coinor-cbc): nothing was compared");
    }
    check("junior-12", "5-1-outside", "--plan datasets/junior-12-plan.json");
    check("club-16", "6-2", "--rules ncaa-women --passers 4 --balance 1");
    check("club-16", "5-1-middle", "--rules nfhs --balance 0 --out 5");
}
