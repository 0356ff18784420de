/* All that is wrong with a sheet, collected in one pass; and what is worth a note. Internal. */
#ifndef SIXTURN_CORE_PROBLEMS_H
#define SIXTURN_CORE_PROBLEMS_H

#include "core/grid.h"
#include "sixturn/error.h"
#include "sixturn/import.h"

/* Lines of text that grow. */
typedef struct {
    char *text; /* owned; NULL while there is none */
    size_t used, room;
    int count;
    bool failed; /* memory ran out */
} SxLineList;

void sx_line_add(SxLineList *lines, const char *format, ...) __attribute__((format(printf, 2, 3)));

typedef struct {
    const char *file;
    SxLineList lines;
    SxError first;
    SxSheetProblem *each; /* owned; as many as lines.count, unless lines.failed */
    int each_count, each_room;
} SxProblems;

/* "FILE: row 7, column C (passing): expected ..., found "..."". row: of the spreadsheet, 0 for the
 * sheet as a whole; column: from 0, -1 for a whole row; heading: may be NULL. */
void sx_problem(SxProblems *problems, int row, int column, const char *heading, const char *format,
                ...) __attribute__((format(printf, 5, 6)));

void sx_problems_free(SxProblems *problems);

/* The first problem as an error, the others as further lines of its message as far as they fit;
 * SX_OK if there is none. */
SxStatus sx_problems_status(const SxProblems *problems, SxError *err);

#endif
