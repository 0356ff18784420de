/* What the pages share: foot, names, and the plan in short phrases. */
#include "draw/halfcourt.h"
#include "draw/pages.h"
#include "draw/words.h"
#include "sixturn/bestset.h"
#include "sixturn/sentences.h"

#include <glib.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

const double sx_page_edge = 10;

const double sx_wall_number = 18, sx_wall_name = 8;
static const SxFont foot_font = {.size = 7, .ink = SX_INK_SOFT};

double sx_page_foot(const SxStudio *studio, SxPage *page) {
    const double spare = 1.1; /* lines end where words do */
    SxFont font = foot_font;
    font.limit = page->width - 2 * sx_page_edge;
    char *words = sx_foot_words(studio->sheet);
    SxExtent extent = sx_type_measure(studio->scene->type, words, font.size, false);
    double lines = ceil(extent.width * spare / font.limit);
    double foot = page->height - sx_page_edge - lines * extent.height;
    sx_draw_paragraph(studio->scene, page, NULL, sx_page_edge, foot, words, font);
    g_free(words);
    return foot - 2;
}

char *sx_passer_list(const SxSheet *sheet, int rotation) {
    const SxFormation *formation = sx_sheet_formation(sheet, rotation, SX_RECEIVE);
    GString *text = g_string_new(NULL);
    int left = sx_count_members(sheet->lineup->rotation[rotation].passers);
    for (int lane = 0; formation && lane < SX_SLOTS; lane++) {
        for (int s = 0; s < SX_SLOTS; s++) {
            if (!sx_sheet_passes(sheet, rotation, SX_RECEIVE, s) || formation->lane[s] != lane) {
                continue;
            }
            int player = sx_on_court(sheet->lineup, rotation, SX_RECEIVE, s);
            const char *joint = text->len == 0 ? "" : left == 1 ? " and " : ", ";
            g_string_append_printf(text, "%s%d", joint,
                                   sheet->problem->team->players[player].number);
            left--;
        }
    }
    return g_string_free(text, FALSE);
}

char *sx_worth_words(const SxSheet *sheet) {
    const SxLineup *lineup = sheet->lineup;
    const bool proven = lineup->proof == SX_OPTIMAL;
    GString *text = g_string_new(NULL);
    if (sheet->problem->against && lineup->win > 0) {
        g_string_append_printf(text, "Wins %.1f of 100 sets against %s", SX_SETS * lineup->win,
                               sheet->problem->against->opponent->name);
        g_string_append_printf(text, proven ? ", proven best" : ", at most %.1f below the best",
                               SX_SETS * (lineup->win_bound - lineup->win));
    } else {
        g_string_append_printf(text, "Score %.2f", lineup->score);
        g_string_append_printf(text, proven ? ", proven best" : ", at most %.2f below the best",
                               lineup->gap);
    }
    g_string_append(text, sheet->sets ? " with the playing time of this set." : ".");
    return g_string_free(text, FALSE);
}

char *sx_percent(double chance) {
    return isnan(chance) ? g_strdup("\xe2\x80\x93")
                         : g_strdup_printf("%.0f\xc2\xa0%%", 100 * chance);
}

char *sx_libero_cell(const SxSheet *sheet, int rotation, SxPhase phase) {
    const SxRotation *r = &sheet->lineup->rotation[rotation];
    if (r->libero < 0 || r->libero_slot < 0 ||
        sx_on_court(sheet->lineup, rotation, phase, r->libero_slot) != r->libero) {
        return g_strdup("\xe2\x80\x93");
    }
    const SxPlayer *players = sheet->problem->team->players;
    int out = sx_slot_player(sheet->lineup, rotation, r->libero_slot);
    bool serves = phase == SX_SERVE && sx_position(r->libero_slot, rotation) == 1;
    return g_strdup_printf("%d for %d%s", players[r->libero].number, players[out].number,
                           serves ? ", serves" : "");
}

char *sx_substitution_lines(const SxSheet *sheet) {
    const SxLineup *lineup = sheet->lineup;
    const SxPlayer *players = sheet->problem->team->players;
    GString *text = g_string_new(NULL);
    for (int turn = 1; turn <= SX_ROTATIONS; turn++) {
        int r = (lineup->start + turn) % SX_ROTATIONS;
        for (int s = 0; s < SX_SLOTS; s++) {
            SxSwitch change = sx_switch_into(lineup, r, s);
            if (change.in != SX_NOBODY) {
                g_string_append_printf(text, "Into rotation %d: %d in for %d%s\n", r + 1,
                                       players[change.in].number, players[change.out].number,
                                       change.serves ? ", to serve" : ", to the front row");
            }
        }
    }
    return g_string_free(text, FALSE);
}

/* "Then play: 6 5 9 7 12 4." */
static void add_who_plays_on(GString *text, const SxSheet *sheet, const SxAfterLimit *after) {
    g_string_append(text, " Then these play:");
    for (int s = 0; s < SX_SLOTS; s++) {
        int player = after->six[(s + after->turn) % SX_SLOTS];
        g_string_append_printf(text, " %d", sheet->problem->team->players[player].number);
    }
    g_string_append_c(text, '.');
}

char *sx_stop_line(const SxSheet *sheet) {
    const SxChanges *changes = sheet->changes;
    const SxOutlook *outlook = sheet->outlook;
    char times[SX_ORDINAL_SIZE];
    if (!changes || changes->end == SX_ENDS_NEVER) {
        return g_strdup("");
    }
    if (!outlook || !outlook->after[SX_RECEIVE].found || !outlook->after[SX_SERVE].found) {
        return g_strdup_printf("No more than %d in a set: none into rotation %d the %s time round.",
                               changes->count, changes->end_rotation + 1,
                               sx_ordinal(changes->end_cycle + 1, times, sizeof times));
    }
    GString *text = g_string_new(NULL);
    char *words = sx_stop_words(outlook);
    g_string_append(text, words);
    g_free(words);
    const SxAfterLimit *after = outlook->after;
    if (after[0].turn == after[1].turn &&
        memcmp(after[0].six, after[1].six, sizeof after[0].six) == 0) {
        add_who_plays_on(text, sheet, &after[0]);
    }
    return g_string_free(text, FALSE);
}

int sx_phases_shown(const SxSheet *sheet, SxPhase *phases) {
    int count = 0;
    if (sheet->show != SX_SHOW_SERVE) {
        phases[count++] = SX_RECEIVE;
    }
    if (sheet->show != SX_SHOW_RECEIVE && sheet->serve) {
        phases[count++] = SX_SERVE;
    }
    return count;
}

const char *const sx_phase_title[SX_PHASES] = {"They serve", "We serve"};

char *sx_people(const SxStudio *studio, int rotation, SxPhase phase) {
    const SxSheet *sheet = studio->sheet;
    GString *text = g_string_new(NULL);
    for (int s = 0; s < SX_SLOTS; s++) {
        int player = sx_on_court(sheet->lineup, rotation, phase, s);
        SxRole role = sx_sheet_role(sheet, rotation, phase, s);
        g_string_append_printf(text, "%s%d %s in %s%s", s ? "; " : "",
                               sheet->problem->team->players[player].number, sx_role_name(role),
                               sx_roman(sx_position(s, rotation)),
                               sx_sheet_passes(sheet, rotation, phase, s) ? ", passes" : "");
    }
    return g_string_free(text, FALSE);
}

double sx_draw_high(const SxStudio *studio, SxPage *page, const char *id, double x, double y,
                    const char *words, double capitals, double limit) {
    SxFont font = {.size = sx_type_size_for(studio->scene->type, capitals, true),
                   .bold = true,
                   .ink = SX_INK_DARK,
                   .limit = limit};
    return y + sx_page_item(page, sx_draw_text(studio->scene, page, id, x, y, words, font))->box.h;
}

double sx_draw_name(const SxStudio *studio, SxPage *page, const char *id, double x, double y,
                    int player, double limit) {
    char *words = g_strdup_printf("%d %s%s", studio->sheet->problem->team->players[player].number,
                                  sx_estimate_mark(studio->sheet, player), studio->name[player]);
    y = sx_draw_high(studio, page, id, x, y, words, sx_wall_name, limit);
    g_free(words);
    return y;
}
