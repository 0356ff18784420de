/* Text of at most 80 columns, and JSON values, that the reports share. Internal. */
#ifndef SIXTURN_REPORT_LINES_H
#define SIXTURN_REPORT_LINES_H

#include "core/numbers.h"
#include "core/stream.h"
#include "sixturn/bestset.h"
#include "sixturn/difference.h"
#include "sixturn/lineup.h"

#include <cjson/cJSON.h>
#include <stdio.h>

enum { LINE_WIDTH = 80, LINES_TEXT = 4096 };

typedef struct {
    FILE *out; /* NULL when memory ran out */
    SxStream stream;
    locale_t locale; /* the caller's; numbers are plain until sx_lines_close */
} Lines;

bool sx_lines_open(Lines *page);
/* The text, to be freed with free(); NULL when memory ran out. */
char *sx_lines_close(Lines *page);

/* A value as it is printed with so many decimals, so that nothing prints as -0.0. */
double sx_plain_value(double value, int decimals);

/* Columns that a UTF-8 text takes, a character each. */
int sx_lines_columns(const char *text);
/* A text in a field of so many columns, cut at a character if it must be. */
void sx_lines_field(FILE *out, const char *text, int width);
/* A paragraph, wrapped between words; lines after the first are indented by `indent`. */
void sx_lines_wrap(FILE *out, int first_indent, int indent, const char *text);

/* The same for a line whose blanks at its head and between words stay as they are. */
void sx_lines_wrap_spaced(FILE *out, const char *line, int indent);

/* A formatted paragraph, for lines that hold names. */
void sx_lines_line(FILE *out, const char *format, ...) __attribute__((format(printf, 2, 3)));

/* Text that grows in a fixed buffer; what does not fit is cut. */
typedef struct {
    char text[LINES_TEXT];
    size_t used;
} Phrase;
void sx_phrase_add(Phrase *phrase, const char *format, ...) __attribute__((format(printf, 2, 3)));

/* What counts, in words: as sx_part_name, and "moving" for what the formation costs. */
const char *sx_part_word(SxPart part);
/* Marks whose ratings are partly estimates; see sx_lines_estimated. */
const char *sx_estimated_mark(const SxPlayer *player);
/* Who of these is rated by estimates, and in what: nothing if nobody is. */
void sx_lines_estimated(FILE *out, const SxTeam *team, const bool told[SX_MAX_PLAYERS]);

/* "#7 Ida Holm" */
void sx_phrase_player(Phrase *phrase, const SxTeam *team, int player);
/* Shirt numbers of one or two players: "6", "6 and 8" */
void sx_phrase_numbers(Phrase *phrase, const SxTeam *team, const int *player, int count);
/* "rotation 2", "rotations 1, 4 and 5", "all rotations" */
void sx_phrase_rotations(Phrase *phrase, unsigned rotations);
/* "swaps the outsides #5 A and #8 B; #15 C is libero instead of #2 D"; "" if nothing moves. */
void sx_phrase_moves(Phrase *phrase, const SxTeam *team, const SxDifference *difference);
/* "+0.31 attack in rotations 1 and 4; -0.42 pass in rotation 2": at most so many terms. */
void sx_phrase_terms(Phrase *phrase, const SxDifference *difference, int most);
/* Shirt numbers of slots 0 to 5, back/front where two share a place, then the liberos: "6 5 4 7/8 9
 * 3 L2". */
/* "51.3" sets of 100 or "20.964" points, as the problem's goal is. */
void sx_phrase_value(Phrase *phrase, const SxProblem *problem, double value);
/* "sets of 100" or "points", and with how many decimals they are told. */
/* What is known of a lineup that was not proven in time, behind its name: one was found, and no
 * such lineup has more than the bound (infinity: not known). */
void sx_phrase_unproven(Phrase *phrase, const SxProblem *problem, bool found, double bound);
/* The same as members "found" (unless NAN) and "at_most". */
void sx_json_unproven(cJSON *object, double found, double bound);
/* That a lineup is only the best so far, and what more is possible; nothing for a proven one. */
void sx_lines_unproven(FILE *out, const SxProblem *problem, const SxLineup *lineup);
/* That a lineup wins what it does by making none of its substitutions, if it does. */
void sx_lines_plays_on(FILE *out, int indent, const SxLineup *lineup);
const char *sx_value_unit(const SxProblem *problem);
int sx_value_decimals(const SxProblem *problem);

void sx_phrase_order(Phrase *phrase, const SxProblem *problem, const SxLineup *lineup);

/* The closing note under every report. */
void sx_lines_caution(FILE *out);

/* Shared pieces of JSON. */
double sx_json_metres(double metres); /* without what decimal fractions lose in binary */
void sx_json_player(cJSON *parent, const char *key, const SxTeam *team,
                    int player); /* id or null */
void sx_json_players(cJSON *parent, const char *key, const SxTeam *team, const int *players,
                     int count);
/* score, order, libero, weak_rotation, parts (means) and rotations (scores) of a lineup */
void sx_json_lineup(cJSON *parent, const SxProblem *problem, const SxLineup *lineup);
void sx_json_difference(cJSON *parent, const char *key, const SxProblem *problem,
                        const SxDifference *difference);
/* Prints and deletes the tree; NULL when memory ran out. */
char *sx_json_finish(cJSON *root);

/* Mean of a part over the rotations, by how often each is played. */
double sx_mean_part(const SxLineup *lineup, SxPart part);

#endif
