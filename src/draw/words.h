/* What a sheet says of its formations, in words. */
#ifndef SIXTURN_DRAW_WORDS_H
#define SIXTURN_DRAW_WORDS_H

#include "draw/studio.h"

const char *sx_third_of_floor(SxSpot spot); /* "left front", "middle back", ... */
/* NULL if the sheet has no such formation. */
const SxFormation *sx_sheet_formation(const SxSheet *sheet, int rotation, SxPhase phase);
SxRole sx_sheet_role(const SxSheet *sheet, int rotation, SxPhase phase, int slot);
/* Where she runs first. */
SxSpot sx_sheet_task(const SxSheet *sheet, int rotation, SxPhase phase, int slot);
SxSpot sx_sheet_base(const SxSheet *sheet, int rotation, int slot);
/* A player who passes in this rotation, by slot. */
bool sx_sheet_passes(const SxSheet *sheet, int rotation, SxPhase phase, int slot);
/* True if the order relation holds with no more than a centimetre to spare and binds at all. */
bool sx_sheet_binds(const SxSheet *sheet, int rotation, SxPhase phase, int pair);
/* The relation as an order to one of the two: "stay right of 7". Returns the slot it is said to:
 * `listener` if she is one of the two, else the one who is more likely to forget it. */
int sx_sheet_order(const SxSheet *sheet, int rotation, SxPhase phase, int pair, int listener,
                   char *text, size_t size);
/* What the player does in the rotation, in sentences. Free with g_free. */
char *sx_sheet_instructions(const SxStudio *studio, int rotation, SxPhase phase, int player);
/* The planned substitution as the team comes into the rotation: SX_NOBODY if there is none. */
typedef struct {
    int in, out; /* players */
    bool serves; /* else she goes to the front row */
} SxSwitch;
SxSwitch sx_switch_into(const SxLineup *lineup, int rotation, int slot);
/* "Set 2", or "" where there is one set only; then what follows. Free with g_free. */
char *sx_set_words(const SxSheet *sheet, const char *follows);
/* "The set starts in rotation 2 if they serve first, in rotation 4 if we do." Free with g_free. */
char *sx_start_words(const SxSheet *sheet);
/* When planned substitutions end, whoever serves first; a way to play on is found for both. Free
 * with g_free. */
char *sx_stop_words(const SxOutlook *outlook);
/* How a player begins, whom she replaces and when; whom she could replace, from the bench. Free
 * with g_free. */
char *sx_card_words(const SxStudio *studio, int player);
/* "outside for 7 or 9, libero": what somebody on the bench covers. Free with g_free. */
char *sx_cover_words(const SxSheet *sheet, int player);
/* The slot in which the player stands on court, -1 if she does not. */
int sx_sheet_slot_of(const SxSheet *sheet, int rotation, SxPhase phase, int player);
/* Not to be had for this match: not available, or told to sit. */
bool sx_is_out(const SxSheet *sheet, int player);
/* On court in any rotation and phase. */
bool sx_ever_plays(const SxSheet *sheet, int player);
/* "~" in front of the name of somebody whose ratings are partly estimates. */
const char *sx_estimate_mark(const SxSheet *sheet, int player);
extern const char sx_sheet_caution[];
/* The caution, after what "~" means if anybody bears it. Free with g_free. */
char *sx_foot_words(const SxSheet *sheet);

#endif
