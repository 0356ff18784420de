/* A roster from a spreadsheet: CSV as RFC 4180 has it, turned into a team file.
 *
 * The first row names the columns, in any order: name, number, roles, passing, setting, attacking,
 * blocking, serving, digging; id and available may be left out. Fields are separated by commas or
 * by semicolons (then 7,5 may stand for 7.5). roles: words separated by spaces or '/'. available:
 * yes, no, true, false, 1, 0 or empty for yes. Without an id column (or with an empty id) the id
 * is made from the name. A UTF-8 byte order mark and empty rows are passed over. */
#ifndef SIXTURN_CSV_H
#define SIXTURN_CSV_H

#include "sixturn/api.h"
#include "sixturn/error.h"

SX_C_BEGIN

/* *json is the text of a "sixturn-team-1" file; free it with free(). Errors are SX_BAD_INPUT with
 * file, line, column and, as the path, the name of the CSV column. */
SX_API SxStatus sx_team_from_csv(const char *text, size_t length, const char *file,
                                 const char *team_name, char **json, SxError *err);
/* The same from a file. */
SX_API SxStatus sx_team_read_csv(const char *file, const char *team_name, char **json,
                                 SxError *err);

SX_C_END

#endif
