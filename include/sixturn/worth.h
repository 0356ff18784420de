/* What a skill is worth: how much must it rise for a player to enter the best lineup, and what does
 * a point more of each starter's skills give the team? Exact, by solving again. */
#ifndef SIXTURN_WORTH_H
#define SIXTURN_WORTH_H

#include "sixturn/api.h"
#include "sixturn/difference.h"
#include "sixturn/lineup.h"
#include "sixturn/work.h"

SX_C_BEGIN

enum {
    SX_ALL_SKILLS = SX_SKILL_COUNT, /* the six raised together */
    SX_RAISES = SX_SKILL_COUNT + 1,
    SX_STEPS_A_POINT = 100 /* ratings are looked at in hundredths */
};

typedef struct {
    bool done;
    bool enough;             /* some raise brings the player in before the skill is 10 */
    int raise;               /* the least one that does, in hundredths; 0: plays already */
    SxLineup lineup;         /* the best lineup then, if enough */
    SxDifference difference; /* of that from the best lineup as ratings are */
} SxRaise;

/* How a player comes into the best lineup. */
typedef struct {
    int player;
    bool known;    /* false: the time was up before the two that follow were known */
    bool plays;    /* already in the best lineup */
    bool can_play; /* a legal lineup with the player exists */
    double
        missing;   /* points by which the best lineup with the player falls short; 0 if she plays */
    SxLineup best; /* the best lineup as ratings are; if that is not proven, for lack of time,
                      nothing else is known */
    SxLineup with; /* the best one with the player, if she can play */
    SxRaise raise[SX_RAISES]; /* by skill; the last one: all six raised by as much (each to 10 at
                                 most) */
} SxWorth;

/* SX_NO if there is no lineup at all. */
SX_API SxStatus sx_worth(const SxProblem *problem, int player, const SxWork *run, SxWorth *out,
                         SxError *err);

/* What one point more in a skill gives the best lineup's score. */
typedef struct {
    int player;
    SxSkill skill;
    bool done;
    double step; /* points raised: 1, or less if the skill would pass 10 */
    double gain; /* points of score */
} SxPointValue;

typedef struct {
    SxLineup best; /* not proven: the time was up, no item is done */
    int count;
    SxPointValue *item; /* everybody in the best lineup and every skill, the largest gain first */
} SxPointValues;

/* Free with sx_point_values_free. */
SX_API SxStatus sx_point_values(const SxProblem *problem, const SxWork *run, SxPointValues *out,
                                SxError *err);
SX_API void sx_point_values_free(SxPointValues *values);

SX_C_END

#endif
