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

void random_roles(Rng *rng, SxTeam *team) {
    for (int p = 0; p < team->player_count; p++) {
        SxPlayer *player = &team->players[p];
        int more = rng_below(rng, SX_ROLE_COUNT);
        for (int k = 0; k < more; k++) {
            int role = rng_below(rng, SX_ROLE_COUNT);
            if (player->fitness[role] <= 0) {
                player->fitness[role] = (3 + rng_below(rng, 8)) / 10.0;
            }
        }
        player->attacks_from = (unsigned)rng_below(rng, 1 << SX_LANES);
    }
}

void random_options(Rng *rng, const SxTeam *team, SxPlan *plan) {
    for (int k = 0; k < SX_PARTS; k++) {
        plan->weight[k] = rng_below(rng, 4) ? rng_rating(rng) / 5 : 0;
    }
    for (int r = 0; r < SX_ROTATIONS; r++) {
        plan->rotation_weight[r] = 1 + rng_below(rng, 4);
    }
    plan->rotation_weight_given = true;
    plan->balance = rng_below(rng, 5) / 4.0;
    plan->specialists = rng_below(rng, 3);
    plan->start = rng_below(rng, SX_ROTATIONS + 1) - 1;
    for (int k = rng_below(rng, 3); k > 0; k--) {
        static const SxWishKind kinds[] = {SX_MUST_PLAY,     SX_MUST_SIT,      SX_FIXED_SLOT,
                                           SX_OPPOSITE_PAIR, SX_NOT_ADJACENT,  SX_NEVER_PASSES,
                                           SX_ALWAYS_PASSES, SX_NOT_FRONT_ROW, SX_NOT_BACK_ROW,
                                           SX_MIN_ROTATIONS, SX_LIBERO_FOR,    SX_MAX_SUBSTITUTIONS,
                                           SX_MUST_SET};
        SxWishKind kind = kinds[rng_below(rng, sizeof kinds / sizeof kinds[0])];
        int player = rng_below(rng, team->player_count);
        int other = (player + 1 + rng_below(rng, team->player_count - 1)) % team->player_count;
        int value = kind == SX_MAX_SUBSTITUTIONS ? 12 - 2 * rng_below(rng, 5)
                    : kind == SX_MIN_ROTATIONS   ? 1 + rng_below(rng, 4)
                                                 : rng_below(rng, SX_SLOTS);
        sx_plan_wish(plan, kind, kind == SX_MAX_SUBSTITUTIONS ? SX_NOBODY : player,
                     kind == SX_OPPOSITE_PAIR || kind == SX_NOT_ADJACENT ? other : SX_NOBODY, value,
                     "random", NULL);
    }
}
