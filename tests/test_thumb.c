/* Rules of thumb: their odds against following them rally by rally, and what the search finds. */
#include "sixturn/thumb.h"

#include <criterion/criterion.h>
#include <math.h>

static uint64_t seed = 7;

static double draw(void) { /* xorshift, in 0 to 1 */
    seed ^= seed << 13;
    seed ^= seed >> 7;
    seed ^= seed << 17;
    return (double)(seed >> 11) / 9007199254740992.0;
}

static int draw_int(int below) {
    return (int)(draw() * below);
}

static void draw_rates(SxRates *rates) {
    for (int i = 0; i < SX_ROTATIONS; i++) {
        for (int j = 0; j < SX_ROTATIONS; j++) {
            rates->receive[i][j] = 0.2 + 0.6 * draw();
            rates->serve[i][j] = 0.2 + 0.6 * draw();
        }
    }
}

/* Two exchanges in places of their own, so that either may be made whatever the other is. */
static SxExchanges two_exchanges(SxRates rates[4], SxReentry reentry) {
    for (int mask = 0; mask < 4; mask++) {
        draw_rates(&rates[mask]);
    }
    return (SxExchanges){
        .count = 2,
        .exchange = {{1, 1u << 1, 1u << 7}, {2, 1u << 2 | 1u << 5, 1u << 8 | 1u << 9}},
        .rates = rates,
        .reentry = reentry};
}

/* The rules followed rally by rally to the end of a short set with a cap. */
static double followed(const SxExchanges *exchanges, const SxSetRules *rules,
                       const SxThumbRule *rule, int count, SxMoment now) {
    const int a = now.our_points, b = now.their_points;
    if (a >= rules->cap || b >= rules->cap ||
        ((a >= rules->target || b >= rules->target) && abs(a - b) >= 2)) {
        return a > b;
    }
    SxChoice choice = {0};
    for (bool again = true; again;) {
        again = false;
        for (int k = 0; k < count && !again; k++) {
            const int m = rule[k].exchange, cost = exchanges->exchange[m].cost;
            const SxExchangeState state = now.exchange[m];
            const bool returns = exchanges->reentry == SX_REENTRY_SAME_SLOT;
            const bool able = rule[k].make ? state == SX_EXCHANGE_FRESH ||
                                                 (state == SX_EXCHANGE_UNDONE && returns)
                                           : state == SX_EXCHANGE_MADE;
            if (able && cost <= now.left && now.serve.ours == rule[k].ours &&
                now.serve.phase == rule[k].phase && a - b >= rule[k].least_lead &&
                a - b <= rule[k].most_lead && a + b >= rule[k].from_points) {
                now.exchange[m] = rule[k].make ? SX_EXCHANGE_MADE : SX_EXCHANGE_UNDONE;
                now.left -= cost;
                again = true;
            }
        }
    }
    unsigned mask = 0;
    for (int m = 0; m < exchanges->count; m++) {
        mask |= (unsigned)(now.exchange[m] == SX_EXCHANGE_MADE) << m;
    }
    const SxRates *rates = &exchanges->rates[mask];
    const double p = now.serve.phase == SX_SERVE ? rates->serve[now.serve.ours][now.serve.theirs]
                                                 : rates->receive[now.serve.ours][now.serve.theirs];
    return p * followed(exchanges, rules, rule, count,
                        sx_moment_after(exchanges, &now, &choice, true)) +
           (1 - p) * followed(exchanges, rules, rule, count,
                              sx_moment_after(exchanges, &now, &choice, false));
}

static SxThumbRule draw_rule(int exchange, bool make) {
    return (SxThumbRule){.exchange = exchange,
                         .make = make,
                         .ours = draw_int(SX_ROTATIONS),
                         .phase = draw_int(2) ? SX_SERVE : SX_RECEIVE,
                         .least_lead = -draw_int(4),
                         .most_lead = draw_int(4),
                         .from_points = draw_int(6)};
}

static SxPolicy *policy_of(const SxExchanges *exchanges, const SxSetRules *rules,
                           const SxMoment *from) {
    SxPolicy *policy = NULL;
    SxError err = {0};
    cr_assert_eq(sx_policy_new(exchanges, rules, from, &policy, &err), SX_OK, "%s", err.message);
    return policy;
}

Test(thumb, the_odds_of_rules_are_those_of_following_them) {
    for (int n = 0; n < 100; n++) {
        SxRates rates[4];
        const SxExchanges exchanges =
            two_exchanges(rates, n % 2 ? SX_REENTRY_SAME_SLOT : SX_REENTRY_ONCE_SAME_SUBSTITUTE);
        const SxSetRules rules = {6, 7};
        const SxMoment from = {.serve = {draw_int(6), draw_int(6), n % 3 ? SX_SERVE : SX_RECEIVE},
                               .left = draw_int(7)};
        const SxThumbRule rule[4] = {draw_rule(0, true), draw_rule(0, false), draw_rule(1, true),
                                     draw_rule(1, false)};
        SxPolicy *policy = policy_of(&exchanges, &rules, &from);
        double win, best;
        cr_assert_eq(sx_thumb_win(policy, &from, rule, 4, &win, NULL), SX_OK);
        cr_assert_eq(sx_policy_win(policy, &from, &best, NULL), SX_OK);
        cr_assert_float_eq(win, followed(&exchanges, &rules, rule, 4, from), 1e-12);
        cr_assert_leq(win, best + 1e-12);
        sx_policy_free(policy);
    }
}

Test(thumb, without_rules_nothing_is_exchanged) {
    const SxSetRules to_25 = {SX_SET_TARGET, 0};
    SxRates rates[4];
    const SxExchanges exchanges = two_exchanges(rates, SX_REENTRY_SAME_SLOT);
    const SxMoment from = {.serve = {3, 1, SX_RECEIVE}, .left = 4};
    SxPolicy *policy = policy_of(&exchanges, &to_25, &from);
    double win, without;
    cr_assert_eq(sx_thumb_win(policy, &from, NULL, 0, &win, NULL), SX_OK);
    cr_assert_eq(sx_policy_win_without(policy, &from, &without, NULL), SX_OK);
    cr_assert_float_eq(win, without, 1e-12);
    sx_policy_free(policy);
}

/* A better server who is a worse receiver: she comes when the place serves and goes when the others
 * have sided out, which is all that best play does. */
Test(thumb, a_server_for_one_turn_is_one_pair_of_rules) {
    enum { PLACE = 3 };
    const SxSetRules to_25 = {SX_SET_TARGET, 0};
    SxRates rates[2];
    for (int i = 0; i < SX_ROTATIONS; i++) {
        for (int j = 0; j < SX_ROTATIONS; j++) {
            rates[0].receive[i][j] = 0.62;
            rates[0].serve[i][j] = 0.38;
            rates[1].receive[i][j] = 0.50;
            rates[1].serve[i][j] = i == PLACE ? 0.46 : 0.30;
        }
    }
    const SxExchanges exchanges = {.count = 1,
                                   .exchange = {{1, 1u << PLACE, 1u << 8}},
                                   .rates = rates,
                                   .reentry = SX_REENTRY_SAME_SLOT};
    const SxMoment from = {.serve = {0, 0, SX_RECEIVE}, .left = 12};
    SxPolicy *policy = policy_of(&exchanges, &to_25, &from);
    SxThumb thumb;
    cr_assert_eq(sx_thumb(policy, &from, 0.001, &thumb, NULL), SX_OK);
    cr_assert_eq(thumb.count, 2);
    cr_assert(thumb.rule[0].make && thumb.rule[0].ours == PLACE && thumb.rule[0].phase == SX_SERVE);
    cr_assert(!thumb.rule[1].make && thumb.rule[1].ours == PLACE &&
              thumb.rule[1].phase == SX_RECEIVE);
    cr_assert_gt(thumb.win, thumb.win_without + 0.01);
    cr_assert_float_eq(thumb.win, thumb.win_best, 1e-9);
    sx_policy_free(policy);
}

Test(thumb, the_search_keeps_most_of_what_best_play_gains) {
    for (int n = 0; n < 6; n++) {
        const SxSetRules to_25 = {SX_SET_TARGET, 0};
        SxRates rates[4];
        const SxExchanges exchanges =
            two_exchanges(rates, n % 2 ? SX_REENTRY_SAME_SLOT : SX_REENTRY_ONCE_SAME_SUBSTITUTE);
        const SxMoment from = {.serve = {n, 2, SX_SERVE}, .left = 6};
        SxPolicy *policy = policy_of(&exchanges, &to_25, &from);
        SxThumb thumb;
        double win;
        cr_assert_eq(sx_thumb(policy, &from, 0, &thumb, NULL), SX_OK);
        cr_assert_eq(sx_thumb_win(policy, &from, thumb.rule, thumb.count, &win, NULL), SX_OK);
        cr_assert_float_eq(win, thumb.win, 1e-12);
        cr_assert(thumb.win >= thumb.win_without && thumb.win <= thumb.win_best + 1e-12);
        sx_policy_free(policy);
    }
}
