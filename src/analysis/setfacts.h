/* What every player is worth in every place of the order, and what a rotation's rallies are worth
 * with them: the arithmetic of a search over orders. Internal.
 *
 * It is the score's own arithmetic (see evaluate.h) laid out by place, so that it also answers for
 * orders that are not complete: a place still open counts as the best that anyone left could bring
 * to it, skill by skill, which bounds every part of every rotation from above. */
#ifndef SIXTURN_ANALYSIS_SETFACTS_H
#define SIXTURN_ANALYSIS_SETFACTS_H

#include "analysis/quickodds.h"
#include "analysis/sideouts.h"
#include "sixturn/forecast.h"

#include <stdint.h>

/* A set of players, bit by index. */
typedef uint64_t PlayerSet;

static inline PlayerSet player_bit(int player) {
    return (PlayerSet)1 << player;
}

/* What a place asks of its player. In the back row attacking counts as from the left. */
typedef enum {
    WORTH_ATTACK, /* and SX_LANES - 1 more, by the lane attacked from */
    WORTH_SECOND_BALL = WORTH_ATTACK + SX_LANES, /* attacking of the setter on duty in front */
    WORTH_BLOCK,
    WORTH_PASS,
    WORTH_SET,
    WORTH_SERVE,
    WORTH_DIG,
    WORTHS
} Worth;

enum { MOST_CHOICES = SX_MASKS * SX_SIDES };

/* Passers with whom the plan allows a receive formation. */
typedef struct {
    unsigned passers;
    double factor; /* of the summed passing */
} Passing;

/* A receive formation that the plan allows. */
typedef struct {
    unsigned passers;
    int sides;
    double factor;                    /* of the summed passing */
    double attack_late[SX_SLOTS + 1]; /* attacking lost by coming late; by the slot that the libero
                                         stands in for, the last: none */
    double set_late;
} Choice;

typedef struct {
    const SxProblem *problem;
    const SxRallyModel *model;
    SxSideOuts side_outs;
    SxSide theirs[SX_ROTATIONS];
    QuickOdds quick;

    double worth[SX_MAX_PLAYERS][SX_SLOTS][SX_ROWS][WORTHS];
    double bonus[SX_MAX_PLAYERS][SX_MAX_PLAYERS];    /* [setter][hitter] */
    double most_bonus[SX_MAX_PLAYERS + 1][SX_SLOTS]; /* of a setter (the last: of anyone) with
                                                        anyone who may have the slot; at least 0 */
    PlayerSet can[SX_SLOTS][SX_ROWS];
    PlayerSet liberos;
    bool differ[SX_SLOTS]; /* the rows may hold two players */
    int specialists;       /* slots beyond the split ones that may; negative: too many are split */
    /* Those who can have a place, best first, by what it asks. */
    int ranked_count[SX_SLOTS][SX_ROWS];
    unsigned char ranked[SX_SLOTS][SX_ROWS][WORTHS][SX_MAX_PLAYERS];
    int libero_count;
    unsigned char ranked_libero[WORTHS][SX_MAX_PLAYERS];

    SxRow row[SX_ROTATIONS][SX_SLOTS];
    int front_attackers[SX_ROTATIONS];
    Worth asks[SX_ROTATIONS][SX_SIDES][SX_SLOTS]; /* what a slot's attack asks for */
    int step[SX_ROTATIONS][SX_PHASES];
    int passing_count[SX_ROTATIONS];
    Passing passing[SX_ROTATIONS][SX_MASKS];
    int choice_count[SX_ROTATIONS];
    Choice choice[SX_ROTATIONS][MOST_CHOICES]; /* by passers, then sides */
    bool side_used[SX_ROTATIONS][SX_SIDES];
    double least_late[SX_ROTATIONS][SX_SIDES][SX_SLOTS + 1];
    double least_set_late[SX_ROTATIONS];
    /* The share of each slot's attack, by the slot the libero stands in for (the last: none). */
    double share[SX_ROTATIONS][SX_SIDES][SX_SLOTS + 1][SX_SLOTS];
    unsigned libero_slots[SX_ROTATIONS]; /* for which she may be in, bit by slot */
} SetFacts;

enum { NO_SLOT = SX_SLOTS }; /* index for 'the libero is in for nobody' */

/* Who has which place: a player, or SX_NOBODY while it is open. */
typedef struct {
    signed char who[SX_SLOTS][SX_ROWS];
    PlayerSet used;
    int specialists;                     /* slots that share two players beyond the split ones */
    const PlayerSet (*allowed)[SX_ROWS]; /* who may still come to open places, by slot; NULL: all */
} Seating;

/* problem->against must be there. Everything is borrowed. SX_BAD_INPUT as sx_set_rules_of. */
SxStatus sx_set_facts_new(const SxProblem *problem, SetFacts **out, SxError *err);
void sx_set_facts_free(SetFacts *facts);

/* Upper bounds of all rally odds, for every way to fill the open places and every libero plan. */
void sx_set_facts_bound(const SetFacts *facts, const Seating *seating, StepRates *out);

/* Rally odds of one situation of a complete order, by their rotation (or in [0] alone when theirs
 * are all alike). libero SX_NOBODY: the slot is not looked at. */
typedef double SituationRates[SX_TRACKS];

/* The best choices of formation in receive for who is on court: one if theirs are alike, else all
 * that no other beats against all six. allowed: NULL, or whether the plan's wishes bear a set of
 * passers. Returns how many (0: none is allowed); ties keep the first. */
typedef bool (*PassersAllowed)(const void *context, int rotation, unsigned passers);
int sx_set_facts_receive(const SetFacts *facts, const Seating *seating, int rotation, int libero,
                         int slot, PassersAllowed allowed, const void *context, int most,
                         const Choice **choices, SituationRates *rates);
void sx_set_facts_serve(const SetFacts *facts, const Seating *seating, int rotation, int libero,
                        int slot, SituationRates rates);

/* Where a situation's rates go: [track][step]. */
void sx_set_facts_put(const SetFacts *facts, int step, const SituationRates rates, StepRates *out);

#endif
