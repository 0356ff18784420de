/* One formation on one half court. */
#ifndef SIXTURN_DRAW_HALFCOURT_H
#define SIXTURN_DRAW_HALFCOURT_H

#include "draw/studio.h"

typedef struct {
    double number_size; /* points */
    double pad;         /* millimetres between a number and the edge of its mark */
    bool tight;         /* marks are no larger than the number needs: for numbers read from afar */
    double pen;         /* factor of all strokes and arrow heads */
    bool orders;        /* lines between players whose order is close */
    int focus;          /* the one player highlighted, whose runs alone are shown; -1: everyone */
} SxCourtStyle;

/* The wall page takes its number size from the height of figures in the font; see sx_court_wall. */
extern const SxCourtStyle sx_court_screen, sx_court_card;
/* Figures at least so many millimetres high. */
SxCourtStyle sx_court_wall(SxType *type, double figure_height);

typedef struct {
    double left, top, right, bottom; /* metres that must be seen */
} SxCourtView;

/* Wide enough for every spot and run of the phases shown, in all rotations. */
SxCourtView sx_court_view(const SxSheet *sheet);
/* The same for one phase. */
SxCourtView sx_court_phase_view(const SxSheet *sheet, SxPhase phase);
/* Millimetres a metre with which the view fits into width by height. */
double sx_court_scale(SxCourtView view, double width, double height);
/* Draws at the box's top, centred; ids start with "rN-PHASE-". A mark stands on its spot, or as
 * near as it can where marks would overlap: who is left of whom, and who is in front of whom, is
 * never drawn otherwise than it is. Returns the y below. */
double sx_court_draw(const SxStudio *studio, SxPage *page, SxBox box, SxCourtView view,
                     double scale, SxCourtStyle style, int rotation, SxPhase phase);

/* The three kinds of run, told apart by their lines in colour and in grey. */
typedef enum {
    SX_RUN_AT_HIT, /* to the first task, at the service hit */
    SX_RUN_PASSED, /* the same for a passer: once the ball is passed */
    SX_RUN_BASE,   /* then to base */
    SX_RUN_KINDS
} SxRunKind;
extern const SxStyle sx_court_run_style[SX_RUN_KINDS];

#endif
