/* The line-up slip handed in before a set: shirt numbers by Roman position, and the liberos (FIVB
 * 7.3.2, 19.1.2; the numbers of these rules from memory). */
#ifndef SIXTURN_SLIP_H
#define SIXTURN_SLIP_H

#include "sixturn/api.h"
#include "sixturn/lineup.h"

SX_C_BEGIN

enum { SX_SLIP_LIBEROS = 2, SX_SLIP_SIZE = 2048 };

typedef struct {
    int start;                /* rotation in which the set starts, 0 to 5 */
    int number[SX_POSITIONS]; /* shirts by position - 1 in that rotation */
    int libero_count;
    int liberos[SX_SLIP_LIBEROS]; /* shirts */
} SxSlip;

/* The slot's own players: a libero is on no slip but in the libero's line. */
SX_API void sx_slip(const SxLineup *lineup, const SxTeam *team, SxSlip *out);
/* The same for a set that starts in this rotation, 0 to 5. */
SX_API void sx_slip_from(const SxLineup *lineup, const SxTeam *team, int start, SxSlip *out);

/* The positions laid out as on court, net at the top, in at most 80 columns: SX_SLIP_SIZE bytes are
 * enough. Returns text. */
SX_API char *sx_slip_text(const SxSlip *slip, const char *team_name, char *text, size_t size);
/* The slip for receiving first and the one for serving first, beside each other; one alone if they
 * are the same. */
SX_API char *sx_slips_text(const SxSlip slip[SX_PHASES], const char *team_name, char *text,
                           size_t size);

SX_C_END

#endif
