/* How serve states are numbered: by track and step. */
#include "analysis/setchain.h"

#include <assert.h>

int sx_step_of(SxServeState state) {
    assert(state.ours >= 0 && state.ours < SX_ROTATIONS);
    assert(state.theirs >= 0 && state.theirs < SX_ROTATIONS);
    if (state.phase == SX_RECEIVE) {
        return 2 * state.ours;
    }
    return 2 * ((state.ours + SX_ROTATIONS - 1) % SX_ROTATIONS) + 1;
}

int sx_track_of(SxServeState state) {
    return (state.theirs - sx_step_of(state) / 2 + SX_ROTATIONS) % SX_ROTATIONS;
}

SxPhase sx_step_phase(int step) {
    return step % 2 == 0 ? SX_RECEIVE : SX_SERVE;
}

int sx_step_ours(int step) {
    return (step / 2 + step % 2) % SX_ROTATIONS;
}

int sx_step_theirs(int track, int step) {
    return (step / 2 + track) % SX_ROTATIONS;
}
