/* What the options of sheet and report share. */
#include "cli/drawing.h"

#include <stdio.h>
#include <string.h>

SxStatus drawing_show(const char *word, SxShow *show) {
    static const char *const words[] = {"receive", "serve", "both"};
    *show = SX_SHOW_BOTH;
    for (int k = 0; word && k < 3; k++) {
        if (strcmp(word, words[k]) == 0) {
            *show = (SxShow)k;
            return SX_OK;
        }
    }
    if (word) {
        fprintf(stderr, "sixturn: --phase takes receive, serve or both, found '%s'\n", word);
        return SX_USAGE;
    }
    return SX_OK;
}

SxStatus drawing_sets(int sets, int set) {
    if (sets == 0 && set == 0) {
        return SX_OK;
    }
    if (sets == 0 || set == 0 || set > sets) {
        fputs("sixturn: --sets N and --set K go together: the K-th of N sets\n", stderr);
        return SX_USAGE;
    }
    return SX_OK;
}

SxStatus drawing_file(const char *file) {
    if (!file || !file[0]) {
        fputs("sixturn: say with -o FILE where to write (see --help)\n", stderr);
        return SX_USAGE;
    }
    return SX_OK;
}
