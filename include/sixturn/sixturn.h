/* libsixturn: volleyball lineups, legal and optimal. Includes every public header. */
#ifndef SIXTURN_H
#define SIXTURN_H

#include "sixturn/court.h"
#include "sixturn/csv.h"
#include "sixturn/drawn.h"
#include "sixturn/error.h"
#include "sixturn/fit.h"
#include "sixturn/forecast.h"
#include "sixturn/formation.h"
#include "sixturn/legality.h"
#include "sixturn/lineup.h"
#include "sixturn/match.h"
#include "sixturn/mend.h"
#include "sixturn/opponent.h"
#include "sixturn/outlook.h"
#include "sixturn/plan.h"
#include "sixturn/rally.h"
#include "sixturn/rallylog.h"
#include "sixturn/ratesfile.h"
#include "sixturn/report.h"
#include "sixturn/rules.h"
#include "sixturn/setodds.h"
#include "sixturn/rank.h"
#include "sixturn/report.h"
#include "sixturn/rules.h"
#include "sixturn/run.h"
#include "sixturn/sheet.h"
#include "sixturn/system.h"
#include "sixturn/team.h"

#endif
