/* Rule profiles: what a competition allows. Data with its source, shipped in datasets/rules/ and
 * compiled in; a coach's own file ("sixturn-rules-1") works the same way. The competition's own
 * rule book and its referees prevail.
 *
 * The file has "format" and every field of SxRules under its own name, none optional:
 * substitutions 0 to 99 or "unlimited"; reentry "once-for-the-same-substitute" or
 * "to-the-same-place"; cap 0 or at least set_points; best_of 1, 3 or 5. */
#ifndef SIXTURN_RULES_H
#define SIXTURN_RULES_H

#include "sixturn/api.h"
#include "sixturn/error.h"
#include "sixturn/team.h"

SX_C_BEGIN

enum { SX_SOURCE_SIZE = 512, SX_UNLIMITED = -1 };

typedef enum {
    SX_REENTRY_ONCE_SAME_SUBSTITUTE, /* a starter leaves and returns once, for the same player */
    SX_REENTRY_SAME_SLOT             /* any number of times, always to the same place */
} SxReentry;

typedef struct {
    char id[SX_ID_SIZE];
    char name[SX_NAME_SIZE];
    char source[SX_SOURCE_SIZE]; /* which book, which rule, and what is 'from memory' */
    int substitutions;           /* a set; SX_UNLIMITED if there is no limit */
    SxReentry reentry;
    int liberos;             /* that a team may name for a set, 0 to 2 */
    bool libero_serves;      /* in one place of the order */
    bool serving_team_bound; /* the serving team must keep the order too (but the server) */
    bool level_is_fault;     /* two feet level: a fault (older wording) or legal (since 2022) */
    int set_points;          /* 25 */
    int deciding_points;     /* 15 */
    int lead;                /* points clear, 2 */
    int cap;                 /* the score that wins whatever the lead; 0 for none */
    int best_of;             /* sets a match, 3 or 5 */
} SxRules;

/* The profiles that are compiled in, in the order in which they are listed. */
SX_API int sx_rules_count(void);
SX_API const char *sx_rules_id(int index);

SX_API SxStatus sx_rules_parse(const char *text, size_t length, const char *file, SxRules *rules,
                               SxError *err);
/* A shipped profile by id, or, if id holds a '/' or ends in ".json", a file. */
SX_API SxStatus sx_rules_load(const char *id_or_file, SxRules *rules, SxError *err);

SX_C_END

#endif
