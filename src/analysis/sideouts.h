/* The side-out of one level of play asked for over and over: its log-odds are taken once. Internal
 * to the rally model and to a search. */
#ifndef SIXTURN_ANALYSIS_SIDEOUTS_H
#define SIXTURN_ANALYSIS_SIDEOUTS_H

#include "sixturn/rally.h"

typedef struct {
    const SxLevel *level;
    double so_good[SX_PASS_GRADES]; /* log-odds of the grade or a better one, average against it */
    double won[SX_PASS_GRADES];     /* and of the side-out after it */
} SxSideOuts;

void sx_side_outs(const SxRallyModel *model, SxSideOuts *out);
/* As sx_side_out. */
double sx_side_outs_of(const SxSideOuts *model, const SxSide *receivers, const SxSide *servers);

#endif
