/* When to stop substituting and how to play on: against every other moment, system and turn, each
 * planned by the lineup solver, and against a plain walk through the set. */
#include "sixturn/bestset.h"
#include "sixturn/forecast.h"
#include "sixturn/systems.h"
#include "support.h"

#include <criterion/criterion.h>
#include <glpk.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

typedef struct {
    Evening evening;
    SxOutlook outlook;
} Table;

static void sit_down(Table *table, const char *team, const char *rules, int start) {
    Evening *evening = &table->evening;
    SxError err = {.status = SX_OK};
    glp_term_out(GLP_OFF);
    evening_read(evening, team, "6-2-double", rules);
    evening->desk.plan.start = start;
    evening_solve(evening);
    cr_assert_eq(sx_lineup_outlook(&evening->desk.problem, &evening->lineup, &evening->fixture,
                                   &table->outlook, &err),
                 SX_OK, "%s", err.message);
}

/* The six of the old order in a turn of a system; false if they cannot play it. best: with the most
 * sets won, else with the best score. */
static bool six_plays(const Table *table, const char *system, const int six[SX_SLOTS], int turn,
                      bool best, SxRates *rates) {
    static Desk now;
    SxOrder order;
    SxLineup lineup;
    now.team = table->evening.desk.team;
    desk_set(&now, system, table->evening.desk.rules.id, table->evening.desk.plan.passers);
    for (int s = 0; s < SX_SLOTS; s++) {
        const SxPlayer *who = &now.team.players[six[(s + turn) % SX_SLOTS]];
        order.front[s] = order.back[s] = six[(s + turn) % SX_SLOTS];
        if (now.system.split[s] || !(who->fitness[now.system.duty[s][SX_FRONT].role] > 0) ||
            !(who->fitness[now.system.duty[s][SX_BACK].role] > 0)) {
            return false;
        }
    }
    const SxSolveOptions fixed = {.fixed = &order};
    now.problem.against = best ? &table->evening.fixture : NULL;
    if ((best ? sx_order_best(&now.problem, &order, &lineup, NULL)
              : sx_lineup_solve(&now.problem, &fixed, &lineup, NULL)) != SX_OK) {
        return false;
    }
    SxRates own;
    sx_lineup_rates(&lineup, &table->evening.fixture, &own);
    for (int r = 0; r < SX_ROTATIONS; r++) { /* rotation r is the old rotation r + turn */
        memcpy(rates->receive[(r + turn) % SX_ROTATIONS], own.receive[r], sizeof own.receive[r]);
        memcpy(rates->serve[(r + turn) % SX_ROTATIONS], own.serve[r], sizeof own.serve[r]);
    }
    return true;
}

/* Our share of the sets by a plain walk: the score, who serves, and how often we have rotated. The
 * opponent is the same in all rotations. Stopped where next to nothing is left. */
enum { FAR = 160, TURNS = FAR };
static double walk(const SxRates *before, const SxRates *after, int start, SxPhase first,
                   const int entering[SX_ROTATIONS], int changes) {
    static double crowd[FAR + 2][TURNS + 2][SX_PHASES], next[FAR + 2][TURNS + 2][SX_PHASES];
    double won = 0;
    memset(crowd, 0, sizeof crowd);
    crowd[0][0][first] = 1; /* [our points][our rotations][who serves] */
    for (int rally = 0; rally < FAR; rally++) {
        memset(next, 0, sizeof next);
        for (int ours = 0; ours <= rally; ours++) {
            for (int turns = 0, made = 0; turns <= ours; turns++) {
                const int at = (start + turns) % SX_ROTATIONS;
                made += turns > 0 ? entering[at] : 0;
                for (int phase = 0; phase < SX_PHASES; phase++) {
                    const double mass = crowd[ours][turns][phase];
                    if (mass == 0) {
                        continue;
                    }
                    const SxRates *now = made > changes ? after : before;
                    const double p = phase == SX_RECEIVE ? now->receive[at][0] : now->serve[at][0];
                    const int theirs = rally - ours;
                    if (ours + 1 >= 25 && ours + 1 - theirs >= 2) {
                        won += mass * p;
                    } else {
                        next[ours + 1][turns + (phase == SX_RECEIVE)][SX_SERVE] += mass * p;
                    }
                    if (!(theirs + 1 >= 25 && theirs + 1 - ours >= 2)) {
                        next[ours][turns][SX_RECEIVE] += mass * (1 - p);
                    }
                }
            }
        }
        memcpy(crowd, next, sizeof crowd);
    }
    return won;
}

/* Best play at every score, backwards from where next to nothing is left: whenever changes are due
 * they are made, if the rules still allow them, or given up for any way of those on court. */
enum { LAST = 60 };
typedef double Plain[LAST + 1][LAST + 1][SX_ROTATIONS][SX_PHASES];

static double rally_at(const SxRates *rates, int rotation, int phase) {
    return phase == SX_RECEIVE ? rates->receive[rotation][0] : rates->serve[rotation][0];
}

/* 1 or 0 once the set is over, a half where it is not looked at any more; else -1. */
static double settled(int ours, int theirs) {
    const int most = ours > theirs ? ours : theirs, lead = abs(ours - theirs);
    return most >= 25 && lead >= 2 ? ours > theirs : most == LAST ? 0.5 : -1;
}

static void play_out(const SxRates *rates, Plain value) {
    for (int ours = LAST; ours >= 0; ours--) {
        for (int theirs = LAST; theirs >= 0; theirs--) {
            for (int k = 0; k < SX_ROTATIONS * SX_PHASES; k++) {
                const int r = k / SX_PHASES, phase = k % SX_PHASES;
                double *here = &value[ours][theirs][r][phase];
                *here = settled(ours, theirs);
                if (*here < 0) {
                    const double p = rally_at(rates, r, phase);
                    const int then = phase == SX_RECEIVE ? (r + 1) % SX_ROTATIONS : r;
                    *here = p * value[ours + 1][theirs][then][SX_SERVE] +
                            (1 - p) * value[ours][theirs + 1][r][SX_RECEIVE];
                }
            }
        }
    }
}

static double best_play(const Table *table, const SxRates *before, int start, SxPhase first,
                        const int entering[SX_ROTATIONS]) {
    static Plain way, best[SX_MAX_CHANGES]; /* of playing on, by changes of rotation made */
    static double value[LAST + 2][LAST + 2][LAST + 2][SX_PHASES]; /* by turns of ours */
    SxChanges changes;
    cr_assert_eq(
        sx_changes(&table->evening.lineup.order, start, &table->evening.desk.rules, &changes, NULL),
        SX_OK);
    const int last = changes.count / 2; /* double substitutions come in twos */
    for (int n = 0; n <= last; n++) {
        int six[SX_SLOTS];
        sx_changes_six(&table->evening.lineup.order, start, &changes, 2 * n, six);
        memset(best[n], 0, sizeof best[n]);
        for (int k = 0; k < 5 * SX_SLOTS; k++) {
            SxRates then;
            if (six_plays(table, all_systems[k / SX_SLOTS], six, k % SX_SLOTS, true, &then)) {
                play_out(&then, way);
                for (size_t i = 0; i < sizeof way / sizeof(double); i++) {
                    double *most = (double *)best[n] + i;
                    *most = fmax(*most, ((double *)way)[i]);
                }
            }
        }
    }
    for (int ours = LAST; ours >= 0; ours--) {
        for (int theirs = LAST; theirs >= 0; theirs--) {
            for (int turns = 0, made = 0; turns <= ours; turns++) {
                const int at = (start + turns) % SX_ROTATIONS, next = (at + 1) % SX_ROTATIONS;
                made += turns > 0 && entering[at] > 0;
                for (int phase = 0; phase < SX_PHASES; phase++) {
                    double *here = &value[ours][theirs][turns][phase];
                    *here = settled(ours, theirs);
                    if (*here >= 0) {
                        continue;
                    }
                    const bool turn = phase == SX_RECEIVE;
                    const double p = rally_at(before, at, phase);
                    double point = value[ours + 1][theirs][turns + turn][SX_SERVE];
                    if (turn && entering[next] > 0 && made <= last) {
                        const double stop = best[made][ours + 1][theirs][next][SX_SERVE];
                        point = made == last ? stop : fmax(point, stop);
                    }
                    *here = p * point + (1 - p) * value[ours][theirs + 1][turns][SX_RECEIVE];
                }
            }
        }
    }
    return value[0][0][0][first];
}

/* The libero plan and the passers of each way are those of a whole set played so, not of what is
 * left of it; the solver's, by score, may do a little better there: 0.05 sets of 100. */
static const double SAME_WAY = 5e-4;

static void check(const char *team, const char *rules, int start_given) {
    static Table table;
    sit_down(&table, team, rules, start_given);
    const SxOutlook *outlook = &table.outlook;
    SxRates before;
    int entering[SX_ROTATIONS], moments = 0;
    double excess = -1;
    sx_lineup_rates(&table.evening.lineup, &table.evening.fixture, &before);
    sx_lineup_entering(&table.evening.lineup, entering);
    SxSetChain *chain = NULL;
    cr_assert_eq(sx_set_chain_new(&before, &(SxSetRules){25, 0}, &chain, NULL), SX_OK);
    for (int start = 0; start < SX_ROTATIONS; start++) {
        SxChanges changes;
        cr_assert_eq(sx_changes(&table.evening.lineup.order, start, &table.evening.desk.rules,
                                &changes, NULL),
                     SX_OK);
        for (int n = 0; n <= changes.count; n += 2) { /* double substitutions come in twos */
            int six[SX_SLOTS];
            sx_changes_six(&table.evening.lineup.order, start, &changes, n, six);
            for (int k = 0; k < 5 * SX_SLOTS; k++) {
                SxRates then;
                SxSetChain *after = NULL;
                if (!six_plays(&table, all_systems[k / SX_SLOTS], six, k % SX_SLOTS, false,
                               &then)) {
                    continue;
                }
                cr_assert_eq(sx_set_chain_new(&then, &(SxSetRules){25, 0}, &after, NULL), SX_OK);
                SxSubstitutionPlan plan = {.limit = n, .after = after};
                memcpy(plan.entering, entering, sizeof entering);
                for (int phase = 0; phase < SX_PHASES; phase++) {
                    SxSubstitutionOdds odds;
                    cr_assert_eq(sx_substitution_odds(chain,
                                                      (SxServeState){start, 0, (SxPhase)phase},
                                                      &plan, &odds, NULL),
                                 SX_OK);
                    excess = fmax(excess, odds.win - outlook->set.mean[phase][start]);
                    moments++;
                }
                sx_set_chain_free(after);
            }
        }
    }
    sx_set_chain_free(chain);
    cr_log_info("%s, %s: %d ways, the best of them wins %.2e more", team, rules, moments, excess);
    cr_assert_leq(excess, SAME_WAY);
    cr_assert_gt(moments, 30);
    double win = 0;
    for (int phase = 0; phase < SX_PHASES; phase++) {
        const SxStopping *stopping = &outlook->stopping[phase];
        const int start = outlook->start[phase];
        cr_assert(outlook->after[phase].found);
        cr_assert(start_given < 0 || start == start_given);
        const double here = best_play(&table, &before, start, (SxPhase)phase, entering);
        cr_assert_float_eq(here, outlook->set.mean[phase][start], 1e-9, "%s: a walk gives %.10f",
                           rules, here);
        /* followed forwards, by what is chosen */
        cr_assert_float_eq(here, outlook->substitutions[phase].win, 1e-9);
        cr_assert_leq(here, outlook->substitutions[phase].win_unlimited + 0.05);
        /* the best end settled beforehand */
        const SxAfterLimit *after = &outlook->after[phase];
        SxRates then;
        cr_assert(six_plays(&table, after->system, after->six, after->turn, true, &then));
        const double simple = walk(&before, &then, start, (SxPhase)phase, entering, after->changes);
        cr_assert_float_eq(simple, stopping->fixed_win, 1e-9);
        cr_assert_float_eq(stopping->win, here, 1e-9);
        cr_assert_leq(stopping->rule_win, here + 1e-9);
        cr_assert_geq(stopping->rule_win, stopping->fixed_win - 1e-4);
        cr_assert_leq(stopping->fixed_win, here + 1e-9);
        cr_log_info("phase %d: %.6f, settled beforehand %.6f", phase, here, stopping->fixed_win);
        double ended = 0;
        for (int n = 0; n < stopping->count; n++) {
            const SxHalt *halt = &stopping->halt[n];
            cr_log_info("%d made, rotation %d: due %.3f, ends %.3f, rule %d, lead %d",
                        halt->changes, halt->rotation + 1, halt->due, halt->stopped, halt->rule,
                        halt->lead);
            cr_assert(n == 0 || halt->due <= stopping->halt[n - 1].due -
                                                 stopping->halt[n - 1].stopped + 1e-12);
            ended += halt->stopped;
        }
        cr_assert_float_eq(ended, outlook->substitutions[phase].runs_out, 1e-12);
        win += here / SX_PHASES;
    }
    cr_assert_float_eq(outlook->win, win, 1e-9, "the headline counts the limit");
}

Test(afterlimit, no_better_moment_where_each_starter_returns_once) {
    check("datasets/club-16.json", "fivb-2025", -1);
}

Test(afterlimit, no_better_moment_from_a_given_start) {
    check("datasets/junior-12.json", "fivb-2025", 5);
}

Test(afterlimit, no_better_moment_with_twelve) {
    check("datasets/junior-12.json", "usav", -1);
}

/* The best of a system that substitutes is chosen and valued with the limit: what its own outlook
 * says, and no less than the order that would be best if the substitutions lasted. */
Test(afterlimit, the_best_lineup_counts_the_limit) {
    static Table table;
    static const char *const rules[] = {"fivb-2025", "usav"};
    for (int n = 0; n < 2; n++) {
        SxLineup best;
        SxBestOrders lasting;
        SxError err = {.status = SX_OK};
        sit_down(&table, "datasets/junior-12.json", rules[n], -1);
        table.evening.desk.problem.against = &table.evening.fixture;
        cr_assert_eq(sx_best_lineup(&table.evening.desk.problem, NULL, &best, &err), SX_OK);
        cr_assert_eq(sx_lineup_outlook(&table.evening.desk.problem, &best, &table.evening.fixture,
                                       &table.outlook, &err),
                     SX_OK);
        cr_assert_float_eq(best.win, table.outlook.win, 1e-12);
        cr_assert_eq(best.proof, SX_OPTIMAL);
        cr_assert_eq(sx_best_orders(&table.evening.desk.problem, 1, NULL, &lasting, &err), SX_OK);
        cr_assert_eq(sx_lineup_outlook(&table.evening.desk.problem, &lasting.item[0],
                                       &table.evening.fixture, &table.outlook, &err),
                     SX_OK);
        cr_log_info("%s: %.4f; the best if changes lasted %.4f, then %.4f", rules[n], best.win,
                    lasting.item[0].win, table.outlook.win);
        cr_assert_geq(best.win, table.outlook.win - 1e-12);
        sx_best_orders_free(&lasting);
    }
}

/* Systems are compared by what odds says of each: the first wins most with the limit counted. */
/* Whoever comes in to set is far worse: more sets are won by making none of the changes. */
Test(afterlimit, a_bound_counts_that_changes_may_be_left_out) {
    static Table table;
    SxError err = {.status = SX_OK};
    SxLineup best;
    double bound;
    sit_down(&table, "datasets/club-16.json", "fivb-2025", -1);
    SxTeam *team = &table.evening.desk.team;
    for (int p = 0, setters = 0; p < team->player_count; p++) {
        setters += team->players[p].fitness[SX_SETTER] > 0;
        for (int k = 0;
             setters > 1 && team->players[p].fitness[SX_SETTER] > 0 && k < SX_SKILL_COUNT; k++) {
            team->players[p].skill[k] = 0.5;
        }
    }
    table.evening.desk.problem.against = &table.evening.fixture;
    cr_assert_eq(sx_best_lineup(&table.evening.desk.problem, NULL, &best, &err), SX_OK, "%s",
                 err.message);
    cr_assert_eq(sx_value_bound(&table.evening.desk.problem, &bound, &err), SX_OK, "%s",
                 err.message);
    cr_expect_geq(bound, sx_value(&table.evening.desk.problem, &best) - 1e-8,
                  "%g is no bound of %g", bound, sx_value(&table.evening.desk.problem, &best));
}

Test(afterlimit, systems_compare_as_odds_do) {
    static Table table;
    static SxSystemBest best[16];
    SxSystemSet set;
    SxError err = {.status = SX_OK};
    sit_down(&table, "datasets/junior-12.json", "fivb-2025", -1);
    table.evening.desk.problem.against = &table.evening.fixture;
    cr_assert_eq(sx_systems_load(&table.evening.desk.plan, NULL, false, NULL, &set, &err), SX_OK);
    cr_assert_eq(sx_systems_compare(&table.evening.desk.problem, &set, NULL, best, &err), SX_OK,
                 "%s", err.message);
    for (int k = 0; k < set.count; k++) {
        const SxProblem under = sx_problem_under(&table.evening.desk.problem, &set.entry[k]);
        cr_assert(best[k].possible);
        cr_assert_eq(sx_lineup_outlook(&under, &best[k].lineup, &table.evening.fixture,
                                       &table.outlook, &err),
                     SX_OK);
        cr_log_info("%s: %.4f", under.system->id, table.outlook.win);
        cr_assert_float_eq(sx_value(&under, &best[k].lineup), 100 * table.outlook.win, 1e-8, "%s",
                           under.system->id);
    }
    sx_systems_free(&set);
}

/* Who must sit does not come back to play on, and who never passes does not begin to: no six plays
 * on better than the best lineup of its system with the same wishes. */
Test(afterlimit, wishes_that_bind_to_the_end) {
    static Table table;
    static const struct {
        SxWishKind kind;
        int player;
    } wishes[] = {{SX_MUST_SIT, 1}, {SX_MUST_SIT, 2}, {SX_NEVER_PASSES, 2}};
    for (size_t k = 0; k < sizeof wishes / sizeof wishes[0]; k++) {
        SxSystemSet set;
        SxLineup lineup;
        SxError err = {.status = SX_OK};
        double most[16] = {0};
        sit_down(&table, "datasets/junior-12.json", "fivb-2025", -1);
        table.evening.desk.problem.against = &table.evening.fixture;
        SxPlan *plan = &table.evening.desk.plan;
        cr_assert_eq(sx_plan_wish(plan, wishes[k].kind, wishes[k].player, -1, 0, "wish", &err),
                     SX_OK);
        cr_assert_eq(sx_best_lineup(&table.evening.desk.problem, NULL, &lineup, &err), SX_OK);
        cr_assert_eq(sx_lineup_outlook(&table.evening.desk.problem, &lineup, &table.evening.fixture,
                                       &table.outlook, &err),
                     SX_OK);
        cr_assert_eq(sx_systems_load(plan, NULL, false, NULL, &set, &err), SX_OK);
        for (int e = 0; e < set.count; e++) {
            const SxProblem under = sx_problem_under(&table.evening.desk.problem, &set.entry[e]);
            const SxStatus status = sx_best_lineup(&under, NULL, &lineup, &err);
            most[e] = status == SX_OK ? lineup.win : 0;
        }
        for (int phase = 0; phase < SX_PHASES; phase++) {
            const SxAfterLimit *after = &table.outlook.after[phase];
            for (int e = 0; e < set.count && after->found; e++) {
                if (strcmp(set.entry[e].system.id, after->system) == 0) {
                    cr_log_info("%s: %.4f, the best %.4f", after->system, after->win, most[e]);
                    cr_assert_leq(after->win, most[e] + 1e-9);
                }
            }
        }
        sx_systems_free(&set);
    }
}

/* Who may stop at any time is never worse off with a larger limit, and so never worse off than with
 * a smaller one. (Without any limit nothing stops, which may well be worse than a limit.) */
Test(afterlimit, a_larger_limit_is_never_worse) {
    static Table table;
    static const int limits[] = {0, 2, 4, 6, 8, 12, 18, 24};
    double before = 0;
    SxError err = {.status = SX_OK};
    sit_down(&table, "datasets/junior-12.json", "usav", -1);
    for (size_t k = 0; k < sizeof limits / sizeof limits[0]; k++) {
        table.evening.desk.rules.substitutions = limits[k];
        cr_assert_eq(sx_lineup_outlook(&table.evening.desk.problem, &table.evening.lineup,
                                       &table.evening.fixture, &table.outlook, &err),
                     SX_OK);
        cr_log_info("%d substitutions: %.6f", limits[k], table.outlook.win);
        for (int phase = 0; phase < SX_PHASES && limits[k] == 0; phase++) { /* one moment alone */
            const SxStopping *stopping = &table.outlook.stopping[phase];
            cr_assert_eq(stopping->count, 1);
            cr_assert_float_eq(stopping->fixed_win, stopping->win, 1e-3);
            cr_assert_leq(stopping->fixed_win, stopping->win + 1e-12);
        }
        cr_assert_geq(table.outlook.win, before - 1e-12, "%d substitutions: %.12f after %.12f",
                      limits[k], table.outlook.win, before);
        before = table.outlook.win;
    }
}

/* Without a limit nothing stops: a plain walk that never leaves the lineup's rates. */
Test(afterlimit, without_a_limit_nothing_stops) {
    static Table table;
    SxError err = {.status = SX_OK};
    SxRates rates;
    const int entering[SX_ROTATIONS] = {0};
    double win = 0;
    sit_down(&table, "datasets/club-16.json", "usav", -1);
    table.evening.desk.rules.substitutions = SX_UNLIMITED;
    table.evening.desk.rules.reentry = SX_REENTRY_SAME_SLOT;
    cr_assert_eq(sx_lineup_outlook(&table.evening.desk.problem, &table.evening.lineup,
                                   &table.evening.fixture, &table.outlook, &err),
                 SX_OK);
    sx_lineup_rates(&table.evening.lineup, &table.evening.fixture, &rates);
    for (int phase = 0; phase < SX_PHASES; phase++) {
        cr_assert(!table.outlook.after[phase].found);
        win +=
            walk(&rates, NULL, table.outlook.start[phase], (SxPhase)phase, entering, 0) / SX_PHASES;
    }
    cr_assert_float_eq(table.outlook.win, win, 1e-9, "a walk gives %.10f", win);
}

/* Without substitutions there is nothing to stop. */
Test(afterlimit, only_where_there_are_substitutions) {
    static Table table;
    SxError err = {.status = SX_OK};
    sit_down(&table, "datasets/club-16.json", "usav", -1);
    desk_set(&table.evening.desk, "5-1-outside", "fivb-2025", 1u << 3);
    cr_assert_eq(sx_lineup_solve(&table.evening.desk.problem, NULL, &table.evening.lineup, &err),
                 SX_OK);
    cr_assert_eq(sx_lineup_outlook(&table.evening.desk.problem, &table.evening.lineup,
                                   &table.evening.fixture, &table.outlook, &err),
                 SX_OK);
    cr_assert(!table.outlook.after[0].found && !table.outlook.after[1].found);
    cr_assert(!table.outlook.substitutes);
}
