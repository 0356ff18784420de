/* The court, the six positions, the six rotations, and the trade's enumerations.
 *
 * Metres, own half only: x from 0 (left side line, facing the net) to 9; y from 0 (centre line) to
 * 9 (end line). FIVB Official Volleyball Rules 1.1 and 1.3 (court, attack line), 7.4 (positions),
 * 7.6 (rotation). */
#ifndef SIXTURN_COURT_H
#define SIXTURN_COURT_H

#include "sixturn/api.h"

#include <stdbool.h>

SX_C_BEGIN

enum {
    SX_SLOTS = 6,     /* places in the serving order */
    SX_ROTATIONS = 6, /* rotation r (0 to 5) is the one in which slot r serves */
    SX_POSITIONS = 6, /* 1 right back (serves), 2 right front, 3 middle front, 4 left front,
                         5 left back, 6 middle back */
    SX_BACK_TURNS = 3 /* rotations a slot spends in the back row, in positions 1, 6 and 5 */
};

enum { SX_NOBODY = -1 }; /* no player, no shirt */

#define SX_COURT_WIDTH 9.0   /* metres, FIVB 1.1 */
#define SX_COURT_DEPTH 9.0   /* metres, own half, FIVB 1.1 */
#define SX_ATTACK_LINE 3.0   /* metres from the centre line, FIVB 1.3.4 */
#define SX_SERVICE_DEPTH 3.0 /* metres behind the end line within which we draw a server */

typedef enum {
    SX_SETTER,
    SX_OUTSIDE,
    SX_MIDDLE,
    SX_OPPOSITE,
    SX_LIBERO,
    SX_SPECIALIST, /* defensive specialist */
    SX_ROLE_COUNT
} SxRole;

typedef enum {
    SX_PASSING,
    SX_SETTING,
    SX_ATTACKING,
    SX_BLOCKING,
    SX_SERVING,
    SX_DIGGING,
    SX_SKILL_COUNT
} SxSkill;

typedef enum { SX_FRONT, SX_BACK, SX_ROWS } SxRow;

typedef enum { SX_RECEIVE, SX_SERVE, SX_PHASES } SxPhase;

typedef enum { SX_LEFT, SX_CENTRE, SX_RIGHT, SX_LANES } SxLane;

typedef struct {
    double x, y; /* metres */
} SxSpot;

/* Words as the files spell them: "setter", "outside", ..., "specialist"; "passing", ... */
SX_API const char *sx_role_name(SxRole role);
SX_API const char *sx_skill_name(SxSkill skill);
SX_API const char *sx_lane_name(SxLane lane); /* "left", "centre", "right" */
SX_API char sx_role_letter(SxRole role);      /* S O M X L D */

/* Position 1 to 6 of a slot in a rotation: ((slot - rotation) mod 6) + 1. */
SX_API int sx_position(int slot, int rotation);
/* The slot that stands in a position (1 to 6) in a rotation. */
SX_API int sx_slot_at(int position, int rotation);
/* Front row 2, 3, 4; back row 5, 6, 1. */
SX_API SxRow sx_row_of(int position);
SX_API SxRow sx_slot_row(int slot, int rotation);
/* How long the slot has been in the back row: 0 in position 1, 1 in 6, 2 in 5; -1 in the front. */
SX_API int sx_back_turn(int slot, int rotation);
SX_API int sx_opposite_slot(int slot);
/* How many members a bit mask of slots (or of anything) has. */
SX_API int sx_count_members(unsigned mask);
SX_API const char *sx_position_name(int position); /* "right back", ... */
SX_API const char *sx_roman(int position);         /* "I" to "VI" */
SX_API double sx_distance(SxSpot a, SxSpot b);     /* metres, straight line */

/* The seven order relations that the rules name (FIVB 7.4.2, 7.4.3). */
typedef enum { SX_SIDEWAYS, SX_DEPTH } SxAxis;

typedef struct {
    SxAxis axis;
    int low;  /* position that must have the smaller x (sideways) or the smaller y (depth) */
    int high; /* position that must have the larger one */
} SxOrderPair;

enum { SX_ORDER_PAIRS = 7 };
SX_API extern const SxOrderPair sx_order_pairs[SX_ORDER_PAIRS];

SX_C_END

#endif
