/* Legality against an oracle that is written from the rule's sentences, with feet as lists of
 * points in whole centimetres, and the formation file's mistakes one by one. */
#include "sixturn/drawn.h"
#include "sixturn/sentences.h"

#include <criterion/criterion.h>
#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

static SxRules profile(bool bound, bool level_is_fault, bool libero_serves) {
    SxRules rules;
    memset(&rules, 0, sizeof rules);
    rules.liberos = 2;
    rules.serving_team_bound = bound;
    rules.level_is_fault = level_is_fault;
    rules.libero_serves = libero_serves;
    return rules;
}

/* A formation with every relation wide open. */
static SxStance open_stance(void) {
    static const SxSpot spots[SX_POSITIONS] = {{7.5, 6.5}, {7.5, 2},   {4.5, 2},
                                               {1.5, 2},   {1.5, 6.5}, {4.5, 7.5}};
    SxStance stance;
    sx_stance_default(&stance);
    memcpy(stance.spot, spots, sizeof spots);
    return stance;
}

static int count_kind(const SxLegality *result, SxFindingKind kind) {
    int count = 0;
    for (int i = 0; i < result->finding_count; i++) {
        count += result->finding[i].kind == kind;
    }
    return count;
}

static SxLegality judge(const SxStance *stance, const SxRules *rules) {
    SxLegality result;
    sx_legality(stance, rules, SX_NEAR_MARGIN, &result);
    return result;
}

Test(legality, an_open_formation_has_no_findings) {
    SxStance stance = open_stance();
    SxRules rules = profile(true, true, false);
    SxLegality result = judge(&stance, &rules);
    cr_assert(result.legal);
    cr_assert_eq(result.finding_count, 0);
    cr_assert_float_eq(result.slack[0], 3.0, 1e-9);
}

Test(legality, a_back_row_player_in_front_is_named_with_her_centimetres) {
    SxStance stance = open_stance();
    stance.spot[5] = (SxSpot){5.5, 1.88};
    SxRules rules = profile(true, false, false);
    SxLegality result = judge(&stance, &rules);
    cr_assert_not(result.legal);
    cr_assert_eq(result.finding_count, 1);
    cr_assert_eq(result.finding[0].position, 6);
    cr_assert_eq(result.finding[0].other, 3);
    cr_assert_float_eq(result.finding[0].amount, 0.12, 1e-9);
    cr_assert_str_eq(result.finding[0].rule, "7.4.3.1");
    SxDrawn drawn;
    memset(&drawn, 0, sizeof drawn);
    drawn.stance = stance;
    drawn.player[5].number = 12;
    drawn.player[2].number = 7;
    char text[200];
    cr_assert_str_eq(sx_finding_text(&result.finding[0], &drawn, 0.3, text, sizeof text),
                     "number 12, middle back, is 12 cm nearer the net than number 7, middle front");
}

Test(legality, faults_come_before_warnings) {
    SxStance stance = open_stance();
    stance.spot[3] = (SxSpot){4.4, 1}; /* left front: 10 cm left of the middle: near */
    stance.spot[0].y = 1.0;            /* right back before right front: fault */
    SxRules rules = profile(true, false, false);
    SxLegality result = judge(&stance, &rules);
    cr_assert_eq(result.fault_count, 1);
    cr_assert_eq(result.finding_count, 2);
    cr_assert_eq(result.finding[0].kind, SX_ORDER_FAULT);
    cr_assert_eq(result.finding[1].kind, SX_ORDER_NEAR);
}

Test(legality, the_server_stands_behind_the_end_line_and_is_free) {
    SxStance stance = open_stance();
    SxRules rules = profile(true, true, false);
    stance.phase = SX_SERVE;
    stance.spot[0] = (SxSpot){0.5, 9.4};
    cr_assert(judge(&stance, &rules).legal);
    stance.spot[0].y = 8.9;
    cr_assert_eq(judge(&stance, &rules).finding[0].kind, SX_SERVER_INSIDE);
    stance.spot[0] = (SxSpot){-0.2, 9.4};
    cr_assert_eq(judge(&stance, &rules).finding[0].kind, SX_SERVER_WIDE);
}

Test(legality, a_foot_over_the_line_is_outside) {
    SxStance stance = open_stance();
    SxRules rules = profile(true, false, false);
    stance.spot[3].x = 0.1;
    cr_assert(judge(&stance, &rules).legal);
    stance.reach[3] = 0.15;
    SxLegality result = judge(&stance, &rules);
    cr_assert_eq(result.finding[0].kind, SX_OFF_COURT);
    cr_assert_float_eq(result.finding[0].amount, 0.05, 1e-9);
}

Test(legality, every_finding_at_once_fits) {
    SxRules rules = profile(true, true, false);
    rules.liberos = 0;
    SxStance stance;
    sx_stance_default(&stance);
    for (int i = 0; i < SX_POSITIONS; i++) {
        stance.spot[i] = (SxSpot){-5, -5};
        stance.libero[i] = true;
        stance.player[i] = 1;
        stance.due[i] = 2;
    }
    cr_assert_lt(judge(&stance, &rules).finding_count, SX_MAX_FINDINGS);
    stance.phase = SX_SERVE;
    stance.server = 3;
    SxLegality result = judge(&stance, &rules);
    cr_assert_lt(result.finding_count, SX_MAX_FINDINGS);
    cr_assert_eq(result.finding_count, result.fault_count);
}

Test(legality, another_server_than_right_back_is_out_of_turn) {
    SxStance stance = open_stance();
    SxRules rules = profile(true, true, false);
    stance.phase = SX_SERVE;
    stance.server = 2;
    stance.spot[1] = (SxSpot){8, 9.3};
    SxLegality result = judge(&stance, &rules);
    cr_assert_eq(result.finding_count, 1); /* and the one who serves is free of the order */
    cr_assert_eq(result.finding[0].kind, SX_WRONG_SERVER);
    cr_assert_eq(result.finding[0].position, 2);
}

Test(legality, a_named_libero_who_is_not_in_is_only_noted) {
    SxStance stance = open_stance();
    SxRules rules = profile(true, true, false);
    stance.libero_named = true;
    SxLegality result = judge(&stance, &rules);
    cr_assert(result.legal);
    cr_assert_eq(result.finding[0].kind, SX_LIBERO_OUT);
    stance.libero[4] = true;
    cr_assert_eq(judge(&stance, &rules).finding_count, 0);
}

Test(legality, every_finding_has_a_word_and_a_sentence_of_its_own) {
    SxDrawn drawn;
    char text[SX_FINDING_KINDS][300];
    memset(&drawn, 0, sizeof drawn);
    for (int kind = 0; kind < SX_FINDING_KINDS; kind++) {
        bool order = kind == SX_ORDER_FAULT || kind == SX_ORDER_NEAR;
        SxFinding finding = {(SxFindingKind)kind, true, order ? 5 : -1, 6, 3, 0.12, ""};
        sx_finding_text(&finding, &drawn, 0.3, text[kind], sizeof text[kind]);
        cr_assert_gt(strlen(text[kind]), 10);
        cr_assert_not_null(sx_finding_word((SxFindingKind)kind));
        for (int other = 0; other < kind; other++) {
            cr_assert_str_neq(text[kind], text[other]);
            cr_assert_str_neq(sx_finding_word((SxFindingKind)kind),
                              sx_finding_word((SxFindingKind)other));
        }
    }
}

/* The oracle. A foot is a list of points; the rule's sentences speak of parts of feet. */

typedef struct {
    int x, y; /* centimetres */
} Part;

typedef struct {
    Part part[4]; /* what the feet cover, its corners */
} Feet;

typedef struct {
    bool order[SX_POSITIONS + 1][SX_POSITIONS + 1]; /* [a][b]: a breaks the order against b */
    int outside, one_place, libero_front, libero_serves, second_libero;
} Oracle;

typedef struct {
    int x[SX_POSITIONS + 1], y[SX_POSITIONS + 1], reach[SX_POSITIONS + 1];
    bool libero[SX_POSITIONS + 1];
    bool serve;
} Scene;

static bool front_row(int p) {
    return p == 2 || p == 3 || p == 4;
}

/* The 'corresponding' player of the other row stands in the same third of the court. */
static int third(int p) {
    switch (p) {
    case 4:
    case 5:
        return 0;
    case 3:
    case 6:
        return 1;
    default:
        return 2;
    }
}

static int foremost(const Feet *feet) {
    int least = feet->part[0].y;
    for (int i = 1; i < 4; i++) {
        least = feet->part[i].y < least ? feet->part[i].y : least;
    }
    return least;
}

/* Distance of a part from the side line on the given side. */
static int from_side_line(Part part, bool right) {
    return right ? 900 - part.x : part.x;
}

static bool sentence_depth(const Feet *back, const Feet *front, bool older) {
    bool holds = false;
    if (older) {
        /* part of the front-row player's foot is nearer the centre line than the feet of the other
         */
        for (int i = 0; i < 4; i++) {
            bool nearer_than_all = true;
            for (int j = 0; j < 4; j++) {
                nearer_than_all &= front->part[i].y < back->part[j].y;
            }
            holds |= nearer_than_all;
        }
        return holds;
    }
    /* the back-row player is level with, or has part of a foot further than, the front foot */
    for (int i = 0; i < 4; i++) {
        holds |= back->part[i].y >= foremost(front);
    }
    return holds;
}

static bool sentence_side(const Feet *side, const Feet *centre, bool right, bool older) {
    bool holds = false;
    for (int i = 0; i < 4; i++) {
        int mine = from_side_line(side->part[i], right);
        bool nearer_than_all = true, level_with_furthest = false;
        for (int j = 0; j < 4; j++) {
            int hers = from_side_line(centre->part[j], right);
            nearer_than_all &= mine < hers;
            level_with_furthest |= mine <= hers;
        }
        holds |= older ? nearer_than_all : level_with_furthest;
    }
    return holds;
}

static void oracle(const Scene *scene, const SxRules *rules, Oracle *out) {
    Feet feet[SX_POSITIONS + 1];
    int liberos = 0;
    memset(out, 0, sizeof *out);
    for (int p = 1; p <= SX_POSITIONS; p++) {
        int x = scene->x[p], y = scene->y[p], r = scene->reach[p], off = 0;
        feet[p] = (Feet){{{x - r, y - r}, {x + r, y - r}, {x - r, y + r}, {x + r, y + r}}};
        bool serves = scene->serve && p == 1;
        for (int i = 0; i < 4; i++) {
            Part part = feet[p].part[i];
            bool wide = part.x < 0 || part.x > 900;
            off |= wide || part.y < 0 || part.y > 900 ? 1 : 0;
            off |= serves && wide ? 2 : 0;
            off |= serves && part.y < 900 ? 4 : 0;
        }
        out->outside += serves ? (off & 6) != 0 : off & 1;
        if (scene->libero[p]) {
            liberos++;
            out->libero_front += front_row(p);
            out->libero_serves += serves && !rules->libero_serves;
        }
    }
    out->second_libero = liberos > 1 ? liberos - 1 : 0;
    for (int a = 1; a <= SX_POSITIONS; a++) {
        for (int b = 1; b <= SX_POSITIONS; b++) {
            if (a < b && abs(scene->x[a] - scene->x[b]) < 30 &&
                abs(scene->y[a] - scene->y[b]) < 30) {
                out->one_place++;
            }
            bool exempt = scene->serve && (!rules->serving_team_bound || a == 1 || b == 1);
            if (a == b || exempt) {
                continue;
            }
            if (!front_row(a) && front_row(b) && third(a) == third(b)) {
                out->order[a][b] = !sentence_depth(&feet[a], &feet[b], rules->level_is_fault);
            }
            if (front_row(a) == front_row(b) && third(a) != 1 && third(b) == 1) {
                out->order[a][b] =
                    !sentence_side(&feet[a], &feet[b], third(a) == 2, rules->level_is_fault);
            }
        }
    }
}

static uint64_t lot = 20240607;

static int draw(int below) {
    lot ^= lot << 13;
    lot ^= lot >> 7;
    lot ^= lot << 17;
    return (int)(lot % (uint64_t)below);
}

/* Near the legal ones, so that level, near and crossed pairs are all common. */
static Scene random_scene(void) {
    static const int x[] = {0, 600, 600, 450, 300, 300, 450},
                     y[] = {0, 500, 400, 400, 400, 500, 500};
    Scene scene;
    memset(&scene, 0, sizeof scene);
    scene.serve = draw(3) == 0;
    int spread = (int[]){20, 80, 300, 700}[draw(4)];
    int grid = (int[]){1, 5, 10}[draw(3)];
    for (int p = 1; p <= SX_POSITIONS; p++) {
        scene.x[p] = x[p] + (draw(2 * spread) - spread) / grid * grid;
        scene.y[p] = y[p] + (draw(2 * spread) - spread) / grid * grid;
        scene.reach[p] = draw(2) ? 0 : draw(4) * 10;
        scene.libero[p] = draw(12) == 0;
    }
    if (scene.serve && draw(4)) {
        scene.y[1] = 900 + draw(100);
    }
    return scene;
}

static SxStance stance_of(const Scene *scene) {
    SxStance stance;
    sx_stance_default(&stance);
    stance.phase = scene->serve ? SX_SERVE : SX_RECEIVE;
    for (int p = 1; p <= SX_POSITIONS; p++) {
        stance.spot[p - 1] = (SxSpot){scene->x[p] / 100.0, scene->y[p] / 100.0};
        stance.reach[p - 1] = scene->reach[p] / 100.0;
        stance.libero[p - 1] = scene->libero[p];
    }
    return stance;
}

static int outside_players(const SxLegality *result) {
    bool out[SX_POSITIONS + 1] = {false};
    int count = 0;
    for (int i = 0; i < result->finding_count; i++) {
        SxFindingKind kind = result->finding[i].kind;
        if (kind == SX_OFF_COURT || kind == SX_SERVER_INSIDE || kind == SX_SERVER_WIDE) {
            count += !out[result->finding[i].position];
            out[result->finding[i].position] = true;
        }
    }
    return count;
}

static void compare(const Scene *scene, const SxRules *rules, int *legal, int *orders) {
    SxStance stance = stance_of(scene);
    SxLegality result = judge(&stance, rules);
    Oracle expected;
    bool found[SX_POSITIONS + 1][SX_POSITIONS + 1] = {{false}};
    oracle(scene, rules, &expected);
    for (int i = 0; i < result.finding_count; i++) {
        if (result.finding[i].kind == SX_ORDER_FAULT) {
            found[result.finding[i].position][result.finding[i].other] = true;
            ++*orders;
        }
    }
    cr_assert(memcmp(found, expected.order, sizeof found) == 0);
    cr_assert_eq(outside_players(&result), expected.outside);
    cr_assert_eq(count_kind(&result, SX_ONE_PLACE), expected.one_place);
    cr_assert_eq(count_kind(&result, SX_LIBERO_FRONT), expected.libero_front);
    cr_assert_eq(count_kind(&result, SX_LIBERO_SERVES), expected.libero_serves);
    cr_assert_eq(count_kind(&result, SX_LIBERO_SECOND), expected.second_libero);
    bool broken = memchr(expected.order, true, sizeof expected.order) || expected.outside ||
                  expected.one_place || expected.libero_front || expected.libero_serves ||
                  expected.second_libero;
    cr_assert_eq(result.legal, !broken);
    *legal += result.legal;
}

Test(legality, agrees_with_the_oracle_on_100000_random_formations) {
    enum { FORMATIONS = 100000 };
    int legal = 0, orders = 0;
    for (int n = 0; n < FORMATIONS; n++) {
        Scene scene = random_scene();
        SxRules rules = profile(draw(2), draw(2), draw(2));
        compare(&scene, &rules, &legal, &orders);
    }
    /* Both answers must be common, or the comparison would say little. */
    cr_assert_gt(legal, FORMATIONS / 50);
    cr_assert_lt(legal, FORMATIONS * 9 / 10);
    cr_assert_gt(orders, FORMATIONS / 2);
}

/* The formation file. */

#define SPOTS_BY_ORDER                                                                             \
    "\"players\":[{\"number\":7,\"x\":7.5,\"y\":6.5},{\"number\":4,\"x\":7.5,\"y\":2},"            \
    "{\"number\":12,\"x\":4.5,\"y\":2},{\"number\":9,\"x\":1.5,\"y\":2},"                          \
    "{\"number\":5,\"x\":1.5,\"y\":6.5},{\"number\":1,\"for\":3,\"x\":4.5,\"y\":7.5}]"
#define HEAD "{\"format\":\"sixturn-formation-1\","

static SxStatus parse(const char *text, SxDrawnFile *file, SxError *err) {
    *err = (SxError){.status = SX_OK};
    return sx_drawn_parse(text, strlen(text), "f.json", file, err);
}

Test(drawn, the_order_puts_everybody_into_her_position) {
    SxDrawnFile file;
    SxError err;
    cr_assert_eq(parse(HEAD "\"rotation\":1,\"order\":[7,4,12,9,5,3],\"phase\":\"receive\","
                            "\"liberos\":[1]," SPOTS_BY_ORDER "}",
                       &file, &err),
                 SX_OK, "%s", err.message);
    cr_assert_eq(sx_drawn_find(&file.formation[0], 7), 1);
    cr_assert_eq(sx_drawn_find(&file.formation[0], 12), 3);
    cr_assert_eq(sx_drawn_find(&file.formation[0], 1), 6);
    cr_assert(file.formation[0].stance.libero[5]);
    SxRules rules = profile(true, true, false);
    cr_assert(judge(&file.formation[0].stance, &rules).legal);
    sx_drawn_free(&file);
}

Test(drawn, in_rotation_2_the_second_of_the_order_serves) {
    SxDrawnFile file;
    SxError err;
    cr_assert_eq(parse(HEAD "\"rotation\":2,\"order\":[7,4,12,9,5,3],"
                            "\"phase\":\"serve\"," SPOTS_BY_ORDER "}",
                       &file, &err),
                 SX_OK, "%s", err.message);
    cr_assert_eq(sx_drawn_find(&file.formation[0], 4), 1);
    cr_assert_eq(sx_drawn_find(&file.formation[0], 7), 6);
    sx_drawn_free(&file);
}

Test(drawn, what_is_written_reads_the_same_again) {
    SxDrawnFile file, again;
    SxError err;
    cr_assert_eq(parse(HEAD "\"rotation\":1,\"order\":[7,4,12,9,5,3],\"phase\":\"receive\","
                            "\"liberos\":[1],\"rules\":\"usav\",\"label\":\"A\"," SPOTS_BY_ORDER
                            "}",
                       &file, &err),
                 SX_OK);
    char *text = sx_drawn_write(&file);
    cr_assert_eq(parse(text, &again, &err), SX_OK, "%s", err.message);
    cr_assert_eq(memcmp(file.formation, again.formation, sizeof *file.formation), 0);
    free(text);
    sx_drawn_free(&file);
    sx_drawn_free(&again);
}

Test(drawn, every_mistake_has_its_place) {
    static const struct {
        const char *text, *path, *message;
    } cases[] = {
        {"[1]", "", "object"},
        {HEAD "\"phase\":\"receive\",\"players\":[]}", "players", "exactly 6"},
        {HEAD "\"phase\":\"rest\"," SPOTS_BY_ORDER "}", "phase", "receive, serve"},
        {HEAD "\"phase\":\"receive\"," SPOTS_BY_ORDER "}", "players[0]", "position"},
        {HEAD "\"rotation\":1,\"phase\":\"receive\"," SPOTS_BY_ORDER "}", "order", "both"},
        {HEAD "\"rotation\":7,\"order\":[7,4,12,9,5,3],\"phase\":\"receive\"," SPOTS_BY_ORDER "}",
         "rotation", "1 to 6"},
        {HEAD "\"rotation\":1,\"order\":[7,4,12,9,5,5],\"phase\":\"receive\"," SPOTS_BY_ORDER "}",
         "order[5]", "twice"},
        {HEAD "\"rotation\":1,\"order\":[7,4,12,9,8,3],\"phase\":\"receive\"," SPOTS_BY_ORDER "}",
         "players[4]", "not in the order"},
        {HEAD "\"rotation\":1,\"order\":[7,4,12,9,5,8],\"phase\":\"receive\"," SPOTS_BY_ORDER "}",
         "players[5]", "stands in for number 3"},
        {HEAD "\"rotation\":1,\"order\":[7,4,12,9,5,3],\"phase\":\"receive\",\"server\":"
              "7," SPOTS_BY_ORDER "}",
         "server", "others serve"},
        {HEAD
         "\"rotation\":1,\"order\":[7,4,12,9,5,3],\"phase\":\"serve\",\"server\":8," SPOTS_BY_ORDER
         "}",
         "server", "not among"},
        {HEAD "\"phase\":\"receive\",\"liberos\":[1,2,3]}", "liberos", "at most 2"},
        {HEAD "\"phase\":\"receive\",\"colour\":1}", "colour", "no such field"},
        {HEAD "\"formations\":[]}", "formations", "at least 1"},
        {HEAD "\"formations\":[{\"phase\":\"receive\"}]}", "formations[0].players", "missing"},
        {"{\"format\":\"sixturn-team-1\"}", "format", "sixturn-formation-1"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        SxDrawnFile file = {0, false, NULL};
        SxError err;
        cr_assert_eq(parse(cases[i].text, &file, &err), SX_BAD_INPUT, "%s", cases[i].text);
        cr_assert_str_eq(err.path, cases[i].path, "%s: %s", err.path, err.message);
        cr_assert_not_null(strstr(err.message, cases[i].message), "%s", err.message);
        cr_assert_null(file.formation);
    }
}
