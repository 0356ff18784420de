/* The line-up slip handed in before a set: shirt numbers by Roman position, and the liberos (FIVB
 * 7.3.2, 19.1.2; the numbers of these rules from memory). */
#ifndef SIXTURN_SLIP_H
#define SIXTURN_SLIP_H

#include "sixturn/api.h"
#include "sixturn/lineup.h"

SX_C_BEGIN

enum { SX_SLIP_LIBEROS = 2, SX_SLIP_SIZE = 1024 };

typedef struct {
    int number[SX_POSITIONS]; /* shirts by position - 1, in the rotation in which the set starts */
    int libero_count;
    int liberos[SX_SLIP_LIBEROS]; /* shirts */
} SxSlip;

/* The slot's own players: a libero is on no slip but in the libero's line. */
SX_API void sx_slip(const SxLineup *lineup, const SxTeam *team, SxSlip *out);

/* The positions laid out as on court, net at the top, in at most 80 columns: SX_SLIP_SIZE bytes are
 * enough. Returns text. */
SX_API char *sx_slip_text(const SxSlip *slip, const char *team_name, char *text, size_t size);

SX_C_END

#endif
