/* The coach's wishes: kept when they can be, free when they are true already, and told apart when
 * they contradict each other. */
#include "support.h"

#include <criterion/criterion.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { ROUNDS = SANITIZED ? 1 : 4 };

static const double agree = 1e-6;

/* --- what each wish means, in plain words -------------------------------------------------------
 */

static int place_of(const SxLineup *l, int player) {
    for (int s = 0; s < 6; s++) {
        if (l->order.front[s] == player || l->order.back[s] == player) {
            return s;
        }
    }
    return -1;
}

static bool is_front(int s, int r) {
    int ahead = (s - r + 6) % 6; /* rotations until slot s serves */
    return ahead >= 1 && ahead <= 3;
}

/* Who stands in slot s while we serve in rotation r. */
static int at_serve(const SxLineup *l, int r, int s) {
    if (l->rotation[r].serve_libero >= 0 && l->rotation[r].serve_libero_slot == s) {
        return l->rotation[r].serve_libero;
    }
    return is_front(s, r) ? l->order.front[s] : l->order.back[s];
}

static int receiver(const SxLineup *l, int r, int s) {
    if (l->rotation[r].libero >= 0 && l->rotation[r].libero_slot == s) {
        return l->rotation[r].libero;
    }
    return is_front(s, r) ? l->order.front[s] : l->order.back[s];
}

static bool does_play(const SxLineup *l, int player) {
    bool plays = place_of(l, player) >= 0;
    for (int r = 0; r < 6; r++) {
        plays |= l->rotation[r].libero == player || l->rotation[r].serve_libero == player;
    }
    return plays;
}

static bool is_kept(const SxProblem *problem, const SxLineup *l, const SxWish *w) {
    int p = w->player;
    int here = place_of(l, p);
    int there = w->other >= 0 ? place_of(l, w->other) : -1;
    int on_court = 0;
    int in_back = 0;
    int passed = 0;
    bool sets = false;
    int changes = 0;
    for (int r = 0; r < 6; r++) {
        for (int s = 0; s < 6; s++) {
            if (receiver(l, r, s) == p) {
                on_court++;
                in_back += !is_front(s, r) && here >= 0;
                passed += l->rotation[r].passers >> s & 1;
            }
            in_back += at_serve(l, r, s) == p && !is_front(s, r) && here >= 0 && s != r;
        }
        int duty = problem->system->setter_slot[r];
        sets |= p >= 0 && (is_front(duty, r) ? l->order.front[duty] : l->order.back[duty]) == p;
    }
    for (int s = 0; s < 6; s++) {
        changes += l->order.front[s] != l->order.back[s] ? 2 : 0;
    }
    switch (w->kind) {
    case SX_MUST_PLAY:
        return does_play(l, p);
    case SX_MUST_SIT:
        return !does_play(l, p);
    case SX_FIXED_SLOT:
        return here == w->value;
    case SX_OPPOSITE_PAIR: /* both out is no breach */
        return here < 0 ? there < 0 : there == (here + 3) % 6;
    case SX_NOT_ADJACENT:
        return here < 0 || there < 0 || ((here + 1) % 6 != there && (there + 1) % 6 != here);
    case SX_NEVER_PASSES:
        return passed == 0;
    case SX_ALWAYS_PASSES:
        return passed == on_court;
    case SX_NOT_FRONT_ROW:
        return here < 0 || l->order.front[here] != p;
    case SX_NOT_BACK_ROW:
        return in_back == 0;
    case SX_LIBERO_FOR: /* and no substitute stands in for her instead */
        return in_back == 0 && (here < 0 || problem->system->split[here] ||
                                l->order.front[here] != p || l->order.back[here] == p);
    case SX_MIN_ROTATIONS:
        return on_court >= w->value;
    case SX_MAX_SUBSTITUTIONS:
        return changes <= w->value;
    case SX_MUST_SET:
        return sets;
    case SX_WISH_KINDS:
        break;
    }
    return false;
}

/* --- solving ------------------------------------------------------------------------------------
 */

static SxStatus solve(const Desk *desk, SxLineup *lineup, SxError *err) {
    SxSolveOptions options = {.any_tie = true};
    memset(err, 0, sizeof *err);
    return sx_lineup_solve(&desk->problem, &options, lineup, err);
}

static void wish(Desk *desk, SxWishKind kind, int player, int other, int value) {
    char origin[SX_WISH_ORIGIN];
    snprintf(origin, sizeof origin, "wish %d.", desk->plan.wish_count);
    cr_assert_eq(sx_plan_wish(&desk->plan, kind, player, other, value, origin, NULL), SX_OK);
}

static void random_wish(Rng *rng, Desk *desk, SxWishKind kind) {
    int n = desk->team.player_count;
    int player = rng_below(rng, n);
    int other = (player + 1 + rng_below(rng, n - 1)) % n;
    bool pair = kind == SX_OPPOSITE_PAIR || kind == SX_NOT_ADJACENT;
    int value = kind == SX_FIXED_SLOT          ? rng_below(rng, 6)
                : kind == SX_MIN_ROTATIONS     ? 1 + rng_below(rng, 6)
                : kind == SX_MAX_SUBSTITUTIONS ? 2 * rng_below(rng, 4)
                                               : 0;
    wish(desk, kind, kind == SX_MAX_SUBSTITUTIONS ? -1 : player, pair ? other : -1, value);
}

static Desk *desk_for(int n) {
    Desk *desk = malloc(sizeof *desk);
    desk_read(desk, n % 2 ? "datasets/junior-12.json" : "datasets/club-16.json", all_systems[n % 5],
              all_rules[n % 6]);
    desk->plan.specialists = n % 3;
    return desk;
}

/* Every kind, asked at random: kept, and free if true before. */
Test(wishes, are_kept_and_cost_nothing_when_true_already) {
    int kept[SX_WISH_KINDS] = {0};
    int was_true[SX_WISH_KINDS] = {0};
    Rng rng = {77};
    for (int n = 0; n < (SANITIZED ? 3 : 6 * ROUNDS); n++) {
        Desk *desk = desk_for(n);
        SxLineup before, after;
        SxError err;
        cr_assert_eq(solve(desk, &before, &err), SX_OK, "%s", err.message);
        for (int kind = 0; kind < SX_WISH_KINDS; kind++) {
            desk->plan.wish_count = 0;
            random_wish(&rng, desk, (SxWishKind)kind);
            const SxWish *w = &desk->plan.wishes[0];
            char text[512];
            sx_wish_text(w, &desk->team, text, sizeof text);
            bool true_before = is_kept(&desk->problem, &before, w);
            SxStatus status = solve(desk, &after, &err);
            was_true[kind] += true_before;
            cr_assert(status == SX_OK || (status == SX_NO && !true_before), "%d: %s: %d %s", n,
                      text, status, err.message);
            if (status == SX_NO) {
                cr_assert(strstr(err.message, "wish 0.") != NULL, "%s", err.message);
                continue;
            }
            kept[kind]++;
            cr_assert(is_kept(&desk->problem, &after, w), "%d: not kept: %s", n, text);
            cr_assert(after.score <= before.score + agree, "%d: %s raises the score", n, text);
            if (true_before) {
                cr_assert_float_eq(after.score, before.score, agree, "%d: %s costs %g", n, text,
                                   before.score - after.score);
            }
        }
        free(desk);
    }
    for (int kind = 0; ROUNDS > 1 && kind < SX_WISH_KINDS; kind++) {
        cr_expect(kept[kind] > 0, "kind %d was never kept", kind);
    }
}

/* --- against plain loops ------------------------------------------------------------------------
 */

typedef struct {
    const Desk *desk;
    SxOrder order;
    double best;
} Loops;

static bool sets_somewhere(const SxSystem *system, int s) {
    bool sets = false;
    for (int r = 0; r < 6; r++) {
        sets |= system->setter_slot[r] == s;
    }
    return sets;
}

static void try_orders(Loops *loops, int s, unsigned used, int specialists) {
    const Desk *desk = loops->desk;
    if (s == 6) {
        SxLineup lineup;
        SxSolveOptions options = {.fixed = &loops->order};
        if (sx_lineup_solve(&desk->problem, &options, &lineup, NULL) == SX_OK) {
            for (int k = 0; k < desk->plan.wish_count; k++) {
                cr_assert(is_kept(&desk->problem, &lineup, &desk->plan.wishes[k]));
            }
            loops->best = fmax(loops->best, lineup.score);
        }
        return;
    }
    const SxSystem *system = &desk->system;
    for (int f = 0; f < desk->team.player_count; f++) {
        for (int b = 0; b < desk->team.player_count; b++) {
            const double *front = desk->team.players[f].fitness;
            const double *back = desk->team.players[b].fitness;
            SxRole back_role = system->duty[s][SX_BACK].role;
            bool shares = f != b && !system->split[s];
            bool fits = front[system->duty[s][SX_FRONT].role] > 0 &&
                        (back[back_role] > 0 || (shares && back[SX_SPECIALIST] > 0));
            if ((used >> f & 1) || (used >> b & 1) || !fits || (system->split[s] && f == b) ||
                (shares && (specialists == desk->plan.specialists || sets_somewhere(system, s)))) {
                continue;
            }
            loops->order.front[s] = f;
            loops->order.back[s] = b;
            try_orders(loops, s + 1, used | 1u << f | 1u << b, specialists + shares);
        }
    }
}

/* One to three wishes of any kind on a small roster: the program finds what trying every order
 * finds, or both find nothing. */
Test(wishes, agree_with_trying_every_order) {
    int found = 0;
    int none = 0;
    for (int n = 0; n < 26 * ROUNDS; n++) {
        Rng rng = {900 + (uint64_t)n};
        Desk *desk = malloc(sizeof *desk);
        random_team(&rng, 9, &desk->team);
        desk_set(desk, all_systems[n % 5], all_rules[n % 6], 1u << 3);
        if (n % 2) {
            desk->plan.specialists = 1;
            desk->team.players[1 + n % 4].fitness[SX_SPECIALIST] = 0.9;
            desk->team.players[7].fitness[SX_SPECIALIST] = 0.9;
        }
        for (int k = 0; k <= n % 3; k++) {
            random_wish(&rng, desk, (SxWishKind)((n + 5 * k) % SX_WISH_KINDS));
        }
        Loops loops = {desk, {{0}, {0}}, -INFINITY};
        try_orders(&loops, 0, 0, 0);
        SxLineup lineup;
        SxError err;
        SxStatus status = solve(desk, &lineup, &err);
        char text[512];
        sx_wish_text(&desk->plan.wishes[0], &desk->team, text, sizeof text);
        cr_assert_eq(status, isinf(loops.best) ? SX_NO : SX_OK, "%d: %s, %d wishes: %d %s", n, text,
                     desk->plan.wish_count, status, err.message);
        if (status == SX_OK) {
            cr_assert_float_eq(lineup.score, loops.best, agree, "%d: %s: %.9f, every order: %.9f",
                               n, text, lineup.score, loops.best);
        }
        found += status == SX_OK;
        none += status == SX_NO;
        free(desk);
    }
    cr_expect(found > 0 && none > 0, "%d with a lineup, %d without", found, none);
}

/* --- contradictions -----------------------------------------------------------------------------
 */

/* Nothing is worth anything here, so that the first lineup found is as good as any. */
static bool holds(const Desk *desk, unsigned set) {
    Desk *part = malloc(sizeof *part);
    *part = *desk;
    part->problem.team = &part->team;
    part->problem.rules = &part->rules;
    part->problem.system = &part->system;
    part->problem.plan = &part->plan;
    part->plan.wish_count = 0;
    memset(part->plan.weight, 0, sizeof part->plan.weight);
    for (int k = 0; k < desk->plan.wish_count; k++) {
        if (set >> k & 1) {
            part->plan.wishes[part->plan.wish_count++] = desk->plan.wishes[k];
        }
    }
    SxLineup lineup;
    SxError err;
    SxStatus status = solve(part, &lineup, &err);
    cr_assert(status == SX_OK || status == SX_NO, "%s", err.message);
    free(part);
    return status == SX_OK;
}

static unsigned named_in(const Desk *desk, const char *message) {
    unsigned set = 0;
    for (int k = 0; k < desk->plan.wish_count; k++) {
        set |= strstr(message, desk->plan.wishes[k].origin) ? 1u << k : 0;
    }
    return set;
}

/* The named set contradicts itself; nothing smaller among all the wishes does. */
static void check_smallest(const Desk *desk, const char *message) {
    unsigned named = named_in(desk, message);
    int size = __builtin_popcount(named);
    cr_assert(size > 0, "no wish is named: %s", message);
    cr_assert_not(holds(desk, named), "the named wishes can hold: %s", message);
    for (unsigned set = 0; set < 1u << desk->plan.wish_count; set++) {
        if (__builtin_popcount(set) == size - 1) { /* smaller ones follow from these */
            cr_assert(holds(desk, set), "a smaller set contradicts itself: %#x, named %#x: %s", set,
                      named, message);
        }
    }
}

Test(contradictions, to_play_and_to_sit) {
    Desk *desk = desk_for(0);
    SxLineup lineup;
    SxError err;
    wish(desk, SX_MUST_PLAY, 2, -1, 0);
    wish(desk, SX_NEVER_PASSES, 0, -1, 0);
    wish(desk, SX_MUST_SIT, 2, -1, 0);
    wish(desk, SX_MUST_PLAY, 4, -1, 0);
    cr_assert_eq(solve(desk, &lineup, &err), SX_NO);
    cr_assert_eq(named_in(desk, err.message), 1u << 0 | 1u << 2, "%s", err.message);
    check_smallest(desk, err.message);
    const SxWork unexplained = {.unexplained = true};
    const SxSolveOptions options = {.work = &unexplained};
    cr_expect_eq(sx_lineup_solve(&desk->problem, &options, &lineup, &err), SX_NO);
    cr_expect_eq(named_in(desk, err.message), 0, "no reason was asked for: %s", err.message);
    free(desk);
}

Test(contradictions, two_in_one_slot) {
    Desk *desk = desk_for(1);
    SxLineup lineup;
    SxError err;
    desk->plan.specialists = 0;
    wish(desk, SX_FIXED_SLOT, sx_team_find(&desk->team, "3"), -1, 1);
    wish(desk, SX_FIXED_SLOT, sx_team_find(&desk->team, "5"), -1, 1);
    cr_assert_eq(solve(desk, &lineup, &err), SX_NO);
    check_smallest(desk, err.message);
    free(desk);
}

Test(contradictions, random_ones_are_told_by_their_smallest_set) {
    int seen = 0;
    for (int n = 0; n < 12 * ROUNDS; n++) {
        Rng rng = {4000 + (uint64_t)n};
        Desk *desk = malloc(sizeof *desk);
        random_team(&rng, 10, &desk->team);
        desk_set(desk, all_systems[n % 5], all_rules[n % 6], 1u << 3);
        for (int k = 0; k < 6; k++) {
            random_wish(&rng, desk, (SxWishKind)rng_below(&rng, SX_WISH_KINDS));
        }
        SxLineup lineup;
        SxError err;
        if (solve(desk, &lineup, &err) == SX_NO) {
            seen++;
            check_smallest(desk, err.message);
        }
        free(desk);
    }
    cr_expect(seen > 0);
}

static void everybody_wants(Desk *desk, int rotations) {
    for (int p = 0; p < desk->team.player_count; p++) {
        wish(desk, SX_MIN_ROTATIONS, p, -1, rotations);
    }
}

/* Wishes that are all alike leave many small sets to look through; the relaxed program alone knows
 * that they cannot all be kept. */
Test(contradictions, of_many_equal_wishes) {
    Desk *desk = malloc(sizeof *desk);
    SxLineup lineup;
    SxError err, possible = {.status = SX_OK};
    desk_read(desk, "datasets/junior-12.json", "5-1-outside", "fivb-2025");
    cr_expect_eq(sx_lineup_possible(&desk->problem, NULL, &possible), SX_OK);
    for (int rotations = SANITIZED ? 6 : 3; rotations <= 6; rotations += 3) {
        desk->plan.wish_count = 0;
        everybody_wants(desk, rotations);
        cr_assert_eq(solve(desk, &lineup, &err), SX_NO);
        check_smallest(desk, err.message);
        cr_expect_eq(sx_lineup_possible(&desk->problem, NULL, &possible), SX_NO);
        cr_expect_str_eq(possible.message, err.message);
    }
    free(desk);
}

/* Twelve who may all do everything: which of them can have four rotations each takes long to find
 * out. What is told is in conflict all the same, and says that fewer may be. */
Test(contradictions, too_many_to_look_through) {
    Desk *desk = malloc(sizeof *desk);
    SxLineup lineup;
    SxError err;
    desk_read(desk, "datasets/junior-12.json", "5-1-outside", "fivb-2025");
    for (int p = 0; p < desk->team.player_count; p++) {
        for (int role = 0; role < SX_ROLE_COUNT; role++) {
            desk->team.players[p].fitness[role] = 1;
        }
    }
    everybody_wants(desk, 4);
    cr_assert_eq(solve(desk, &lineup, &err), SX_NO);
    const unsigned named = named_in(desk, err.message);
    cr_expect(strstr(err.message, "perhaps fewer of them cannot either") != NULL, "%s",
              err.message);
    cr_expect_lt(__builtin_popcount(named), desk->plan.wish_count);
    cr_expect_not(holds(desk, named), "%s", err.message);
    free(desk);
}

/* --- shortages ----------------------------------------------------------------------------------
 */

static void leave_out(Desk *desk, const char *who) {
    desk->team.players[sx_team_find(&desk->team, who)].available = false;
}

Test(shortages, are_told_by_role_and_by_name) {
    Desk *desk = malloc(sizeof *desk);
    SxLineup lineup;
    SxError err;
    desk_read(desk, "datasets/junior-12.json", "6-2", "fivb-2025");
    leave_out(desk, "6");
    cr_assert_eq(solve(desk, &lineup, &err), SX_NO);
    cr_expect(strstr(err.message, "needs 2 setters, 1 available: #1 Nele Brandahl") != NULL, "%s",
              err.message);
    cr_expect(strstr(err.message, "not available: #6 Pia Osterloh") != NULL, "%s", err.message);
    leave_out(desk, "1");
    cr_assert_eq(solve(desk, &lineup, &err), SX_NO);
    cr_expect(strstr(err.message, "0 available") != NULL, "%s", err.message);
    free(desk);
}

Test(shortages, by_wish_name_the_wishes) {
    Desk *desk = malloc(sizeof *desk);
    SxLineup lineup;
    SxError err;
    desk_read(desk, "datasets/junior-12.json", "5-1-outside", "fivb-2025");
    wish(desk, SX_MUST_SIT, sx_team_find(&desk->team, "1"), -1, 0);
    wish(desk, SX_MUST_SIT, sx_team_find(&desk->team, "12"), -1, 0);
    wish(desk, SX_MUST_SIT, sx_team_find(&desk->team, "6"), -1, 0);
    cr_assert_eq(solve(desk, &lineup, &err), SX_NO);
    cr_assert_eq(named_in(desk, err.message), 1u << 0 | 1u << 2, "%s", err.message);
    cr_expect(strstr(err.message, "needs 1 setter, 0 available") != NULL, "%s", err.message);
    check_smallest(desk, err.message);
    free(desk);
}

Test(shortages, of_substitutions) {
    Desk *desk = malloc(sizeof *desk);
    SxLineup lineup;
    SxError err;
    desk_read(desk, "datasets/club-16.json", "6-2-double", "fivb-2025");
    desk->rules.substitutions = 3;
    cr_assert_eq(solve(desk, &lineup, &err), SX_NO);
    cr_expect(strstr(err.message, "needs 4 substitutions") != NULL, "%s", err.message);
    free(desk);
}
