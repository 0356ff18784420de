/* The paper pages: which there are and how each is laid out. */
#ifndef SIXTURN_OUTPUT_PAGES_H
#define SIXTURN_OUTPUT_PAGES_H

#include "output/studio.h"

/* All pages of the sheet into an empty scene. */
void sx_pages_lay_out(SxScene *scene, const SxSheet *sheet);

void sx_page_summary(const SxStudio *studio, SxPage *page);
void sx_page_rotation(const SxStudio *studio, SxPage *page, int rotation);
void sx_page_card(const SxStudio *studio, SxPage *page, int player);

/* Shared by the pages. */
extern const double sx_page_edge; /* millimetres left free around a page */
/* Title, a line below it and the caution at the foot; returns the y where content starts and sets
 * the y where it must end. */
double sx_page_frame(const SxStudio *studio, SxPage *page, const char *title, const char *below,
                     double *bottom);

/* Who passes, "7, 9 and 11"; free with g_free. */
char *sx_passer_list(const SxSheet *sheet, int rotation);
/* Substitutions in the order in which they fall due, a line each; "" if none is planned. */
char *sx_substitution_lines(const SxSheet *sheet);
/* "5 for 11" in a phase, or "-". Free with g_free. */
char *sx_libero_cell(const SxSheet *sheet, int rotation, SxPhase phase);

#endif
