/* A drawing as plain data, in millimetres: pages of lines, shapes and texts that know their own
 * boxes. Layout fills it; the renderers (Cairo, SVG) and the tests read it. */
#ifndef SIXTURN_DRAW_SCENE_H
#define SIXTURN_DRAW_SCENE_H

#include "draw/type.h"

#include <stdbool.h>
#include <stddef.h>

enum { SX_ITEM_ID = 48, SX_ITEM_POINTS = 4 };

typedef struct {
    double x, y; /* millimetres from the page's top left corner */
} SxPoint;

typedef struct {
    double x, y, w, h; /* millimetres */
} SxBox;

typedef enum { SX_DRAW_LINE, SX_DRAW_POLYGON, SX_DRAW_CIRCLE, SX_DRAW_RECT, SX_DRAW_TEXT } SxShape;

typedef enum {
    SX_INK_NONE,
    SX_INK_DARK,  /* text, outlines, passers */
    SX_INK_SOFT,  /* second-rank text and lines, still 4.5 : 1 on the floor colour */
    SX_INK_RUN,   /* release arrows */
    SX_INK_FAINT, /* rules of tables */
    SX_INK_FLOOR, /* the court */
    SX_INK_BAND,  /* the front zone, table heads */
    SX_INK_WHITE,
    SX_INK_COUNT
} SxInk;

typedef enum { SX_SOLID, SX_DASHED, SX_DOTTED, SX_DASHES } SxDash;

/* Of a line's dashes, in widths of the line; 0 for a solid line. */
typedef struct {
    double on, off;
} SxDashLength;
extern const SxDashLength sx_dash_length[SX_DASHES];

typedef struct {
    SxShape shape;
    char id[SX_ITEM_ID];           /* unique in the scene, or empty */
    bool ground;                   /* an area: texts and marks may lie on it */
    int inside;                    /* text: index of the mark it is written in, else -1 */
    SxBox box;                     /* rectangle, text; the box around anything else */
    SxPoint point[SX_ITEM_POINTS]; /* line: 2, polygon: 3 or 4 */
    int points;
    double width; /* stroke, millimetres */
    SxInk stroke, fill;
    SxDash dash;
    char *text;    /* valid UTF-8 in one line */
    double size;   /* points */
    double ascent; /* millimetres from the box's top to the base line */
    bool bold;
} SxItem;

typedef struct {
    double width, height;
    char *title; /* what the page is */
    char *about; /* the same for someone who cannot see it */
    SxItem *items;
    int count, room;
} SxPage;

typedef struct {
    SxType *type;
    SxPage *pages;
    int count;
} SxScene;

/* The inks as 0xRRGGBB. */
extern const unsigned sx_ink_colour[SX_INK_COUNT];

void sx_scene_init(SxScene *scene);
void sx_scene_free(SxScene *scene);

/* Pages keep their address only until the next page is added. */
SxPage *sx_scene_page(SxScene *scene, double width, double height, const char *title);

typedef struct {
    double width;
    SxInk stroke, fill;
    SxDash dash;
    bool ground;
} SxStyle;

/* Each returns the index of the new item. */
int sx_draw_line(SxPage *page, const char *id, SxPoint a, SxPoint b, SxStyle style);
int sx_draw_polygon(SxPage *page, const char *id, const SxPoint *point, int points, SxStyle style);
int sx_draw_circle(SxPage *page, const char *id, SxPoint centre, double radius, SxStyle style);
int sx_draw_rect(SxPage *page, const char *id, SxBox box, SxStyle style);

typedef enum { SX_ALIGN_LEFT, SX_ALIGN_CENTRE, SX_ALIGN_RIGHT } SxAlign;

typedef struct {
    double size; /* points */
    bool bold;
    SxInk ink;
    SxAlign align;
    double limit; /* millimetres; a longer text is cut with an ellipsis. 0: no limit */
} SxFont;

/* x is the left edge, centre or right edge by the font's align; y is the top of the line. */
int sx_draw_text(SxScene *scene, SxPage *page, const char *id, double x, double y, const char *text,
                 SxFont font);
/* Breaks the text at spaces into lines no wider than font.limit; returns the y below. Lines are
 * ID-1, ID-2 and so on; id may be NULL. Without a page nothing is drawn. */
double sx_draw_paragraph(SxScene *scene, SxPage *page, const char *id, double x, double y,
                         const char *text, SxFont font);

/* Good until the next item is drawn. */
const SxItem *sx_page_item(const SxPage *page, int index);

#endif
