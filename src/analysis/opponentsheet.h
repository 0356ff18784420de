/* An opponent from a spreadsheet as a coach writes it, or from JSON. Internal. */
#ifndef SIXTURN_ANALYSIS_OPPONENTSHEET_H
#define SIXTURN_ANALYSIS_OPPONENTSHEET_H

#include "sixturn/opponent.h"

#include <stdbool.h>

/* Anything that does not begin as JSON, in a file that is not named so. */
bool sx_opponent_is_sheet(const char *text, size_t length, const char *file);
/* See sixturn/opponent.h. */
SxStatus sx_opponent_sheet(const char *text, size_t length, const char *file, SxOpponent *opponent,
                           SxError *err);
/* opponent.c */
SxStatus sx_opponent_parse_json(const char *text, size_t length, const char *file,
                                SxOpponent *opponent, SxError *err);

#endif
