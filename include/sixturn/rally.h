/* The rally model: from ratings to the chance that the receiving team wins the rally.
 *
 * A serve is a fault, or it is in play and the pass is an ace against us, poor, good or perfect.
 * The better the pass, the better the attack's odds:
 *
 *   side-out = fault + (1 - fault) * sum over grades of P(grade) * P(side-out | grade)
 *   P(grade or better)   log-odds = average's + passing effect - serving effect
 *   P(side-out | grade)  log-odds = average's + attacking and setting effects - blocking and
 * digging
 *
 * where an effect is a constant times (rating - 5), the receivers' ratings for passing, attacking
 * and setting, the servers' for serving, blocking and digging. All effects are >= 0 and the attack
 * after a better pass is no worse, so the side-out rises with every skill of the receivers and
 * falls with every skill of the servers. A shift common to all grades makes an average team, all
 * ratings 5, side out against itself as often as its level of play does.
 *
 * The constants are in datasets/rally-model.json ("sixturn-rally-1"), each with its source or the
 * word 'invented': the level's side-out of college women is measured, the rest is not. */
#ifndef SIXTURN_RALLY_H
#define SIXTURN_RALLY_H

#include "sixturn/api.h"
#include "sixturn/error.h"
#include "sixturn/lineup.h"
#include "sixturn/plan.h"
#include "sixturn/setodds.h"
#include "sixturn/team.h"

SX_C_BEGIN

#define SX_AVERAGE_RATING 5.0

typedef enum { SX_PASS_POOR, SX_PASS_GOOD, SX_PASS_PERFECT, SX_PASS_GRADES } SxPassGrade;

enum { SX_MAX_LEVELS = 16 };

typedef struct {
    char id[SX_ID_SIZE];
    char name[SX_NAME_SIZE];
    double side_out; /* of an average team against itself */
} SxLevel;

/* A plain value. */
typedef struct {
    double average_part[SX_PARTS]; /* the score's parts of an average team; run is not used */
    double service_fault;
    double share[SX_PASS_GRADES];    /* of the serves in play, average teams; the rest are aces */
    double side_out[SX_PASS_GRADES]; /* before the shift */
    double effect[SX_SKILL_COUNT];
    int level_count;
    SxLevel levels[SX_MAX_LEVELS];
    int level;    /* the one calibrated for */
    double shift; /* follows from the level */
} SxRallyModel;

/* A rotation of a team in six numbers, on the scale of ratings: 0 to 10, 5 is average; [SX_PASSING]
 * of the passers together, [SX_ATTACKING] of the attackers, and so on. */
typedef struct {
    double rating[SX_SKILL_COUNT];
} SxSide;

/* Calibrated for the first level of the file. */
SX_API SxStatus sx_rally_parse(const char *text, size_t length, const char *file,
                               SxRallyModel *model, SxError *err);
/* The model that is compiled in, or, with a file name, the coach's own. */
SX_API SxStatus sx_rally_load(const char *file_or_null, SxRallyModel *model, SxError *err);
/* Calibrates for a level; empty: the first. SX_BAD_INPUT for an id that is not in the model. */
SX_API SxStatus sx_rally_set_level(SxRallyModel *model, const char *id, SxError *err);

SX_API SxSide sx_average_side(void);
/* From the parts of a rotation's score (SxRotation.part): a part as large as an average team's
 * becomes 5. */
SX_API SxSide sx_side_of_parts(const SxRallyModel *model, const double part[SX_PARTS]);

/* The receivers' chance to win the rally, strictly between 0 and 1. */
SX_API double sx_side_out(const SxRallyModel *model, const SxSide *receivers,
                          const SxSide *servers);
/* What the level of play says about the score's parts: who gets the balls, who meets them. */
SX_API void sx_rally_scoring(const SxRallyModel *model, SxScoring *scoring);
/* All pairings of our six rotations with theirs. */
SX_API void sx_rally_rates(const SxRallyModel *model, const SxSide ours[SX_ROTATIONS],
                           const SxSide theirs[SX_ROTATIONS], SxRates *rates);

SX_C_END

#endif
