/* The formation program of one rotation, passer set, attack sides and lane for every passer, as
 * data. Internal.
 *
 * Twelve numbers, x and y of the six positions (place = position - 1), in whole centimetres. Costs
 * of one number or of a difference stand in `costs`; a Choice is a principle that can be kept in
 * one of several ways, each a set of distances, or, if may_pay, be broken at a price. */
#ifndef SIXTURN_MODEL_FORMATION_PROGRAM_H
#define SIXTURN_MODEL_FORMATION_PROGRAM_H

#include "model/spots.h"
#include "sixturn/formation.h"

#include <stdio.h>

enum {
    AXIS_X,
    AXIS_Y,
    AXES,
    MOST_NEEDS = 4,
    MOST_WAYS = 4,
    MOST_CHOICES = 128,
    MOST_BOUNDS = 48,
    GRAINS_A_METRE = 100000
};

/* v[axis][high] - v[axis][low] >= gap; place SPOTS_ZERO is the number 0. */
typedef struct {
    int axis, high, low, gap;
} Need;

typedef struct {
    int count;
    Need need[MOST_NEEDS];
} Way;

typedef struct {
    int term; /* SxFormationCost; SX_COST_COUNT for elbow room */
    int who, other;
    bool may_pay;
    int64_t price;
    int ways;
    Way way[MOST_WAYS];
} Choice;

typedef struct {
    int low[AXES][SX_POSITIONS], high[AXES][SX_POSITIONS];
    Costs costs[AXES];
    int bounds; /* distances that always hold */
    Need bound[MOST_BOUNDS];
    int choices;
    Choice choice[MOST_CHOICES];
} Program;

/* What is asked. Arrays by place. */
typedef struct {
    const SxSystem *system;
    const SxFormationTerms *terms;
    const SxFormationWishes *wishes; /* NULL: none */
    int rotation;
    SxPhase phase;
    int sides;
    int margin; /* centimetres */
    bool bound; /* the order binds us */
    bool free_server;
    bool areas_may_pay;     /* who does not pass may stand in a passer's area, at a price */
    int hides;              /* the first place behind which the setter hides; HIDES_FREE: no matter,
                               HIDES_OPEN: none */
    bool only_hard;         /* leave out all that has a price: is there any formation at all? */
    int lane[SX_POSITIONS]; /* -1: does not pass */
} Request;

enum { HIDES_FREE = -2, HIDES_OPEN = -1 };

int sx_request_centimetres(const Request *request, SxFormationRoom room);
/* Where the player of this place runs next. */
SxSpot sx_request_task(const Request *request, int place);
/* Costs, bounds, order and choices of a request. */
void sx_program_make(const Request *request, Program *program);

/* True if these spots keep the choice in none of its ways. */
bool sx_program_breaks(const Program *program, int choice, int spot[AXES][SX_POSITIONS]);
/* What spots of any kind cost: term[] in grains, by SxFormationCost. Returns the sum. */
int64_t sx_program_price(const Program *program, int spot[AXES][SX_POSITIONS],
                         int64_t term[SX_COST_COUNT]);

/* CPLEX LP, costs in weighted metres. */
void sx_program_write(const Program *program, FILE *out);

/* The best spots. Returns false if there are none of less than `cutoff` grains. */
bool sx_program_solve(const Program *program, int64_t cutoff, int spot[AXES][SX_POSITIONS],
                      int64_t *cost);

#endif
