/* The formation program: where six players stand at the service hit, at least cost by the terms of
 * formationterms.h, proven.
 *
 * The cost depends only on system, rotation, passer set and attack sides, never on who the players
 * are, so a table of formations serves all lineups. All data are whole centimetres; so is every
 * optimal spot. Nothing here uses GLPK. */
#ifndef SIXTURN_FORMATION_H
#define SIXTURN_FORMATION_H

#include "sixturn/api.h"
#include "sixturn/court.h"
#include "sixturn/error.h"
#include "sixturn/formationterms.h"
#include "sixturn/rules.h"
#include "sixturn/system.h"
#include "sixturn/work.h"

SX_C_BEGIN

enum {
    SX_MASKS = 64, /* sets of slots */
    SX_SIDES = 6,  /* permutations of the three lanes over positions 4, 3 and 2 */
    SX_REASON_SIZE = 160
};

/* The lane from which the player in a front-row position (4, 3 or 2) attacks the first ball in
 * receive. Index 0: left, centre, right as they stand; the others in lexicographic order of the
 * lanes of positions 4, 3, 2. */
SX_API SxLane sx_side_lane(int sides, int position);
/* The sides by which everybody attacks from the lane of her duty. */
SX_API int sx_usual_sides(const SxSystem *system, int rotation);

/* False if a hitter would attack from where the setter sets: there is no formation then, and no
 * entry in a table. */
SX_API bool sx_sides_are_open(const SxSystem *system, int rotation, int sides,
                              const SxFormationTerms *terms);

enum {
    SX_USUAL_SIDES = -1, /* everybody attacks from the lane of her duty */
    SX_BEST_SIDES = -2   /* the cheapest, with what it costs by role to be away from that lane */
};

/* What a coach asks of one rotation. Arrays by slot. */
typedef struct {
    int lane[SX_SLOTS];         /* passes in this lane, 0 from the left; -1: no wish */
    bool no_pass[SX_SLOTS];     /* does not pass */
    int attacks_from[SX_SLOTS]; /* an SxLane, for front-row players; -1: no wish */
    int behind[SX_SLOTS];       /* hides behind or beside this slot; -1: no wish */
    bool at_net[SX_SLOTS];
    bool fixed[SX_SLOTS]; /* stands at spot[] */
    SxSpot spot[SX_SLOTS];
} SxFormationWishes;

typedef struct {
    double margin;   /* metres by which every order relation must hold; 0.30 by default */
    int sides;       /* 0 to SX_SIDES - 1, SX_BEST_SIDES or SX_USUAL_SIDES, the default */
    bool every_side; /* a table holds all open sides, not only those of `sides`; the default */
    const SxFormationTerms *terms;   /* NULL: the shipped ones */
    const SxFormationWishes *wishes; /* NULL: none */
    const SxWork *work; /* a table is given up at its deadline, SX_OUT_OF_TIME; NULL: none */
} SxFormationOptions;

SX_API void sx_formation_no_wishes(SxFormationWishes *wishes);
SX_API void sx_formation_default(SxFormationOptions *options);

typedef struct {
    bool feasible;
    bool optimal;                 /* proven */
    char reason[SX_REASON_SIZE];  /* why there is none, if not feasible */
    unsigned passers;             /* bit s: slot s passes (receive phase) */
    SxSpot spot[SX_SLOTS];        /* by slot */
    int lane[SX_SLOTS];           /* passing lane 0..n-1 from the left; -1 for a non-passer */
    double run[SX_SLOTS];         /* metres from the spot to the next task */
    double late[SX_SLOTS];        /* receive: seconds by which she comes late to her first task by
                                     the movement model, 0 in time: the setter on duty to the
                                     target, a hitter to her approach or, straight from her spot,
                                     to her hit */
    int sides;                    /* attack sides of the first ball, 0 to SX_SIDES - 1 */
    double slack[SX_ORDER_PAIRS]; /* metres by which each relation holds (server's own: infinity
                                     when she is not bound) */
    double margin;                /* the least of them */
    double cost;                  /* weighted metres, the program's optimum */
    double bound;                 /* proven lower bound */
} SxFormation;

/* The receive formation for one rotation and one passer set (a bit mask of slots, 2 to 5 of them).
 * SX_OK with feasible false and a reason when the order makes it impossible, or when it forces a
 * player who does not pass into a passer's working area. Wishes must hold, and are charged for
 * what they cost, working areas too: SX_NO with the reason in err if they cannot hold. */
SX_API SxStatus sx_formation_receive(const SxSystem *system, int rotation, unsigned passers,
                                     const SxFormationOptions *options, SxFormation *out,
                                     SxError *err);

/* What it costs by role that hitters attack from elsewhere than the lane of their duty. Not part of
 * SxFormation.cost: a lineup knows better, by player. */
SX_API double sx_formation_away(const SxSystem *system, int rotation, int sides,
                                const SxFormationTerms *terms);

/* The formation's cost term by term, in weighted metres; the sum is what the program counts. */
SX_API SxStatus sx_formation_price(const SxSystem *system, int rotation,
                                   const SxFormation *formation, const SxFormationOptions *options,
                                   double term[SX_COST_COUNT], SxError *err);

/* Writes the program of one lane for every passer (by slot, -1: does not pass) and of the sides of
 * the options, without wishes' fall-backs, as CPLEX LP; its optimum is what the program finds for
 * them. SX_USAGE if the lanes do not fit the passers, SX_NO_WRITE. */
SX_API SxStatus sx_formation_write_model(const SxSystem *system, int rotation, unsigned passers,
                                         const int lane[SX_SLOTS],
                                         const SxFormationOptions *options, const char *file,
                                         SxError *err);

/* A formation that a coach drew: spots by slot in metres, in whole centimetres. Checked by the
 * rules (SX_NO with the fault), then priced and timed by the same terms as our own; the lanes are
 * the cheapest for these passers, the sides too if SX_BEST_SIDES is asked. Where she stands off a
 * lane, in a passer's area or near another player, it costs what the terms say, or nothing. */
SX_API SxStatus sx_formation_given(const SxSystem *system, const SxRules *rules, int rotation,
                                   unsigned passers, const SxSpot spot[SX_SLOTS],
                                   const SxFormationOptions *options, SxFormation *out,
                                   SxError *err);

/* A shape: who passes in which lane, who attacks from where, and behind whom the setter hides. */
typedef struct {
    SxFormation formation; /* the cheapest of this shape */
    double total;          /* its cost, with what it costs by role to be away from one's side */
    int hides_behind;      /* the front-row slot behind or beside which a back-row setter hides (of
                              several the one in the smallest position); -1: none, or she passes or
                              is in front */
} SxFormationShape;

enum { SX_MAX_SHAPES = 64 };

/* The `most` cheapest shapes of a rotation, the cheapest first: proven, every shape was solved or
 * cannot be cheaper than the last. sizes: bit n: n passers; may_pass: slots that may pass (the
 * setter on duty only if she is among them). Sides and wishes of the options hold. *count is how
 * many there are, 0 to most (SX_MAX_SHAPES at most). */
SX_API SxStatus sx_formation_alternatives(const SxSystem *system, int rotation, unsigned sizes,
                                          unsigned may_pass, const SxFormationOptions *options,
                                          SxFormationShape shapes[], int most, int *count,
                                          SxError *err);

/* The formation at our own service: base at once if the profile leaves the serving team free, else
 * as near to base as the order allows. The server stands behind the end line. libero_slot is the
 * slot the libero stands in for (-1: none). */
SX_API SxStatus sx_formation_serve(const SxSystem *system, const SxRules *rules, int rotation,
                                   const SxFormationOptions *options, SxFormation *out,
                                   SxError *err);

/* Receive formations of a system by rotation, passer mask and sides. */
typedef struct SxFormationTable SxFormationTable;

/* NULL if the table does not hold it. Belongs to the table. */
SX_API const SxFormation *sx_formation_at(const SxFormationTable *table, int rotation,
                                          unsigned passers, int sides);

/* All receive formations for the passer counts in `sizes` (bit n), with the sides of the options.
 * Allocates; free with sx_formation_table_free. setter_passes: also sets with the setter on duty.
 */
SX_API SxStatus sx_formation_table_build(const SxSystem *system, unsigned sizes, bool setter_passes,
                                         const SxFormationOptions *options,
                                         SxFormationTable **table, SxError *err);
SX_API SxStatus sx_formation_table_copy(const SxFormationTable *from, SxFormationTable **table,
                                        SxError *err);
SX_API void sx_formation_table_free(SxFormationTable *table);

/* Where a slot runs after the service hit in receive: the setter on duty to the setting target, a
 * front-row player to the approach of the lane she attacks from by `sides`, others to the duty's
 * task. */
SX_API SxSpot sx_receive_task(const SxSystem *system, int rotation, int slot, int sides);

/* Where a slot runs after the service hit: the setting target for the setter on duty, else the
 * duty's task (receive) or base (serve). */
SX_API SxSpot sx_task_spot(const SxSystem *system, int rotation, int slot, SxPhase phase);

SX_C_END

#endif
