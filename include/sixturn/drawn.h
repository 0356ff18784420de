/* Formations that a coach draws, as a formation file ("sixturn-formation-1") gives them.
 *
 * The file holds one formation, or {"format": ..., "rules": ..., "formations": [...]}. A formation:
 *   "label"    a text (optional)
 *   "rules"    a rule profile, id or file (optional; else that of the whole file, else empty)
 *   "rotation" 1 to 6, and "order": six shirt numbers, who serves in rotation 1, 2, ... (both or
 *              neither; without them every player needs a position)
 *   "phase"    "receive" or "serve"
 *   "server"   shirt number of the one who serves ("serve" only; else whoever is in position 1)
 *   "liberos"  shirt numbers of the team's liberos, at most two (optional)
 *   "players"  six of {"number", "name" (optional), "position" 1 to 6 (not needed with an order),
 *              "x", "y" in metres, "reach" in metres (optional, 0), "for": the shirt number in the
 *              order whom this libero or substitute stands in for (optional)} */
#ifndef SIXTURN_DRAWN_H
#define SIXTURN_DRAWN_H

#include "sixturn/api.h"
#include "sixturn/error.h"
#include "sixturn/legality.h"
#include "sixturn/team.h"

SX_C_BEGIN

enum { SX_MAX_DRAWN = 1000, SX_DRAWN_LIBEROS = 2 };

typedef struct {
    int number;              /* shirt */
    int stands_for;          /* shirt in the order, SX_NOBODY if she stands for herself */
    char name[SX_NAME_SIZE]; /* or empty */
} SxDrawnPlayer;

typedef struct {
    char label[SX_NAME_SIZE];                    /* or empty */
    char rules[SX_ERROR_FILE];                   /* or empty */
    int rotation;                                /* 0 to 5, -1 if not given */
    int order[SX_SLOTS];                         /* shirt numbers by slot; only if rotation >= 0 */
    int libero_count, liberos[SX_DRAWN_LIBEROS]; /* shirt numbers */
    SxDrawnPlayer player[SX_POSITIONS];          /* by position - 1 */
    SxStance stance;                             /* player and due are shirt numbers */
} SxDrawn;

typedef struct {
    int count;
    bool list;          /* the file holds a list of formations */
    SxDrawn *formation; /* owned */
} SxDrawnFile;

/* Both write *out only when they succeed; free it with sx_drawn_free. */
SX_API SxStatus sx_drawn_parse(const char *text, size_t length, const char *file, SxDrawnFile *out,
                               SxError *err);
SX_API SxStatus sx_drawn_read(const char *file, SxDrawnFile *out, SxError *err);
SX_API void sx_drawn_free(SxDrawnFile *drawn);

/* The file's text again, with the spots as they are now (metres, whole centimetres where they are).
 * Free with free(); NULL if out of memory. */
SX_API char *sx_drawn_write(const SxDrawnFile *drawn);

/* Position 1 to 6 of the player with this shirt number, 0 if she is not on court. */
SX_API int sx_drawn_find(const SxDrawn *drawn, int number);

SX_C_END

#endif
