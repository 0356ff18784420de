/* The same team under several playing systems: the best lineup of each, side by side. */
#ifndef SIXTURN_SYSTEMS_H
#define SIXTURN_SYSTEMS_H

#include "sixturn/api.h"
#include "sixturn/lineup.h"
#include "sixturn/makeup.h"
#include "sixturn/work.h"

SX_C_BEGIN

typedef struct {
    SxSystem system;
    SxFormationTable *table;
} SxSystemEntry;

typedef struct {
    int count;
    SxSystemEntry *entry;
    int own; /* index of the system asked for; 0 if none was */
} SxSystemSet;

/* The shipped systems, and before them `own` (id or file; may be NULL) if it is none of those, each
 * with the formation table that the plan needs. only_own leaves the others out. Free with
 * sx_systems_free, also after a failure. */
SX_API SxStatus sx_systems_load(const SxPlan *plan, const char *own, bool only_own,
                                const SxWork *run, SxSystemSet *out, SxError *err);
SX_API void sx_systems_free(SxSystemSet *set);

/* The problem with another system in it. */
SX_API SxProblem sx_problem_under(const SxProblem *problem, const SxSystemEntry *entry);

/* No lineup uses more substitutions than the rules allow a set, but a set may last longer than the
 * substitutions do. */
typedef struct {
    int a_cycle;   /* counted substitutions in six rotations */
    int allowed;   /* by the rules in a set; SX_UNLIMITED */
    double cycles; /* cycles of six rotations that the rules let the plan be kept up; infinity */
} SxSubstitutionNeed;

typedef struct {
    bool done;     /* false: the run was stopped before its lineup was proven */
    bool possible; /* there is a legal lineup; not done: one was found. Else `why` says why not */
    double bound;  /* no lineup of the system has more; infinity: not known */
    SxLineup lineup;
    double column[SX_SUM_COLUMNS]; /* what makes up its value */
    SxSubstitutionNeed need;
    char why[SX_ERROR_MESSAGE];
} SxSystemBest;

/* out[k] is the best lineup under set->entry[k]. */
SX_API SxStatus sx_systems_compare(const SxProblem *problem, const SxSystemSet *set,
                                   const SxWork *run, SxSystemBest *out, SxError *err);

SX_API SxSubstitutionNeed sx_substitution_need(const SxRules *rules, const SxLineup *lineup);

SX_C_END

#endif
