/* The even opponent: our own best seven, in the six numbers of a side. */
#include "sixturn/opponent.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* The places of the seven: one setter, two of each of the others in three lines, one libero. */
enum { PLACES = 7, PLACE_SETS = 1 << PLACES, LIBERO_PLACE = PLACES - 1 };
static const SxRole role_of_place[PLACES] = {SX_SETTER, SX_OUTSIDE,  SX_OUTSIDE, SX_MIDDLE,
                                             SX_MIDDLE, SX_OPPOSITE, SX_LIBERO};

/* A point of a skill of the player in a place is worth so many points of the side's rating. */
typedef struct {
    double share[PLACES][SX_SKILL_COUNT];
} Duties;

typedef enum { LIBERO_PASSES, OPPOSITE_PASSES, MIDDLES_PASS, THIRD_PASSERS } ThirdPasser;

/* Who takes the balls: setter in back and setter in front, half of the set each. A row of the back
 * has an outside who attacks, and the opposite while the setter is in front. */
static void share_attacks(const SxScoring *scoring, Duties *duties) {
    const double left = scoring->front_attack[SX_LEFT], centre = scoring->front_attack[SX_CENTRE];
    const double right = scoring->front_attack[SX_RIGHT], back = scoring->back_attack;
    const double three = left + centre + right + back;
    const double two = left + centre + scoring->setter_attack + 2 * back;
    for (int p = 0; p < PLACES; p++) {
        double *share = &duties->share[p][SX_ATTACKING];
        switch (role_of_place[p]) {
        case SX_OUTSIDE: /* one in front, one behind */
            *share = ((left + back) / three + (left + back) / two) / 4;
            break;
        case SX_MIDDLE:
            *share = (centre / three + centre / two) / 4;
            break;
        case SX_OPPOSITE:
            *share = (right / three + back / two) / 2;
            break;
        case SX_SETTER:
            *share = scoring->setter_attack / two / 2;
            break;
        default:
            break;
        }
    }
}

/* Setter and opposite share the right of the net and of the back row. The libero stands in for the
 * middles, but for the one who serves. */
static Duties duties_of(const SxScoring *scoring, ThirdPasser third) {
    static const SxLane lane[SX_ROLE_COUNT] = {[SX_SETTER] = SX_RIGHT,
                                               [SX_OUTSIDE] = SX_LEFT,
                                               [SX_MIDDLE] = SX_CENTRE,
                                               [SX_OPPOSITE] = SX_RIGHT};
    const bool libero = third == LIBERO_PASSES;
    const double net =
        scoring->block[SX_LEFT] + scoring->block[SX_CENTRE] + scoring->block[SX_RIGHT];
    Duties duties;
    memset(&duties, 0, sizeof duties);
    share_attacks(scoring, &duties);
    for (int p = 0; p < LIBERO_PLACE; p++) {
        const SxRole role = role_of_place[p];
        double *share = duties.share[p];
        share[SX_SETTING] = role == SX_SETTER;
        share[SX_BLOCKING] = scoring->block[lane[role]] / net / 2;
        share[SX_SERVING] = 1.0 / SX_SLOTS;
        share[SX_DIGGING] = (role == SX_MIDDLE && libero ? 1.0 / SX_BACK_TURNS : 1) / SX_SLOTS;
        share[SX_PASSING] = role == SX_OUTSIDE                                ? 1.0 / 3
                            : role == SX_OPPOSITE && third == OPPOSITE_PASSES ? 1.0 / 3
                            : role == SX_MIDDLE && third == MIDDLES_PASS      ? 0.5 / 3
                                                                              : 0;
    }
    if (libero) {
        duties.share[LIBERO_PLACE][SX_PASSING] = 1.0 / 3;
        duties.share[LIBERO_PLACE][SX_DIGGING] =
            2.0 * (SX_BACK_TURNS - 1) / SX_BACK_TURNS / SX_SLOTS;
    }
    return duties;
}

/* How much a point of each skill moves a rally between average teams. */
static void worths(const SxRallyModel *model, double worth[SX_SKILL_COUNT]) {
    const SxSide average = sx_average_side();
    const double level = sx_side_out(model, &average, &average);
    for (int k = 0; k < SX_SKILL_COUNT; k++) {
        SxSide better = average;
        better.rating[k] += 1;
        worth[k] = sx_side_out(model, &better, &average) - level + level -
                   sx_side_out(model, &average, &better);
    }
}

static double in_role(const SxPlayer *who, SxRole role, SxSkill skill) {
    const bool at_the_net = skill == SX_ATTACKING || skill == SX_BLOCKING || skill == SX_SETTING;
    const double fitness = who->fitness[role];
    return who->skill[skill] * (at_the_net && fitness > 0 ? fitness : 1);
}

/* The seven, each a player's index or SX_NOBODY. */
typedef struct {
    int player[PLACES];
    double value;
} Seven;

typedef struct {
    const SxTeam *team;
    SxRole libero_role; /* whoever may stand in the libero's place */
    double worth[SX_MAX_PLAYERS][PLACES];
} Choice;

static bool has_role(const SxTeam *team, SxRole role) {
    for (int p = 0; p < team->player_count; p++) {
        if (team->players[p].fitness[role] > 0) {
            return true;
        }
    }
    return false;
}

/* A stranger to a role comes after everybody who has it, however good she is. */
static const double STRANGER = 1000;

static void value_players(Choice *choice, const Duties *duties, const double worth[SX_SKILL_COUNT],
                          bool libero) {
    for (int p = 0; p < choice->team->player_count; p++) {
        const SxPlayer *who = &choice->team->players[p];
        for (int place = 0; place < PLACES; place++) {
            const SxRole role = place == LIBERO_PLACE ? choice->libero_role : role_of_place[place];
            double value = who->fitness[role] > 0 ? 0 : -STRANGER;
            for (int k = 0; k < SX_SKILL_COUNT; k++) {
                value += worth[k] * duties->share[place][k] * in_role(who, role, (SxSkill)k);
            }
            if (place == LIBERO_PLACE && (!libero || who->fitness[role] <= 0)) {
                value = -INFINITY;
            }
            choice->worth[p][place] = value;
        }
    }
}

/* The best seven by what they are worth together: player by player, over the sets of places still
 * open. Ties: the lower shirt numbers. */
static Seven choose(const Choice *choice, unsigned places) {
    const int count = choice->team->player_count;
    static const int nobody = PLACES;
    double best[SX_MAX_PLAYERS + 1][PLACE_SETS];
    signed char taken[SX_MAX_PLAYERS][PLACE_SETS];
    for (unsigned open = 0; open < PLACE_SETS; open++) {
        best[count][open] = open == 0 ? 0 : -INFINITY;
    }
    for (int p = count - 1; p >= 0; p--) {
        for (unsigned open = 0; open < PLACE_SETS; open++) {
            best[p][open] = -INFINITY;
            taken[p][open] = (signed char)nobody;
            for (int place = 0; place < PLACES; place++) {
                const double value =
                    open >> place & 1 ? choice->worth[p][place] + best[p + 1][open & ~(1u << place)]
                                      : -INFINITY;
                if (value > best[p][open]) {
                    best[p][open] = value;
                    taken[p][open] = (signed char)place;
                }
            }
            if (best[p + 1][open] > best[p][open]) {
                best[p][open] = best[p + 1][open];
                taken[p][open] = (signed char)nobody;
            }
        }
    }
    Seven seven = {.value = best[0][places]};
    for (int place = 0; place < PLACES; place++) {
        seven.player[place] = SX_NOBODY;
    }
    for (int p = 0; p < count; p++) {
        if (taken[p][places] != nobody) {
            seven.player[taken[p][places]] = p;
            places &= ~(1u << taken[p][places]);
        }
    }
    return seven;
}

static SxSide side_of(const Choice *choice, const Duties *duties, const Seven *seven) {
    SxSide side = {.more_attackers = 0};
    for (int place = 0; place < PLACES; place++) {
        const SxRole role = place == LIBERO_PLACE ? choice->libero_role : role_of_place[place];
        for (int k = 0; k < SX_SKILL_COUNT && seven->player[place] >= 0; k++) {
            side.rating[k] +=
                duties->share[place][k] *
                in_role(&choice->team->players[seven->player[place]], role, (SxSkill)k);
        }
    }
    return side;
}

void sx_even_opponent(const SxTeam *team, const SxRallyModel *model, SxOpponent *opponent) {
    SxScoring scoring;
    double worth[SX_SKILL_COUNT];
    sx_rally_scoring(model, &scoring);
    worths(model, worth);
    const bool libero = team->player_count > SX_SLOTS &&
                        (has_role(team, SX_LIBERO) || has_role(team, SX_SPECIALIST));
    Choice choice = {.team = team,
                     .libero_role = has_role(team, SX_LIBERO) ? SX_LIBERO : SX_SPECIALIST};
    const unsigned six = (1u << LIBERO_PLACE) - 1;
    SxSide side = sx_average_side();
    double best = -INFINITY;
    for (int third = LIBERO_PASSES; third < THIRD_PASSERS; third++) {
        if ((third == LIBERO_PASSES) != libero) {
            continue;
        }
        const Duties duties = duties_of(&scoring, (ThirdPasser)third);
        value_players(&choice, &duties, worth, libero);
        const Seven seven = choose(&choice, libero ? PLACE_SETS - 1 : six);
        if (seven.value > best) {
            best = seven.value;
            side = side_of(&choice, &duties, &seven);
        }
    }
    sx_opponent_average(opponent);
    opponent->even = true;
    snprintf(opponent->name, sizeof opponent->name, "an even opponent");
    for (int r = 0; r < SX_ROTATIONS; r++) {
        opponent->rotation[r] = side;
    }
}
