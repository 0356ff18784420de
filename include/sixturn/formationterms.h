/* The terms of the formation program: what each principle of a good formation costs, and the
 * distances that it speaks of. Data, shipped in datasets/formation-terms.json and compiled in; a
 * coach's own file ("sixturn-formation-terms-1") works the same way: every term under its name,
 * none optional, with "value", "unit", "meaning" and "source". Costs are in weighted metres, 0 to
 * SX_MOST_COST, in thousandths; rooms in metres, 0 to 9, in whole centimetres. */
#ifndef SIXTURN_FORMATIONTERMS_H
#define SIXTURN_FORMATIONTERMS_H

#include "sixturn/error.h"

#include <stddef.h>

SX_C_BEGIN

#define SX_MOST_COST 50.0

/* Costs; the comments give the unit. The file says what each means. */
typedef enum {
    SX_COST_OFF_LANE,           /* a metre */
    SX_COST_MIDDLE_RUN,         /* a metre */
    SX_COST_HITTER_RUN,         /* a metre */
    SX_COST_BACK_OFF,           /* a metre */
    SX_COST_SETTER_RUN,         /* a metre */
    SX_COST_PASSING_HITTER_RUN, /* a metre */
    SX_COST_DEFENDER_RUN,       /* a metre */
    SX_COST_PASSER_RUN,         /* a metre */
    SX_COST_LIBERO_RUN,         /* a metre */
    SX_COST_LONG_RUN,           /* times the cost */
    SX_COST_BASE_RUN,           /* a metre */
    SX_COST_CLEAR_ORDER,        /* a metre */
    SX_COST_LINE_SERVE,         /* each */
    SX_COST_SEAM,               /* each */
    SX_COST_BEHIND_PASSER,      /* each */
    SX_COST_UP_FRONT,           /* each */
    SX_COST_SETTER_PATH,        /* each */
    SX_COST_SEAM_RUN,           /* each */
    SX_COST_HITTER_PATH,        /* each */
    SX_COST_APPROACH,           /* each */
    SX_COST_SETTER_OPEN,        /* once */
    SX_COST_PASSER_AREA,        /* each */
    SX_COST_AWAY_OUTSIDE,       /* each */
    SX_COST_AWAY_MIDDLE,        /* each */
    SX_COST_AWAY_OPPOSITE,      /* each */
    SX_COST_AWAY_OTHER,         /* each */
    SX_COST_COUNT
} SxFormationCost;

/* Distances. */
typedef enum {
    SX_ROOM_LINE_GAP,
    SX_ROOM_NET_GAP,
    SX_ROOM_ELBOW,
    SX_ROOM_AREA_SEAM,
    SX_ROOM_AREA_EDGE,
    SX_ROOM_AREA_AHEAD,
    SX_ROOM_AREA_BEHIND,
    SX_ROOM_LINE_BEHIND,
    SX_ROOM_BEHIND_SIDE,
    SX_ROOM_BEHIND_DEPTH,
    SX_ROOM_DEEP,
    SX_ROOM_PATH_SIDE,
    SX_ROOM_TUCK,
    SX_ROOM_APPROACH_SIDE,
    SX_ROOM_HIDE_SIDE,
    SX_ROOM_HIDE_DEPTH,
    SX_ROOM_CLEAR,
    SX_ROOM_LONG_WAY,
    SX_ROOM_SERVER_DEPTH,
    SX_ROOM_AT_NET,
    SX_ROOM_TARGET,
    SX_ROOM_COUNT
} SxFormationRoom;

typedef struct {
    double cost[SX_COST_COUNT];
    double room[SX_ROOM_COUNT];
} SxFormationTerms;

SX_API SxStatus sx_formation_terms_parse(const char *text, size_t length, const char *file,
                                         SxFormationTerms *terms, SxError *err);
/* The shipped terms if file is NULL, else those of the file. */
SX_API SxStatus sx_formation_terms_load(const char *file, SxFormationTerms *terms, SxError *err);
/* The names in the file: "off_lane", "line_gap", ... */
SX_API const char *sx_formation_cost_name(SxFormationCost cost);
SX_API const char *sx_formation_room_name(SxFormationRoom room);

SX_C_END

#endif
