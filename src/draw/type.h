/* Text in any script: measuring and shortening, on Pango. Sizes in points, results in millimetres.
 */
#ifndef SIXTURN_DRAW_TYPE_H
#define SIXTURN_DRAW_TYPE_H

#include <stdbool.h>

#define SX_MM_PER_POINT (25.4 / 72.0)

typedef struct SxType SxType;

typedef struct {
    double width, height, ascent; /* millimetres */
} SxExtent;

SxType *sx_type_new(void);
void sx_type_free(SxType *type);

SxExtent sx_type_measure(SxType *type, const char *text, double size, bool bold);

/* Millimetres that figures ("0") and capitals ("H") really stand above the base line. */
double sx_type_figure_height(SxType *type, double size, bool bold);
double sx_type_capital_height(SxType *type, double size, bool bold);
/* The size in points whose capitals are so many millimetres high. */
double sx_type_size_for(SxType *type, double capital_height, bool bold);

/* A copy (free with g_free) that is valid UTF-8 in one line, without control characters. */
char *sx_type_clean(const char *text);

/* A copy (free with g_free) no wider than limit millimetres, cut with an ellipsis if need be, never
 * inside a letter with its accents. */
char *sx_type_fit(SxType *type, const char *text, double size, bool bold, double limit);

/* The PangoLayout with the text set, owned by type and good until the next call. */
struct _PangoLayout *sx_type_layout(SxType *type, const char *text, double size, bool bold);

#endif
