/* The set chain from within: how serve states are numbered, and what is solved. Internal.
 *
 * Side-outs alternate between the teams, so from a given start the two rotations and the server
 * are told by one number, the side-outs made so far. Modulo twelve that is the 'step': even steps
 * are ours to receive, odd steps ours to serve, and a side-out leads to the next step. The 72 serve
 * states fall into six 'tracks' of twelve steps that never meet; a track is told by the difference
 * of the rotations. */
#ifndef SIXTURN_ANALYSIS_SETCHAIN_H
#define SIXTURN_ANALYSIS_SETCHAIN_H

#include "sixturn/setodds.h"

enum {
    SX_TRACKS = SX_ROTATIONS,
    SX_STEPS = 2 * SX_ROTATIONS,
    SX_SERVE_STATES = SX_TRACKS * SX_STEPS
};

/* For innermost loops that index by constants only: sanitizers leave them alone. */
#define SX_UNCHECKED __attribute__((no_sanitize("address", "undefined")))

int sx_step_of(SxServeState state);
int sx_track_of(SxServeState state);
SxPhase sx_step_phase(int step);
int sx_step_ours(int step);
int sx_step_theirs(int track, int step);
/* SX_BAD_INPUT for a rate outside 0 to 1 or impossible set rules. */
SxStatus sx_set_input_check(const SxRates *rates, const SxSetRules *rules, SxError *err);
/* SX_USAGE for rotations or a phase that do not exist. */
SxStatus sx_serve_state_check(SxServeState state, SxError *err);

/* Play from target - 1 all, by the step in which it is reached. */
typedef struct {
    double win[SX_STEPS];
    double visits[SX_STEPS][SX_STEPS]; /* expected rallies in each step */
} SxTie;

/* The two rallies from a tie, win[] being the rally odds of a track by step. */
typedef struct {
    double win, lose; /* the set ends within them */
    double one, two;  /* back to a tie, one or two steps further on */
} SxTieStep;
SxTieStep sx_tie_step(const double win[SX_STEPS], int step);
/* The same from the odds of a rally in this step and of one in the next. */
SxTieStep sx_tie_step_of(bool receive, double here, double next);
/* False if play from some step would never end; then *tie is left alone. */
bool sx_tie_solve(const double win[SX_STEPS], SxTie *tie);

/* Only the odds of the set from a tie; false as above. */
bool sx_tie_win(const double win[SX_STEPS], double value[SX_STEPS]);
/* The derivative by win[] of the sum of entered[k] times the odds of the set from a tie in step k,
 * value[] being those odds. Added to slope. Play must end. */
void sx_tie_slope(const double win[SX_STEPS], const double value[SX_STEPS],
                  const double entered[SX_STEPS], double slope[SX_STEPS]);

/* SX_BAD_INPUT: a track on which all side-outs are certain. */
SxStatus sx_set_never_ends(int track, SxError *err);
void sx_order_by_step(const SxRates *rates, double win[SX_TRACKS][SX_STEPS]);

struct SxSetChain {
    SxSetRules rules;
    int limit;                       /* no side has more points before the end or the tie */
    double win[SX_TRACKS][SX_STEPS]; /* probability that we win the rally */
    SxTie tie[SX_TRACKS];            /* unused with a cap */
    double *table;                   /* set odds [our points][their points][track][step] */
};

/* 1 we have won, -1 they have, 0 not over yet. */
static inline int sx_set_winner(const SxSetRules *rules, int ours, int theirs) {
    const int most = ours > theirs ? ours : theirs;
    const int lead = ours > theirs ? ours - theirs : theirs - ours;
    const bool over =
        (rules->cap > 0 && most >= rules->cap) || (most >= rules->target && lead >= 2);
    return !over ? 0 : ours > theirs ? 1 : -1;
}
/* Target - 1 all, from where the closed form goes on. */
bool sx_chain_at_tie(const SxSetChain *chain, int ours, int theirs);
/* Set odds from any score. */
double sx_chain_win(const SxSetChain *chain, int ours, int theirs, int track, int step);

#endif
