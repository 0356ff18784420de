/* What differs between two lineups: who changes places, and which part of the score moves where. */
#ifndef SIXTURN_DIFFERENCE_H
#define SIXTURN_DIFFERENCE_H

#include "sixturn/api.h"
#include "sixturn/lineup.h"

SX_C_BEGIN

typedef enum {
    SX_MOVE_REPLACES, /* player comes into the order for other, who leaves it */
    SX_MOVE_JOINS,    /* player comes into the order at the place of other, who moves */
    SX_MOVE_SWAPS,    /* player and other change places */
    SX_MOVE_TAKES,    /* player moves to the place of other */
    SX_MOVE_LEAVES,   /* player leaves the order; somebody of the order takes the place */
    SX_MOVE_LIBERO    /* player is libero instead of other; -1: nobody */
} SxMoveKind;

typedef struct {
    SxMoveKind kind;
    int player, other;
    SxRole role; /* of the place; SX_ROLE_COUNT for a swap between two roles */
    SxRow row;   /* SX_ROWS unless only one row of a shared place changes */
} SxMove;

/* Where winning sets is the goal all points here are sets of 100, those of a part and a rotation
 * being what it contributes to the difference (they add up); else weighted points of score. */

/* A part of the score that moves the same way in some rotations. */
typedef struct {
    SxPart part;
    unsigned rotations; /* bit r */
    double points;      /* mean over these rotations, of sets the sum; positive: more than before */
    double share;       /* what it adds to the mean score of all six rotations */
} SxPartTerm;

enum { SX_MAX_MOVES = 32, SX_MAX_TERMS = 2 * SX_PARTS };

typedef struct {
    int turn; /* rotation r of `from` is set against rotation (r + turn) mod 6 of `to` */
    int move_count;
    SxMove move[SX_MAX_MOVES];
    double part[SX_ROTATIONS][SX_PARTS]; /* weighted points, to - from; run already subtracted */
    double rotation[SX_ROTATIONS];       /* rotation scores, to - from */
    double score;                        /* total, to - from */
    double rest;        /* of sets: what the parts leave unexplained, the limit of substitutions */
    int worst_rotation; /* of `from`, the one that loses most */
    int term_count;
    SxPartTerm term[SX_MAX_TERMS]; /* the largest share first; parts that hardly move left out */
} SxDifference;

/* Both lineups are of this problem's team and system; its weights count. SX_NO_MEMORY. */
SX_API SxStatus sx_difference(const SxProblem *problem, const SxLineup *from, const SxLineup *to,
                              SxDifference *out, SxError *err);

SX_C_END

#endif
