/* Seeded random teams, for tests and benchmarks. Invented data. */
#ifndef SIXTURN_TESTS_RANDOM_TEAM_H
#define SIXTURN_TESTS_RANDOM_TEAM_H

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

#endif
