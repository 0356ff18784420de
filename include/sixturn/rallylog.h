/* The coach's own rally log: who won the rallies, by our rotation and by who served.
 *
 * A sheet (CSV, .xlsx or .ods) with a row of headings and a row for each rally, in the order in
 * which they were played. Columns, in any order, by these names or common other ones, in any case:
 *   set             1, 2, ...
 *   rotation        ours, 1 to 6
 *   we              serve or receive
 *   result          won or lost, as we see it
 *   their_rotation  1 to 6, or empty if nobody noted it; the column may be missing
 * Other columns are ignored.
 *
 * Or a text with a set to a line, typed on the bench: our rotation, serve or receive, and then a
 * letter for every rally, w for won and l for lost, with blanks wherever you like:
 *   3 receive wlwwl lwlll ww 25-21
 * Rotations and servers follow from the letters. 'against 5' tells their rotation too; s, r and a
 * will do for the words. A rotation, a server or a score between the letters is held against what
 * follows from them: another score is a mistake, another rotation or server a gap. */
#ifndef SIXTURN_RALLYLOG_H
#define SIXTURN_RALLYLOG_H

#include "sixturn/api.h"
#include "sixturn/court.h"
#include "sixturn/error.h"

SX_C_BEGIN

typedef struct {
    int won, played;
} SxTally;

enum { SX_LOG_GAPS = 20 };

/* A row, or a place among letters, that cannot follow what stands before it: whoever won the last
 * rally serves, and a team that won it as receivers has rotated (FIVB 6.1.3, 7.6.2). A rally may be
 * missing, or a word be wrong.
 */
typedef struct {
    int row;       /* of the sheet or text */
    int character; /* in letters: its place in the row, from 1; in a sheet 0 */
    int rotation;  /* ours, 0 to 5, as what stands before would have it */
    SxPhase phase;
} SxLogGap;

/* A plain value. */
typedef struct {
    int rallies; /* at least 1 */
    int sets;    /* how many different sets they are from */
    int gaps;    /* what cannot follow what stands before; the first of them in gap */
    SxLogGap gap[SX_LOG_GAPS];
    SxTally tally[SX_PHASES][SX_ROTATIONS];
    /* only the rallies whose their_rotation is noted; [phase][ours][theirs] */
    SxTally pair[SX_PHASES][SX_ROTATIONS][SX_ROTATIONS];
} SxRallyLog;

/* A text without a comma, semicolon, tab or quote is read as letters, anything else as a sheet.
 * SX_BAD_INPUT with all that is wrong, by row and column; a log without a rally is refused. *log is
 * written only on success. */
SX_API SxStatus sx_rally_log_parse(const char *text, size_t length, const char *file,
                                   SxRallyLog *log, SxError *err);
SX_API SxStatus sx_rally_log_read(const char *file, SxRallyLog *log, SxError *err);

/* Adds the rallies of sets that were played afterwards; gaps go on as far as there is room. */
SX_API void sx_rally_log_add(SxRallyLog *log, const SxRallyLog *more);

SX_C_END

#endif
