/* Is it legal? Judges where six players stand at the service hit, by a rule profile.
 *
 * Which feet are compared. A player's feet cover a square of x +- reach and y +- reach metres.
 *
 * Wording since 2022 (rules.level_is_fault false), FIVB 7.4.3.1: the back-row player is level with,
 * or has at least part of a foot further from the centre line than, the front foot of the front-row
 * player. So the REAR edge of the back-row player is compared with the FRONT edge of the front-row
 * player: legal if y_back + reach_back >= y_front - reach_front. 7.4.3.2: the right (left) player
 * is level with, or has part of a foot nearer the right (left) side line than, the feet furthest
 * from it of the others in the row. So her OUTER edge is compared with the far edge of her
 * neighbour: right, x_right + reach_right >= x_centre - reach_centre; left, x_left - reach_left <=
 * x_centre + reach_centre. In every pair both reaches help.
 *
 * Older wording (rules.level_is_fault true): the front-row player must have part of a foot nearer
 * the centre line than the feet of the back-row player, so FRONT edge against FRONT edge, strictly:
 * y_front - reach_front < y_back - reach_back. A right player must have part of a foot nearer the
 * right side line than the feet of the centre player, RIGHT edge against RIGHT edge: x_right +
 * reach_right > x_centre + reach_centre; a left player LEFT against LEFT. Only the reach of the
 * front-row or side player helps; that of the other one hurts.
 *
 * With reach 0 both wordings compare one point with one point. A square does not tell the two feet
 * apart: its edge counts as the edge of the foot that the rule names. The rule's pairs are
 * neighbours; left and right player of a row are not compared with each other.
 *
 * The competition's own rule book and its referees prevail. */
#ifndef SIXTURN_LEGALITY_H
#define SIXTURN_LEGALITY_H

#include "sixturn/api.h"
#include "sixturn/court.h"
#include "sixturn/rules.h"

#include <stddef.h>

SX_C_BEGIN

#define SX_NEAR_MARGIN 0.30 /* metres; a call closer than this is a near one (our choice) */
#define SX_BODY_ROOM                                                                               \
    0.30                 /* metres; nearer than this in both x and y, two players would stand in   \
                            one place (our choice: about a foot's length) */
#define SX_LEVEL 1e-6    /* metres; what counts as level: what decimal fractions lose in binary */
#define SX_MAX_REACH 1.0 /* metres */

/* Six players at the service hit. Every array is by position - 1. */
typedef struct {
    SxSpot spot[SX_POSITIONS];  /* metres: the middle of the feet */
    double reach[SX_POSITIONS]; /* metres, 0 to SX_MAX_REACH */
    bool libero[SX_POSITIONS];  /* a libero stands here */
    int player[SX_POSITIONS];   /* who is taken to be in this position, in the order's terms: a
                                   libero or a substitute counts as the player she stands in for */
    int due[SX_POSITIONS];      /* who should be, by the serving order; SX_NOBODY if unknown */
    SxPhase phase;              /* SX_SERVE: we serve */
    int server;                 /* position (1 to 6) of the one who serves; 0: position 1 */
    bool libero_named;          /* the team has a libero for this set */
} SxStance;

/* Empties a stance: no reach, no libero, player and due unknown, reception. */
SX_API void sx_stance_default(SxStance *stance);

typedef enum {
    SX_ORDER_FAULT,      /* a pair of sx_order_pairs the wrong way round (or level): amount is by
                            how many metres, 0 or more */
    SX_ORDER_NEAR,       /* the pair holds by less than the margin: amount is by how much */
    SX_OFF_COURT,        /* amount is how far a foot is outside the own court */
    SX_SERVER_INSIDE,    /* the server touches the court or the end line; amount as above */
    SX_SERVER_WIDE,      /* the server is beside the service zone; amount as above */
    SX_ONE_PLACE,        /* position and other stand in one place; amount is their distance */
    SX_WRONG_ORDER,      /* position: not the player whom the serving order puts there */
    SX_WRONG_SERVER,     /* position serves, but position 1 is due */
    SX_LIBERO_FRONT,     /* a libero in the front row */
    SX_LIBERO_SERVES,    /* a libero serves, but may not by these rules */
    SX_LIBERO_SECOND,    /* position and other are both liberos */
    SX_LIBERO_FORBIDDEN, /* these rules know no libero */
    SX_LIBERO_OUT,       /* reception without the libero that the team has: not against the rules */
    SX_FINDING_KINDS
} SxFindingKind;

typedef struct {
    SxFindingKind kind;
    bool fault;          /* else a warning */
    int pair;            /* index into sx_order_pairs, -1 if it is no matter of a pair */
    int position, other; /* 1 to 6; 0 if nobody. In a pair: position is the one who must be behind
                            (back row) or at the side (right, left), other the one she is judged
                            against */
    double amount;       /* metres, see the kinds */
    const char *rule;    /* FIVB rule number; "" if no rule is concerned */
} SxFinding;

enum { SX_MAX_FINDINGS = 64 };

/* A plain value. */
typedef struct {
    bool legal;                     /* no fault (warnings allowed) */
    bool judged[SX_ORDER_PAIRS];    /* false: a pair that binds nobody (server, free team) */
    double slack[SX_ORDER_PAIRS];   /* metres by which the pair holds, below 0 by which it does
                                       not; infinity if not judged */
    int fault_count, finding_count; /* faults come first, each in the order of the kinds */
    SxFinding finding[SX_MAX_FINDINGS];
} SxLegality;

/* margin in metres, 0 for no near calls. The rules bind the six of the receiving team, and those of
 * the serving team but the server if rules.serving_team_bound. Pure, no allocation. */
SX_API void sx_legality(const SxStance *stance, const SxRules *rules, double margin,
                        SxLegality *out);

/* What the reaches add to (high - low) of a pair, by the wording of the profile (see above):
 * slack = high - low + allowance. */
SX_API double sx_order_allowance(const SxRules *rules, int pair, double reach_low,
                                 double reach_high);
/* True if the pair binds this stance. */
SX_API bool sx_pair_binds(const SxStance *stance, const SxRules *rules, int pair);
/* True if a pair that holds by this much is legal. */
SX_API bool sx_slack_is_legal(const SxRules *rules, double slack);
/* The position that serves, 0 in reception. */
SX_API int sx_stance_server(const SxStance *stance);

/* The box in which the middle of a player's feet must be: the own court less her reach, for the
 * server the service zone (with no limit behind: high.y is infinity). */
typedef struct {
    SxSpot low, high;
} SxStanceBox;
SX_API SxStanceBox sx_stance_box(const SxStance *stance, int position);

SX_C_END

#endif
