/* The formation program against cbc, a general solver that is not ours: written out as CPLEX LP,
 * every program has the optimum that our own search finds, and none where ours finds none.
 *
 * Every rotation of every system with the usual passers and with two, four and five of them, by the
 * sides that are chosen; every set of lanes apart, so that each is a program of its own. */
#include "support.h"

#include <criterion/criterion.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

static const double agree = 1e-4;
static const double beyond = 1e-3; /* cbc looks so far above our optimum */
static const double no_limit = 1e9;

/* The least that cbc finds below a limit; NAN if there is no solution. Such small programs are
 * settled sooner by branching than by cuts. */
static double by_cbc(const char *lp, double limit) {
    char command[512];
    snprintf(command, sizeof command,
             "cbc %s ratio 0 allow 0 cutoff %.6f cuts off heuristics off solve 2>/dev/null", lp,
             limit);
    Run run = run_shell(command);
    const char *found = strstr(run.out, "Objective value:");
    double value = found ? strtod(found + strlen("Objective value:"), NULL) : NAN;
    cr_assert(found || strstr(run.out, "nfeasible"), "%s", run.out);
    run_free(&run);
    return value;
}

typedef struct {
    SxSystem system;
    int rotation;
    unsigned passers;
    int count;
    SxFormationOptions options;
    SxFormationWishes wishes;
    int compared;
    double least;
    char file[64];
} Case;

/* Ours, with these lanes as wishes; NAN if there is none. */
static double ours(Case *c) {
    SxFormation f;
    SxError err = {.status = SX_OK};
    c->options.wishes = &c->wishes;
    SxStatus status =
        sx_formation_receive(&c->system, c->rotation, c->passers, &c->options, &f, &err);
    c->options.wishes = NULL;
    return status == SX_OK ? f.cost : NAN;
}

static void compare(Case *c) {
    SxError err = {.status = SX_OK};
    cr_assert_eq(sx_formation_write_model(&c->system, c->rotation, c->passers, c->wishes.lane,
                                          &c->options, c->file, &err),
                 SX_OK, "%s", err.message);
    /* just above ours cbc must find one of its own, and none that is better; if it does not, it
       looks everywhere */
    const double found = ours(c);
    double theirs = by_cbc(c->file, found + beyond);
    theirs = isnan(theirs) ? by_cbc(c->file, no_limit) : theirs;
    /* with wishes ours may fall back to a player in a passer's area, at its price */
    bool fell_back = isnan(theirs) && found >= 25;
    cr_expect((isnan(theirs) && isnan(found)) || fell_back || fabs(theirs - found) <= agree,
              "%s, rotation %d, passers %#x, sides %d: cbc %.5f, ours %.5f", c->system.id,
              c->rotation + 1, c->passers, c->options.sides, theirs, found);
    c->least = fmin(c->least, isnan(theirs) ? INFINITY : theirs);
    c->compared++;
}

static void every_lane(Case *c, int slot, unsigned taken) {
    while (slot < SX_SLOTS && !(c->passers >> slot & 1)) {
        c->wishes.lane[slot++] = -1;
    }
    if (slot == SX_SLOTS) {
        /* only those that the order allows are worth cbc's time: the others have no solution */
        if (!isnan(ours(c))) {
            compare(c);
        }
        return;
    }
    for (int lane = 0; lane < c->count; lane++) {
        if (!(taken >> lane & 1)) {
            c->wishes.lane[slot] = lane;
            every_lane(c, slot + 1, taken | 1u << lane);
        }
    }
    c->wishes.lane[slot] = -1;
}

static int check(const char *id, int r, unsigned passers) {
    static Case c;
    SxError err = {.status = SX_OK};
    SxFormation best;
    memset(&c, 0, sizeof c);
    cr_assert_eq(sx_system_load(id, &c.system, &err), SX_OK, "%s", err.message);
    sx_formation_default(&c.options);
    sx_formation_no_wishes(&c.wishes);
    c.options.sides = SX_BEST_SIDES;
    c.rotation = r;
    c.passers = passers & ~(1u << c.system.setter_slot[r]);
    c.count = sx_count_members(c.passers);
    c.least = INFINITY;
    cr_assert_eq(sx_formation_receive(&c.system, r, c.passers, &c.options, &best, &err), SX_OK);
    if (!best.feasible) {
        return 0;
    }
    c.options.sides = best.sides;
    snprintf(c.file, sizeof c.file, "/tmp/sixturn-formation-%d.lp", (int)getpid());
    every_lane(&c, 0, 0);
    unlink(c.file);
    cr_expect_float_eq(c.least, best.cost, agree, "%s, rotation %d: cbc %.5f, ours %.5f", id, r + 1,
                       c.least, best.cost);
    return c.compared;
}

static unsigned usual(const SxSystem *system, int r) {
    unsigned mask = 0;
    for (int s = 0; s < SX_SLOTS; s++) {
        SxRow row = sx_slot_row(s, r);
        const SxDuty *duty = &system->duty[s][row];
        if (duty->role == SX_OUTSIDE || (row == SX_BACK && duty->lane == SX_LEFT)) {
            mask |= 1u << s;
        }
    }
    return mask;
}

static void check_system(const char *id) {
    SxSystem system;
    cr_assert_eq(sx_system_load(id, &system, NULL), SX_OK);
    int compared = 0, rotations = sx_system_is_mirrored(&system) ? 3 : 6;
    for (int r = 0; r < rotations; r++) {
        compared += check(id, r, usual(&system, r));
    }
    cr_expect_geq(compared, rotations, "%d programs", compared);
}

Test(formation_cbc, agrees_on_the_5_1_outside) {
    check_system("5-1-outside");
}

Test(formation_cbc, agrees_on_the_5_1_middle) {
    check_system("5-1-middle");
}

Test(formation_cbc, agrees_on_the_6_2) {
    check_system("6-2");
    check_system("6-2-double");
}

Test(formation_cbc, agrees_on_the_4_2) {
    check_system("4-2");
    check_system("4-2-centre");
}

Test(formation_cbc, agrees_on_the_w) {
    int compared = 0;
    for (int r = 0; r < 3; r++) {
        compared += check("4-2-w", r, (1u << SX_SLOTS) - 1);
    }
    cr_expect_geq(compared, 3);
}

Test(formation_cbc, agrees_with_two_and_four_passers) {
    SxSystem system;
    cr_assert_eq(sx_system_load("5-1-outside", &system, NULL), SX_OK);
    for (int r = 0; r < 6; r++) {
        unsigned three = usual(&system, r);
        check("5-1-outside", r, three & (three - 1));
        check("5-1-outside", r, three | (three + 1));
    }
}
