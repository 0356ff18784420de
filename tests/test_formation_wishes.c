/* What a coach may ask of a formation, and what must hold for any formation: seeded random systems,
 * passers, sides and wishes. */
#include "random_team.h"

#include "sixturn/formation.h"
#include "sixturn/legality.h"

#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

static const double agree = 1e-6;

#if defined(__SANITIZE_ADDRESS__)
enum { DRAWS = 60 };
#else
enum { DRAWS = 400 };
#endif

static SxSystem load(const char *id) {
    SxSystem system;
    SxError err = {.status = SX_OK};
    cr_assert_eq(sx_system_load(id, &system, &err), SX_OK, "%s", err.message);
    return system;
}

static SxFormationTerms shipped_terms(void) {
    SxFormationTerms terms;
    cr_assert_eq(sx_formation_terms_load(NULL, &terms, NULL), SX_OK);
    return terms;
}

typedef struct {
    SxSystem system;
    int rotation;
    unsigned passers;
    SxFormationOptions options;
    SxFormationWishes wishes;
} Draw;

static unsigned random_passers(Rng *rng, const SxSystem *system, int rotation) {
    for (;;) {
        unsigned mask = (unsigned)rng_below(rng, SX_MASKS);
        int size = sx_count_members(mask);
        if (size >= SX_MIN_PASSERS && size <= SX_MAX_PASSERS &&
            (rng_below(rng, 8) == 0 || !(mask >> system->setter_slot[rotation] & 1))) {
            return mask;
        }
    }
}

static void draw(Rng *rng, Draw *d) {
    memset(d, 0, sizeof *d);
    d->system = load(sx_system_id(rng_below(rng, sx_system_count())));
    d->rotation = rng_below(rng, SX_ROTATIONS);
    d->passers = random_passers(rng, &d->system, d->rotation);
    sx_formation_default(&d->options);
    d->options.sides = rng_below(rng, SX_SIDES + 2) - 2;
    d->options.margin = 0.05 * rng_below(rng, 9);
    sx_formation_no_wishes(&d->wishes);
}

/* SX_OK or SX_NO. */
static SxStatus solve(Draw *d, bool with_wishes, SxFormation *f) {
    SxError err = {.status = SX_OK};
    d->options.wishes = with_wishes ? &d->wishes : NULL;
    SxStatus status =
        sx_formation_receive(&d->system, d->rotation, d->passers, &d->options, f, &err);
    cr_assert(status == SX_OK || (with_wishes && status == SX_NO && err.message[0]), "%s",
              err.message);
    return status;
}

static double total(const Draw *d, const SxFormation *f) {
    SxFormationTerms terms = shipped_terms();
    return f->cost + (d->options.sides == SX_BEST_SIDES
                          ? sx_formation_away(&d->system, d->rotation, f->sides, &terms)
                          : 0);
}

Test(formations, are_legal_with_the_margin_by_every_rule_book) {
    Rng rng = {11};
    int feasible = 0;
    for (int n = 0; n < DRAWS; n++) {
        Draw d;
        SxFormation f;
        draw(&rng, &d);
        solve(&d, false, &f);
        if (!f.feasible) {
            cr_assert_neq(f.reason[0], '\0');
            continue;
        }
        feasible++;
        SxStance stance;
        sx_stance_default(&stance);
        for (int p = 1; p <= SX_POSITIONS; p++) {
            stance.spot[p - 1] = f.spot[sx_slot_at(p, d.rotation)];
        }
        for (int k = 0; k < sx_rules_count(); k++) {
            SxRules rules;
            SxLegality found;
            cr_assert_eq(sx_rules_load(sx_rules_id(k), &rules, NULL), SX_OK);
            sx_legality(&stance, &rules, d.options.margin - agree, &found);
            /* the older wording holds level feet to be a fault; margins of 0 may be level */
            cr_expect(found.legal || (rules.level_is_fault && d.options.margin == 0));
            for (int i = 0; i < found.finding_count; i++) {
                cr_expect(found.finding[i].kind != SX_ORDER_NEAR, "a relation is too close");
            }
        }
    }
    cr_expect_gt(feasible, DRAWS / 3, "%d of %d", feasible, DRAWS);
}

/* --- wishes -------------------------------------------------------------------------------------
 */

enum { LANE, ATTACK, BEHIND, NET, FIXED, NO_PASS, WISH_KINDS };

static void add_wish(Rng *rng, Draw *d, const SxFormation *like) {
    int slot = rng_below(rng, SX_SLOTS), position = sx_position(slot, d->rotation);
    switch (rng_below(rng, WISH_KINDS)) {
    case LANE:
        if (d->passers >> slot & 1) {
            d->wishes.lane[slot] = rng_below(rng, sx_count_members(d->passers));
        }
        break;
    case ATTACK:
        if (sx_row_of(position) == SX_FRONT) {
            d->wishes.attacks_from[slot] = rng_below(rng, SX_LANES);
        }
        break;
    case BEHIND:
        if (sx_slot_at(2, d->rotation) != slot) {
            d->wishes.behind[slot] = sx_slot_at(2, d->rotation);
        }
        break;
    case NET:
        d->wishes.at_net[slot] = !(d->passers >> slot & 1);
        break;
    case FIXED:
        d->wishes.fixed[slot] = true;
        d->wishes.spot[slot] = like->spot[slot];
        d->wishes.spot[slot].y += 0.1 * (rng_below(rng, 7) - 3);
        break;
    default:
        d->wishes.no_pass[slot] = !(d->passers >> slot & 1);
        break;
    }
}

static void expect_kept(const Draw *d, const SxFormation *f) {
    for (int s = 0; s < SX_SLOTS; s++) {
        int position = sx_position(s, d->rotation);
        const SxFormationWishes *w = &d->wishes;
        cr_expect(w->lane[s] < 0 || f->lane[s] == w->lane[s]);
        cr_expect(w->attacks_from[s] < 0 ||
                  (int)sx_side_lane(f->sides, position) == w->attacks_from[s]);
        cr_expect(!w->at_net[s] || f->spot[s].y <= 1.5 + agree);
        cr_expect(!w->no_pass[s] || f->lane[s] < 0);
        cr_expect(!w->fixed[s] || sx_distance(f->spot[s], w->spot[s]) < agree);
        if (w->behind[s] >= 0) {
            SxSpot me = f->spot[s], her = f->spot[w->behind[s]];
            cr_expect(fabs(me.x - her.x) <= 0.9 + agree && me.y >= her.y - agree &&
                      me.y <= her.y + 1.1 + agree);
        }
    }
}

/* One wish less, for each in turn; none may cost more. */
static int expect_no_wish_saves(Draw *d, double with) {
    int compared = 0;
    SxFormationWishes all = d->wishes, none;
    sx_formation_no_wishes(&none);
    for (int s = 0; s < SX_SLOTS; s++) {
        for (int kind = 0; kind < WISH_KINDS; kind++) {
            SxFormation f;
            d->wishes = all;
            d->wishes.lane[s] = kind == LANE ? -1 : all.lane[s];
            d->wishes.attacks_from[s] = kind == ATTACK ? -1 : all.attacks_from[s];
            d->wishes.behind[s] = kind == BEHIND ? -1 : all.behind[s];
            d->wishes.at_net[s] = kind != NET && all.at_net[s];
            d->wishes.fixed[s] = kind != FIXED && all.fixed[s];
            d->wishes.no_pass[s] = kind != NO_PASS && all.no_pass[s];
            if (memcmp(&d->wishes, &all, sizeof all) == 0) {
                continue;
            }
            cr_assert_eq(solve(d, true, &f), SX_OK, "impossible with one wish less");
            cr_expect(total(d, &f) <= with + agree, "%.4f with, %.4f with one less", with,
                      total(d, &f));
            compared++;
        }
    }
    d->wishes = none;
    SxFormation f;
    solve(d, false, &f);
    cr_expect(!f.feasible || total(d, &f) <= with + agree);
    return compared;
}

Test(wishes, hold_and_none_saves_anything) {
    Rng rng = {12};
    int kept = 0, refused = 0, compared = 0;
    for (int n = 0; n < DRAWS; n++) {
        Draw d;
        SxFormation like, f;
        draw(&rng, &d);
        solve(&d, false, &like);
        int wishes = 1 + rng_below(&rng, 3);
        for (int k = 0; like.feasible && k < wishes; k++) {
            add_wish(&rng, &d, &like);
        }
        if (!like.feasible || solve(&d, true, &f) == SX_NO) {
            refused += like.feasible;
            continue;
        }
        expect_kept(&d, &f);
        compared += expect_no_wish_saves(&d, total(&d, &f));
        kept++;
    }
    cr_expect(kept > DRAWS / 6 && refused > 0 && compared > DRAWS / 6, "%d kept, %d refused", kept,
              refused);
}

/* --- a mirror -----------------------------------------------------------------------------------
 */

static int mirrored_position(int position) {
    static const int other[] = {0, 5, 4, 3, 2, 1, 6};
    return other[position];
}

static SxSpot mirrored_spot(SxSpot spot) {
    return (SxSpot){SX_COURT_WIDTH - spot.x, spot.y};
}

/* Left and right exchanged in rotation 1. */
static SxSystem mirrored_system(const SxSystem *system) {
    SxSystem other = *system;
    for (int p = 1; p <= SX_POSITIONS; p++) {
        for (int row = 0; row < SX_ROWS; row++) {
            SxDuty *duty = &other.duty[mirrored_position(p) - 1][row];
            *duty = system->duty[p - 1][row];
            duty->lane = (SxLane)(SX_RIGHT - duty->lane);
            duty->base = mirrored_spot(duty->base);
            duty->task = mirrored_spot(duty->task);
        }
    }
    other.setter_slot[0] = mirrored_position(system->setter_slot[0] + 1) - 1;
    other.setting_target = mirrored_spot(system->setting_target);
    for (int n = SX_MIN_PASSERS; n <= SX_MAX_PASSERS; n++) {
        for (int l = 0; l < n; l++) {
            other.lanes[n][l] = mirrored_spot(system->lanes[n][n - 1 - l]);
        }
    }
    return other;
}

static int mirrored_sides(int sides) {
    for (int other = 0; other < SX_SIDES; other++) {
        bool same = true;
        for (int p = 2; p <= 4; p++) {
            same &= sx_side_lane(other, mirrored_position(p)) == SX_RIGHT - sx_side_lane(sides, p);
        }
        if (same) {
            return other;
        }
    }
    return -1;
}

/* Only ties, a thousandth a metre by position, tell left from right. */
Test(formations, are_mirrored_on_a_mirrored_court) {
    const double ties = 0.005 * 6 * 2 * SX_COURT_WIDTH;
    int compared = 0;
    for (int k = 0; k < sx_system_count(); k++) {
        SxSystem system = load(sx_system_id(k)), other = mirrored_system(&system);
        for (unsigned mask = 1; mask < SX_MASKS; mask++) {
            int size = sx_count_members(mask);
            if (size < SX_MIN_PASSERS || size > SX_MAX_PASSERS || mask % 3 == 0) {
                continue;
            }
            SxFormation f, g;
            SxFormationOptions options;
            unsigned twin = 0;
            for (int p = 1; p <= SX_POSITIONS; p++) {
                twin |= mask >> (p - 1) & 1 ? 1u << (mirrored_position(p) - 1) : 0;
            }
            sx_formation_default(&options);
            options.sides = (int)mask % SX_SIDES;
            cr_assert_eq(sx_formation_receive(&system, 0, mask, &options, &f, NULL), SX_OK);
            options.sides = mirrored_sides(options.sides);
            cr_assert_eq(sx_formation_receive(&other, 0, twin, &options, &g, NULL), SX_OK);
            cr_assert_eq(f.feasible, g.feasible);
            if (!f.feasible) {
                continue;
            }
            /* f's picture in the mirror is as good there as the best. */
            SxFormation seen = g;
            for (int p = 1; p <= SX_POSITIONS; p++) {
                int slot = mirrored_position(p) - 1;
                seen.spot[slot] = mirrored_spot(f.spot[p - 1]);
                seen.lane[slot] = f.lane[p - 1] < 0 ? -1 : size - 1 - f.lane[p - 1];
            }
            double term[SX_COST_COUNT], sum = 0;
            cr_assert_eq(sx_formation_price(&other, 0, &seen, &options, term, NULL), SX_OK);
            for (int t = 0; t < SX_COST_COUNT; t++) {
                sum += term[t];
            }
            cr_expect(fabs(sum - g.cost) <= ties, "%s %#x: %.3f, %.3f", system.id, mask, sum,
                      g.cost);
            cr_expect(sum >= g.cost - agree, "the mirror found a better one");
            compared++;
        }
    }
    cr_expect_gt(compared, 60);
}

/* --- a coach's own ------------------------------------------------------------------------------
 */

Test(given, our_own_costs_what_the_program_says) {
    Rng rng = {13};
    SxRules rules;
    cr_assert_eq(sx_rules_load("fivb-2025", &rules, NULL), SX_OK);
    for (int n = 0; n < DRAWS; n++) {
        Draw d;
        SxFormation f, again;
        SxError err = {.status = SX_OK};
        draw(&rng, &d);
        solve(&d, false, &f);
        if (!f.feasible) {
            continue;
        }
        d.options.sides = f.sides;
        cr_assert_eq(sx_formation_given(&d.system, &rules, d.rotation, d.passers, f.spot,
                                        &d.options, &again, &err),
                     SX_OK, "%s", err.message);
        cr_expect(again.cost <= f.cost + agree, "given %.4f, chosen %.4f", again.cost, f.cost);
        cr_expect(again.feasible && again.margin == f.margin);
        for (int s = 0; s < SX_SLOTS; s++) {
            cr_expect_eq(again.late[s], f.late[s]);
            cr_expect_eq(again.lane[s] < 0, f.lane[s] < 0);
        }
    }
}

Test(given, an_illegal_one_is_refused_with_the_fault) {
    SxSystem system = load("5-1-outside");
    SxRules rules;
    SxFormation f, out;
    SxError err = {.status = SX_OK};
    cr_assert_eq(sx_rules_load("fivb-2025", &rules, NULL), SX_OK);
    cr_assert_eq(sx_formation_receive(&system, 0, 1u << 1 | 1u << 4 | 1u << 5, NULL, &f, NULL),
                 SX_OK);
    SxSpot spot[SX_SLOTS];
    memcpy(spot, f.spot, sizeof spot);
    spot[0].y = spot[1].y - 0.12; /* the setter, right back, before the outside, right front */
    cr_expect_eq(sx_formation_given(&system, &rules, 0, f.passers, spot, NULL, &out, &err), SX_NO);
    cr_expect_not_null(strstr(err.message, "right back is 12 cm nearer the net than right front"),
                       "%s", err.message);
    memcpy(spot, f.spot, sizeof spot);
    spot[3].x = -0.2;
    cr_expect_eq(sx_formation_given(&system, &rules, 0, f.passers, spot, NULL, &out, &err), SX_NO);
    cr_expect_not_null(strstr(err.message, "outside the court"), "%s", err.message);
}

/* --- alternatives -------------------------------------------------------------------------------
 */

enum { LIST = 40, THREE = 1u << 3 };

/* Every passer set, sides and lanes, one by one by wishes: how many are cheaper than `limit`, and
 * the cheapest. */
typedef struct {
    Draw *draw;
    double limit, least;
    int cheaper;
} Loops;

static void every_lane(Loops *loops, int slot, unsigned taken) {
    Draw *d = loops->draw;
    while (slot < SX_SLOTS && !(d->passers >> slot & 1)) {
        d->wishes.lane[slot++] = -1;
    }
    if (slot == SX_SLOTS) {
        SxFormation f;
        SxFormationTerms terms = shipped_terms();
        if (solve(d, true, &f) == SX_OK) {
            double cost = f.cost + sx_formation_away(&d->system, d->rotation, f.sides, &terms);
            loops->cheaper += cost < loops->limit - agree;
            loops->least = fmin(loops->least, cost);
        }
        return;
    }
    for (int lane = 0; lane < sx_count_members(d->passers); lane++) {
        if (!(taken >> lane & 1)) {
            d->wishes.lane[slot] = lane;
            every_lane(loops, slot + 1, taken | 1u << lane);
        }
    }
    d->wishes.lane[slot] = -1;
}

static bool same_lanes(const SxFormationShape *a, const SxFormationShape *b) {
    return a->formation.passers == b->formation.passers &&
           a->formation.sides == b->formation.sides &&
           memcmp(a->formation.lane, b->formation.lane, sizeof a->formation.lane) == 0;
}

static int different_lanes(const SxFormationShape *list, int count, double limit) {
    int different = 0;
    for (int a = 0; a < count; a++) {
        bool first = list[a].total < limit - agree;
        for (int b = 0; b < a; b++) {
            first &= !same_lanes(&list[a], &list[b]);
        }
        different += first;
    }
    return different;
}

static void check_alternatives(const char *id, int rotation) {
    Draw d = {.system = load(id), .rotation = rotation};
    static SxFormationShape list[LIST];
    int count = 0;
    SxError err = {.status = SX_OK};
    unsigned all = ((1u << SX_SLOTS) - 1) & ~(1u << d.system.setter_slot[rotation]);
    sx_formation_default(&d.options);
    sx_formation_no_wishes(&d.wishes);
    d.options.sides = SX_BEST_SIDES;
    cr_assert_eq(sx_formation_alternatives(&d.system, rotation, THREE, all, &d.options, list, LIST,
                                           &count, &err),
                 SX_OK, "%s", err.message);
    cr_assert_eq(count, LIST);
    double last = list[LIST - 1].total;
    for (int k = 1; k < count; k++) {
        cr_expect(list[k - 1].total <= list[k].total);
        for (int j = 0; j < k; j++) {
            cr_expect(!same_lanes(&list[j], &list[k]) ||
                      list[j].hides_behind != list[k].hides_behind);
        }
    }
    Loops loops = {&d, last, INFINITY, 0};
    for (d.passers = 1; d.passers < SX_MASKS; d.passers++) {
        if (sx_count_members(d.passers) == 3 && !(d.passers & ~all)) {
            for (d.options.sides = 0; d.options.sides < SX_SIDES; d.options.sides++) {
                every_lane(&loops, 0, 0);
            }
        }
    }
    cr_expect_float_eq(loops.least, list[0].total, agree);
    cr_expect_eq(loops.cheaper, different_lanes(list, count, last), "%s %d: %d by loops, %d listed",
                 id, rotation + 1, loops.cheaper, different_lanes(list, count, last));
}

Test(alternatives, are_the_cheapest_shapes_and_all_of_them) {
    check_alternatives("5-1-outside", 0);
    check_alternatives("5-1-middle", 1);
    check_alternatives("4-2", 0);
}

/* Whom the list says that the setter hides behind, she does; of the open ones she hides nowhere. */
Test(alternatives, say_behind_whom_the_setter_hides) {
    SxSystem system = load("5-1-outside");
    SxFormationShape list[20];
    SxFormationOptions options;
    int count = 0, hidden = 0, open = 0;
    sx_formation_default(&options);
    options.sides = SX_BEST_SIDES;
    cr_assert_eq(
        sx_formation_alternatives(&system, 1, THREE, 0x3e, &options, list, 20, &count, NULL),
        SX_OK);
    for (int k = 0; k < count; k++) {
        const SxFormation *f = &list[k].formation;
        int found = -1;
        for (int p = 4; p >= 2; p--) {
            int s = sx_slot_at(p, 1);
            SxSpot me = f->spot[0], her = f->spot[s];
            if (f->lane[s] < 0 && fabs(me.x - her.x) <= 0.9 + agree && me.y >= her.y - agree &&
                me.y <= her.y + 1.1 + agree) {
                found = s;
            }
        }
        cr_expect_eq(list[k].hides_behind, found);
        hidden += found >= 0;
        open += found < 0;
    }
    cr_expect(hidden > 0 && open > 0, "%d hidden, %d open", hidden, open);
}
