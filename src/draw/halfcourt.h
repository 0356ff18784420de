/* One formation on one half court. */
#ifndef SIXTURN_DRAW_HALFCOURT_H
#define SIXTURN_DRAW_HALFCOURT_H

#include "draw/studio.h"

typedef struct {
    double half;        /* half size of a mark, millimetres */
    double number_size; /* points */
    double name_size, note_size;
    double name_limit; /* millimetres */
    int focus;         /* the one player named and highlighted, -1: everyone is named */
} SxCourtStyle;

extern const SxCourtStyle sx_court_page, sx_court_screen, sx_court_card;

typedef struct {
    double left, top, right, bottom; /* metres that must be seen */
} SxCourtView;

/* Wide enough for every spot and run of the phases shown, in all rotations. */
SxCourtView sx_court_view(const SxSheet *sheet);
/* Millimetres a metre with which the view fits into width by height. */
double sx_court_scale(SxCourtView view, double width, double height);
/* Draws at the box's top, centred; ids start with "rN-PHASE-". Returns the y below. */
double sx_court_draw(const SxStudio *studio, SxPage *page, SxBox box, SxCourtView view,
                     double scale, SxCourtStyle style, int rotation, SxPhase phase);

#endif
