/* What the players and the scorer get: printed sheets (PDF, SVG, PNG) and one report page (HTML).
 *
 * Every drawing is to scale: a player's mark stands within a tenth of a millimetre of her spot, or,
 * where marks would overlap, as near to it as they can without one of them being drawn left, right,
 * in front or behind of another where it is not. The same input gives the same bytes on the same
 * machine (the fonts that are installed decide how wide a name is). */
#ifndef SIXTURN_SHEET_H
#define SIXTURN_SHEET_H

#include "sixturn/advice.h"
#include "sixturn/api.h"
#include "sixturn/changes.h"
#include "sixturn/error.h"
#include "sixturn/formation.h"
#include "sixturn/lineup.h"
#include "sixturn/outlook.h"
#include "sixturn/table.h"

SX_C_BEGIN

/* False in a library that was built without Cairo and Pango: there every rendering is SX_USAGE. */
SX_API bool sx_has_drawings(void);

typedef enum { SX_PAPER_A4, SX_PAPER_LETTER } SxPaper;

/* Which formations a page shows. */
typedef enum { SX_SHOW_RECEIVE, SX_SHOW_SERVE, SX_SHOW_BOTH } SxShow;

/* Chances between 0 and 1, by rotation 0 to 5; a NAN is left out. */
typedef struct {
    double side_out[SX_ROTATIONS];      /* we receive and win the rally */
    double break_point[SX_ROTATIONS];   /* we serve and win the rally */
    double set_receiving[SX_ROTATIONS]; /* we win the set if it starts here and we receive first */
    double set_serving[SX_ROTATIONS];   /* the same, serving first */
    const char *against;                /* "an even opponent"; NULL: not said */
} SxSheetOdds;

/* Everything a sheet shows. Borrowed pointers; nothing is changed. */
typedef struct {
    const SxProblem *problem;
    const SxLineup *lineup;
    const SxFormation *serve; /* six, by rotation; NULL: only reception is drawn */
    const SxSheetOdds *odds;  /* NULL: none */
    double margin;            /* metres asked of every order relation, as in SxFormationOptions */
    SxPaper paper;
    SxShow show;
    int rotation;             /* the pages of this rotation alone, 1 to 6; 0: summary and all six */
    int set, sets;            /* told in the titles: "set 2 of 3"; 0: not told */
    int start[SX_PHASES];     /* rotation in which the set starts: [SX_RECEIVE] they serve first,
                                 [SX_SERVE] we do */
    const SxChanges *changes; /* the planned substitutions; NULL: none are told of */
    const SxOutlook *outlook; /* when to stop them, and who plays on then; NULL: not told */
    const SxThumb *thumb;     /* rules of thumb for the whole set; NULL: none */
    const SxAdvice *advice;   /* the exchanges that they are about; only with thumb */
    int player; /* index of the one player whose card is wanted; SX_WHOLE_TEAM: the sheets for the
                   wall; SX_EVERY_CARD: the cards of all who are available, two to a page of those
                   who play, four to a page of the bench */
} SxSheet;

enum { SX_WHOLE_TEAM = -1, SX_EVERY_CARD = -2 };

/* A4, both formations, the whole team, a margin of 0.30 m, both starts those of the lineup. */
SX_API void sx_sheet_default(SxSheet *sheet, const SxProblem *problem, const SxLineup *lineup);

typedef enum { SX_FILE_PDF, SX_FILE_SVG, SX_FILE_PNG } SxSheetFile;

/* By the ending of the name (.pdf, .svg, .png in any case). SX_USAGE for any other. */
SX_API SxStatus sx_sheet_file_kind(const char *file, SxSheetFile *kind, SxError *err);

/* The sheets as a file in memory, to be released with free(). SX_USAGE for a player who is not in
 * the team, or if only the serve is to be shown and there are no serve formations. PDF has one page
 * a sheet; SVG and PNG hold the pages one below the other. */
SX_API SxStatus sx_sheet_render(const SxSheet *sheet, SxSheetFile kind, char **bytes, size_t *size,
                                SxError *err);

/* Renders by the file's ending and writes it whole or not at all. SX_USAGE for an unknown ending,
 * SX_NO_WRITE if it cannot be written. */
SX_API SxStatus sx_sheet_write(const SxSheet *sheet, const char *file, SxError *err);

typedef struct {
    SxSheet sheet; /* paper and player are of no account here */
    int table_count;
    const SxTable *tables; /* what-if answers: absences, setters, systems, odds */
} SxHtml;

/* One self-contained HTML page in memory, to be released with free(). SX_USAGE as above. */
SX_API SxStatus sx_html_render(const SxHtml *report, char **bytes, size_t *size, SxError *err);

/* The same into a file, whole or not at all. */
SX_API SxStatus sx_html_write(const SxHtml *report, const char *file, SxError *err);

SX_C_END

#endif
