/* Sheets of wishes and connections. Internal. */
#ifndef SIXTURN_CORE_WISHSHEET_H
#define SIXTURN_CORE_WISHSHEET_H

#include "core/grid.h"
#include "core/problems.h"
#include "sixturn/plan.h"

typedef struct {
    bool connection; /* player sets, other hits */
    SxWishKind kind; /* of a wish */
    int player, other, row;
    double value;
} SxWishRow;

/* A plan in JSON: sx_plan_parse for all but sheets. plan.c. */
SxStatus sx_plan_parse_json(const char *text, size_t length, const char *file, const SxTeam *team,
                            SxPlan *plan, SxError *err);
/* The name of a sheet's file rather than of a JSON file. */
bool sx_is_sheet_name(const char *file);
/* Its headings are those of wishes. */
bool sx_is_wish_sheet(const SxGrid *grid);
/* Reads all rows, at most SX_MAX_WISHES + SX_MAX_CONNECTIONS; returns how many are right. */
int sx_wish_rows(const SxGrid *grid, const SxTeam *team, SxProblems *problems, SxWishRow *rows);

enum { SX_MAX_WISH_ROWS = SX_MAX_WISHES + SX_MAX_CONNECTIONS };

#endif
