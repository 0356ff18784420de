/* Is this formation legal? The setter (6) stands 12 cm too near the net. */
#include <sixturn/legality.h>
#include <stdio.h>

int main(void) {
    SxError err;
    SxRules rules;
    if (sx_rules_load("fivb-2025", &rules, &err) != SX_OK) {
        return sx_exit_status(err.status);
    }
    /* By position, 1 to 6: metres from the left side line and from the net. */
    SxStance stance;
    sx_stance_default(&stance);
    const SxSpot spots[SX_POSITIONS] = {{7.5, 6.0}, {8.5, 1.0}, {6.0, 1.2},
                                        {1.5, 5.5}, {4.2, 6.8}, {5.0, 1.08}};
    for (int k = 0; k < SX_POSITIONS; k++) {
        stance.spot[k] = spots[k];
    }
    SxLegality result;
    sx_legality(&stance, &rules, SX_NEAR_MARGIN, &result);
    puts(result.legal ? "legal" : "not legal");
    for (int k = 0; k < result.finding_count; k++) {
        const SxFinding *found = &result.finding[k];
        printf("%s, position %d against %d: %.0f cm (FIVB %s)\n", found->fault ? "fault" : "close",
               found->position, found->other, 100 * found->amount, found->rule);
    }
    return 0;
}
