/* Plain loops over the orders and libero plans of a small roster, and the score by arithmetic
 * written anew from its description. No solver, no bound. Only the formations (cost and lateness)
 * are taken as given; they are checked on their own elsewhere. Wishes are not looked at. */
#ifndef SIXTURN_TESTS_OUTSIDE_LOOPS_H
#define SIXTURN_TESTS_OUTSIDE_LOOPS_H

#include "support.h"

enum { STATES = 7 }; /* who is in: nobody, or one of two liberos for one of three slots */

typedef struct Loops Loops;
struct Loops {
    const Desk *desk;
    int liberos[2];
    int libero_count;
    int front[6], back[6];
    void (*judge)(Loops *loops); /* told every order, in front and back */
    void *context;               /* of the judge */
    long orders;                 /* the rest is for a judge who looks for the best of them */
    bool found;
    double best, best_plain;
    int best_front[6], best_back[6];
};

/* Values of the twelve situations: first serving (0), then receiving (1) in each rotation. */
typedef struct {
    double at[6][2][STATES];
} Values;

/* Calls judge for every order that the rules allow. */
void loops_all_orders(Loops *loops);
/* Does the order hold this player? */
bool loops_hold(const Loops *loops, int player);
/* The values of the order by who is in; -INFINITY where she may not be. */
void loops_fill_values(const Loops *loops, Values *values);
/* Nobody (-1), or the libero k of a state, and the slot that she stands in for. */
int loops_libero_of(int state);
int loops_slot_of(int state, int r);
/* May a state follow another? Situations count from 0 to 11: serving and receiving in turn. */
bool loops_follows(int before, int old, int now, int state);
/* Does a libero serve? */
bool loops_serves(int situation, int state);

#endif
