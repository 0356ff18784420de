/* Wishes and connections as a sheet (CSV, .xlsx or .ods), for coaches who keep theirs there.
 *
 * A row of headings and a row for each wish; columns, in any order:
 *   who    a player: her id, shirt number, name, or a part of the name that nobody else has
 *   wish   what is wished, in the words that sx_wishes_guide() lists
 *   whom   the other player, where a wish is about two
 *   value  a number, where a wish needs one
 * A connection ("connection": who sets, whom she sets for, the bonus) belongs to the team file:
 * sx_import_roster brings it in, and a plan passes over it. */
#ifndef SIXTURN_WISHES_H
#define SIXTURN_WISHES_H

#include "sixturn/api.h"
#include "sixturn/plan.h"

SX_C_BEGIN

/* A plan with the default weights and the sheet's wishes. SX_BAD_INPUT with all that is wrong, by
 * row and column. sx_plan_parse and sx_plan_read call it for files whose names end in .csv, .tsv,
 * .txt, .xlsx or .ods. */
SX_API SxStatus sx_wishes_parse(const char *data, size_t length, const char *file,
                                const SxTeam *team, SxPlan *plan, SxError *err);

/* Every wish in plain words, with an example for a plan file and one for a sheet. Free with free();
 * NULL when memory runs out. */
SX_API char *sx_wishes_guide(void);

SX_C_END

#endif
