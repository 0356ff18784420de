/* The match-day part of a plan: slip, libero steps, substitutions. Internal. */
#ifndef SIXTURN_REPORT_MATCHDAY_H
#define SIXTURN_REPORT_MATCHDAY_H

#include "report/lines.h"
#include "sixturn/matchday.h"
#include "sixturn/report.h"

#include <cjson/cJSON.h>
#include <stdio.h>

void sx_matchday_text(FILE *out, const SxProblem *problem, const SxLineup *lineup,
                      const SxMatchDay *day);
/* changes_text.c: when to stop the planned substitutions; nothing if they never need to. */
void sx_stopping_lines(FILE *out, const SxOutlook *outlook);
/* plan_text.c: the court of a rotation in a formation when they serve, and how far each runs. */
void sx_receive_court(FILE *out, const SxProblem *problem, const SxLineup *lineup, int rotation,
                      const SxFormation *formation);
/* plan_text.c: who attacks from where in a formation: "#7 left, #4 centre, #3 right" */
void sx_phrase_hitters(Phrase *phrase, const SxProblem *problem, const SxLineup *lineup,
                       int rotation, const SxFormation *formation);
/* prices_report.c: what the wishes cost, and the bench. */
void sx_prices_text(FILE *out, const SxProblem *problem, const SxLineup *lineup,
                    const SxPrices *prices);
void sx_prices_json(cJSON *root, const SxProblem *problem, const SxLineup *lineup,
                    const SxPrices *prices);
/* sure_report.c: how sure the lineup is the best, in a sentence, and which orders are as good. */
void sx_sure_head(FILE *out, const SxSure *sure);
void sx_sure_text(FILE *out, const SxProblem *problem, const SxSure *sure);
void sx_sure_json(cJSON *root, const SxProblem *problem, const SxSure *sure);
/* The kept formations among them, if there are any. */
void sx_kept_prices_text(FILE *out, const SxProblem *problem, const SxPrices *prices);
/* "prices" alone */
void sx_price_list_json(cJSON *root, const SxProblem *problem, const SxPrices *prices);
void sx_matchday_json(cJSON *root, const SxProblem *problem, const SxLineup *lineup,
                      const SxMatchDay *day);

#endif
