/* The solved process behind moment.h, from within: its stands, and how values are looked up.
 * Internal.
 *
 * A stand is the state of every exchange and the changes left. Stands are numbered so that a change
 * leads to a smaller number. */
#ifndef SIXTURN_ANALYSIS_STANDS_H
#define SIXTURN_ANALYSIS_STANDS_H

#include "analysis/setchain.h"
#include "sixturn/moment.h"

enum {
    SX_TIE_LEADS = 3, /* one behind, level, one ahead */
    SX_TIE_STATES = SX_TIE_LEADS * SX_STEPS
};

/* The odds of the set by score and step, in one stand. */
typedef struct {
    double *table; /* [our points][their points][step], from the solved moment on */
    double tie[SX_TIE_LEADS][SX_STEPS];
} SxStandValues;

typedef struct {
    SxExchangeState state[SX_MAX_EXCHANGES];
    int left;
    unsigned mask;                  /* exchanges that are made */
    int next[2 * SX_MAX_EXCHANGES]; /* stands one change on */
    int next_count;
    SxStandValues best; /* with best play */
} SxStand;

struct SxPolicy {
    SxExchanges exchanges; /* rates: a copy */
    SxRates *rates;
    SxSetRules rules;
    int track;
    int from_ours, from_theirs, width, height; /* scores in the tables */
    SxStand *stand;
    int count, room;
    int *index; /* [code][left]: number of the stand, -1 if not made yet */
    double win[SX_EXCHANGE_MASKS][SX_STEPS];
    bool known[SX_EXCHANGE_MASKS]; /* that row of win is filled and checked */
};

/* Number of the stand after exchange m is made or undone; -1 if the rules do not let it. */
int sx_stand_after(const SxPolicy *policy, const SxStand *stand, int m);
/* The stand and step of a moment that the policy covers; SX_USAGE. */
SxStatus sx_stand_find(const SxPolicy *policy, const SxMoment *moment, int *number, int *step,
                       SxError *err);

/* Sorts SxChoice: the better first; of equals the one with fewer changes, then smaller masks. */
int sx_by_win(const void *a, const void *b);

/* Doubles that a table takes. */
size_t sx_stand_cells(const SxPolicy *policy);
double *sx_stand_cell(const SxPolicy *policy, const SxStandValues *values, int ours, int theirs);
/* 1 or 0 past the end of the set. */
double sx_stand_value(const SxPolicy *policy, const SxStandValues *values, int ours, int theirs,
                      int step);
/* The same for all steps of a score. */
const double *sx_stand_row(const SxPolicy *policy, const SxStandValues *values, int ours,
                           int theirs);
/* The values of playing the next rally as we stand, by step; may be written into their own place.
 */
void sx_stand_hold(const SxPolicy *policy, unsigned mask, const SxStandValues *values, int ours,
                   int theirs, double out[SX_STEPS]);

/* From target - 1 all on only the lead counts. */
bool sx_stand_beyond_tie(const SxPolicy *policy, int ours, int theirs);
int sx_tie_state(int lead, int step);
/* The value of every state from the tie on, by sx_tie_state, if in those where `changes` is set the
 * value is `change` and in the others the next rally is played as we stand. False if such play
 * never ends. */
bool sx_stand_tie(const SxPolicy *policy, unsigned mask, const double change[SX_TIE_STATES],
                  const bool changes[SX_TIE_STATES], double value[SX_TIE_STATES]);
/* The same without any change, in closed form. */
bool sx_stand_plain_tie(const SxPolicy *policy, unsigned mask, SxStandValues *values);

#endif
