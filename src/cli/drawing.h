/* What the options of sheet and report share. */
#ifndef SIXTURN_CLI_DRAWING_H
#define SIXTURN_CLI_DRAWING_H

#include "cli/options.h"

/* "receive", "serve" or "both"; NULL: both. Complains on stderr. */
SxStatus drawing_show(const char *word, SxShow *show);
/* Refuses a missing -o. Complains on stderr. */
SxStatus drawing_file(const char *file);

/* One of several sets: --sets and --set go together. */
SxStatus drawing_sets(int sets, int set);

#endif
