/* A roster from a spreadsheet, turned into a team file or brought into one.
 *
 * The sheet is CSV (RFC 4180; commas, semicolons or tabs; UTF-8, UTF-16 or Windows-1252), .xlsx or
 * .ods. A row of headings, in any order and below any title rows, names the columns: name (or first
 * and last name), number, roles, the six skills from 0 to 10 (7,5 may stand for 7.5), and if wanted
 * id, available, sides (where she usually attacks from). Headings and roles go by their common
 * other names too, in any case ("No.", "Pos", "OH/OPP"); other columns are ignored.
 *
 * An empty skill is the mean of that skill over those who share a role with her, or over everybody
 * if nobody does; the file marks it as estimated. Every problem of the sheet is told at once. */
#ifndef SIXTURN_IMPORT_H
#define SIXTURN_IMPORT_H

#include "sixturn/api.h"
#include "sixturn/error.h"

#include <stdbool.h>
#include <stddef.h>

SX_C_BEGIN

enum { SX_SHEET_HEADING = 32 };

typedef struct {
    const char *team_name; /* NULL: the name in the team file, else "our team" */
    bool strict;           /* an empty skill is a problem */
    /* A team file to update, or NULL. Players are known again by id, by name, and by number if the
     * name is nearly the same; whoever is not in the sheet stays, and so does all that a sheet does
     * not say. */
    const char *into;
    size_t into_length;
    const char *into_file; /* for errors */
} SxImportOptions;

/* One thing that is wrong, with its place in the sheet. */
typedef struct {
    int row;                        /* of the spreadsheet, from 1; 0: the sheet as a whole */
    int column;                     /* from 0; -1: the whole row */
    char heading[SX_SHEET_HEADING]; /* what the column means; may be empty */
    char *message;                  /* what was found and what is allowed; owned */
} SxSheetProblem;

/* All owned; free with sx_imported_free whatever was returned. */
typedef struct {
    char *json;              /* the text of a "sixturn-team-1" file; NULL after a failure */
    char *notes;             /* lines: what was ignored, estimated, changed; NULL if nothing */
    SxSheetProblem *problem; /* the same problems one by one */
    int problem_count;
    char *problems; /* lines, each with file, row, column, what was found and what is allowed */
} SxImported;

/* SX_BAD_INPUT: err holds the problems too, as many as fit. */
SX_API SxStatus sx_import_roster(const char *data, size_t length, const char *file,
                                 const SxImportOptions *options, SxImported *out, SxError *err);
SX_API void sx_imported_free(SxImported *imported);

SX_C_END

#endif
