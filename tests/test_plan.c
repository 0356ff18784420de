/* Plans: defaults, wishes as values and as sentences, every mistake. */
#include "input_help.h"
#include "sixturn/plan.h"

static SxTeam team;

static void read_team(void) {
    cr_assert_eq(sx_team_read("datasets/junior-12.json", &team, NULL), SX_OK);
}

TestSuite(plan, .init = read_team);

static SxStatus parse(const char *text, size_t length, SxError *err) {
    static SxPlan plan;
    return sx_plan_parse(text, length, "given.json", &team, &plan, err);
}

static const char good[] =
    "{\"format\": \"sixturn-plan-1\", \"system\": \"6-2\", \"rules\": \"usav\", "
    "\"weights\": {\"pass\": 2, \"attack\": 0.5}, \"balance\": 0.75, \"passers\": [3, 4], "
    "\"setter_passes\": true, \"specialists\": 2, \"start_rotation\": 6, "
    "\"rotation_weights\": [1, 2, 3, 4, 5, 6], \"wishes\": {"
    "\"must_play\": [\"kaya-brunnhof\"], \"must_sit\": [9], "
    "\"slots\": [{\"player\": \"pia-osterloh\", \"slot\": 0}], "
    "\"opposite\": [[\"tabea-korten\", \"#5\"]], \"not_adjacent\": [[\"1\", \"2\"]], "
    "\"never_pass\": [7], \"always_pass\": [5], \"not_front_row\": [12], \"not_back_row\": [4], "
    "\"min_rotations\": {\"lotta-ehmsen\": 2, \"#3\": 6}, \"libero_for\": [10], "
    "\"max_substitutions\": 4, \"must_set\": [\"nele-brandahl\"]}}";

Test(plan, defaults) {
    static SxPlan plan;
    static const double weights[SX_PARTS] = {1.0, 1.0, 0.4, 0.5, 0.4, 0.4, 0.05};
    static const char least[] = "{\"format\": \"sixturn-plan-1\"}";
    cr_assert_eq(sx_plan_parse(least, strlen(least), "p", &team, &plan, NULL), SX_OK);
    for (int i = 0; i < SX_PARTS; i++) {
        cr_expect_eq(plan.weight[i], weights[i], "%s", sx_part_name((SxPart)i));
    }
    for (int r = 0; r < SX_ROTATIONS; r++) {
        cr_expect_eq(plan.rotation_weight[r], 1.0);
    }
    cr_assert(!plan.rotation_weight_given);
    cr_assert_eq(plan.balance, 0.25);
    cr_assert_eq(plan.passers, 1u << 3);
    cr_assert(!plan.setter_passes);
    cr_assert_eq(plan.specialists, 0);
    cr_assert_eq(plan.start, -1);
    cr_assert_eq(plan.wish_count, 0);
    cr_assert_str_eq(plan.system, "");
    cr_assert_str_eq(plan.rules, "");
}

Test(plan, what_is_written_arrives) {
    static SxPlan plan;
    SxError err = {0};
    cr_assert_eq(sx_plan_parse(good, strlen(good), "p", &team, &plan, &err), SX_OK, "%s: %s",
                 err.path, err.message);
    cr_assert_str_eq(plan.system, "6-2");
    cr_assert_str_eq(plan.rules, "usav");
    cr_assert_eq(plan.weight[SX_PART_PASS], 2);
    cr_assert_eq(plan.weight[SX_PART_ATTACK], 0.5);
    cr_assert_eq(plan.weight[SX_PART_RUN], 0.05, "what is not given keeps its default");
    cr_assert_eq(plan.balance, 0.75);
    cr_assert_eq(plan.passers, (1u << 3) | (1u << 4));
    cr_assert(plan.setter_passes);
    cr_assert_eq(plan.specialists, 2);
    cr_assert_eq(plan.start, 5, "rotation 6 in the file");
    cr_assert(plan.rotation_weight_given);
    cr_assert_eq(plan.rotation_weight[5], 6);
    cr_assert_eq(plan.wish_count, 14);
}

static const SxWish *find_wish(const SxPlan *plan, SxWishKind kind) {
    for (int i = 0; i < plan->wish_count; i++) {
        if (plan->wishes[i].kind == kind) {
            return &plan->wishes[i];
        }
    }
    return NULL;
}

Test(plan, wishes_as_sentences) {
    static const char *const sentences[SX_WISH_KINDS] = {
        [SX_MUST_PLAY] = "#11 Kaya Brunnhof must play (wishes.must_play[0])",
        [SX_MUST_SIT] = "#9 Svea Lammers must sit (wishes.must_sit[0])",
        [SX_FIXED_SLOT] = "#6 Pia Osterloh has slot 0 of the serving order (wishes.slots[0])",
        [SX_OPPOSITE_PAIR] = "#3 Tabea Korten and #5 Ylva Sandkamp are opposite each other in the "
                             "serving order (wishes.opposite[0])",
        [SX_NOT_ADJACENT] = "#1 Nele Brandahl and #2 Ronja Vissering are not neighbours in the "
                            "serving order (wishes.not_adjacent[0])",
        [SX_NEVER_PASSES] = "#7 Frida Holtwisch never passes (wishes.never_pass[0])",
        [SX_ALWAYS_PASSES] = "#5 Ylva Sandkamp passes whenever on court (wishes.always_pass[0])",
        [SX_NOT_FRONT_ROW] = "#12 Enna Wohlers does not play in the front row "
                             "(wishes.not_front_row[0])",
        [SX_NOT_BACK_ROW] = "#4 Lotta Ehmsen does not play in the back row, but may serve "
                            "(wishes.not_back_row[0])",
        [SX_MIN_ROTATIONS] = "#4 Lotta Ehmsen receives in at least 2 rotations "
                             "(wishes.min_rotations.lotta-ehmsen)",
        [SX_LIBERO_FOR] = "the libero comes in for #10 Merle Dankwart (wishes.libero_for[0])",
        [SX_MAX_SUBSTITUTIONS] = "at most 4 planned substitutions in six rotations "
                                 "(wishes.max_substitutions)",
        [SX_MUST_SET] = "#1 Nele Brandahl is one of the setters (wishes.must_set[0])",
    };
    static SxPlan plan;
    char text[512];
    cr_assert_eq(sx_plan_parse(good, strlen(good), "p", &team, &plan, NULL), SX_OK);
    for (int kind = 0; kind < SX_WISH_KINDS; kind++) {
        const SxWish *wish = find_wish(&plan, (SxWishKind)kind);
        cr_assert_not_null(wish, "kind %d", kind);
        cr_expect_str_eq(sx_wish_text(wish, &team, text, sizeof text), sentences[kind]);
    }
    cr_assert_str_eq(sx_wish_text(&plan.wishes[0], &team, text, 4), "#11");
}

Test(plan, playing_time_for_everybody_who_may_play) {
    static const char text[] = "{\"format\": \"sixturn-plan-1\", \"wishes\": {\"must_sit\": [9], "
                               "\"min_rotations\": 1}}";
    static SxPlan plan;
    team.players[sx_team_find(&team, "3")].available = false;
    cr_assert_eq(sx_plan_parse(text, strlen(text), "p", &team, &plan, NULL), SX_OK);
    cr_assert_eq(plan.wish_count, 1 + 10, "twelve, less one who sits and one who is away");
}

Test(plan, one_number_of_passers) {
    static const char text[] = "{\"format\": \"sixturn-plan-1\", \"passers\": 5}";
    static SxPlan plan;
    cr_assert_eq(sx_plan_parse(text, strlen(text), "p", &team, &plan, NULL), SX_OK);
    cr_assert_eq(plan.passers, 1u << 5);
}

Test(plan, every_mistake_is_told_with_its_place) {
    static const Mistake mistakes[] = {
        {"sixturn-plan-1", "sixturn-team-1", "format", "sixturn-plan-1"},
        {"\"balance\"", "\"balanse\"", "balanse", "did you mean 'balance'"},
        {"\"6-2\"", "\"6-3\"", "system", "did you mean '6-2'"},
        {"\"usav\"", "\"fivb\"", "rules", "did you mean 'fivb-20"},
        {"\"pass\": 2", "\"pass\": -2", "weights.pass", "from 0 to 100"},
        {"\"pass\": 2", "\"past\": 2", "weights.past", "did you mean 'pass'"},
        {"0.75", "1.75", "balance", "from 0 to 1"},
        {"[3, 4]", "[]", "passers", "at least 1"},
        {"[3, 4]", "[3, 6]", "passers[1]", "2 to 5"},
        {"[3, 4]", "[3, 3]", "passers[1]", "twice"},
        {"[3, 4]", "1", "passers", "2 to 5"},
        {"[3, 4]", "\"three\"", "passers", "2 to 5"},
        {"\"setter_passes\": true", "\"setter_passes\": 1", "setter_passes", "true or false"},
        {"\"specialists\": 2", "\"specialists\": 3", "specialists", "0 to 2"},
        {"\"start_rotation\": 6", "\"start_rotation\": 0", "start_rotation", "1 to 6"},
        {"[1, 2, 3, 4, 5, 6]", "[1, 2, 3, 4, 5]", "rotation_weights", "exactly 6"},
        {"[1, 2, 3, 4, 5, 6]", "[0, 0, 0, 0, 0, 0]", "rotation_weights", "above 0"},
        {"[1, 2, 3, 4, 5, 6]", "[1, 2, -3, 4, 5, 6]", "rotation_weights[2]", "from 0 to 100"},
        {"\"must_play\"", "\"must_ply\"", "wishes.must_ply", "did you mean 'must_play'"},
        {"kaya-brunnhof", "kaya-brunhof", "wishes.must_play[0]", "did you mean 'kaya-brunnhof'"},
        {"\"must_sit\": [9]", "\"must_sit\": [9, \"svea-lammers\"]", "wishes.must_sit[1]",
         "Svea Lammers is named twice"},
        {"\"must_sit\": [9]", "\"must_sit\": 9", "wishes.must_sit", "a list"},
        {"\"must_sit\": [9]", "\"must_sit\": [13]", "wishes.must_sit[0]", "no player '13'"},
        {"\"must_sit\": [9]", "\"must_sit\": [1e9]", "wishes.must_sit[0]", "0 to 99"},
        {"\"must_sit\": [9]", "\"must_sit\": [null]", "wishes.must_sit[0]", "id or shirt"},
        {"\"slot\": 0", "\"slot\": -1", "wishes.slots[0].slot", "0 to 5"},
        {"\"slot\": 0", "\"slot\": 6", "wishes.slots[0].slot", "0 to 5"},
        {", \"slot\": 0", "", "wishes.slots[0].slot", "missing"},
        {"\"#5\"]]", "\"tabea-korten\"]]", "wishes.opposite[0]", "two different players"},
        {"\"#5\"]]", "5, 1]]", "wishes.opposite[0]", "exactly 2"},
        {"[[\"1\", \"2\"]]", "[\"1\", \"2\"]", "wishes.not_adjacent[0]", "a list"},
        {"{\"lotta-ehmsen\": 2, \"#3\": 6}", "{\"lotta-ehmsen\": 31}",
         "wishes.min_rotations.lotta-ehmsen", "0 to 30"},
        {"{\"lotta-ehmsen\": 2, \"#3\": 6}", "{\"#3\": 1, \"3\": 1}", "wishes.min_rotations.3",
         "named twice"},
        {"{\"lotta-ehmsen\": 2, \"#3\": 6}", "{\"nobody\": 1}", "wishes.min_rotations.nobody",
         "no player 'nobody'"},
        {"{\"lotta-ehmsen\": 2, \"#3\": 6}", "[1]", "wishes.min_rotations",
         "a number from 0 to 30"},
        {"{\"lotta-ehmsen\": 2, \"#3\": 6}", "31", "wishes.min_rotations", "0 to 30"},
        {"\"max_substitutions\": 4", "\"max_substitutions\": -1", "wishes.max_substitutions",
         "0 to 12"},
    };
    check_mistakes(good, mistakes, sizeof mistakes / sizeof mistakes[0], parse);
}

Test(plan, no_more_wishes_than_fit) {
    static SxPlan plan;
    SxError err = {0};
    sx_plan_default(&plan);
    for (int i = 0; i < SX_MAX_WISHES; i++) {
        cr_assert_eq(sx_plan_wish(&plan, SX_MUST_PLAY, 0, -1, 0, "--in 1", &err), SX_OK);
    }
    cr_assert_eq(sx_plan_wish(&plan, SX_MUST_PLAY, 0, -1, 0, "--in 1", &err), SX_USAGE);
    cr_assert_eq(plan.wish_count, SX_MAX_WISHES);
}

Test(plan, too_many_pairs_in_a_file) {
    enum { PAIRS = SX_MAX_WISHES };
    char *text = calloc(PAIRS * 8 + 256, 1);
    SxError err = {0};
    strcpy(text, "{\"format\": \"sixturn-plan-1\", \"wishes\": {\"must_play\": [1], "
                 "\"opposite\": [");
    for (int i = 0; i < PAIRS; i++) {
        strcat(text, i ? ",[1,2]" : "[1,2]");
    }
    strcat(text, "]}}");
    cr_assert_eq(parse(text, strlen(text), &err), SX_BAD_INPUT);
    cr_assert_str_eq(err.path, "wishes.opposite[255]");
    free(text);
}

Test(plan, sample_plan_and_truncations) {
    static SxPlan plan;
    SxError err = {0};
    size_t length = 0;
    cr_assert_eq(sx_plan_read("datasets/junior-12-plan.json", &team, &plan, &err), SX_OK, "%s: %s",
                 err.path, err.message);
    char *text = read_whole("datasets/junior-12-plan.json", &length);
    check_truncated(text, length, parse);
    free(text);
    cr_assert_eq(sx_plan_read("/nowhere/plan.json", &team, &plan, &err), SX_BAD_INPUT);
    cr_assert_str_eq(err.file, "/nowhere/plan.json");
}
