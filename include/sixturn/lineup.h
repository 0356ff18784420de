/* The lineup program: the starting order, the libero's replacements and the passers of all six
 * rotations at once, as one mixed integer program, solved to proven optimality. */
#ifndef SIXTURN_LINEUP_H
#define SIXTURN_LINEUP_H

#include "sixturn/api.h"
#include "sixturn/formation.h"
#include "sixturn/plan.h"
#include "sixturn/rules.h"
#include "sixturn/system.h"
#include "sixturn/team.h"
#include "sixturn/work.h"

SX_C_BEGIN

typedef struct SxScoring SxScoring;
typedef struct SxFixture SxFixture; /* forecast.h */

/* Everything a lineup depends on. Borrowed pointers; nothing is changed. */
typedef struct {
    const SxTeam *team;
    const SxRules *rules;
    const SxSystem *system;
    const SxPlan *plan;
    const SxFormationTable *table; /* must cover plan->passers and plan->setter_passes */
    const SxScoring *scoring;      /* NULL: sx_scoring */
    const SxFixture *against; /* the opponent, where winning sets is the goal; NULL: the goal is
                                 the plan's weighted score (see sx_best_lineup) */
} SxProblem;

typedef enum {
    SX_OPTIMAL, /* no legal lineup scores more, or wins more sets where that is the goal; for given
                   passers and sides each has the formation of least cost */
    SX_FEASIBLE /* the best found in the time */
} SxProof;

typedef struct {
    double score;               /* sum of weight * part, run subtracted */
    double weight;              /* share of the set, the six sum to 1 */
    double part[SX_PARTS];      /* 0 to 10 each; run in metres */
    int libero;                 /* player index of the libero in reception, -1 for none */
    int libero_slot;            /* slot she stands in for, -1 for none */
    int serve_libero;           /* the libero while we serve, -1 for none */
    int serve_libero_slot;      /* slot she stands in for, -1 for none */
    bool libero_serves;         /* she serves in this rotation: serve_libero_slot is the rotation */
    unsigned passers;           /* bit s: slot s passes */
    int sides;                  /* who attacks the first ball from where, 0 to SX_SIDES - 1 */
    const SxFormation *receive; /* borrowed from the problem's table */
    int front_attackers;        /* sx_front_attackers of the system in this rotation */
} SxRotation;

typedef struct {
    int front[SX_SLOTS]; /* player index in the front-row half of each slot's turn */
    int back[SX_SLOTS];  /* the same player unless a substitution is planned there */
} SxOrder;

/* A plain value; borrows the problem's formation table. */
typedef struct {
    SxProof proof;
    bool plays_on_open;       /* plays_on_as was not worked out in the time */
    double score, bound, gap; /* gap = bound - score, in points, >= 0 */
    double win, win_bound;    /* set odds, where winning sets is the goal (see bestset.h), and what
                                 no legal lineup exceeds; else 0 */
    char plays_on_as[SX_ID_SIZE]; /* it wins so by making none of its substitutions and playing on
                                     in this system; else "" (known with win) */
    SxOrder order;
    int start; /* rotation 0 to 5 in which the set starts */
    int libero_count;
    int liberos[2]; /* nominated, by shirt number */
    SxRotation rotation[SX_ROTATIONS];
    long nodes; /* orders scored, or nodes the solver explored, for the curious */
} SxLineup;

/* Scores closer than this are equal, and the smaller shirt numbers decide. */
#define SX_SAME_SCORE 1e-7

typedef struct {
    double time_limit;  /* seconds, 0 for none */
    const SxWork *work; /* its deadline holds too, and its stop flag; NULL: none */
    const SxOrder *cut; /* orders that must not be returned */
    int cut_count;
    const SxOrder *fixed; /* if set, the order is given; only libero and passers are chosen */
    bool any_tie;         /* skip the canonical tie-break: when only the score matters */
} SxSolveOptions;

/* SX_NO with an explanation (the smallest set of wishes or shortages in conflict) when there is no
 * lineup. Among equally good orders the one whose shirt numbers in slots 0 to 5, front row first,
 * are lexicographically smallest is returned. options may be NULL. */
SX_API SxStatus sx_lineup_solve(const SxProblem *problem, const SxSolveOptions *options,
                                SxLineup *out, SxError *err);

/* Writes the program that sx_lineup_solve solves, without cuts: as a CPLEX LP file if its name ends
 * in .lp, as MPS, which minimises the negative score, if in .mps; SX_USAGE for other names. */
SX_API SxStatus sx_lineup_write_model(const SxProblem *problem, const char *file, SxError *err);

/* Recomputes parts, scores, mean and minimum of a complete lineup (order, liberos, passers and
 * sides set by the caller) by plain arithmetic, without a solver. */
SX_API void sx_lineup_score(const SxProblem *problem, SxLineup *lineup);

/* The player on court for a slot in a rotation and phase, the libero included. */
SX_API int sx_on_court(const SxLineup *lineup, int rotation, SxPhase phase, int slot);
/* The slot's own player in that rotation, whoever the libero stands in for. */
SX_API int sx_slot_player(const SxLineup *lineup, int rotation, int slot);
/* The weakest rotation, 0 to 5. */
SX_API int sx_weak_rotation(const SxLineup *lineup);
/* Is she one of its liberos? */
SX_API bool sx_is_nominated(const SxLineup *lineup, int player);
/* Does she play in it, in the order or as a libero? */
SX_API bool sx_lineup_has(const SxLineup *lineup, int player);
/* Counted substitutions a cycle of six rotations. */
SX_API int sx_substitutions_per_cycle(const SxLineup *lineup);

/* Coverage, attack shares and the other constants of the score; they go with the level of play. */
struct SxScoring {
    double coverage[SX_MAX_PASSERS + 1]; /* factor of the pass part for n passers */
    double front_attack[SX_LANES];       /* share of the balls, by the lane attacked from */
    double back_attack;                  /* share of each back-row attacker */
    double setter_attack;                /* share of the front-row setter's second ball */
    double block[SX_LANES];
    double away;        /* points of attacking lost by a hitter away from her usual sides, ... */
    double across;      /* ... if from left to right or back, not into or out of the centre */
    double late_attack; /* points of attacking lost for a second that a hitter comes late */
    double late_set;    /* points of setting lost for a second that the setter comes late */
};
SX_API extern const SxScoring sx_scoring;
/* The problem's constants. */
SX_API const SxScoring *sx_scoring_of(const SxProblem *problem);

/* SX_NO, with the wishes that cannot hold together, if not even fractions of players could keep
 * them; otherwise SX_OK, which promises nothing. Takes milliseconds. work may be NULL. */
SX_API SxStatus sx_lineup_possible(const SxProblem *problem, const SxWork *work, SxError *err);

SX_C_END

#endif
