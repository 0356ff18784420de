/* The words that people use in sheets for what sixturn reads. Internal. */
#ifndef SIXTURN_CORE_WORDS_H
#define SIXTURN_CORE_WORDS_H

#include "sixturn/court.h"

#include <stddef.h>

enum { SX_FOLDED_SIZE = 48 };

/* A word as it is compared: small letters and digits only, up to a "(" that follows. */
char *sx_fold(const char *word, char folded[SX_FOLDED_SIZE]);

/* One meaning and all its words, folded, with '|' between them: "number|no|nr|jersey". */
typedef struct {
    const char *name; /* ours, for messages */
    const char *words;
} SxMeaning;

/* The meaning of a word among them, -1 if it has none. */
int sx_meaning(const char *word, const SxMeaning *meanings, int count);
/* The name of the meaning nearest in spelling, NULL if none is near. */
const char *sx_nearest_meaning(const char *word, const SxMeaning *meanings, int count);

/* Roles in any case, singular or plural, short forms, with , / + ; & or spaces between them.
 * A bit for each SxRole; 0 if a word is none: it is copied into wrong, and *nearest is what may
 * have been meant (or NULL). */
unsigned sx_roles_of(const char *text, char wrong[SX_FOLDED_SIZE], const char **nearest);
/* The same for sides: left, centre, right. A bit for each SxLane. */
unsigned sx_sides_of(const char *text, char wrong[SX_FOLDED_SIZE], const char **nearest);

#endif
