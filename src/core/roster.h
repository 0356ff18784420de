/* A roster read from a sheet. Internal. */
#ifndef SIXTURN_CORE_ROSTER_H
#define SIXTURN_CORE_ROSTER_H

#include "core/grid.h"
#include "core/problems.h"
#include "sixturn/team.h"

/* One player as the sheet has her. */
typedef struct {
    SxPlayer player; /* id empty if the sheet gives none */
    int row;         /* of the spreadsheet */
    bool available_given, sides_given;
    unsigned skills_given, skills_wrong; /* bit SxSkill; neither: empty */
} SxRosterEntry;

typedef struct {
    int count;
    SxRosterEntry entry[SX_MAX_PLAYERS];
} SxRoster;

/* Finds the headings, reads every player, collects all problems. What can be read is read. */
void sx_roster_read(const SxGrid *grid, SxProblems *problems, SxLineList *notes, SxRoster *roster);

/* The mean of a skill over the given ones of those who share a role with the player, or over all;
 * rounded to a tenth; -1 if nobody has it. *alike: whether somebody shares a role. */
double sx_roster_estimate(const SxRoster *roster, const SxRosterEntry *entry, SxSkill skill,
                          bool *alike);

#endif
