/* What the planner plans, judged by the rule modules that a coach's own drawings meet: every
 * shipped system, both demo teams, every rule profile. */
#include "sixturn/changes.h"
#include "sixturn/libero.h"
#include "sixturn/mend.h"
#include "support.h"

#include <criterion/criterion.h>
#include <stdio.h>

static const char *const teams[] = {"datasets/junior-12.json", "datasets/club-16.json"};

static SxStance stance_of(const SxLineup *lineup, int r, SxPhase phase, const SxSpot *by_slot) {
    SxStance stance;
    sx_stance_default(&stance);
    stance.phase = phase;
    for (int p = 1; p <= SX_POSITIONS; p++) {
        int slot = sx_slot_at(p, r), own = sx_slot_player(lineup, r, slot);
        stance.spot[p - 1] = by_slot[slot];
        stance.player[p - 1] = stance.due[p - 1] = own;
        stance.libero[p - 1] = sx_on_court(lineup, r, phase, slot) != own;
    }
    return stance;
}

static void formations_hold(const Desk *desk, const SxLineup *lineup, const char *label) {
    SxFormationOptions options;
    sx_formation_default(&options);
    for (int r = 0; r < SX_ROTATIONS; r++) {
        SxFormation serve;
        SxMend mend;
        SxError err = {.status = SX_OK};
        cr_assert_eq(sx_formation_serve(&desk->system, &desk->rules, r, &options, &serve, &err),
                     SX_OK, "%s", err.message);
        const SxSpot *spots[SX_PHASES] = {
            [SX_RECEIVE] = lineup->rotation[r].receive->spot, [SX_SERVE] = serve.spot};
        for (int phase = 0; phase < SX_PHASES; phase++) {
            SxStance stance = stance_of(lineup, r, (SxPhase)phase, spots[phase]);
            SxLegality result;
            sx_legality(&stance, &desk->rules, options.margin, &result);
            cr_expect_eq(result.finding_count, 0, "%s, rotation %d, phase %d: kind %d", label,
                         r + 1, phase, result.finding[0].kind);
            cr_expect_eq(sx_mend(&stance, &desk->rules, NULL, &mend, &err), SX_OK);
            cr_expect_eq(mend.total, 0, "%s, rotation %d, phase %d", label, r + 1, phase);
        }
    }
}

static void libero_holds(const Desk *desk, const SxLineup *lineup, const char *label) {
    SxLiberoPlan plan;
    SxLiberoFault faults[SX_LIBERO_FAULTS];
    SxLiberoSteps steps;
    sx_libero_plan(lineup, &plan);
    cr_expect_eq(sx_libero_check(&plan, &desk->rules, faults), 0, "%s: fault %d", label,
                 faults[0].kind);
    sx_libero_steps(&plan, lineup->start, SX_RECEIVE, &steps);
    cr_expect_eq(steps.count > 0, lineup->libero_count > 0, "%s", label);
    for (int r = 0; r < SX_ROTATIONS; r++) {
        for (int s = 0; s < SX_SLOTS; s++) {
            const SxLiberoStay *stay = &plan.at[r][SX_SERVE];
            bool planned = stay->libero != SX_NO_LIBERO && stay->slot == s;
            bool counted = sx_on_court(lineup, r, SX_SERVE, s) != sx_slot_player(lineup, r, s);
            cr_expect_eq(planned, counted,
                         "%s, rotation %d, slot %d: the score counts a libero who must wait", label,
                         r + 1, s);
        }
    }
}

static void changes_hold(const Desk *desk, const SxLineup *lineup, const char *label) {
    SxChanges changes;
    SxError err = {.status = SX_OK};
    cr_assert_eq(sx_changes(&lineup->order, lineup->start, &desk->rules, &changes, &err), SX_OK,
                 "%s: %s", label, err.message);
    cr_expect_eq(changes.per_cycle, sx_substitutions_per_cycle(lineup), "%s", label);
}

static void plan_all(const char *team) {
    static Desk desk;
    for (int s = 0; s < 5; s++) {
        for (int k = SANITIZED ? s % 3 : 0; k < 6; k += SANITIZED ? 3 : 1) {
            char label[160];
            SxLineup lineup;
            SxError err = {.status = SX_OK};
            snprintf(label, sizeof label, "%s %s %s", team, all_systems[s], all_rules[k]);
            desk_read(&desk, team, all_systems[s], all_rules[k]);
            SxStatus status = sx_lineup_solve(&desk.problem, NULL, &lineup, &err);
            if (status == SX_NO) {
                continue; /* a roster too small for the system */
            }
            cr_assert_eq(status, SX_OK, "%s: %s", label, err.message);
            formations_hold(&desk, &lineup, label);
            libero_holds(&desk, &lineup, label);
            changes_hold(&desk, &lineup, label);
        }
    }
}

Test(planned, juniors) {
    plan_all(teams[0]);
}

Test(planned, club) {
    plan_all(teams[1]);
}
