/* A team to start from, and a guide to filling it in. */
#include "sixturn/template.h"

#include "sixturn/import.h"

#include <stdlib.h>
#include <string.h>

/* Two setters, four outsides, three middles, two opposites and a libero can field every system. */
static const char sheet[] =
    "number,name,roles,passing,setting,attacking,blocking,serving,digging,available,sides\n"
    "1,Player One,setter,5,5,5,5,5,5,yes,\n"
    "2,Player Two,setter,5,5,5,5,5,5,yes,\n"
    "3,Player Three,outside,5,5,5,5,5,5,yes,\n"
    "4,Player Four,outside,5,5,5,5,5,5,yes,\n"
    "5,Player Five,outside,5,5,5,5,5,5,yes,\n"
    "6,Player Six,outside/opposite,5,5,5,5,5,5,yes,left right\n"
    "7,Player Seven,middle,5,5,5,5,5,5,yes,\n"
    "8,Player Eight,middle,5,5,5,5,5,5,yes,\n"
    "9,Player Nine,middle,5,5,5,5,5,5,yes,\n"
    "10,Player Ten,opposite,5,5,5,5,5,5,yes,\n"
    "11,Player Eleven,opposite/middle,5,5,5,5,5,5,yes,\n"
    "12,Player Twelve,libero,5,5,5,5,5,5,yes,\n";

static const char guide[] =
    "How to fill in the team\n"
    "=======================\n\n"
    "A row (or, in a team file, an entry of \"players\") for each player; at least six,\n"
    "at most 64. Add, remove and reorder rows as you like.\n\n"
    "number     Her shirt, 0 to 99, each only once.\n"
    "name       As it shall be printed.\n"
    "roles      What she can play, one or more: setter, outside, middle, opposite,\n"
    "           libero, specialist (plays in the back row only). In a sheet with a\n"
    "           '/' between them, and short forms do: S, OH, MB, OPP, L, DS. In a\n"
    "           team file {\"outside\": 1, \"opposite\": 0.7} says that she plays the\n"
    "           second role seven tenths as well.\n"
    "passing, setting, attacking, blocking, serving, digging\n"
    "           From 0 to 10, your own opinion: 5 is an average player of your level,\n"
    "           10 the best there is in it, 0 somebody who never does it. Halves and\n"
    "           tenths are welcome. What counts is the difference between players, so\n"
    "           go through the team skill by skill rather than player by player. A\n"
    "           cell left empty is estimated from others with her role, and marked.\n"
    "available  no: she cannot play now. Left out or empty: she can.\n"
    "sides      (in a team file \"attacks_from\") where she usually attacks: left,\n"
    "           centre, right. Left out or empty: outsides left, middles centre,\n"
    "           opposites and setters right.\n\n"
    "A sheet becomes a team file, and brings one up to date later:\n\n"
    "  sixturn import SHEET -o TEAM.json\n"
    "  sixturn import SHEET --into TEAM.json\n\n"
    "Then ask:\n\n"
    "  sixturn plan TEAM.json\n\n"
    "Wishes (who must play, who never passes, ...) and the connections of setters and\n"
    "hitters are listed by: sixturn explain wishes\n\n"
    "Ratings are opinions, and sixturn is exact about them only. It is no medical\n"
    "advice: who plays after an injury is for the medical staff to say.\n";

static SxStatus copy(const char *from, char **text, SxError *err) {
    *text = malloc(strlen(from) + 1);
    if (!*text) {
        return sx_out_of_memory(err);
    }
    memcpy(*text, from, strlen(from) + 1);
    return SX_OK;
}

SxStatus sx_template_sheet(char **text, SxError *err) {
    return copy(sheet, text, err);
}

SxStatus sx_template_guide(char **text, SxError *err) {
    return copy(guide, text, err);
}

SxStatus sx_template_team(char **text, SxError *err) {
    const SxImportOptions options = {.team_name = "Our team", .strict = true};
    SxImported made;
    SxStatus status = sx_import_roster(sheet, strlen(sheet), "the template", &options, &made, err);
    if (status == SX_OK) {
        *text = made.json;
        made.json = NULL;
    }
    sx_imported_free(&made);
    return status;
}
