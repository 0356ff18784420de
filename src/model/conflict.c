/* Why there is no lineup. */
#include "model/conflict.h"

#include "model/smallest.h"
#include "sixturn/eligible.h"

#include <limits.h>
#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* --- text ---------------------------------------------------------------------------------------
 */

typedef struct {
    char text[SX_ERROR_MESSAGE];
    size_t used;
} Text;

static void say(Text *text, const char *format, ...) __attribute__((format(printf, 2, 3)));

static void say(Text *text, const char *format, ...) {
    va_list args;
    va_start(args, format);
    if (text->used < sizeof text->text) {
        int wrote =
            vsnprintf(text->text + text->used, sizeof text->text - text->used, format, args);
        text->used += wrote > 0 ? (size_t)wrote : 0;
    }
    va_end(args);
}

/* --- shortages ----------------------------------------------------------------------------------
 */

enum { MAX_PLACES = SX_SLOTS * SX_ROWS };

typedef struct {
    int slot[MAX_PLACES];
    SxRow row[MAX_PLACES];
    bool can[MAX_PLACES][SX_MAX_PLAYERS];
    int count;
} Places;

static void list_places(const SxProblem *problem, const bool *sits, Places *places) {
    memset(places, 0, sizeof *places);
    for (int s = 0; s < SX_SLOTS; s++) {
        /* a shared slot may be held by one player in both rows, so it needs only one */
        int rows = problem->system->split[s] ? SX_ROWS : 1;
        for (int row = 0; row < rows; row++) {
            int at = places->count++;
            places->slot[at] = s;
            places->row[at] = (SxRow)row;
            for (int p = 0; p < problem->team->player_count; p++) {
                places->can[at][p] = !sits[p] && sx_can_fill(problem, p, s, (SxRow)row);
            }
        }
    }
}

static int neighbours(const Places *places, unsigned set, int players, bool *who) {
    int count = 0;
    for (int p = 0; p < players; p++) {
        who[p] = false;
        for (int k = 0; k < places->count; k++) {
            who[p] |= (set >> k & 1) && places->can[k][p];
        }
        count += who[p];
    }
    return count;
}

/* By Hall's theorem places can be filled unless some set of them has too few candidates: the
 * smallest such set, or 0. */
static unsigned short_places(const Places *places, int players) {
    unsigned found = 0;
    bool who[SX_MAX_PLAYERS];
    for (unsigned set = 1; set < 1u << places->count; set++) {
        if ((!found || sx_count_members(set) < sx_count_members(found)) &&
            neighbours(places, set, players, who) < sx_count_members(set)) {
            found = set;
        }
    }
    return found;
}

static void say_roles(Text *text, const SxProblem *problem, const Places *places, unsigned set) {
    int needed[SX_ROLE_COUNT] = {0};
    for (int k = 0; k < places->count; k++) {
        if (set >> k & 1) {
            needed[problem->system->duty[places->slot[k]][places->row[k]].role]++;
        }
    }
    const char *separator = "";
    for (int role = 0; role < SX_ROLE_COUNT; role++) {
        if (needed[role]) {
            say(text, "%s%d %s%s", separator, needed[role], sx_role_name((SxRole)role),
                needed[role] > 1 ? "s" : "");
            separator = " and ";
        }
    }
}

static void say_player(Text *text, const SxTeam *team, int p) {
    say(text, "#%d %s", team->players[p].number, team->players[p].name);
}

static void say_players(Text *text, const SxTeam *team, const bool *who) {
    const char *separator = "";
    for (int p = 0; p < team->player_count; p++) {
        if (who[p]) {
            say(text, "%s", separator);
            say_player(text, team, p);
            separator = ", ";
        }
    }
}

/* Players who could fill one of the places if they were available. */
static void say_unavailable(Text *text, const SxProblem *problem, const Places *places,
                            unsigned set) {
    const SxTeam *team = problem->team;
    bool missing[SX_MAX_PLAYERS] = {false};
    bool any = false;
    for (int p = 0; p < team->player_count; p++) {
        for (int k = 0; k < places->count; k++) {
            SxRole role = problem->system->duty[places->slot[k]][places->row[k]].role;
            missing[p] |=
                (set >> k & 1) && !team->players[p].available && team->players[p].fitness[role] > 0;
        }
        any |= missing[p];
    }
    if (any) {
        say(text, "; not available: ");
        say_players(text, team, missing);
    }
}

static bool say_shortage(Text *text, const SxProblem *problem, const bool *sits) {
    Places places;
    list_places(problem, sits, &places);
    unsigned set = short_places(&places, problem->team->player_count);
    if (!set) {
        return false;
    }
    bool who[SX_MAX_PLAYERS];
    int count = neighbours(&places, set, problem->team->player_count, who);
    say(text, "system %s needs ", problem->system->id);
    say_roles(text, problem, &places, set);
    say(text, ", %d available", count);
    if (count) {
        say(text, ": ");
        say_players(text, problem->team, who);
    }
    say_unavailable(text, problem, &places, set);
    return true;
}

static bool say_no_formation(Text *text, const SxProblem *problem) {
    for (int r = 0; r < SX_ROTATIONS; r++) {
        const SxFormation *reason = NULL;
        bool any = false;
        for (unsigned mask = 0; mask < SX_MASKS; mask++) {
            const SxFormation *f =
                sx_formation_at(problem->table, r, mask, sx_usual_sides(problem->system, r));
            if (f && problem->plan->passers >> sx_count_members(mask) & 1) {
                any |= f->feasible;
                reason = reason ? reason : f;
            }
        }
        if (!any) {
            say(text, "rotation %d has no legal receive formation: %s", r + 1,
                reason ? reason->reason : "no set of passers is allowed");
            return true;
        }
    }
    return false;
}

static bool say_substitutions(Text *text, const SxProblem *problem) {
    int needed = 0;
    for (int s = 0; s < SX_SLOTS; s++) {
        needed += problem->system->split[s] ? 2 : 0;
    }
    int allowed = problem->rules->substitutions;
    if (allowed == SX_UNLIMITED || needed <= allowed) {
        return false;
    }
    say(text, "system %s needs %d substitutions for six rotations,\nrules %s allow %d a set",
        problem->system->id, needed, problem->rules->id, allowed);
    return true;
}

/* --- the smallest conflict ----------------------------------------------------------------------
 */

static void say_conflict(Text *text, const SxProblem *problem, const SxConflict *conflict) {
    bool sits[SX_MAX_PLAYERS] = {false};
    static const char *const known[] = {
        [SX_SMALLEST] = ":",
        [SX_IRREDUCIBLE] = ",\nthough without any one of them the others can:",
        [SX_SOME] = ",\nand perhaps fewer of them cannot either:",
    };
    say(text,
        conflict->count == 1 ? "this wish cannot be kept\nwith system %s and rules %s%s"
                             : "these wishes cannot hold together\nwith system %s and rules %s%s",
        problem->system->id, problem->rules->id,
        conflict->count == 1 ? ":" : known[conflict->kind]);
    for (int w = 0; w < problem->plan->wish_count; w++) {
        if (conflict->wish[w]) {
            const SxWish *wish = &problem->plan->wishes[w];
            char line[SX_NAME_SIZE * 3];
            say(text, "\n  - %s", sx_wish_text(wish, problem->team, line, sizeof line));
            if (wish->kind == SX_MUST_SIT) {
                sits[wish->player] = true;
            }
        }
    }
    Text shortage = {.used = 0};
    if (say_shortage(&shortage, problem, sits)) {
        say(text, "\nthen %s", shortage.text);
    }
}

/* What only the program can tell. */
static SxStatus say_reason(Text *text, const SxProblem *problem, const SxWork *work, SxError *err) {
    SxConflict conflict;
    const SxStatus status = sx_smallest_conflict(problem, work, &conflict, err);
    if (status == SX_OK && conflict.count) {
        say_conflict(text, problem, &conflict);
    } else if (status == SX_OK) {
        say(text, "the roster cannot fill system %s under rules %s, wishes apart",
            problem->system->id, problem->rules->id);
    } else if (status == SX_OUT_OF_TIME) { /* that there is none is known all the same */
        say(text, "the time was up before it was known why");
    }
    return status == SX_OUT_OF_TIME ? SX_OK : status;
}

SxStatus sx_conflict_explain(const SxProblem *problem, const SxWork *work, SxError *err) {
    const bool nobody[SX_MAX_PLAYERS] = {false};
    Text text = {.used = 0};
    SxStatus status = SX_OK;
    if (work && work->unexplained) {
        return sx_fail(err, SX_NO, "no lineup");
    }
    bool told = say_shortage(&text, problem, nobody) || say_no_formation(&text, problem) ||
                say_substitutions(&text, problem);
    if (!told) {
        status = say_reason(&text, problem, work, err);
    }
    return status == SX_OK ? sx_fail(err, SX_NO, "no lineup: %s", text.text) : status;
}

SxStatus sx_lineup_possible(const SxProblem *problem, const SxWork *work, SxError *err) {
    bool ruled_out = false;
    const SxStatus status =
        problem->plan->wish_count ? sx_wishes_ruled_out(problem, work, &ruled_out, err) : SX_OK;
    return ruled_out ? sx_conflict_explain(problem, work, err) : status;
}
