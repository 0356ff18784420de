/* What the layouts of sheet, card and report share: the scene, short names, trade words and the
 * drawing of one court. */
#ifndef SIXTURN_DRAW_STUDIO_H
#define SIXTURN_DRAW_STUDIO_H

#include "draw/scene.h"
#include "sixturn/sheet.h"

typedef struct {
    const SxSheet *sheet;
    SxScene *scene;
    char *name[SX_MAX_PLAYERS]; /* short, unique in the team; by player index */
} SxStudio;

void sx_studio_init(SxStudio *studio, const SxSheet *sheet, SxScene *scene);
void sx_studio_free(SxStudio *studio);

/* words.c */
const char *sx_third_of_floor(SxSpot spot); /* "left front", "middle back", ... */
/* NULL if the sheet has no such formation. */
const SxFormation *sx_sheet_formation(const SxSheet *sheet, int rotation, SxPhase phase);
SxRole sx_sheet_role(const SxSheet *sheet, int rotation, SxPhase phase, int slot);
/* Where she runs first. */
SxSpot sx_sheet_task(const SxSheet *sheet, int rotation, SxPhase phase, int slot);
SxSpot sx_sheet_base(const SxSheet *sheet, int rotation, int slot);
/* A player who passes in this rotation, by slot. */
bool sx_sheet_passes(const SxSheet *sheet, int rotation, SxPhase phase, int slot);
/* True if the order relation holds with no more than a centimetre to spare and binds at all. */
bool sx_sheet_binds(const SxSheet *sheet, int rotation, SxPhase phase, int pair);
/* The relation as an order to one of the two: "stay right of 7". Returns the slot it is said to:
 * `listener` if she is one of the two, else the one who is more likely to forget it. */
int sx_sheet_order(const SxSheet *sheet, int rotation, SxPhase phase, int pair, int listener,
                   char *text, size_t size);
/* What the player does in the rotation, in sentences. Free with g_free. */
char *sx_sheet_instructions(const SxStudio *studio, int rotation, SxPhase phase, int player);
/* The slot in which the player stands on court, -1 if she does not. */
int sx_sheet_slot_of(const SxSheet *sheet, int rotation, SxPhase phase, int player);
extern const char sx_sheet_caution[];

/* halfcourt.c: one formation on one half court. */
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
