/* Playing systems: who plays which role in which row, who sets, and where everybody goes. Data,
 * shipped in datasets/systems/ and compiled in; a coach's own file ("sixturn-system-1") works the
 * same way.
 *
 * The file, in metres and whole centimetres, x and y from 0 to 9, nothing optional but what says
 * so:
 *   "format", "id", "name", "source"
 *   "duties": {NAME: {"front": HALF, "back": HALF, "split": true or false (optional)}, ...}, where
 *     HALF is {"role", "lane": "left", "centre" or "right", "attacks", "base": [x, y],
 *     "task": [x, y] (optional in the back row: base)}; no libero, specialists in the back only
 *   "slots": six names of duties, slot 0 (first server of rotation 1) to 5; in every rotation the
 *     three players of a row have three different lanes
 *   "setters_by_rotation": six slots 0 to 5, of players whose role is then setter
 *   "setting_target": [x, y]
 *   "lanes": {"2": [[x, y], [x, y]], "3": ..., "4": ..., "5": ...}, from left to right
 *   "lane_tolerance": [x, y], 0 to 3 each */
#ifndef SIXTURN_SYSTEM_H
#define SIXTURN_SYSTEM_H

#include "sixturn/api.h"
#include "sixturn/court.h"
#include "sixturn/error.h"
#include "sixturn/rules.h"

SX_C_BEGIN

enum { SX_MIN_PASSERS = 2, SX_MAX_PASSERS = 5 };

/* What one slot does while it is in one row. */
typedef struct {
    SxRole role;
    SxLane
        lane; /* front: the lane it attacks and blocks in; back: the third of the floor it digs */
    bool attacks; /* front: a front-row attacker; back: a back-row attacker */
    SxSpot base;  /* base defence */
    SxSpot task;  /* where the release run after reception ends: the start of the approach, or base
                     for a back-row player. The setter on duty runs to the setting target instead. */
} SxDuty;

typedef struct {
    char id[SX_ID_SIZE];
    char name[SX_NAME_SIZE];
    char source[SX_SOURCE_SIZE];
    SxDuty duty[SX_SLOTS][SX_ROWS];
    bool split[SX_SLOTS];          /* front and back are two players, changed by substitution */
    int setter_slot[SX_ROTATIONS]; /* the setter on duty in each rotation */
    SxSpot setting_target;
    /* lanes[n] holds n passing spots from left to right, n = 2 to 5. */
    SxSpot lanes[SX_MAX_PASSERS + 1][SX_MAX_PASSERS];
    double lane_tolerance_x, lane_tolerance_y; /* how far a passer may stand from her lane spot */
} SxSystem;

SX_API int sx_system_count(void);
SX_API const char *sx_system_id(int index);

SX_API SxStatus sx_system_parse(const char *text, size_t length, const char *file, SxSystem *system,
                                SxError *err);
SX_API SxStatus sx_system_load(const char *id_or_file, SxSystem *system, SxError *err);

/* True if nothing tells the two apart. */
SX_API bool sx_same_duty(const SxDuty *a, const SxDuty *b);

/* Front-row players who attack in rotation 0 to 5, the setter on duty apart. */
SX_API int sx_front_attackers(const SxSystem *system, int rotation);
/* Do two players share a place of it by planned substitution? */
SX_API bool sx_system_splits(const SxSystem *system);
/* True if slots s and s + 3 have the same duties in every row, and the setters too: the second half
 * of the cycle then looks like the first with the twin player in each place. */
SX_API bool sx_system_is_mirrored(const SxSystem *system);

SX_C_END

#endif
