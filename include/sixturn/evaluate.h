/* The score by plain arithmetic, without a solver: of one rotation, and of a given order with the
 * libero plan and the passers that suit it best. */
#ifndef SIXTURN_EVALUATE_H
#define SIXTURN_EVALUATE_H

#include "sixturn/lineup.h"

SX_C_BEGIN

/* Who is on court in one rotation and what they do there. */
typedef struct {
    int player[SX_SLOTS];       /* each slot's own player, in the row that the slot is in */
    int libero[SX_PHASES];      /* player index, SX_NOBODY for none */
    int libero_slot[SX_PHASES]; /* the slot she stands in for; read only if there is one */
    const SxFormation *receive; /* tells passers, sides, run and who is late */
} SxSix;

/* Fills the seven parts of rotation 0 to 5. Nothing is checked: sx_can_fill and
 * sx_libero_may_replace tell what is allowed. */
SX_API void sx_rotation_parts(const SxProblem *problem, int rotation, const SxSix *six,
                              double part[SX_PARTS]);
/* Sum of weight times part, run subtracted. */
SX_API double sx_rotation_score(const SxPlan *plan, const double part[SX_PARTS]);
/* The six of a complete lineup. */
SX_API void sx_lineup_six(const SxLineup *lineup, int rotation, SxSix *six);

/* --- who gets how many of the balls in reception ---
 *
 * The attack part is the sum of share times rating over the sum of shares, less what coming late
 * costs; it may fall below 0 when hitters come very late. */

/* The share of the balls that goes to a slot, before the shares are made to sum to 1: by the lane
 * for a front-row hitter, and the constants for the setter on duty in front and for a back-row
 * attacker; 0 for anybody else. */
SX_API double sx_attack_share(const SxProblem *problem, int rotation, int slot, int sides);
/* Is she a front-row hitter (not the setter on duty)? */
SX_API bool sx_is_front_hitter(const SxSystem *system, int rotation, int slot);
/* Points of attacking lost by a player of these usual lanes (a set of bits) who attacks from lane.
 */
SX_API double sx_away_loss(const SxScoring *scoring, unsigned usual, SxLane lane);
/* Does she attack away from her usual sides? */
SX_API bool sx_attacks_away(const SxProblem *problem, int player, int rotation, int slot,
                            int sides);
/* The points of attacking that it costs her; 0 if she does not. */
SX_API double sx_attack_loss(const SxProblem *problem, int player, int rotation, int slot,
                             int sides);
/* The attack rating of a slot's player, connections and a hitter's wrong side counted in, lateness
 * not; `player` holds each slot's own player in that rotation. */
SX_API double sx_attack_rating(const SxProblem *problem, int rotation, const int player[SX_SLOTS],
                               int slot, int sides);
/* The shares of all who are there; `replaced` is a slot that the libero has taken, or
 * SX_NOBODY. */
SX_API double sx_attack_total(const SxProblem *problem, int rotation, int sides, int replaced);
/* Sum of share times seconds late over the hitters who are there. */
SX_API double sx_attack_lateness(const SxProblem *problem, int rotation,
                                 const SxFormation *formation, int replaced);

/* Chooses the liberos, their replacements, the passers and the sides that make a given order score
 * best; fills everything but proof, bound and gap. SX_NO, without a message, if no choice keeps the
 * wishes. Ties: the plain mean of the rotations where the plan leaves some without weight, then
 * fewer replacements, nobody before a libero, the smaller passer mask, the usual sides. */
SX_API SxStatus sx_evaluate_order(const SxProblem *problem, const SxOrder *order, int start,
                                  SxLineup *out, SxError *err);

/* Of equal scores the best plain mean of the rotations is chosen where the score leaves rotations
 * without a weight. */
SX_API bool sx_plain_mean_decides(const SxPlan *plan);
SX_API double sx_plain_mean(const SxLineup *lineup);

/* Does the complete lineup keep this wish? */
SX_API bool sx_wish_holds(const SxProblem *problem, const SxLineup *lineup, const SxWish *wish);

/* What a wish speaks of. */
typedef enum {
    SX_ABOUT_PART = 1,  /* whether she has a part in the lineup, or how large a one */
    SX_ABOUT_ORDER = 2, /* what the order alone decides */
    SX_ABOUT_PLAY = 4   /* what she does for as long as she is on court */
} SxWishAbout;

/* All that it speaks of, one bit each. */
SX_API unsigned sx_wish_about(const SxWish *wish);

SX_C_END

#endif
