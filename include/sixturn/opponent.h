/* What a coach knows of the opponent ("sixturn-opponent-1"): six ratings for each of their
 * rotations, or once for all of them. */
#ifndef SIXTURN_OPPONENT_H
#define SIXTURN_OPPONENT_H

#include "sixturn/api.h"
#include "sixturn/rally.h"

SX_C_BEGIN

typedef struct {
    char name[SX_NAME_SIZE];
    int rotations_told; /* 1: all rotations alike; 6 */
    bool even;          /* sx_even_opponent made it */
    SxSide rotation[SX_ROTATIONS];
} SxOpponent;

/* Average in everything. */
SX_API void sx_opponent_average(SxOpponent *opponent);

/* As good as our own squad at its best, the same in all six rotations: the yardstick of everything.
 * From the squad alone, all players, available or not; so it stays while plans, systems, injuries
 * and starts are compared. It is the seven who are worth most together, each in one place: a
 * setter, two outsides, two middles, an opposite, and a libero (else a specialist, else nobody).
 *   passing    mean of the outsides and the libero (without one the opposite or the middles)
 *   setting    the setter
 *   attacking  as the balls go at this level of play, setter in front half of the time
 *   blocking   by lane: outsides, middles, setter and opposite half each
 *   serving    mean of the six
 *   digging    the back row while serving, the libero in for a middle who does not serve
 * Attacking, blocking and setting count with the fitness for the place; connections do not count.
 * A place for which nobody has the role goes to the best of the others, as if fit for it. Ties: the
 * lower shirt numbers. A team of fewer than six is average. */
SX_API void sx_even_opponent(const SxTeam *team, const SxRallyModel *model, SxOpponent *opponent);

/* JSON, or a sheet (CSV, .xlsx, .ods; not named .json): a heading and six rows, in any order, with
 * the columns rotation (1 to 6, each once) and some of the six skills, for the six as they stand in
 * that rotation: serving of its server, blocking of its front row, and so on. A grade is a word
 * (poor 2, weak 3.5, fair 5, good 6.5, strong 8, superb 9.5; invented) or a rating from 0 to 10;
 * a skill that is left out or empty is average. Other columns are ignored but "team", their name.
 */
SX_API SxStatus sx_opponent_parse(const char *text, size_t length, const char *file,
                                  SxOpponent *opponent, SxError *err);
SX_API SxStatus sx_opponent_read(const char *file, SxOpponent *opponent, SxError *err);

SX_C_END

#endif
