/* Seeded random teams. */
#include "random_team.h"

#include <stdio.h>
#include <string.h>

uint64_t rng_next(Rng *rng) {
    uint64_t z = rng->state += 0x9E3779B97F4A7C15u;
    z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9u;
    z = (z ^ (z >> 27)) * 0x94D049BB133111EBu;
    return z ^ (z >> 31);
}

int rng_below(Rng *rng, int limit) {
    return (int)(rng_next(rng) % (uint64_t)limit);
}

double rng_rating(Rng *rng) {
    return rng_below(rng, 101) / 10.0;
}

void random_team(Rng *rng, int size, SxTeam *team) {
    static const SxRole core[] = {SX_SETTER, SX_OUTSIDE, SX_OUTSIDE, SX_MIDDLE,   SX_OPPOSITE,
                                  SX_LIBERO, SX_SETTER,  SX_MIDDLE,  SX_OPPOSITE, SX_OUTSIDE};
    enum { CORE = sizeof core / sizeof core[0] };
    memset(team, 0, sizeof *team);
    snprintf(team->name, sizeof team->name, "Random %d", size);
    team->player_count = size;
    for (int p = 0; p < size; p++) {
        SxPlayer *player = &team->players[p];
        snprintf(player->id, sizeof player->id, "player-%d", p + 1);
        snprintf(player->name, sizeof player->name, "Player %d", p + 1);
        player->number = p + 1;
        player->available = true;
        SxRole role = p < CORE ? core[p] : (SxRole)rng_below(rng, SX_ROLE_COUNT);
        player->fitness[role] = 1.0;
        if (role != SX_LIBERO && rng_below(rng, 3) == 0) {
            SxRole second = (SxRole)rng_below(rng, SX_LIBERO);
            if (second != role) {
                player->fitness[second] = (5 + rng_below(rng, 5)) / 10.0;
            }
        }
        for (int k = 0; k < SX_SKILL_COUNT; k++) {
            player->skill[k] = rng_rating(rng);
        }
    }
}
