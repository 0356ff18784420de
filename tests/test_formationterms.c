/* The terms of the formation program: the shipped file, a coach's own, and every mistake told. */
#include "sixturn/formation.h"

#include <criterion/criterion.h>
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
