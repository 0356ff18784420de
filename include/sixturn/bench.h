/* The bench during a set: which substitution the rules allow now, how many are left, and who may
 * still come back for whom. FIVB 15.6: a starter may leave once and come back once, in her own
 * place; a substitute may come in once, for a starter, and leave only for that starter. Where
 * players may return to the same place (USA Volleyball 15.6), any number of times. */
#ifndef SIXTURN_BENCH_H
#define SIXTURN_BENCH_H

#include "sixturn/api.h"
#include "sixturn/court.h"
#include "sixturn/rules.h"
#include "sixturn/team.h"

SX_C_BEGIN

enum { SX_MAX_SWAPS = 100 }; /* more than any profile with a limit allows */

typedef struct {
    int out, in; /* player indices */
} SxSwap;

typedef enum {
    SX_SWAP_ALLOWED,
    SX_SWAP_NONE_LEFT,    /* the substitutions of the set are used up */
    SX_SWAP_NOT_ON_COURT, /* who is to leave does not stand in the order */
    SX_SWAP_ON_COURT,     /* who is to come in is on court */
    SX_SWAP_LIBERO,       /* a libero is replaced, not substituted */
    SX_SWAP_OTHER_PLACE,  /* she has played in another place of the order in this set */
    SX_SWAP_HER_STARTER,  /* a substitute leaves only for the starter whom she came in for */
    SX_SWAP_SPENT         /* one of the two has left, or come in, as often as she may */
} SxSwapVerdict;

/* All by player index and place of the order (0 to 5). */
typedef struct {
    const SxRules *rules;
    int players;
    int starter[SX_SLOTS], holder[SX_SLOTS];
    int left[SX_SLOTS];        /* how often its starter has left */
    int place[SX_MAX_PLAYERS]; /* where she has played in this set; -1: nowhere yet */
    bool libero[SX_MAX_PLAYERS];
    int made; /* substitutions so far */
} SxBench;

/* starters: by place of the order; liberos may be NULL if count is 0. */
SX_API void sx_bench_start(const SxRules *rules, const SxTeam *team, const int starters[SX_SLOTS],
                           const int *liberos, int count, SxBench *out);
SX_API SxSwapVerdict sx_bench_judge(const SxBench *bench, SxSwap swap);
/* Makes it, if the verdict is SX_SWAP_ALLOWED; returns the verdict. */
SX_API SxSwapVerdict sx_bench_make(SxBench *bench, SxSwap swap);
/* Whether she has played in this set, sits now and may come back; the place of the order. */
SX_API bool sx_bench_may_return(const SxBench *bench, int player, int *place);
/* Substitutions left in the set, or SX_UNLIMITED. */
SX_API int sx_bench_left(const SxBench *bench);
/* "she has already left and come back once (FIVB 15.6)"; "" if it is allowed. */
SX_API const char *sx_swap_reason(SxSwapVerdict verdict);

/* What a coach is told about one substitution. */
typedef struct {
    SxSwap swap;
    SxSwapVerdict verdict;
    SxBench before, after; /* the same if it is not allowed */
    double win_before;     /* of a set, with the lineup that is the answer to the plan */
    bool valued;           /* win_after is filled */
    double win_after;      /* with her in that place from the start of the set */
    char why_no_value[SX_ERROR_MESSAGE];
} SxBenchAnswer;

SX_C_END

#endif
