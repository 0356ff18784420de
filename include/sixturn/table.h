/* A table of words, as a page shows it. */
#ifndef SIXTURN_TABLE_H
#define SIXTURN_TABLE_H

#include "sixturn/api.h"

SX_C_BEGIN

/* Row 0 names the columns, column 0 names the rows. */
typedef struct {
    const char *title;
    const char *note; /* a sentence below, or NULL */
    int rows, columns;
    const char *const *cells; /* rows * columns strings, row by row */
} SxTable;

SX_C_END

#endif
