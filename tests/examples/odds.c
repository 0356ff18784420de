/* The odds of a set by the rotation we start in, from rates of our own. */
#include <sixturn/setodds.h>
#include <stdio.h>

int main(void) {
    /* How often we win the rally in rotations 1 to 6: when they serve, and when we do. */
    const double side_out[SX_ROTATIONS] = {0.58, 0.61, 0.55, 0.64, 0.60, 0.52};
    const double break_point[SX_ROTATIONS] = {0.44, 0.38, 0.41, 0.36, 0.45, 0.39};
    const SxSetRules rules = {.target = SX_SET_TARGET};
    SxRates rates;
    SxSetChain *chain;
    SxError err;
    sx_rates_by_rotation(side_out, break_point, &rates);
    if (sx_set_chain_new(&rates, &rules, &chain, &err) != SX_OK) {
        fprintf(stderr, "%s: %s\n", err.path, err.message);
        return sx_exit_status(err.status);
    }
    for (int start = 0; start < SX_ROTATIONS; start++) {
        const SxServeState receiving = {start, 0, SX_RECEIVE}, serving = {start, 0, SX_SERVE};
        printf("start in rotation %d: %.4f receiving first, %.4f serving first\n", start + 1,
               sx_set_chain_win(chain, 0, 0, receiving), sx_set_chain_win(chain, 0, 0, serving));
    }
    sx_set_chain_free(chain);
    return 0;
}
