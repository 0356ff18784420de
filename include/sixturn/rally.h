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
 * and setting, the servers' for serving, blocking and digging; the number of front-row attackers
 * beyond or below 2.5, the mean of a 5-1, adds a constant too. All effects are >= 0 and the attack
 * after a better pass is no worse, so the side-out rises with every skill of the receivers and
 * falls with every skill of the servers. A shift common to all grades makes an average team, all
 * ratings 5, side out against itself as often as its level of play does.
 *
 * The constants are in datasets/rally-model.json ("sixturn-rally-2"), one set for each level of
 * play, each constant {"value", "read", "source"}: where it is from and how it was read there,
 * "computed" from open data, in an "abstract", "second hand", or "invented". */
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
#define SX_AVERAGE_ATTACKERS 2.5 /* front-row attackers in the mean of a 5-1's rotations */

typedef enum { SX_PASS_POOR, SX_PASS_GOOD, SX_PASS_PERFECT, SX_PASS_GRADES } SxPassGrade;

enum { SX_MAX_LEVELS = 16 };

/* How a constant was read in its source. */
typedef enum {
    SX_READ_COMPUTED, /* from open data */
    SX_READ_ABSTRACT, /* in an abstract, or the beginning of a page */
    SX_READ_SECOND_HAND,
    SX_READ_INVENTED,
    SX_READINGS
} SxReading;

/* A level of play. */
typedef struct {
    char id[SX_ID_SIZE];
    char name[SX_NAME_SIZE];
    double side_out;                       /* of an average team against itself */
    double service_fault;                  /* of all serves */
    double share[SX_PASS_GRADES];          /* of the serves in play; the rest are aces */
    double side_out_after[SX_PASS_GRADES]; /* before the shift */
    double effect[SX_SKILL_COUNT];         /* log-odds for a rating point */
    double front_attackers;                /* log-odds of the attack for one more in front */
    double late;           /* a second late spoils the ball like a pass so many grades worse */
    SxScoring scoring;     /* late_set and late_attack follow from late */
    int read[SX_READINGS]; /* constants read in each way */
} SxLevel;

/* A plain value. */
typedef struct {
    int level_count;
    SxLevel levels[SX_MAX_LEVELS];
    int level;    /* the one calibrated for */
    double shift; /* follows from the level */
} SxRallyModel;

/* A rotation of a team in six numbers, on the scale of ratings: 0 to 10, 5 is average; [SX_PASSING]
 * of the passers together, [SX_ATTACKING] of the attackers, and so on. */
typedef struct {
    double rating[SX_SKILL_COUNT];
    double more_attackers; /* front-row attackers beyond SX_AVERAGE_ATTACKERS; 0: not known */
} SxSide;

/* Calibrated for the first level of the file. */
SX_API SxStatus sx_rally_parse(const char *text, size_t length, const char *file,
                               SxRallyModel *model, SxError *err);
/* The model that is compiled in, or, with a file name, the coach's own. */
SX_API SxStatus sx_rally_load(const char *file_or_null, SxRallyModel *model, SxError *err);
/* Calibrates for a level; empty: the first. SX_BAD_INPUT for an id that is not in the model. */
SX_API SxStatus sx_rally_set_level(SxRallyModel *model, const char *id, SxError *err);

SX_API SxSide sx_average_side(void);
/* From the parts of a rotation's score (SxRotation.part): a part as large as that of a team rated 5
 * throughout, with three passers, becomes 5. */
SX_API SxSide sx_side_of_parts(const SxRallyModel *model, const double part[SX_PARTS],
                               int front_attackers);
/* The level of play that the model is calibrated for. */
SX_API const SxLevel *sx_rally_level(const SxRallyModel *model);
SX_API const char *sx_reading_name(SxReading reading);

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
