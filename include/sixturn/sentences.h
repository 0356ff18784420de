/* Single facts as words for a coach: a change, a step of the libero, a finding. */
#ifndef SIXTURN_SENTENCES_H
#define SIXTURN_SENTENCES_H

#include "sixturn/advice.h"
#include "sixturn/api.h"
#include "sixturn/changes.h"
#include "sixturn/drawn.h"
#include "sixturn/libero.h"
#include "sixturn/outlook.h"

SX_C_BEGIN

/* "first", "second", ... "13th". Returns text. */
enum { SX_ORDINAL_SIZE = 16 };
SX_API char *sx_ordinal(int number, char *text, size_t size);

/* "Into rotation 4, first time round: #12 for #7 (left front)". Returns text. */
SX_API char *sx_change_text(const SxChange *change, const SxTeam *team, char *text, size_t size);

/* When to stop the planned substitutions, sentences: "Make the first 6, then stop and play on as
 * 5-1-outside." By the score where that wins something to speak of: "Make the first 6, 7 and 8
 * unless you lead by 5 or more, then stop and play on as 5-1-outside." Returns text. */
enum { SX_STOPPING_SIZE = 640 };
SX_API char *sx_stopping_text(const SxStopping *stopping, const SxAfterLimit *after, char *text,
                              size_t size);
/* The same for both who may serve first, with a way to play on found for each. Are they alike? */
SX_API bool sx_stopping_texts(const SxOutlook *outlook, char text[SX_PHASES][SX_STOPPING_SIZE]);

/* "Rotation 2, receiving: libero #1 comes in for #12 (right back)" - shirt numbers of the lineup's
 * players. Returns text. */
SX_API char *sx_libero_step_text(const SxLiberoStep *step, const SxLineup *lineup,
                                 const SxTeam *team, char *text, size_t size);

/* "Rotation 2, receive" with the label in front, if there is one. Returns text. */
SX_API char *sx_drawn_title(const SxDrawn *drawn, char *text, size_t size);

/* One finding as a sentence without its full stop: "number 12, middle back, is 12 cm nearer the net
 * than number 7, middle front". Returns text. */
SX_API char *sx_finding_text(const SxFinding *finding, const SxDrawn *drawn, double margin,
                             char *text, size_t size);

/* "12 cm", "1.50 m". Returns text. */
SX_API char *sx_length_text(double metres, char *text, size_t size);

/* "12 for 9 to serve; 4 back for 3": exchanges of the advice by their bits; "nobody changes" for
 * none. Returns text. */
SX_API char *sx_move_text(const SxAdvice *advice, const SxTeam *team, unsigned make, unsigned undo,
                          char *text, size_t size);

/* "12 for 9 to serve: in rotation 3 when we serve and lead or trail by at most 4"; "4 back for 15,
 * then the libero for 4: ..." where the lineup has it so. Returns text. */
SX_API char *sx_thumb_rule_text(const SxAdvice *advice, const SxTeam *team, const SxLineup *lineup,
                                const SxThumbRule *rule, char *text, size_t size);

/* What rules of thumb keep of best play, a sentence. Returns text. */
SX_API char *sx_thumb_worth_text(const SxThumb *card, char *text, size_t size);

/* A word for programs: "order", "near", "outside", ... */
SX_API const char *sx_finding_word(SxFindingKind kind);

SX_C_END

#endif
