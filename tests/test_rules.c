/* Rule profiles: the shipped ones against the published rules, and every mistake in a file. */
#include "input_help.h"
#include "sixturn/rules.h"

static SxStatus parse(const char *text, size_t length, SxError *err) {
    SxRules rules;
    return sx_rules_parse(text, length, "given.json", &rules, err);
}

static SxRules shipped(const char *id) {
    SxRules rules;
    SxError err = {0};
    cr_assert_eq(sx_rules_load(id, &rules, &err), SX_OK, "%s: %s", id, err.message);
    return rules;
}

Test(rules, all_shipped_profiles_load_and_carry_their_source) {
    cr_assert_geq(sx_rules_count(), 5);
    cr_assert_str_eq(sx_rules_id(0), "fivb-2025");
    cr_assert_null(sx_rules_id(sx_rules_count()));
    cr_assert_null(sx_rules_id(-1));
    for (int i = 0; i < sx_rules_count(); i++) {
        SxRules rules = shipped(sx_rules_id(i));
        cr_expect_str_eq(rules.id, sx_rules_id(i));
        cr_expect_gt(strlen(rules.source), 20);
        /* FIVB 6.2, 6.3.2: to 25, a deciding set to 15, two points clear, no cap. */
        cr_expect_eq(rules.set_points, 25);
        cr_expect_eq(rules.deciding_points, 15);
        cr_expect_eq(rules.lead, 2);
        cr_expect_eq(rules.cap, 0);
    }
}

/* FIVB 15.1, 15.6 (six, back once for the same substitute), 19.1 (two liberos), 19.3.1.3 (a libero
 * does not serve). Serving team free in 2025-2028: from memory. */
Test(rules, fivb) {
    SxRules now = shipped("fivb-2025"), before = shipped("fivb-2024"), old = shipped("fivb-2021");
    cr_assert_eq(now.substitutions, 6);
    cr_assert_eq(now.reentry, SX_REENTRY_ONCE_SAME_SUBSTITUTE);
    cr_assert_eq(now.liberos, 2);
    cr_assert(!now.libero_serves);
    cr_assert(!now.serving_team_bound);
    cr_assert(before.serving_team_bound, "FIVB 7.4 to 2024");
    cr_assert(!before.level_is_fault, "FIVB 7.4.3, wording since 2022");
    cr_assert(old.level_is_fault, "FIVB 7.4.3, wording to 2021");
}

/* NFHS: eighteen; NCAA women: fifteen, the libero serves in one position; USA Volleyball: twelve
 * (from memory). */
Test(rules, american_codes) {
    cr_assert_eq(shipped("nfhs").substitutions, 18);
    cr_assert(shipped("nfhs").level_is_fault);
    cr_assert_eq(shipped("ncaa-women").substitutions, 15);
    cr_assert(shipped("ncaa-women").libero_serves);
    cr_assert_eq(shipped("usav").substitutions, 12);
    cr_assert_eq(shipped("usav").reentry, SX_REENTRY_SAME_SLOT);
}

static const char good[] =
    "{\"format\": \"sixturn-rules-1\", \"id\": \"ours\", \"name\": \"Our league\", "
    "\"source\": \"the league\", \"substitutions\": 6, \"reentry\": \"to-the-same-place\", "
    "\"liberos\": 1, \"libero_serves\": false, \"serving_team_bound\": true, "
    "\"level_is_fault\": false, \"set_points\": 21, \"deciding_points\": 15, \"lead\": 2, "
    "\"cap\": 25, \"best_of\": 3}";

Test(rules, a_file_of_the_coachs) {
    SxRules rules;
    cr_assert_eq(sx_rules_parse(good, strlen(good), "given.json", &rules, NULL), SX_OK);
    cr_assert_eq(rules.set_points, 21);
    cr_assert_eq(rules.cap, 25);
    cr_assert_eq(rules.best_of, 3);
    cr_assert_eq(rules.liberos, 1);
    char *text = changed(good, "\"substitutions\": 6", "\"substitutions\": \"unlimited\"");
    cr_assert_eq(sx_rules_parse(text, strlen(text), "given.json", &rules, NULL), SX_OK);
    cr_assert_eq(rules.substitutions, SX_UNLIMITED);
    free(text);
    cr_assert_eq(sx_rules_load("datasets/rules/nfhs.json", &rules, NULL), SX_OK);
}

Test(rules, every_mistake_is_told_with_its_place) {
    static const Mistake mistakes[] = {
        {"sixturn-rules-1", "sixturn-team-1", "format", "sixturn-rules-1"},
        {"\"ours\"", "\"our league\"", "id", "letters"},
        {"\"Our league\"", "7", "name", "a text"},
        {"\"the league\"", "\"\"", "source", "a text"},
        {"substitutions\": 6", "substitutions\": \"many\"", "substitutions", "\"unlimited\""},
        {"substitutions\": 6", "substitutions\": -1", "substitutions", "0 to 99"},
        {"to-the-same-place", "to-the-same-palce", "reentry", "did you mean 'to-the-same-place'"},
        {"\"liberos\": 1", "\"liberos\": 3", "liberos", "0 to 2"},
        {"\"libero_serves\": false", "\"libero_serves\": \"no\"", "libero_serves", "true or false"},
        {"\"serving_team_bound\": true, ", "", "serving_team_bound", "missing"},
        {"\"level_is_fault\": false", "\"level_is_fault\": 0", "level_is_fault", "true or false"},
        {"21", "0", "set_points", "1 to 99"},
        {"15", "1.5", "deciding_points", "whole number"},
        {"\"lead\": 2", "\"lead\": 0", "lead", "1 to 9"},
        {"\"cap\": 25", "\"cap\": 20", "cap", "at least set_points, 21"},
        {"\"best_of\": 3", "\"best_of\": 4", "best_of", "1, 3 or 5"},
        {"\"best_of\": 3", "\"best_off\": 3", "best_off", "did you mean 'best_of'"},
        {"\"lead\": 2", "\"cap\": 2", "cap", "twice"},
    };
    check_mistakes(good, mistakes, sizeof mistakes / sizeof mistakes[0], parse);
}

Test(rules, unknown_id_is_told_with_the_nearest) {
    SxRules rules;
    SxError err = {0};
    cr_assert_eq(sx_rules_load("fivb-2052", &rules, &err), SX_BAD_INPUT);
    cr_assert_not_null(strstr(err.message, "did you mean 'fivb-2025'?"));
    cr_assert_eq(sx_rules_load("./none.json", &rules, &err), SX_BAD_INPUT);
    cr_assert_str_eq(err.file, "./none.json");
}

Test(rules, truncated_anywhere) {
    check_truncated(good, strlen(good), parse);
}

Test(rules, nothing_is_written_after_an_error) {
    SxRules rules, before;
    memset(&rules, 0x5a, sizeof rules);
    memcpy(&before, &rules, sizeof rules);
    char *text = changed(good, "\"best_of\": 3", "\"best_of\": 4");
    cr_assert_eq(sx_rules_parse(text, strlen(text), "given.json", &rules, NULL), SX_BAD_INPUT);
    cr_assert_eq(memcmp(&rules, &before, sizeof rules), 0);
    free(text);
}
