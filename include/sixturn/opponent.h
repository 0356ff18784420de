/* What a coach knows of the opponent ("sixturn-opponent-1"): six ratings for each of their
 * rotations, or once for all of them. */
#ifndef SIXTURN_OPPONENT_H
#define SIXTURN_OPPONENT_H

#include "sixturn/api.h"
#include "sixturn/rally.h"

SX_C_BEGIN

typedef struct {
    char name[SX_NAME_SIZE];
    int rotations_told; /* 1: all rotations alike; 6 */
    SxSide rotation[SX_ROTATIONS];
} SxOpponent;

/* Average in everything. */
SX_API void sx_opponent_average(SxOpponent *opponent);

SX_API SxStatus sx_opponent_parse(const char *text, size_t length, const char *file,
                                  SxOpponent *opponent, SxError *err);
SX_API SxStatus sx_opponent_read(const char *file, SxOpponent *opponent, SxError *err);

SX_C_END

#endif
