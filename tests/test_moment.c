/* The best play from any moment: against an enumeration that follows each player's own history,
 * against simulated sets, and by what must hold for any moves. */
#include "sixturn/moment.h"
#include "sixturn/outlook.h"
#include "sixturn/rules.h"
#include "support.h"

#include <criterion/criterion.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

/* --- drawing ---------------------------------------------------------------------------------- */

static uint64_t seed = 1;

static double draw(void) { /* xorshift, in 0 to 1 */
    seed ^= seed << 13;
    seed ^= seed >> 7;
    seed ^= seed << 17;
    return (double)(seed >> 11) / 9007199254740992.0;
}

static int draw_int(int below) {
    return (int)(draw() * below);
}

static void draw_rates(SxRates *rates, double low, double high) {
    for (int i = 0; i < SX_ROTATIONS; i++) {
        for (int j = 0; j < SX_ROTATIONS; j++) {
            rates->receive[i][j] = low + (high - low) * draw();
            rates->serve[i][j] = low + (high - low) * draw();
        }
    }
}

/* --- a judge that knows players, not moves ------------------------------------------------------
 */

/* Places 0 to 5 are started by players 0 to 5; substitutes are 6 to 11. A move brings `in` for
 * whoever started place `slot`; a double move changes two places. */
enum { PLAYERS = 12, MOST = 2, WITHOUT_LIMIT = 1000 };

typedef struct {
    int places;
    int slot[MOST], in[MOST];
} Exchange;

typedef struct {
    int on[SX_SLOTS];     /* who stands in each place */
    int entered[PLAYERS]; /* how often a player has come in */
    int was_in[PLAYERS];  /* place a substitute has played in, -1 */
    int left;
} Court;

typedef struct {
    int count;
    Exchange exchange[3];
    SxReentry reentry;
    SxRates rates[8];
    SxSetRules rules;
} Game;

static bool is_made(const Game *game, const Court *court, int m) {
    const Exchange *e = &game->exchange[m];
    return court->on[e->slot[0]] == e->in[0];
}

/* One player for another in a place, judged by FIVB 15.6 or by 'always to the same place' (USA
 * Volleyball 15.6): a starter leaves once and comes back once for whoever replaced her. */
static bool swap_in(const Game *game, Court *court, int slot, int out, int in) {
    if (court->on[slot] != out || court->left < 1) {
        return false;
    }
    for (int s = 0; s < SX_SLOTS; s++) {
        if (court->on[s] == in) {
            return false;
        }
    }
    if (game->reentry == SX_REENTRY_ONCE_SAME_SUBSTITUTE && court->entered[in] >= 1) {
        return false; /* a substitute or a starter comes in once */
    }
    if (game->reentry == SX_REENTRY_ONCE_SAME_SUBSTITUTE && in >= SX_SLOTS &&
        court->entered[slot] >= 1) {
        return false; /* the starter of this place has left and come back already */
    }
    if (in >= SX_SLOTS && court->was_in[in] >= 0 && court->was_in[in] != slot) {
        return false;
    }
    court->on[slot] = in;
    court->entered[in]++;
    if (in >= SX_SLOTS) {
        court->was_in[in] = slot;
    }
    court->left--;
    return true;
}

static bool toggle(const Game *game, Court *court, int m) {
    const Exchange *e = &game->exchange[m];
    const bool undo = is_made(game, court, m);
    Court after = *court;
    for (int k = 0; k < e->places; k++) {
        const int starter = e->slot[k], substitute = e->in[k];
        if (!swap_in(game, &after, e->slot[k], undo ? substitute : starter,
                     undo ? starter : substitute)) {
            return false;
        }
    }
    *court = after;
    return true;
}

/* Values met before: a small table, so that the enumeration ends soon. */
enum { MEMO = 1 << 20 };
typedef struct {
    Court court;
    int ours, theirs, i, j, phase;
    bool used;
    double value;
} Memo;
static Memo *memo;

static unsigned hash_of(const Court *court, int ours, int theirs, int i, int j, int phase) {
    unsigned h = 2166136261u;
    const unsigned char *bytes = (const unsigned char *)court;
    for (size_t k = 0; k < sizeof *court; k++) {
        h = (h ^ bytes[k]) * 16777619u;
    }
    const int rest[] = {ours, theirs, i, j, phase};
    for (int k = 0; k < 5; k++) {
        h = (h ^ (unsigned)rest[k]) * 16777619u;
    }
    return h % MEMO;
}

static double best_from(const Game *game, Court court, int ours, int theirs, int i, int j,
                        int phase);

static double play(const Game *game, Court court, int ours, int theirs, int i, int j, int phase) {
    unsigned mask = 0;
    for (int m = 0; m < game->count; m++) {
        mask |= (unsigned)is_made(game, &court, m) << m;
    }
    const SxRates *rates = &game->rates[mask];
    const double p = phase == SX_RECEIVE ? rates->receive[i][j] : rates->serve[i][j];
    const double won = phase == SX_RECEIVE
                           ? best_from(game, court, ours + 1, theirs, (i + 1) % 6, j, SX_SERVE)
                           : best_from(game, court, ours + 1, theirs, i, j, SX_SERVE);
    const double lost = phase == SX_RECEIVE
                            ? best_from(game, court, ours, theirs + 1, i, j, SX_RECEIVE)
                            : best_from(game, court, ours, theirs + 1, i, (j + 1) % 6, SX_RECEIVE);
    return p * won + (1 - p) * lost;
}

/* Every sequence of changes in which each move is touched at most once. */
static double best_changes(const Game *game, Court court, unsigned touched, int ours, int theirs,
                           int i, int j, int phase) {
    double best = play(game, court, ours, theirs, i, j, phase);
    for (int m = 0; m < game->count; m++) {
        Court after = court;
        if (!(touched >> m & 1) && toggle(game, &after, m)) {
            best =
                fmax(best, best_changes(game, after, touched | 1u << m, ours, theirs, i, j, phase));
        }
    }
    return best;
}

static double best_from(const Game *game, Court court, int ours, int theirs, int i, int j,
                        int phase) {
    const SxSetRules *rules = &game->rules;
    const int most = ours > theirs ? ours : theirs;
    if ((rules->cap && most >= rules->cap) || (most >= rules->target && abs(ours - theirs) >= 2)) {
        return ours > theirs;
    }
    unsigned at = hash_of(&court, ours, theirs, i, j, phase);
    while (memo[at].used) {
        const Memo *m = &memo[at];
        if (memcmp(&m->court, &court, sizeof court) == 0 && m->ours == ours &&
            m->theirs == theirs && m->i == i && m->j == j && m->phase == phase) {
            return m->value;
        }
        at = (at + 1) % MEMO;
    }
    const double value = best_changes(game, court, 0, ours, theirs, i, j, phase);
    at = hash_of(&court, ours, theirs, i, j, phase);
    while (memo[at].used) {
        at = (at + 1) % MEMO;
    }
    memo[at] = (Memo){court, ours, theirs, i, j, phase, true, value};
    return value;
}

static Court fresh_court(int left) {
    Court court;
    memset(&court, 0, sizeof court);
    for (int s = 0; s < SX_SLOTS; s++) {
        court.on[s] = s;
    }
    for (int p = 0; p < PLAYERS; p++) {
        court.was_in[p] = -1;
    }
    court.left = left;
    return court;
}

static void draw_game(Game *game) {
    memset(game, 0, sizeof *game);
    game->count = 1 + draw_int(3);
    game->reentry = draw() < 0.5 ? SX_REENTRY_ONCE_SAME_SUBSTITUTE : SX_REENTRY_SAME_SLOT;
    game->rules = (SxSetRules){2 + draw_int(4), 0};
    game->rules.cap = game->rules.target + draw_int(3);
    for (int m = 0; m < game->count; m++) {
        Exchange *e = &game->exchange[m];
        e->places = 1 + (draw() < 0.3);
        for (int k = 0; k < e->places; k++) {
            do {
                e->slot[k] = draw_int(4); /* places and substitutes are often shared */
                e->in[k] = SX_SLOTS + draw_int(4);
            } while (k > 0 && (e->slot[k] == e->slot[0] || e->in[k] == e->in[0]));
        }
    }
    for (int mask = 0; mask < 1 << game->count; mask++) {
        draw_rates(&game->rates[mask], 0.1, 0.9);
    }
}

/* A place that two moves would fill with the same substitute is one move told twice. */
static bool tells_apart(const Game *game) {
    for (int a = 0; a < game->count; a++) {
        for (int b = 0; b < a; b++) {
            for (int k = 0; k < game->exchange[a].places; k++) {
                for (int l = 0; l < game->exchange[b].places; l++) {
                    if (game->exchange[a].slot[k] == game->exchange[b].slot[l] &&
                        game->exchange[a].in[k] == game->exchange[b].in[l]) {
                        return false;
                    }
                }
            }
            /* two moves on one pair of places and players, crossed over, or partly shared under
             * 'return to the same place': the judge tells these by player, the moves by place */
            const Exchange *x = &game->exchange[a], *y = &game->exchange[b];
            if (x->places + y->places > 2 && game->reentry == SX_REENTRY_SAME_SLOT) {
                for (int k = 0; k < x->places; k++) {
                    for (int l = 0; l < y->places; l++) {
                        if (x->in[k] == y->in[l]) {
                            return false;
                        }
                    }
                }
            }
        }
    }
    return true;
}

static SxExchanges moves_of(const Game *game) {
    SxExchanges moves = {.count = game->count, .rates = game->rates, .reentry = game->reentry};
    for (int m = 0; m < game->count; m++) {
        const Exchange *e = &game->exchange[m];
        moves.exchange[m].cost = e->places;
        for (int k = 0; k < e->places; k++) {
            moves.exchange[m].slots |= 1u << e->slot[k];
            moves.exchange[m].players |= (uint64_t)1 << e->in[k];
        }
    }
    return moves;
}

Test(moment, short_sets_are_played_as_well_as_by_trying_everything, .timeout = 240) {
    memo = malloc(MEMO * sizeof *memo);
    int compared = 0;
    for (int game_number = 0; compared < (SANITIZED ? 60 : 300); game_number++) {
        Game game;
        draw_game(&game);
        if (!tells_apart(&game)) {
            continue;
        }
        const SxExchanges moves = moves_of(&game);
        SxMoment from = {.serve = {draw_int(6), draw_int(6), draw_int(2) ? SX_SERVE : SX_RECEIVE},
                         .left = draw_int(8)};
        const int left = from.left < 7 ? from.left : WITHOUT_LIMIT;
        from.left = from.left < 7 ? from.left : SX_UNLIMITED;
        memset(memo, 0, MEMO * sizeof *memo);
        const double expected = best_from(&game, fresh_court(left), 0, 0, from.serve.ours,
                                          from.serve.theirs, (int)from.serve.phase);
        SxPolicy *policy;
        SxError err = {0};
        double win;
        cr_assert_eq(sx_policy_new(&moves, &game.rules, &from, &policy, &err), SX_OK, "%s",
                     err.message);
        cr_assert_eq(sx_policy_win(policy, &from, &win, &err), SX_OK);
        cr_assert_float_eq(win, expected, 1e-9, "game %d: %.12f, all ways tried %.12f", game_number,
                           win, expected);
        sx_policy_free(policy);
        compared++;
    }
    free(memo);
}

/* --- what must hold -----------------------------------------------------------------------------
 */

static const SxSetRules to_25 = {SX_SET_TARGET, 0};
static const SxSetRules to_15 = {SX_DECIDER_TARGET, 0};

static SxPolicy *policy_of(const SxExchanges *moves, const SxSetRules *rules,
                           const SxMoment *from) {
    SxPolicy *policy = NULL;
    SxError err = {0};
    cr_assert_eq(sx_policy_new(moves, rules, from, &policy, &err), SX_OK, "%s", err.message);
    return policy;
}

static double win_of(const SxExchanges *moves, const SxSetRules *rules, const SxMoment *from) {
    SxPolicy *policy = policy_of(moves, rules, from);
    double win;
    cr_assert_eq(sx_policy_win(policy, from, &win, NULL), SX_OK);
    sx_policy_free(policy);
    return win;
}

static SxExchanges server_and_defender(SxRates rates[4], SxReentry reentry) {
    draw_rates(&rates[0], 0.3, 0.6);
    for (int mask = 1; mask < 4; mask++) {
        draw_rates(&rates[mask], 0.3, 0.6);
    }
    return (SxExchanges){
        .count = 2,
        .exchange = {{1, 1u << 2, 1u << 8}, {2, 1u << 0 | 1u << 3, 1u << 9 | 1u << 10}},
        .rates = rates,
        .reentry = reentry};
}

Test(moment, without_moves_left_the_odds_are_the_plain_chains) {
    for (int n = 0; n < 40; n++) {
        SxRates rates[4];
        SxExchanges moves = server_and_defender(rates, n % 2 ? SX_REENTRY_SAME_SLOT
                                                             : SX_REENTRY_ONCE_SAME_SUBSTITUTE);
        SxMoment from = {
            .our_points = draw_int(27), .serve = {draw_int(6), draw_int(6), SX_RECEIVE}, .left = 0};
        from.their_points = from.our_points < 24 ? draw_int(24) : from.our_points - 1;
        SxSetChain *chain;
        cr_assert_eq(sx_set_chain_new(&rates[0], &to_25, &chain, NULL), SX_OK);
        const double plain =
            sx_set_chain_win(chain, from.our_points, from.their_points, from.serve);
        cr_assert_float_eq(win_of(&moves, &to_25, &from), plain, 1e-12);
        sx_set_chain_free(chain);
    }
}

Test(moment, one_more_move_never_lowers_the_odds) {
    for (int n = 0; n < 20; n++) {
        SxRates rates[4];
        SxExchanges moves = server_and_defender(rates, n % 2 ? SX_REENTRY_SAME_SLOT
                                                             : SX_REENTRY_ONCE_SAME_SUBSTITUTE);
        const SxMoment from = {.serve = {n % 6, 0, n % 3 ? SX_SERVE : SX_RECEIVE}, .left = 6};
        double before = 0;
        for (moves.count = 0; moves.count <= 2; moves.count++) {
            const double win = win_of(&moves, &to_25, &from);
            cr_assert_geq(win, before - 1e-13);
            before = win;
        }
    }
}

/* Up to four exchanges that may share places and players, for any rule profile. */
static SxExchanges draw_exchanges(SxRates rates[16], const SxRules *rules) {
    SxExchanges moves = {.count = 1 + draw_int(4), .rates = rates, .reentry = rules->reentry};
    for (int m = 0; m < moves.count; m++) {
        SxExchange *e = &moves.exchange[m];
        e->cost = 1 + (draw() < 0.3);
        for (int k = 0; k < e->cost; k++) {
            e->slots |= 1u << draw_int(SX_SLOTS);
            e->players |= (uint64_t)1 << (8 + draw_int(5));
        }
    }
    for (int mask = 0; mask < 1 << moves.count; mask++) {
        draw_rates(&rates[mask], 0.3, 0.6);
    }
    return moves;
}

/* In an ordinary and in the deciding set of every shipped profile, from anywhere: another exchange
 * never lowers the odds; one without effect adds nothing; with none left it is the plain chain. */
Test(moment, three_properties_hold_under_every_rule_profile, .timeout = 240) {
    for (int n = 0; n < 6 * 2 * sx_rules_count(); n++) {
        SxRules rules;
        SxSetRules set;
        SxRates rates[16], idle[32];
        cr_assert_eq(sx_rules_load(sx_rules_id(n % sx_rules_count()), &rules, NULL), SX_OK);
        cr_assert_eq(sx_set_rules_of(&rules, n % 2, &set, NULL), SX_OK);
        SxExchanges moves = draw_exchanges(rates, &rules);
        SxMoment from = {.our_points = draw_int(set.target),
                         .their_points = draw_int(set.target),
                         .serve = {draw_int(6), draw_int(6), draw_int(2) ? SX_SERVE : SX_RECEIVE}};
        const int most = rules.substitutions == SX_UNLIMITED ? 12 : rules.substitutions;
        from.left = draw_int(most + 1);
        const int count = moves.count;
        SxSetChain *chain;
        cr_assert_eq(sx_set_chain_new(&rates[0], &set, &chain, NULL), SX_OK);
        const double plain =
            sx_set_chain_win(chain, from.our_points, from.their_points, from.serve);
        sx_set_chain_free(chain);
        double before = plain;
        for (moves.count = 0; moves.count <= count; moves.count++) {
            const double win = win_of(&moves, &set, &from);
            cr_assert_geq(win, before - 1e-13, "%s", rules.id);
            before = win;
        }
        moves.count = count;
        SxExchanges more = moves; /* one more, in a place of its own, that changes nothing */
        more.exchange[more.count++] = (SxExchange){1, 1u << draw_int(SX_SLOTS), 1u << 20};
        memcpy(idle, rates, (size_t)(1 << count) * sizeof *rates);
        memcpy(idle + (1 << count), rates, (size_t)(1 << count) * sizeof *rates);
        more.rates = idle;
        cr_assert_float_eq(win_of(&more, &set, &from), before, 1e-12, "%s", rules.id);
        from.left = 0;
        cr_assert_float_eq(win_of(&moves, &set, &from), plain, 1e-12, "%s", rules.id);
    }
}

Test(moment, more_changes_left_never_lower_the_odds) {
    SxRates rates[4];
    const SxExchanges moves = server_and_defender(rates, SX_REENTRY_SAME_SLOT);
    double before = 0;
    for (int left = 0; left <= 12; left++) {
        const SxMoment from = {.serve = {1, 4, SX_SERVE}, .left = left};
        const double win = win_of(&moves, &to_25, &from);
        cr_assert_geq(win, before - 1e-13);
        before = win;
    }
    const SxMoment unlimited = {.serve = {1, 4, SX_SERVE}, .left = SX_UNLIMITED};
    cr_assert_geq(win_of(&moves, &to_25, &unlimited), before - 1e-13);
}

Test(moment, a_move_without_effect_is_worth_nothing) {
    SxRates rates[4];
    SxExchanges moves = server_and_defender(rates, SX_REENTRY_ONCE_SAME_SUBSTITUTE);
    for (int mask = 1; mask < 4; mask++) {
        rates[mask] = rates[0];
    }
    const SxMoment from = {.serve = {0, 0, SX_RECEIVE}, .left = 6};
    SxPolicy *policy = policy_of(&moves, &to_25, &from);
    SxChoice choice[SX_MAX_CHOICES];
    SxNextChange next;
    double without;
    int count;
    cr_assert_eq(sx_policy_choices(policy, &from, choice, &count, NULL), SX_OK);
    cr_assert_eq(sx_policy_win_without(policy, &from, &without, NULL), SX_OK);
    cr_assert_eq(count, 4); /* hold, each, both */
    cr_assert(choice[0].make == 0 && choice[0].undo == 0, "holding comes first among equals");
    for (int k = 0; k < count; k++) {
        cr_assert_float_eq(choice[k].win, without, 1e-12);
    }
    cr_assert_eq(sx_policy_next(policy, &from, &next, NULL), SX_OK);
    cr_assert_eq(next.ever, 0);
    sx_policy_free(policy);
}

Test(moment, a_better_server_comes_for_her_turn_and_goes_back_after_it) {
    enum { SERVER = 2 };
    SxRates rates[2];
    for (int i = 0; i < SX_ROTATIONS; i++) {
        for (int j = 0; j < SX_ROTATIONS; j++) {
            rates[0].receive[i][j] = 0.6;
            rates[0].serve[i][j] = 0.4;
            rates[1].receive[i][j] = 0.5;
            rates[1].serve[i][j] = i == SERVER ? 0.5 : 0.3;
        }
    }
    const SxExchanges moves = {.count = 1,
                               .exchange = {{1, 1u << SERVER, 1u << 8}},
                               .rates = rates,
                               .reentry = SX_REENTRY_ONCE_SAME_SUBSTITUTE};
    SxMoment now = {
        .our_points = 20, .their_points = 20, .serve = {SERVER, 3, SX_SERVE}, .left = 6};
    SxPolicy *policy = policy_of(&moves, &to_25, &now);
    SxChoice choice[SX_MAX_CHOICES];
    int count;
    cr_assert_eq(sx_policy_choices(policy, &now, choice, &count, NULL), SX_OK);
    cr_assert_eq(choice[0].make, 1);
    cr_assert_eq(choice[0].changes, 1);
    cr_assert_gt(choice[0].win, choice[1].win);
    now = sx_moment_after(&moves, &now, &choice[0], false); /* they side out */
    cr_assert(now.serve.phase == SX_RECEIVE && now.serve.theirs == 4 && now.left == 5);
    cr_assert_eq(sx_policy_choices(policy, &now, choice, &count, NULL), SX_OK);
    cr_assert_eq(choice[0].undo, 1);
    now = sx_moment_after(&moves, &now, &choice[0], true);
    cr_assert(now.serve.phase == SX_SERVE && now.serve.ours == SERVER + 1 && now.left == 4);
    cr_assert_eq(sx_policy_choices(policy, &now, choice, &count, NULL), SX_OK);
    cr_assert_eq(count, 1, "once out and back, she cannot leave again (FIVB 15.6)");
    sx_policy_free(policy);

    /* earlier in the set: wait, and until when */
    const SxMoment early = {
        .our_points = 20, .their_points = 20, .serve = {SERVER - 1, 3, SX_SERVE}, .left = 6};
    policy = policy_of(&moves, &to_25, &early);
    SxNextChange next;
    cr_assert_eq(sx_policy_choices(policy, &early, choice, &count, NULL), SX_OK);
    cr_assert(choice[0].make == 0 && choice[0].undo == 0);
    cr_assert_eq(sx_policy_next(policy, &early, &next, NULL), SX_OK);
    cr_assert(next.make == 1 && next.ours == SERVER && next.phase == SX_SERVE);
    cr_assert(next.ever > 0.5 && next.ever < 1 && fabs(next.chance - next.ever) < 1e-9);
    cr_assert_gt(next.our_points, 20);
    sx_policy_free(policy);
}

/* From a tie on, play may last for ever: value iteration, sweep upon sweep, comes to the same. */
Test(moment, the_play_from_a_tie_agrees_with_value_iteration) {
    for (int n = 0; n < 10; n++) {
        SxRates rates[2];
        draw_rates(&rates[0], 0.2, 0.8);
        draw_rates(&rates[1], 0.2, 0.8);
        const SxExchanges moves = {.count = 1,
                                   .exchange = {{1, 1, 1u << 7}},
                                   .rates = rates,
                                   .reentry = SX_REENTRY_ONCE_SAME_SUBSTITUTE};
        const SxMoment from = {.our_points = 30, .their_points = 30, .left = 6};
        /* v[state of the move][lead + 2][our rotation][their rotation][phase] */
        static double v[3][5][6][6][2];
        memset(v, 0, sizeof v);
        for (int sweep = 0; sweep < 3000; sweep++) {
            for (int state = 2; state >= 0; state--) {
                for (int at = 0; at < 5 * 72; at++) {
                    const int lead = at / 72, i = at / 12 % 6, j = at / 2 % 6, phase = at % 2;
                    double *here = &v[state][lead][i][j][phase];
                    if (lead == 0 || lead == 4) {
                        *here = lead == 4;
                        continue;
                    }
                    const SxRates *now = &rates[state == 1];
                    const double p = phase == SX_SERVE ? now->serve[i][j] : now->receive[i][j];
                    const double won = phase == SX_SERVE
                                           ? v[state][lead + 1][i][j][SX_SERVE]
                                           : v[state][lead + 1][(i + 1) % 6][j][SX_SERVE];
                    const double lost = phase == SX_SERVE
                                            ? v[state][lead - 1][i][(j + 1) % 6][SX_RECEIVE]
                                            : v[state][lead - 1][i][j][SX_RECEIVE];
                    *here = p * won + (1 - p) * lost;
                    if (state < 2) {
                        *here = fmax(*here, v[state + 1][lead][i][j][phase]);
                    }
                }
            }
        }
        cr_assert_float_eq(win_of(&moves, &to_25, &from), v[0][2][0][0][SX_RECEIVE], 1e-10);
    }
}

/* A million sets played by the policy's own advice, rally by rally with dynamics of our own. */

enum { SETS = SANITIZED ? 100000 : 1000000, SIM_POINTS = 90, SIM_LEFT = 13, UNKNOWN = 255 };

typedef struct {
    int points[2]; /* theirs, ours */
    int ours, theirs;
    bool we_serve;
    int state[2]; /* 0 fresh, 1 made, 2 undone */
    int left;
} Sim;

/* What the policy does, as bits of exchanges to turn over; asked once for each moment. */
static unsigned advised(const SxPolicy *policy, unsigned char *known, const Sim *sim) {
    size_t at = (size_t)sim->points[1];
    const int digits[][2] = {{SIM_POINTS, sim->points[0]}, {6, sim->ours},
                             {2, sim->we_serve},           {3, sim->state[0]},
                             {3, sim->state[1]},           {SIM_LEFT, sim->left}};
    for (size_t k = 0; k < sizeof digits / sizeof *digits; k++) {
        at = at * (size_t)digits[k][0] + (size_t)digits[k][1];
    }
    if (known[at] == UNKNOWN) {
        SxChoice choice[SX_MAX_CHOICES];
        int count;
        const SxMoment now = {
            .our_points = sim->points[1],
            .their_points = sim->points[0],
            .serve = {sim->ours, sim->theirs, sim->we_serve ? SX_SERVE : SX_RECEIVE},
            .left = sim->left,
            .exchange = {(SxExchangeState)sim->state[0], (SxExchangeState)sim->state[1]}};
        cr_assert_eq(sx_policy_choices(policy, &now, choice, &count, NULL), SX_OK);
        known[at] = (unsigned char)(choice[0].make | choice[0].undo);
    }
    return known[at];
}

static bool play_one(const SxPolicy *policy, const SxExchanges *moves, int target,
                     unsigned char *known, Sim sim) {
    while ((sim.points[0] < target && sim.points[1] < target) ||
           abs(sim.points[0] - sim.points[1]) < 2) {
        const unsigned turn = advised(policy, known, &sim);
        unsigned made = 0;
        for (int m = 0; m < moves->count; m++) {
            if (turn >> m & 1) {
                sim.state[m] = sim.state[m] == 1 ? 2 : 1;
                sim.left -= moves->exchange[m].cost;
            }
            made |= (unsigned)(sim.state[m] == 1) << m;
        }
        cr_assert_geq(sim.left, 0);
        const SxRates *r = &moves->rates[made];
        const bool won = draw() < (sim.we_serve ? r->serve[sim.ours][sim.theirs]
                                                : r->receive[sim.ours][sim.theirs]);
        sim.points[won]++;
        if (won && !sim.we_serve) {
            sim.ours = (sim.ours + 1) % 6;
        } else if (!won && sim.we_serve) {
            sim.theirs = (sim.theirs + 1) % 6;
        }
        sim.we_serve = won;
    }
    return sim.points[1] > sim.points[0];
}

static void simulate(const SxExchanges *moves, const SxSetRules *rules, const SxMoment *from) {
    const size_t size = (size_t)SIM_POINTS * SIM_POINTS * 6 * 2 * 9 * SIM_LEFT;
    unsigned char *known = malloc(size);
    SxPolicy *policy = policy_of(moves, rules, from);
    const Sim start = {.ours = from->serve.ours,
                       .theirs = from->serve.theirs,
                       .we_serve = from->serve.phase == SX_SERVE,
                       .left = from->left};
    double win;
    int won = 0;
    memset(known, UNKNOWN, size);
    cr_assert_eq(sx_policy_win(policy, from, &win, NULL), SX_OK);
    for (int n = 0; n < SETS; n++) {
        won += play_one(policy, moves, rules->target, known, start);
    }
    /* five standard deviations of the share of so many sets */
    cr_assert_float_eq((double)won / SETS, win, 5 * sqrt(0.25 / SETS), "%.5f, foretold %.5f",
                       (double)won / SETS, win);
    sx_policy_free(policy);
    free(known);
}

Test(moment, simulated_sets_win_as_often_as_foretold, .timeout = 240) {
    SxRates rates[2];
    draw_rates(&rates[0], 0.35, 0.6);
    draw_rates(&rates[1], 0.35, 0.6);
    const SxExchanges moves = {.count = 1,
                               .exchange = {{1, 1u << 4, 1u << 7}},
                               .rates = rates,
                               .reentry = SX_REENTRY_ONCE_SAME_SUBSTITUTE};
    const SxMoment from = {.serve = {0, 2, SX_RECEIVE}, .left = 6};
    simulate(&moves, &to_15, &from);
}

/* A double substitution and a single one, players who may return, twelve changes, to 25. */
Test(moment, simulated_sets_with_returns_win_as_often_as_foretold, .timeout = 240) {
    SxRates rates[4];
    const SxExchanges moves = server_and_defender(rates, SX_REENTRY_SAME_SLOT);
    const SxMoment from = {.serve = {3, 1, SX_SERVE}, .left = 12};
    simulate(&moves, &to_25, &from);
}

Test(moment, moments_that_cannot_be_are_refused) {
    SxRates rates[4];
    SxExchanges moves = server_and_defender(rates, SX_REENTRY_ONCE_SAME_SUBSTITUTE);
    const SxMoment from = {
        .our_points = 5, .their_points = 6, .serve = {0, 0, SX_SERVE}, .left = 6};
    SxPolicy *policy = policy_of(&moves, &to_25, &from);
    double win;
    SxMoment other = from;
    other.our_points = 4;
    cr_assert_eq(sx_policy_win(policy, &other, &win, NULL), SX_USAGE);
    other = from;
    other.serve.theirs = 3; /* another track */
    cr_assert_eq(sx_policy_win(policy, &other, &win, NULL), SX_USAGE);
    other = from;
    other.left = 7;
    cr_assert_eq(sx_policy_win(policy, &other, &win, NULL), SX_USAGE);
    sx_policy_free(policy);
    const SxMoment never[] = {
        {.our_points = -1, .serve = {0, 0, SX_SERVE}, .left = 6},
        {.their_points = -1, .serve = {0, 0, SX_SERVE}, .left = 6},
        {.our_points = SX_MAX_POINTS + 1, .serve = {0, 0, SX_SERVE}, .left = 6},
        {.their_points = SX_MAX_POINTS + 1, .serve = {0, 0, SX_SERVE}, .left = 6},
        {.serve = {6, 0, SX_SERVE}, .left = 6},
        {.serve = {0, -1, SX_SERVE}, .left = 6},
        {.serve = {0, 0, SX_SERVE}, .left = -2},
        {.serve = {0, 0, SX_SERVE}, .left = 1000},
    };
    for (size_t k = 0; k < sizeof never / sizeof *never; k++) {
        cr_expect_eq(sx_policy_new(&moves, &to_25, &never[k], &policy, NULL), SX_USAGE, "case %zu",
                     k);
    }
    for (int cost = 0; cost <= SX_SLOTS + 1; cost += SX_SLOTS + 1) {
        moves.exchange[0].cost = cost;
        cr_expect_eq(sx_policy_new(&moves, &to_25, &from, &policy, NULL), SX_USAGE, "costs %d",
                     cost);
    }
    moves.exchange[0].cost = 1;
    moves.exchange[1].slots = 1u << SX_SLOTS;
    cr_expect_eq(sx_policy_new(&moves, &to_25, &from, &policy, NULL), SX_USAGE);
    moves.exchange[1].slots = 0;
    cr_assert_eq(sx_policy_new(&moves, &to_25, &from, &policy, NULL), SX_USAGE);
    moves.count = SX_MAX_EXCHANGES + 1;
    cr_assert_eq(sx_policy_new(&moves, &to_25, &from, &policy, NULL), SX_USAGE);
    moves.count = 0;
    rates[0].serve[3][3] = 1.5;
    cr_assert_eq(sx_policy_new(&moves, &to_25, &from, &policy, NULL), SX_BAD_INPUT);
}
