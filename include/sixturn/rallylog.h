/* The coach's own rally log: who won the rallies, by our rotation and by who served.
 *
 * A CSV file (RFC 4180; commas, semicolons or tabs between the fields, as spreadsheets write them)
 * with a header row. Columns, in any order:
 *   set             1, 2, ...
 *   rotation        ours, 1 to 6
 *   we              serve or receive
 *   result          won or lost, as we see it
 *   their_rotation  1 to 6, or empty if nobody noted it; the column may be missing */
#ifndef SIXTURN_RALLYLOG_H
#define SIXTURN_RALLYLOG_H

#include "sixturn/api.h"
#include "sixturn/court.h"
#include "sixturn/error.h"

SX_C_BEGIN

typedef struct {
    int won, played;
} SxTally;

/* A plain value. */
typedef struct {
    int rallies; /* at least 1 */
    int sets;    /* how many different sets they are from */
    SxTally tally[SX_PHASES][SX_ROTATIONS];
    /* only the rallies whose their_rotation is noted; [phase][ours][theirs] */
    SxTally pair[SX_PHASES][SX_ROTATIONS][SX_ROTATIONS];
} SxRallyLog;

/* SX_BAD_INPUT with file, line and column name; a log without a rally is refused. *log is written
 * only on success. */
SX_API SxStatus sx_rally_log_parse(const char *text, size_t length, const char *file,
                                   SxRallyLog *log, SxError *err);
SX_API SxStatus sx_rally_log_read(const char *file, SxRallyLog *log, SxError *err);

SX_C_END

#endif
