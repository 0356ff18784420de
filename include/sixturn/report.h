/* A lineup as text for the terminal (80 columns) and as JSON ("sixturn-plan-result-1"). */
#ifndef SIXTURN_REPORT_H
#define SIXTURN_REPORT_H

#include "sixturn/api.h"
#include "sixturn/matchday.h"
#include "sixturn/outlook.h"

SX_C_BEGIN

/* Both return text to be freed with free(), or NULL when memory runs out. outlook (where to
 * start) may be NULL. */
SX_API char *sx_plan_text(const SxProblem *problem, const SxLineup *lineup, const SxMatchDay *day,
                          const SxOutlook *outlook);
/* Its head alone: how many sets are won and how sure that is (sure may be NULL), both slips, the
 * serving order. */
SX_API char *sx_plan_brief_text(const SxProblem *problem, const SxLineup *lineup,
                                const SxOutlook *outlook, const SxSure *sure);
SX_API char *sx_plan_json(const SxProblem *problem, const SxLineup *lineup, const SxMatchDay *day,
                          const SxOutlook *outlook);

/* Draws six spots as a court of 43 columns. label[i] is at most four bytes; spots and labels by
 * slot. Labels stand where the spots are but for what keeps two of them apart: no label is level
 * with, or on the wrong side of, one that the rules order otherwise in this rotation. */
enum { SX_DRAWING_ROWS = 13, SX_DRAWING_COLUMNS = 43 };
typedef char SxDrawing[SX_DRAWING_ROWS][SX_DRAWING_COLUMNS + 1];
SX_API void sx_draw_court(const SxSpot spot[SX_SLOTS], int rotation, char label[SX_SLOTS][8],
                          SxDrawing out);

SX_C_END

#endif
