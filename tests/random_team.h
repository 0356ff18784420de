/* Seeded random teams, for tests and benchmarks. Invented data. */
#ifndef SIXTURN_TESTS_RANDOM_TEAM_H
#define SIXTURN_TESTS_RANDOM_TEAM_H

#include "sixturn/plan.h"
#include "sixturn/team.h"

#include <stdint.h>

/* A small generator of our own, so that a seed means the same everywhere (SplitMix64). */
typedef struct {
    uint64_t state;
} Rng;

uint64_t rng_next(Rng *rng);
int rng_below(Rng *rng, int limit);
/* A rating with one decimal from 0 to 10. */
double rng_rating(Rng *rng);

/* A team of `size` (10 to 64) that can play every shipped system: in turn a setter, two outsides, a
 * middle, an opposite, a libero, a setter, a middle, an opposite, an outside, then anyone. */
void random_team(Rng *rng, int size, SxTeam *team);

/* Gives every player up to six roles, with a fitness from 0.3 to 1, and sides to attack from. */
void random_roles(Rng *rng, SxTeam *team);

/* Draws every option of the plan but system, rules and passers: weights, balance, specialists,
 * start, and up to two wishes of any kind. */
void random_options(Rng *rng, const SxTeam *team, SxPlan *plan);

#endif
