/* Rules of thumb: the best play of moment.h boiled down to a few lines that a coach can keep in
 * mind, with what they lose against it. */
#ifndef SIXTURN_THUMB_H
#define SIXTURN_THUMB_H

#include "sixturn/api.h"
#include "sixturn/moment.h"

SX_C_BEGIN

enum {
    SX_MAX_THUMB_RULES = 2 * SX_MAX_EXCHANGES,
    SX_ANY_LEAD = SX_MAX_POINTS /* as a bound of the lead: none */
};

/* Invented: a line that gains less, a twentieth of a set in 100, is not worth remembering. */
#define SX_THUMB_WORTH 0.0005

/* 'In our rotation 3, when we serve and lead by -4 to 4 after 15 points or more: make exchange 0.'
 */
typedef struct {
    int exchange;
    bool make; /* else undo it */
    int ours;  /* our rotation, 0 to 5 */
    SxPhase phase;
    int least_lead, most_lead; /* our points less theirs, both included */
    int from_points;           /* points played, of both teams together */
} SxThumbRule;

/* A plain value. All odds are those of the moment that was asked for. */
typedef struct {
    int count;
    SxThumbRule rule[SX_MAX_THUMB_RULES]; /* an exchange's make before its undo */
    double win;                           /* by the rules */
    double win_best;                      /* with best play */
    double win_without;                   /* without any exchange */
} SxThumb;

/* Finds good rules by searching over places, then over leads and points, one exchange after the
 * other as long as each gains at least `worth` (in odds, 0 and more). Exact odds for the rules that
 * are found; that no others do better is not claimed. Errors as sx_policy_win. */
SX_API SxStatus sx_thumb(const SxPolicy *policy, const SxMoment *from, double worth, SxThumb *out,
                         SxError *err);

/* The odds of the set if the coach follows these rules, and nothing else, from this moment on. A
 * rule that the rules of the game do not let her follow is passed over. */
SX_API SxStatus sx_thumb_win(const SxPolicy *policy, const SxMoment *from, const SxThumbRule *rule,
                             int count, double *win, SxError *err);

SX_C_END

#endif
