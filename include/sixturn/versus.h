/* Two lineups side by side, valued with the same weights. */
#ifndef SIXTURN_VERSUS_H
#define SIXTURN_VERSUS_H

#include "sixturn/api.h"
#include "sixturn/difference.h"

SX_C_BEGIN

/* An order as `sixturn plan --json` prints it ("sixturn-plan-result-1"). */
typedef struct {
    char system[SX_ERROR_FILE]; /* id */
    SxOrder order;
    int start;        /* rotation 0 to 5 */
    unsigned passers; /* bit n: n players pass in some rotation */
} SxOrderFile;

/* Tells which of the two formats a text has: SX_OK and *is_result, or SX_BAD_INPUT. */
SX_API SxStatus sx_order_file_is_result(const char *text, size_t length, const char *file,
                                        bool *is_result, SxError *err);
/* Reads what a lineup needs out of a plan's result; other members are ignored. */
SX_API SxStatus sx_order_file_parse(const char *text, size_t length, const char *file,
                                    const SxTeam *team, SxOrderFile *out, SxError *err);

/* A lineup and the problem (system, rules, plan) that it answers. Borrowed pointers. */
typedef struct {
    SxProblem problem;
    SxLineup lineup;
} SxContender;

typedef struct {
    SxLineup side[2];                  /* both valued with the yardstick's weights */
    SxDifference difference;           /* from the first to the second, rotation by rotation */
    int receptions[2][SX_MAX_PLAYERS]; /* rotations (of six) on court in reception */
} SxVersus;

/* yardstick gives weights, balance and rotation weights; both sides are of one team. Orders,
 * liberos and passers stay as they are. */
SX_API void sx_versus(const SxPlan *yardstick, const SxContender *first, const SxContender *second,
                      SxVersus *out);

SX_C_END

#endif
