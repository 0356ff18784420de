/* The order out of a plan's result, so that a lineup can be taken up again. */
#ifndef SIXTURN_ORDERFILE_H
#define SIXTURN_ORDERFILE_H

#include "sixturn/api.h"
#include "sixturn/lineup.h"

#include <stdint.h>

SX_C_BEGIN

/* An order as `sixturn plan --json` prints it ("sixturn-plan-result-1"). */
typedef struct {
    char system[SX_ERROR_FILE]; /* id */
    SxOrder order;
    int start;                      /* rotation 0 to 5 */
    unsigned passers;               /* bit n: n players pass in some rotation */
    uint64_t passing[SX_ROTATIONS]; /* bit p: player p of the team passes there */
} SxOrderFile;

/* Tells which of the two formats a text has: SX_OK and *is_result, or SX_BAD_INPUT. */
SX_API SxStatus sx_order_file_is_result(const char *text, size_t length, const char *file,
                                        bool *is_result, SxError *err);
/* Reads what a lineup needs out of a plan's result; other members are ignored. */
SX_API SxStatus sx_order_file_parse(const char *text, size_t length, const char *file,
                                    const SxTeam *team, SxOrderFile *out, SxError *err);

SX_C_END

#endif
