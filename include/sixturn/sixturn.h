/* libsixturn: volleyball lineups, legal and optimal. Includes every public header, by the layers of
 * the library: a header uses those of its own layer and of the ones before.
 * tests/library/check_layers.py holds the sources to this page.
 *
 * The library never prints, exits or keeps data between calls. Any number of threads may call it at
 * once, as long as none of them changes what another one reads; what a caller made, only one thread
 * at a time may change or free. GLPK keeps one environment for each thread: a session frees it; a
 * thread that solved without one calls glp_free_env before it ends. Answers, files and drawings do
 * not depend on the caller's locale, which is left as it is. Text is UTF-8. What a function returns
 * as `char *` without a buffer from the caller is the caller's to free(). */
#ifndef SIXTURN_H
#define SIXTURN_H

#include "sixturn/api.h"

/* core: the domain and its files, no solver */
#include "sixturn/court.h"
#include "sixturn/drawn.h"
#include "sixturn/error.h"
#include "sixturn/formationterms.h"
#include "sixturn/import.h"
#include "sixturn/legality.h"
#include "sixturn/movement.h"
#include "sixturn/page.h"
#include "sixturn/plan.h"
#include "sixturn/rules.h"
#include "sixturn/system.h"
#include "sixturn/team.h"
#include "sixturn/template.h"
#include "sixturn/version.h"
#include "sixturn/wishes.h"
#include "sixturn/work.h"

/* model: the integer programs */
#include "sixturn/eligible.h"
#include "sixturn/evaluate.h"
#include "sixturn/formation.h"
#include "sixturn/kept.h"
#include "sixturn/lineup.h"
#include "sixturn/mend.h"
#include "sixturn/orderfile.h"
#include "sixturn/program.h"
#include "sixturn/ways.h"

/* analysis: the questions on top */
#include "sixturn/absent.h"
#include "sixturn/advice.h"
#include "sixturn/afterlimit.h"
#include "sixturn/alternatives.h"
#include "sixturn/bench.h"
#include "sixturn/bestset.h"
#include "sixturn/changes.h"
#include "sixturn/difference.h"
#include "sixturn/doubt.h"
#include "sixturn/exchange.h"
#include "sixturn/fit.h"
#include "sixturn/forecast.h"
#include "sixturn/libero.h"
#include "sixturn/makeup.h"
#include "sixturn/match.h"
#include "sixturn/matchday.h"
#include "sixturn/moment.h"
#include "sixturn/opponent.h"
#include "sixturn/outlook.h"
#include "sixturn/ownchange.h"
#include "sixturn/prices.h"
#include "sixturn/rally.h"
#include "sixturn/rallylog.h"
#include "sixturn/rank.h"
#include "sixturn/ratesfile.h"
#include "sixturn/setodds.h"
#include "sixturn/setters.h"
#include "sixturn/setvalue.h"
#include "sixturn/shares.h"
#include "sixturn/starts.h"
#include "sixturn/sure.h"
#include "sixturn/systems.h"
#include "sixturn/thumb.h"
#include "sixturn/versus.h"
#include "sixturn/worth.h"

/* report: answers as text and JSON */
#include "sixturn/analysis_report.h"
#include "sixturn/benchreport.h"
#include "sixturn/drawnreport.h"
#include "sixturn/oddsreport.h"
#include "sixturn/receivereport.h"
#include "sixturn/report.h"
#include "sixturn/sentences.h"
#include "sixturn/slip.h"
#include "sixturn/table.h"

/* draw: drawings, if the library was built with them */
#include "sixturn/sheet.h"

/* session: one team and every question; most programs need no more */
#include "sixturn/door.h"
#include "sixturn/session.h"

#endif
