/* A lineup's own substitutions as an exchange of the moment: how both sixes play, and best play
 * against an enumeration that knows players, not exchanges. */
#include "sixturn/advice.h"
#include "sixturn/bestset.h"
#include "sixturn/kept.h"
#include "sixturn/starts.h"
#include "support.h"

#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

static const char *const teams[] = {"datasets/junior-12.json", "datasets/club-16.json"};

static SxOwnChange own;

static void prepare(Evening *evening, const char *team, const char *rules) {
    evening_read(evening, team, "6-2-double", rules);
    evening->desk.problem.against = &evening->fixture;
    evening_solve(evening);
}

static void look(Evening *evening, int start) {
    SxError err = {0};
    cr_assert_eq(sx_own_change(&evening->desk.problem, &evening->lineup, &evening->fixture, start,
                               &own, &err),
                 SX_OK, "%s", err.message);
    cr_assert(own.found);
}

/* --- how both sixes play -------------------------------------------------------------------------
 */

static void six_of(const Evening *evening, bool come, int six[SX_SLOTS]) {
    const SxConsidered *it = &own.exchange;
    for (int s = 0; s < SX_SLOTS; s++) {
        six[s] = evening->lineup.order.front[s];
    }
    for (int k = 0; k < it->places; k++) {
        six[it->slot[k]] = come ? it->in[k] : it->out[k];
    }
}

static bool is_on_court(const SxLineup *lineup, int rotation, const int six[SX_SLOTS]) {
    bool all = true;
    for (int s = 0; s < SX_SLOTS; s++) {
        all = all && sx_slot_player(lineup, rotation, s) == six[s];
    }
    return all;
}

/* Sets won from any start by a six that nobody leaves. */
static double worth(const SxRates *rates) {
    SxSetChain *chain;
    SxStartOdds odds;
    const SxSetRules rules = {.target = 25};
    double sum = 0;
    cr_assert_eq(sx_set_chain_new(rates, &rules, &chain, NULL), SX_OK);
    sx_start_odds(chain, &odds);
    for (int k = 0; k < SX_PHASES * SX_ROTATIONS; k++) {
        sum += odds.mean[k % SX_PHASES][k / SX_PHASES];
    }
    sx_set_chain_free(chain);
    return sum;
}

/* The six with one of the shipped systems, turned; false if it cannot play it so. */
static bool rates_in(const Evening *evening, const char *id, int turn, const int six[SX_SLOTS],
                     SxRates *rates) {
    static Desk desk;
    SxLineup lineup;
    SxOrder order;
    SxRates turned;
    SxError err = {0};
    desk.team = evening->desk.team;
    desk_set(&desk, id, evening->desk.rules.id, 1u << 3);
    desk.plan = evening->desk.plan;
    desk.problem.against = &evening->fixture;
    if (sx_system_splits(&desk.system)) {
        return false;
    }
    for (int p = 0; p < desk.team.player_count; p++) {
        bool stays = desk.team.players[p].fitness[SX_LIBERO] > 0;
        for (int s = 0; s < SX_SLOTS; s++) {
            stays = stays || six[s] == p;
        }
        desk.team.players[p].available = stays;
    }
    for (int s = 0; s < SX_SLOTS; s++) {
        const int who = six[(s + turn) % SX_SLOTS];
        order.front[s] = order.back[s] = who;
        for (int row = 0; row < SX_ROWS; row++) {
            if (desk.team.players[who].fitness[desk.system.duty[s][row].role] <= 0) {
                return false;
            }
        }
    }
    if (sx_order_best(&desk.problem, &order, &lineup, &err) != SX_OK) {
        return false;
    }
    sx_lineup_rates(&lineup, &evening->fixture, &turned);
    for (int r = 0; r < SX_ROTATIONS; r++) {
        const int here = (r + turn) % SX_ROTATIONS;
        memcpy(rates->receive[here], turned.receive[r], sizeof turned.receive[r]);
        memcpy(rates->serve[here], turned.serve[r], sizeof turned.serve[r]);
    }
    return true;
}

static void sixes_play(Evening *evening, bool come) {
    const SxOwnSix *told = come ? &own.come : &own.stay;
    SxRates planned, rates;
    int six[SX_SLOTS];
    double best = 0;
    six_of(evening, come, six);
    sx_lineup_rates(&evening->lineup, &evening->fixture, &planned);
    for (int r = 0; r < SX_ROTATIONS; r++) {
        cr_expect_eq(told->planned[r], is_on_court(&evening->lineup, r, six));
    }
    for (int k = 0; k < sx_system_count() * SX_ROTATIONS; k++) {
        if (!rates_in(evening, sx_system_id(k / SX_ROTATIONS), k % SX_ROTATIONS, six, &rates)) {
            continue;
        }
        for (int r = 0; r < SX_ROTATIONS; r++) {
            if (told->planned[r]) {
                memcpy(rates.receive[r], planned.receive[r], sizeof planned.receive[r]);
                memcpy(rates.serve[r], planned.serve[r], sizeof planned.serve[r]);
            }
        }
        best = fmax(best, worth(&rates));
    }
    cr_expect_gt(best, 0);
    cr_expect_float_eq(worth(&told->rates), best, 1e-9, "%s %.9f %.9f", told->system,
                       worth(&told->rates), best);
}

/* In the rotations that the lineup plans for a six it plays as planned, in the others in the
 * shipped system and turn that wins most. */
Test(ownchange, both_sixes_play_on_in_the_best_way) {
    static const char *const rules[] = {"usav", "fivb-2025"};
    for (int k = 0; k < 4; k++) {
        static Evening evening;
        prepare(&evening, teams[k / 2], rules[k % 2]);
        for (int start = 0; start < SX_ROTATIONS; start += 4) {
            look(&evening, start);
            const SxConsidered *it = &own.exchange;
            cr_assert_eq(it->places, 2);
            for (int j = 0; j < it->places; j++) {
                cr_expect_eq(sx_slot_player(&evening.lineup, start, it->slot[j]), it->out[j]);
            }
            sixes_play(&evening, false);
            sixes_play(&evening, true);
        }
    }
}

/* A lineup without substitutions has none, nor has one whose places change at different times. */
Test(ownchange, what_is_no_single_change) {
    static Evening evening;
    prepare(&evening, teams[1], "usav");
    SxLineup same = evening.lineup;
    memcpy(same.order.back, same.order.front, sizeof same.order.back);
    cr_assert_eq(sx_own_change(&evening.desk.problem, &same, &evening.fixture, 0, &own, NULL),
                 SX_OK);
    cr_expect_not(own.found);
    SxLineup more = evening.lineup;
    for (int s = 0, done = 0; s < SX_SLOTS; s++) {
        for (int p = 0; p < evening.desk.team.player_count && !done; p++) {
            if (more.order.front[s] == more.order.back[s] && !sx_lineup_has(&more, p)) {
                more.order.back[s] = p;
                done = 1;
            }
        }
    }
    cr_assert_eq(sx_own_change(&evening.desk.problem, &more, &evening.fixture, 0, &own, NULL),
                 SX_OK);
    cr_expect_not(own.found);
    const SxStanding standing = {.ours = 0,
                                 .serving = SX_RECEIVE,
                                 .theirs = SX_NOT_SAID,
                                 .used = SX_NOT_SAID,
                                 .own = &own,
                                 .own_state = SX_NOT_SAID};
    SxAdvice advice;
    cr_assert_eq(
        sx_advice(&evening.desk.problem, &more, &evening.fixture, &standing, &advice, NULL), SX_OK);
    cr_expect(advice.planned, "they go on besides");
    cr_expect_eq(advice.count, 0);
}

/* --- best play -----------------------------------------------------------------------------------
 */

enum { SHORT = 5, CAP = 6 };

/* A short set by players: who starts is 0, who comes in 1; entries count how often each came in. */
typedef struct {
    const SxOwnChange *own;
    bool once; /* FIVB 15.6 */
    double memo[CAP + 1][CAP + 1][2][SX_ROTATIONS][2][13][3];
} Judge;

static double best(Judge *judge, int ours, int theirs, SxPhase phase, int r, int on, int left,
                   int moves, bool may_change);

static double rally(Judge *judge, int ours, int theirs, SxPhase phase, int r, int on, int left,
                    int moves) {
    const SxRates *rates = on ? &judge->own->come.rates : &judge->own->stay.rates;
    const double p = phase == SX_SERVE ? rates->serve[r][0] : rates->receive[r][0];
    const int next = phase == SX_SERVE ? r : (r + 1) % SX_ROTATIONS;
    return p * best(judge, ours + 1, theirs, SX_SERVE, next, on, left, moves, true) +
           (1 - p) * best(judge, ours, theirs + 1, SX_RECEIVE, r, on, left, moves, true);
}

/* moves: entries so far, which count only where each player may come in once: 0 fresh, 1 the
 * substitutes came, 2 the starters came back. */
static double best(Judge *judge, int ours, int theirs, SxPhase phase, int r, int on, int left,
                   int moves, bool may_change) {
    if (ours >= CAP || theirs >= CAP || (ours >= SHORT && ours > theirs + 1) ||
        (theirs >= SHORT && theirs > ours + 1)) {
        return ours > theirs;
    }
    double *known = &judge->memo[ours][theirs][phase][r][on][left][moves];
    if (may_change && *known >= 0) {
        return *known;
    }
    double value = rally(judge, ours, theirs, phase, r, on, left, moves);
    if (may_change && left >= 2 && !(judge->once && moves >= 2)) {
        const int then = judge->once ? moves + 1 : 0;
        value = fmax(value, best(judge, ours, theirs, phase, r, !on, left - 2, then, false));
    }
    if (may_change) {
        *known = value;
    }
    return value;
}

static void forget(Judge *judge) {
    double *cell = &judge->memo[0][0][0][0][0][0][0];
    for (size_t k = 0; k < sizeof judge->memo / sizeof *cell; k++) {
        cell[k] = -1;
    }
}

static void moment_is_best(Evening *evening, SxStanding standing, int on, int moves) {
    static Judge judge;
    SxAdvice advice;
    SxError err = {0};
    standing.own = &own;
    cr_assert_eq(sx_advice(&evening->desk.problem, &evening->lineup, &evening->fixture, &standing,
                           &advice, &err),
                 SX_OK, "%s", err.message);
    judge.own = &own;
    judge.once = evening->desk.rules.reentry == SX_REENTRY_ONCE_SAME_SUBSTITUTE;
    forget(&judge);
    const SxPhase phase = (SxPhase)standing.serving;
    const int left = advice.left;
    const double win = best(&judge, standing.our_points, standing.their_points, phase,
                            standing.ours, on, left, judge.once ? moves : 0, true);
    const double hold = rally(&judge, standing.our_points, standing.their_points, phase,
                              standing.ours, on, left, judge.once ? moves : 0);
    const double none = best(&judge, standing.our_points, standing.their_points, phase,
                             standing.ours, on, 0, 0, true);
    cr_expect_float_eq(advice.move[0].win, win, 1e-9, "%d-%d rotation %d: %.12f %.12f",
                       standing.our_points, standing.their_points, standing.ours + 1,
                       advice.move[0].win, win);
    cr_expect_float_eq(advice.hold, hold, 1e-9);
    cr_expect_float_eq(advice.without, none, 1e-9);
    cr_expect_not(advice.planned);
}

/* At every score, rotation and server, as told and as the lineup plans it. */
Test(ownchange, best_play_makes_it_when_it_pays) {
    static const char *const rules[] = {"usav", "fivb-2025"};
    for (int k = 0; k < 4; k++) {
        static Evening evening;
        prepare(&evening, teams[k / 2], rules[k % 2]);
        evening.desk.rules.set_points = SHORT;
        evening.desk.rules.cap = CAP;
        look(&evening, evening.lineup.start);
        const bool once = evening.desk.rules.reentry == SX_REENTRY_ONCE_SAME_SUBSTITUTE;
        for (int r = 0; r < SX_ROTATIONS; r++) {
            for (int at = 0; at < SHORT * SHORT; at += 3) {
                SxStanding standing = {.our_points = at % SHORT,
                                       .their_points = at / SHORT,
                                       .ours = r,
                                       .serving = at % SX_PHASES,
                                       .theirs = SX_NOT_SAID,
                                       .used = SX_NOT_SAID,
                                       .own_state = SX_NOT_SAID};
                const bool come = own.come.planned[r];
                moment_is_best(&evening, standing, come, come);
                standing.used = 1; /* then they cannot have come */
                moment_is_best(&evening, standing, 0, 0);
                standing.used = 4;
                moment_is_best(&evening, standing, come, once && !come ? 2 : come);
                standing.own_state = SX_EXCHANGE_MADE;
                moment_is_best(&evening, standing, 1, 1);
                standing.own_state = SX_EXCHANGE_UNDONE;
                moment_is_best(&evening, standing, 0, 2);
            }
        }
    }
}

/* Best play is no worse than what the lineup's own rule for when to stop wins (outlook.h), which
 * makes the same substitutions only when they are due. */
Test(ownchange, best_play_is_no_worse_than_the_rule_for_when_to_stop) {
    for (int k = 0; k < 4; k++) {
        static Evening evening;
        SxOutlook outlook;
        SxError err = {0};
        prepare(&evening, teams[k / 2], all_rules[3 * (k % 2)]);
        cr_assert_eq(sx_lineup_outlook(&evening.desk.problem, &evening.lineup, &evening.fixture,
                                       &outlook, &err),
                     SX_OK, "%s", err.message);
        for (int start = 0; start < SX_PHASES * SX_ROTATIONS; start++) {
            const SxPhase phase = (SxPhase)(start % SX_PHASES);
            SxAdvice advice;
            look(&evening, start / SX_PHASES);
            const SxStanding standing = {.ours = start / SX_PHASES,
                                         .serving = (int)phase,
                                         .theirs = SX_NOT_SAID,
                                         .used = 0,
                                         .own = &own,
                                         .own_state = SX_EXCHANGE_FRESH};
            cr_assert_eq(sx_advice(&evening.desk.problem, &evening.lineup, &evening.fixture,
                                   &standing, &advice, &err),
                         SX_OK, "%s", err.message);
            const double rule = outlook.set.mean[phase][start / SX_PHASES];
            cr_expect_geq(advice.move[0].win, rule - 1e-9, "%s, start %d: %.6f, by the rule %.6f",
                          evening.desk.team.name, start / SX_PHASES + 1, advice.move[0].win, rule);
        }
    }
}

/* Where to start knows that at half of the starts the other six begin. */
Test(ownchange, starts_with_either_six) {
    for (int k = 0; k < 2; k++) {
        static Evening evening;
        SxStarts starts;
        SxAdvice advice;
        SxError err = {0};
        prepare(&evening, teams[k], "fivb-2025");
        cr_assert_eq(sx_opponent_read("datasets/opponent.json", &evening.opponent, &err), SX_OK,
                     "%s", err.message);
        look(&evening, evening.lineup.start);
        SxStanding standing = {.ours = evening.lineup.start,
                               .serving = SX_RECEIVE,
                               .theirs = SX_NOT_SAID,
                               .used = SX_NOT_SAID,
                               .own_state = SX_EXCHANGE_FRESH};
        SxOwnChange first = own;
        standing.own = &first;
        cr_assert_eq(sx_advice(&evening.desk.problem, &evening.lineup, &evening.fixture, &standing,
                               &advice, &err),
                     SX_OK, "%s", err.message);
        cr_assert_eq(sx_starts(&evening.desk.problem, &evening.lineup, &evening.fixture, &advice,
                               &starts, &err),
                     SX_OK, "%s", err.message);
        for (int at = 0; at < SX_ROTATIONS * SX_ROTATIONS; at++) {
            SxAdvice one;
            standing.ours = at % SX_ROTATIONS;
            standing.theirs = at / SX_ROTATIONS;
            standing.serving = (at / 7) % SX_PHASES;
            look(&evening, standing.ours);
            standing.own = &own;
            cr_assert_eq(sx_advice(&evening.desk.problem, &evening.lineup, &evening.fixture,
                                   &standing, &one, &err),
                         SX_OK, "%s", err.message);
            cr_expect_float_eq(starts.win[standing.serving][standing.ours][standing.theirs],
                               one.move[0].win, 1e-9);
        }
    }
}
