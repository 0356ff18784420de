/* Rallies one after the other, as both kinds of log read them. Internal. */
#ifndef SIXTURN_ANALYSIS_RALLIES_H
#define SIXTURN_ANALYSIS_RALLIES_H

#include "sixturn/rallylog.h"

#include <stdbool.h>

/* How a rally starts; rotations 0 to 5, theirs SX_UNSEEN if nobody noted it. */
typedef struct {
    int ours, theirs;
    SxPhase phase;
} SxServing;

enum { SX_UNSEEN = -1 };

/* Who won serves next; a team that won as receivers has rotated (FIVB 6.1.3, 7.6.2). */
SxServing sx_serving_after(const SxServing *serving, bool won);
void sx_log_count(SxRallyLog *log, const SxServing *serving, bool won);
void sx_log_gap(SxRallyLog *log, const SxLogGap *gap);

/* Sets in letters: a text that is no sheet, since nothing in it parts fields. */
bool sx_is_lettered(const char *text, size_t length);
SxStatus sx_letters_parse(const char *text, size_t length, const char *file, SxRallyLog *log,
                          SxError *err);

#endif
