/* Legality against published rules and common practice: each case with its source. Coordinates are
 * ours; what is to be judged, and the verdict, are the source's. */
#include "sixturn/legality.h"

#include <criterion/criterion.h>
#include <string.h>

/* Sources. */
#define SINCE_2022 "FIVB rules 7.4.3.1 and 7.4.3.2, wording since 2022 (read in a translation)"
#define UNTIL_2021 "FIVB rules to 2021 and school rules: part of a foot strictly nearer"
#define SERVER_FREE "FIVB rules to 2024: the serving team is bound, except the server"
#define TEAM_FREE "FIVB rules 2025-2028, 7.4, from memory: the serving team is free"
#define IN_COURT "FIVB rules 7.4: within the own court; lines belong to the court (from memory)"
#define LIBERO_BACK "FIVB rules 19: back row only"
#define LIBERO_NO_SERVE "FIVB rules 19.3.1.3: the libero may not serve"
#define LIBERO_SERVES "NCAA women, 2024 text: the libero serves in one position"
#define ONE_LIBERO "FIVB rules 19.1: one libero on court"
#define PRACTICE "common practice, no source"

typedef struct {
    double x, y, reach;
} Foot;

/* Six players by position 1 to 6, everything open; cases change one or two of them. */
static const Foot open_six[SX_POSITIONS] = {{7.5, 6.5, 0}, {7.5, 2, 0},   {4.5, 2, 0},
                                            {1.5, 2, 0},   {1.5, 6.5, 0}, {4.5, 7.5, 0}};

enum {
    LEGAL = -1,
    LEFT_MIDDLE_FRONT,
    MIDDLE_RIGHT_FRONT,
    LEFT_MIDDLE_BACK,
    MIDDLE_RIGHT_BACK,
    RIGHT_DEPTH,
    MIDDLE_DEPTH,
    LEFT_DEPTH
};

typedef struct {
    const char *story, *source, *rules;
    int a;
    Foot at_a;
    int b;
    Foot at_b;
    SxPhase phase;
    int faulty_pair;
} PairCase;

static const PairCase pair_cases[] = {
    {"back-row player level with the front-row player",
     SINCE_2022,
     "fivb-2024",
     3,
     {4.5, 3, 0},
     6,
     {5.5, 3, 0},
     SX_RECEIVE,
     LEGAL},
    {"back-row player level with the front-row player",
     UNTIL_2021,
     "fivb-2021",
     3,
     {4.5, 3, 0},
     6,
     {5.5, 3, 0},
     SX_RECEIVE,
     MIDDLE_DEPTH},
    {"the same in a US high school",
     UNTIL_2021,
     "nfhs",
     3,
     {4.5, 3, 0},
     6,
     {5.5, 3, 0},
     SX_RECEIVE,
     MIDDLE_DEPTH},
    {"right front level with middle front",
     SINCE_2022,
     "fivb-2024",
     2,
     {4.5, 4, 0},
     3,
     {4.5, 2, 0},
     SX_RECEIVE,
     LEGAL},
    {"right front level with middle front",
     UNTIL_2021,
     "fivb-2021",
     2,
     {4.5, 4, 0},
     3,
     {4.5, 2, 0},
     SX_RECEIVE,
     MIDDLE_RIGHT_FRONT},
    {"left back 1 cm right of middle back",
     SINCE_2022,
     "fivb-2024",
     5,
     {4.51, 5, 0},
     6,
     {4.5, 7.5, 0},
     SX_RECEIVE,
     LEFT_MIDDLE_BACK},
    {"left back 1 cm left of middle back",
     UNTIL_2021,
     "fivb-2021",
     5,
     {4.49, 5, 0},
     6,
     {4.5, 7.5, 0},
     SX_RECEIVE,
     LEGAL},
    {"toes 5 cm in front of the front-row player's, heels behind: part of a foot is further",
     SINCE_2022,
     "fivb-2024",
     3,
     {4.5, 3, 0.15},
     6,
     {5.5, 2.95, 0.15},
     SX_RECEIVE,
     LEGAL},
    {"toes 5 cm in front of the front-row player's: no part of her foot is nearer",
     UNTIL_2021,
     "fivb-2021",
     3,
     {4.5, 3, 0.15},
     6,
     {5.5, 2.95, 0.15},
     SX_RECEIVE,
     MIDDLE_DEPTH},
    {"all of her feet in front of the front-row player's front foot",
     SINCE_2022,
     "fivb-2024",
     3,
     {4.5, 3, 0.15},
     6,
     {5.5, 2.69, 0.15},
     SX_RECEIVE,
     MIDDLE_DEPTH},
    {"wide stance, front foot nearer though her middle is behind",
     UNTIL_2021,
     "fivb-2021",
     3,
     {4.5, 3, 0.30},
     6,
     {5.5, 2.95, 0.10},
     SX_RECEIVE,
     LEGAL},
    {"right back's right foot right of all of middle back's",
     UNTIL_2021,
     "fivb-2021",
     1,
     {4.45, 6.5, 0.3},
     6,
     {4.5, 7.5, 0.2},
     SX_RECEIVE,
     LEGAL},
    {"right back's right foot level with middle back's right foot",
     UNTIL_2021,
     "fivb-2021",
     1,
     {4.5, 6.5, 0.2},
     6,
     {4.5, 7.5, 0.2},
     SX_RECEIVE,
     MIDDLE_RIGHT_BACK},
    {"the sides of the court do not order left front and right back",
     SINCE_2022,
     "fivb-2024",
     4,
     {3, 7, 0},
     5,
     {1.5, 7.5, 0},
     SX_RECEIVE,
     LEGAL},
    {"serving, left front right of middle front",
     SERVER_FREE,
     "fivb-2024",
     4,
     {5.5, 1, 0},
     1,
     {7.5, 9.3, 0},
     SX_SERVE,
     LEFT_MIDDLE_FRONT},
    {"serving, left front right of middle front",
     TEAM_FREE,
     "fivb-2025",
     4,
     {5.5, 1, 0},
     1,
     {7.5, 9.3, 0},
     SX_SERVE,
     LEGAL},
    {"receiving, left front right of middle front",
     TEAM_FREE,
     "fivb-2025",
     4,
     {5.5, 1, 0},
     3,
     {4.5, 2, 0},
     SX_RECEIVE,
     LEFT_MIDDLE_FRONT},
    {"the server behind the left corner, left of middle back",
     SERVER_FREE,
     "fivb-2024",
     1,
     {0.5, 9.3, 0},
     6,
     {4.5, 7.5, 0},
     SX_SERVE,
     LEGAL},
    {"a US college team serving out of order (binding from memory)",
     PRACTICE,
     "ncaa-women",
     2,
     {4, 1, 0},
     1,
     {7.5, 9.3, 0},
     SX_SERVE,
     MIDDLE_RIGHT_FRONT},
};

static SxStance stance_of(const Foot *feet, SxPhase phase) {
    SxStance stance;
    sx_stance_default(&stance);
    stance.phase = phase;
    for (int i = 0; i < SX_POSITIONS; i++) {
        stance.spot[i] = (SxSpot){feet[i].x, feet[i].y};
        stance.reach[i] = feet[i].reach;
    }
    return stance;
}

static SxLegality judge(const SxStance *stance, const char *id) {
    SxRules rules;
    SxLegality result;
    SxError err = {.status = SX_OK};
    cr_assert_eq(sx_rules_load(id, &rules, &err), SX_OK, "%s", err.message);
    sx_legality(stance, &rules, 0, &result);
    return result;
}

Test(legality_outside, pairs_under_every_wording) {
    for (size_t n = 0; n < sizeof pair_cases / sizeof pair_cases[0]; n++) {
        const PairCase *c = &pair_cases[n];
        Foot feet[SX_POSITIONS];
        memcpy(feet, open_six, sizeof feet);
        feet[c->a - 1] = c->at_a;
        feet[c->b - 1] = c->at_b;
        SxStance stance = stance_of(feet, c->phase);
        SxLegality result = judge(&stance, c->rules);
        cr_assert_eq(result.legal, c->faulty_pair == LEGAL, "%s (%s)", c->story, c->source);
        cr_assert_eq(result.fault_count, c->faulty_pair == LEGAL ? 0 : 1, "%s", c->story);
        if (c->faulty_pair != LEGAL) {
            cr_assert_eq(result.finding[0].pair, c->faulty_pair, "%s (%s)", c->story, c->source);
        }
    }
}

/* The usual receive stacks of setter, outside, middle, opposite, outside, middle (slots 0 to 5)
 * with three passers, both outsides and the libero for the back-row middle; and the step too far of
 * each. Common practice, no source. */
typedef struct {
    const char *story;
    Foot feet[SX_POSITIONS];
    int who; /* position of the one who goes too far */
    Foot too_far;
    int faulty_pair;
} Stack;

static const Stack stacks[SX_ROTATIONS] = {
    {"setter in 1: right front passes far left, right of 3 and in front of the setter",
     {{8.5, 7.5, 0}, {1.8, 5.5, 0}, {1.1, 1, 0}, {0.4, 0.8, 0}, {4.2, 6.8, 0}, {7.2, 6.4, 0}},
     2,
     {0.8, 5.5, 0},
     MIDDLE_RIGHT_FRONT},
    {"setter in 6: between 5 and 1 and behind 3",
     {{7.5, 6, 0}, {8.5, 1, 0}, {5.0, 0.8, 0}, {1.5, 5.5, 0}, {4.2, 6.8, 0}, {5.3, 1.6, 0}},
     6,
     {4.0, 1.6, 0},
     LEFT_MIDDLE_BACK},
    {"setter in 5: up along the left, left of 6 and behind 4",
     {{7.4, 6.5, 0}, {8.5, 1.5, 0}, {1.6, 6.0, 0}, {0.8, 1.0, 0}, {0.6, 1.8, 0}, {4.5, 7.0, 0}},
     5,
     {0.6, 0.7, 0},
     LEFT_DEPTH},
    {"setter in 4: left of the middle blocker; the opposite behind the passing right front",
     {{8.4, 8.0, 0}, {7.2, 6.0, 0}, {2.5, 1.0, 0}, {1.5, 0.5, 0}, {1.8, 6.3, 0}, {4.5, 6.8, 0}},
     4,
     {2.8, 0.5, 0},
     LEFT_MIDDLE_FRONT},
    {"setter in 3: the opposite hides behind, between libero and outside",
     {{7.4, 6.2, 0}, {8.0, 1.0, 0}, {5.5, 0.5, 0}, {1.6, 5.8, 0}, {4.2, 6.8, 0}, {5.0, 8.3, 0}},
     6,
     {7.9, 8.3, 0},
     MIDDLE_RIGHT_BACK},
    {"setter in 2: right of the passing middle front",
     {{7.4, 6.3, 0}, {5.5, 0.6, 0}, {1.8, 5.9, 0}, {0.8, 1.0, 0}, {0.7, 8.2, 0}, {4.5, 6.8, 0}},
     6,
     {4.5, 5.4, 0},
     MIDDLE_DEPTH},
};

static void judge_stack(const Stack *stack, const char *rules) {
    SxStance stance = stance_of(stack->feet, SX_RECEIVE);
    SxLegality result = judge(&stance, rules);
    cr_assert(result.legal, "%s by %s", stack->story, rules);
    stance.spot[stack->who - 1] = (SxSpot){stack->too_far.x, stack->too_far.y};
    result = judge(&stance, rules);
    cr_assert_eq(result.fault_count, 1, "%s by %s", stack->story, rules);
    cr_assert_eq(result.finding[0].pair, stack->faulty_pair, "%s by %s", stack->story, rules);
}

/* 5-1: the six of them. 6-2: the first three, twice, for the twin player then has each place. */
Test(legality_outside, the_classic_stacks_and_a_step_too_far) {
    for (int profile = 0; profile < sx_rules_count(); profile++) {
        for (int r = 0; r < SX_ROTATIONS; r++) {
            judge_stack(&stacks[r], sx_rules_id(profile));
            judge_stack(&stacks[r % (SX_ROTATIONS / 2)], sx_rules_id(profile));
        }
    }
}

/* The setter's stack only fits her own rotation: worn one rotation late, the order is wrong. */
Test(legality_outside, a_stack_worn_in_the_wrong_rotation_is_out_of_order) {
    static const int shirts[SX_SLOTS] = {7, 4, 12, 9, 5, 3};
    for (int r = 0; r < SX_ROTATIONS; r++) {
        SxStance stance = stance_of(stacks[r].feet, SX_RECEIVE);
        for (int p = 1; p <= SX_POSITIONS; p++) {
            stance.player[p - 1] = stance.due[p - 1] = shirts[sx_slot_at(p, r)];
        }
        cr_assert(judge(&stance, "fivb-2024").legal);
        for (int p = 1; p <= SX_POSITIONS; p++) {
            stance.due[p - 1] = shirts[sx_slot_at(p, r + 1)];
        }
        SxLegality result = judge(&stance, "fivb-2024");
        cr_assert_eq(result.fault_count, SX_POSITIONS);
        cr_assert_eq(result.finding[0].kind, SX_WRONG_ORDER);
    }
}

typedef struct {
    const char *story, *source, *rules;
    SxPhase phase;
    int libero, second; /* positions, 0 for none */
    int kind;           /* of the only fault; LEGAL for none */
} LiberoCase;

static const LiberoCase libero_cases[] = {
    {"libero in left back", LIBERO_BACK, "fivb-2024", SX_RECEIVE, 5, 0, LEGAL},
    {"libero in left front", LIBERO_BACK, "fivb-2024", SX_RECEIVE, 4, 0, SX_LIBERO_FRONT},
    {"libero in right back, waiting for their serve", LIBERO_BACK, "fivb-2024", SX_RECEIVE, 1, 0,
     LEGAL},
    {"libero serves", LIBERO_NO_SERVE, "fivb-2024", SX_SERVE, 1, 0, SX_LIBERO_SERVES},
    {"libero serves", LIBERO_SERVES, "ncaa-women", SX_SERVE, 1, 0, LEGAL},
    {"libero serves (USA Volleyball, from memory)", PRACTICE, "usav", SX_SERVE, 1, 0, LEGAL},
    {"two liberos in the back row", ONE_LIBERO, "fivb-2024", SX_RECEIVE, 5, 6, SX_LIBERO_SECOND},
};

Test(legality_outside, liberos) {
    for (size_t n = 0; n < sizeof libero_cases / sizeof libero_cases[0]; n++) {
        const LiberoCase *c = &libero_cases[n];
        SxStance stance = stance_of(open_six, c->phase);
        if (c->phase == SX_SERVE) {
            stance.spot[0] = (SxSpot){7.5, 9.4};
        }
        stance.libero[c->libero - 1] = true;
        if (c->second) {
            stance.libero[c->second - 1] = true;
        }
        SxLegality result = judge(&stance, c->rules);
        cr_assert_eq(result.fault_count, c->kind == LEGAL ? 0 : 1, "%s (%s)", c->story, c->source);
        if (c->kind != LEGAL) {
            cr_assert_eq((int)result.finding[0].kind, c->kind, "%s (%s)", c->story, c->source);
        }
    }
}

/* IN_COURT */
Test(legality_outside, the_line_is_in_and_beyond_it_is_out) {
    SxStance stance = stance_of(open_six, SX_RECEIVE);
    stance.spot[3].x = 0;
    cr_assert(judge(&stance, "fivb-2024").legal, IN_COURT);
    stance.spot[3].x = -0.01;
    cr_assert_not(judge(&stance, "fivb-2024").legal, IN_COURT);
    cr_assert_not(judge(&stance, "fivb-2025").legal, IN_COURT);
}
