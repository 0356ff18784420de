/* The paper pages: which there are and how each is laid out. */
#ifndef SIXTURN_DRAW_PAGES_H
#define SIXTURN_DRAW_PAGES_H

#include "draw/studio.h"

/* All pages of the sheet into an empty scene. */
void sx_pages_lay_out(SxScene *scene, const SxSheet *sheet);

/* What the summary had no room for. */
typedef struct {
    bool thumb; /* the rules of thumb */
    int bench;  /* the bench from this player on; SX_NOBODY: all are told */
} SxSummaryRest;
SxSummaryRest sx_page_summary(const SxStudio *studio, SxPage *page);
extern const char sx_bench_title[];
/* The bench from this player on, as large as names on the wall are; returns who comes on the next
 * page, the number of players if nobody does. */
int sx_page_bench(const SxStudio *studio, SxPage *page, int player);
/* The rules of thumb on a page of their own. */
void sx_page_thumb(const SxStudio *studio, SxPage *page);
void sx_page_rotation(const SxStudio *studio, SxPage *page, int rotation, SxPhase phase);
void sx_page_card(const SxStudio *studio, SxPage *page, int player);

/* Shared by the pages. */
extern const double sx_page_edge; /* millimetres left free around a page */
/* Readable from three metres: figures and capitals of names at least so high, in millimetres (the
 * coach's wish). */
extern const double sx_wall_number, sx_wall_name;
/* The caution at the foot, once; returns the y where content must end. */
double sx_page_foot(const SxStudio *studio, SxPage *page);
/* One line, its capitals as high as that in millimetres; returns the y below. */
double sx_draw_high(const SxStudio *studio, SxPage *page, const char *id, double x, double y,
                    const char *words, double capitals, double limit);
/* "7 Ana" as high as names on the wall are; returns the y below. */
double sx_draw_name(const SxStudio *studio, SxPage *page, const char *id, double x, double y,
                    int player, double limit);
/* The phases a sheet shows, 0 to 2 of them; returns how many. */
int sx_phases_shown(const SxSheet *sheet, SxPhase *phases);
extern const char *const sx_phase_title[SX_PHASES];
/* Who stands where in one sentence, for someone who cannot see the drawing. Free with g_free. */
char *sx_people(const SxStudio *studio, int rotation, SxPhase phase);

/* Who passes, from the left lane to the right, "7, 9 and 11"; free with g_free. */
char *sx_passer_list(const SxSheet *sheet, int rotation);
/* Substitutions in the order in which they fall due, a line each; "" if none is planned. */
char *sx_substitution_lines(const SxSheet *sheet);
/* When to stop them and how to play on; "" if nothing ends them. Free with g_free. */
char *sx_stop_line(const SxSheet *sheet);
/* Heading of the rules of thumb, then the k-th line under it (k from 0): the rules, what they keep,
 * how players may return. NULL after the last one. Free with g_free. */
extern const char sx_thumb_title[];
char *sx_thumb_line(const SxSheet *sheet, int k);
/* The same on a page, sized for who holds it in her hand; returns the y below. */
double sx_draw_thumb(const SxStudio *studio, SxPage *page, double x, double y, double width,
                     double size);
/* How high that is. */
double sx_thumb_height(const SxStudio *studio, double width, double size);
/* Bars for the six scores, the weakest hollow and named; returns the y below. */
double sx_draw_strength(const SxStudio *studio, SxPage *page, double x, double y, double width);

/* "61 %", or a dash for a NAN. Free with g_free. */
char *sx_percent(double chance);
/* "5 for 11" in a phase, or "-". Free with g_free. */
char *sx_libero_cell(const SxSheet *sheet, int rotation, SxPhase phase);

/* GLib's memory copied into plain malloc memory, so that callers need no GLib. */
SxStatus sx_hand_over(const void *data, size_t length, char **bytes, size_t *size, SxError *err);

/* SX_USAGE for a player or a phase that is not there. */
SxStatus sx_sheet_check(const SxSheet *sheet, SxError *err);
/* What the lineup wins, or scores, and how sure that is, as a sentence. Free with g_free. */
char *sx_worth_words(const SxSheet *sheet);

#endif
