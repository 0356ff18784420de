/* What the files that build the lineup program share. */
#ifndef SIXTURN_MODEL_LINEUP_BUILD_H
#define SIXTURN_MODEL_LINEUP_BUILD_H

#include "model/lineup_model.h"

typedef struct {
    LineupModel *m;
    const SxProblem *problem;
    const SxTeam *team;
    const SxRules *rules;
    const SxSystem *system;
    const SxPlan *plan;
    void *work; /* memory of sx_build_scores */
} Builder;

enum { NO_INDEX = -1 };

/* A name like "kind_p7_s2_r3": shirt number, slot, rotation from 1; NO_INDEX leaves one out. */
typedef struct {
    char text[64];
} Name;
Name sx_build_name(const Builder *b, const char *kind, int player, int slot, int rotation);

/* An empty row; there is one at a time. */
MipRow *sx_build_row(Builder *b);
/* Adds value * column unless column is 0. */
void sx_build_add(MipRow *row, int column, double value);
/* Puts low <= row <= high into the problem; a row without terms is left out if 0 satisfies it. */
void sx_build_put(Builder *b, MipRow *row, Name name, double low, double high);
/* A column from 0 to 1. */
int sx_build_column(Builder *b, Name name, bool integer);
/* Adds points * column to the score of rotation r unless either is 0. */
void sx_build_score(Builder *b, int rotation, int column, double points);

/* Terms of 'libero p is in for slot s'; of 'anybody is'; of 'p is on court for slot s'; of 'p has
 * slot s in some row' (twice for a player with both rows of a shared slot). */
void sx_build_on_court(const Builder *b, MipRow *row, int p, int s, int r, SxPhase phase,
                       double value);
void sx_build_any_libero(const Builder *b, MipRow *row, int s, int r, SxPhase phase, double value);
void sx_build_place(const Builder *b, MipRow *row, int p, int s, double value);

/* lineup_rules.c: the columns and rows of order, substitutions and liberos. */
void sx_build_rules(Builder *b);
/* At most so many counted substitutions a cycle. */
void sx_build_substitutions(Builder *b, Name name, int most);
/* lineup_score.c: formations, passers and the other parts; the objective. */
void sx_build_scores(Builder *b);
void sx_build_objective(Builder *b);
/* wishes.c */
void sx_build_wish(Builder *b, const SxWish *wish);

#endif
