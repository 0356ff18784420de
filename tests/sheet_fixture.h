/* An invented team in a 6-2, with its lineup set by hand: what the drawing tests draw. */
#ifndef SIXTURN_TESTS_SHEET_FIXTURE_H
#define SIXTURN_TESTS_SHEET_FIXTURE_H

#include "sixturn/sheet.h"

typedef enum { NAMES_SHORT, NAMES_LONG, NAMES_WORLD, NAMES_NASTY, NAME_SETS } NameSet;

typedef struct {
    SxTeam team;
    SxRules rules;
    SxSystem system;
    SxPlan plan;
    SxFormationTable *table;
    SxProblem problem;
    SxLineup lineup;
    SxFormation serve[SX_ROTATIONS];
    SxSheetOdds odds;
    SxAdvice advice; /* three exchanges, */
    SxThumb thumb;   /* which rules as long as any make and undo */
    SxSheet sheet;   /* without rules of thumb */
} SheetFixture;

/* passers: 2 to 5 in every rotation in which the order allows that many. The formation table is
 * good until a fixture with another system is made. */
void sheet_fixture_make(SheetFixture *fixture, const char *system, NameSet names, int passers);

/* The sheet with the rules of thumb. */
void sheet_fixture_add_thumb(SheetFixture *fixture);

#endif
