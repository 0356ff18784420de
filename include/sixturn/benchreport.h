/* The answer about a substitution, as text and as JSON ("sixturn-bench-1"). Text to be freed with
 * free(), NULL when memory runs out. */
#ifndef SIXTURN_BENCHREPORT_H
#define SIXTURN_BENCHREPORT_H

#include "sixturn/api.h"
#include "sixturn/bench.h"

SX_C_BEGIN

SX_API char *sx_bench_text(const SxTeam *team, const SxBenchAnswer *answer);
SX_API char *sx_bench_json(const SxTeam *team, const SxBenchAnswer *answer);

SX_C_END

#endif
