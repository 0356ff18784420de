/* The list of commands, in the order in which a coach meets them. */
#include "cli/commands.h"

#include <stddef.h>

const Command commands[] = {
    {"plan", "the best starting order, passers and receive formations", cmd_plan},
    {"template", "a team to start from, with a guide", cmd_template},
    {"import", "a team file from a spreadsheet", cmd_import},
    {"explain", "what can be written in the files, with examples", cmd_explain},
    {"check", "is a drawn formation legal, and how close are the calls?", cmd_check},
    {"mend", "the smallest change that makes a drawn formation legal", cmd_mend},
    {"receive", "what else to do in a rotation when they serve, at what price", cmd_receive},
    {"odds", "the odds of the set by start, and whether the substitutions last", cmd_odds},
    {"moment", "the best substitution at this score, or a card for the bench", cmd_moment},
    {"fit", "how often we win the rally in each rotation, from our log", cmd_fit},
    {"rank", "the best different orders, and how sure their order is", cmd_rank},
    {"absent", "what the team loses without each player", cmd_absent},
    {"setters", "every setter, or pair of setters, with the best lineup", cmd_setters},
    {"systems", "the best lineup under each playing system", cmd_systems},
    {"versus", "two lineups side by side", cmd_versus},
    {"worth", "what a skill is worth, and what is missing to a place", cmd_worth},
    {"sheet", "drawings for the wall, the scorer and each player", cmd_sheet},
    {"report", "one page with drawings, tables and what-if answers", cmd_report},
    {"page", "all of this in one HTML file, for a phone", cmd_page},
    {NULL, NULL, NULL},
};
