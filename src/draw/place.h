/* Finding room for a label: near what it names, on no text and no mark, and off the lines. */
#ifndef SIXTURN_DRAW_PLACE_H
#define SIXTURN_DRAW_PLACE_H

#include "draw/scene.h"

typedef struct {
    SxBox box;
    bool leader; /* the label stands so far off that a thin line should lead to it */
    SxPoint from, to;
    double cost; /* 0 for beside its anchor and on nothing */
} SxPlacing;

/* A cost from here on means that something is crossed. */
extern const double sx_place_crossing;

/* Items from index `first` on are in the way, except areas of ground. The label stays inside the
 * frame. A label that says itself what it is about (free) may stand far off without a leader. */
SxPlacing sx_place_label(const SxPage *page, int first, SxBox frame, SxBox anchor, double width,
                         double height, bool free);

/* The free place nearest to `spot` for a mark of the given half size; spots are circles of
 * `clear` millimetres that must stay visible. */
SxPoint sx_place_mark(const SxPage *page, int first, SxBox frame, SxPoint spot, double half,
                      const SxPoint *others, int other_count, double clear);

#endif
